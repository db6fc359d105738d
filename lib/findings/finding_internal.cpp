#include "findings/finding_internal.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "layout/piece_number.hpp"

namespace ductledger::findings {
namespace {

[[nodiscard]] units::Message plain(const char* text) { return {literal(text), {}}; }

}  // namespace

Finding finding(const Check& check, Said said) {
  Finding result;
  result.level = said.level;
  result.code = check.code;
  result.message = std::move(said.message);
  result.why = plain(check.why);
  result.source = check.source;
  result.span = said.span;
  result.remedy = plain(check.instead);
  return result;
}

units::Message band_words(const result::Band& band, units::Dimension dimension) {
  if (std::isinf(band.low) && std::isinf(band.high)) {
    return {"an airflow that is not known", {}};
  }
  if (std::isinf(band.low)) {
    return {"at most {}", {{band.high, dimension}}};
  }
  if (std::isinf(band.high)) {
    return {"at least {}", {{band.low, dimension}}};
  }
  return {"{} to {}", {{band.low, dimension}, {band.high, dimension}}};
}

units::Message delivered_words(const result::SpeedResult& speed) {
  const std::optional<result::Band> band = result::band_of(speed);
  const bool by_one_rating = speed.point.status == solve::Status::not_determined;
  if ((solve::is_bound(speed.point.status) || by_one_rating) && band) {
    return band_words(*band, units::Dimension::airflow);
  }
  units::Message words{"{}", {airflow(speed.point.airflow_m3_s)}};
  if (band) {
    append(words, {" (", {}});
    append(words, band_words(*band, units::Dimension::airflow));
    append(words, {")", {}});
  }
  return words;
}

void say_estimate(const result::SpeedResult& speed, units::Message& words) {
  const solve::OperatingPoint& point = speed.point;
  if (!point.bounds || !point.estimate) {
    return;
  }
  append(words, {"; if the fan falls, ", {}});
  append(words,
         band_words({point.bounds->low_m3_s, point.bounds->high_m3_s}, units::Dimension::airflow));
  append(words, {", about {}", {airflow(point.estimate->airflow_m3_s)}});
}

units::Message section_words(const duct::Section& section) {
  if (section.shape() == duct::Shape::round) {
    return {"{} round", {length(section.width_m())}};
  }
  return {section.shape() == duct::Shape::rectangular ? "{} x {}" : "{} x {} oval",
          {length(section.width_m()), length(section.height_m())}};
}

std::string listed(const std::vector<std::string>& words) {
  std::string result;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (i > 0) {
      result += i + 1 == words.size() ? " and " : ", ";
    }
    result += words[i];
  }
  return result;
}

std::string just(const Shown& shown) {
  for (const units::System system : {units::System::ip, units::System::si}) {
    if (units::display(shown.value_si, shown.dimension, system) ==
        units::display(shown.bound_si, shown.dimension, system)) {
      return "just ";
    }
  }
  return "";
}

bool smaller_by_area(const duct::Section& section, const duct::Section& than) {
  return section.area_m2() < (1.0 - kAreaTolerance) * than.area_m2();
}

const result::SpeedResult* headline(const result::Case& subject) {
  return subject.headline ? &subject.speeds[*subject.headline] : nullptr;
}

std::optional<double> delivered_m3_s(const result::Case& subject) {
  const result::SpeedResult* speed = headline(subject);
  if (speed == nullptr || speed->point.status != solve::Status::found) {
    return std::nullopt;
  }
  return speed->point.airflow_m3_s;
}

std::optional<double> least_airflow_m3_s(const result::Case& subject) {
  const result::SpeedResult* speed = headline(subject);
  if (speed != nullptr && (speed->point.status == solve::Status::found ||
                           speed->point.status == solve::Status::beyond_curve)) {
    return speed->point.airflow_m3_s;
  }
  return speed != nullptr && speed->point.bounds ? std::optional(speed->point.bounds->low_m3_s)
                                                 : std::nullopt;
}

std::optional<Shortfall> shortfall(const result::Case& subject, double figure_m3_s) {
  const result::SpeedResult* speed = headline(subject);
  if (speed == nullptr) {
    return std::nullopt;
  }
  const double enough_m3_s = figure_m3_s * (1.0 - 1e-9);
  if (const std::optional<double> delivered = delivered_m3_s(subject)) {
    if (*delivered >= enough_m3_s) {
      return std::nullopt;
    }
    const Shown both{*delivered, figure_m3_s, units::Dimension::airflow};
    return Shortfall{true,
                     {"delivered {}, " + just(both) + "below the ", {airflow(*delivered)}},
                     {{"airflow_m3_s", *delivered}}};
  }
  const std::optional<result::Band> bounds = result::bounds_of(*speed);
  if (!bounds || bounds->low >= enough_m3_s) {
    return std::nullopt;
  }
  Shortfall out{bounds->high < enough_m3_s, {"delivered ", {}}, {}};
  append(out.words, band_words(*bounds, units::Dimension::airflow));
  append(out.words, {out.sure ? ", below the " : ", not shown to reach the ", {}});
  if (std::isfinite(bounds->low)) {
    out.observed.push_back({"airflow_low_m3_s", bounds->low});
  }
  if (std::isfinite(bounds->high)) {
    out.observed.push_back({"airflow_high_m3_s", bounds->high});
  }
  return out;
}

