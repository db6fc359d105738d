#include "rules/arithmetic.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "findings/finding_internal.hpp"

namespace ductledger::rules {
namespace {

struct Pair {
  double submitted = 0.0;
  double ours = 0.0;
};

bool near(const Pair& pair) {
  return std::abs(pair.submitted - pair.ours) <= kRounding * std::abs(pair.ours);
}

Agreement agreement(const Refigured& figure) {
  if (!figure.ours && !figure.band) {
    return Agreement::not_reproducible;
  }
  if (figure.ours && near({figure.submitted, *figure.ours})) {
    return Agreement::agrees;
  }
  if (!figure.band) {
    return Agreement::differs;
  }
  return figure.submitted >= figure.band->low && figure.submitted <= figure.band->high
             ? Agreement::within_band
             : Agreement::beyond_band;
}

const result::SpeedResult* speed_of(const result::Case& subject, const std::string& name) {
  if (name.empty()) {
    return findings::headline(subject);
  }
  const auto found = std::find_if(
      subject.speeds.begin(), subject.speeds.end(), [&](const result::SpeedResult& speed) {
        return speed.name == name;
      });
  return found == subject.speeds.end() ? nullptr : &*found;
}

double collar_dynamic_pa(const result::Case& subject, double airflow_m3_s) {
  const double velocity_m_s = airflow_m3_s / subject.run->collar.area_m2();
  return subject.run->air.density_kg_m3 / 2.0 * velocity_m_s * velocity_m_s;
}

/// Static pressure at the collar, against the room, that run and house ask of a fan there.
std::optional<double> run_static_pa(const result::Case& subject, double airflow_m3_s) {
  if (!subject.run->fan_at_collar) {
    return std::nullopt;
  }
  return subject.demand().total_pa(airflow_m3_s) - collar_dynamic_pa(subject, airflow_m3_s);
}

std::optional<double> fan_static_pa(const result::Case& subject,
                                    const result::SpeedResult& speed,
                                    double airflow_m3_s) {
  if (!subject.run->fan_at_collar || !speed.fan.fan ||
      airflow_m3_s < speed.fan.fan->curve.first_airflow_m3_s() ||
      airflow_m3_s > speed.fan.fan->curve.last_airflow_m3_s()) {
    return std::nullopt;
  }
  return speed.fan.fan->curve.pressure_pa(airflow_m3_s) +
         speed.fan.fan->dynamic_pa_s2_m6 * airflow_m3_s * airflow_m3_s -
         collar_dynamic_pa(subject, airflow_m3_s);
}

/// Whether a pressure is what the fan makes at an airflow, both rounded as people write them down.
bool on_curve(const result::Case& subject,
              const result::SpeedResult& speed,
              const layout::Submitted& point) {
  std::vector<double> made_pa;
  for (const double nudge : {1.0 - kRounding, 1.0, 1.0 + kRounding}) {
    if (const auto pa = fan_static_pa(subject, speed, *point.airflow_m3_s * nudge)) {
      made_pa.push_back(*pa);
    }
  }
  if (made_pa.empty()) {
    return false;
  }
  const auto [low, high] = std::ranges::minmax(made_pa);
  const double slack_pa = kRounding * std::max(std::abs(low), std::abs(high));
  return *point.static_pressure_pa >= low - slack_pa &&
         *point.static_pressure_pa <= high + slack_pa;
}

/// k = 2 of the run's loss, one error for each catalogue entry.
double relative_uncertainty(const result::Case& subject, double airflow_m3_s) {
  std::map<std::string, double> by_entry_pa;
  double all_pa = 0.0;
  for (const solve::CompiledPiece& piece : subject.run->pieces) {
    const double loss_pa = subject.run->loss.of(piece.loss, airflow_m3_s);
    by_entry_pa[piece.word + (piece.fitting ? piece.fitting->type : std::string())] +=
        loss_pa * piece.standard_uncertainty;
    all_pa += loss_pa;
  }
  double square = 0.0;
  for (const auto& [entry, pa] : by_entry_pa) {
    square += pa * pa;
  }
  return all_pa > 0.0 ? 2.0 * std::sqrt(square) / all_pa : 0.0;
}

class Recalculation {
 public:
  Recalculation(const result::Case& subject, const layout::Submitted& submitted)
      : subject_(subject), submitted_(submitted), speed_(speed_of(subject, submitted.speed)) {
    if (speed_ != nullptr && speed_->point.status == solve::Status::found) {
      ours_m3_s_ = speed_->point.airflow_m3_s;
      record_.speed = speed_->name;
    } else {
      record_.speed = submitted.speed;
    }
    record_.span = submitted.span;
  }

