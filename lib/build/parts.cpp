#include "build/parts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <utility>

#include "base/text.hpp"
#include "layout/direction.hpp"
#include "layout/piece_number.hpp"

namespace ductledger::build {
namespace {

using layout::Piece;
using layout::PieceKind;
using units::Dimension;
using units::Message;

constexpr double kInch_m = units::kMetresPerInch;
constexpr double kFoot_m = units::kMetresPerFoot;
constexpr double kOverlap_m = 1.5 * kInch_m;        // common practice
constexpr double kHanger_m = 10.0 * kFoot_m;        // see `assume_support`
constexpr double kDryerHanger_m = 12.0 * kFoot_m;   // International Residential Code, M1502.4
constexpr double kFlexHanger_m = 4.0 * kFoot_m;     // see `flexible_support`
constexpr double kHoleClearance_m = 0.5 * kInch_m;  // common practice
constexpr double kSupportFrom_m = 2.0 * kFoot_m;    // shorter straights hang on their neighbours
constexpr double kLargeSide_m = 14.0 * kInch_m;
constexpr int kRoundFasteners = 3;
constexpr int kRectangularFasteners = 4;
constexpr double kSineOfThirtyDegrees = 0.5;

base::Diagnostic wrong(std::string rule, std::string message, std::string help) {
  base::Diagnostic out;
  out.rule = std::move(rule);
  out.message = std::move(message);
  out.help = std::move(help);
  return out;
}

std::string inches(double length_m) {
  return units::display(length_m, Dimension::length, units::System::ip);
}

/// Something that has two ends and stands in the run: joints lie between neighbours.
struct Body {
  PieceKind kind = PieceKind::straight;
  std::string name;
  duct::Section section = duct::Section::round(units::inches(6.0));  ///< where it begins
  bool rising = false;
};

class Bill {
 public:
  Bill(layout::Layout layout, const solve::CompiledRun& run, const fitting::Catalogue& catalogue)
      : run_(run), catalogue_(catalogue) {
    result_.layout = std::move(layout);
  }

  PartsResult build(const PartsOptions& options) {
    take(options);
    duct();
    fittings();
    joints();
    sealing_and_fastening();
    support();
    insulation();
    holes();
    steps();
    totals();
    return std::move(result_);
  }

 private:
  [[nodiscard]] const std::vector<Piece>& pieces() const { return result_.layout.run.pieces; }
  [[nodiscard]] bool is_dryer() const {
    return result_.layout.appliance.kind == layout::ApplianceKind::clothes_dryer;
  }
  void take(const PartsOptions& options) {
    result_.stock_m = options.stock_m;
    if (result_.stock_m.empty()) {
      result_.stock_m = {5.0 * kFoot_m, 2.0 * kFoot_m};
      assume("duct is bought in lengths of {} and {}, ends included (common practice)",
             {length(result_.stock_m[0]), length(result_.stock_m[1])});
    }
    std::sort(result_.stock_m.begin(), result_.stock_m.end(), std::greater<>());
    result_.overlap_m = options.overlap_m.value_or(kOverlap_m);
    if (!options.overlap_m) {
      assume("each joint laps by {} (common practice)", {length(result_.overlap_m)});
    }
    result_.hanger_m = options.hanger_m.value_or(is_dryer() ? kDryerHanger_m : kHanger_m);
    result_.hole_clearance_m = options.hole_clearance_m.value_or(kHoleClearance_m);
  }

  static Message::Value length(double length_m) { return {length_m, Dimension::length}; }
  void assume(std::string pattern, std::vector<Message::Value> values = {}) {
    result_.assumed.push_back({std::move(pattern), std::move(values)});
  }

  // --- duct and its cuts

  [[nodiscard]] static bool same_duct(const Piece& a, const Piece& b) {
    return a.kind == PieceKind::straight && b.kind == PieceKind::straight &&
           a.upstream == b.upstream && a.material == b.material && a.roughness_m == b.roughness_m;
  }

  DuctCuts& cuts_of(const Piece& piece) {
    for (DuctCuts& cuts : result_.cuts) {
      if (cuts.section == piece.upstream && cuts.material == piece.material) {
        return cuts;
      }
    }
    DuctCuts fresh;
    fresh.section = piece.upstream;
    fresh.material = piece.material;
    result_.cuts.push_back(std::move(fresh));
    return result_.cuts.back();
  }

