#include "text/band.hpp"

#include <fmt/format.h>

#include <vector>

#include "base/text.hpp"

namespace ductledger::text {
namespace {

using units::Dimension;

/// Shares below this are not worth a name in one sentence.
constexpr double kNamed = 0.005;

std::string percent(double share) {
  return units::display(share, Dimension::ratio, units::System::ip);
}

std::string airflow_limits(const solve::AirflowLimits& limits, units::System system) {
  return fmt::format("{} to {}",
                     units::display_number(limits.low_m3_s, Dimension::airflow, system),
                     units::display(limits.high_m3_s, Dimension::airflow, system));
}

std::string size(const solve::ErrorSource& source, units::System system) {
  if (source.unit == "m") {
    return system == units::System::ip
               ? fmt::format("{:.2g} in", source.standard_uncertainty / units::kMetresPerInch)
               : fmt::format("{:.2g} mm", 1000.0 * source.standard_uncertainty);
  }
  if (source.unit == "coefficient") {
    return fmt::format("{:.2g}", source.standard_uncertainty);
  }
  return fmt::format("{:.3g} %", 100.0 * source.standard_uncertainty);
}

}  // namespace

std::string doubt_sentence(const solve::AirflowBand& band, units::System system) {
  std::vector<std::string> parts;
  for (const solve::SourceEffect& effect : band.first_order.effects) {
    if (parts.size() < 2 && effect.share >= kNamed) {
      parts.push_back(base::escaped(band.sources[effect.source].name(system)) +
                      (parts.empty() ? " makes " : " ") + percent(effect.share));
    }
  }
  if (parts.empty()) {
    return {};
  }
  return fmt::format("Of the doubt, {}.", base::joined(parts, "and"));
}

std::string method_sentence(const solve::AirflowBand& band, units::System system) {
  std::string text = fmt::format("Band of {} standard uncertainties, {}",
                                 solve::kCoverage,
                                 band.method == solve::BandMethod::sampled
                                     ? "by samples, since " + band.why_sampled
                                     : "by first order");
  if (band.over_two_shapes) {
    text += "; it spans both shapes through the two fan points";
  }
  if (band.samples) {
    const solve::SampleCount& samples = *band.samples;
    text += fmt::format("; {} samples (seed {}): {}",
                        samples.count,
                        samples.seed,
                        airflow_limits(samples.quantiles, system));
    const auto tell = [&](std::size_t count, const char* how) {
      if (count > 0) {
        text += fmt::format(", {:.2g} % {}",
                            100.0 * static_cast<double>(count) / static_cast<double>(samples.count),
                            how);
      }
    };
    tell(samples.beyond_curve, "beyond the end of the curve, counted as its end");
    tell(samples.below_curve, "before its first point, counted as that");
    tell(samples.no_flow, "without airflow");
  }
  return text;
}

Table doubt_table(const solve::AirflowBand& band, units::System system) {
  Table table(
      {{"error", "", Align::left},
       {"standard", "uncertainty", Align::right},
       {"airflow", std::string(units::display_unit(Dimension::airflow, system)), Align::right},
       {"share of", "variance", Align::right},
       {"from", "", Align::left}});
  for (const solve::SourceEffect& effect : band.first_order.effects) {
    const solve::ErrorSource& source = band.sources[effect.source];
    table.row({base::escaped(source.name(system)),
               size(source, system),
               units::display_number(effect.airflow_m3_s, Dimension::airflow, system),
               percent(effect.share),
               source.status});
  }
  return table;
}

}  // namespace ductledger::text
