#include <cmath>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

#include "command_common.hpp"
#include "document/check.hpp"
#include "document/parts.hpp"
#include "fitting/catalogue.hpp"
#include "study/branches.hpp"
#include "text/parts.hpp"

namespace ductledger::app {
namespace {

/// `5ft,2ft`: lengths with commas between.
base::Checked<std::vector<double>> lengths_option(const Options& options, std::string_view name) {
  std::vector<double> lengths_m;
  base::Diagnostics faults;
  std::string text = options.value(name);
  while (!text.empty()) {
    const std::size_t comma = text.find(',');
    Options one = options;
    one.given[std::string(name)] = text.substr(0, comma);
    const auto length_m = quantity_option(one, name, units::Dimension::length);
    if (length_m) {
      lengths_m.push_back(**length_m);
    } else {
      faults.insert(faults.end(), length_m.error().begin(), length_m.error().end());
    }
    text = comma == std::string::npos ? "" : text.substr(comma + 1);
  }
  if (!faults.empty()) {
    return faults;
  }
  return lengths_m;
}

base::Checked<build::PartsOptions> parts_options(const Options& options) {
  build::PartsOptions out;
  base::Diagnostics faults;
  const auto keep = [&](const base::Diagnostics& more) {
    faults.insert(faults.end(), more.begin(), more.end());
  };
  const auto length = [&](std::string_view name, std::optional<double>& place) {
    auto value = quantity_option(options, name, units::Dimension::length);
    if (value) {
      place = *value;
    } else {
      keep(value.error());
    }
  };
  auto stock = lengths_option(options, "--stock");
  if (stock) {
    out.stock_m = *stock;
  } else {
    keep(stock.error());
  }
  length("--overlap", out.overlap_m);
  length("--hanger-spacing", out.hanger_m);
  length("--clearance", out.hole_clearance_m);
  if (!faults.empty()) {
    return faults;
  }
  return out;
}

}  // namespace

Exit run_parts(const Options& options) {
  const auto asked = parts_options(options);
  if (!asked) {
    return failed(asked.error(), options);
  }
  std::optional<study::CheckResult> calculated;
  const auto result = read_layout(options.words.front(), options).and_then([&](Loaded loaded) {
    return study::check_as_single(std::move(loaded.layout), *loaded.catalogue)
        .and_then([&](study::CheckResult checked) {
          // What its verdict needs; the rest of a long run takes more memory than its bill.
          calculated.emplace();
          calculated->findings = std::move(checked.findings);
          calculated->requirement = checked.requirement;
          layout::Layout layout = std::move(checked.layout);
          checked = {};
          return build::parts(std::move(layout), *loaded.catalogue, *asked);
        });
  });
  if (!result) {
    return failed(result.error(), options);
  }
  switch (options.format) {
    case Format::json:
      return delivered(document::to_text(document::parts_document(
                           *result, {DUCTLEDGER_VERSION, ""}, &*calculated)),
                       options,
                       Exit::fine);
    case Format::csv:
      return delivered(
          text::parts_csv(*result, system_of(options, result->layout)), options, Exit::fine);
    case Format::html:  // refused with the command line
    case Format::text:
      break;
  }
  return delivered(
      text::parts_text(
          *result, *calculated, text_options(options, system_of(options, result->layout))),
      options,
      Exit::fine);
}

}  // namespace ductledger::app
