#include <gtest/gtest.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <memory>
#include <nlohmann/json.hpp>
#include <regex>
#include <string>
#include <vector>

#include "cli/harness.hpp"
#include "support/mutated.hpp"
#include "support/rewritten.hpp"
#include "yaml/parse.hpp"

// What a layout means decides what is said of it; how it is written does not. Comments, the order
// of keys, quotes, block or flow style leave every output as it was, but for the file's hash and
// the lines that things stand on. Other units of the same value may round in the last digit of a
// double, so their numbers are compared to 1e-9, and those in texts to one of their last digit: a
// half is shown as the one or the other. A file in metric units is offered metric sizes and sticks,
// so `size`, `parts` and `compare`, and every text, are asked of units of its own system alone.
// DUCTLEDGER_REWRITINGS=200 looks at more.
namespace ductledger::test {
namespace {

using Json = nlohmann::json;
using support::OtherUnits;

/// How near a solution came, which other digits of an input move.
std::string without_residuals(const std::string& text) {
  static const std::regex solved("solved to [^ ]+ Pa in [0-9]+ steps, mass to [^ ]+ of");
  return std::regex_replace(text, solved, "solved, mass of");
}

/// Hashes, and numbers of lines and columns.
std::string masked(const std::string& text) {
  const auto is_hex = [](char c) {
    return std::isdigit(static_cast<unsigned char>(c)) != 0 || (c >= 'a' && c <= 'f');
  };
  std::string hashed;
  for (std::size_t i = 0; i < text.size();) {
    std::size_t end = i;
    while (end < text.size() && is_hex(text[end])) {
      ++end;
    }
    if (end - i == 16 || end - i == 64) {
      hashed += "HASH";
    } else {
      hashed.append(text, i, end - i);
    }
    if (end == i) {
      hashed += text[end++];
    }
    i = end;
  }
  for (const std::string& before : {std::string("line "),
                                    std::string("\"line\":"),
                                    std::string("\"line\": "),
                                    std::string("\"column\":"),
                                    std::string("\"column\": "),
                                    std::string("/line\">")}) {
    std::string out;
    std::size_t from = 0;
    for (std::size_t at = hashed.find(before); at != std::string::npos;
         at = hashed.find(before, from)) {
      std::size_t end = at + before.size();
      out.append(hashed, from, end - from);
      while (end < hashed.size() && std::isdigit(static_cast<unsigned char>(hashed[end])) != 0) {
        ++end;
      }
      from = end;
    }
    hashed = out + hashed.substr(from);
  }
  return hashed;
}

/// Lines break elsewhere where a line number is longer.
std::string without_breaks(const std::string& text) {
  std::string out;
  for (const char c : text) {
    const bool blank = c == ' ' || c == '\n';
    if (!blank) {
      out += c;
    } else if (out.empty() || out.back() != ' ') {
      out += ' ';
    }
  }
  return out;
}

/// Where two texts part, with what stands around.
std::string parting(const std::string& a, const std::string& b) {
  std::size_t at = 0;
  while (at < a.size() && at < b.size() && a[at] == b[at]) {
    ++at;
  }
  const std::size_t from = at < 150 ? 0 : at - 150;
  return "  " + a.substr(from, 300) + "\nbut\n  " + b.substr(from, 300);
}

/// Equal but for numbers that differ by one of their last digit, such as 11 and 12 of 11.5.
bool is_shown_alike(const std::string& a, const std::string& b) {
  const auto number_at = [](const std::string& text, std::size_t& at) {
    const std::size_t from = at;
    while (at < text.size() && (std::isdigit(static_cast<unsigned char>(text[at])) != 0 ||
                                (text[at] == '.' && at + 1 < text.size() &&
                                 std::isdigit(static_cast<unsigned char>(text[at + 1])) != 0))) {
      ++at;
    }
    return text.substr(from, at - from);
  };
  const auto last_digit = [](const std::string& number) {
    const std::size_t point = number.find('.');
    if (point != std::string::npos) {
      return std::pow(10.0, -static_cast<double>(number.size() - point - 1));
    }
    const std::size_t last = number.find_last_not_of('0');
    return last == std::string::npos
               ? 1.0
               : std::pow(10.0, static_cast<double>(number.size() - last - 1));
  };
  std::size_t i = 0;
  std::size_t j = 0;
  while (i < a.size() && j < b.size()) {
    const std::string one = number_at(a, i);
    const std::string other = number_at(b, j);
    if (one.empty() != other.empty()) {
      return false;
    }
    if (!one.empty()) {
      const double apart = std::abs(std::stod(one) - std::stod(other));
      if (apart > 1.01 * std::min(last_digit(one), last_digit(other))) {
        return false;
      }
    } else if (a[i++] != b[j++]) {
      return false;
    }
  }
  return i == a.size() && j == b.size();
}

/// Empty: equal but for places and hashes, numbers within `tolerance`; else where they differ.
std::string difference(const Json& a, const Json& b, double tolerance, const std::string& path) {
  if (a.is_number() && b.is_number()) {
    const double x = a.get<double>();
    const double y = b.get<double>();
    return std::abs(x - y) <= tolerance * std::max(std::abs(x), std::abs(y)) ||
                   (tolerance > 0.0 && std::abs(x - y) <= 1e-12)
               ? ""
               : path + ": " + a.dump() + " but " + b.dump();
  }
  if (a.is_string() && b.is_string()) {
    const std::string one = masked(a.get<std::string>());
    const std::string other = masked(b.get<std::string>());
    return one == other || (tolerance > 0.0 && is_shown_alike(one, other))
               ? ""
               : path + ": " + a.dump() + " but " + b.dump();
  }
  if (a.type() != b.type() || a.size() != b.size()) {
    return path + ": " + a.dump().substr(0, 400) + " but " + b.dump().substr(0, 400);
  }
  std::size_t item = 0;
  for (auto one = a.begin(), other = b.begin(); a.is_structured() && one != a.end();
       ++one, ++other, ++item) {
    std::string name = std::to_string(item);
    if (a.is_object()) {
      name = one.key();
      if (name != other.key()) {
        return path + ": " + name + " but " + other.key();
      }
      // How the search for a crossing ended is no figure of the answer.
      const bool of_search =
          name.starts_with("bracket") || name.starts_with("residual") || name == "iterations";
      if (name == "line" || name == "column" || name == "sha256" ||
          (tolerance > 0.0 && of_search)) {
        continue;
      }
    }
    const std::string found = difference(*one, *other, tolerance, path + '/' + name);
    if (!found.empty()) {
      return found;
    }
  }
  return a.is_structured() || a == b ? "" : path + ": " + a.dump() + " but " + b.dump();
}

enum class Form { text, json, page };
struct Asked {
  Form form;
  std::vector<std::string> arguments;
  [[nodiscard]] bool goes_by_stock() const {
    return arguments.front() == "size" || arguments.front() == "parts" ||
           arguments.front() == "compare";
  }
};

/// What is asked of a layout, under each of its forms. `--units` since shown units follow the file.
std::vector<Asked> all_asked(const std::string& file, const std::string& other) {
  std::vector<Asked> all;
  const auto ask = [&](Form form, std::vector<std::string> words) {
    words.insert(words.end(), {"--units", "ip"});
    all.push_back({form, std::move(words)});
  };
  for (const char* command : {"check", "review", "size", "parts"}) {
    ask(Form::text, {command, file});
    ask(Form::json, {command, file, "--format", "json"});
  }
  ask(Form::text, {"check", file, "--verbose"});
  ask(Form::text, {"compare", file, other});
  ask(Form::json, {"compare", file, other, "--format", "json"});
  ask(Form::page, {"report", file, "-o", "-"});
  return all;
}

/// Without the finding that offers a size of stock, which goes by the file's own system.
Json without_offers(Json value) {
  if (value.is_array()) {
    std::erase_if(value.get_ref<Json::array_t&>(), [](const Json& one) {
      return one.is_object() && one.value("code", Json()) == "duct-undersized";
    });
  }
  if (value.is_structured()) {
    for (Json& one : value) {
      one = without_offers(std::move(one));
    }
  }
  return value;
}

struct Told {
  std::vector<Asked> asked;
  std::vector<Outcome> outcomes;
};

Told told_of(const Folder& folder, const std::string& text) {
  // No file is compared with itself, byte by byte.
  const std::string other = "# other\n" + Folder::contents(std::string(DUCTLEDGER_SOURCE_DIR) +
                                                           "/examples/gable-kitchen-up-through-"
                                                           "roof.yaml");
  Told told{all_asked(folder.write("layout.yaml", text), folder.write("other.yaml", other)), {}};
  for (const Asked& asked : told.asked) {
    told.outcomes.push_back(run(asked.arguments));
  }
  return told;
}

void expect_same(const Told& plain, const Told& other, OtherUnits units) {
  const double tolerance = units == OtherUnits::none ? 0.0 : 1e-9;
  for (std::size_t i = 0; i < plain.asked.size(); ++i) {
    const bool other_stock = units == OtherUnits::of_the_world;
    if (other_stock && (plain.asked[i].goes_by_stock() || plain.asked[i].form != Form::json)) {
      continue;
    }
    std::string call;
    for (const std::string& word : plain.asked[i].arguments) {
      call += word + ' ';
    }
    SCOPED_TRACE(call);
    const Outcome& a = plain.outcomes[i];
    const Outcome& b = other.outcomes[i];
    EXPECT_EQ(a.exit, b.exit) << b.err;
    if (plain.asked[i].form == Form::json && Json::accept(a.out) && Json::accept(b.out)) {
      const auto held = [&](const Outcome& of) {
        Json document = Json::parse(of.out);
        return other_stock ? without_offers(std::move(document)) : document;
      };
      EXPECT_EQ(difference(held(a), held(b), tolerance, ""), "");
      continue;
    }
    if (plain.asked[i].form == Form::page && tolerance > 0.0) {
      continue;  // it holds the document with all its digits; the text says what is shown
    }
    const auto held = [&](const Outcome& of) {
      const std::string text = masked(without_breaks(of.out));
      return tolerance > 0.0 ? without_residuals(text) : text;
    };
    const std::string one = held(a);
    const std::string two = held(b);
    EXPECT_TRUE(one == two || (tolerance > 0.0 && is_shown_alike(one, two))) << parting(one, two);
  }
}

yaml::Node tree_of(const std::string& text) {
  const auto tree = yaml::parse(std::make_shared<const base::SourceText>("layout.yaml", text));
  EXPECT_TRUE(tree);
  return tree ? tree->root : yaml::Node{};
}

std::vector<std::string> layouts() {
  std::vector<std::string> texts;
  const std::string root = std::string(DUCTLEDGER_SOURCE_DIR) + '/';
  for (const std::string& name : examples()) {
    texts.push_back(Folder::contents(root + name));
  }
  texts.push_back(Folder::contents(root + "examples/branches/two-bathrooms-and-utility-room.yaml"));
  return texts;
}

std::uint32_t rewritings(std::uint32_t usual) {
  const char* asked = std::getenv("DUCTLEDGER_REWRITINGS");
  return asked == nullptr ? usual : static_cast<std::uint32_t>(std::strtoul(asked, nullptr, 10));
}

void expect_meaning_kept(const std::string& text, std::uint32_t seed) {
  const Folder folder;
  const yaml::Node root = tree_of(text);
  const Told plain = told_of(folder, text);
  for (const OtherUnits units : {OtherUnits::none, OtherUnits::alike, OtherUnits::of_the_world}) {
    const std::string written = support::Rewriter(seed, {.units = units}).rewritten(root);
    SCOPED_TRACE("seed " + std::to_string(seed) + ", written as\n" + written);
    expect_same(plain, told_of(folder, written), units);
  }
}

TEST(Meaning, OfEveryExampleStaysHoweverItIsWritten) {
  const std::vector<std::string> all = layouts();
  for (std::uint32_t seed = 0; seed < rewritings(1); ++seed) {
    for (std::size_t i = 0; i < all.size() && !HasFailure(); ++i) {
      expect_meaning_kept(all[i], seed * 1000 + static_cast<std::uint32_t>(i));
    }
  }
}

/// Layouts that nobody meant, as long as they can be calculated.
TEST(Meaning, OfRandomLayoutsStaysHoweverTheyAreWritten) {
  const auto seeds = support::layouts_to_mutate();
  std::uint32_t looked_at = 0;
  for (std::uint32_t seed = 0; looked_at < 6 * rewritings(1) && seed < 1000 && !HasFailure();
       ++seed) {
    const std::string text = support::Mutator(2'000'000 + seed).mutant(seeds);
    const Folder folder;
    if (run({"check", folder.write("layout.yaml", text)}).exit != 2) {
      ++looked_at;
      expect_meaning_kept(text, seed);
    }
  }
  EXPECT_GT(looked_at, 0U);
}

}  // namespace
}  // namespace ductledger::test
