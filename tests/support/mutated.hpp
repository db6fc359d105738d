#pragma once

#include <algorithm>
#include <array>
#include <cctype>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <random>
#include <string>
#include <vector>

/// Layouts that people did not mean: examples with lines, keys and values exchanged, cut and
/// replaced by what hurts. The same ones for a seed on every machine.
namespace ductledger::support {

/// The layouts that mutants are made of: the examples and the small layouts of the rule tests.
inline std::vector<std::string> layouts_to_mutate() {
  std::vector<std::filesystem::path> paths;
  for (const char* folder : {"/examples", "/tests/regression/one_fault"}) {
    for (const auto& entry :
         std::filesystem::directory_iterator(std::string(DUCTLEDGER_SOURCE_DIR) + folder)) {
      if (entry.path().extension() == ".yaml") {
        paths.push_back(entry.path());
      }
    }
  }
  std::ranges::sort(paths);
  std::vector<std::string> texts;
  for (const auto& path : paths) {
    std::ifstream file(path, std::ios::binary);
    texts.emplace_back(std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>());
  }
  return texts;
}

class Mutator {
 public:
  explicit Mutator(std::uint32_t seed) : random_(seed) {}

  /// @param seeds texts to start from and to take lines of; at least one
  std::string mutant(const std::vector<std::string>& seeds) {
    std::vector<std::string> lines = split(seeds[below(seeds.size())]);
    const std::size_t changes = 1 + below(3) / 2 + below(3) / 2;
    for (std::size_t i = 0; i < changes; ++i) {
      change(lines, seeds);
    }
    std::string text;
    for (const std::string& line : lines) {
      text += line + '\n';
    }
    return text;
  }

 private:
  // Distributions of the standard library differ between its makers; a remainder does not.
  std::size_t below(std::size_t count) { return random_() % count; }

  static std::vector<std::string> split(const std::string& text) {
    std::vector<std::string> lines(1);
    for (const char c : text) {
      if (c == '\n') {
        lines.emplace_back();
      } else {
        lines.back() += c;
      }
    }
    return lines;
  }

  void change(std::vector<std::string>& lines, const std::vector<std::string>& seeds) {
    const std::size_t at = below(lines.size());
    switch (below(12)) {
      case 0:
      case 1:
      case 2:
      case 3:
        replace_value(lines[at]);
        break;
      case 4:
      case 5:
        replace_number(lines[at]);
        break;
      case 6:
        lines.erase(lines.begin() + static_cast<std::ptrdiff_t>(at));
        break;
      case 7:
        lines.insert(lines.begin() + static_cast<std::ptrdiff_t>(at), lines[below(lines.size())]);
        break;
      case 8: {
        const auto other = split(seeds[below(seeds.size())]);
        const std::size_t from = below(other.size());
        const std::size_t to = std::min(other.size(), from + 1 + below(5));
        lines.insert(lines.begin() + static_cast<std::ptrdiff_t>(at),
                     other.begin() + static_cast<std::ptrdiff_t>(from),
                     other.begin() + static_cast<std::ptrdiff_t>(to));
        break;
      }
      case 9:
        std::swap(lines[at], lines[below(lines.size())]);
        break;
      case 10: {
        static const std::array<std::string, 14> kStrange{std::string(1, '\0'),
                                                          "\x1b[31m",
                                                          "\u202e",
                                                          "{",
                                                          "}",
                                                          "[",
                                                          "\"",
                                                          "'",
                                                          ": ",
                                                          "- ",
                                                          "\t",
                                                          "\xff",
                                                          "\u00e9",
                                                          "#"};
        std::string& line = lines[at];
        line.insert(below(line.size() + 1), kStrange[below(kStrange.size())]);
        break;
      }
      default: {
        // A piece many times over.
        const std::string line = lines[at];
        lines.insert(
            lines.begin() + static_cast<std::ptrdiff_t>(at), below(2) == 0 ? 20 : 200, line);
        break;
      }
    }
    if (lines.empty()) {
      lines.emplace_back();
    }
  }

