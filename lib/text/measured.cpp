#include "text/measured.hpp"

#include <fmt/format.h>

#include <cmath>

#include "base/text.hpp"
#include "document/verdict.hpp"
#include "layout/piece_number.hpp"
#include "text/page.hpp"
#include "text/verdict.hpp"
#include "words/words.hpp"

namespace ductledger::text {
namespace {

using site::Judged;
using units::Dimension;

class MeasuredText : private Page {
 public:
  MeasuredText(const site::MeasuredResult& result, const TextOptions& options)
      : Page(options), result_(result) {}

  std::string text() {
    const layout::Layout& layout = result_.check.layout;
    title({.title = layout.title, .file = layout.file});
    // What is required is judged by the readings; what else fails does so whatever was read.
    if (document::verdict(result_.check).standing == document::Standing::fail) {
      write_verdict(*this, result_.check);
    }
    bool first = true;
    for (const Judged& judged : result_.readings) {
      if (!first) {
        blank();
      }
      first = false;
      one(judged);
    }
    for (const site::Together& sum : result_.together) {
      blank();
      together(sum);
    }
    safety(result_.check);
    return take();
  }

 private:
  void together(const site::Together& sum) {
    const std::string at = sum.speed.empty() ? "" : words::begun_speed(sum.speed) + ": ";
    strong_paragraph(
        fmt::format("{}{} inlets read of {} draw {} together, uncertainty {}; {} was "
                    "calculated for them.",
                    at,
                    sum.inlets,
                    sum.of,
                    show(sum.airflow_m3_s, Dimension::airflow),
                    show(sum.doubt_m3_s, Dimension::airflow),
                    show(sum.calculated_m3_s, Dimension::airflow)));
    if (sum.leaves_m3_s) {
      const double more = *sum.leaves_m3_s - sum.airflow_m3_s;
      const double doubt = std::hypot(sum.doubt_m3_s, sum.leaves_doubt_m3_s);
      paragraph(fmt::format(
          "{} was read behind the last junction: {}",
          show(*sum.leaves_m3_s, Dimension::airflow),
          std::abs(more) <= doubt ? "within the instruments' uncertainty what goes in comes out."
          : more > 0.0 ? fmt::format("{} more than goes in at the inlets. The duct draws air in "
                                     "through leaks on its way, or a reading is off.",
                                     show(more, Dimension::airflow))
                       : fmt::format("{} less than goes in at the inlets: a reading is off, or the "
                                     "duct loses air behind a fan.",
                                     show(-more, Dimension::airflow))));
    }
    if (sum.inlets < sum.of) {
      return;
    }
    const double off = sum.airflow_m3_s - sum.calculated_m3_s;
    paragraph(std::abs(off) <= sum.doubt_m3_s
                  ? "All inlets together draw what was calculated: where one draws too little, "
                    "another takes it. That is for balancing dampers, not for the fan."
              : off < 0.0 ? "All inlets together draw less than calculated: look at the fan, and "
                            "at the way that all share, before the branches."
                          : "All inlets together draw more than calculated: the fan makes more, "
                            "or the way that all share costs less, than its figures.");
  }

  [[nodiscard]] bool is_network(const Judged& judged) const { return !judged.inlet.empty(); }

  /// `bath at high`, `the run behind a junction at high`.
  [[nodiscard]] std::string subject(const Judged& judged) const {
    if (!is_network(judged)) {
      return words::spoken_speed(judged.speed_name);
    }
    std::string of = base::escaped(judged.inlet);
    if (judged.trunk) {
      of = (judged.reading.branch ? of : std::string("the run")) + " behind a junction";
    }
    return judged.speed_name.empty() ? of : of + " at " + words::spoken_speed(judged.speed_name);
  }

  [[nodiscard]] std::string calculated(const Judged& judged) const {
    if (!is_network(judged)) {
      return words::delivers(result_.check.speeds[judged.speed], options().system);
    }
    std::string text = show(*judged.calculated_m3_s, Dimension::airflow);
    if (judged.calculated_band_m3_s) {
      text += fmt::format(" ({})", range(*judged.calculated_band_m3_s, Dimension::airflow));
    }
    return text;
  }

