#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <optional>
#include <variant>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "command_line.hpp"
#include "flags.hpp"

namespace ductledger::app {

using base::fault;

const char* word(FailOn fail_on) noexcept {
  switch (fail_on) {
    case FailOn::fail:
      return "fail";
    case FailOn::warn:
      return "warn";
    case FailOn::note:
      return "note";
    case FailOn::never:
      return "never";
  }
  return "";
}

base::Checked<std::optional<double>> quantity_option(const Options& options,
                                                     std::string_view name,
                                                     units::Dimension dimension) {
  if (!options.has(name)) {
    return std::optional<double>();
  }
  const std::string text = options.value(name);
  const auto read = units::parse_quantity(text, dimension);
  if (const auto* value = std::get_if<double>(&read)) {
    const auto& all = flags();
    const auto flag = std::ranges::find(all, name, &Flag::name);
    if (flag != all.end() && flag->range &&
        (*value < flag->range->lowest || *value > flag->range->highest)) {
      return fault("out-of-range",
                   fmt::format("`{}` cannot be {}", name, base::shown(text)),
                   fmt::format("expected {}", flag->range->text));
    }
    return std::optional<double>(*value);
  }
  const auto& wrong = std::get<units::TextFault>(read);
  base::Diagnostic out =
      fault(wrong.rule, fmt::format("`{}`: {}", name, wrong.message), wrong.help);
  // The option's text as a source of its own, so that the caret can stand under the fault.
  const auto source = std::make_shared<base::SourceText>(std::string(name), text);
  out.source = source;
  out.span = source->span_at(wrong.offset, wrong.length);
  out.label = wrong.label;
  return out;
}

base::Checked<std::optional<std::size_t>> whole_option(const Options& options,
                                                       std::string_view name) {
  return quantity_option(options, name, units::Dimension::number)
      .and_then([&](std::optional<double> number) -> base::Checked<std::optional<std::size_t>> {
        if (!number) {
          return std::optional<std::size_t>();
        }
        if (*number != std::floor(*number)) {
          return fault("bad-option",
                       fmt::format("`{}` takes a whole number", name),
                       fmt::format("such as `{} {:.0f}`", name, std::ceil(*number)));
        }
        return std::optional(static_cast<std::size_t>(*number));
      });
}

}  // namespace ductledger::app