  void duct() {
    for (std::size_t i = 0; i < pieces().size(); ++i) {
      if (pieces()[i].kind != PieceKind::straight) {
        continue;
      }
      CutStraight straight;
      const std::size_t first = i;
      straight.pieces.push_back(layout::piece_number(i));
      straight.clear_m = pieces()[i].length_m.value_or(0.0);
      while (i + 1 < pieces().size() && same_duct(pieces()[i], pieces()[i + 1])) {
        ++i;
        straight.pieces.push_back(layout::piece_number(i));
        straight.clear_m += pieces()[i].length_m.value_or(0.0);
      }
      cuts_of(pieces()[first]).straights.push_back(std::move(straight));
    }
    for (DuctCuts& cuts : result_.cuts) {
      std::vector<CutDemand> demands;
      for (const CutStraight& straight : cuts.straights) {
        demands.push_back({straight.clear_m});
      }
      cuts.list = cut_list(demands,
                           {.stock_m = result_.stock_m,
                            .overlap_m = result_.overlap_m,
                            .shortest_m = 2.0 * result_.overlap_m});
      for (const Stick& stick : cuts.list.sticks) {
        for (const Cut& cut : stick.cuts) {
          cuts.straights[cut.demand].sections_m.push_back(cut.cut_m);
        }
      }
      bill_sticks(cuts);
    }
  }

  void bill_sticks(const DuctCuts& cuts) {
    for (const double stock_m : result_.stock_m) {
      const auto count =
          std::count_if(cuts.list.sticks.begin(), cuts.list.sticks.end(), [&](const Stick& stick) {
            return std::abs(stick.stock_m - stock_m) < 1e-4;
          });
      if (count == 0) {
        continue;
      }
      PartLine line;
      line.group = "duct";
      line.item = "duct";
      line.section = cuts.section;
      line.material = cuts.material;
      line.each_m = stock_m;
      line.quantity = static_cast<double>(count);
      for (const Stick& stick : cuts.list.sticks) {
        if (std::abs(stick.stock_m - stock_m) >= 1e-4) {
          continue;
        }
        for (const Cut& cut : stick.cuts) {
          for (const int piece : cuts.straights[cut.demand].pieces) {
            add_once(line.pieces, piece);
          }
        }
      }
      std::sort(line.pieces.begin(), line.pieces.end());
      line.mass_kg = mass_of(
          cuts.section.perimeter_m() * stock_m * line.quantity, cuts.section, cuts.material);
      result_.longest_stick_m = std::max(result_.longest_stick_m, stock_m);
      result_.bill.push_back(std::move(line));
    }
  }

  static void add_once(std::vector<int>& list, int value) {
    if (std::find(list.begin(), list.end(), value) == list.end()) {
      list.push_back(value);
    }
  }

  // --- mass

  /// Sheet of the code's least thickness: International Residential Code, table M1601.1.1 as a
  /// state adopted it; of a clothes dryer M1502.4.1.
  [[nodiscard]] double thickness_m(const duct::Section& section) const {
    if (is_dryer()) {
      return 0.0157 * kInch_m;
    }
    return (std::max(section.width_m(), section.height_m()) > kLargeSide_m ? 0.016 : 0.013) *
           kInch_m;
  }

  std::optional<double> mass_of(double surface_m2,
                                const duct::Section& section,
                                const std::string& material) {
    double density_kg_m3 = 0.0;
    if (material.rfind("galvanized", 0) == 0 || material == "steel") {
      density_kg_m3 = 7850.0;
    } else if (material == "stainless-steel") {
      density_kg_m3 = 7900.0;
    } else if (material == "aluminium") {
      density_kg_m3 = 2700.0;
    } else {
      return std::nullopt;
    }
    weighed_ = true;
    return surface_m2 * thickness_m(section) * density_kg_m3;
  }

  // --- fittings

  [[nodiscard]] std::string type_of(std::size_t index) const {
    const Piece& piece = pieces()[index];
    if (piece.kind == PieceKind::flex) {
      return {};
    }
    for (const solve::CompiledPiece& compiled : run_.pieces) {
      if (compiled.piece == index && compiled.fitting) {
        return compiled.fitting->type;
      }
    }
    if (!piece.type.empty()) {
      return piece.type;
    }
    return piece.kind == PieceKind::elbow
               ? catalogue_.default_type(fitting::Kind::elbow, piece.upstream)
               : std::string();
  }

  /// Centreline radius over the side in the plane of the turn; nothing for a mitre.
  [[nodiscard]] std::optional<double> radius_ratio(const Piece& piece,
                                                   const std::string& type) const {
    if (const auto stated = piece.parameters.find("radius_ratio");
        stated != piece.parameters.end()) {
      return stated->second;
    }
    for (const auto& parameter : catalogue_.parameters(fitting::Kind::elbow, type)) {
      if (parameter.name == "radius_ratio") {
        return parameter.default_value;
      }
    }
    return std::nullopt;
  }

  [[nodiscard]] static double side_m(const Piece& piece) {
    return piece.in_plane_m > 0.0 ? piece.in_plane_m : piece.upstream.width_m();
  }

