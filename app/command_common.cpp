#include "command_common.hpp"

#include <algorithm>
#include <nlohmann/json.hpp>
#include <utility>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "chromium.hpp"
#include "console.hpp"
#include "document/check.hpp"
#include "files.hpp"
#include "layout/written_system.hpp"

namespace ductledger::app {

units::System system_of(const Options& options, const layout::Layout& layout) {
  return options.system.value_or(layout::written_system(layout));
}

text::TextOptions text_options(const Options& options, units::System system) {
  const base::Paint paint_out = options.output == "-" || options.color != Color::automatic
                                    ? paint(Stream::out, options.color)
                                    : base::Paint::plain;
  return {.system = system,
          .paint = paint_out,
          .detail = options.detail,
          .width = options.output == "-" ? columns() : text::TextOptions{}.width};
}

text::Profile profile(const Options& options) {
  const std::string when = options.value("--profile");
  if (when == "ascii") {
    return text::Profile::ascii;
  }
  const bool alone = options.output == "-" && options.detail != text::Detail::brief;
  const bool wanted = when == "always" || (when != "never" && alone && draws_blocks());
  return wanted ? text::Profile::blocks : text::Profile::none;
}

base::Checked<Loaded> read_layout(const std::string& path, const Options& options) {
  auto loaded = load_layout(path, options);
  if (loaded) {
    complain(loaded->layout.warnings, options.color);
  }
  return loaded;
}

bool reaches(findings::Level level, FailOn fail_on) {
  switch (fail_on) {
    case FailOn::fail:
      return level == findings::Level::fail;
    case FailOn::warn:
      return level != findings::Level::note;
    case FailOn::note:
      return true;
    case FailOn::never:
      break;
  }
  return false;
}

bool objects(const study::CheckResult& result, FailOn fail_on) {
  return std::any_of(result.findings.begin(), result.findings.end(), [&](const auto& finding) {
    return reaches(finding.level, fail_on);
  });
}

bool objects(const study::ReviewResult& result, FailOn fail_on) {
  const std::optional<findings::Level> worst = study::worst(result);
  return (worst && reaches(*worst, fail_on)) || objects(result.check, fail_on);
}

Exit failed(const base::Diagnostics& faults, const Options& options) {
  complain(faults, options.color);
  if (options.format == Format::json) {
    const document::Record record{DUCTLEDGER_VERSION, word(options.fail_on)};
    complain(print(document::to_text(document::error_document(faults, record))), options.color);
  }
  return Exit::failed;
}

base::Checked<study::SizeOptions> size_options(const Options& options) {
  study::SizeOptions out;
  out.speed = options.speed;
  base::Diagnostics faults;
  const auto keep = [&](const base::Diagnostics& more) {
    faults.insert(faults.end(), more.begin(), more.end());
  };
  const auto quantity =
      [&](std::string_view name, units::Dimension dimension, std::optional<double>& place) {
        auto value = quantity_option(options, name, dimension);
        if (!value) {
          keep(value.error());
          return;
        }
        place = *value;
      };
  quantity("--deliver", units::Dimension::airflow, out.deliver_m3_s);
  quantity("--within", units::Dimension::pressure, out.within_pa);
  quantity("--max-depth", units::Dimension::length, out.max_depth_m);
  quantity("--max-velocity", units::Dimension::velocity, out.max_velocity_m_s);
  if (options.has("--sizes")) {
    auto sizes = read_file(options.value("--sizes")).and_then([](const base::SourcePtr& text) {
      return study::read_sizes(text);
    });
    if (sizes) {
      out.more_sizes = *std::move(sizes);
    } else {
      keep(sizes.error());
    }
  }
  if (!faults.empty()) {
    return faults;
  }
  return out;
}

Exit delivered(const std::string& text, const Options& options, Exit exit) {
  const base::Diagnostics unwritten = write_file(options.output, text, Existing::replace);
  if (unwritten.empty()) {
    return exit;
  }
  if (options.output != "-") {
    return failed(unwritten, options);
  }
  complain(unwritten, options.color);
  return Exit::failed;
}

Exit page_or_pdf(const std::string& page, const Options& options, Exit exit) {
  if (!options.has("--pdf")) {
    return delivered(page, options, exit);
  }
  const base::Diagnostics unprinted = write_pdf({page, options.output});
  complain(unprinted, options.color);
  return unprinted.empty() ? exit : Exit::failed;
}

}  // namespace ductledger::app
