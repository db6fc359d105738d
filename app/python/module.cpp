#include <pybind11/numpy.h>
#include <pybind11/pybind11.h>
#include <pybind11/stl.h>
#include <pybind11/stl/filesystem.h>

#include <cmath>
#include <filesystem>
#include <limits>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "base/fault.hpp"
#include "document/check.hpp"
#include "document/review.hpp"
#include "document/size.hpp"
#include "files.hpp"
#include "load.hpp"
#include "parallel/parallel.hpp"
#include "rule_files.hpp"
#include "study/points.hpp"

// The library for Python: documents as dicts, airflows as arrays.
namespace ductledger::app {
namespace {

namespace py = pybind11;

using nlohmann::ordered_json;
using Array = py::array_t<double, py::array::c_style | py::array::forcecast>;

const document::Record kRecord{DUCTLEDGER_VERSION, "never"};

py::object value_of(const ordered_json& from) {
  switch (from.type()) {
    case ordered_json::value_t::object: {
      py::dict out;
      for (const auto& [key, value] : from.items()) {
        out[py::str(key)] = value_of(value);
      }
      return out;
    }
    case ordered_json::value_t::array: {
      py::list out;
      for (const ordered_json& one : from) {
        out.append(value_of(one));
      }
      return out;
    }
    case ordered_json::value_t::string:
      return py::reinterpret_steal<py::object>(
          PyUnicode_DecodeUTF8(from.get_ref<const std::string&>().data(),
                               static_cast<py::ssize_t>(from.get_ref<const std::string&>().size()),
                               "replace"));
    case ordered_json::value_t::boolean:
      return py::bool_(from.get<bool>());
    case ordered_json::value_t::number_integer:
      return py::int_(from.get<std::int64_t>());
    case ordered_json::value_t::number_unsigned:
      return py::int_(from.get<std::uint64_t>());
    case ordered_json::value_t::number_float:
      return py::float_(from.get<double>());
    default:
      return py::none();
  }
}

PyObject* error_type = nullptr;

[[noreturn]] void raise(const base::Diagnostics& faults) {
  const py::object type = py::reinterpret_borrow<py::object>(error_type);
  py::object error = type(py::str(base::render(faults)));
  error.attr("diagnostics") = value_of(document::error_document(faults, kRecord)["diagnostics"]);
  PyErr_SetObject(error_type, error.ptr());
  throw py::error_already_set();
}

template <class T>
T taken(base::Checked<T> from) {
  if (!from) {
    raise(from.error());
  }
  return *std::move(from);
}

/// A layout, and the path that its relative names are meant from.
struct Given {
  base::SourcePtr text;
  std::string path;
};
base::Checked<Given> given(const std::filesystem::path& layout) {
  std::string name = layout.string();
  if (name.find('\n') != std::string::npos) {
    return Given{std::make_shared<base::SourceText>("<text>", std::move(name)), "-"};
  }
  if (name == "-") {
    return base::fault("no-such-file", "standard input is Python's own", "name a file");
  }
  return read_file(name).transform([&](base::SourcePtr text) {
    return Given{std::move(text), name};
  });
}

base::Checked<Loaded> loaded(const std::filesystem::path& layout) {
  return given(layout).and_then(
      [](const Given& from) { return load_layout(from.text, from.path, Options()); });
}

py::object check(const std::filesystem::path& layout, const std::string& speed, bool advise) {
  std::optional<base::Checked<ordered_json>> made;
  {
    const py::gil_scoped_release released;
    made = loaded(layout).and_then([&](Loaded from) {
      return study::check(
                 std::move(from.layout), *from.catalogue, {.speed = speed, .advise = advise})
          .transform([](const study::CheckResult& result) {
            return document::check_document(result, kRecord);
          });
    });
  }
  return value_of(taken(*std::move(made)));
}

py::object review(const std::filesystem::path& layout, const std::string& rules) {
  std::optional<base::Checked<ordered_json>> made;
  {
    const py::gil_scoped_release released;
    Options options;
    if (!rules.empty()) {
      options.given["--rules"] = rules;
    }
    made = given(layout).and_then([&](const Given& from) {
      return load_layout(from.text, from.path, options).and_then([&](Loaded read) {
        return rule_sets(read.layout, from.path, options).and_then([&](const auto& sets) {
          return study::review(std::move(read.layout), *read.catalogue, sets)
              .transform([](const study::ReviewResult& result) {
                return document::review_document(result, kRecord);
              });
        });
      });
    });
  }
  return value_of(taken(*std::move(made)));
}

py::object size(const std::filesystem::path& layout,
                std::optional<double> deliver_m3_s,
                std::optional<double> within_pa,
                std::optional<double> max_depth_m,
                std::optional<double> max_velocity_m_s,
                const std::string& speed) {
  std::optional<base::Checked<ordered_json>> made;
  {
    const py::gil_scoped_release released;
    const study::SizeOptions options{.deliver_m3_s = deliver_m3_s,
                                     .speed = speed,
                                     .within_pa = within_pa,
                                     .max_depth_m = max_depth_m,
                                     .max_velocity_m_s = max_velocity_m_s};
    made = loaded(layout).and_then([&](Loaded from) {
      return study::size(std::move(from.layout), *from.catalogue, options)
          .transform([](const study::SizeResult& result) {
            return document::size_document(result, kRecord);
          });
    });
  }
  return value_of(taken(*std::move(made)));
}

class Layout {
 public:
  explicit Layout(const std::filesystem::path& layout) : loaded_(taken(loaded(layout))) {}