  /// Along the centreline of an elbow or a transition; nothing where it is not known.
  [[nodiscard]] std::optional<double> body_length_m(const Piece& piece,
                                                    const std::string& type) const {
    if (piece.kind == PieceKind::elbow) {
      if (piece.key_spans.count("legs") > 0) {
        return piece.legs_m[0] + piece.legs_m[1];
      }
      if (const auto ratio = radius_ratio(piece, type)) {
        return *ratio * side_m(piece) * piece.angle_rad;
      }
      return side_m(piece) * std::tan(piece.angle_rad / 2.0);  // a mitre, to its corner and back
    }
    return piece.kind == PieceKind::transition ? piece.length_m : std::nullopt;
  }

  void fittings() {
    if (result_.layout.run.changes_at_collar) {
      PartLine line;
      line.group = "fitting";
      line.item = "adapter at the collar";
      line.section = result_.layout.appliance.collar;
      line.to = result_.layout.run.first_section;
      line.quantity = 1.0;
      line.pieces = {0};
      line.note = {
          "the layout has an abrupt change there; a gradual transition costs less pressure", {}};
      result_.bill.push_back(std::move(line));
    }
    for (std::size_t i = 0; i < pieces().size(); ++i) {
      const Piece& piece = pieces()[i];
      if (piece.kind == PieceKind::straight || piece.kind == PieceKind::loss) {
        continue;
      }
      PartLine line = piece.kind == PieceKind::flex ? flex_line(piece) : fitting_line(i);
      line.quantity = 1.0;
      line.pieces = {layout::piece_number(i)};
      merge(std::move(line));
    }
  }

  static PartLine flex_line(const Piece& piece) {
    PartLine line;
    line.group = "duct";
    line.item = "flexible duct";
    line.section = piece.upstream;
    line.each_m = piece.length_m.value_or(0.0) / piece.stretched;
    line.note = {"length fully stretched", {}};
    return line;
  }

  /// Two flat elbows of one size and angle are two parts: which side lies in the plane of the turn.
  [[nodiscard]] static const char* side_turned(const Piece& piece) {
    constexpr double kSame_m = 1e-6;
    if (std::abs(piece.in_plane_m - piece.across_m) < kSame_m ||
        piece.upstream.shape() == duct::Shape::round) {
      return nullptr;
    }
    return piece.in_plane_m < piece.across_m
               ? "turns on its narrow side: the {} side lies in the plane of the turn"
               : "turns on its wide side: the {} side lies in the plane of the turn";
  }

  PartLine fitting_line(std::size_t index) {
    const Piece& piece = pieces()[index];
    PartLine line;
    line.group = "fitting";
    const std::string type = type_of(index);
    line.item = layout::word(piece.kind);
    if (!type.empty() && piece.kind != PieceKind::fan) {
      line.item += " " + type;
    }
    line.section = piece.upstream;
    if (piece.downstream != piece.upstream) {
      line.to = piece.downstream;
    }
    if (piece.kind == PieceKind::elbow) {
      line.angle_rad = piece.angle_rad;
      line.radius_ratio = radius_ratio(piece, type);
      if (catalogue_.traits(fitting::Kind::elbow, type).is(fitting::Make::adjustable)) {
        line.note = {"its swivel seams are sealed too", {}};
      }
      if (const char* const side = side_turned(piece); side != nullptr) {
        line.note = {side, {{piece.in_plane_m, Dimension::length}}};
      }
    }
    if (piece.kind == PieceKind::transition) {
      line.each_m = piece.length_m;
    }
    if (const auto body_m = body_length_m(piece, type)) {
      const double around_m = (piece.upstream.perimeter_m() + piece.downstream.perimeter_m()) / 2.0;
      result_.duct_surface_m2 += *body_m * around_m;
      line.material = piece.material;
      line.mass_kg = mass_of(*body_m * around_m, piece.upstream, piece.material);
    }
    return line;
  }

  void merge(PartLine line) {
    for (PartLine& other : result_.bill) {
      if (other.group == line.group && other.item == line.item && other.section == line.section &&
          other.to == line.to && other.each_m == line.each_m && other.material == line.material &&
          other.radius_ratio == line.radius_ratio && same_angle(other, line) &&
          other.note.pattern == line.note.pattern) {
        other.quantity += line.quantity;
        other.pieces.insert(other.pieces.end(), line.pieces.begin(), line.pieces.end());
        if (other.mass_kg && line.mass_kg) {
          *other.mass_kg += *line.mass_kg;
        }
        return;
      }
    }
    result_.bill.push_back(std::move(line));
  }
  static bool same_angle(const PartLine& a, const PartLine& b) {
    return std::abs(a.angle_rad.value_or(0.0) - b.angle_rad.value_or(0.0)) < 1e-6;
  }

  // --- joints

  [[nodiscard]] static bool has_body(PieceKind kind) {
    return kind != PieceKind::loss && kind != PieceKind::entry && kind != PieceKind::filter &&
           kind != PieceKind::screen && kind != PieceKind::junction;
  }

  /// The straight that begins with a piece.
  [[nodiscard]] const CutStraight* straight_of(int piece) const {
    for (const DuctCuts& cuts : result_.cuts) {
      for (const CutStraight& straight : cuts.straights) {
        if (straight.pieces.front() == piece) {
          return &straight;
        }
      }
    }
    return nullptr;
  }

