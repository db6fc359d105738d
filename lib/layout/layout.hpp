#pragma once

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "base/checked.hpp"
#include "base/words.hpp"
#include "duct/section.hpp"
#include "fan/fan_curve.hpp"
#include "fitting/catalogue.hpp"
#include "layout/facts.hpp"
#include "layout/house.hpp"
#include "layout/measurement.hpp"
#include "layout/origin.hpp"
#include "layout/piece.hpp"
#include "layout/start_place.hpp"
#include "layout/variants.hpp"
#include "units/constants.hpp"
#include "yaml/tree.hpp"

/// The layout file, checked and in SI. Everything here came from the file or is a default that is
/// listed in `Layout::defaults`.
namespace ductledger::layout {

/// One state of air.
struct AirState {
  double temperature_k = 294.2611111111111;  ///< 70 degF
  double relative_humidity = 0.5;
};

struct StatedAir {
  double density_kg_m3 = 0.0;
  std::optional<double> viscosity_pa_s;
};

struct Site {
  double elevation_m = 0.0;
  AirState indoor;
  AirState duct;
  AirState outdoor;
  bool outdoor_stated = false;
  bool duct_stated = false;
  std::optional<StatedAir> stated_air;
  double wind_m_s = 0.0;
  std::optional<double> wind_coefficient;
};

enum class ApplianceKind { range_hood, bath_fan, clothes_dryer, exhaust };

enum class Mount { wall, island, under_cabinet, downdraft };
inline constexpr auto kMountWords = base::words<Mount>({{Mount::wall, "wall"},
                                                        {Mount::island, "island"},
                                                        {Mount::under_cabinet, "under-cabinet"},
                                                        {Mount::downdraft, "downdraft"}});

struct Cooking {
  std::string fuel;
  std::optional<double> width_m;
  std::optional<Mount> mount;
  std::optional<double> hood_height_m;
  base::Span span;
};

struct Appliance {
  ApplianceKind kind = ApplianceKind::exhaust;
  bool kind_stated = false;
  std::optional<duct::Section> collar;
  StartPlace collar_at{.from_center_m = 0.0};  ///< taken to lie on the centerline
  bool includes_stated = false;
  bool includes_filter = false;
  bool includes_damper = false;
  std::optional<double> nameplate_airflow_m3_s;
  std::optional<Cooking> cooking;
  std::optional<double> required_airflow_m3_s;
  base::Span span;  ///< of the appliance's mapping
  base::Span collar_span;
  base::Span required_span;
  base::Span nameplate_span;
};

struct Rating {
  double airflow_m3_s = 0.0;  ///< of one blower
  double pressure_pa = 0.0;
  base::Span span;
};

struct Speed {
  std::string name;
  std::vector<fan::FanPoint> curve;   ///< printed points of one blower; may be empty
  std::vector<Rating> ratings;        ///< of one blower; may be empty
  std::optional<double> speed_ratio;  ///< of the first speed
  bool locked_out = false;
  base::Span span;
};

struct Fan {
  int count = 1;
  fan::PressureBasis basis = fan::PressureBasis::static_pressure;
  bool basis_stated = false;
  std::optional<duct::Section> outlet;  ///< of one blower; else the collar is the outlet of all
  bool generic_blower = false;          ///< a free-air airflow on an assumed shape, as asked for
  double rated_density_kg_m3 = units::kStandardDensityKgM3;
  std::vector<Speed> speeds;
  base::Span span;
};

inline constexpr auto kApplianceKindWords =
    base::words<ApplianceKind>({{ApplianceKind::range_hood, "range-hood"},
                                {ApplianceKind::bath_fan, "bath-fan"},
                                {ApplianceKind::clothes_dryer, "clothes-dryer"},
                                {ApplianceKind::exhaust, "exhaust"}});
[[nodiscard]] constexpr const char* word(ApplianceKind kind) {
  return kApplianceKindWords.of(kind);
}

enum class Discharge { outdoors, room };
inline constexpr auto kDischargeWords =
    base::words<Discharge>({{Discharge::outdoors, "outdoors"}, {Discharge::room, "room"}});

struct Run {
  std::optional<duct::Section> stated_section;
  /// In force after a change at the collar.
  duct::Section first_section = duct::Section::round(units::inches(6.0));
  bool changes_at_collar =
      false;  ///< first section unlike the collar and no transition stated: row 0
  std::string material;
  double roughness_m = 0.0;
  std::optional<Direction> heading;
  Discharge discharge = Discharge::outdoors;
  double back_pressure_pa = 0.0;  ///< held at the outlet, as by other fans on a shared shaft
  std::optional<double> stated_rise_m;
  std::optional<double> rise_m;  ///< stated or by headings; nothing: not known
  std::vector<Piece> pieces;
  std::optional<std::size_t> fan_piece;  ///< index of the `fan` piece
  base::Span span;
  base::Span section_span;
};

/// A run that joins another at a `junction`. Its run leads from its inlet to there.
struct Branch {
  std::string name;
  Run run;
  std::optional<Fan> fan;  ///< at its start; nothing: a passive inlet
  std::size_t speed = 0;   ///< the one it runs at, in `fan->speeds`
  std::optional<double> required_airflow_m3_s;
  base::Span span;  ///< of its name
  base::Span required_span;
};

struct Submitted {
  std::string speed;
  std::optional<double> airflow_m3_s;
  std::optional<double> static_pressure_pa;
  std::optional<double> equivalent_length_m;
  base::Span span;
};

/// A rule set that the file asks to be judged by: a name, or a file that ends in `.yaml`.
struct RuleSetKey {
  std::string name;
  base::Span span;
};

/// What somebody saw on site: the keys of the layout that it covers, with all below them.
struct SeenOnSite {
  std::string date;  ///< as stated
  std::vector<std::string> keys;
  base::Span span;
};

/// A value that the file left out and the calculation took.
struct DefaultTaken {
  std::string what;   ///< such as `site.elevation`
  std::string value;  ///< such as `0 ft`
};

struct Layout {
  std::string file;  ///< as the user named it
  std::string title;
  std::string sha256;  ///< of the file's bytes; empty: edited, so that no file holds it
  base::SourcePtr source;
  /// What was read; the places of an edited one are those of the file it came from. Null: the
  /// layout was not read from a text.
  std::shared_ptr<const yaml::Tree> tree;
  /// What stands where, by its keys; an edited layout keeps its file's. Null as `tree`.
  std::shared_ptr<const Origins> origins;
  std::string digest;     ///< `layout::digest` of the file's layout
  std::string catalogue;  ///< a catalogue of the user's own, as named; empty: none
  Site site;
  Appliance appliance;
  std::optional<Fan> fan;
  Run run;  ///< from the appliance's collar to the outlet; with branches: the trunk
  /// In the order in which junctions take them in, from the run's collar on; what joins a branch
  /// comes behind it.
  std::vector<Branch> branches;
  Facts facts;  ///< what rules ask for beside the arithmetic
  std::optional<House> house;
  std::vector<Submitted> submitted;
  std::vector<Measurement> measurements;
  /// Standard uncertainties stated by kind of input, in place of the defaults: `coefficients` and
  /// the layout keys of fitting/default_uncertainty.hpp; relative, or SI.
  std::map<std::string, double, std::less<>> uncertainty;
  std::vector<Variant>
      variants;  ///< by name; what `compare` changes; the run above is without them
  std::vector<RuleSetKey> rules;  ///< in file order; empty: none named
  std::vector<SeenOnSite> seen;   ///< in file order
  std::vector<DefaultTaken> defaults;
  std::vector<units::Message> remarks;  ///< what the reader has to be told, such as a lost heading
  base::Diagnostics warnings;
};

/// The value of a layout's key `catalogue`, and where it stands. Whoever reads files loads it first
/// and hands `read` the extended catalogue. Nothing: no such key, or a text that `read` refuses.
struct CatalogueKey {
  std::string path;
  base::Span span;
};
[[nodiscard]] std::optional<CatalogueKey> catalogue_key(const base::SourcePtr& text);

/// Reads a layout's text. All independent faults in one pass. @param catalogue names the types and
/// parameters that pieces may state.
[[nodiscard]] base::Checked<Layout> read(const base::SourcePtr& text,
                                         const fitting::Catalogue& catalogue);

/// The layout that its file would give with `root` in place of its own tree: same reader, same
/// checks; places are those of the nodes. @param original must have a tree
[[nodiscard]] base::Checked<Layout> read_edited(const Layout& original,
                                                yaml::Node root,
                                                const fitting::Catalogue& catalogue);

/// The commented starter layout that `new` writes and `check` accepts.
[[nodiscard]] const std::string& starter();

}  // namespace ductledger::layout
