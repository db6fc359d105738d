#include "fitting/materials.hpp"

#include <algorithm>

#include "base/expects.hpp"
#include "base/text.hpp"
#include "fitting/embedded_internal.hpp"
#include "yaml/reader.hpp"

namespace ductledger::fitting {
namespace {

using units::Dimension;

struct MaterialRow {
  Material material;
  std::vector<std::string> other_names;
};

std::vector<MaterialRow> read_rows(const EmbeddedFile& file) {
  const yaml::Tree tree = tree_of(file);
  yaml::Problems problems(tree.source);
  std::vector<MaterialRow> rows;
  for (const yaml::Entry& item : tree.root.entries) {
    yaml::MapReader map(item.value, "material", problems);
    MaterialRow row;
    Material& m = row.material;
    m.name = item.key;
    m.title = map.text("title").value_or("");
    m.roughness_m = map.quantity("roughness", Dimension::length).value_or(0.0);
    m.friction_standard_uncertainty = map.quantity("friction_u", Dimension::number).value_or(0.0);
    m.source = map.text("source").value_or("");
    m.note = map.text("note").value_or("");
    m.range_m = {m.roughness_m, m.roughness_m};
    if (const yaml::Node* range = map.get("range")) {
      if (const auto column = yaml::read_column(*range, Dimension::length, problems)) {
        DUCTLEDGER_EXPECTS(column->size() == 2);
        m.range_m = {(*column)[0], (*column)[1]};
      }
    }
    if (const yaml::Node* status = map.require("status", "seen")) {
      m.status =
          yaml::read_choice(*status, kStatusWords, "status", problems).value_or(Status::assumed);
    }
    if (const yaml::Node* names = map.get("also")) {
      for (const yaml::Node& name : names->items) {
        row.other_names.push_back(name.text);
      }
    }
    map.finish();
    rows.push_back(std::move(row));
  }
  // Compiled in: a fault is ours, and a test reads the file whole.
  DUCTLEDGER_EXPECTS(!problems.has_error());
  return rows;
}

const std::vector<MaterialRow>& material_rows() {
  static const std::vector<MaterialRow> list = [] {
    for (const EmbeddedFile& file : embedded_files()) {
      if (file.path == "materials.yaml") {
        return read_rows(file);
      }
    }
    return std::vector<MaterialRow>{};
  }();
  return list;
}

}  // namespace

const std::vector<Material>& materials() {
  static const std::vector<Material> list = [] {
    std::vector<Material> made;
    for (const MaterialRow& row : material_rows()) {
      made.push_back(row.material);
    }
    return made;
  }();
  return list;
}

const Material* material(std::string_view name) {
  const std::string word = base::canonical_word(name);
  for (std::size_t i = 0; i < material_rows().size(); ++i) {
    const auto& others = material_rows()[i].other_names;
    if (material_rows()[i].material.name == word ||
        std::find(others.begin(), others.end(), word) != others.end()) {
      return &materials()[i];
    }
  }
  return nullptr;
}

std::vector<std::string> material_names() {
  std::vector<std::string> names;
  for (const Material& m : materials()) {
    names.push_back(m.name);
  }
  return names;
}

}  // namespace ductledger::fitting