  /// `elbow 2`
  [[nodiscard]] std::string name_of(std::size_t index) const {
    return fmt::format("{} {}", layout::word(pieces()[index].kind), layout::piece_number(index));
  }

  [[nodiscard]] std::vector<Body> bodies() const {
    std::vector<Body> list;
    const layout::Run& run = result_.layout.run;
    if (run.changes_at_collar) {
      list.push_back(
          {PieceKind::transition, "adapter", *result_.layout.appliance.collar, rises(run.heading)});
    }
    for (std::size_t i = 0; i < pieces().size(); ++i) {
      const Piece& piece = pieces()[i];
      if (!has_body(piece.kind)) {
        continue;
      }
      const std::string name = name_of(i);
      const bool rising = rises(piece.heading_in);
      if (piece.kind != PieceKind::straight) {
        list.push_back({piece.kind, name, piece.upstream, rising});
        continue;
      }
      const CutStraight* straight = straight_of(layout::piece_number(i));
      if (straight == nullptr) {
        continue;  // one with the straight before it
      }
      const std::size_t count = straight->sections_m.size();
      for (std::size_t section = 0; section < count; ++section) {
        const std::string letter =
            count == 1 ? "" : fmt::format("{}", static_cast<char>('a' + section % 26));
        list.push_back({piece.kind, name + letter, piece.upstream, rising});
      }
    }
    return list;
  }

  [[nodiscard]] static bool rises(const std::optional<layout::Direction>& heading) {
    return heading && (*heading)[2] > kSineOfThirtyDegrees;
  }

  void joints() {
    std::string before = "collar";
    bool after_flex = false;
    for (const Body& body : bodies()) {
      Joint joint;
      joint.number = static_cast<int>(result_.joints.size()) + 1;
      joint.before = before;
      joint.after = body.name;
      joint.section = body.section;
      joint.rising = body.rising;
      const bool clamped = after_flex || body.kind == PieceKind::flex;
      if (!is_dryer() && !clamped) {
        joint.fasteners = body.section.shape() == duct::Shape::rectangular ? kRectangularFasteners
                                                                           : kRoundFasteners;
      }
      result_.joints.push_back(std::move(joint));
      before = body.name;
      after_flex = body.kind == PieceKind::flex;
    }
    result_.male_end =
        is_dryer() ? "with the airflow, away from the appliance (International Residential Code, "
                     "M1502.4: lint must not catch on an edge)"
                   : "with the airflow, away from the appliance (common practice; the maker's "
                     "instructions go first)";
  }

  void sealing_and_fastening() {
    double around_m = 0.0;
    int fasteners = 0;
    for (const Joint& joint : result_.joints) {
      around_m += joint.section.perimeter_m();
      fasteners += joint.fasteners;
    }
    if (result_.joints.empty()) {
      return;
    }
    PartLine tape;
    tape.group = "sealing";
    tape.item = "foil tape";
    tape.measure = Measure::length;
    tape.quantity = around_m;
    tape.note = {"once around each of the joints, laps not counted; metal foil, not cloth", {}};
    result_.bill.push_back(tape);
    PartLine sealant;
    sealant.group = "sealing";
    sealant.item = "sealant bead";
    sealant.measure = Measure::length;
    sealant.quantity = around_m;
    sealant.note = {"in place of the tape; listed UL 181B for metal duct", {}};
    result_.bill.push_back(sealant);
    if (fasteners > 0) {
      PartLine screws;
      screws.group = "fastening";
      screws.item = "sheet-metal screws";
      screws.quantity = fasteners;
      screws.note = {
          "3 at a round joint (a national weatherization specification), 4 at a "
          "rectangular one (common practice); short ones beside a damper",
          {}};
      result_.bill.push_back(std::move(screws));
    }
    if (is_dryer()) {
      assume(
          "no screws are billed: none may reach over {} into a dryer duct (International "
          "Residential Code, M1502.4.2; older editions: none at all); fasten with clamps or foil "
          "tape as the authority accepts",
          {length(0.125 * kInch_m)});
    }
    double clamps = 0.0;
    for (const Piece& piece : pieces()) {
      clamps += piece.kind == PieceKind::flex ? 2.0 : 0.0;
    }
    if (clamps > 0.0) {
      PartLine line;
      line.group = "fastening";
      line.item = "clamps for flexible duct";
      line.quantity = clamps;
      result_.bill.push_back(line);
    }
  }

  // --- support and insulation

