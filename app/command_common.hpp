#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>

#include "commands.hpp"
#include "load.hpp"
#include "study/check.hpp"
#include "study/review.hpp"
#include "study/size.hpp"
#include "text/check.hpp"

/// What commands that answer with one document do alike.
namespace ductledger::app {

[[nodiscard]] text::TextOptions text_options(const Options& options, units::System system);
/// What `--units` asks for, else what most of the layout is written in.
[[nodiscard]] units::System system_of(const Options& options, const layout::Layout& layout);
/// The same where there is no layout.
[[nodiscard]] inline units::System system_asked(const Options& options) {
  return options.system.value_or(units::System::ip);
}

/// What `--profile` asks for; `auto` asks for a terminal that shows blocks and no `--quiet`.
[[nodiscard]] text::Profile profile(const Options& options);

/// A layout read from a file with its catalogue, its warnings told.
[[nodiscard]] base::Checked<Loaded> read_layout(const std::string& path, const Options& options);

/// Whether any finding reaches the level that makes the exit status 1.
[[nodiscard]] bool objects(const study::CheckResult& result, FailOn fail_on);
[[nodiscard]] bool reaches(findings::Level level, FailOn fail_on);

/// Of a review: by the rules, the arithmetic handed in and the findings.
[[nodiscard]] bool objects(const study::ReviewResult& result, FailOn fail_on);

/// Tells the faults; with JSON asked for, standard output is the error document.
[[nodiscard]] Exit failed(const base::Diagnostics& faults, const Options& options);

/// What the options of `size` ask for.
[[nodiscard]] base::Checked<study::SizeOptions> size_options(const Options& options);

/// Writes the result where it is wanted. @return `exit`, or `failed` where it cannot be written
[[nodiscard]] Exit delivered(const std::string& text, const Options& options, Exit exit);

/// The same of a page, or of its print where `--pdf` asks for it.
[[nodiscard]] Exit page_or_pdf(const std::string& page, const Options& options, Exit exit);

}  // namespace ductledger::app