  Record record() {
    if (submitted_.equivalent_length_m) {
      add_equivalent_length();
    }
    if (submitted_.static_pressure_pa) {
      add_static_pressure();
    }
    if (submitted_.airflow_m3_s) {
      add_airflow();
    }
    find_off_curve();
    find_first_step();
    return std::move(record_);
  }

 private:
  void add(Refigured figure) {
    figure.agreement = agreement(figure);
    record_.figures.push_back(std::move(figure));
  }

  void add_equivalent_length() {
    Refigured figure{.what = "equivalent length",
                     .key = "equivalent_length_m",
                     .dimension = units::Dimension::length,
                     .submitted = *submitted_.equivalent_length_m,
                     .ours = {},
                     .band = {},
                     .why_not = {}};
    const double at_m3_s = submitted_.airflow_m3_s.value_or(ours_m3_s_.value_or(0.0));
    if (at_m3_s > 0.0) {
      figure.ours = equivalent_length_m(subject_, at_m3_s);
    }
    if (figure.ours) {
      const double u = relative_uncertainty(subject_, at_m3_s);
      figure.band = result::Band{*figure.ours * (1.0 - u), *figure.ours * (1.0 + u)};
    } else {
      figure.why_not = at_m3_s > 0.0 ? "the run has no straight duct to measure it in"
                                     : "it belongs to an airflow, and none is known";
    }
    add(std::move(figure));
  }

  void add_static_pressure() {
    Refigured figure{.what = "static pressure",
                     .key = "static_pressure_pa",
                     .dimension = units::Dimension::pressure,
                     .submitted = *submitted_.static_pressure_pa,
                     .ours = {},
                     .band = {},
                     .why_not = {}};
    if (ours_m3_s_ && speed_->ledger) {
      figure.ours = speed_->ledger->collar_static_pressure_pa;
      if (const auto band = result::band_of(*speed_)) {
        // Along the fan's curve: more airflow stands at less pressure. Beyond its printed points
        // nothing is known of it: that end is open.
        const auto low = fan_static_pa(subject_, *speed_, band->high);
        const auto high = fan_static_pa(subject_, *speed_, band->low);
        constexpr double kInfinity = std::numeric_limits<double>::infinity();
        if (low && high) {
          figure.band = result::Band{std::min(*low, *high), std::max(*low, *high)};
        } else if (low || high) {
          figure.band = result::Band{low.value_or(-kInfinity), high.value_or(kInfinity)};
        }
      }
    } else {
      figure.why_not = speed_ != nullptr && result::bounds_of(*speed_)
                           ? "only bounds of the airflow are known"
                           : "no operating point was found";
    }
    add(std::move(figure));
  }

  void add_airflow() {
    Refigured figure{.what = "airflow",
                     .key = "airflow_m3_s",
                     .dimension = units::Dimension::airflow,
                     .submitted = *submitted_.airflow_m3_s,
                     .ours = {},
                     .band = {},
                     .why_not = {}};
    figure.ours = ours_m3_s_;
    if (speed_ != nullptr) {
      figure.band = ours_m3_s_ ? result::band_of(*speed_) : result::bounds_of(*speed_);
    }
    if (!figure.ours && !figure.band) {
      figure.why_not = "no operating point was found";
    }
    add(std::move(figure));
  }

  [[nodiscard]] const Refigured* parted(const char* what) const {
    const auto found =
        std::find_if(record_.figures.begin(), record_.figures.end(), [&](const Refigured& figure) {
          const bool within_bounds = !figure.ours && figure.agreement == Agreement::within_band;
          return std::string_view(figure.what) == what && !within_bounds &&
                 figure.agreement != Agreement::agrees &&
                 figure.agreement != Agreement::not_reproducible;
        });
    return found == record_.figures.end() ? nullptr : &*found;
  }