  /// Flexible duct sags between its supports, and its bends cost much more than its friction.
  void flexible_support() {
    PartLine line;
    line.group = "support";
    line.item = "wide straps for flexible duct";
    const double apart_m = std::min(result_.hanger_m, kFlexHanger_m);
    for (std::size_t i = 0; i < pieces().size(); ++i) {
      if (pieces()[i].kind == PieceKind::flex) {
        line.quantity += std::ceil(pieces()[i].length_m.value_or(0.0) / apart_m - 1e-9);
        line.pieces.push_back(layout::piece_number(i));
      }
    }
    if (line.pieces.empty()) {
      return;
    }
    line.note = {
        "at most {} apart, {} wide or more so that they do not pinch it, sag at most {} in {} "
        "(installation standards for flexible duct ask for 4 to 5 ft; recalled)",
        {length(apart_m), length(kOverlap_m), length(0.5 * kInch_m), length(kFoot_m)}};
    result_.bill.push_back(std::move(line));
  }

  void support() {
    flexible_support();
    PartLine line;
    line.group = "support";
    line.item = "hangers or straps";
    for (const DuctCuts& cuts : result_.cuts) {
      for (const CutStraight& straight : cuts.straights) {
        if (straight.clear_m < kSupportFrom_m - 1e-9) {
          continue;
        }
        line.quantity += std::ceil(straight.clear_m / result_.hanger_m - 1e-9);
        line.pieces.insert(line.pieces.end(), straight.pieces.begin(), straight.pieces.end());
      }
    }
    if (line.pieces.empty()) {
      return;
    }
    std::sort(line.pieces.begin(), line.pieces.end());
    line.note = is_dryer() ? Message{"at most {} apart (International Residential Code, M1502.4)",
                                     {length(result_.hanger_m)}}
                           : Message{
                                 "at most {} apart (editions of the International Residential "
                                 "Code before 2018; recalled)",
                                 {length(result_.hanger_m)}};
    if (std::abs(result_.hanger_m - (is_dryer() ? kDryerHanger_m : kHanger_m)) > 1e-9) {
      line.note = {"at most {} apart, as asked", {length(result_.hanger_m)}};
    }
    assume(
        "one support for each spacing begun of a straight of {} or more; shorter ones hang on "
        "their neighbours",
        {length(kSupportFrom_m)});
    result_.bill.push_back(std::move(line));
  }

  void insulation() {
    for (std::size_t i = 0; i < pieces().size(); ++i) {
      const Piece& piece = pieces()[i];
      if (!piece.insulation_m2k_w || *piece.insulation_m2k_w <= 0.0) {
        continue;
      }
      PartLine line;
      line.group = "insulation";
      line.item = "duct wrap";
      line.measure = Measure::area;
      line.quantity = piece.upstream.perimeter_m() * piece.length_m.value_or(0.0);
      line.pieces = {layout::piece_number(i)};
      line.note = {"{}; outside of the duct alone, laps not counted",
                   {{*piece.insulation_m2k_w, Dimension::thermal_resistance}}};
      add_insulation(std::move(line));
    }
  }
  void add_insulation(PartLine line) {
    for (PartLine& other : result_.bill) {
      if (other.group == line.group &&
          other.note.values.front().si == line.note.values.front().si) {
        other.quantity += line.quantity;
        other.pieces.push_back(line.pieces.front());
        return;
      }
    }
    result_.bill.push_back(std::move(line));
  }

  // --- holes

  void holes() {
    const auto geometry = layout::run_geometry(result_.layout, catalogue_);
    for (std::size_t i = 0; i < pieces().size(); ++i) {
      const Piece& piece = pieces()[i];
      if (piece.through != "ceiling" && piece.through != "roof" && piece.through != "wall") {
        continue;
      }
      Hole hole;
      hole.piece = layout::piece_number(i);
      hole.through = piece.through;
      hole.size = widened(piece.upstream, result_.hole_clearance_m);
      cross(piece, hole, geometry ? &geometry->pieces[i] : nullptr);
      if (piece.insulation_m2k_w) {
        hole.notes.push_back({"leaves no room for the insulation around the duct", {}});
      }
      result_.holes.push_back(std::move(hole));
    }
    if (result_.holes.empty()) {
      return;
    }
    assume(
        "a hole is the duct and {} on every side (common practice); clearance to what burns is "
        "by the maker's instructions and local code",
        {length(result_.hole_clearance_m)});
    assume("the collar is taken to lie on the appliance's centre line");
    const auto& at = result_.layout.appliance.collar_at;
    if (!at.above_floor_m || !at.from_wall_m) {
      assume(
          "where `collar_at` does not state the floor or the wall, a hole's place is from the "
          "collar");
    }
    for (const Hole& hole : result_.holes) {
      if (hole.centre && hole.centre->nominal) {
        assume(
            "holes after an elbow whose legs are not stated lie where its usual radius puts "
            "them: measure the elbow in hand");
        break;
      }
    }
  }

  static duct::Section widened(const duct::Section& section, double by_m) {
    const auto width = units::metres(section.width_m() + 2.0 * by_m);
    const auto height = units::metres(section.height_m() + 2.0 * by_m);
    switch (section.shape()) {
      case duct::Shape::round:
        return duct::Section::round(width);
      case duct::Shape::rectangular:
        return duct::Section::rectangular(width, height);
      case duct::Shape::flat_oval:
        break;
    }
    return duct::Section::flat_oval(width, height);
  }

