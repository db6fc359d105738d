#pragma once

#include <string>

#include "rules/rule.hpp"
#include "yaml/reader.hpp"

namespace ductledger::rules {

/// Reads what a rule says, over what `rule` holds already: keys that are there replace. Known keys
/// are left to the caller's `finish`.
void read_rule_body(yaml::MapReader& map, Rule& rule, yaml::Problems& problems);

/// Reads section, status, source and note: where the requirement stands.
void read_rule_place(yaml::MapReader& map, Rule& rule, yaml::Problems& problems);

/// Complains of a rule that decides nothing, and of limits that no value can meet together.
void check_rule(const Rule& rule, const base::Span& span, yaml::Problems& problems);

/// A list of texts; a single text is a list of one.
std::vector<std::string> read_texts(const yaml::Node& node,
                                    const std::string& what,
                                    yaml::Problems& problems);

/// Topics, in the order in which rules are shown.
[[nodiscard]] const std::vector<std::string>& rule_topics();

/// A rule file as compiled into the program; written by embed_rules.cpp.
struct EmbeddedRuleFile {
  std::string_view path;
  std::string_view text;
};
[[nodiscard]] std::span<const EmbeddedRuleFile> embedded_rule_files() noexcept;

}  // namespace ductledger::rules
