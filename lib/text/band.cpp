#include "text/band.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <vector>

#include "base/text.hpp"

namespace ductledger::text {
namespace {

using units::Dimension;

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

std::string samples_sentence(const solve::AirflowBand& band) {
  if (!band.samples || band.samples->found == band.samples->count) {
    return {};
  }
  const solve::SampleCount& samples = *band.samples;
  std::vector<std::string> parts;
  const auto tell = [&](std::size_t count, const char* how) {
    if (count > 0) {
      const double share = static_cast<double>(count) / static_cast<double>(samples.count);
      parts.push_back(fmt::format("{:.2g} % {}", 100.0 * share, how));
    }
  };
  tell(samples.beyond_curve, "lie beyond the end of the fan curve");
  tell(samples.below_curve, "lie before its first point");
  const bool off_the_curve = !parts.empty();
  tell(samples.no_flow, "move no air");
  return fmt::format("Of {} samples of the uncertainty, {}{}.",
                     samples.count,
                     base::joined(parts, "and"),
                     off_the_curve ? "; the band takes in all that is possible off the curve" : "");
}

std::string method_sentence(const solve::AirflowBand& band, units::System system) {
  std::string text =
      fmt::format("Band of {} standard uncertainties, {}",
                  solve::kCoverage,
                  band.method == solve::BandMethod::sampled ? "by samples: " + band.why_sampled
                                                            : "by first order");
  if (band.over_two_shapes) {
    text += "; it spans both shapes through the two fan points";
  }
  if (band.samples) {
    text += fmt::format(
        "; {} samples: {}", band.samples->count, airflow_limits(band.samples->quantiles, system));
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