  /// Where and how the duct meets the plane of the hole.
  void cross(const Piece& piece, Hole& hole, const layout::PlacedPiece* placed) const {
    if (!piece.heading_in) {
      hole.notes.push_back({"no heading is known: size for a duct that crosses squarely", {}});
      return;
    }
    const layout::Direction& heading = *piece.heading_in;
    const std::size_t across = hole.through != "wall"                        ? 2
                               : std::abs(heading[0]) > std::abs(heading[1]) ? 0
                                                                             : 1;
    const double along = std::abs(heading[across]);
    if (along < 0.1) {
      hole.notes.push_back({"by its heading this piece runs along the " + hole.through, {}});
      return;
    }
    if (along < 1.0 - 1e-6) {
      hole.stretched_m = std::max(hole.size.width_m(), hole.size.height_m()) / along;
      hole.notes.push_back(
          {"the centre is that of the piece's middle: it moves with the place "
           "where the duct crosses",
           {}});
    }
    if (placed != nullptr) {
      hole.centre = centre_of(*placed, across);
      if (hole.size.width_m() != hole.size.height_m()) {
        hole.notes.push_back({std::string("its width lies ") + way_of(placed->width_in), {}});
      }
    }
    if (hole.through == "roof") {
      hole.notes.push_back(
          {"the roof's slope is not stated: the hole in a sloped roof is longer "
           "along the slope",
           {}});
    }
  }

  static const char* way_of(const layout::Direction& direction) {
    const double side = std::abs(direction[0]);
    const double back = std::abs(direction[1]);
    const double up = std::abs(direction[2]);
    return up > side && up > back ? "up and down"
           : side >= back         ? "left to right"
                                  : "front to back";
  }

  [[nodiscard]] HoleCentre centre_of(const layout::PlacedPiece& placed, std::size_t across) const {
    HoleCentre centre;
    centre.across = across;
    for (std::size_t axis = 0; axis < 3; ++axis) {
      centre.at_m[axis] = (placed.start[axis] + placed.end[axis]) / 2.0;
    }
    const auto& collar = result_.layout.appliance.collar_at;
    if (collar.from_wall_m) {
      centre.from_wall_m = *collar.from_wall_m - centre.at_m[1];
    }
    if (collar.above_floor_m) {
      centre.above_floor_m = *collar.above_floor_m + centre.at_m[2];
    }
    for (std::size_t i = 0; i < placed.piece; ++i) {
      centre.nominal = centre.nominal || (pieces()[i].kind == PieceKind::elbow &&
                                          pieces()[i].key_spans.count("legs") == 0);
    }
    return centre;
  }

  // --- order of work

  Step& step(std::string pattern, std::vector<Message::Value> values = {}) {
    result_.steps.push_back({{std::move(pattern), std::move(values)}, {}});
    return result_.steps.back();
  }
  static void caution(Step& step, std::string pattern, std::vector<Message::Value> values = {}) {
    for (const Message& said : step.cautions) {
      if (said.pattern == pattern) {
        return;
      }
    }
    step.cautions.push_back({std::move(pattern), std::move(values)});
  }

  void steps() {
    Step& first = step("Switch the power off at the panel; lock or tag it");
    caution(first, "test that the outlet or the wires are dead before touching them");
    if (!result_.holes.empty()) {
      Step& holes = step("Mark and cut the rough-in holes");
      caution(holes, "look for wires, pipes and gas lines behind the surface first");
      caution(holes,
              "cut no joist, truss, rafter, stud or plate without who answers for the frame");
    }
    cap_step();
    Step& cut = step("Cut the duct by the cut list and mark each section with its piece");
    caution(cut, "cut sheet is sharp: gloves and eye protection");
    assembly();
    finish();
  }

  void cap_step() {
    if (pieces().empty() || pieces().back().kind != PieceKind::cap) {
      return;
    }
    const std::string type = type_of(pieces().size() - 1);
    const bool indoors = result_.layout.run.discharge == layout::Discharge::room;
    Step& cap = step(fmt::format("Set cap {}, {}{}",
                                 layout::piece_number(pieces().size() - 1),
                                 type.empty() ? "as stated" : type,
                                 indoors ? ", where the air returns to the room"
                                         : ", from outside and make it weathertight"));
    if (indoors) {
      caution(cap, "keep its opening free: nothing stands before it");
      return;
    }
    const fitting::Traits traits = catalogue_.traits(fitting::Kind::cap, type);
    if (traits.stands_at(fitting::Outlet::roof)) {
      caution(cap, "work on a roof: fall protection, dry weather");
    }
    if (traits.shuts_by_itself()) {
      caution(cap, "its flap has to swing free and close by itself");
    }
    if (is_dryer()) {
      caution(cap, "no screen at a clothes dryer's cap");
    }
    caution(cap, "distances to windows, doors and air inlets are for local code");
  }

