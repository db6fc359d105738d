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

/// A reading typed as options, and what is wrong with them.
class TypedReading {
 public:
  TypedReading(const layout::Layout& layout, const Options& options)
      : layout_(layout), options_(options) {
    typed_.speed = options.speed;
  }

  [[nodiscard]] base::Checked<layout::Measurement> read() {
    typed_.static_pressure_pa = quantity("--static", units::Dimension::pressure);
    typed_.airflow_m3_s = quantity("--airflow", units::Dimension::airflow);
    read_places();
    read_accuracies();
    check_company();
    if (!faults_.empty()) {
      return std::move(faults_);
    }
    return std::move(typed_);
  }

 private:
  [[nodiscard]] std::optional<double> quantity(std::string_view name, units::Dimension dimension) {
    auto value = quantity_option(options_, name, dimension);
    if (!value) {
      faults_.insert(faults_.end(), value.error().begin(), value.error().end());
      return std::nullopt;
    }
    return *value;
  }

  /// Reads an option's text where it is given; a fault names the option.
  template <class Read, class Place>
  void read_text(std::string_view name, Read&& read, Place& place) {
    if (!options_.has(name)) {
      return;
    }
    auto value = read(options_.value(name));
    if (value) {
      place = *std::move(value);
      return;
    }
    for (base::Diagnostic fault : value.error()) {
      fault.message = fmt::format("`{}`: {}", name, fault.message);
      faults_.push_back(std::move(fault));
    }
  }

  void read_places() {
    read_text(
        "--branch",
        [&](const std::string& text) { return layout::branch_named(text, layout_); },
        typed_.branch);
    read_text(
        "--at",
        [&](const std::string& text) {
          return layout::gauge_place(
              text, typed_.branch ? layout_.branches[*typed_.branch].run : layout_.run);
        },
        typed_.at);
  }

  void read_accuracies() {
    const auto doubt = [](units::Dimension dimension) {
      return [dimension](const std::string& text) {
        return layout::instrument_doubt(text, dimension);
      };
    };
    read_text("--static-accuracy", doubt(units::Dimension::pressure), typed_.static_doubt);
    read_text("--airflow-accuracy", doubt(units::Dimension::airflow), typed_.airflow_doubt);
  }

  /// What says something of a reading needs that reading.
  void check_company() {
    needs("--at", "--static");
    if (options_.has("--branch") && !options_.has("--static") && !options_.has("--airflow")) {
      faults_.push_back(base::fault("option-alone",
                                    "`--branch` says where a reading is of, and none is given",
                                    "add `--static` or `--airflow`"));
    }
    needs("--static-accuracy", "--static");
    needs("--airflow-accuracy", "--airflow");
  }

  void needs(const char* name, std::string_view reading) {
    if (options_.has(name) && !options_.has(reading)) {
      faults_.push_back(
          base::fault("option-alone",
                      fmt::format("`{}` says something of `{}`, which is not given", name, reading),
                      fmt::format("add `{}`, or state it in the readings file", reading)));
    }
  }

  const layout::Layout& layout_;
  const Options& options_;
  layout::Measurement typed_;
  base::Diagnostics faults_;
};

/// The readings of the command line, of the file it names, or else of the layout.
base::Checked<std::vector<layout::Measurement>> readings_asked(const layout::Layout& layout,
                                                               const Options& options) {
  auto typed = TypedReading(layout, options).read();
  if (!typed) {
    return std::move(typed).error();
  }
  std::vector<layout::Measurement> all;
  if (typed->static_pressure_pa || typed->airflow_m3_s) {
    all.push_back(*std::move(typed));
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
