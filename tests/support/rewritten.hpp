#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <optional>
#include <random>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "yaml/tree.hpp"

/// The same layout as another person would write it: comments, the order of keys, quotes, block or
/// flow style, and other units of the same values. The same ones for a seed on every machine.
namespace ductledger::support {

enum class OtherUnits {
  none,
  alike,         ///< of the same system: inches for feet, m3/h for L/s
  of_the_world,  ///< of the other system too: millimetres for inches
};

struct Rewriting {
  bool comments = true;
  bool key_order = true;
  bool quotes = true;
  bool style = true;
  OtherUnits units = OtherUnits::none;
};

class Rewriter {
 public:
  Rewriter(std::uint32_t seed, const Rewriting& what) : random_(seed), what_(what) {}

  std::string rewritten(const yaml::Node& root) {
    std::string out;
    if (what_.comments) {
      out += "# layout: 2, a comment\n";
    }
    if (what_.style && below(6) == 0) {
      return out + flow(root, "") + '\n';
    }
    block(root, 0, "", out);
    return out;
  }

 private:
  // Distributions of the standard library differ between its makers; a remainder does not.
  std::size_t below(std::size_t count) { return random_() % count; }

  /// Values that are left out stand last, as the format asks for.
  std::vector<const yaml::Entry*> entries(const yaml::Node& mapping) {
    std::vector<const yaml::Entry*> all;
    for (const yaml::Entry& entry : mapping.entries) {
      all.push_back(&entry);
    }
    if (what_.key_order) {
      for (std::size_t i = all.size(); i > 1; --i) {
        std::swap(all[i - 1], all[below(i)]);
      }
    }
    std::stable_partition(all.begin(), all.end(), [](const yaml::Entry* entry) {
      return entry->value.kind != yaml::NodeKind::null;
    });
    return all;
  }

  static bool is_plain(const std::string& text) {
    static constexpr std::string_view kHarmless =
        "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789 ./_+%()-";
    return !text.empty() && text.find_first_not_of(kHarmless) == std::string::npos &&
           text.front() != '-' && text.front() != ' ' && text.back() != ' ' &&
           text.front() != '%' && text != "~" && text != "null";
  }

  static std::string doubly_quoted(const std::string& text) {
    std::string out = "\"";
    for (const char c : text) {
      if (c == '"' || c == '\\') {
        out += {'\\', c};
      } else if (c == '\n') {
        out += "\\n";
      } else if (static_cast<unsigned char>(c) < 0x20) {
        std::array<char, 8> code{};
        (void)std::snprintf(code.data(), code.size(), "\\x%02x", static_cast<unsigned>(c));
        out += code.data();
      } else {
        out += c;
      }
    }
    return out + '"';
  }

  std::string scalar(const yaml::Node& node, std::string_view key) {
    std::string text = node.text;
    if (what_.units != OtherUnits::none && key != "title" && key != "note" && key != "name") {
      text = in_other_units(text, what_.units).value_or(text);
    }
    const std::size_t choice = what_.quotes ? below(4) : 0;
    if (node.quoted || !is_plain(text) || choice == 1) {
      return doubly_quoted(text);
    }
    return choice == 2 ? '\'' + text + '\'' : text;
  }
  std::string key_text(const std::string& key) {
    return !is_plain(key) || (what_.quotes && below(8) == 0) ? doubly_quoted(key) : key;
  }

  std::string flow(const yaml::Node& node, std::string_view key) {
    switch (node.kind) {
      case yaml::NodeKind::null:
        return "";
      case yaml::NodeKind::scalar:
        return scalar(node, key);
      case yaml::NodeKind::sequence: {
        std::string out = "[";
        for (const yaml::Node& item : node.items) {
          out += (out.size() > 1 ? ", " : "") + flow(item, key);
        }
        return out + ']';
      }
      case yaml::NodeKind::mapping:
        break;
    }
    std::string out = "{";
    for (const yaml::Entry* entry : entries(node)) {
      out += (out.size() > 1 ? ", " : "") + key_text(entry->key) + ": " +
             flow(entry->value, entry->key);
    }
    return out + '}';
  }

  static bool holds_null(const yaml::Node& node) {
    return std::ranges::any_of(node.entries, [](const yaml::Entry& entry) {
      return entry.value.kind == yaml::NodeKind::null;
    });
  }
  /// A list or mapping whose items take lines of their own.
  bool in_lines(const yaml::Node& node) {
    const bool collection =
        node.kind == yaml::NodeKind::sequence || node.kind == yaml::NodeKind::mapping;
    if (!collection || (node.items.empty() && node.entries.empty())) {
      return false;
    }
    return holds_null(node) || (what_.style ? below(2) == 0 : false);
  }
  std::string line_end() { return what_.comments && below(4) == 0 ? "  # 8 in round\n" : "\n"; }

