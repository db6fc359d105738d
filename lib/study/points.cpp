#include "study/points.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "house/zone.hpp"
#include "layout/rise.hpp"
#include "solve/held_run.hpp"
#include "study/written_internal.hpp"

namespace ductledger::study {

/// What follows from a number beside itself.
struct Moves {
  bool piece = false;  ///< what its own piece costs
  bool rise = false;   ///< where the run ends
  bool air = false;    ///< stack and wind
  bool house = false;
};

/// Where in the checked layout a place stands, and within what values the reader takes it as it
/// is. Nothing: only the reader knows what follows from it.
struct DirectPlace {
  void (*put)(layout::Layout&, std::size_t item, double value) = nullptr;
  double lowest = 0.0;
  double highest = 0.0;
  Moves moves{};
};

namespace {

using layout::Layout;
using layout::PieceKind;
using units::Dimension;

void put_length(Layout& layout, std::size_t item, double value) {
  layout.run.pieces[item].length_m = value;
}
void put_coefficient(Layout& layout, std::size_t item, double value) {
  layout.run.pieces[item].coefficient->value = value;
}
void put_wind(Layout& layout, std::size_t /*item*/, double value) { layout.site.wind_m_s = value; }
void put_outdoor(Layout& layout, std::size_t /*item*/, double value) {
  layout.site.outdoor.temperature_k = value;
}
void put_leakage(Layout& layout, std::size_t /*item*/, double value) {
  layout::Leakage& leakage = *layout.house->leakage;
  leakage.airflow_m3_s = value;
  leakage.lowest_m3_s = value;
  leakage.highest_m3_s = value;
}

DirectPlace direct_of(const Layout& layout, const edit::Path& path) {
  const auto& steps = path.steps;
  const auto keys = [&](std::initializer_list<std::string_view> wanted) {
    return std::ranges::equal(
        steps, wanted, {}, [](const edit::PathStep& step) { return std::string_view(step.key); });
  };
  if (keys({"site", "wind"}) && !steps[1].item) {
    return {put_wind, 0.0, 20.0, {.air = true, .house = true}};
  }
  if (keys({"site", "outdoor", "temperature"}) && layout.site.outdoor_stated &&
      !layout.site.stated_air) {
    return {put_outdoor, 240.0, 315.0, {.air = true, .house = true}};
  }
  if (keys({"house", "leakage", "airflow"}) && layout.house && layout.house->leakage &&
      layout.house->leakage->basis == layout::LeakageBasis::airflow &&
      !layout.house->leakage->at_standard) {
    return {put_leakage, 0.01, 10.0, {.house = true}};
  }
  if (steps.size() != 3 || steps[0].key != "run" || steps[1].key != "pieces" || !steps[1].item ||
      *steps[1].item > layout.run.pieces.size()) {
    return {};
  }
  const layout::Piece& piece = layout.run.pieces[*steps[1].item - 1];
  const bool duct = piece.kind == PieceKind::straight || piece.kind == PieceKind::flex;
  if (steps[2].key == "length" && duct && piece.length_m &&
      piece.key_spans.count("measured") == 0) {
    return {put_length, 0.001, 300.0, {.piece = true, .rise = true}};
  }
  if (steps[2].key == "coefficient" && piece.coefficient && piece.kind != PieceKind::loss) {
    return {put_coefficient, 0.01, 20.0, {.piece = true}};
  }
  return {};
}

/// The dimension is the one whose unit the reader takes there.
/// @param first_si a value that the place is tried with
base::Checked<Dimension> dimension_at(const Layout& layout,
                                      const fitting::Catalogue& catalogue,
                                      const edit::Path& path,
                                      double first_si) {
  std::optional<base::Diagnostic> refused;
  for (const units::DimensionRow& row : units::kDimensions) {
    const edit::Setting setting{path, written(first_si, row.dimension)};
    const auto edited = edit::with_settings(layout, catalogue, {&setting, 1});
    if (edited) {
      return row.dimension;
    }
    const base::Diagnostic& first = edited.error().front();
    // What is said of a value out of range, or of the place, counts more than of its unit.
    if (!refused || first.rule == "out-of-range" || first.rule == "unknown-key") {
      refused = first;
    }
    if (first.rule == "cannot-edit" || first.rule == "unknown-key") {
      break;
    }
  }
  return *std::move(refused);
}

}  // namespace

struct Points::Place {
  edit::Path path;
  Dimension dimension = Dimension::number;
  DirectPlace direct;
  std::size_t item = 0;  ///< in run.pieces
};

/// The layout with the numbers of the last point, and what was compiled of it.
struct Points::Held {
  Layout layout;
  solve::HeldRun run;
  house::CompiledHouse house;
  solve::SpeedFan fan;
  std::vector<double> values;  ///< of the places; not a number: to be put whatever comes