  void assembly() {
    std::size_t next = 0;
    for (std::size_t i = 0; i < pieces().size(); ++i) {
      const Piece& piece = pieces()[i];
      if (!has_body(piece.kind)) {
        continue;
      }
      const CutStraight* straight =
          piece.kind == PieceKind::straight ? straight_of(layout::piece_number(i)) : nullptr;
      if (piece.kind == PieceKind::straight && straight == nullptr) {
        straight_cautions(piece, result_.steps.back());
        continue;
      }
      if (i == 0 && result_.layout.run.changes_at_collar) {
        step("Adapter onto the collar (joint 1)");
        ++next;
      }
      const std::size_t count = straight == nullptr ? 1 : straight->sections_m.size();
      const int from = static_cast<int>(next) + 1;
      const int to = static_cast<int>(next + count);
      next += count;
      const std::string where =
          count == 1 ? fmt::format("joint {}", from) : fmt::format("joints {} to {}", from, to);
      if (straight != nullptr) {
        std::vector<Message::Value> cuts;
        std::string list;
        for (const double cut_m : straight->sections_m) {
          cuts.push_back(length(cut_m));
          list += list.empty() ? "{}" : " and {}";
        }
        straight_cautions(
            piece,
            step(fmt::format("Straight {}: {} long, {}", joined(straight->pieces), list, where),
                 std::move(cuts)));
      } else {
        const std::string type = type_of(i);
        fitting_cautions(
            piece,
            type,
            step(fmt::format(
                "{}{}: {}", capital(name_of(i)), type.empty() ? "" : ", " + type, where)));
      }
    }
  }

  static std::string joined(const std::vector<int>& numbers) {
    std::vector<std::string> words;
    for (const int one : numbers) {
      words.push_back(fmt::format("{}", one));
    }
    return base::joined(words, "and");
  }
  static std::string capital(std::string text) {
    if (!text.empty() && text.front() >= 'a' && text.front() <= 'z') {
      text.front() = static_cast<char>(text.front() - 'a' + 'A');
    }
    return text;
  }

  static void straight_cautions(const Piece& piece, Step& step) {
    if (piece.through == "ceiling" || piece.through == "roof" || piece.through == "wall") {
      caution(step,
              "keep the clearance to framing that the maker asks for, and close the gap around "
              "the duct as local code asks");
    }
    if (piece.through == "garage") {
      caution(step, "a garage is a fire separation: ask local code about thickness and openings");
    }
    if (piece.insulation_m2k_w && *piece.insulation_m2k_w > 0.0) {
      caution(step,
              "wrap with {} after the joints are sealed and looked at",
              {{*piece.insulation_m2k_w, Dimension::thermal_resistance}});
    }
  }

  /// Beyond a straight through the roof, or at the end of a run that heads up.
  [[nodiscard]] bool on_the_roof(const Piece& fan) const {
    if (result_.layout.run.discharge == layout::Discharge::room) {
      return false;
    }
    const auto at = std::find_if(
        pieces().begin(), pieces().end(), [&](const Piece& piece) { return &piece == &fan; });
    return std::any_of(pieces().begin(), at, [](const Piece& p) { return p.through == "roof"; }) ||
           (at + 1 == pieces().end() && rises(fan.heading_in));
  }

  void fitting_cautions(const Piece& piece, const std::string& type, Step& step) const {
    if (piece.kind == PieceKind::fan && on_the_roof(piece)) {
      caution(step, "work on a roof: fall protection, dry weather");
    }
    if (piece.kind == PieceKind::damper) {
      caution(step, "its blade has to swing free: hinge as marked, no screw in its way");
      caution(step, "leave a way to reach it later");
    }
    if (piece.kind == PieceKind::elbow &&
        catalogue_.traits(fitting::Kind::elbow, type).is(fitting::Make::adjustable)) {
      caution(step, "tape its swivel seams once it is set");
    }
    if (piece.kind == PieceKind::flex) {
      caution(step, "pull it taut, no crushed bend");
      if (is_dryer()) {
        caution(step, "one piece, never concealed (International Residential Code, M1502.4)");
      }
      if (result_.layout.appliance.kind == layout::ApplianceKind::range_hood) {
        caution(step,
                "metal duct only behind a range hood (common practice; codes ask for smooth "
                "metal)");
      }
    }
  }

  [[nodiscard]] bool screwed() const {
    return std::any_of(result_.joints.begin(), result_.joints.end(), [](const Joint& joint) {
      return joint.fasteners > 0;
    });
  }
  [[nodiscard]] bool has_flex() const {
    return std::any_of(pieces().begin(), pieces().end(), [](const Piece& piece) {
      return piece.kind == PieceKind::flex;
    });
  }

