#include <algorithm>
#include <nlohmann/json.hpp>
#include <utility>
#include <vector>

#include "command_common.hpp"
#include "document/branches_compare.hpp"
#include "document/check.hpp"
#include "document/compare.hpp"
#include "text/branches_compare.hpp"
#include "text/compare.hpp"
#include "words/compare.hpp"

namespace ductledger::app {
namespace {

Exit compare_networks(std::vector<study::Compared> layouts, const Options& options) {
  const units::System system = system_of(options, layouts.front().layout);
  const auto result = study::compare_networks(std::move(layouts));
  if (!result) {
    return failed(result.error(), options);
  }
  return delivered(
      options.format == Format::json
          ? document::to_text(document::network_compare_document(*result, {DUCTLEDGER_VERSION, ""}))
          : text::network_compare_text(*result, text_options(options, system)),
      options,
      Exit::fine);
}

}  // namespace

Exit run_compare(const Options& options) {
  std::vector<Loaded> loaded;
  base::Diagnostics faults;
  loaded.reserve(options.words.size());
  for (const std::string& path : options.words) {
    auto layout = read_layout(path, options);
    if (layout) {
      loaded.push_back(*std::move(layout));
      continue;
    }
    for (const base::Diagnostic& fault : layout.error()) {
      // What every file meets, such as a catalogue that is not there, is said once.
      const bool said =
          std::any_of(faults.begin(), faults.end(), [&](const base::Diagnostic& other) {
            return fault.source == nullptr && other.source == nullptr &&
                   fault.message == other.message;
          });
      if (!said) {
        faults.push_back(fault);
      }
    }
  }
  if (!faults.empty()) {
    return failed(faults, options);
  }
  std::vector<study::Compared> layouts;
  for (Loaded& one : loaded) {
    layouts.push_back({std::move(one.layout), &*one.catalogue});
  }
  if (study::any_branches(layouts)) {
    return compare_networks(std::move(layouts), options);
  }
  const auto result = study::compare(std::move(layouts));
  if (!result) {
    return failed(result.error(), options);
  }
  if (options.format == Format::json) {
    return delivered(
        document::to_text(document::compare_document(*result, {DUCTLEDGER_VERSION, ""})),
        options,
        Exit::fine);
  }
  return delivered(
      text::compare_text(
          *result, text_options(options, system_of(options, result->runs.front().check.layout))),
      options,
      Exit::fine);
}

}  // namespace ductledger::app
