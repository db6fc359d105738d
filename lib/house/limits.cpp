#include "house/limits.hpp"

#include <algorithm>
#include <span>

#include "base/expects.hpp"
#include "base/words.hpp"
#include "fitting/embedded_internal.hpp"
#include "units/quantity_text.hpp"

namespace ductledger::house {

[[nodiscard]] std::span<const fitting::EmbeddedFile> embedded_files() noexcept;

namespace {

struct Row {
  std::string draft;
  std::string burner;  ///< empty: whatever burns
  bool common_vent = false;
  bool vent_damper = false;
  bool several = false;
  double limit_pa = 0.0;
  std::string note;
};

struct List {
  std::string key;
  std::string title;
  std::string status;
  std::vector<Row> rows;
};

std::string text_of(const yaml::Node& node, const char* key) {
  const yaml::Node* value = node.find(key);
  return value == nullptr ? std::string() : value->text;
}

/// The file is ours and was parsed when the program was built, so a fault in it is a fault of ours.
std::vector<List> read_lists() {
  std::vector<List> lists;
  for (const fitting::EmbeddedFile& file : embedded_files()) {
    const yaml::Node root = fitting::decoded(file.tree);
    const yaml::Node* all = root.find("lists");
    DUCTLEDGER_EXPECTS(all != nullptr);
    for (const yaml::Node& from : all->items) {
      List list{text_of(from, "key"), text_of(from, "title"), text_of(from, "status"), {}};
      for (const yaml::Node& row : from.find("rows")->items) {
        const auto limit = units::parse_quantity(text_of(row, "limit"), units::Dimension::pressure);
        DUCTLEDGER_EXPECTS(std::holds_alternative<double>(limit));
        list.rows.push_back({.draft = text_of(row, "draft"),
                             .burner = text_of(row, "burner"),
                             .common_vent = row.find("common_vent") != nullptr,
                             .vent_damper = row.find("vent_damper") != nullptr,
                             .several = row.find("several") != nullptr,
                             .limit_pa = std::get<double>(limit),
                             .note = text_of(row, "note")});
      }
      lists.push_back(std::move(list));
    }
  }
  return lists;
}

const std::vector<List>& lists() {
  static const std::vector<List> all = read_lists();
  return all;
}

constexpr auto kDraftWords =
    base::words<layout::Draft>({{layout::Draft::natural, "natural"},
                                {layout::Draft::induced, "induced"},
                                {layout::Draft::power_vented, "power-vented"},
                                {layout::Draft::direct_vent, "direct-vent"},
                                {layout::Draft::solid_fuel, "solid-fuel"}});
constexpr const char* word(layout::Draft draft) { return kDraftWords.of(draft); }

constexpr auto kBurnerWords =
    base::words<layout::Burner>({{layout::Burner::water_heater, "water-heater"},
                                 {layout::Burner::furnace, "furnace"},
                                 {layout::Burner::boiler, "boiler"},
                                 {layout::Burner::fireplace, "fireplace"},
                                 {layout::Burner::stove, "stove"},
                                 {layout::Burner::not_stated, ""}});
constexpr const char* word(layout::Burner burner) { return kBurnerWords.of(burner); }

bool draws_by_itself(const layout::CombustionAppliance& appliance) {
  return appliance.inside_air_barrier && (appliance.draft == layout::Draft::natural ||
                                          appliance.draft == layout::Draft::solid_fuel);
}

/// What the rows are asked for; an appliance, or `none`.
struct Asked {
  std::string draft;
  std::string burner;
  bool common_vent = false;
  bool vent_damper = false;
  bool several = false;
};

bool fits(const Row& row, const Asked& asked) {
  return row.draft == asked.draft && (row.burner.empty() || row.burner == asked.burner) &&
         (!row.common_vent || asked.common_vent) && (!row.vent_damper || asked.vent_damper) &&
         (!row.several || asked.several);
}

std::vector<ListedLimit> listed(const Asked& asked) {
  std::vector<ListedLimit> found;
  for (const List& list : lists()) {
    const auto row = std::find_if(
        list.rows.begin(), list.rows.end(), [&](const Row& one) { return fits(one, asked); });
    if (row != list.rows.end()) {
      found.push_back({row->limit_pa, list.key, list.title, list.status, row->note});
    }
  }
  std::stable_sort(found.begin(), found.end(), [](const ListedLimit& a, const ListedLimit& b) {
    return a.pressure_pa < b.pressure_pa;
  });
  return found;
}

}  // namespace

std::optional<Limit> limit_of(const layout::House& house) {
  if (!house.combustion_stated) {
    return std::nullopt;
  }
  const bool several =
      std::count_if(house.combustion.begin(), house.combustion.end(), draws_by_itself) > 1;
  std::optional<Limit> lowest;
  for (const layout::CombustionAppliance& appliance : house.combustion) {
    if (!appliance.inside_air_barrier) {
      continue;
    }
    auto found = listed({.draft = word(appliance.draft),
                         .burner = word(appliance.burner),
                         .common_vent = appliance.common_vent,
                         .vent_damper = appliance.vent_damper,
                         .several = several});
    DUCTLEDGER_EXPECTS(!found.empty());
    if (!lowest || found.front().pressure_pa < lowest->pressure_pa) {
      const double pressure_pa = found.front().pressure_pa;
      lowest = Limit{pressure_pa, appliance.kind, appliance.span, std::move(found)};
    }
  }
  if (!lowest) {
    auto found = listed({.draft = "none", .burner = {}});
    DUCTLEDGER_EXPECTS(!found.empty());
    const double pressure_pa = found.front().pressure_pa;
    lowest = Limit{pressure_pa, std::string(), house.span, std::move(found)};
  }
  return lowest;
}

Limit strictest_limit() {
  layout::House house;
  house.combustion_stated = true;
  house.combustion = {{.kind = "natural-draft-water-heater",
                       .draft = layout::Draft::natural,
                       .burner = layout::Burner::water_heater,
                       .span = {}}};
  return *limit_of(house);
}

}  // namespace ductledger::house
