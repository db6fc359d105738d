#include "fitting/default_uncertainty.hpp"

#include <algorithm>

#include "base/expects.hpp"
#include "fitting/embedded_internal.hpp"
#include "yaml/reader.hpp"

namespace ductledger::fitting {
namespace {

using units::Dimension;

std::vector<DefaultUncertainty> read_rows(const EmbeddedFile& file) {
  const yaml::Tree tree = tree_of(file);
  yaml::Problems problems(tree.source);
  std::vector<DefaultUncertainty> rows;
  for (const yaml::Entry& item : tree.root.entries) {
    yaml::MapReader map(item.value, "uncertainty", problems);
    DefaultUncertainty row;
    row.key = item.key;
    row.title = map.text("title").value_or("");
    row.basis = map.text("basis").value_or("");
    row.layout_key = map.text("layout").value_or("");
    if (const auto relative = map.quantity("u", Dimension::ratio)) {
      row.value = *relative;
    }
    if (const auto length = map.quantity("length", Dimension::length)) {
      row.value = *length;
      row.measure = DefaultUncertainty::Measure::length;
    }
    if (const auto coefficient = map.quantity("coefficient", Dimension::number)) {
      row.value = *coefficient;
      row.measure = DefaultUncertainty::Measure::coefficient;
    }
    if (const yaml::Node* status = map.require("status", "assumed")) {
      row.status =
          yaml::read_choice(*status, kStatusWords, "status", problems).value_or(Status::assumed);
    }
    map.finish();
    rows.push_back(std::move(row));
  }
  // Compiled in: a fault is ours.
  DUCTLEDGER_EXPECTS(!problems.has_error());
  return rows;
}

}  // namespace

const std::vector<DefaultUncertainty>& default_uncertainties() {
  static const std::vector<DefaultUncertainty> list = [] {
    for (const EmbeddedFile& file : embedded_files()) {
      if (file.path == "uncertainty.yaml") {
        return read_rows(file);
      }
    }
    return std::vector<DefaultUncertainty>{};
  }();
  return list;
}

const DefaultUncertainty& default_uncertainty(std::string_view key) {
  const auto& rows = default_uncertainties();
  const auto found =
      std::find_if(rows.begin(), rows.end(), [&](const auto& row) { return row.key == key; });
  DUCTLEDGER_EXPECTS(found != rows.end());
  return *found;
}

}  // namespace ductledger::fitting