  [[nodiscard]] const std::string& title() const { return loaded_.layout.title; }

  [[nodiscard]] py::object airflow(const std::string& speed,
                                   const std::string& errors,
                                   const py::kwargs& places) const {
    return points(speed, errors, places)["airflow_m3_s"];
  }

  [[nodiscard]] py::dict points(const std::string& speed,
                                const std::string& errors,
                                const py::kwargs& places) const {
    if (errors != "raise" && errors != "nan") {
      throw py::value_error("errors is \"raise\" or \"nan\"");
    }
    std::vector<std::string> names;
    py::list given;
    for (const auto& [name, values] : places) {
      names.push_back(py::cast<std::string>(name));
      const Array array = Array::ensure(values);
      if (!array) {
        throw py::error_already_set();
      }
      given.append(array);
    }
    std::vector<Array> columns;
    const py::object alike = py::module_::import("numpy").attr("broadcast_arrays")(*given);
    for (const py::handle one : alike) {
      columns.push_back(Array::ensure(one));
    }
    const std::vector<py::ssize_t> extent =
        columns.empty()
            ? std::vector<py::ssize_t>()
            : std::vector<py::ssize_t>(columns[0].shape(), columns[0].shape() + columns[0].ndim());
    py::array_t<double> airflow(extent);
    py::array_t<double> depressurization(extent);
    const auto count = static_cast<std::size_t>(airflow.size());
    Solved solved{{airflow.mutable_data(), count}, {depressurization.mutable_data(), count}};
    std::vector<const double*> from;
    for (const Array& column : columns) {
      from.push_back(column.data());
    }
    base::Diagnostics faults;
    {
      const py::gil_scoped_release released;
      faults = solve(speed, names, from, solved, errors == "raise");
    }
    if (!faults.empty()) {
      raise(faults);
    }
    using namespace py::literals;  // NOLINT(google-build-using-namespace)
    return py::dict("airflow_m3_s"_a = airflow, "depressurization_pa"_a = depressurization);
  }

 private:
  struct Solved {
    std::span<double> airflow_m3_s;
    std::span<double> depressurization_pa;
  };
  [[nodiscard]] base::Diagnostics solve(const std::string& speed,
                                        const std::vector<std::string>& names,
                                        const std::vector<const double*>& from,
                                        const Solved& to,
                                        bool all_or_none) const {
    const std::size_t count = to.airflow_m3_s.size();
    if (count == 0) {
      return {};
    }
    std::vector<double> first;
    for (const double* column : from) {
      first.push_back(*column);
    }
    const auto points =
        study::Points::of(loaded_.layout, *loaded_.catalogue, {speed, names, first});
    if (!points) {
      return points.error();
    }
    // Each block has a copy of its own; the first fault by place is the one that is told.
    constexpr std::size_t kBlock = 512;
    const std::size_t blocks = (count + kBlock - 1) / kBlock;
    std::vector<base::Diagnostics> faults(blocks);
    parallel::each(blocks, [&](std::size_t block) {
      study::Points mine = *points;
      std::vector<double> values(from.size());
      for (std::size_t i = block * kBlock; i < std::min(count, (block + 1) * kBlock); ++i) {
        for (std::size_t j = 0; j < from.size(); ++j) {
          values[j] = from[j][i];
        }
        const auto found = mine.at(values);
        to.airflow_m3_s[i] = std::nan("");
        to.depressurization_pa[i] = std::nan("");
        if (!found) {
          if (faults[block].empty()) {
            faults[block] = found.error();
          }
        } else if (found->point.status == solve::Status::found) {
          to.airflow_m3_s[i] = found->point.airflow_m3_s;
          to.depressurization_pa[i] = found->depressurisation_pa.value_or(std::nan(""));
        } else if (found->point.status == solve::Status::no_flow) {
          to.airflow_m3_s[i] = 0.0;
        }
      }
    });
    for (base::Diagnostics& one : faults) {
      if (all_or_none && !one.empty()) {
        return std::move(one);
      }
    }
    return {};
  }