  [[nodiscard]] std::string range(const result::Band& band, Dimension dimension) const {
    return fmt::format("{} to {}", bare(band.low, dimension), bare(band.high, dimension));
  }

  [[nodiscard]] std::string place(const layout::GaugePlace& at) const {
    switch (at.kind) {
      case layout::GaugePlace::Kind::fan:
        return "static rise across the fan";
      case layout::GaugePlace::Kind::piece:
        return fmt::format("static at the hole {} into piece {}",
                           show(at.from_start_m, Dimension::length),
                           layout::piece_number(at.piece));
      default:
        return "static at the collar";
    }
  }

  [[nodiscard]] std::string read_what(const Judged& judged) const {
    std::vector<std::string> parts;
    const layout::Measurement& reading = judged.reading;
    if (reading.static_pressure_pa) {
      parts.push_back(show(*reading.static_pressure_pa, Dimension::pressure) + ' ' +
                      place(reading.at));
    }
    if (reading.airflow_m3_s) {
      const char* by = reading.instrument == layout::Instrument::powered_flow_hood
                           ? "powered flow hood"
                           : "flow hood";
      parts.push_back(
          fmt::format("{} by a {}", show(*reading.airflow_m3_s, Dimension::airflow), by));
    }
    if (judged.traverse) {
      parts.push_back(fmt::format("{} by a traverse in a {} plane",
                                  show(judged.traverse->airflow_m3_s, Dimension::airflow),
                                  judged.traverse->plane == site::Plane::good ? "good" : "poor"));
    }
    return base::joined(parts, "and");
  }

  void one(const Judged& judged) {
    strong_paragraph(fmt::format("{}: read {}.", subject(judged), read_what(judged)));
    airflows(judged);
    if (judged.expected) {
      const std::string band =
          judged.expected->band_pa
              ? fmt::format(" ({})", range(*judged.expected->band_pa, Dimension::pressure))
              : "";
      paragraph(fmt::format("Calculated: {}, {}{} {}.",
                            calculated(judged),
                            show(judged.expected->pressure_pa, Dimension::pressure),
                            band,
                            place(judged.reading.at)));
    } else {
      paragraph(fmt::format("Calculated: {}.", calculated(judged)));
    }
    verdict(judged);
    requirement(judged);
  }

  void airflows(const Judged& judged) {
    if (!judged.reading.static_pressure_pa || judged.reading.airflow_m3_s || judged.traverse) {
      return;
    }
    for (const site::AirflowRead& read : judged.airflows) {
      if (read.is_bound) {
        paragraph(
            fmt::format("That is at most {}, the airflow of the fan's highest pressure stated.",
                        show(read.band.high, Dimension::airflow)));
        continue;
      }
      std::string open;
      if (read.open_low || read.open_high) {
        open = ", as far as the fan curve goes";
      }
      paragraph(fmt::format(
          "{} that is {} ({}{}).",
          judged.has_fan ? "On the fan curve" : "By what the pieces before the hole cost,",
          show(read.airflow_m3_s, Dimension::airflow),
          range(read.band, Dimension::airflow),
          open));
    }
  }

  /// Of a verdict that is one sentence whatever else was read; empty of the others.
  static const char* sentence(site::Verdict verdict) {
    switch (verdict) {
      case site::Verdict::more_airflow:
        return "More air than calculated. What would explain it:";
      case site::Verdict::fan_below_curve:
        return "Airflow and pressure together lie below the fan curve: the fan, not the run, makes "
               "less than stated. What would explain it, likeliest first:";
      case site::Verdict::fan_above_curve:
        return "Airflow and pressure together lie above the fan curve: the fan makes more than "
               "stated. What would explain it, likeliest first:";
      case site::Verdict::several_airflows:
        return "The fan curve has this pressure at more than one airflow, so the reading alone "
               "does not tell which one runs. Read the airflow by a flow hood or a traverse.";
      case site::Verdict::above_the_first_point:
        return "More pressure than the highest rating: the fan moves less air than it is rated "
               "for there, as far as it falls. What would explain it:";
      case site::Verdict::above_the_curve:
        return "More pressure than the fan makes anywhere on its curve. What would explain it:";
      case site::Verdict::below_the_curve:
        return "Less pressure than at the end of the fan curve. What would explain it:";
      case site::Verdict::not_comparable:
        return "Nothing was calculated that this reading could be held against.";
      case site::Verdict::as_calculated:
      case site::Verdict::more_resistance:
      case site::Verdict::less_pressure:
      case site::Verdict::tells_little:
        break;
    }
    return "";
  }