  void finish() {
    Step& fasten = step(is_dryer()  ? "Fasten and seal every joint, and hang the duct"
                        : screwed() ? "Screw and seal every joint, and hang the duct"
                                    : "Clamp and seal every joint, and hang the duct");
    if (!is_dryer() && has_flex()) {
      caution(fasten, "flexible duct takes clamps, no screws");
    }
    if (is_dryer()) {
      caution(fasten, "no screw that reaches into the duct: it catches lint, which burns");
    }
    const auto rising = [](const Joint& joint) { return joint.rising; };
    if (std::any_of(result_.joints.begin(), result_.joints.end(), rising)) {
      caution(fasten,
              "where the run rises, liquid that runs back meets the lap from inside: seal all "
              "round");
    }
    Step& power = step("Connect the appliance");
    caution(power, "wiring and gas by who is qualified and allowed to do it");
    Step& test = step(
        "Switch on: flap or damper opens at every speed, no joint leaks; read the static "
        "pressure at the collar");
    caution(test,
            "exhaust can draw flue gas back into the house: have every fuel-burning appliance "
            "checked with all exhaust running, and keep a carbon monoxide alarm");
  }

  // --- totals

  void totals() {
    for (const Piece& piece : pieces()) {
      if (piece.kind == PieceKind::straight || piece.kind == PieceKind::flex) {
        result_.duct_surface_m2 += piece.upstream.perimeter_m() * piece.length_m.value_or(0.0);
      }
    }
    bool unweighed_duct = false;
    for (const PartLine& line : result_.bill) {
      if (line.group == "duct" || line.group == "fitting") {
        result_.part_count += static_cast<int>(line.quantity);
        unweighed_duct = unweighed_duct || (line.group == "duct" && !line.mass_kg);
      }
      result_.mass_kg += line.mass_kg.value_or(0.0);
    }
    if (weighed_) {
      if (is_dryer()) {
        assume(
            "mass of sheet {} thick, the least that the International Residential Code asks of a "
            "dryer duct (M1502.4); caps and dampers are not weighed",
            {{.texts = {"0.0157 in (28 gage, 0.4 mm)", "0.4 mm (28 gage)"}}});
      } else {
        assume(
            "mass of sheet {} thick to {} and {} beyond, the least of the International "
            "Residential Code's table M1601.1.1 as one state prints it; caps and dampers are not "
            "weighed",
            {length(0.013 * kInch_m), {.texts = {"14 in", "356 mm"}}, length(0.016 * kInch_m)});
      }
    }
    if (unweighed_duct) {
      assume("duct of a material without a known sheet thickness is not weighed");
    }
    if (pieces().empty() || pieces().back().kind != PieceKind::cap) {
      assume("the run ends without a cap: none is in the bill");
    }
    for (const Piece& piece : pieces()) {
      if (piece.kind == PieceKind::loss) {
        assume("a `loss` piece has no part in the bill");
        break;
      }
    }
    if (!result_.layout.run.heading) {
      assume("no headings are stated: where holes lie and which joints rise is not known");
    }
    result_.cautions = {
        "power off at the panel and locked before any work on the appliance",
        "metal duct only; a qualified installer, by the maker's instructions",
        "local code and the authority having jurisdiction decide; this list is no permit"};
  }

  const solve::CompiledRun& run_;
  const fitting::Catalogue& catalogue_;
  PartsResult result_;
  bool weighed_ = false;
};

base::Diagnostics faults_of(const PartsOptions& options, double overlap_m) {
  base::Diagnostics faults;
  for (const double stock_m : options.stock_m) {
    if (stock_m < 4.0 * overlap_m || stock_m < 0.1) {
      faults.push_back(wrong(
          "stock-too-short",
          fmt::format("a stock length of {} leaves no duct beside its overlap", inches(stock_m)),
          fmt::format("state one over {}", inches(std::max(4.0 * overlap_m, 0.1)))));
    }
    if (stock_m > 30.0) {
      faults.push_back(
          wrong("stock-too-long",
                fmt::format("a stock length of {} is no duct that can be bought", inches(stock_m)),
                "state one up to 98 ft"));
    }
  }
  if (options.hanger_m && *options.hanger_m < 0.1) {
    faults.push_back(wrong("spacing-too-small",
                           fmt::format("a hanger each {} is no spacing", inches(*options.hanger_m)),
                           "usual: 10 ft, of a clothes dryer 12 ft"));
  }
  return faults;
}

}  // namespace

base::Checked<PartsResult> parts(layout::Layout layout,
                                 const fitting::Catalogue& catalogue,
                                 const PartsOptions& options) {
  base::Diagnostics faults = faults_of(options, options.overlap_m.value_or(kOverlap_m));
  if (!faults.empty()) {
    return faults;
  }
  const auto run = solve::compile(layout, catalogue);
  if (!run) {
    return run.error();
  }
  return Bill(std::move(layout), *run, catalogue).build(options);
}

}  // namespace ductledger::build
