#include "rule_files.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <memory>
#include <utility>
#include <vector>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "fence.hpp"
#include "files.hpp"
#include "rules/rule.hpp"

namespace ductledger::app {
namespace {

using base::fault;

namespace fs = std::filesystem;

const std::string kCombustionSafety = "combustion-safety";

using Sets = std::vector<rules::RuleSet>;

/// Reads rule files beside the file that names them.
class Loader {
 public:
  Loader(std::string start, Fence fence) : start_(std::move(start)), fence_(std::move(fence)) {}

  base::Checked<base::SourcePtr> operator()(const rules::RuleFileAsked& asked) const {
    const fs::path folder =
        asked.from.empty() || asked.from == "<stdin>" ? folder_of(start_) : folder_of(asked.from);
    const std::string path = (folder / asked.name).lexically_normal().string();
    std::error_code error;
    const fs::path real = fs::canonical(path, error);
    if (error) {
      return fault("no-such-file",
                   fmt::format("the rule file `{}` cannot be found", base::escaped(path)));
    }
    keep_file(real.string());
    if (leaves(fence_, real) || (fence_ && fs::path(asked.name).is_absolute())) {
      return outside({.rule = "rules-outside", .what = "rule file", .path = path});
    }
    if (!fs::is_regular_file(real, error)) {
      return fault("cannot-read", fmt::format("`{}` is no rule file", base::escaped(path)));
    }
    return read_file(path);
  }

 private:
  std::string start_;
  Fence fence_;
};

std::vector<rules::RuleSetName> names_of(const std::vector<std::string>& list) {
  std::vector<rules::RuleSetName> names;
  for (const std::string& name : list) {
    names.push_back({name, nullptr, {}});
  }
  return names;
}

base::Checked<study::RuleSetsPtr> selected(const std::vector<rules::RuleSetName>& names,
                                           const rules::RuleFileLoader& load) {
  return rules::select_rule_sets(names, load).transform([](Sets sets) {
    return study::RuleSetsPtr(std::make_shared<const Sets>(std::move(sets)));
  });
}

}  // namespace

base::Checked<study::ReviewAsked> rule_sets(const layout::Layout& layout,
                                            const std::string& path,
                                            const Options& options) {
  const auto asked = [](study::RuleSetsPtr sets) {
    return study::ReviewAsked{.sets = std::move(sets), .sets_by_default = false};
  };
  if (options.has("--rules")) {
    std::vector<rules::RuleSetName> names = names_of(list_option(options, "--rules"));
    // Combustion safety is judged whoever chooses the rules.
    if (std::ranges::find(names, kCombustionSafety, &rules::RuleSetName::name) == names.end()) {
      names.push_back({kCombustionSafety, nullptr, {}});
    }
    return selected(names, Loader("-", {})).transform(asked);
  }
  const std::vector<rules::RuleSetName> defaults = names_of(study::default_rule_sets());
  if (layout.rules.empty()) {
    return selected(defaults, Loader("-", {})).transform([](study::RuleSetsPtr sets) {
      return study::ReviewAsked{.sets = std::move(sets), .sets_by_default = true};
    });
  }
  // What a handed-in file asks to be judged by adds to the default sets and takes nothing away.
  std::vector<rules::RuleSetName> requested;
  for (const layout::RuleSetKey& key : layout.rules) {
    requested.push_back({key.name, layout.source, key.span});
  }
  return fence_round(path, options)
      .and_then([&](Fence fence) { return selected(requested, Loader(path, std::move(fence))); })
      .and_then([&](const study::RuleSetsPtr& own) {
        return selected(defaults, Loader("-", {})).transform([&](const study::RuleSetsPtr& base) {
          return study::with_requested(*base, *own);
        });
      });
}

base::Checked<study::RuleSetsPtr> rule_sets(const Options& options) {
  if (options.has("--rules")) {
    return selected(names_of(list_option(options, "--rules")), Loader("-", {}));
  }
  return study::RuleSetsPtr(std::make_shared<const Sets>(rules::built_in_rule_sets()));
}

}  // namespace ductledger::app