  void verdict(const Judged& judged) {
    switch (judged.verdict) {
      case site::Verdict::as_calculated:
        paragraph(judged.extra
                      ? "The reading lies within the uncertainty of fan, fittings and instrument: "
                        "it is as calculated, and no fault can be named from it."
                      : "The reading lies within the bounds that were calculated: no fault can be "
                        "named from it.");
        break;
      case site::Verdict::more_resistance:
        more_resistance(judged);
        break;
      case site::Verdict::less_pressure:
        paragraph(is_network(judged) && judged.airflows.empty()
                      ? "A weaker pressure than calculated. What would explain it:"
                      : "Less pressure than calculated. The reading alone cannot tell apart what "
                        "would explain it; with the airflow read beside it, it could:");
        break;
      case site::Verdict::tells_little:
        tells_little(judged);
        break;
      default:
        paragraph(sentence(judged.verdict));
    }
    for (const units::Message& cause : judged.causes) {
      bullet(cause.text(options().system));
    }
    if (judged.fan_share_of_curve) {
      paragraph(fmt::format("At the airflow read the fan makes {} of its curve's static pressure.",
                            show(*judged.fan_share_of_curve, Dimension::ratio)));
    }
  }

  void tells_little(const Judged& judged) {
    paragraph(
        "The fan curve is flat there: many airflows have nearly this pressure, so the reading "
        "tells little of how much air moves.");
    if (judged.above_expected) {
      paragraph(
          "It lies above what was calculated all the same: something behind the tap holds the "
          "air back, or the fan turns faster than its curve.");
    }
    paragraph("Read the airflow by a flow hood or a traverse.");
  }

  void more_resistance(const Judged& judged) {
    if (is_network(judged)) {
      if (!judged.extra) {
        paragraph("A stronger pressure than calculated. What would explain it:");
        return;
      }
      paragraph(fmt::format(
          "Less air than calculated. With all else as in the file, {} (uncertainty {}) more "
          "is "
          "lost on this way, an extra coefficient of {:.2f} on its first section's velocity "
          "pressure. What would explain it:",
          show(judged.extra->pressure_pa, Dimension::pressure),
          show(judged.extra->doubt_pa, Dimension::pressure),
          judged.extra->coefficient));
      return;
    }
    if (!judged.extra) {
      paragraph("Less air than the ratings and the run allow. What would explain it:");
      return;
    }
    const site::Extra& extra = *judged.extra;
    paragraph(
        fmt::format("More resistance behind the tap than calculated: {} (uncertainty {}), an extra "
                    "coefficient of {:.2f} on the collar's velocity pressure. What would explain "
                    "it, each alone:",
                    show(extra.pressure_pa, Dimension::pressure),
                    show(extra.doubt_pa, Dimension::pressure),
                    extra.coefficient));
  }

  void requirement(const Judged& judged) {
    if (judged.requirement == site::ByMeasurement::none) {
      return;
    }
    const double required = *judged.required_m3_s;
    paragraph(fmt::format("{} required: {} by this reading.",
                          show(required, Dimension::airflow),
                          word(judged.requirement)));
  }

  const site::MeasuredResult& result_;
};

}  // namespace

std::string measured_text(const site::MeasuredResult& result, const TextOptions& options) {
  return MeasuredText(result, options).text();
}

}  // namespace ductledger::text
