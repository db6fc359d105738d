#include <algorithm>
#include <cmath>
#include <string>
#include <utility>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

constexpr double kThresholdCfm = 400.0;
constexpr double kThreshold_m3_s = kThresholdCfm * units::kM3SPerCfm;

[[nodiscard]] bool over(double airflow_m3_s) {
  return airflow_m3_s / units::kM3SPerCfm > kThresholdCfm + 1e-9;
}

/// The label speaks of the highest speed; with that one locked out it speaks of nothing that runs.
[[nodiscard]] std::optional<double> nameplate(const result::Case& subject) {
  const double headline_m3_s = headline(subject) != nullptr && headline(subject)->rated
                                   ? headline(subject)->rated->airflow_m3_s
                                   : 0.0;
  for (const result::SpeedResult& speed : subject.speeds) {
    if (speed.locked_out && speed.rated && speed.rated->airflow_m3_s > headline_m3_s) {
      return std::nullopt;
    }
  }
  return subject.layout->appliance.nameplate_airflow_m3_s;
}

/// Whether makeup air is stated that runs with the appliance.
[[nodiscard]] bool makeup_relied_on(const result::Case& subject) {
  const auto& house = subject.layout->house;
  return house && house->makeup.kind != layout::MakeupKind::none &&
         (subject.house == nullptr || !subject.house->with_makeup);
}

/// The draft condition of recent editions, and the makeup air, as far as the file states them.
[[nodiscard]] units::Message what_the_file_says(const result::Case& subject) {
  units::Message words{"", {}};
  const auto& house = subject.layout->house;
  if (!house) {
    return words;
  }
  if (house->combustion_stated) {
    const auto draws = std::ranges::find_if(house->combustion, [](const auto& one) {
      return one.inside_air_barrier &&
             (one.draft == layout::Draft::natural || one.draft == layout::Draft::solid_fuel);
    });
    append(words,
           {draws != house->combustion.end()
                ? "; the file states a " + literal(draws->kind) +
                      " inside, the case that recent editions mean"
                : "; the file states no natural draft inside, the case that recent editions mean",
            {}});
  }
  switch (house->makeup.kind) {
    case layout::MakeupKind::none:
      return words;
    case layout::MakeupKind::powered:
      append(words,
             {"; it states powered makeup air of {}", {airflow(house->makeup.airflow_m3_s)}});
      break;
    case layout::MakeupKind::passive_opening:
    case layout::MakeupKind::duct:
      append(words,
             {house->makeup.kind == layout::MakeupKind::duct ? "; it states a makeup air duct"
                                                             : "; it states a makeup air opening",
              {}});
      break;
  }
  append(words,
         {makeup_relied_on(subject) ? ": whether it is enough is for the local authority"
                                    : ", which does not run with the appliance",
          {}});
  return words;
}

/// Nothing is over the threshold, but a band reaches beyond it.
std::vector<Finding> not_shown_below(const result::Case& subject) {
  for (const result::SpeedResult& one : subject.speeds) {
    const std::optional<result::Band> band = result::band_of(one);
    if (one.locked_out || !band || !over(band->high)) {
      continue;
    }
    units::Message words{spoken(one) + " delivers ", {}};
    append(words, delivered_words(one));
    append(words,
           {": not shown to stay within {}, over which some codes ask for makeup air",
            {airflow(kThreshold_m3_s)}});
    Finding found = finding(kMakeupAirNeeded,
                            {.level = Level::note,
                             .message = std::move(words),
                             .span = subject.layout->fan->speeds[one.index].span});
    found.observed = {{"airflow_m3_s", solve::best_airflow_m3_s(one.point)}};
    if (!std::isinf(band->high)) {
      found.observed.push_back({"airflow_high_m3_s", band->high});
    }
    found.limit = {{"airflow_m3_s", kThreshold_m3_s}};
    return {std::move(found)};
  }
  return {};
}

