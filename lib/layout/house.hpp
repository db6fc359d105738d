#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/source.hpp"
#include "base/words.hpp"
#include "duct/section.hpp"
#include "layout/start_place.hpp"

/// The house of a layout: what air can come in by, what else draws air out, what burns inside.
namespace ductledger::layout {

struct Run;
struct Branch;

/// How the leakage was stated.
enum class LeakageBasis {
  airflow,          ///< a blower door's airflow at a pressure
  air_changes,      ///< air changes an hour at 50 Pa, with the volume
  effective_area,   ///< effective leakage area, 4 Pa and discharge coefficient 1
  equivalent_area,  ///< equivalent leakage area, 10 Pa and discharge coefficient 0.611
  tightness_class,  ///< a word for a range of air changes, with the volume
};

/// Airflow through all leaks: airflow (dP / pressure)^exponent.
struct Leakage {
  LeakageBasis basis = LeakageBasis::airflow;
  double airflow_m3_s = 0.0;  ///< at `pressure_pa`, above 0
  double pressure_pa = 50.0;
  double exponent = 0.65;  ///< [1] 0.5 to 1
  bool exponent_stated = false;
  std::optional<double> above_collar_m;  ///< mean height of the leaks; nothing: no stack on them
  bool at_standard = false;   ///< stated for air of 20 degC and 1.204 kg/m3, as reports are
  std::string tightness;      ///< the class's word
  double lowest_m3_s = 0.0;   ///< class: ends of its range; else as `airflow_m3_s`
  double highest_m3_s = 0.0;  ///< class: ends of its range; else as `airflow_m3_s`
  base::Span span;
};

struct OtherExhaust {
  std::string name;
  double airflow_m3_s = 0.0;  ///< while the appliance runs
  base::Span span;
};

enum class Draft { natural, induced, power_vented, direct_vent, solid_fuel };
enum class Burner { water_heater, furnace, boiler, fireplace, stove, not_stated };

struct CombustionAppliance {
  std::string kind;  ///< as stated, such as `natural-draft-water-heater`
  Draft draft = Draft::natural;
  Burner burner = Burner::not_stated;
  bool inside_air_barrier = true;
  bool common_vent = false;  ///< its vent also carries a water heater's flue gas
  bool vent_damper = false;
  base::Span span;
};

enum class MakeupKind { none, passive_opening, powered, duct };
inline constexpr auto kMakeupKindWords =
    base::words<MakeupKind>({{MakeupKind::none, "none"},
                             {MakeupKind::passive_opening, "passive-opening"},
                             {MakeupKind::powered, "powered"},
                             {MakeupKind::duct, "duct"}});
[[nodiscard]] constexpr const char* word(MakeupKind kind) { return kMakeupKindWords.of(kind); }

struct Makeup {
  MakeupKind kind = MakeupKind::none;
  double free_area_m2 = 0.0;             ///< passive opening
  std::optional<duct::Section> section;  ///< passive opening, where stated by its size
  double discharge_coefficient = 0.6;    ///< [1] passive opening
  double airflow_m3_s = 0.0;             ///< powered
  bool interlocked = false;              ///< runs or opens with the appliance
  bool interlock_stated = false;         ///< the file says so, or says that it does not
  std::vector<Run> duct;                 ///< kind `duct`: one run, from outdoors to the room
  std::vector<Branch> branches;          ///< that join the duct, each from outdoors too
  StartPlace intake_at;                  ///< where the duct begins
  base::Span span;
};

/// What a test on site found with every exhaust running; where it stands, it is judged instead of
/// the calculated depressurisation.
struct HouseTest {
  std::optional<double> suction_pa;  ///< room below outdoors
  std::optional<bool> spillage;      ///< of flue gas
  std::string date;                  ///< as stated
  base::Span span;
};

struct House {
  std::optional<double> floor_area_m2;
  std::optional<double> volume_m3;
  std::optional<Leakage> leakage;
  double wind_coefficient = 0.0;  ///< of the envelope as a whole
  std::vector<OtherExhaust> other_exhaust;
  bool combustion_stated = false;
  std::vector<CombustionAppliance> combustion;
  Makeup makeup;
  std::optional<HouseTest> tested;
  base::Span span;
};

}  // namespace ductledger::layout
