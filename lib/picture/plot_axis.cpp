#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "base/expects.hpp"
#include "picture/plot_internal.hpp"

namespace ductledger::picture {
namespace plot {

Axis::Axis(const PlotAxis& axis, Ends si, units::System system, int about)
    : logarithmic_(axis.scale == AxisScale::logarithmic),
      unit_(axis_unit(axis.dimension, system, {std::max(std::abs(si.low), std::abs(si.high))})) {
  si.low = axis.lowest.value_or(si.low);
  si.high = axis.highest.value_or(si.high);
  double low = shown(si.low);
  double high = shown(si.high);
  if (logarithmic_) {
    decades(low, high);
  } else {
    if (!(high > low)) {
      const double half = low == 0.0 ? 1.0 : 0.5 * std::abs(low);
      low -= half;
      high += half;
    }
    // An end that passes a tick by less than a pixel or two needs no further interval.
    const double hair = 0.005 * (high - low);
    values_ = ticks({low + hair, high - hair}, about);
    texts_ = tick_texts(values_);
  }
  low_ = values_.front();
  high_ = values_.back();
}

void Axis::decades(double low, double high) {
  const int first = static_cast<int>(std::floor(std::log10(low) + 1e-9));
  const int last = static_cast<int>(std::ceil(std::log10(high) - 1e-9));
  const bool fine = last - first <= 3;
  std::vector<double> all;
  for (int decade = first; decade <= last; ++decade) {
    for (const double step : {1.0, 2.0, 5.0}) {
      if (fine || step == 1.0) {
        all.push_back(step * std::pow(10.0, decade));
      }
    }
  }
  for (std::size_t i = 0; i < all.size(); ++i) {
    const bool below = i + 1 < all.size() && all[i + 1] <= low * (1.0 + 1e-9);
    const bool above = i > 0 && all[i - 1] >= high * (1.0 - 1e-9);
    if (!below && !above) {
      values_.push_back(all[i]);
      texts_.push_back(
          fmt::format("{:.{}f}",
                      all[i],
                      std::max(0, -static_cast<int>(std::floor(std::log10(all[i]) + 1e-9)))));
    }
  }
  if (values_.size() == 1) {
    values_.push_back(values_.front() * 10.0);
    texts_.push_back(fmt::format("{:g}", values_.back()));
  }
}

}  // namespace plot

std::vector<double> ticks(const TickRange& range, int about) {
  DUCTLEDGER_EXPECTS(range.high > range.low && std::isfinite(range.high - range.low) && about > 1);
  const double raw = (range.high - range.low) / about;
  const double power = std::pow(10.0, std::floor(std::log10(raw)));
  const double part = raw / power;
  const double step = power * (part <= 1.0 + 1e-9   ? 1.0
                               : part <= 2.0 + 1e-9 ? 2.0
                               : part <= 5.0 + 1e-9 ? 5.0
                                                    : 10.0);
  const double first = std::floor(range.low / step + 1e-9);
  const double last = std::ceil(range.high / step - 1e-9);
  std::vector<double> values;
  for (double k = first; k <= last + 0.5; k += 1.0) {
    values.push_back(k == 0.0 ? 0.0 : k * step);
  }
  return values;
}

std::vector<std::string> tick_texts(const std::vector<double>& values) {
  std::vector<std::string> texts;
  const double step = values.size() > 1 ? values[1] - values[0] : 1.0;
  const int decimals = std::max(0, -static_cast<int>(std::floor(std::log10(step) + 1e-9)));
  texts.reserve(values.size());
  for (const double value : values) {
    texts.push_back(value == 0.0 ? "0" : fmt::format("{:.{}f}", value, decimals));
  }
  return texts;
}

AxisUnit axis_unit(units::Dimension dimension, units::System system, const LengthScale& scale) {
  units::Scale shown = units::scale_of(dimension, system);
  if (dimension == units::Dimension::length && scale.greatest_si <= 1.0) {
    const units::Unit* small = units::unit_named(system == units::System::ip ? "in" : "mm");
    shown = {.unit = small->name, .scale = small->scale};
  }
  return {shown.scale, shown.offset, std::string(shown.unit)};
}

}  // namespace ductledger::picture