/// The speed that moves the most of those that may run; where none moves air, the headline.
struct Busiest {
  const result::SpeedResult* speed = nullptr;
  double airflow_m3_s = 0.0;
};
[[nodiscard]] Busiest busiest(const result::Case& subject) {
  Busiest out{.speed = headline(subject)};
  for (const result::SpeedResult& one : subject.speeds) {
    const double moved_m3_s = std::max(one.rated ? one.rated->airflow_m3_s : 0.0,
                                       greatest_airflow_m3_s(one).value_or(0.0));
    if (!one.locked_out && moved_m3_s > out.airflow_m3_s) {
      out = {&one, moved_m3_s};
    }
  }
  return out;
}

/// The figures of an airflow: all are observed, read out are those over the threshold.
class Figures {
 public:
  void tell(const char* word, const char* key, double airflow_m3_s) {
    observed.push_back({key, airflow_m3_s});
    if (over(airflow_m3_s)) {
      message.pattern += (message.pattern.empty() ? "" : ", ") + std::string(word);
      message.values.push_back(airflow(airflow_m3_s));
    }
  }

  void tell(const result::SpeedResult& speed) {
    if (speed.rated) {
      tell("rated {}", "rated_airflow_m3_s", speed.rated->airflow_m3_s);
    }
    // By bounds alone: the low end is moved in any case.
    const bool beyond = speed.point.status == solve::Status::beyond_curve;
    const std::optional<result::Band> bounds = result::bounds_of(speed);
    if (bounds && !beyond && over(bounds->low)) {
      tell("delivered at least {}", "airflow_m3_s", bounds->low);
    } else if (const std::optional<double> delivered = greatest_airflow_m3_s(speed)) {
      tell(beyond ? "delivered more than {}" : "delivered {}", "airflow_m3_s", *delivered);
    }
  }

  units::Message message{"", {}};
  std::vector<NamedValue> observed;
};

std::vector<Finding> makeup_air_needed(const result::Case& subject) {
  if (!is_range_hood(subject) || discharges_into_room(subject)) {
    return {};
  }
  const std::optional<double> label = nameplate(subject);
  const Busiest most = busiest(subject);
  const double greatest_m3_s = std::max(label.value_or(0.0), most.airflow_m3_s);
  if (!over(greatest_m3_s)) {
    return not_shown_below(subject);
  }
  Figures figures;
  if (label) {
    figures.tell("nameplate {}", "nameplate_airflow_m3_s", *label);
  }
  const bool label_alone = !figures.message.empty() && !over(most.airflow_m3_s);
  if (most.speed != nullptr) {
    figures.tell(*most.speed);
  }
  units::Message message = std::move(figures.message);
  if (most.speed != nullptr && !label_alone) {
    message.pattern += " at " + spoken(*most.speed);
  }
  append(message,
         {": " + just({greatest_m3_s, kThreshold_m3_s, units::Dimension::airflow}) +
              "over {}, where some codes ask for makeup air",
          {airflow(kThreshold_m3_s)}});
  append(message, what_the_file_says(subject));
  Finding found =
      finding(kMakeupAirNeeded,
              {.level = makeup_relied_on(subject) ? Level::note : Level::warn,
               .message = std::move(message),
               .span = most.speed != nullptr ? subject.layout->fan->speeds[most.speed->index].span
                                             : subject.layout->appliance.nameplate_span});
  found.observed = std::move(figures.observed);
  found.limit = {{"airflow_m3_s", kThreshold_m3_s}};
  return {std::move(found)};
}

}  // namespace

const Check kMakeupAirNeeded{
    .code = "makeup-air-needed",
    .title = "makeup air may be asked for",
    .what =
        "range hoods that discharge outdoors: nameplate, rated and delivered airflow of "
        "every speed that is not locked out against 400 cfm (189 L/s); exactly 400 cfm is"
        " not over it; a band that alone reaches over it is a note",
    .why =
        "exhausted air must be replaced; some editions ask for makeup air only with a"
        " natural-draft appliance inside, and which airflow counts is for the local "
        "authority to decide",
    .instead =
        "ask the local authority; a makeup air inlet, or a speed set so that it cannot "
        "exceed the threshold",
    .source =
        "International Residential Code, M1503.4 (2015) and M1503.6 (2018 on, with a "
        "natural-draft appliance inside the air barrier); International Mechanical Code, "
        "505.4 in recent editions",
    .check = makeup_air_needed,
};

}  // namespace ductledger::findings
