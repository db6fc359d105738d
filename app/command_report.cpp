#include <algorithm>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "build/parts.hpp"
#include "command_common.hpp"
#include "document/branches.hpp"
#include "files.hpp"
#include "html/report.hpp"
#include "html/sheet.hpp"
#include "load.hpp"
#include "picture/tree.hpp"
#include "progress.hpp"
#include "rule_files.hpp"
#include "sheet/rough_in.hpp"
#include "study/branches.hpp"
#include "study/check.hpp"
#include "study/compare.hpp"
#include "study/review.hpp"

namespace ductledger::app {
namespace {

using base::fault;

/// What the options contradict, before anything is calculated.
base::Diagnostics contradictions(const Options& options) {
  if (options.has("--svg") && options.has("--pdf")) {
    return {fault("contradiction",
                  "`--svg` and `--pdf` contradict each other",
                  "ask for one of them, and for the other in a second call")};
  }
  if (options.has("--rules") && !options.has("--review")) {
    return {fault("contradiction",
                  "`--rules` says by what to judge, and nothing asks to judge",
                  "add `--review`")};
  }
  if (options.has("--dxf") && !options.has("--sheet")) {
    return {fault(
        "contradiction", "`--dxf` is of a sheet, and none is asked for", "add `--sheet rough-in`")};
  }
  if (options.has("--sheet")) {
    for (const char* other : {"--svg", "--review"}) {
      if (options.has(other)) {
        return {fault("contradiction",
                      std::string("`--sheet` and `") + other + "` contradict each other",
                      "ask for one of them, and for the other in a second call")};
      }
    }
    if (options.has("--dxf") && options.has("--pdf")) {
      return {fault("contradiction",
                    "`--dxf` and `--pdf` contradict each other",
                    "ask for one of them, and for the other in a second call")};
    }
    if (options.words.size() > 1) {
      return {fault("too-many-files", "`--sheet` draws one layout", "name one file")};
    }
  }
  if (!options.has("--svg")) {
    return {};
  }
  const std::string name = options.value("--svg");
  const std::vector<std::string>& names = html::picture_names();
  if (std::find(names.begin(), names.end(), name) == names.end()) {
    const auto near = base::nearest(name, names);
    return {fault("bad-value",
                  "no picture is named `" + base::escaped(name) + "`",
                  near ? "did you mean `" + *near + "`?" : "pictures: " + base::joined(names))};
  }
  if (options.words.size() > 1) {
    return {fault("too-many-files", "`--svg` draws one layout", "name one file")};
  }
  return {};
}

/// What the page shows of one layout.
struct Studied {
  layout::Layout layout;
  CataloguePtr catalogue;
  study::CheckedLayout checked;
  base::Checked<build::PartsResult> parts;
  std::optional<study::ReviewResult> review;
};

base::Checked<Studied> studied(const std::string& path, const Options& options) {
  auto loaded = read_layout(path, options);
  if (!loaded) {
    return loaded.error();
  }
  auto checked = study::check_layout(loaded->layout,
                                     *loaded->catalogue,
                                     {.speed = options.speed, .advise = !options.has("--svg")});
  if (!checked) {
    return std::move(checked).error();
  }
  std::optional<study::ReviewResult> review;
  if (options.has("--review")) {
    const auto sets = rule_sets(loaded->layout, path, options);
    if (!sets) {
      return sets.error();
    }
    auto judged = study::review(loaded->layout, *loaded->catalogue, *sets);
    if (!judged) {
      return judged.error();
    }
    review = *std::move(judged);
  }
  return Studied{.layout = loaded->layout,
                 .catalogue = loaded->catalogue,
                 .checked = *std::move(checked),
                 .parts = build::parts(loaded->layout, *loaded->catalogue),
                 .review = std::move(review)};
}

/// Of several layouts, or of one with variants; nothing where there is nothing to compare.
std::optional<base::Checked<study::Comparison>> compared(const std::vector<Studied>& all) {
  if (all.size() == 1 && all.front().layout.variants.empty()) {
    return std::nullopt;
  }
  if (std::ranges::any_of(all,
                          [](const Studied& one) { return one.checked.network.has_value(); })) {
    return fault("branches-not-handled", "`compare` sets layouts with branches side by side");
  }
  std::vector<study::Compared> layouts;
  layouts.reserve(all.size());
  for (const Studied& one : all) {
    layouts.push_back({one.layout, &*one.catalogue});
  }
  return study::compare(std::move(layouts));
}

/// Faults as a part of a sentence.
std::string why(const base::Diagnostics& faults) {
  return faults.empty() ? std::string() : faults.front().message;
}

/// Of a network the tree stands for its route, and nothing else is drawn.
std::string picture_of(const Studied& one, const Options& options) {
  const std::string name = options.value("--svg");
  const units::System system = system_of(options, one.layout);
  if (!one.checked.network) {
    return html::picture_svg(one.checked.check, {name, system});
  }
  return name == "route" ? picture::tree_picture(*one.checked.network, {.system = system}).svg : "";
}

Exit rough_in(const Studied& one,
              const html::ReportSubject& subject,
              const document::Record& record,
              const Options& options,
              Exit exit) {
  if (!one.parts) {
    return failed(one.parts.error(), options);
  }
  const units::System system = system_of(options, one.layout);
  const auto sheets = sheet::rough_in(*one.parts, system);
  if (!sheets) {
    return failed(sheets.error(), options);
  }
  if (options.has("--dxf")) {
    return delivered(sheet::rough_in_dxf(*sheets), options, exit);
  }
  return page_or_pdf(
      html::rough_in_html(subject, *sheets, {.system = system, .record = record}), options, exit);
}

bool objects(const Studied& one, FailOn fail_on) {
  const std::optional<findings::Level> worst =
      one.review ? study::worst(*one.review) : std::optional<findings::Level>();
  return (worst && reaches(*worst, fail_on)) || objects(one.checked.check, fail_on);
}

/// Every layout of the call, or all that is wrong with them: a report that leaves one out would
/// mislead.
base::Checked<std::vector<Studied>> all_studied(const Options& options) {
  Progress progress(progress_style(options), options.words.size());
  std::vector<Studied> all;
  base::Diagnostics faults;
  for (const std::string& path : options.words) {
    auto one = studied(path, options);
    if (one) {
      all.push_back(*std::move(one));
    } else {
      faults.insert(faults.end(), one.error().begin(), one.error().end());
    }
    progress.done(all.size());
  }
  if (!faults.empty()) {
    return faults;
  }
  return all;
}

Exit drawn_alone(const Studied& one, const Options& options, Exit exit) {
  const std::string svg = picture_of(one, options);
  if (svg.empty()) {
    return failed(
        {fault("nothing-to-draw",
               "this layout has nothing to show in the picture `" + options.value("--svg") + "`",
               "a plan needs headings, a curve a fan, pressures an airflow")},
        options);
  }
  return delivered(svg, options, exit);
}

html::ReportSubject subject_of(const Studied& one, const nlohmann::ordered_json& document) {
  return {.result = &one.checked.check,
          .document = &document,
          .parts = one.parts ? &*one.parts : nullptr,
          .parts_missing = one.parts ? "" : why(one.parts.error()),
          .review = one.review ? &*one.review : nullptr,
          .network = one.checked.network ? &*one.checked.network : nullptr};
}

}  // namespace

Exit run_report(const Options& options) {
  if (const base::Diagnostics refused = contradictions(options); !refused.empty()) {
    return failed(refused, options);
  }
  const auto studies = all_studied(options);
  if (!studies) {
    return failed(studies.error(), options);
  }
  const std::vector<Studied>& all = *studies;
  const document::Record record{DUCTLEDGER_VERSION, word(options.fail_on)};
  const bool objected =
      std::ranges::any_of(all, [&](const Studied& one) { return objects(one, options.fail_on); });
  const Exit exit = objected ? Exit::findings : Exit::fine;
  if (options.has("--svg")) {
    return drawn_alone(all.front(), options, exit);
  }
  std::vector<nlohmann::ordered_json> documents;
  documents.reserve(all.size());
  std::vector<html::ReportSubject> subjects;
  for (const Studied& one : all) {
    documents.push_back(document::layout_document(one.checked, record, document::PathRows::folded));
    subjects.push_back(subject_of(one, documents.back()));
  }
  if (options.has("--sheet")) {
    return rough_in(all.front(), subjects.front(), record, options, exit);
  }
  html::ReportOptions page_options{.system = system_of(options, all.front().layout),
                                   .record = record};
  page_options.on_paper = options.has("--pdf");
  const std::optional<base::Checked<study::Comparison>> comparison = compared(all);
  if (comparison && *comparison) {
    page_options.comparison = &**comparison;
  } else if (comparison) {
    page_options.not_compared = why(comparison->error());
  }
  return page_or_pdf(html::report_html(subjects, page_options), options, exit);
}

}  // namespace ductledger::app
