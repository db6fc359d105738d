#include "text/size.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cstddef>
#include <map>

#include "base/text.hpp"
#include "layout/piece_number.hpp"
#include "text/page.hpp"
#include "words/parts.hpp"
#include "words/words.hpp"

namespace ductledger::text {
namespace {

using solve::Status;
using study::Refusal;
using study::TriedSize;
using units::Dimension;

constexpr std::size_t kShownDelivering = 8;
constexpr double kFarBelow = 0.5;  // of the airflow wanted: named without figures

class SizeText : private Page {
 public:
  SizeText(const study::SizeResult& result, const TextOptions& options)
      : Page(options), result_(result) {}

  std::string text() {
    const layout::Layout& layout = result_.check.layout;
    title({.title = layout.title, .file = layout.file});
    answer();
    if (result_.bound) {
      bound();
    }
    delivering();
    varied();
    if (options().detail != Detail::brief) {
      refused();
      remarks();
    }
    heading("How far it may go");
    limits(result_.limits, "As drawn");
    if (result_.smallest_limits) {
      limits(*result_.smallest_limits, "With " + section(result_.tried[*result_.smallest]));
    }
    paragraph(
        "With margin: the low end of the band (k = 2) is enough too. Further elbows stand far from "
        "other fittings.");
    safety(result_.check);
    return take();
  }

 private:
  [[nodiscard]] std::string air(double airflow_m3_s) const {
    return show(airflow_m3_s, Dimension::airflow);
  }
  [[nodiscard]] std::string section(const TriedSize& size) const {
    return duct::to_text(size.section, options().system);
  }

  /// @param value the airflow as text
  [[nodiscard]] std::string delivers(const TriedSize& size, std::string value) const {
    switch (size.status) {
      case Status::no_flow:
        return "none";
      case Status::beyond_curve:
      case Status::below_curve:
        value = (size.bounded                          ? "about "
                 : size.status == Status::beyond_curve ? "at least "
                                                       : "at most ") +
                value;
        break;
      case Status::not_determined:  // one rating: its lower bound
        value = "at least " + value;
        break;
      default:
        break;
    }
    const std::string band =
        size.airflow_band_m3_s
            ? words::band_text(*size.airflow_band_m3_s, Dimension::airflow, options().system)
            : std::string{};
    return band.empty() ? value : fmt::format("{} ({})", value, band);
  }
  [[nodiscard]] std::string delivers(const TriedSize& size) const {
    return delivers(size, air(size.airflow_m3_s));
  }

  void answer() {
    const std::string wanted = air(result_.wanted_m3_s);
    const std::string speed = words::spoken_speed(result_.check.speeds[result_.speed].name);
    if (beyond_fan()) {
      strong_paragraph(fmt::format(
          "The fan bounds it: {} moves {} with no duct at all. No duct makes it deliver {}.",
          speed,
          air(result_.free_air_m3_s),
          wanted));
    } else if (result_.smallest) {
      const TriedSize& size = result_.tried[*result_.smallest];
      strong_paragraph(
          fmt::format("{} is the smallest stock size that delivers {} with margin at "
                      "{}: {}.",
                      section(size),
                      wanted,
                      speed,
                      delivers(size)));
    } else {
      strong_paragraph(fmt::format("No stock size delivers {} with margin at {}.", wanted, speed));
    }
    if (result_.smallest && result_.tried[*result_.smallest].worst) {
      const findings::Finding& worst = *result_.tried[*result_.smallest].worst;
      paragraph(fmt::format("`check` then says, worst first: {}: {}.",
                            findings::word(worst.level),
                            worst.message.text(options().system)));
    }
    if (!result_.breaks_at_every_size.empty()) {
      paragraph(fmt::format("At every size not met: {}.",
                            base::escaped(base::joined(result_.breaks_at_every_size, "and"))));
    }
    paragraph(
        fmt::format("As drawn it delivers {}: {}.",
                    delivers(result_.drawn),
                    result_.drawn.delivers() ? "enough, with margin" : reasons(result_.drawn)));
  }

