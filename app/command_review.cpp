#include <algorithm>
#include <array>
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
#include "html/review.hpp"
#include "load.hpp"
#include "parallel/parallel.hpp"
#include "rule_files.hpp"
#include "study/review_change.hpp"
#include "text/letter.hpp"
#include "text/review.hpp"

namespace ductledger::app {
namespace {

using Reviewed = base::Checked<study::ReviewResult>;

/// Tells nothing: several files are reviewed at a time.
Reviewed reviewed(const std::string& path, const Options& options) {
  auto loaded = load_layout(path, options);
  if (!loaded) {
    return loaded.error();
  }
  const auto sets = rule_sets(loaded->layout, path, options);
  if (!sets) {
    return sets.error();
  }
  return study::review(std::move(loaded->layout), *loaded->catalogue, *sets);
}

base::Diagnostics review_contradictions(const Options& options) {
  base::Diagnostics faults;
  const auto clash = [&](const char* a, const char* b) {
    if (options.has(a) && options.has(b)) {
      faults.push_back(base::fault("contradiction",
                                   std::string("`") + a + "` and `" + b + "` contradict each other",
                                   "leave one of them out"));
    }
  };
  constexpr std::array kViews{"--sheet", "--request", "--letter", "--against"};
  for (std::size_t i = 0; i < kViews.size(); ++i) {
    for (std::size_t j = i + 1; j < kViews.size(); ++j) {
      clash(kViews[i], kViews[j]);
    }
  }
  const char* format = options.has("--json") ? "--json" : "--format";
  if (options.format == Format::json) {
    clash("--sheet", format);
    clash("--request", format);
    clash("--letter", format);
  }
  if (options.format == Format::html) {
    clash("--sheet", format);
    clash("--request", format);
  }
  if (options.has("--pdf")) {
    clash("--pdf", "--sheet");
    clash("--pdf", "--request");
    if (options.format == Format::json) {
      clash("--pdf", format);
    }
  }
  const bool page = options.format == Format::html || options.has("--pdf");
  if (options.words.size() > 1 && (page || options.has("--against"))) {
    faults.push_back(base::fault("too-many-files",
                                 options.has("--against")
                                     ? "`--against` holds one layout against its earlier file"
                                     : "a page holds the review of one layout",
                                 "name one file"));
  }
  return faults;
}

const std::string& tool() {
  static const std::string name = std::string("ductledger ") + DUCTLEDGER_VERSION;
  return name;
}

/// Of several as of the first that was reviewed.
units::System system_of(const Options& options, const std::vector<Reviewed>& all) {
  const auto first = std::ranges::find_if(all, [](const Reviewed& one) { return one.has_value(); });
  return first == all.end() ? system_asked(options)
                            : app::system_of(options, (*first)->check.layout);
}

std::string view(const study::ReviewResult& result, const Options& options) {
  const text::TextOptions text =
      text_options(options, app::system_of(options, result.check.layout));
  if (options.has("--sheet")) {
    return text::review_sheet(result, text);
  }
  if (options.has("--letter")) {
    return text::review_letter(result, tool(), text);
  }
  return options.has("--request") ? text::review_request(result, text) : review_text(result, text);
}

/// An earlier review of the same layout, where one is asked for.
struct Earlier {
  std::optional<study::ReviewResult> review;
  std::optional<study::ReviewChanges> changes;
};

/// Every layout of the call reviewed, in its order, and the exit status that they ask for.
struct Reviews {
  std::vector<Reviewed> all;
  Exit exit = Exit::fine;
};

Reviews all_reviewed(const Options& options) {
  auto found = parallel::map<std::optional<Reviewed>>(
      options.words.size(), [&](std::size_t i) { return reviewed(options.words[i], options); });
  Reviews out;
  for (std::optional<Reviewed>& one : found) {
    const Reviewed& last = out.all.emplace_back(*std::move(one));
    complain(last ? last->check.layout.warnings : last.error(), options.color);
    out.exit = std::max(out.exit,
                        !last                             ? Exit::failed
                        : objects(*last, options.fail_on) ? Exit::findings
                                                          : Exit::fine);
  }
  return out;
}

/// Against `now`, where an earlier file is named.
base::Checked<Earlier> earlier_of(const Reviewed& now, const Options& options) {
  if (!options.has("--against") || !now) {
    return Earlier();
  }
  auto before = reviewed(options.value("--against"), options);
  if (!before) {
    return std::move(before).error();
  }
  complain(before->check.layout.warnings, options.color);
  Earlier earlier{.review = *std::move(before), .changes = std::nullopt};
  earlier.changes = study::review_changes(*earlier.review, *now);
  return earlier;
}

std::string page(const study::ReviewResult& result,
                 const Earlier& earlier,
                 const document::Record& record,
                 const Options& options) {
  const html::ReviewPageOptions wanted{.system = app::system_of(options, result.check.layout),
                                       .record = record,
                                       .before = earlier.review ? &*earlier.review : nullptr,
                                       .changes = earlier.changes ? &*earlier.changes : nullptr};
  return options.has("--letter") ? html::letter_html(result, wanted)
                                 : html::review_html(result, wanted);
}

nlohmann::ordered_json documents_of(const std::vector<Reviewed>& all,
                                    const Earlier& earlier,
                                    const document::Record& record) {
  std::vector<nlohmann::ordered_json> documents;
  documents.reserve(all.size());
  for (const Reviewed& one : all) {
    documents.push_back(one ? document::review_document(*one, record)
                            : error_document(one.error(), record));
  }
  if (earlier.changes) {
    documents.front()["against"] = document::against_object(*earlier.review, *earlier.changes);
  }
  return documents.size() == 1 ? documents.front() : checks_document(documents, record);
}

std::string text_of(const std::vector<Reviewed>& all,
                    const Earlier& earlier,
                    const Options& options) {
  if (earlier.changes) {
    return text::review_against(
        {*earlier.review, *all.front(), *earlier.changes},
        text_options(options, app::system_of(options, all.front()->check.layout)));
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
    text = text::review_summary(rows, text_options(options, system_of(options, all))) +
           (text.empty() ? "" : "\n\n") + text;
  }
  return text;
}

}  // namespace

Exit run_review(const Options& options) {
  const base::Diagnostics refused = review_contradictions(options);
  if (!refused.empty()) {
    return failed(refused, options);
  }
  const document::Record record{DUCTLEDGER_VERSION, word(options.fail_on)};
  const Reviews reviews = all_reviewed(options);
  const std::vector<Reviewed>& all = reviews.all;
  const auto earlier = earlier_of(all.front(), options);
  if (!earlier) {
    return failed(earlier.error(), options);
  }
  if ((options.format == Format::html || options.has("--pdf")) && all.front()) {
    return page_or_pdf(page(*all.front(), *earlier, record, options), options, reviews.exit);
  }
  if (options.format == Format::json) {
    return delivered(document::to_text(documents_of(all, *earlier, record)), options, reviews.exit);
  }
  const std::string text = text_of(all, *earlier, options);
  return text.empty() ? reviews.exit : delivered(text, options, reviews.exit);
}

}  // namespace ductledger::app
