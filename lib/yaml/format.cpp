#include "yaml/format.hpp"

#include <algorithm>
#include <cstddef>
#include <map>
#include <memory>
#include <optional>
#include <string_view>
#include <vector>

#include "base/text.hpp"
#include "yaml/parse.hpp"

namespace ductledger::yaml {
namespace {

constexpr std::size_t kStep = 2;

bool is_collection(const Node& node) {
  return node.kind == NodeKind::mapping || node.kind == NodeKind::sequence;
}

/// Whether both say the same: kinds, texts, quotes, keys, order.
bool same(const Node& a, const Node& b) {
  return a.kind == b.kind && a.text == b.text && a.quoted == b.quoted &&
         std::ranges::equal(a.items, b.items, same) &&
         std::ranges::equal(a.entries, b.entries, [](const Entry& x, const Entry& y) {
           return x.key == y.key && same(x.value, y.value);
         });
}

struct Line {
  std::size_t begin = 0;  ///< byte offset
  std::size_t end = 0;    ///< before the line end and a carriage return
  std::size_t indent = 0;
  std::optional<std::size_t> target;  ///< new indent, where a key or a dash begins the line
  bool verbatim = false;              ///< the body of a block scalar
};

class Formatter {
 public:
  explicit Formatter(const Tree& tree) : tree_(tree), text_(tree.source->text()) { find_lines(); }

  std::string run() {
    place(tree_.root, 0);
    return possible_ ? joined() : std::string();
  }

 private:
  void find_lines() {
    std::size_t begin = text_.starts_with("\xEF\xBB\xBF") ? 3 : 0;
    while (begin <= text_.size()) {
      const std::size_t stop = std::min(text_.find('\n', begin), text_.size());
      Line line;
      line.begin = begin;
      line.end = stop;
      if (line.end > begin && text_[line.end - 1] == '\r') {
        --line.end;
      }
      while (begin + line.indent < line.end && text_[begin + line.indent] == ' ') {
        ++line.indent;
      }
      lines_.push_back(line);
      begin = stop + 1;
    }
  }

  Line& line_at(std::size_t offset) {
    const auto after = std::ranges::upper_bound(lines_, offset, {}, &Line::begin);
    return *std::prev(after);
  }
  [[nodiscard]] bool is_flow(const Node& node) const {
    return text_[node.span.offset] == '{' || text_[node.span.offset] == '[';
  }

  // --- where each line goes ---

  void place(const Node& node, std::size_t column) {
    if (is_collection(node) && node.span.offset < text_.size() && is_flow(node)) {
      (void)tighten(node);
    } else if (node.kind == NodeKind::mapping) {
      for (const Entry& entry : node.entries) {
        place_entry(entry, column);
      }
    } else if (node.kind == NodeKind::sequence) {
      for (const Node& item : node.items) {
        place_item(item, column);
      }
    }
  }

  void place_entry(const Entry& entry, std::size_t column) {
    Line& line = line_at(entry.key_span.offset);
    if (line.begin + line.indent == entry.key_span.offset) {
      line.target = column;
    }
    join_key(entry);
    const Node& value = entry.value;
    if (value.kind == NodeKind::scalar) {
      mark_block_scalar(end_of_text(entry.key_span.offset, entry.key), line);
    }
    place(value, column + kStep);
  }

  void place_item(const Node& item, std::size_t column) {
    Line& line = line_at(item.span.offset);
    const std::size_t first = line.begin + line.indent;
    if (item.kind == NodeKind::null || first >= line.end || text_[first] != '-' ||
        (item.kind == NodeKind::sequence && !is_flow(item))) {
      possible_ = false;
      return;
    }
    line.target = column;
    replace(first + 1, item.span.offset, " ");
    if (item.kind == NodeKind::scalar) {
      mark_block_scalar(first, line);
    }
    place(item, column + kStep);
  }

  /// @param from behind the key, or at the dash; a bar or an arrow follows its colon or the dash
  void mark_block_scalar(std::size_t from, const Line& of) {
    const std::size_t at = text_.find_first_not_of(" :-", from);
    if (at >= of.end || (text_[at] != '|' && text_[at] != '>')) {
      return;
    }
    for (std::size_t i = static_cast<std::size_t>(&of - lines_.data()) + 1; i < lines_.size();
         ++i) {
      Line& body = lines_[i];
      const bool empty = body.begin + body.indent == body.end;
      if (!empty && body.indent <= of.indent) {
        break;
      }
      body.verbatim = true;
    }
  }

  // --- blanks within a line ---

  /// Only blanks, colons and commas of one line give way.
  void replace(std::size_t begin, std::size_t end, std::string_view by) {
    if (begin <= end &&
        text_.substr(begin, end - begin).find_first_not_of(" :,") == std::string_view::npos) {
      changes_[begin] = {end, std::string(by)};
    }
  }

