#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <string>
#include <string_view>
#include <vector>

#include "base/text.hpp"
#include "layout/facts.hpp"
#include "layout/read_internal.hpp"

// What a review asks for and gets back: answers left blank, and what somebody saw on site.
namespace ductledger::layout {
namespace {

/// Keys beside the facts that a review asks for.
constexpr auto kAsked = std::to_array<std::string_view>({
    "site.elevation",
    "site.outdoor.temperature",
    "appliance.kind",
    "appliance.collar",
    "appliance.includes",
    "appliance.nameplate_airflow",
    "appliance.required_airflow",
    "appliance.cooking.fuel",
    "appliance.cooking.width",
    "appliance.cooking.mount",
    "appliance.cooking.hood_height",
    "fan.speeds",
    "run.discharge",
    "run.material",
    "house.floor_area",
    "house.leakage",
    "house.combustion",
    "house.makeup",
    "measurements",
});

/// Keys are forgiving of hyphens and case; paths have one form.
std::string path_of(std::string_view text) {
  std::string path = base::canonical_word(text);
  std::ranges::replace(path, '-', '_');
  return path;
}

bool asked(const std::string& path) {
  return std::ranges::find(kAsked, path) != kAsked.end() || fact_key(path) != nullptr;
}

struct Blanks {
  std::vector<std::string> paths;
  base::Span first;
};

void take_out(yaml::Node& node, const std::string& prefix, Blanks& blanks) {
  std::erase_if(node.entries, [&](yaml::Entry& entry) {
    const std::string path =
        prefix.empty() ? path_of(entry.key) : prefix + '.' + path_of(entry.key);
    if (entry.value.kind == yaml::NodeKind::null) {
      if (!asked(path)) {
        return false;
      }
      if (blanks.paths.empty()) {
        blanks.first = entry.key_span;
      }
      blanks.paths.push_back(path);
      return true;
    }
    if (entry.value.kind != yaml::NodeKind::mapping) {
      return false;
    }
    const bool held = !entry.value.entries.empty();
    take_out(entry.value, path, blanks);
    return held && entry.value.entries.empty();
  });
}

/// The node at a dotted path; null: none.
const yaml::Node* at_path(const yaml::Node& root, std::string_view path) {
  const yaml::Node* node = &root;
  while (node != nullptr && !path.empty()) {
    const std::size_t dot = std::min(path.find('.'), path.size());
    const std::string_view key = path.substr(0, dot);
    if (node->kind != yaml::NodeKind::mapping) {
      return nullptr;
    }
    const auto found = std::ranges::find_if(
        node->entries, [&](const yaml::Entry& entry) { return path_of(entry.key) == key; });
    node = found == node->entries.end() ? nullptr : &found->value;
    path.remove_prefix(std::min(dot + 1, path.size()));
  }
  return node;
}

void read_keys(const yaml::Node& node, SeenOnSite& seen, Reading& reading) {
  const auto take = [&](const yaml::Node& item) {
    const auto text = yaml::read_text(item, reading.problems);
    if (!text) {
      return;
    }
    const std::string path = path_of(*text);
    if (!path.empty() && at_path(reading.layout.tree->root, path) != nullptr) {
      seen.keys.push_back(path);
      return;
    }
    base::Diagnostic& fault = reading.problems.error(
        item.span, "nothing-to-see", fmt::format("the layout states no {}", base::shown(*text)));
    fault.help = "name a key that the layout states, by its path: `run.termination.to_opening`";
  };
  if (node.kind == yaml::NodeKind::sequence) {
    std::ranges::for_each(node.items, take);
  } else {
    take(node);
  }
}

}  // namespace

bool may_be_blank(std::string_view key) {
  const std::string last = path_of(key);
  const auto ends_so = [&](std::string_view path) {
    return path.substr(path.rfind('.') + 1) == last;  // npos + 1 is 0: the whole path
  };
  return std::ranges::any_of(kAsked, ends_so) ||
         std::ranges::any_of(fact_keys(), [&](const FactKey& one) { return ends_so(one.path); });
}

void take_out_blank_answers(yaml::Tree& tree) {
  if (tree.root.kind != yaml::NodeKind::mapping) {
    return;
  }
  Blanks blanks;
  take_out(tree.root, "", blanks);
  if (blanks.paths.empty()) {
    return;
  }
  base::Diagnostic told;
  told.severity = base::Severity::warning;
  told.rule = "blank-answer";
  told.message = fmt::format("{} left blank: {} no value and {} nothing",
                             base::joined(blanks.paths, "and"),
                             blanks.paths.size() == 1 ? "it holds" : "they hold",
                             blanks.paths.size() == 1 ? "states" : "state");
  told.source = tree.source;
  told.span = blanks.first;
  told.help = "write what is true behind the key, or leave it out";
  tree.warnings.push_back(std::move(told));
}

void read_seen(const yaml::Node* node, Reading& reading) {
  if (node == nullptr) {
    return;
  }
  const auto take = [&](const yaml::Node& item) {
    SeenOnSite seen;
    seen.span = item.span;
    yaml::MapReader map(item, "seen_on_site", reading.problems);
    if (!map.is_mapping()) {
      return;
    }
    if (const yaml::Node* date = map.require("date", "2026-03-14")) {
      seen.date = base::trimmed(yaml::read_text(*date, reading.problems).value_or(""));
      if (seen.date.empty() && !reading.problems.has_error()) {
        reading.problems.error(date->span, "missing-value", "`date` says no day").help =
            "such as `date: 2026-03-14`";
      }
    }
    if (const yaml::Node* keys = map.require("keys", "[run.termination.to_opening]")) {
      read_keys(*keys, seen, reading);
    }
    map.finish();
    reading.layout.seen.push_back(std::move(seen));
  };
  if (node->kind == yaml::NodeKind::sequence) {
    std::ranges::for_each(node->items, take);
  } else {
    take(*node);
  }
}

}  // namespace ductledger::layout
