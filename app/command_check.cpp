#include <algorithm>
#include <nlohmann/json.hpp>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "command_common.hpp"
#include "commands.hpp"
#include "console.hpp"
#include "document/branches.hpp"
#include "document/check.hpp"
#include "load.hpp"
#include "parallel/parallel.hpp"
#include "study/branches.hpp"
#include "study/check.hpp"
#include "text/branches.hpp"
#include "text/check.hpp"
#include "text/verdict.hpp"
#include "watch.hpp"

namespace ductledger::app {
namespace {

/// One run, or a network of them.
using Calculated = std::variant<study::CheckResult, study::NetworkResult>;
using Checked = base::Checked<Calculated>;

Checked calculated(const std::string& path, const Options& options, std::size_t samples) {
  return load_layout(path, options).and_then([&](Loaded loaded) -> Checked {
    const study::CheckOptions asked{
        .speed = options.speed, .advise = options.has("--advise"), .samples = samples};
    const auto whole = [](auto result) -> Checked {
      if (!result) {
        return std::move(result).error();
      }
      return Calculated(*std::move(result));
    };
    return loaded.layout.branches.empty()
               ? whole(study::check(std::move(loaded.layout), *loaded.catalogue, asked))
               : whole(study::check_network(std::move(loaded.layout), *loaded.catalogue, asked));
  });
}

nlohmann::ordered_json document_of(const Calculated& result, const document::Record& record) {
  const auto* one = std::get_if<study::CheckResult>(&result);
  return one != nullptr
             ? document::check_document(*one, record)
             : document::network_document(std::get<study::NetworkResult>(result), record);
}

std::string text_of(const Calculated& result, const text::TextOptions& shown) {
  const auto* one = std::get_if<study::CheckResult>(&result);
  return one != nullptr ? text::check_text(*one, shown)
                        : text::network_text(std::get<study::NetworkResult>(result), shown);
}

text::FileVerdict verdict_of(const Calculated& result, std::string path, units::System system) {
  const auto* one = std::get_if<study::CheckResult>(&result);
  return one != nullptr
             ? text::file_verdict(std::move(path), *one, system)
             : text::file_verdict(std::move(path),
                                  study::as_single(std::get<study::NetworkResult>(result)),
                                  system);
}

const layout::Layout& layout_of(const Calculated& result) {
  return std::visit([](const auto& one) -> const layout::Layout& { return one.layout; }, result);
}

bool objects_to(const Calculated& result, FailOn fail_on) {
  return std::visit(
      [&](const auto& one) {
        return std::ranges::any_of(one.findings, [&](const findings::Finding& finding) {
          return reaches(finding.level, fail_on);
        });
      },
      result);
}

/// What one file is answered: what is told of it, and what it adds to the output.
struct Answer {
  base::Diagnostics told;
  text::FileVerdict verdict;
  std::string text;
  nlohmann::ordered_json document;
  Exit exit = Exit::fine;
};

Answer answer_to(const std::string& path, const Options& options, std::size_t samples) {
  const document::Record record{DUCTLEDGER_VERSION, word(options.fail_on)};
  const Checked result = calculated(path, options, samples);
  Answer out;
  out.told = result ? layout_of(*result).warnings : result.error();
  if (!result) {
    out.exit = Exit::failed;
  } else if (objects_to(*result, options.fail_on)) {
    out.exit = Exit::findings;
  }
  if (options.format == Format::json) {
    out.document = result ? document_of(*result, record) : error_document(result.error(), record);
  } else if (result) {
    text::TextOptions shown = text_options(options, system_of(options, layout_of(*result)));
    shown.profile = profile(options);
    out.verdict = verdict_of(*result, path, shown.system);
    out.text = text_of(*result, shown);
  } else {
    out.verdict.file = path;
  }
  return out;
}

Exit answered(const Options& options) {
  const document::Record record{DUCTLEDGER_VERSION, word(options.fail_on)};
  const auto samples = whole_option(options, "--samples");
  if (!samples) {
    return failed(samples.error(), options);
  }
  Exit exit = Exit::fine;
  std::string text;
  std::vector<nlohmann::ordered_json> documents;
  std::vector<Answer> answers = parallel::map<Answer>(options.words.size(), [&](std::size_t i) {
    return answer_to(options.words[i], options, samples->value_or(0));
  });
  std::vector<text::FileVerdict> verdicts;
  for (Answer& one : answers) {
    verdicts.push_back(std::move(one.verdict));
    complain(one.told, options.color);
    exit = std::max(exit, one.exit);
    if (options.format == Format::json) {
      documents.push_back(std::move(one.document));
    } else {
      text += (text.empty() || one.text.empty() ? "" : "\n\n") + one.text;
    }
  }
  if (options.format == Format::json) {
    text = document::to_text(documents.size() == 1 ? documents.front()
                                                   : checks_document(documents, record));
  } else if (verdicts.size() > 1 && !text.empty()) {
    text = text::verdicts_text(std::move(verdicts), text_options(options, units::System::ip)) +
           "\n\n" + text;
  }
  return text.empty() ? exit : delivered(text, options, exit);
}

/// Answers at once and after each change of a file, until interrupted or a file is gone.
Exit watched(const Options& options) {
  std::vector<std::string> files = options.words;
  if (std::ranges::find(files, "-") != files.end()) {
    return failed({base::fault("nothing-to-watch",
                               "standard input is read once, so that nothing of it can change",
                               "name the layout's file")},
                  options);
  }
  if (options.has("--catalogue")) {
    files.push_back(options.value("--catalogue"));
  }
  Watch watch(files);
  start_over(true);
  static_cast<void>(answered(options));
  while (watch.changed()) {
    start_over(false);
    static_cast<void>(answered(options));
  }
  return failed({base::fault("file-gone", "a file that was watched is gone")}, options);
}

}  // namespace

Exit run_check(const Options& options) {
  return options.has("--watch") ? watched(options) : answered(options);
}

}  // namespace ductledger::app