  /// The curve knows nothing of the run: a point off it is a fault of its own. Beyond its ends only
  /// a curve that falls says something: at least its first pressure before that, at most its last
  /// after that.
  void find_off_curve() {
    if (!submitted_.airflow_m3_s || !submitted_.static_pressure_pa || speed_ == nullptr ||
        !speed_->fan.fan || !subject_.run->fan_at_collar ||
        on_curve(subject_, *speed_, submitted_)) {
      return;
    }
    const double at_m3_s = *submitted_.airflow_m3_s;
    const double claimed_pa = *submitted_.static_pressure_pa;
    const solve::FanAtSpeed& fan = *speed_->fan.fan;
    units::Message why;
    if (const auto made_pa = fan_static_pa(subject_, *speed_, at_m3_s)) {
      why = {"at {} it makes {}", {findings::airflow(at_m3_s), findings::pressure(*made_pa)}};
    } else if (!fan.falls_throughout) {
      return;
    } else {
      const bool beyond = at_m3_s > fan.curve.last_airflow_m3_s();
      const double end_m3_s =
          beyond ? fan.curve.last_airflow_m3_s() : fan.curve.first_airflow_m3_s();
      const double held_pa = fan.curve.pressure_pa(end_m3_s) +
                             fan.dynamic_pa_s2_m6 * at_m3_s * at_m3_s -
                             collar_dynamic_pa(subject_, at_m3_s);
      const double slack_pa = kRounding * std::abs(held_pa);
      if (beyond ? claimed_pa <= held_pa + slack_pa : claimed_pa >= held_pa - slack_pa) {
        return;
      }
      why = {std::string(beyond ? "beyond its end at {}" : "before its beginning at {}") +
                 " a fan that falls makes " + (beyond ? "at most {}" : "at least {}"),
             {findings::airflow(end_m3_s), findings::pressure(held_pa)}};
    }
    record_.off_curve = {"{} at {} is no point of the fan's curve, whatever the run asks for: ",
                         {findings::airflow(at_m3_s), findings::pressure(claimed_pa)}};
    findings::append(record_.off_curve, why);
  }

  /// In the order of the calculation: the run's length, its pressure, the fan's curve, the
  /// crossing.
  void find_first_step() {
    if (const Refigured* figure = parted("equivalent length")) {
      record_.first_step = {
          "the equivalent length of the run: {} handed in, {} by the ledger of pieces",
          {findings::length(figure->submitted), findings::length(*figure->ours)}};
      return;
    }
    if (parted("static pressure") == nullptr && parted("airflow") == nullptr) {
      return;
    }
    if (submitted_.airflow_m3_s && submitted_.static_pressure_pa) {
      const double at_m3_s = *submitted_.airflow_m3_s;
      const std::optional<double> run_pa = run_static_pa(subject_, at_m3_s);
      if (run_pa && !near({*submitted_.static_pressure_pa, *run_pa})) {
        record_.first_step = {"the pressure of the run: at the {} handed in it asks for {}, not {}",
                              {findings::airflow(at_m3_s),
                               findings::pressure(*run_pa),
                               findings::pressure(*submitted_.static_pressure_pa)}};
        return;
      }
    }
    record_.first_step = {record_.off_curve.empty()
                              ? "where the fan's curve crosses the run"
                              : "the fan's curve: the point handed in lies off it",
                          {}};
  }

  const result::Case& subject_;
  const layout::Submitted& submitted_;
  const result::SpeedResult* speed_;
  std::optional<double> ours_m3_s_;
  Record record_;
};

}  // namespace

std::optional<double> equivalent_length_m(const result::Case& subject, double airflow_m3_s) {
  double straight_m = 0.0;
  double straight_pa = 0.0;
  for (const solve::CompiledPiece& piece : subject.run->pieces) {
    const layout::Piece* stated = findings::piece_of(subject, piece);
    if (stated == nullptr || stated->kind != layout::PieceKind::straight) {
      continue;
    }
    if (straight_m > 0.0 && !(piece.upstream == subject.layout->run.first_section)) {
      continue;
    }
    straight_m += piece.length_m;
    straight_pa += subject.run->loss.of(piece.loss, airflow_m3_s);
  }
  if (straight_m <= 0.0 || straight_pa <= 0.0) {
    return std::nullopt;
  }
  return subject.run->loss.at(airflow_m3_s) / straight_pa * straight_m;
}

bool differs(const Refigured& figure) noexcept {
  return figure.agreement == Agreement::beyond_band || figure.agreement == Agreement::differs;
}

std::size_t count_differing(const std::vector<Record>& records) {
  std::size_t count = 0;
  for (const Record& record : records) {
    count += static_cast<std::size_t>(std::ranges::count_if(record.figures, differs));
  }
  return count;
}

std::vector<Record> recalculate(const result::Case& subject) {
  std::vector<Record> records;
  for (const layout::Submitted& submitted : subject.layout->submitted) {
    records.push_back(Recalculation(subject, submitted).record());
  }
  return records;
}

}  // namespace ductledger::rules
