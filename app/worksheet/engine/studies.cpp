#include "words/studies.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "build/parts.hpp"
#include "document/branches.hpp"
#include "document/check.hpp"
#include "document/compare.hpp"
#include "edit/edit.hpp"
#include "engine_internal.hpp"
#include "html/report.hpp"
#include "html/sheet.hpp"
#include "picture/compared.hpp"
#include "picture/svg.hpp"
#include "rules/rule.hpp"
#include "sheet/rough_in.hpp"
#include "study/advice.hpp"
#include "study/branches.hpp"
#include "study/compare.hpp"
#include "study/difference.hpp"
#include "study/review.hpp"
#include "text/compare.hpp"
#include "units/quantity_text.hpp"
#include "words/compare.hpp"
#include "words/words.hpp"

// What runs the solver more than once, and what makes pages of it.
namespace ductledger::engine {
namespace {

using units::Dimension;

document::Record record() { return {DUCTLEDGER_VERSION, "fail"}; }

std::string gain_text(double gain_m3_s, units::System system) {
  return (gain_m3_s >= 0.0 ? "+" : "-") +
         units::display(std::abs(gain_m3_s), Dimension::airflow, system);
}

std::string signed_number(double value_m3_s, units::System system) {
  return (value_m3_s >= 0.0 ? "+" : "-") +
         units::display_number(std::abs(value_m3_s), Dimension::airflow, system);
}

Json band_or_null(const std::optional<result::Band>& band) {
  return band ? Json{band->low, band->high} : Json(nullptr);
}

// --- advice --------------------------------------------------------------------------------------

std::string words_of(const study::AdviceRow& row, units::System system) {
  std::string out;
  for (const study::Change& change : row.changes) {
    out += (out.empty() ? "" : "; and ") + change.words.text(system);
  }
  return out;
}

std::string conditions_of(const study::AdviceRow& row, units::System system) {
  std::string out;
  for (const study::Change& change : row.changes) {
    if (!change.condition.empty()) {
      out += (out.empty() ? "" : "; ") + change.condition.text(system);
    }
  }
  return out;
}

/// A length that follows from others (`0.6465784407169791 m`) as a tape shows it: to a sixteenth of
/// an inch, or a millimetre.
std::string as_on_a_tape(const std::string& value, units::System system) {
  const auto read = units::parse_quantity(value, Dimension::length);
  const auto* metres = std::get_if<double>(&read);
  if (metres == nullptr || value.find('.') == std::string::npos || !value.ends_with(" m") ||
      value.size() < 8) {
    return value;
  }
  const double step = system == units::System::ip ? units::kMetresPerInch / 16.0 : 0.001;
  return edit::length_value(std::max(1.0, std::round(*metres / step)) * step);
}

Json row_object(const study::CheckResult& result,
                const study::AdviceRow& row,
                units::System system) {
  Json mends = Json::array();
  for (const std::string& code : row.mends) {
    mends.push_back(words::finding_title(code));
  }
  Json brings = Json::array();
  for (const findings::Finding& finding : row.brings) {
    brings.push_back({{"level", word(finding.level)}, {"words", finding.message.text(system)}});
  }
  Json out = {{"words", words_of(row, system)},
              {"condition", conditions_of(row, system)},
              {"gain", ""},
              {"gain_m3_s", nullptr},
              {"band", ""},
              {"after", ""},
              {"mends", std::move(mends)},
              {"brings", std::move(brings)},
              {"over_limit", row.over_limit},
              {"changes", Json::array()}};
  if (!row.speeds.empty()) {
    const study::ChangedSpeed& first = row.speeds.front();
    const std::string bound = first.estimated                               ? "about "
                              : first.status == solve::Status::beyond_curve ? "at least "
                                                                            : "";
    out["gain"] = bound + gain_text(first.gain_m3_s, system);
    out["gain_m3_s"] = first.gain_m3_s;
    out["after"] = bound + units::display(first.airflow_m3_s, Dimension::airflow, system);
    if (first.gain_band_m3_s) {
      out["band"] = fmt::format("{} to {}",
                                signed_number(first.gain_band_m3_s->low, system),
                                signed_number(first.gain_band_m3_s->high, system));
    }
  } else {
    out["gain"] = "-" + units::display(row.pressure_saved_pa, Dimension::pressure, system);
    out["after"] = units::display(row.pressure_pa, Dimension::pressure, system);
  }
  const auto changed = study::with_changes(result.layout, row);
  if (changed && changed->tree != nullptr && result.layout.tree != nullptr) {
    out["changes"] = changes(result.layout.tree->root, changed->tree->root);
    for (Json& op : out["changes"]) {
      if (op.contains("value")) {
        op["value"] = as_on_a_tape(op["value"].get<std::string>(), system);
      }
    }
  }
  return out;
}

// --- pages ---------------------------------------------------------------------------------------

/// What a page shows of one layout.
struct Studied {
  layout::Layout layout;
  study::CheckedLayout checked;
  base::Checked<build::PartsResult> parts;
  Json document;
};

base::Checked<Studied> studied(const Json& request) {
  auto layout = layout_of(request);
  if (!layout) {
    return layout.error();
  }
  auto checked = study::check_layout(
      *layout,
      catalogue(),
      {.speed = text_of(request, "speed"), .advise = flag_of(request, "advise")});
  if (!checked) {
    return std::move(checked).error();
  }
  Json document = document::layout_document(*checked, record());
  auto parts = build::parts(*layout, catalogue());
  return Studied{.layout = *std::move(layout),
                 .checked = *std::move(checked),
                 .parts = std::move(parts),
                 .document = std::move(document)};
}

html::ReportSubject subject_of(const Studied& one) {
  html::ReportSubject out;
  out.result = &one.checked.check;
  out.document = &one.document;
  out.parts = one.parts ? &one.parts.value() : nullptr;
  out.parts_missing = one.parts ? "" : one.parts.error().front().message;
  out.network = one.checked.network ? &*one.checked.network : nullptr;
  return out;
}

/// The layouts of a request that names several; the first fault ends it.
std::vector<Json> layouts_of(const Json& request) {
  std::vector<Json> out;
  const auto list = request.find("layouts");
  if (list != request.end() && list->is_array()) {
    for (const Json& one : *list) {
      if (one.is_object()) {
        out.push_back(one);
      }
    }
  }
  return out;
}

Json sheet_object(const Studied& one, const Json& request) {
  if (!one.parts) {
    return refused(one.parts.error());
  }
  const units::System system = system_for(request, one.layout);
  const auto sheets = sheet::rough_in(*one.parts, system);
  if (!sheets) {
    return refused(sheets.error());
  }
  return {{"html",
           html::rough_in_html(subject_of(one), *sheets, {.system = system, .record = record()})}};
}

// --- a variant -----------------------------------------------------------------------------------

const yaml::Node* pieces_of_run(const layout::Layout& layout) {
  const yaml::Node* run = layout.tree->root.find("run");
  return run == nullptr ? nullptr : run->find("pieces");
}

/// `run.pieces.2`, the first being 1.
std::string dotted(const Json& path) {
  std::string words;
  for (const Json& step : path) {
    words += (words.empty() ? "" : ".") +
             (step.is_string() ? step.get<std::string>() : std::to_string(step.get<int>() + 1));
  }
  return words;
}

/// What differs outside the pieces: three keys of the run have a place in a variant.
struct OutsidePieces {
  std::vector<std::string> entries;  ///< `key: value`
  Json not_said = Json::array();     ///< what has no place
};

OutsidePieces outside_pieces(const yaml::Node& from, const yaml::Node& to) {
  OutsidePieces out;
  for (const Json& op : changes(from, to)) {
    const Json& at = op.at("path");
    const bool in_run = at.size() >= 2 && at[0] == "run" && at[1].is_string();
    const std::string key = in_run ? at[1].get<std::string>() : "";
    if (key == "pieces" || at[0] == "variants" || at[0] == "title") {
      continue;
    }
    if (in_run && at.size() == 2 && op.at("op") == "set" &&
        (key == "section" || key == "heading" || key == "material")) {
      out.entries.push_back(fmt::format("{}: {}", key, flow_text(*to.find("run")->find(key))));
    } else {
      out.not_said.push_back(dotted(at));
    }
  }
  return out;
}

}  // namespace

Json advice_object(const Json& request) {
  auto layout = layout_of(request);
  if (!layout) {
    return refused(layout.error());
  }
  const units::System system = system_for(request, *layout);
  if (!layout->branches.empty()) {
    return {{"why_not", "changes of a layout with branches are solved by the command line"},
            {"rows", Json::array()},
            {"left_out", 0}};
  }
  const auto result = study::check(
      *std::move(layout), catalogue(), {.speed = text_of(request, "speed"), .advise = true});
  if (!result) {
    return refused(result.error());
  }
  const study::Advice& advice = *result->advice;
  Json rows = Json::array();
  for (const study::AdviceRow& row : advice.rows) {
    rows.push_back(row_object(*result, row, system));
  }
  return {{"why_not", advice.why_not},
          {"rows", std::move(rows)},
          {"best_pair",
           advice.best_pair ? row_object(*result, *advice.best_pair, system) : Json(nullptr)},
          {"tried", advice.tried},
          {"left_out", advice.smaller}};
}

Json variant_object(const Json& request) {
  const auto a = layout_of(request);
  if (!a) {
    return refused(a.error());
  }
  const auto b = layout_of(request, "b_text");
  if (!b) {
    return refused(b.error());
  }
  const yaml::Node* from = pieces_of_run(*a);
  const yaml::Node* to = pieces_of_run(*b);
  if (from == nullptr || to == nullptr) {
    return refused({base::fault("no-pieces", "a variant is of a run's pieces")});
  }
  OutsidePieces said = outside_pieces(a->tree->root, b->tree->root);
  std::vector<std::string> pieces;
  for (const Json& one : piece_changes(*from, *to)) {
    pieces.push_back(
        fmt::format("{}: {}", one.at("piece").get<int>(), one.at("value").get<std::string>()));
  }
  if (!pieces.empty()) {
    said.entries.push_back(fmt::format("pieces: {{{}}}", fmt::join(pieces, ", ")));
  }
  if (said.entries.empty()) {
    return refused({base::fault("no-change", "both routes are the same")});
  }
  return {{"changes",
           Json::array({Json{{"op", "set"},
                             {"path", Json::array({"variants", text_of(request, "name")})},
                             {"value", fmt::format("{{{}}}", fmt::join(said.entries, ", "))}}})},
          {"not_said", std::move(said.not_said)}};
}

Json difference_object(const Json& request) {
  const auto calculated = [&](std::string_view key) -> base::Checked<study::CheckResult> {
    auto layout = layout_of(request, key);
    if (!layout) {
      return layout.error();
    }
    return checked(request, *std::move(layout));
  };
  const auto a = calculated("text_a");
  if (!a) {
    return refused(a.error());
  }
  const auto b = calculated("text_b");
  if (!b) {
    return refused(b.error());
  }
  const auto none = [](std::string why) {
    return Json{{"words", ""},
                {"difference_m3_s", nullptr},
                {"band_m3_s", nullptr},
                {"why_not", std::move(why)}};
  };
  if (!a->layout.branches.empty() || !b->layout.branches.empty()) {
    return none("layouts with branches are compared by the command line");
  }
  if (!a->headline || !b->headline) {
    return none("one of them has no fan that runs");
  }
  const std::string name = text_of(request, "speed");
  const auto speed_of = [&](const study::CheckResult& of) -> const result::SpeedResult* {
    const auto found = std::ranges::find(of.speeds, name, &result::SpeedResult::name);
    return found == of.speeds.end() ? &of.speeds[*of.headline] : &*found;
  };
  const result::SpeedResult* now = speed_of(*a);
  const result::SpeedResult* before = speed_of(*b);
  if (now->point.status != solve::Status::found || before->point.status != solve::Status::found) {
    return none("one of them has no airflow that is known");
  }
  const study::Difference difference = study::difference({*a, *now}, {*b, *before});
  const units::System system = system_for(request, a->layout);
  std::string words = gain_text(difference.airflow_m3_s, system);
  if (difference.band_m3_s) {
    words += fmt::format(" ({} to {})",
                         signed_number(difference.band_m3_s->low, system),
                         signed_number(difference.band_m3_s->high, system));
  }
  return {{"words", words},
          {"difference_m3_s", difference.airflow_m3_s},
          {"band_m3_s", band_or_null(difference.band_m3_s)},
          {"sure", difference.is_sure()},
          {"why_not", ""}};
}

Json compare_object(const Json& request) {
  std::vector<study::Compared> layouts;
  for (const Json& one : layouts_of(request)) {
    auto layout = layout_of(one);
    if (!layout) {
      return refused(layout.error());
    }
    const std::string name = text_of(one, "name");
    if (!name.empty()) {
      layout->title = name;
    }
    layouts.push_back({*std::move(layout), &catalogue()});
  }
  if (layouts.empty()) {
    return refused({base::fault("nothing-to-compare", "no layout is named")});
  }
  const units::System system = system_for(request, layouts.front().layout);
  const auto result = study::compare(std::move(layouts));
  if (!result) {
    return refused(result.error());
  }
  const picture::PlotOptions options{.system = system, .use = picture::PictureUse::page};
  return {{"words", words::winner_sentence(*result, system)},
          {"text", text::compare_text(*result, {.system = system})},
          {"svg", picture::differences_svg(*result, options, "differences")},
          {"html", html::comparison_fragment(*result, system, record())}};
}

Json report_object(const Json& request) {
  std::vector<Studied> all;
  for (const Json& one : layouts_of(request)) {
    Json asked = one;
    asked["advise"] = !flag_of(request, "sheet");
    auto study = studied(asked);
    if (!study) {
      return refused(study.error());
    }
    all.push_back(*std::move(study));
  }
  if (all.empty()) {
    return refused({base::fault("nothing-to-report", "no layout is named")});
  }
  if (flag_of(request, "sheet")) {
    return sheet_object(all.front(), request);
  }
  std::vector<html::ReportSubject> subjects;
  std::vector<study::Compared> compared;
  for (const Studied& one : all) {
    subjects.push_back(subject_of(one));
    compared.push_back({one.layout, &catalogue()});
  }
  std::optional<base::Checked<study::Comparison>> comparison;
  if (all.size() > 1 || !all.front().layout.variants.empty()) {
    comparison = study::compare(std::move(compared));
  }
  html::ReportOptions options{.system = system_for(request, all.front().layout),
                              .record = record()};
  if (comparison && *comparison) {
    options.comparison = &comparison->value();
  } else if (comparison) {
    options.not_compared = comparison->error().front().message;
  }
  return {{"html", html::report_html(subjects, options)}};
}

}  // namespace ductledger::engine
