#include <algorithm>
#include <nlohmann/json.hpp>
#include <string>
#include <utility>
#include <vector>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "command_common.hpp"
#include "commands.hpp"
#include "console.hpp"
#include "document/check.hpp"
#include "load.hpp"
#include "study/check.hpp"
#include "text/check.hpp"

namespace ductledger::app {
namespace {

using Checked = base::Checked<study::CheckResult>;

Checked calculated(const std::string& path, const Options& options, std::size_t samples) {
  return read_layout(path, options).and_then([&](Loaded loaded) {
    return study::check(
        std::move(loaded.layout),
        *loaded.catalogue,
        {.speed = options.speed, .advise = options.has("--advise"), .samples = samples});
  });
}

Exit worse(Exit a, Exit b) { return std::max(a, b); }

}  // namespace

Exit run_check(const Options& options) {
  const document::Record record{DUCTLEDGER_VERSION, word(options.fail_on)};
  const auto samples = whole_option(options, "--samples");
  if (!samples) {
    return failed(samples.error(), options);
  }
  text::TextOptions shown = text_options(options);
  shown.profile = profile(options);
  Exit exit = Exit::fine;
  std::string text;
  std::vector<nlohmann::ordered_json> documents;
  for (const std::string& path : options.words) {
    const Checked result = calculated(path, options, samples->value_or(0));
    if (!result) {
      complain(result.error(), options.color);
      exit = worse(exit, Exit::failed);
    } else if (objects(*result, options.fail_on)) {
      exit = worse(exit, Exit::findings);
    }
    if (options.format == Format::json) {
      documents.push_back(result ? document::check_document(*result, record)
                                 : error_document(result.error(), record));
    } else if (result) {
      text += text.empty() ? "" : "\n\n";
      text += text::check_text(*result, shown);
    }
  }
  if (options.format == Format::json) {
    text = document::to_text(documents.size() == 1 ? documents.front()
                                                   : checks_document(documents, record));
  }
  return text.empty() ? exit : delivered(text, options, exit);
}

}  // namespace ductledger::app