  [[nodiscard]] bool beyond_fan() const {
    return !result_.free_air_is_curve_end && result_.wanted_m3_s > result_.free_air_m3_s;
  }

  static std::string reasons(const TriedSize& size) {
    std::vector<std::string> words;
    for (const Refusal refusal : size.refusals) {
      words.push_back(reason(refusal));
    }
    return base::joined(words, "and");
  }

  /// The same for a cell.
  static std::string in_short(const TriedSize& size) {
    std::string words;
    for (const Refusal refusal : size.refusals) {
      words += words.empty() ? "" : ", ";
      words += refusal == Refusal::just                  ? "marginal"
               : refusal == Refusal::too_little_air      ? "too little"
               : refusal == Refusal::smaller_than_collar ? "smaller than collar"
                                                         : reason(refusal);
    }
    return words;
  }

  static std::string reason(Refusal refusal) {
    switch (refusal) {
      case Refusal::too_little_air:
        return "too little air";
      case Refusal::just:
        return "marginal: its band reaches below";
      case Refusal::too_fast:
        return "too fast";
      case Refusal::too_deep:
        return "too deep";
      case Refusal::smaller_than_collar:
        return "smaller than the collar";
      case Refusal::breaks_a_rule:
        return "breaks a rule";
      case Refusal::not_sold:
        return "flexible duct is sold round alone";
      case Refusal::no_figures:
        return "no figures";
    }
    return {};
  }

  /// What would deliver but for a limit that was asked for, or the collar.
  [[nodiscard]] std::vector<std::string> only_for(Refusal refusal) const {
    std::vector<std::string> names;
    for (const TriedSize& size : result_.tried) {
      if (size.refusals.size() == 1 && size.refused_for(refusal)) {
        names.push_back(fmt::format("{} ({})", section(size), air(size.airflow_m3_s)));
      }
    }
    constexpr std::size_t kNamed = 3;
    if (names.size() > kNamed) {
      names.resize(kNamed);
      names.emplace_back("larger ones");
    }
    return names;
  }

  void bound() {
    for (const Refusal refusal : {Refusal::breaks_a_rule,
                                  Refusal::too_deep,
                                  Refusal::too_fast,
                                  Refusal::smaller_than_collar,
                                  Refusal::just}) {
      const auto names = only_for(refusal);
      if (!names.empty()) {
        paragraph(fmt::format("Enough air, but {}: {}.",
                              refusal == Refusal::just ? "not with margin" : reason(refusal),
                              base::joined(names, "and")));
      }
    }
    const study::SizeBound& bound = *result_.bound;
    if (beyond_fan()) {
      return;
    }
    if (!bound.best) {
      paragraph("No size within the depth asked for can be calculated.");
      return;
    }
    const TriedSize& best = result_.tried[*bound.best];
    const bool within_curve = best.status == Status::found;
    paragraph(fmt::format("Most air{} has {}: {}.{}",
                          result_.max_depth_m ? " within the depth" : "",
                          section(best),
                          delivers(best),
                          within_curve ? " One piece's loss taken out there, nominal:" : ""));
    if (!within_curve) {
      return;
    }
    for (const study::WithoutPiece& piece : bound.without_piece) {
      bullet(fmt::format("without {} {}: {}{}",
                         piece.number,
                         piece.piece,
                         piece.status == Status::beyond_curve ? "at least " : "",
                         air(piece.airflow_m3_s)));
    }
    if (bound.without_house_m3_s) {
      bullet(fmt::format("with all the air it draws let in freely (no house): {}",
                         air(*bound.without_house_m3_s)));
    }
  }

  [[nodiscard]] std::vector<Column> columns(const char* last) const {
    return {{"size", "", Align::left},
            {"delivers", unit(Dimension::airflow), Align::left},
            {"velocity", unit(Dimension::velocity), Align::right},
            {"depth", "", Align::right, 1},
            {"needs", unit(Dimension::pressure), Align::right, 2},
            {last, "", Align::left}};
  }
  void row(Table& table, const TriedSize& size, std::string last) const {
    table.row({section(size),
               delivers(size, bare(size.airflow_m3_s, Dimension::airflow)),
               bare(size.velocity_m_s, Dimension::velocity),
               show(size.depth_m, Dimension::length),
               bare(size.needed_static_pa, Dimension::pressure),
               std::move(last)});
  }