  void join_key(const Entry& entry) {
    if (entry.value.kind != NodeKind::null) {
      replace(end_of_text(entry.key_span.offset, entry.key), entry.value.span.offset, ": ");
    }
  }

  /// Behind a scalar that stands on one line. @param plain its text, where it has no quotes
  [[nodiscard]] std::size_t end_of_text(std::size_t offset, std::string_view plain) const {
    const char quote = text_[offset];
    if (quote != '"' && quote != '\'') {
      return offset + plain.size();
    }
    std::size_t at = offset + 1;
    while (at < text_.size() && text_[at] != quote) {
      at += quote == '"' && text_[at] == '\\' ? 2U : 1U;
    }
    return at + 1;
  }

  /// A flow collection: blanks at its brackets, colons and commas. @return behind its end
  std::size_t tighten(const Node& node) {
    std::size_t at = node.span.offset + 1;
    bool first = true;
    const auto next = [&](std::size_t begin) {
      replace(at, begin, first ? "" : ", ");
      first = false;
    };
    for (const Entry& entry : node.entries) {
      next(entry.key_span.offset);
      join_key(entry);
      at = entry.value.kind == NodeKind::null ? end_of_text(entry.key_span.offset, entry.key)
                                              : end_of(entry.value);
    }
    for (const Node& item : node.items) {
      next(item.span.offset);
      at = end_of(item);
    }
    const std::size_t close = text_.find(node.kind == NodeKind::mapping ? '}' : ']', at);
    if (close == std::string_view::npos) {
      return at;
    }
    if (text_.substr(at, close - at).find_first_not_of(' ') == std::string_view::npos) {
      replace(at, close, "");
    }
    return close + 1;
  }

  std::size_t end_of(const Node& node) {
    return is_collection(node) ? tighten(node) : end_of_text(node.span.offset, node.text);
  }

  // --- the new text ---

  /// A line's text from its first character on, changes made, no blanks at its end.
  [[nodiscard]] std::string content(const Line& line) const {
    std::string out;
    std::size_t at = line.begin + line.indent;
    for (auto change = changes_.lower_bound(at);
         change != changes_.end() && change->first < line.end;
         ++change) {
      if (change->first < at || change->second.end > line.end) {
        continue;
      }
      out += text_.substr(at, change->first - at);
      out += change->second.by;
      at = change->second.end;
    }
    out += text_.substr(at, line.end - at);
    out.erase(out.find_last_not_of(" \t") + 1);
    return out;
  }

  [[nodiscard]] std::string joined() const {
    std::string out;
    std::vector<const Line*> waiting;  // comments and empty lines, until it is known what follows
    std::ptrdiff_t shift = 0;
    const auto put = [&](const Line& line, std::size_t indent) {
      const std::string text = content(line);
      if (!text.empty()) {
        out.append(indent, ' ');
        out += text;
        out += '\n';
      } else if (!out.empty() && !out.ends_with("\n\n")) {
        out += '\n';
      }
    };
    const auto shifted = [&](const Line& line) {
      return static_cast<std::size_t>(
          std::max<std::ptrdiff_t>(0, static_cast<std::ptrdiff_t>(line.indent) + shift));
    };
    for (const Line& line : lines_) {
      const std::size_t first = line.begin + line.indent;
      if (line.verbatim) {
        if (first != line.end) {
          out.append(shifted(line), ' ');
          out += text_.substr(first, line.end - first);
        }
        out += '\n';
        continue;
      }
      if (first >= line.end || text_[first] == '#' ||
          text_.substr(first, line.end - first).find_first_not_of(" \t") ==
              std::string_view::npos) {
        waiting.push_back(&line);
        continue;
      }
      if (line.target) {
        shift =
            static_cast<std::ptrdiff_t>(*line.target) - static_cast<std::ptrdiff_t>(line.indent);
      }
      for (const Line* one : waiting) {
        put(*one, line.target ? *line.target : shifted(*one));
      }
      waiting.clear();
      put(line, line.target ? *line.target : shifted(line));
    }
    for (const Line* one : waiting) {
      put(*one, one->indent == 0 ? 0 : shifted(*one));
    }
    while (out.ends_with("\n\n")) {
      out.pop_back();
    }
    return out;
  }

  struct Change {
    std::size_t end = 0;
    std::string by;
  };
  const Tree& tree_;
  std::string_view text_;
  std::vector<Line> lines_;
  std::map<std::size_t, Change> changes_;  ///< by the offset where they begin
  bool possible_ = true;
};

}  // namespace

std::string formatted(const Tree& tree) {
  std::string out = Formatter(tree).run();
  if (out.empty()) {
    return out;
  }
  // What it says is what it said; whoever doubts reads both again.
  const auto again = parse(std::make_shared<const base::SourceText>(tree.source->name(), out));
  return again && same(again->root, tree.root) ? out : std::string();
}

}  // namespace ductledger::yaml
