#include <fmt/format.h>

#include <algorithm>
#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "engine_internal.hpp"

namespace ductledger::engine {
namespace {

using yaml::Entry;
using yaml::Node;
using yaml::NodeKind;

bool same(const Node& a, const Node& b) {
  if (a.kind != b.kind || a.text != b.text || a.items.size() != b.items.size() ||
      a.entries.size() != b.entries.size()) {
    return false;
  }
  return std::ranges::equal(a.items, b.items, same) &&
         std::ranges::equal(a.entries, b.entries, [](const Entry& x, const Entry& y) {
           return x.key == y.key && same(x.value, y.value);
         });
}

/// [i][j]: how many items the rests of both lists, from i and from j on, have in common in one
/// order.
using Common = std::vector<std::vector<std::size_t>>;
Common common_items(const std::vector<Node>& from, const std::vector<Node>& to) {
  Common common(from.size() + 1, std::vector<std::size_t>(to.size() + 1, 0));
  for (std::size_t i = from.size(); i-- > 0;) {
    for (std::size_t j = to.size(); j-- > 0;) {
      common[i][j] = same(from[i], to[j]) ? common[i + 1][j + 1] + 1
                                          : std::max(common[i + 1][j], common[i][j + 1]);
    }
  }
  return common;
}

/// Whether a text can stand unquoted inside braces.
bool is_plain(const std::string& text) {
  if (text.empty() || text.front() == ' ' || text.back() == ' ' ||
      std::string_view("-?:,[]{}#&*!|>'\"%@`").find(text.front()) != std::string_view::npos) {
    // A number may begin with its sign.
    if (text.size() < 2 || text.front() != '-' || text[1] < '0' || text[1] > '9') {
      return false;
    }
  }
  if (text == "~" || text == "null" || text == "Null" || text == "NULL") {
    return false;
  }
  return text.find_first_of("[]{},\n\r\t") == std::string::npos &&
         text.find(": ") == std::string::npos && text.find(" #") == std::string::npos &&
         text.back() != ':';
}

std::string scalar_text(const Node& node) {
  if (!node.quoted && is_plain(node.text)) {
    return node.text;
  }
  std::string out = "\"";
  for (const char c : node.text) {
    switch (c) {
      case '"':
      case '\\':
        out += '\\';
        out += c;
        break;
      case '\n':
        out += "\\n";
        break;
      case '\r':
        out += "\\r";
        break;
      case '\t':
        out += "\\t";
        break;
      default:
        out += c;
    }
  }
  return out + '"';
}

class Differ {
 public:
  Json take() { return std::move(ops_); }

  void mapping(const Node& from, const Node& to) {
    for (const Entry& old : from.entries) {
      if (to.find(old.key) == nullptr) {
        at(old.key, [&] { op("remove"); });
      }
    }
    for (const Entry& fresh : to.entries) {
      at(fresh.key, [&] {
        const Node* old = from.find(fresh.key);
        if (old == nullptr) {
          op("set", flow_text(fresh.value));
        } else {
          node(*old, fresh.value);
        }
      });
    }
  }

 private:
  void node(const Node& from, const Node& to) {
    if (same(from, to)) {
      return;
    }
    if (from.kind == NodeKind::mapping && to.kind == NodeKind::mapping) {
      mapping(from, to);
    } else if (from.kind == NodeKind::sequence && to.kind == NodeKind::sequence) {
      sequence(from, to);
    } else {
      op("set", flow_text(to));
    }
  }

  /// Items that stay are found as the longest common part; what stands between is changed, taken
  /// out or put in.
  void sequence(const Node& from, const Node& to) {
    const std::size_t n = from.items.size();
    const std::size_t m = to.items.size();
    const Common common = common_items(from.items, to.items);
    std::size_t i = 0;
    std::size_t j = 0;
    std::size_t place = 0;  // in the list as it is changed
    while (i < n || j < m) {
      if (i < n && j < m && same(from.items[i], to.items[j])) {
        ++i;
        ++j;
        ++place;
        continue;
      }
      // The stretch until both go on alike.
      std::size_t out = i;
      std::size_t in = j;
      while (out < n && common[out][in] == common[out + 1][in]) {
        ++out;
      }
      while (in < m && common[out][in] == common[out][in + 1]) {
        ++in;
      }
      for (; i < out && j < in; ++i, ++j, ++place) {
        at(place, [&] { node(from.items[i], to.items[j]); });
      }
      for (; i < out; ++i) {
        at(place, [&] { op("remove"); });
      }
      for (; j < in; ++j, ++place) {
        at(place, [&] { op("insert", flow_text(to.items[j], true)); });
      }
    }
  }