std::optional<double> greatest_airflow_m3_s(const result::SpeedResult& speed) {
  const solve::OperatingPoint& point = speed.point;
  if (point.status != solve::Status::found && point.status != solve::Status::beyond_curve) {
    return std::nullopt;
  }
  return solve::greatest_airflow_m3_s(point);
}

const layout::Piece* piece_of(const result::Case& subject, const solve::CompiledPiece& piece) {
  return piece.piece ? &subject.layout->run.pieces[*piece.piece] : nullptr;
}

base::Span span_of(const result::Case& subject, const solve::CompiledPiece& piece) {
  const layout::Piece* stated = piece_of(subject, piece);
  return stated != nullptr ? stated->span : subject.layout->run.section_span;
}

std::string piece_words(const solve::CompiledPiece& piece) {
  std::string words;
  if (piece.fitting && !piece.fitting->type.empty()) {
    words += literal(piece.fitting->type) + ' ';
  }
  words += literal(piece.word);
  if (piece.piece) {
    words += " (piece " + std::to_string(layout::piece_number(*piece.piece)) + ')';
  }
  return words;
}

double share_of(const result::Case& subject, const solve::CompiledPiece& piece) {
  const result::SpeedResult* speed = headline(subject);
  if (speed == nullptr || !speed->ledger || !piece.piece) {
    return 0.0;
  }
  const auto is_its = [&](const solve::LedgerRow& row) {
    return row.piece_index == static_cast<std::ptrdiff_t>(*piece.piece);
  };
  // Rows stand in the order of the run, fan and ends between them: not far behind its own place.
  const auto& rows = speed->ledger->rows;
  const auto from = rows.begin() + static_cast<std::ptrdiff_t>(std::min(*piece.piece, rows.size()));
  auto found = std::find_if(from, rows.end(), is_its);
  if (found == rows.end()) {
    found = std::find_if(rows.begin(), from, is_its);
    return found == from ? 0.0 : found->share;
  }
  return found->share;
}

const layout::Piece* transition_duct(const result::Case& subject) {
  constexpr double kLongestM = 8.0 * units::kMetresPerFoot;
  const std::vector<layout::Piece>& pieces = subject.layout->run.pieces;
  if (subject.layout->appliance.kind != layout::ApplianceKind::clothes_dryer || pieces.empty() ||
      pieces.front().kind != layout::PieceKind::flex) {
    return nullptr;
  }
  const layout::Piece& flex = pieces.front();
  const layout::Facts& facts = subject.layout->facts;
  const std::string& through = flex.around().through;
  const bool in_view = through.empty() || through == "conditioned" || through == "garage";
  const bool stated = facts.find("run.transition_duct.length") != nullptr ||
                      facts.find("run.transition_duct.listing") != nullptr ||
                      facts.find("run.transition_duct.pieces") != nullptr;
  const bool is_short = flex.length_m.value_or(0.0) <= kLongestM * (1.0 + 1e-9);
  const bool hidden = !in_view || facts.yes_no("run.transition_duct.concealed").value_or(false);
  return stated || (is_short && !hidden) ? &flex : nullptr;
}

bool discharges_into_room(const result::Case& subject) {
  return subject.layout->run.discharge == layout::Discharge::room;
}

bool is_range_hood(const result::Case& subject) {
  return subject.layout->appliance.kind == layout::ApplianceKind::range_hood;
}

std::optional<solve::OperatingPoint> resolved(const Resolve& what) {
  const base::Checked<solve::CompiledRun> run =
      solve::compile(what.layout, what.catalogue, what.options);
  if (!run) {
    return std::nullopt;
  }
  const solve::SpeedFan speed = solve::speed_fan(what.layout, *run, what.speed);
  if (!speed.fan) {
    return std::nullopt;
  }
  const base::Checked<house::CompiledHouse> house =
      house::compile(what.layout, what.catalogue, *run);
  if (!house) {
    return std::nullopt;
  }
  return house::operating_point(*run, *speed.fan, house->coupled());
}

}  // namespace ductledger::findings