  void forget() { values.assign(values.size(), std::nan("")); }
};

struct Points::Base {
  const Layout* layout = nullptr;
  const fitting::Catalogue* catalogue = nullptr;
  std::vector<Place> places;
  std::size_t speed = 0;  ///< in layout.fan->speeds
};

base::Checked<Points> Points::of(const Layout& layout,
                                 const fitting::Catalogue& catalogue,
                                 const Asked& asked) {
  const auto as_it_is = check(layout, catalogue, {.speed = asked.speed, .depth = Depth::points});
  if (!as_it_is) {
    return as_it_is.error();
  }
  if (!layout.fan || !as_it_is->ledger_speed) {
    return layout.fan ? base::fault("no-speed", "every speed is locked out", "name one")
                      : base::fault("no-fan", "the layout has no fan, so no airflow can be found");
  }
  auto base = std::make_shared<Base>();
  base->layout = &layout;
  base->catalogue = &catalogue;
  base->speed = as_it_is->speeds[*as_it_is->ledger_speed].index;
  base::Diagnostics faults;
  for (std::size_t i = 0; i < asked.places.size(); ++i) {
    auto path = edit::read_path(asked.places[i]);
    if (!path) {
      faults.insert(faults.end(), path.error().begin(), path.error().end());
      continue;
    }
    Place place{.path = *std::move(path), .direct = {}};
    const auto dimension = dimension_at(layout, catalogue, place.path, asked.first[i]);
    if (!dimension) {
      const base::Diagnostic& refused = dimension.error().front();
      faults.push_back(
          base::fault(refused.rule,
                      fmt::format("`{}`: {}", base::escaped(asked.places[i]), refused.message),
                      refused.help));
      continue;
    }
    place.dimension = *dimension;
    place.direct = direct_of(layout, place.path);
    if (place.path.steps.size() > 1 && place.path.steps[1].item) {
      place.item = *place.path.steps[1].item - 1;
    }
    base->places.push_back(std::move(place));
  }
  if (!faults.empty()) {
    return faults;
  }
  Points points;
  points.base_ = std::move(base);
  points.pieces_.resize(asked.places.size());
  if (points.all_direct()) {
    auto run = solve::HeldRun::of(layout, catalogue);
    if (!run) {
      return run.error();
    }
    auto house = house::compile(layout, catalogue, run->run());
    if (!house) {
      return house.error();
    }
    solve::SpeedFan fan = solve::speed_fan(layout, run->run(), points.base_->speed);
    points.held_ = std::make_unique<Held>(
        Held{.layout = layout,
             .run = *std::move(run),
             .house = *std::move(house),
             .fan = std::move(fan),
             .values = std::vector<double>(asked.places.size(), std::nan(""))});
  }
  return points;
}

Points::Points(const Points& other)
    : base_(other.base_),
      held_(other.held_ ? std::make_unique<Held>(*other.held_) : nullptr),
      pieces_(other.pieces_) {}
Points::Points(Points&&) noexcept = default;
Points::~Points() = default;

bool Points::all_direct() const {
  const std::vector<Place>& places = base_->places;
  for (std::size_t i = 0; i < places.size(); ++i) {
    const bool again = std::any_of(
        places.begin(), places.begin() + static_cast<std::ptrdiff_t>(i), [&](const Place& before) {
          return before.direct.put == places[i].direct.put && before.item == places[i].item;
        });
    if (places[i].direct.put == nullptr || again) {
      return false;
    }
  }
  return true;
}

base::Checked<PointFound> Points::at(std::span<const double> values) {
  const std::vector<Place>& places = base_->places;
  bool within = held_ != nullptr;
  for (std::size_t i = 0; within && i < places.size(); ++i) {
    within = values[i] >= places[i].direct.lowest && values[i] <= places[i].direct.highest;
  }
  return within ? followed(values) : through_the_text(values);
}

base::Checked<PointFound> Points::through_the_text(std::span<const double> values) const {
  const std::vector<Place>& places = base_->places;
  std::vector<edit::Setting> settings;
  for (std::size_t i = 0; i < places.size(); ++i) {
    if (!std::isfinite(values[i])) {
      return base::fault("bad-value", fmt::format("`{}` is no number", places[i].path.text()));
    }
    settings.push_back({places[i].path, written(values[i], places[i].dimension)});
  }
  const auto edited = edit::with_settings(*base_->layout, *base_->catalogue, settings);
  if (!edited) {
    // The file itself reads, so what is said is about the values; the file shows none of them.
    const base::Diagnostic& first = edited.error().front();
    std::vector<std::string> put;
    for (const edit::Setting& setting : settings) {
      put.push_back(fmt::format("`{}` at {}", setting.path.text(), setting.value));
    }
    return base::fault(first.rule,
                       fmt::format("{}, with {}", first.message, base::joined(put, "and")),
                       first.help.empty() ? first.label : first.help);
  }
  const auto run = solve::compile(*edited, *base_->catalogue);
  if (!run) {
    return run.error();
  }
  const auto house = house::compile(*edited, *base_->catalogue, *run);
  if (!house) {
    return house.error();
  }
  return solved(*run, *house, solve::speed_fan(*edited, *run, base_->speed));
}

base::Checked<PointFound> Points::followed(std::span<const double> values) {
  Held& held = *held_;
  Moves moves;
  std::size_t moved = 0;
  for (std::size_t i = 0; i < values.size(); ++i) {
    if (values[i] == held.values[i]) {
      continue;
    }
    const Place& place = base_->places[i];
    place.direct.put(held.layout, place.item, values[i]);
    if (place.direct.moves.piece) {
      pieces_[moved++] = place.item;
    }
    moves.rise = moves.rise || place.direct.moves.rise;
    moves.air = moves.air || place.direct.moves.air;
    moves.house = moves.house || place.direct.moves.house;
    held.values[i] = values[i];
  }
  if (moves.rise && !held.layout.run.stated_rise_m) {
    held.layout.run.rise_m = layout::rise_by_headings(held.layout.run);
    held.run.follow_rise(held.layout);
  }
  if (moves.air) {
    held.run.follow_air(held.layout);
  }
  if (auto faults = held.run.follow(held.layout, std::span(pieces_).first(moved));
      !faults.empty()) {
    held.forget();
    return faults;
  }
  if (moves.house) {
    auto house = house::compile(held.layout, *base_->catalogue, held.run.run());
    if (!house) {
      held.forget();
      return house.error();
    }
    held.house = *std::move(house);
  }
  // No place moves the air in the duct or the collar, so the fan is the same.
  return solved(held.run.run(), held.house, held.fan);
}

PointFound Points::solved(const solve::CompiledRun& run,
                          const house::CompiledHouse& house,
                          const solve::SpeedFan& fan) {
  if (!fan.fan) {
    return PointFound{};
  }
  PointFound out;
  out.point = house::operating_point(run, *fan.fan, house.coupled());
  if (house.coupled() != nullptr && out.point.status == solve::Status::found) {
    out.depressurisation_pa = house.depressurisation_pa(out.point.airflow_m3_s);
  }
  return out;
}

}  // namespace ductledger::study
