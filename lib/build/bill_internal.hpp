#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <optional>
#include <span>
#include <utility>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "build/parts.hpp"
#include "layout/direction.hpp"
#include "layout/geometry.hpp"
#include "layout/piece_number.hpp"

/// The bill of parts in the making: duct and fittings in `parts.cpp`, joints, hangers and
/// insulation in `parts_joints.cpp`, rough-in holes in `parts_holes.cpp`, the order of work in
/// `parts_steps.cpp`.
namespace ductledger::build::bill {

using layout::Piece;
using layout::PieceKind;
using units::Dimension;
using units::Message;

inline constexpr double kInch_m = units::kMetresPerInch;
inline constexpr double kFoot_m = units::kMetresPerFoot;
inline constexpr double kOverlap_m = 1.5 * kInch_m;       // common practice
inline constexpr double kHanger_m = 10.0 * kFoot_m;       // see `assume_support`
inline constexpr double kDryerHanger_m = 12.0 * kFoot_m;  // International Residential Code, M1502.4
inline constexpr double kFlexHanger_m = 4.0 * kFoot_m;    // see `flexible_support`
inline constexpr double kHoleClearance_m = 0.5 * kInch_m;  // common practice
inline constexpr double kSupportFrom_m =
    2.0 * kFoot_m;  // shorter straights hang on their neighbors
inline constexpr double kLargeSide_m = 14.0 * kInch_m;
inline constexpr int kRoundFasteners = 3;
inline constexpr int kRectangularFasteners = 4;
inline constexpr double kSineOfThirtyDegrees = 0.5;

/// Something that has two ends and stands in the run: joints lie between neighbours.
struct Body {
  PieceKind kind = PieceKind::straight;
  std::string name;
  duct::Section section = duct::Section::round(units::inches(6.0));  ///< where it begins
  bool rising = false;
  bool flexible = false;  ///< flexible duct or a bend of it: clamps, no screws
};

class Bill {
 public:
  Bill(layout::Layout layout, Duct duct, const fitting::Catalogue& catalogue)
      : catalogue_(catalogue) {
    result_.layout = std::move(layout);
    result_.duct = duct;
  }
  struct Joining {
    std::string at;                               ///< the junction that a branch ends in, by name
    std::optional<layout::RunGeometry> geometry;  ///< of the branch, from the collar
  };
  /// Of a branch as a run of its own.
  Bill(layout::Layout branch, Duct duct, const fitting::Catalogue& catalogue, Joining joining)
      : Bill(std::move(branch), duct, catalogue) {
    joins_at_ = std::move(joining.at);
    branch_geometry_ = std::move(joining.geometry);
  }

  /// What is billed and built beside the run.
  struct Beside {
    std::span<const PartsResult> makeup{};  ///< none or one
    std::span<const PartsResult> branches{};
  };
  PartsResult build(const PartsOptions& options, const Beside& beside);

 private:
  [[nodiscard]] const std::vector<Piece>& pieces() const { return result_.layout.run.pieces; }
  [[nodiscard]] bool is_dryer() const {
    return result_.layout.appliance.kind == layout::ApplianceKind::clothes_dryer;
  }
  void take(const PartsOptions& options);
  static Message::Value length(double length_m) { return {length_m, Dimension::length}; }
  void assume(std::string pattern, std::vector<Message::Value> values = {}) {
    result_.assumed.push_back({std::move(pattern), std::move(values)});
  }

  // --- duct and its cuts

  [[nodiscard]] static bool same_duct(const Piece& a, const Piece& b);
  DuctCuts& cuts_of(const Piece& piece);
  void duct();
  void bill_sticks(const DuctCuts& cuts);

  // --- mass

  /// Sheet of the code's least thickness: International Residential Code, table M1601.1.1 as a
  /// state adopted it; of a clothes dryer M1502.4.1.
  [[nodiscard]] double thickness_m(const duct::Section& section) const;
  std::optional<double> mass_of(double surface_m2,
                                const duct::Section& section,
                                const std::string& material);

  // --- fittings

  /// An elbow is bought as what its radius was taken from, also where its loss is stated.
  [[nodiscard]] static const std::string& bought_type(const Piece& piece);

  /// Along the centreline of an elbow or a transition; nothing where it is not known.
  [[nodiscard]] static std::optional<double> body_length_m(const Piece& piece);
  void fittings();
  static PartLine flex_line(const Piece& piece);
  /// Two flat elbows of one size and angle are two parts: which side lies in the plane of the turn.
  [[nodiscard]] static const char* side_turned(const Piece& piece);
  PartLine fitting_line(std::size_t index);
  void merge(PartLine line);
  static bool same_angle(const PartLine& a, const PartLine& b) {
    return std::abs(a.angle_rad.value_or(0.0) - b.angle_rad.value_or(0.0)) < 1e-6;
  }

  // --- joints

  [[nodiscard]] bool is_makeup() const { return result_.duct == Duct::makeup; }
  [[nodiscard]] bool is_branch() const { return !joins_at_.empty(); }
  /// What the first joint begins at; empty: an open inlet, which has none.
  [[nodiscard]] std::string first_name() const;
  [[nodiscard]] Joint joint_between(const std::string& before, const Body& body, bool clamped);
  [[nodiscard]] static bool has_body(PieceKind kind);

  /// The straight that begins with a piece.
  [[nodiscard]] const CutStraight* straight_of(int piece) const;

  /// `elbow 2`
  [[nodiscard]] std::string name_of(std::size_t index) const {
    return fmt::format("{} {}", layout::word(pieces()[index].kind), layout::piece_number(index));
  }

  [[nodiscard]] bool is_flexible(std::size_t index) const;
  [[nodiscard]] bool any_flexible() const;
  [[nodiscard]] std::vector<Body> bodies() const;
  [[nodiscard]] static bool rises(const std::optional<layout::Direction>& heading) {
    return heading && (*heading)[2] > kSineOfThirtyDegrees;
  }

  void joints();
  void sealing_and_fastening();

  // --- support and insulation

  /// Flexible duct sags between its supports, and a bend costs much more than friction.
  void flexible_support();
  void support();
  void insulation();
  void add_insulation(PartLine line);

  // --- holes

  void holes();
  static duct::Section widened(const duct::Section& section, double by_m);

  /// Where and how the duct meets the plane of the hole.
  void assume_places();
  void cross(const Piece& piece, Hole& hole, const layout::PlacedPiece* placed) const;
  static const char* way_of(const layout::Direction& direction);
  [[nodiscard]] HoleCentre centre_of(const layout::PlacedPiece& placed, std::size_t across) const;

  // --- order of work

  Step& step(std::string pattern, std::vector<Message::Value> values = {});
  static void caution(Step& step, std::string pattern, std::vector<Message::Value> values = {});
  void steps();
  void cap_step();
  void assembly();
  static std::string joined(const std::vector<int>& numbers);
  static void straight_cautions(const Piece& piece, Step& step);
  /// Beyond a straight through the roof, or at the end of a run that heads up.
  [[nodiscard]] bool on_the_roof(const Piece& fan) const;
  void fitting_cautions(const Piece& piece, const std::string& type, Step& step) const;
  void finish();
  void branch_steps();

  // --- totals

  void totals();

  const fitting::Catalogue& catalogue_;
  PartsResult result_;
  std::string joins_at_;
  std::optional<layout::RunGeometry> branch_geometry_;  ///< of a branch, from the collar
  Beside beside_;
  bool weighed_ = false;
};

}  // namespace ductledger::build::bill
