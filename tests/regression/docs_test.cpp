#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <memory>
#include <nlohmann/json.hpp>
#include <regex>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "document/branches.hpp"
#include "document/check.hpp"
#include "findings/finding.hpp"
#include "fitting/catalogue.hpp"
#include "fitting/entry.hpp"
#include "fitting/materials.hpp"
#include "layout/layout.hpp"
#include "study/branches.hpp"
#include "study/check.hpp"

// The pages in docs/ against the code they describe: what one names, the other must know.
namespace ductledger {
namespace {

namespace fs = std::filesystem;

std::string contents(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  EXPECT_TRUE(in) << path;
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

fs::path project(const std::string& path) { return fs::path(DUCTLEDGER_SOURCE_DIR) / path; }

std::string docs_page(const std::string& name) { return contents(project("docs/" + name)); }

bool lists_row(const std::string& text, const std::string& key) {
  return text.find("\n| `" + key + "`") != std::string::npos ||
         text.find("\n| `" + key + " ") != std::string::npos;
}

std::vector<fs::path> files_below(const fs::path& folder, const std::string& extension) {
  std::vector<fs::path> files;
  for (const auto& entry : fs::recursive_directory_iterator(folder)) {
    if (entry.path().extension() == extension) {
      files.push_back(entry.path());
    }
  }
  return files;
}

/// `huebscher-1948 rectangular; heyt-diaz-1975 flat oval`: the first word, and all words that are
/// keys by their form.
std::set<std::string> keys_of_tag(const std::string& tag) {
  std::set<std::string> keys;
  std::istringstream words(tag);
  std::string first;
  words >> first;
  first.erase(first.find_last_not_of(",;") + 1);
  keys.insert(first);
  static const std::regex dated("[a-z]+(-[a-z]+)*-(19|20)[0-9]{2}(?![-a-z0-9])");
  for (std::sregex_iterator it(tag.begin(), tag.end(), dated), end; it != end; ++it) {
    keys.insert(it->str());
  }
  static const std::regex after_mark("[;:] *([a-z0-9]+(-[a-z0-9]+)+)");
  for (std::sregex_iterator it(tag.begin(), tag.end(), after_mark), end; it != end; ++it) {
    keys.insert((*it)[1].str());
  }
  return keys;
}

std::vector<std::string> yaml_blocks(const std::string& text) {
  std::vector<std::string> blocks;
  const std::string open = "```yaml\n";
  for (std::size_t at = text.find(open); at != std::string::npos; at = text.find(open, at)) {
    at += open.size();
    const std::size_t end = text.find("```", at);
    blocks.push_back(text.substr(at, end - at));
    at = end;
  }
  return blocks;
}

std::string told(const base::Diagnostics& diagnostics) {
  std::string text;
  for (const base::Diagnostic& one : diagnostics) {
    text += one.rule + ": " + one.message + '\n';
  }
  return text;
}

TEST(Docs, every_finding_is_listed) {
  const std::string text = docs_page("findings.md");
  for (const findings::Check& check : findings::checks()) {
    EXPECT_TRUE(lists_row(text, check.code)) << check.code << " is missing in docs/findings.md";
  }
}

TEST(Docs, every_listed_finding_is_known) {
  std::set<std::string> codes;
  for (const findings::Check& check : findings::checks()) {
    codes.insert(check.code);
  }
  const std::string text = docs_page("findings.md");
  static const std::regex row("\n\\| `([a-z-]+)` \\|");
  std::size_t rows = 0;
  for (std::sregex_iterator it(text.begin(), text.end(), row), end; it != end; ++it) {
    EXPECT_EQ(codes.count((*it)[1].str()), 1U) << (*it)[1].str();
    ++rows;
  }
  EXPECT_EQ(rows, codes.size());
}

TEST(Docs, every_source_named_in_a_header_is_listed) {
  const std::string text = docs_page("sources.md");
  static const std::regex tag("@source +([^\n]*)");
  std::size_t tags = 0;
  for (const fs::path& path : files_below(project("lib"), ".hpp")) {
    const std::string header = contents(path);
    for (std::sregex_iterator it(header.begin(), header.end(), tag), end; it != end; ++it) {
      ++tags;
      for (const std::string& key : keys_of_tag((*it)[1].str())) {
        EXPECT_TRUE(lists_row(text, key)) << key << " of " << path << " is missing";
      }
    }
  }
  EXPECT_GT(tags, 20U);
}

TEST(Docs, every_source_of_the_catalogue_is_listed) {
  const std::string text = docs_page("sources.md");
  for (const fitting::Source& source : fitting::Catalogue::built_in().sources()) {
    EXPECT_TRUE(lists_row(text, source.key)) << source.key;
  }
}

TEST(Docs, files_named_in_the_method_exist) {
  const std::string text = docs_page("method.md");
  static const std::regex file("`((lib|fittings|docs)/[a-z0-9_/.]+)`");
  for (std::sregex_iterator it(text.begin(), text.end(), file), end; it != end; ++it) {
    EXPECT_TRUE(fs::exists(project((*it)[1].str()))) << (*it)[1].str();
  }
}

/// Sections of a page by their heading.
std::vector<std::string> sections_of_page(const std::string& text) {
  std::vector<std::string> sections;
  for (std::size_t at = text.find("\n## "); at != std::string::npos;) {
    const std::size_t next = text.find("\n## ", at + 1);
    sections.push_back(text.substr(at, next - at));
    at = next;
  }
  return sections;
}

// Every equation stands in a section that names the file which implements it and its source.
TEST(Docs, every_equation_of_the_method_names_its_file_and_source) {
  static const std::regex file("`lib/[a-z0-9_/]+\\.(cpp|hpp)`");
  const std::string listed = docs_page("sources.md");
  std::set<std::string> keys;
  static const std::regex row("\n\\| `([a-z0-9-]+)");
  for (std::sregex_iterator it(listed.begin(), listed.end(), row), end; it != end; ++it) {
    keys.insert((*it)[1].str());
  }
  ASSERT_GT(keys.size(), 20U);
  std::size_t with_equations = 0;
  for (const std::string& section : sections_of_page(docs_page("method.md"))) {
    if (section.find("\n    ") == std::string::npos && section.find("= ") == std::string::npos) {
      continue;
    }
    ++with_equations;
    const std::string name = section.substr(1, section.find('\n', 1) - 1);
    EXPECT_TRUE(std::regex_search(section, file)) << name << " names no file";
    bool sourced = false;
    for (const std::string& key : keys) {
      sourced = sourced || section.find(key) != std::string::npos;
    }
    for (const char* word : {"textbook", "definition", "assumed", "this project", "derived"}) {
      sourced = sourced || section.find(word) != std::string::npos;
    }
    EXPECT_TRUE(sourced) << name << " names no source";
  }
  EXPECT_GE(with_equations, 10U);
}

TEST(Docs, layouts_shown_can_be_calculated) {
  const fitting::Catalogue& catalogue = fitting::Catalogue::built_in();
  const std::vector<std::string> blocks = yaml_blocks(docs_page("layout-format.md"));
  ASSERT_GE(blocks.size(), 2U);
  for (const std::string& block : blocks) {
    const auto text = std::make_shared<const base::SourceText>("layout-format.md", block);
    if (block.rfind("readings:", 0) == 0) {
      const auto readings = layout::read_readings(text, layout::Layout{});
      EXPECT_TRUE(readings) << told(readings.error());
      continue;
    }
    auto layout = layout::read(text, catalogue);
    ASSERT_TRUE(layout) << told(layout.error());
    const auto result = study::check(*std::move(layout), catalogue);
    EXPECT_TRUE(result) << told(result.error());
  }
}

// The worked example of a fitting of one's own: its two blocks together, as a user would have them.
TEST(Docs, the_own_fitting_can_be_used) {
  const std::vector<std::string> blocks = yaml_blocks(docs_page("own-fitting.md"));
  ASSERT_EQ(blocks.size(), 2U);
  fitting::Catalogue catalogue = fitting::Catalogue::built_in();
  const auto faults =
      catalogue.add(std::make_shared<const base::SourceText>("my-caps.yaml", blocks[0]));
  ASSERT_TRUE(faults.empty()) << told(faults);
  const auto& drop = *catalogue.entry("cap/my-wall-cap")->standard()->measured;
  EXPECT_EQ(drop.residual.size(), 4U);
  EXPECT_LT(drop.residual_spread, 0.05);
  EXPECT_FALSE(drop.trend);
  auto layout =
      layout::read(std::make_shared<const base::SourceText>("own.yaml", blocks[1]), catalogue);
  ASSERT_TRUE(layout) << told(layout.error());
  EXPECT_EQ(layout->catalogue, "my-caps.yaml");
  const auto result = study::check(*std::move(layout), catalogue);
  ASSERT_TRUE(result) << told(result.error());
  EXPECT_EQ(result->catalogue_files.size(), 1U);
}

TEST(Docs, fittings_shown_can_be_read) {
  const std::vector<std::string> blocks = yaml_blocks(docs_page("catalogue-format.md"));
  ASSERT_FALSE(blocks.empty());
  for (const std::string& block : blocks) {
    fitting::Catalogue catalogue = fitting::Catalogue::built_in();
    const auto faults =
        catalogue.add(std::make_shared<const base::SourceText>("catalogue-format.md", block));
    EXPECT_TRUE(faults.empty()) << told(faults);
  }
}

TEST(Docs, every_type_and_material_is_listed) {
  const std::string text = docs_page("layout-format.md");
  for (const fitting::Kind kind : {fitting::Kind::elbow,
                                   fitting::Kind::transition,
                                   fitting::Kind::damper,
                                   fitting::Kind::cap,
                                   fitting::Kind::screen,
                                   fitting::Kind::filter,
                                   fitting::Kind::entry}) {
    for (const std::string& type : fitting::Catalogue::built_in().types(kind)) {
      EXPECT_NE(text.find(type), std::string::npos) << fitting::word(kind) << ' ' << type;
    }
  }
  for (const std::string& material : fitting::material_names()) {
    EXPECT_NE(text.find(material), std::string::npos) << material;
  }
}

/// Names of keys, but for the named values of findings.
void collect_keys(const nlohmann::ordered_json& node, std::set<std::string>& keys) {
  if (node.is_array()) {
    for (const auto& item : node) {
      collect_keys(item, keys);
    }
  }
  if (!node.is_object()) {
    return;
  }
  for (const auto& [key, value] : node.items()) {
    keys.insert(key);
    if (key != "observed" && key != "limit") {
      collect_keys(value, keys);
    }
  }
}

TEST(Docs, every_key_of_a_result_is_explained) {
  const fitting::Catalogue& catalogue = fitting::Catalogue::built_in();
  std::set<std::string> keys;
  for (const fs::path& path : files_below(project("examples"), ".yaml")) {
    auto layout = layout::read(
        std::make_shared<const base::SourceText>(path.string(), contents(path)), catalogue);
    ASSERT_TRUE(layout) << path;
    if (!layout->branches.empty()) {
      const auto network = study::check_network(*std::move(layout), catalogue);
      ASSERT_TRUE(network) << path;
      collect_keys(document::network_document(*network, {"0", "fail"}), keys);
      continue;
    }
    const auto result = study::check(*std::move(layout), catalogue, {.speed = {}, .advise = true});
    ASSERT_TRUE(result) << path;
    collect_keys(document::check_document(*result, {"0", "fail"}), keys);
  }
  auto broken =
      layout::read(std::make_shared<const base::SourceText>("b.yaml", "layout: 2\n"), catalogue);
  ASSERT_FALSE(broken);
  collect_keys(document::error_document(broken.error(), {"0", "fail"}), keys);
  EXPECT_GT(keys.size(), 60U);
  const std::string text = docs_page("result-format.md");
  for (const std::string& key : keys) {
    const std::regex word("[`.]" + key + "[`.]");
    EXPECT_TRUE(std::regex_search(text, word)) << key;
  }
}

}  // namespace
}  // namespace ductledger
