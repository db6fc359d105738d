#pragma once

#include <optional>
#include <string>
#include <vector>

#include "build/cut_list.hpp"
#include "layout/geometry.hpp"
#include "solve/run.hpp"
#include "units/message.hpp"

/// What a layout takes to build: the bill, the cuts, the joints, the holes, the order of work.
namespace ductledger::build {

struct PartsOptions {
  std::vector<double> stock_m;  ///< lengths on sale; empty: 5 ft and 2 ft, of a layout written in
                                ///< metric 3 m and 1 m
  std::optional<double> overlap_m;         ///< of a joint; nothing: 1-1/2 in
  std::optional<double> hanger_m;          ///< spacing; nothing: 10 ft, of a clothes dryer 12 ft
  std::optional<double> hole_clearance_m;  ///< around the duct on every side; nothing: 1/2 in
};

enum class Measure { count, length, area };

/// One line of the bill.
struct PartLine {
  std::string group;  ///< `duct`, `fitting`, `sealing`, `fastening`, `support`, `insulation`
  std::string item;   ///< `duct`, `elbow adjustable`, `foil tape`, ...
  std::optional<duct::Section> section;
  std::optional<duct::Section> to;  ///< other end, where it differs
  std::string material;
  std::optional<double> each_m;  ///< length of one
  std::optional<double> angle_rad;
  std::optional<double> radius_ratio;
  double quantity = 0.0;  ///< by `measure`: number, m or m2
  Measure measure = Measure::count;
  std::optional<double> mass_kg;  ///< of them all; nothing: not known
  std::vector<int> pieces;        ///< numbers as in the ledger
  units::Message note;            ///< may be empty
};

/// A straight as it is cut: neighbours in the layout of one section and material are one.
struct CutStraight {
  std::vector<int> pieces;
  double clear_m = 0.0;
  std::vector<double> sections_m;  ///< overall, in the direction of the airflow
};

/// All duct of one section and material.
struct DuctCuts {
  duct::Section section = duct::Section::round(units::inches(6.0));
  std::string material;
  std::vector<CutStraight> straights;
  CutList list;  ///< a cut's `demand` is an index in `straights`
};

struct Joint {
  int number = 0;
  std::string before;  ///< upstream: `collar`, `straight 1`, `elbow 2`, ...
  std::string after;
  duct::Section section = duct::Section::round(units::inches(6.0));
  int fasteners = 0;
  /// The airflow rises there by more than 30 degrees: what runs back down meets the lap.
  bool rising = false;
};

/// A hole's centre, the collar's or the intake's at the origin: x right, y back, z up, as seen
/// facing the appliance.
struct HoleCentre {
  layout::Point at_m{};
  std::size_t across = 2;             ///< axis that the duct crosses along: 0, 1 or 2
  std::optional<double> from_wall_m;  ///< in front of the wall behind; negative: beyond it
  std::optional<double> above_floor_m;
  std::optional<double> from_center_m;  ///< right of the appliance's centerline
  bool nominal = false;                 ///< rests on elbows whose legs are not stated
};

struct Hole {
  int piece = 0;
  std::string through;                                            ///< ceiling, roof or wall
  duct::Section size = duct::Section::round(units::inches(6.0));  ///< square to the duct
  /// Along the slope of the duct in the plane of the hole, where it does not cross squarely; of one
  /// that is not placed the most it can be.
  std::optional<double> stretched_m;
  std::optional<HoleCentre> centre;  ///< nothing: not known
  std::vector<units::Message> notes;
};

/// What a duct is for: its air goes outdoors, or comes in from there.
enum class Duct { exhaust, makeup };

struct Step {
  units::Message what;
  std::vector<units::Message> cautions;
};

/// The result document of `parts`.
struct PartsResult {
  layout::Layout layout;
  Duct duct = Duct::exhaust;
  std::vector<double> stock_m;  ///< as taken, longest first
  double overlap_m = 0.0;
  double hanger_m = 0.0;
  double hole_clearance_m = 0.0;
  std::vector<PartLine> bill;
  std::vector<DuctCuts> cuts;
  std::vector<Joint> joints;
  std::vector<Hole> holes;
  std::vector<Step> steps;
  std::string male_end;          ///< which way the inserted ends point, and by what
  double duct_surface_m2 = 0.0;  ///< outside, straights, flex and fittings of known length
  double mass_kg = 0.0;          ///< of what has a mass in the bill
  double longest_stick_m = 0.0;
  int part_count = 0;  ///< sticks, flex and fittings
  std::vector<units::Message> assumed;
  std::vector<std::string> cautions;
  /// The makeup duct that the house draws, by itself: none or one. Its order of work is not told
  /// apart; its `collar_at` is the place of its intake, from which its holes are counted.
  std::vector<PartsResult> makeup;
  /// What each branch takes by itself, in file order: bill, cuts, joints and holes, whose places
  /// count from the collar by way of the junction. Its steps are told with the run's. All figures
  /// but `in_all` are of one run alone.
  std::vector<PartsResult> branches;
  std::string branch;  ///< of one of those: its name
  struct InAll {
    int part_count = 0;
    int joint_count = 0;
    double mass_kg = 0.0;
  };
  InAll in_all;  ///< the run and its branches
};

/// The junction that takes a branch in: `junction 4`, in another branch `junction 2 of bath`.
/// @param branch index in `Layout::branches`
[[nodiscard]] std::string junction_name(const layout::Layout& layout, std::size_t branch);

/// Fails where the catalogue knows no piece as stated, and on lengths that make no sense.
[[nodiscard]] base::Checked<PartsResult> parts(layout::Layout layout,
                                               const fitting::Catalogue& catalogue,
                                               const PartsOptions& options = {});

}  // namespace ductledger::build
