#pragma once

#include <span>
#include <string>

#include "fitting/embedded_internal.hpp"
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

/// The rule files as compiled into the program, parsed when it was built; without their places.
[[nodiscard]] std::span<const fitting::EmbeddedFile> embedded_files() noexcept;

}  // namespace ductledger::rules