  static std::string flow_text(const Node& node, bool item = false) {
    // Behind a dash a mapping of one key needs no braces.
    if (item && node.kind == NodeKind::mapping && node.entries.size() == 1) {
      const Entry& only = node.entries.front();
      return only.key + ": " + engine::flow_text(only.value);
    }
    return engine::flow_text(node);
  }

  template <class Step, class Work>
  void at(const Step& step, const Work& work) {
    path_.push_back(step);
    work();
    path_.erase(path_.size() - 1);
  }
  void op(const char* name) { ops_.push_back({{"op", name}, {"path", path_}}); }
  void op(const char* name, std::string value) {
    ops_.push_back({{"op", name}, {"path", path_}, {"value", std::move(value)}});
  }

  Json ops_ = Json::array();
  Json path_ = Json::array();
};

}  // namespace

Json piece_changes(const yaml::Node& from, const yaml::Node& to) {
  // Pieces that stay, as in `Differ`; what stands new between them goes with the piece before it.
  const std::size_t n = from.items.size();
  const std::size_t m = to.items.size();
  const Common common = common_items(from.items, to.items);
  std::vector<std::vector<const Node*>> stands(n);
  std::vector<const Node*> first;  // new ones before any old piece
  std::size_t i = 0;
  std::size_t j = 0;
  std::optional<std::size_t> last;
  while (i < n || j < m) {
    if (i < n && j < m && same(from.items[i], to.items[j])) {
      stands[i].push_back(&to.items[j++]);
      last = i++;
    } else if (i < n && (j == m || common[i + 1][j] >= common[i][j + 1])) {
      // Gone, or another in its place.
      const bool replaced = j < m && common[i + 1][j + 1] == common[i][j];
      if (replaced) {
        stands[i].push_back(&to.items[j++]);
      }
      last = i++;
    } else {
      (last ? stands[*last] : first).push_back(&to.items[j++]);
    }
  }
  if (!first.empty() && n > 0) {
    stands.front().insert(stands.front().begin(), first.begin(), first.end());
  }
  const auto item = [](const Node& node) { return flow_text(node); };
  Json out = Json::array();
  for (std::size_t k = 0; k < n; ++k) {
    if (stands[k].size() == 1 && same(*stands[k].front(), from.items[k])) {
      continue;
    }
    std::string value = "out";
    if (stands[k].size() == 1 && stands[k].front()->kind == NodeKind::mapping) {
      value = item(*stands[k].front());
    } else if (!stands[k].empty()) {
      value.clear();
      for (const Node* node : stands[k]) {
        value += (value.empty() ? "" : ", ") + item(*node);
      }
      value = "[" + value + "]";
    }
    out.push_back({{"piece", k + 1}, {"value", value}});
  }
  return out;
}

std::string flow_text(const yaml::Node& node) {
  switch (node.kind) {
    case NodeKind::null:
      return "";
    case NodeKind::scalar:
      return scalar_text(node);
    case NodeKind::sequence: {
      std::string out;
      for (const Node& item : node.items) {
        out += (out.empty() ? "" : ", ") + flow_text(item);
      }
      return "[" + out + "]";
    }
    case NodeKind::mapping: {
      std::string out;
      for (const Entry& entry : node.entries) {
        Node key;
        key.kind = NodeKind::scalar;
        key.text = entry.key;
        out += fmt::format(
            "{}{}: {}", out.empty() ? "" : ", ", scalar_text(key), flow_text(entry.value));
      }
      return "{" + out + "}";
    }
  }
  return "";
}

Json changes(const yaml::Node& from, const yaml::Node& to) {
  Differ differ;
  differ.mapping(from, to);
  return differ.take();
}

}  // namespace ductledger::engine