  void delivering() {
    std::vector<const TriedSize*> sizes;
    for (const TriedSize& size : result_.tried) {
      if (size.delivers()) {
        sizes.push_back(&size);
      }
    }
    if (sizes.empty()) {
      return;
    }
    heading("Deliver with margin, smallest first");
    const std::size_t shown = options().detail == Detail::verbose
                                  ? sizes.size()
                                  : std::min(kShownDelivering, sizes.size());
    Table table(columns(""));
    for (std::size_t i = 0; i < shown; ++i) {
      row(table, *sizes[i], "");
    }
    this->table(table);
    if (shown < sizes.size()) {
      std::vector<std::string> larger;
      for (std::size_t i = shown; i < sizes.size(); ++i) {
        larger.push_back(section(*sizes[i]));
      }
      paragraph("Larger ones too: " + base::joined(larger, "and") + ".");
    }
  }

  void varied() {
    if (result_.varied_count == 0) {
      return;
    }
    heading("Smaller, with other elbows or another cap");
    if (result_.varied.empty()) {
      paragraph(fmt::format("None of {} tried delivers with margin.", result_.varied_count));
      return;
    }
    for (const TriedSize& size : result_.varied) {
      std::vector<std::string> words;
      for (const units::Message& change : size.changes) {
        words.push_back(change.text(options().system));
      }
      bullet(
          fmt::format("{} with {}: {}", section(size), base::joined(words, "and"), delivers(size)));
    }
    paragraph(fmt::format("{} tried: the {} smallest sizes that fail narrowly.",
                          result_.varied_count,
                          study::kVaried));
  }

  /// Why there are no figures, alike for sizes that lack the same.
  static std::string without_section(const TriedSize& size) {
    std::string why = size.why_not;
    const std::string name = duct::to_text(size.section);
    if (const auto at = why.find(name); at != std::string::npos) {
      why.replace(at, name.size(), "it");
    }
    return base::escaped(why);
  }

  /// Which rules, and which sizes break them.
  void rules_broken() {
    std::map<std::string, std::vector<std::string>> by_rule;
    for (const TriedSize& size : result_.tried) {
      if (size.refused_for(Refusal::not_sold)) {
        by_rule["flexible duct and bends of it are made round alone"].push_back(section(size));
        continue;
      }
      for (const std::string& rule : size.breaks) {
        by_rule["not met: " + rule].push_back(section(size));
      }
    }
    constexpr std::size_t kNamed = 4;
    for (auto& [rule, names] : by_rule) {
      if (names.size() > kNamed) {
        const std::size_t more = names.size() - kNamed;
        names.resize(kNamed);
        names.push_back(fmt::format("{} more", more));
      }
      paragraph(fmt::format("Not {}: {}.", base::joined(names), base::escaped(rule)));
    }
  }

  void refused() {
    Table table(columns("why not"));
    bool any = false;
    bool just = false;
    bool ruled_out = false;
    std::vector<std::string> deep;
    std::vector<std::string> far;
    std::map<std::string, std::vector<std::string>> unknown;  // by what is missing
    for (const TriedSize& size : result_.tried) {
      if (size.refused_for(Refusal::no_figures)) {
        unknown[without_section(size)].push_back(section(size));
      } else if (size.refused_for(Refusal::breaks_a_rule) || size.refused_for(Refusal::not_sold)) {
        ruled_out = true;  // told by rule below
      } else if (size.refused_for(Refusal::too_deep)) {
        deep.push_back(section(size));
      } else if (size.airflow_m3_s < kFarBelow * result_.wanted_m3_s &&
                 options().detail != Detail::verbose) {
        far.push_back(section(size));
      } else if (!size.delivers()) {
        row(table, size, in_short(size));
        any = true;
        just = just || size.refused_for(Refusal::just);
      }
    }
    if (!any && !ruled_out && deep.empty() && far.empty() && unknown.empty()) {
      return;
    }
    heading("Rejected");
    if (any) {
      this->table(table);
    }
    rules_broken();
    if (just) {
      paragraph("marginal: not shown, since the low end of its band is below what is wanted.");
    }
    if (!far.empty()) {
      paragraph(fmt::format("Less than half of it: {}.", base::joined(far, "and")));
    }
    if (!deep.empty()) {
      paragraph(fmt::format("Too deep, over {}: {}.",
                            show(*result_.max_depth_m, Dimension::length),
                            base::joined(deep, "and")));
    }
    for (const auto& [why, sizes] : unknown) {
      paragraph(fmt::format("No figures ({}): {}.", why, base::joined(sizes, "and")));
    }
  }

