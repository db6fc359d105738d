#include <algorithm>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "command_common.hpp"
#include "console.hpp"
#include "document/check.hpp"
#include "document/review.hpp"
#include "load.hpp"
#include "rule_files.hpp"
#include "text/review.hpp"

namespace ductledger::app {
namespace {

using Reviewed = base::Checked<study::ReviewResult>;

Reviewed reviewed(const std::string& path, const Options& options) {
  auto loaded = read_layout(path, options);
  if (!loaded) {
    return loaded.error();
  }
  const auto sets = rule_sets(loaded->layout, path, options);
  if (!sets) {
    return sets.error();
  }
  return study::review(std::move(loaded->layout), *loaded->catalogue, *sets);
}

/// As `report --review` ends: by the rules, the arithmetic handed in and the findings.
Exit exit_of(const study::ReviewResult& result, FailOn fail_on) {
  const std::optional<findings::Level> worst = study::worst(result);
  return (worst && reaches(*worst, fail_on)) || objects(result.check, fail_on) ? Exit::findings
                                                                               : Exit::fine;
}

base::Diagnostics contradictions(const Options& options) {
  base::Diagnostics faults;
  const auto clash = [&](const char* a, const char* b) {
    if (options.has(a) && options.has(b)) {
      faults.push_back(base::fault("contradiction",
                                   std::string("`") + a + "` and `" + b + "` contradict each other",
                                   "leave one of them out"));
    }
  };
  clash("--sheet", "--request");
  if (options.format == Format::json) {
    clash("--sheet", options.has("--json") ? "--json" : "--format");
    clash("--request", options.has("--json") ? "--json" : "--format");
  }
  return faults;
}

std::string view(const study::ReviewResult& result, const Options& options) {
  const text::TextOptions text = text_options(options);
  if (options.has("--sheet")) {
    return text::review_sheet(result, text);
  }
  return options.has("--request") ? text::review_request(result, text) : review_text(result, text);
}

}  // namespace

Exit run_review(const Options& options) {
  const base::Diagnostics refused = contradictions(options);
  if (!refused.empty()) {
    return failed(refused, options);
  }
  const document::Record record{DUCTLEDGER_VERSION, word(options.fail_on)};
  Exit exit = Exit::fine;
  std::vector<Reviewed> all;
  for (const std::string& path : options.words) {
    all.push_back(reviewed(path, options));
    if (!all.back()) {
      complain(all.back().error(), options.color);
    }
    exit = std::max(exit, all.back() ? exit_of(*all.back(), options.fail_on) : Exit::failed);
  }
  if (options.format == Format::json) {
    std::vector<nlohmann::ordered_json> documents;
    documents.reserve(all.size());
    for (const Reviewed& one : all) {
      documents.push_back(one ? document::review_document(*one, record)
                              : error_document(one.error(), record));
    }
    return delivered(document::to_text(documents.size() == 1 ? documents.front()
                                                             : checks_document(documents, record)),
                     options,
                     exit);
  }
  std::string text;
  std::vector<text::ReviewRow> rows;
  for (std::size_t i = 0; i < all.size(); ++i) {
    rows.push_back({options.words[i], all[i] ? &*all[i] : nullptr});
    if (all[i]) {
      text += (text.empty() ? "" : "\n\n") + view(*all[i], options);
    }
  }
  if (rows.size() > 1 && !options.has("--request")) {
    text += (text.empty() ? "" : "\n\n") + text::review_summary(rows, text_options(options));
  }
  return text.empty() ? exit : delivered(text, options, exit);
}

}  // namespace ductledger::app
