#include <fmt/format.h>

#include <nlohmann/json.hpp>
#include <utility>
#include <vector>

#include "base/fault.hpp"
#include "command_common.hpp"
#include "document/measured.hpp"
#include "files.hpp"
#include "fitting/catalogue.hpp"
#include "text/measured.hpp"

namespace ductledger::app {
namespace {

base::Diagnostic no_reading() {
  return base::fault(
      "no-reading",
      "there is no reading to judge",
      "`--static 0.42inH2O`, `--airflow 300cfm`, `--readings FILE`, or `measurements` in the "
      "layout");
}

/// The readings of the command line, of the file it names, or else of the layout.
base::Checked<std::vector<layout::Measurement>> readings_asked(const layout::Layout& layout,
                                                               const Options& options) {
  base::Diagnostics faults;
  const auto quantity = [&](std::string_view name, units::Dimension dimension) {
    auto value = quantity_option(options, name, dimension);
    if (!value) {
      faults.insert(faults.end(), value.error().begin(), value.error().end());
      return std::optional<double>();
    }
    return *value;
  };
  layout::Measurement typed;
  typed.speed = options.speed;
  typed.static_pressure_pa = quantity("--static", units::Dimension::pressure);
  typed.airflow_m3_s = quantity("--airflow", units::Dimension::airflow);
  const auto text_of = [&](std::string_view name, auto read, auto& place) {
    if (!options.has(name)) {
      return;
    }
    auto value = read(options.value(name));
    if (value) {
      place = *std::move(value);
      return;
    }
    for (base::Diagnostic fault : value.error()) {
      fault.message = fmt::format("`{}`: {}", name, fault.message);
      faults.push_back(std::move(fault));
    }
  };
  text_of(
      "--branch",
      [&](const std::string& text) { return layout::branch_named(text, layout); },
      typed.branch);
  text_of(
      "--at",
      [&](const std::string& text) {
        return layout::gauge_place(text,
                                   typed.branch ? layout.branches[*typed.branch].run : layout.run);
      },
      typed.at);
  text_of(
      "--static-accuracy",
      [](const std::string& text) {
        return layout::instrument_doubt(text, units::Dimension::pressure);
      },
      typed.static_doubt);
  text_of(
      "--airflow-accuracy",
      [](const std::string& text) {
        return layout::instrument_doubt(text, units::Dimension::airflow);
      },
      typed.airflow_doubt);
  const auto needs = [&](std::string_view name, std::string_view reading, bool is_read) {
    if (options.has(name) && !is_read) {
      faults.push_back(
          base::fault("option-alone",
                      fmt::format("`{}` says something of `{}`, which is not given", name, reading),
                      fmt::format("add `{}`, or state it in the readings file", reading)));
    }
  };
  needs("--at", "--static", options.has("--static"));
  if (options.has("--branch") && !options.has("--static") && !options.has("--airflow")) {
    faults.push_back(base::fault("option-alone",
                                 "`--branch` says where a reading is of, and none is given",
                                 "add `--static` or `--airflow`"));
  }
  needs("--static-accuracy", "--static", options.has("--static"));
  needs("--airflow-accuracy", "--airflow", options.has("--airflow"));
  if (!faults.empty()) {
    return faults;
  }
  std::vector<layout::Measurement> all;
  if (typed.static_pressure_pa || typed.airflow_m3_s) {
    all.push_back(typed);
  }
  if (options.has("--readings")) {
    auto read = read_file(options.value("--readings")).and_then([&](const base::SourcePtr& text) {
      return layout::read_readings(text, layout);
    });
    if (!read) {
      return std::move(read).error();
    }
    all.insert(all.end(), read->begin(), read->end());
  }
  if (all.empty()) {
    all = layout.measurements;
  }
  if (all.empty()) {
    return no_reading();
  }
  return all;
}

base::Checked<site::MeasuredResult> calculated(const Options& options) {
  return read_layout(options.words.front(), options).and_then([&](Loaded loaded) {
    const fitting::Catalogue& catalogue = *loaded.catalogue;
    return readings_asked(loaded.layout, options).and_then([&](const auto& readings) {
      if (!loaded.layout.branches.empty()) {
        return study::check_network(std::move(loaded.layout), catalogue)
            .and_then([&](const study::NetworkResult& network) {
              return site::measured(network, catalogue, readings);
            });
      }
      return study::check(std::move(loaded.layout), catalogue)
          .and_then([&](study::CheckResult&& check) {
            return site::measured(std::move(check), catalogue, readings);
          });
    });
  });
}

}  // namespace

Exit run_measured(const Options& options) {
  const auto result = calculated(options);
  if (!result) {
    return failed(result.error(), options);
  }
  const std::string text =
      options.format == Format::json
          ? document::to_text(document::measured_document(*result, {DUCTLEDGER_VERSION, ""}))
          : measured_text(*result, text_options(options, system_of(options, result->check.layout)));
  return delivered(text, options, Exit::fine);
}

}  // namespace ductledger::app
