#include <algorithm>
#include <nlohmann/json.hpp>
#include <string>
#include <utility>
#include <vector>

#include "base/text.hpp"
#include "chromium.hpp"
#include "command_common.hpp"
#include "console.hpp"
#include "files.hpp"
#include "progress.hpp"
#include "report/html.hpp"
#include "study/check.hpp"

namespace ductledger::app {
namespace {

base::Diagnostics fault(std::string rule, std::string message, std::string help) {
  base::Diagnostic out;
  out.rule = std::move(rule);
  out.message = std::move(message);
  out.help = std::move(help);
  return {out};
}

/// What the options contradict, before anything is calculated.
base::Diagnostics contradictions(const Options& options) {
  if (options.has("--svg") && options.has("--pdf")) {
    return fault("contradiction",
                 "`--svg` and `--pdf` contradict each other",
                 "ask for one of them, and for the other in a second call");
  }
  if (!options.has("--svg")) {
    return {};
  }
  const std::string name = options.value("--svg");
  const std::vector<std::string>& names = report::picture_names();
  if (std::find(names.begin(), names.end(), name) == names.end()) {
    const auto near = base::nearest(name, names);
    return fault("bad-value",
                 "no picture is named `" + base::escaped(name) + "`",
                 near ? "did you mean `" + *near + "`?" : "pictures: " + base::joined(names));
  }
  if (options.words.size() > 1) {
    return fault("too-many-files", "`--svg` draws one layout", "name one file");
  }
  return {};
}

bool objects(const study::CheckResult& result, FailOn fail_on) {
  return std::any_of(result.findings.begin(), result.findings.end(), [&](const auto& finding) {
    switch (fail_on) {
      case FailOn::fail:
        return finding.level == review::Level::fail;
      case FailOn::warn:
        return finding.level != review::Level::note;
      case FailOn::note:
        return true;
      case FailOn::never:
        break;
    }
    return false;
  });
}

}  // namespace

Exit run_report(const Options& options) {
  if (const base::Diagnostics refused = contradictions(options); !refused.empty()) {
    return failed(refused, options);
  }
  const report::Record record{DUCTLEDGER_VERSION, word(options.fail_on)};
  const std::string style = options.value("--progress");
  Progress progress(style == "plain"  ? Progress::Style::plain
                    : style == "none" ? Progress::Style::none
                                      : Progress::Style::automatic,
                    options.words.size());
  std::vector<study::CheckResult> results;
  base::Diagnostics faults;
  for (const std::string& path : options.words) {
    auto result = read_layout(path, options).and_then([&](Loaded loaded) {
      return study::check(std::move(loaded.layout), *loaded.catalogue, {.speed = options.speed});
    });
    if (result) {
      results.push_back(*std::move(result));
    } else {
      faults.insert(faults.end(), result.error().begin(), result.error().end());
    }
    progress.done(results.size());
  }
  if (!faults.empty()) {
    return failed(faults, options);  // a report that leaves a layout out would mislead
  }
  Exit exit = Exit::fine;
  for (const study::CheckResult& result : results) {
    exit = objects(result, options.fail_on) ? Exit::findings : exit;
  }
  if (options.has("--svg")) {
    const std::string svg =
        report::picture_svg(results.front(), {options.value("--svg"), options.system});
    if (svg.empty()) {
      return failed(
          fault("nothing-to-draw",
                "this layout has nothing to show in the picture `" + options.value("--svg") + "`",
                "a plan needs headings, a curve a fan, pressures an airflow"),
          options);
    }
    return delivered(svg, options, exit);
  }
  std::vector<nlohmann::ordered_json> documents;
  documents.reserve(results.size());
  std::vector<report::ReportSubject> subjects;
  for (const study::CheckResult& result : results) {
    documents.push_back(report::check_document(result, record));
    subjects.push_back({&result, &documents.back()});
  }
  const std::string page = report::report_html(subjects, {options.system, record});
  if (!options.has("--pdf")) {
    return delivered(page, options, exit);
  }
  const base::Diagnostics unprinted = write_pdf({page, options.output});
  complain(unprinted, options.color);
  return unprinted.empty() ? exit : Exit::failed;
}

}  // namespace ductledger::app