  /// What was settled besides: of the smallest size of each shape that delivers.
  void remarks() {
    std::vector<std::string> all{
        "the whole run at one size, a gradual transition where the collar has another",
        "rectangular and oval duct with its longer side as width"};
    for (const duct::Shape shape :
         {duct::Shape::round, duct::Shape::rectangular, duct::Shape::flat_oval}) {
      const auto first =
          std::find_if(result_.tried.begin(), result_.tried.end(), [&](const TriedSize& size) {
            return size.delivers() && size.section.shape() == shape;
          });
      if (first != result_.tried.end()) {
        for (const units::Message& remark : first->remarks) {
          all.push_back(remark.text(options().system));
        }
      }
    }
    if (result_.check.layout.appliance.kind == layout::ApplianceKind::clothes_dryer) {
      all.emplace_back(
          "the code and the manufacturer fix the size of a clothes dryer's duct: other sizes are "
          "arithmetic alone");
    }
    heading("Assumptions");
    for (const std::string& one : all) {
      bullet(base::escaped(one));
    }
  }

  [[nodiscard]] std::string length(const std::optional<study::Reach>& reach,
                                   double straight_m) const {
    if (!reach) {
      return "at no length";
    }
    const double extra_m = reach->length_m - straight_m;
    return fmt::format("{}{} ({}{})",
                       reach->further ? "over " : "up to ",
                       show(reach->length_m, Dimension::length),
                       show(std::abs(extra_m), Dimension::length),
                       extra_m < 0.0 ? " less" : " more");
  }
  static std::string count(const std::optional<int>& elbows) {
    if (!elbows) {
      return "too much without any";
    }
    return *elbows == study::kMostElbows ? fmt::format("{} or more", *elbows)
                                         : fmt::format("{}", *elbows);
  }

  void limits(const study::Limits& limits, const std::string& what) {
    bullet(what + ":");
    if (limits.straight) {
      under(fmt::format("piece {}, a straight of {}: {}; with margin {}",
                        layout::piece_number(*limits.straight),
                        show(limits.straight_m, Dimension::length),
                        length(limits.reach, limits.straight_m),
                        length(limits.reach_with_margin, limits.straight_m)));
      if (limits.stack_helps && limits.reach) {
        under(
            "the stack grows with it: the air is taken as warm to its end, and a long duct cools "
            "it");
      }
    }
    if (!limits.elbow.empty()) {
      under(fmt::format("further 90 deg elbows {} (C {:.2f}): {}; with margin {}",
                        limits.elbow,
                        limits.elbow_coefficient,
                        count(limits.elbows),
                        count(limits.elbows_with_margin)));
    }
    under(fmt::format("least fan static pressure at {}, nominal: {}; {}",
                      air(result_.wanted_m3_s),
                      show(limits.needed_static_pa, Dimension::pressure),
                      limits.fan_static_pa
                          ? "this fan makes " + show(*limits.fan_static_pa, Dimension::pressure)
                          : "the airflow is outside the fan curve"));
  }

  const study::SizeResult& result_;
};

}  // namespace

std::string size_text(const study::SizeResult& result, const TextOptions& options) {
  return SizeText(result, options).text();
}

}  // namespace ductledger::text
