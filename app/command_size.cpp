#include <fmt/format.h>

#include <nlohmann/json.hpp>
#include <utility>

#include "base/fault.hpp"
#include "command_common.hpp"
#include "document/branches_size.hpp"
#include "document/makeup.hpp"
#include "document/size.hpp"
#include "files.hpp"
#include "fitting/catalogue.hpp"
#include "rule_files.hpp"
#include "text/branches_size.hpp"
#include "text/makeup.hpp"
#include "text/size.hpp"

namespace ductledger::app {
namespace {

/// `--makeup`: the makeup air in place of the duct.
Exit run_makeup(const Options& options) {
  const auto result = read_layout(options.words.front(), options).and_then([&](Loaded loaded) {
    return study::size_makeup(std::move(loaded.layout), *loaded.catalogue);
  });
  if (!result) {
    return failed(result.error(), options);
  }
  const std::string text =
      options.format == Format::json
          ? document::to_text(document::makeup_document(*result, {DUCTLEDGER_VERSION, ""}))
          : makeup_text(*result, text_options(options, system_of(options, result->check.layout)));
  const bool any = result->duct || result->opening || result->powered;
  return delivered(text, options, any ? Exit::fine : Exit::findings);
}

Exit size_network(Loaded loaded, const study::SizeOptions& asked, const Options& options) {
  const units::System system = system_of(options, loaded.layout);
  const auto result = study::size_network(std::move(loaded.layout), *loaded.catalogue, asked);
  if (!result) {
    return failed(result.error(), options);
  }
  const std::string text =
      options.format == Format::json
          ? document::to_text(document::network_size_document(*result, {DUCTLEDGER_VERSION, ""}))
          : text::network_size_text(*result, text_options(options, system));
  return delivered(text, options, result->found ? Exit::fine : Exit::findings);
}

/// What asks for a duct's size cannot stand beside `--makeup`.
std::optional<base::Diagnostic> beside_makeup(const Options& options) {
  for (const char* name :
       {"--deliver", "--within", "--max-depth", "--max-velocity", "--sizes", "--speed"}) {
    if (options.has(name)) {
      return base::fault("options-conflict",
                         fmt::format("`{}` asks for the size of the run, `--makeup` for that of "
                                     "the makeup air",
                                     name),
                         "ask for one at a time");
    }
  }
  return std::nullopt;
}

}  // namespace

Exit run_size(const Options& options) {
  if (options.has("--makeup")) {
    if (auto fault = beside_makeup(options)) {
      return failed({*std::move(fault)}, options);
    }
    return run_makeup(options);
  }
  const auto asked = size_options(options);
  if (!asked) {
    return failed(asked.error(), options);
  }
  auto loaded = read_layout(options.words.front(), options);
  if (!loaded) {
    return failed(loaded.error(), options);
  }
  const auto rules = rule_sets(loaded->layout, options.words.front(), options);
  if (!rules) {
    return failed(rules.error(), options);
  }
  study::SizeOptions with_rules = *asked;
  with_rules.sets = rules->sets;
  if (!loaded->layout.branches.empty()) {
    return size_network(*std::move(loaded), with_rules, options);
  }
  const auto result = study::size(std::move(loaded->layout), *loaded->catalogue, with_rules);
  if (!result) {
    return failed(result.error(), options);
  }
  const std::string text =
      options.format == Format::json
          ? document::to_text(document::size_document(*result, {DUCTLEDGER_VERSION, ""}))
          : size_text(*result, text_options(options, system_of(options, result->check.layout)));
  return delivered(text, options, result->smallest ? Exit::fine : Exit::findings);
}

}  // namespace ductledger::app
