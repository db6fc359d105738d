#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "base/text.hpp"
#include "layout/read_internal.hpp"

namespace ductledger::layout {
namespace {

[[nodiscard]] std::vector<std::string> split(std::string_view text) {
  std::vector<std::string> words;
  while (!text.empty()) {
    const std::size_t blank = std::min(text.find(' '), text.size());
    words.emplace_back(text.substr(0, blank));
    text.remove_prefix(std::min(blank + 1, text.size()));
  }
  return words;
}

/// `damper_kind` as a sentence has it: `damper kind`.
[[nodiscard]] std::string noun(std::string_view key) {
  std::string text(key);
  std::replace(text.begin(), text.end(), '_', ' ');
  return text;
}

[[nodiscard]] std::string_view last_part(std::string_view path) {
  return path.substr(path.rfind('.') + 1);
}

/// One value or a list of them.
[[nodiscard]] std::vector<const yaml::Node*> one_or_several(const yaml::Node& node,
                                                            yaml::Problems& problems) {
  std::vector<const yaml::Node*> nodes;
  if (node.kind != yaml::NodeKind::sequence) {
    nodes.push_back(&node);
    return nodes;
  }
  if (node.items.empty()) {
    problems.error(node.span, "missing-value", "the list holds no values");
  }
  for (const yaml::Node& item : node.items) {
    nodes.push_back(&item);
  }
  return nodes;
}

class FactReader {
 public:
  FactReader(const FactKey& key, yaml::Problems& problems) : key_(key), problems_(problems) {
    fact_.key = &key;
  }

  std::optional<StatedFact> read(const yaml::Node& node) {
    fact_.span = node.span;
    bool good = false;
    switch (key_.kind) {
      case FactKind::yes_no:
        good = read_yes_no(node);
        break;
      case FactKind::quantity:
        good = read_quantity(node);
        break;
      case FactKind::count:
        good = read_count(node);
        break;
      case FactKind::word:
        good = read_word(node);
        break;
      case FactKind::words:
        good = read_words(node);
        break;
      case FactKind::listing:
        good = read_listing(node);
        break;
    }
    return good ? std::optional<StatedFact>(std::move(fact_)) : std::nullopt;
  }

 private:
  bool read_yes_no(const yaml::Node& node) {
    const auto yes = yaml::read_yes_no(node, problems_);
    fact_.yes = yes.value_or(false);
    return yes.has_value();
  }

  bool read_quantity(const yaml::Node& node) {
    if (std::string_view(key_.choices) == "none" && node.kind == yaml::NodeKind::scalar &&
        base::canonical_word(node.text) == "none") {
      fact_.words = {"none"};
      fact_.value_si = std::numeric_limits<double>::infinity();
      return true;
    }
    const auto value =
        read_within(node, key_.dimension, {key_.lowest, key_.highest, key_.range}, problems_);
    fact_.value_si = value.value_or(0.0);
    return value.has_value();
  }

  /// `3`, or with a unit that the trade puts behind it: `26 ga`.
  bool read_count(const yaml::Node& node) {
    yaml::Node number = node;
    for (const std::string& unit : split(key_.choices)) {
      const std::string word = base::canonical_word(node.text);
      if (word.size() > unit.size() && word.ends_with(unit)) {
        number.text = node.text.substr(0, node.text.size() - unit.size());
        while (!number.text.empty() && (number.text.back() == ' ' || number.text.back() == '-')) {
          number.text.pop_back();
        }
        break;
      }
    }
    const auto n = yaml::read_whole(number, problems_);
    if (!n) {
      return false;
    }
    fact_.value_si = static_cast<double>(*n);
    if (fact_.value_si < key_.lowest || fact_.value_si > key_.highest) {
      problems_
          .error(node.span,
                 "out-of-range",
                 fmt::format("`{}` is out of range", base::escaped(node.text)))
          .label = fmt::format("expected {}", key_.range);
      return false;
    }
    return true;
  }

  bool read_one_word(const yaml::Node& node) {
    const std::vector<std::string> choices = split(key_.choices);
    const auto choice = yaml::read_choice(node, choices, noun(last_part(key_.path)), problems_);
    if (choice) {
      fact_.words.push_back(choices[*choice]);
    }
    return choice.has_value();
  }

  bool read_word(const yaml::Node& node) { return read_one_word(node); }

  bool read_words(const yaml::Node& node) {
    bool good = true;
    for (const yaml::Node* item : one_or_several(node, problems_)) {
      good = read_one_word(*item) && good;
    }
    return good && !fact_.words.empty();
  }

  bool read_listing(const yaml::Node& node) {
    bool good = true;
    for (const yaml::Node* item : one_or_several(node, problems_)) {
      const auto text = yaml::read_text(*item, problems_);
      good = text.has_value() && good;
      if (text) {
        fact_.words.push_back(listing_name(*text));
      }
    }
    return good && !fact_.words.empty();
  }

  const FactKey& key_;
  yaml::Problems& problems_;
  StatedFact fact_;
};

}  // namespace

void read_facts(yaml::MapReader& map, std::string_view group, Reading& reading) {
  std::vector<std::string> below;
  for (const FactKey& key : fact_keys()) {
    std::string_view path = key.path;
    if (!path.starts_with(group) || path.size() <= group.size() || path[group.size()] != '.') {
      continue;
    }
    path.remove_prefix(group.size() + 1);
    const std::size_t dot = path.find('.');
    if (dot == std::string_view::npos) {
      if (const yaml::Node* node = map.get(path)) {
        if (auto fact = FactReader(key, reading.problems).read(*node)) {
          reading.layout.facts.state(*std::move(fact));
        }
      }
      continue;
    }
    const std::string name(path.substr(0, dot));
    if (name != "cooking" && std::find(below.begin(), below.end(), name) == below.end()) {
      below.push_back(name);
    }
  }
  for (const std::string& name : below) {
    read_fact_group(map.get(name), fmt::format("{}.{}", group, name), reading);
  }
}

void read_fact_group(const yaml::Node* node, std::string_view group, Reading& reading) {
  if (node == nullptr) {
    return;
  }
  yaml::MapReader map(*node, std::string(group), reading.problems);
  if (!map.is_mapping()) {
    return;
  }
  read_facts(map, group, reading);
  map.finish();
}

}  // namespace ductledger::layout