  /// What stands behind the first `: `, up to a comma, a bracket or the end.
  void replace_value(std::string& line) {
    static const std::array<const char*, 56> kValues{"0",
                                                     "-1",
                                                     "1e308",
                                                     "1e-308",
                                                     "nan",
                                                     "inf",
                                                     "\"\"",
                                                     "~",
                                                     "true",
                                                     "[]",
                                                     "{}",
                                                     "[1, 2]",
                                                     "\"\\e[31mred\"",
                                                     "\"\\u202Eabc\"",
                                                     "1e400 cfm",
                                                     "0 cfm",
                                                     "-5 cfm",
                                                     "1e12 cfm",
                                                     "0.0001 cfm",
                                                     "9999999 ft",
                                                     "0 ft",
                                                     "1e-9 in round",
                                                     "1000 ft round",
                                                     "0 in round",
                                                     "8 in round",
                                                     "0.1 mm round",
                                                     "1 x 1000 in",
                                                     "3 x 0.1 in",
                                                     "12 x 6 in oval",
                                                     "1e6 inH2O",
                                                     "0 Pa",
                                                     "1e-300 Pa",
                                                     "-40 degF",
                                                     "4000 K",
                                                     "-273.15 degC",
                                                     "200 %",
                                                     "-3 %",
                                                     "0 %",
                                                     "up",
                                                     "down",
                                                     "back",
                                                     "attic",
                                                     "soffit",
                                                     "room",
                                                     "mitered",
                                                     "abrupt",
                                                     "conical-rain-cap",
                                                     "carbon",
                                                     "360 deg",
                                                     "0.001 deg",
                                                     "*x",
                                                     "|",
                                                     "4 +- 300 %",
                                                     "7/0 ft",
                                                     "50 ft",
                                                     "400 cfm"};
    const std::size_t colon = line.find(": ");
    if (colon == std::string::npos) {
      return;
    }
    std::size_t from = colon + 2;
    for (std::size_t skip = below(3); skip > 0; --skip) {
      const std::size_t next = line.find(": ", from);
      from = next == std::string::npos ? from : next + 2;
    }
    const std::size_t end = std::min(line.find_first_of(",}]", from), line.size());
    line.replace(from, end - from, kValues[below(kValues.size())]);
  }

  void replace_number(std::string& line) {
    static const std::array<const char*, 8> kNumbers{
        "0", "-1", "1e30", "1e-30", "999999", "0.00001", "1e5", "3"};
    const std::size_t from = line.find_first_of("0123456789", below(line.size() + 1));
    if (from != std::string::npos) {
      const std::size_t end = std::min(line.find_first_not_of("0123456789.", from), line.size());
      line.replace(from, end - from, kNumbers[below(kNumbers.size())]);
    }
  }

  std::mt19937 random_;
};

/// How many mutants a test looks at: DUCTLEDGER_MUTANTS, or `usual`.
inline std::uint32_t mutants(std::uint32_t usual) {
  const char* asked = std::getenv("DUCTLEDGER_MUTANTS");
  return asked == nullptr ? usual : static_cast<std::uint32_t>(std::strtoul(asked, nullptr, 10));
}

/// The first character that may reach no terminal raw, or nothing: controls but the line end, and
/// the first byte of what turns the direction of writing.
inline bool has_raw_control(const std::string& text) {
  return std::ranges::any_of(
             text, [](unsigned char c) { return (c < 0x20 && c != '\n') || c == 0x7f; }) ||
         text.find("\u202e") != std::string::npos;
}

/// A word of its own in what people read.
inline bool names(const std::string& text, const std::string& word) {
  const auto is_letter = [&](std::size_t at) {
    return at < text.size() && (std::isalnum(static_cast<unsigned char>(text[at])) != 0 ||
                                text[at] == '-' || text[at] == '_');
  };
  for (std::size_t at = text.find(word); at != std::string::npos; at = text.find(word, at + 1)) {
    if ((at == 0 || !is_letter(at - 1)) && !is_letter(at + word.size())) {
      return true;
    }
  }
  return false;
}

/// A figure in what is shown is none, and it does not stand so in the layout.
inline bool shows_no_number(const std::string& shown, const std::string& layout) {
  return std::ranges::any_of(std::array{"nan", "inf", "-nan", "-inf"}, [&](const char* word) {
    return names(shown, word) && !names(layout, word);
  });
}

}  // namespace ductledger::support
