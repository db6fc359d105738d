#pragma once

#include <string>
#include <vector>

#include "base/source.hpp"

namespace ductledger::base {

enum class Severity { error, warning, note };

/// A second place that belongs to a diagnostic, with its own words.
struct Label {
  Span span;
  std::string text;
};

/// One fault of the user's input: what was found, where, what was expected, what would mend it.
///
/// `message` stands alone: lower case, no full stop. `label` stands under the caret. Only `help`
/// proposes a change.
struct Diagnostic {
  std::string rule;  ///< name of the fault, such as `unknown-key`
  Severity severity = Severity::error;
  std::string message;
  SourcePtr source;  ///< may be null: a fault without a text, such as a missing file
  Span span;
  std::string label;
  std::vector<Label> others;
  std::vector<std::string> notes;
  std::string help;
};

using Diagnostics = std::vector<Diagnostic>;

enum class Paint { plain, colour };

/// The diagnostic as people read it: heading, `file:line:column`, the line, a caret, notes, help.
/// Control characters of the user's text are escaped, tabs widened before the caret is placed,
/// long lines cut around the caret.
[[nodiscard]] std::string render(const Diagnostic& diagnostic, Paint paint = Paint::plain);
[[nodiscard]] std::string render(const Diagnostics& diagnostics, Paint paint = Paint::plain);

[[nodiscard]] bool has_error(const Diagnostics& diagnostics) noexcept;

/// Orders by place in the file, so that output does not depend on the order of checking.
void sort_by_place(Diagnostics& diagnostics);

}  // namespace ductledger::base
