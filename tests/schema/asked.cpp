// Prints what the readers ask of each value of the files named: one JSON document a file and line,
// from which make.py makes the schemas. usage: asked layout|catalogue|rules FILE...
#include <fstream>
#include <iostream>
#include <iterator>
#include <nlohmann/json.hpp>
#include <string>
#include <string_view>

#include "fitting/catalogue.hpp"
#include "layout/layout.hpp"
#include "rules/rule.hpp"
#include "units/quantity_text.hpp"
#include "yaml/key_log.hpp"
#include "yaml/parse.hpp"

namespace {

using nlohmann::json;
using namespace ductledger;

const char* kind_of(const yaml::Node& node) {
  switch (node.kind) {
    case yaml::NodeKind::null:
      return "null";
    case yaml::NodeKind::scalar:
      return "scalar";
    case yaml::NodeKind::sequence:
      return "list";
    case yaml::NodeKind::mapping:
      break;
  }
  return "mapping";
}

json asked(const yaml::Node& node, const yaml::KeyLog& log) {
  json out{{"kind", kind_of(node)}};
  if (const yaml::KeyLog::Asked* of = log.of(node)) {
    out["mapping"] = of->mapping;
    out["keys"] = of->keys;
    out["required"] = of->required;
    out["forms"] = of->forms;
    out["words"] = of->words;
    out["dimensions"] = json::array();
    for (const units::Dimension dimension : of->dimensions) {
      out["dimensions"].push_back({{"name", units::name_of(dimension)},
                                   {"form", units::expected_form(dimension)},
                                   {"units", units::units_that_fit(dimension)}});
    }
  }
  if (node.kind == yaml::NodeKind::scalar) {
    out["text"] = node.text;
  }
  for (const yaml::Node& item : node.items) {
    out["items"].push_back(asked(item, log));
  }
  for (const yaml::Entry& entry : node.entries) {
    out["entries"][entry.key] = asked(entry.value, log);
  }
  return out;
}

bool read(std::string_view what, const base::SourcePtr& text) {
  if (what == "layout") {
    return layout::read(text, fitting::Catalogue::built_in()).has_value();
  }
  if (what == "catalogue") {
    fitting::Catalogue catalogue = fitting::Catalogue::built_in();
    return !base::has_error(catalogue.add(text));
  }
  return rules::read_rule_set(text, {}).has_value();
}

}  // namespace

int main(int argc, char** argv) {
  (void)fitting::Catalogue::built_in();  // read before anyone listens
  (void)rules::built_in_rule_sets();
  for (int i = 2; i < argc; ++i) {
    std::ifstream file(argv[i], std::ios::binary);
    const std::string content{std::istreambuf_iterator<char>(file),
                              std::istreambuf_iterator<char>()};
    const auto text = std::make_shared<const base::SourceText>(argv[i], content);
    const yaml::KeyLog log(text);
    const bool accepted = read(argv[1], text);
    const auto tree = yaml::parse(text);
    json out{{"file", argv[i]}, {"accepted", accepted}};
    if (tree) {
      out["root"] = asked(tree->root, log);
    }
    std::cout << out.dump(-1, ' ', false, json::error_handler_t::replace) << '\n';
  }
  return 0;
}
