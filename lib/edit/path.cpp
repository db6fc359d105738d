#include "edit/path.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <memory>
#include <utility>

#include "base/text.hpp"
#include "edit/draft_internal.hpp"

namespace ductledger::edit {
namespace {

using yaml::Node;
using yaml::NodeKind;

base::Diagnostic bad_path(std::string_view text, std::string message) {
  base::Diagnostic out;
  out.rule = "bad-path";
  out.message = fmt::format("{} names no place in a layout: {}", base::shown(text), message);
  out.help = "such as `run.pieces[3].length`, `site.outdoor.temperature`; items count from 1";
  return out;
}

/// `pieces[3]`
base::Checked<PathStep> read_step(std::string_view whole, std::string_view text) {
  const std::size_t bracket = text.find('[');
  PathStep step{std::string(base::trimmed(text.substr(0, bracket)))};
  if (step.key.empty()) {
    return bad_path(whole, "a key is missing");
  }
  if (bracket != std::string_view::npos) {
    const std::string_view inside = text.substr(bracket + 1);
    std::size_t item = 0;
    const auto read = std::from_chars(inside.data(), inside.data() + inside.size(), item);
    const auto used = static_cast<std::size_t>(read.ptr - inside.data());
    if (read.ec != std::errc() || inside.substr(used) != "]") {
      return bad_path(whole, "between brackets stands the number of an item");
    }
    if (item == 0) {
      return bad_path(whole, "items count from 1, as the ledger numbers pieces");
    }
    step.item = item;
  }
  return step;
}

/// Goes down a draft's tree, making what is not there.
class Walker {
 public:
  Walker(const layout::Layout& layout, Draft& draft) : layout_(layout), draft_(draft) {}

  /// @return why there is no such place
  [[nodiscard]] base::Diagnostics set(const Setting& setting) {
    Node* node = &draft_.root();
    const auto& steps = setting.path.steps;
    for (std::size_t i = 0; i < steps.size(); ++i) {
      const PathStep& step = steps[i];
      if (node->kind == NodeKind::null) {
        node->kind = NodeKind::mapping;  // `house:` with nothing behind it
      }
      if (node->kind != NodeKind::mapping) {
        return refused(
            setting,
            *node,
            fmt::format("{} holds no keys", i == 0 ? "the file" : base::shown(steps[i - 1].key)));
      }
      const bool last = i + 1 == steps.size();
      if (!step.item) {
        if (last) {
          put(*node, step.key, setting.value);
          return {};
        }
        node = &draft_.mapping(*node, step.key);
        continue;
      }
      if (!Draft::has(*node, step.key)) {
        return refused(
            setting, *node, fmt::format("the file has no list {}", base::shown(step.key)));
      }
      Node& list = draft_.mapping(*node, step.key);
      if (list.kind != NodeKind::sequence || *step.item > list.items.size()) {
        return refused(
            setting,
            list,
            list.kind != NodeKind::sequence
                ? fmt::format("{} is no list", base::shown(step.key))
                : fmt::format("{} has {} items", base::shown(step.key), list.items.size()));
      }
      Node& item = list.items[*step.item - 1];
      if (last) {
        if (item.kind != NodeKind::scalar) {
          return refused(setting, item, "a value is put at a key, and this is a whole item");
        }
        item.text = setting.value;
        return {};
      }
      node = step.key == "pieces" ? &piece_keys(item, steps[i + 1]) : &item;
    }
    return {};
  }

 private:
  /// `{straight: 4 ft}` by its kind, or by the keys of that piece.
  static Node& piece_keys(Node& item, const PathStep& next) {
    const bool as_written = item.kind == NodeKind::mapping &&
                            (item.entries.size() != 1 || item.entries.front().key == next.key);
    return as_written ? item : Draft::keys_of(item);
  }

  static void put(Node& mapping, const std::string& key, const std::string& value) {
    if (value.empty()) {
      Draft::erase(mapping, key);
    } else {
      Draft::set(mapping, key, value);
    }
  }

  [[nodiscard]] base::Diagnostics refused(const Setting& setting,
                                          const Node& place,
                                          const std::string& why) const {
    return {refusal(layout_,
                    place.span,
                    fmt::format("there is no {}: {}", base::shown(setting.path.text()), why))};
  }

  const layout::Layout& layout_;
  Draft& draft_;
};

}  // namespace

std::string Path::text() const {
  std::string out;
  for (const PathStep& step : steps) {
    out += (out.empty() ? "" : ".") + step.key;
    if (step.item) {
      out += fmt::format("[{}]", *step.item);
    }
  }
  return out;
}

base::Checked<Path> read_path(std::string_view text) {
  Path path;
  const std::string_view whole = base::trimmed(text);
  if (whole.empty()) {
    return bad_path(text, "it is empty");
  }
  for (std::size_t at = 0; at <= whole.size();) {
    const std::size_t dot = std::min(whole.find('.', at), whole.size());
    auto step = read_step(whole, whole.substr(at, dot - at));
    if (!step) {
      return std::move(step).error();
    }
    path.steps.push_back(*std::move(step));
    at = dot + 1;
  }
  return path;
}

Edited with_settings(const layout::Layout& layout,
                     const fitting::Catalogue& catalogue,
                     std::span<const Setting> settings) {
  if (layout.tree == nullptr) {
    return refusal(layout, {}, "this layout was not read from a text, so it cannot be edited");
  }
  Draft draft(layout, catalogue);
  Walker walker(layout, draft);
  for (const Setting& setting : settings) {
    if (base::Diagnostics faults = walker.set(setting); !faults.empty()) {
      return faults;
    }
  }
  return std::move(draft).read();
}

}  // namespace ductledger::edit