  void value(const yaml::Node& node, std::size_t indent, std::string_view key, std::string& out) {
    if (in_lines(node)) {
      out += line_end();
      block(node, indent + 2, key, out);
    } else {
      const std::string text = flow(node, key);
      out += (text.empty() ? "" : " ") + text + line_end();
    }
  }

  void block(const yaml::Node& node, std::size_t indent, std::string_view key, std::string& out) {
    const std::string blanks(indent, ' ');
    for (const yaml::Node& item : node.items) {
      remark(blanks, out);
      if (item.kind == yaml::NodeKind::mapping && item.entries.size() == 1 && in_lines(item)) {
        out += blanks + "- " + key_text(item.entries.front().key) + ':';
        value(item.entries.front().value, indent + 2, item.entries.front().key, out);
      } else {
        out += blanks + "- " + flow(item, key) + line_end();
      }
    }
    for (const yaml::Entry* entry : entries(node)) {
      remark(blanks, out);
      out += blanks + key_text(entry->key) + ':';
      value(entry->value, indent, entry->key, out);
    }
  }
  void remark(const std::string& blanks, std::string& out) {
    if (what_.comments && below(5) == 0) {
      out += blanks + "# pieces: none of this counts\n";
    }
  }

  // Units.

  struct Unit {
    std::string_view name;
    std::string_view other;
    double factor;  ///< other over this; decimal and exact
    OtherUnits kind;
  };
  static constexpr std::array<Unit, 9> kUnits{
      {{"ft", "in", 12.0, OtherUnits::alike},
       {"mm", "m", 0.001, OtherUnits::alike},
       {"Pa", "hPa", 0.01, OtherUnits::alike},
       {"L/s", "m3/h", 3.6, OtherUnits::alike},
       {"in", "mm", 25.4, OtherUnits::of_the_world},
       {"cfm", "L/s", 0.4719474432, OtherUnits::of_the_world},
       {"inH2O", "Pa", 249.08891, OtherUnits::of_the_world},
       {"mph", "m/s", 0.44704, OtherUnits::of_the_world},
       {"ft2", "m2", 0.09290304, OtherUnits::of_the_world}}};

  /// `12`, `0.5`, `3-1/4`, `5/8`.
  static std::optional<double> number(const std::string& text) {
    double sum = 0.0;
    std::size_t at = 0;
    if (text.empty() || text.find_first_not_of("0123456789./-") != std::string::npos) {
      return std::nullopt;
    }
    const std::size_t slash = text.find('/');
    const std::size_t dash = text.find('-');
    if (slash == std::string::npos) {
      return dash == std::string::npos ? std::optional(std::strtod(text.c_str(), nullptr))
                                       : std::nullopt;
    }
    if (dash != std::string::npos) {
      sum = std::strtod(text.c_str(), nullptr);
      at = dash + 1;
    }
    const double over = std::strtod(text.c_str() + slash + 1, nullptr);
    return over > 0.0 ? std::optional(sum + std::strtod(text.c_str() + at, nullptr) / over)
                      : std::nullopt;
  }
  static std::string written(double value) {
    std::array<char, 32> digits{};
    (void)std::snprintf(digits.data(), digits.size(), "%.15g", value);
    return digits.data();
  }

  /// `8 in round`, `10 x 3-1/4 in`, `0 250 450 cfm`, `75 degF`; nothing: the text is none of these.
  static std::optional<std::string> in_other_units(const std::string& text, OtherUnits kind) {
    std::vector<std::string> words(1);
    for (const char c : text) {
      if (c == ' ') {
        words.emplace_back();
      } else {
        words.back() += c;
      }
    }
    std::string shape;
    if (words.back() == "round" || words.back() == "oval") {
      shape = ' ' + words.back();
      words.pop_back();
    }
    if (words.size() < 2) {
      return std::nullopt;
    }
    const std::string unit = words.back();
    words.pop_back();
    const auto row = std::ranges::find(kUnits, unit, &Unit::name);
    const bool degrees = unit == "degF" && shape.empty();
    const OtherUnits here = degrees               ? OtherUnits::of_the_world
                            : row != kUnits.end() ? row->kind
                                                  : OtherUnits::none;
    if (here == OtherUnits::none || (here != kind && kind == OtherUnits::alike)) {
      return std::nullopt;
    }
    std::string out;
    for (const std::string& word : words) {
      const auto value = number(word);
      if (!value && word != "x") {
        return std::nullopt;
      }
      out += !value    ? word
             : degrees ? written((*value - 32.0) / 1.8)
                       : written(*value * row->factor);
      out += ' ';
    }
    return out + (degrees ? "degC" : std::string(row->other)) + shape;
  }

  std::mt19937 random_;
  Rewriting what_;
};

}  // namespace ductledger::support