  Loaded loaded_;
};

constexpr const char* kCheckText =
    "What a layout delivers: the document `ductledger.check/1` as a dict.\n\n"
    "layout: path, or text with a line end.  speed: whose ledger is shown, else the highest not\n"
    "locked out.  advise: also what would help most.  Numbers are SI, the unit in each key's "
    "name.\n"
    "Raises Error.";
constexpr const char* kReviewText =
    "Which rules a layout meets, does not meet, does not show: `ductledger.review/1` as a dict.\n\n"
    "rules: names of rule sets or files, with commas; else those that the layout names.\n"
    "Raises Error.";
constexpr const char* kSizeText =
    "Which duct sizes deliver an airflow: `ductledger.size/1` as a dict.\n\n"
    "deliver_m3_s [m3/s]: else the layout's required airflow.  within_pa [Pa]: for a layout "
    "without\n"
    "a fan.  max_depth_m [m], max_velocity_m_s [m/s]: what a size may be.  Raises Error.";
constexpr const char* kAirflowText =
    "Delivered airflow [m3/s] over arrays of changed numbers.\n\n"
    "places: a number or array [any shape] for each place, SI (m, Pa, m3/s, K, rad, 1), broadcast\n"
    "against each other; a place is its keys, items count from 1:\n"
    "    layout.airflow(**{\"run.pieces[3].length\": lengths, \"site.wind\": 3.0})\n"
    "speed: else the highest that is not locked out.\n"
    "Returns float64 of the broadcast shape: 0 where the fan is overcome, nan where the fan curve\n"
    "does not reach the answer or too little is known.  A value that makes no layout raises "
    "Error,\n"
    "or with errors=\"nan\" is nan.  Runs on all cores and releases the lock of the interpreter.";

constexpr const char* kPointsText =
    "As `airflow`, a dict of arrays of one shape: `airflow_m3_s` [m3/s] and `depressurization_pa`\n"
    "[Pa], how far the house is drawn down at that speed (nan without a house whose leakage is\n"
    "known).";

}  // namespace
}  // namespace ductledger::app

PYBIND11_MODULE(_ductledger, m) {
  namespace app = ductledger::app;
  using namespace pybind11::literals;  // NOLINT(google-build-using-namespace)
  m.doc() = "Delivered airflow of exhaust duct runs.";
  m.attr("__version__") = DUCTLEDGER_VERSION;
  app::error_type = PyErr_NewExceptionWithDoc(
      "ductledger.Error",
      "Why nothing could be calculated; `diagnostics` holds each fault with its place.",
      PyExc_Exception,
      nullptr);
  m.attr("Error") = pybind11::reinterpret_borrow<pybind11::object>(app::error_type);
  m.def("check",
        &app::check,
        app::kCheckText,
        "layout"_a,
        pybind11::kw_only(),
        "speed"_a = "",
        "advise"_a = false);
  m.def("review", &app::review, app::kReviewText, "layout"_a, pybind11::kw_only(), "rules"_a = "");
  m.def("size",
        &app::size,
        app::kSizeText,
        "layout"_a,
        pybind11::kw_only(),
        "deliver_m3_s"_a = pybind11::none(),
        "within_pa"_a = pybind11::none(),
        "max_depth_m"_a = pybind11::none(),
        "max_velocity_m_s"_a = pybind11::none(),
        "speed"_a = "");
  pybind11::class_<app::Layout>(m, "Layout", "A layout read once, calculated many times.")
      .def(pybind11::init<const std::filesystem::path&>(), "layout"_a)
      .def_property_readonly("title", &app::Layout::title)
      .def("airflow",
           &app::Layout::airflow,
           app::kAirflowText,
           pybind11::kw_only(),
           "speed"_a = "",
           "errors"_a = "raise")
      .def("points",
           &app::Layout::points,
           app::kPointsText,
           pybind11::kw_only(),
           "speed"_a = "",
           "errors"_a = "raise");
}
