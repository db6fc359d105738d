#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <string>

#include "document/fittings.hpp"
#include "fitting/entry.hpp"
#include "picture/fitting.hpp"
#include "study/fitting_sheet.hpp"
#include "text/fittings.hpp"
#include "text/table.hpp"
#include "words/fittings.hpp"

// docs/catalogue.md and its pictures are made from the data; this test says when they are stale.
// With DUCTLEDGER_ACCEPT set it writes them.
namespace ductledger {
namespace {

namespace fs = std::filesystem;
using fitting::Catalogue;
using fitting::Entry;
using units::System;

const fs::path kDocs = fs::path(DUCTLEDGER_SOURCE_DIR) / "docs";

std::string picture_name(const Entry& entry) {
  std::string name = entry.key();
  std::replace(name.begin(), name.end(), '/', '-');
  return name + ".svg";
}

std::string cell(std::string text) {
  for (std::size_t at = text.find('|'); at != std::string::npos; at = text.find('|', at + 2)) {
    text.replace(at, 1, "\\|");
  }
  std::replace(text.begin(), text.end(), '\n', ' ');
  return text;
}

study::FittingSheet sheet_of(const Entry& entry) {
  return study::fitting_sheet(Catalogue::built_in(),
                              {.entry = &entry, .piece = study::usual_piece(entry)});
}

std::string section(const Entry& entry) {
  const study::FittingSheet sheet = sheet_of(entry);
  std::string out =
      fmt::format("\n## {}\n\n{}\n",
                  entry.key(),
                  text::wrapped(fmt::format("{}: {}.", entry.title, entry.use), {0, 0, 118}));
  if (!sheet.values.empty() && sheet.values.front().coefficient) {
    const auto& c = *sheet.values.front().coefficient;
    out += '\n' +
           text::wrapped(fmt::format("At {}: C {:.3g}, one standard uncertainty {:.0f} % ({}).",
                                     words::sections_of(sheet.piece, System::ip),
                                     c.value * sheet.values.front().reynolds_factor,
                                     100.0 * c.standard_uncertainty,
                                     c.uncertainty_basis),
                         {0, 0, 118}) +
           '\n';
  }
  for (const study::FittingQuantity& quantity : sheet.quantities) {
    std::string name = quantity.name;
    std::replace(name.begin(), name.end(), '_', ' ');
    out += fmt::format("\nThe {} at the values drawn below is {:.3g}.\n", name, quantity.value);
  }
  if (!sheet.variables.empty()) {
    out += "\n| parameter | covered | default | meaning |\n|---|---|---|---|\n";
    for (const study::FittingVariable& v : sheet.variables) {
      out += fmt::format(
          "| `{}` | {} to {} | {} | {} |\n",
          v.name,
          words::variable_text(v.lowest, v.dimension, System::ip),
          words::variable_text(v.highest, v.dimension, System::ip),
          v.default_value ? words::variable_text(*v.default_value, v.dimension, System::ip) : "-",
          cell(v.meaning));
    }
  }
  out += "\n| data set | role | source | status | where |\n|---|---|---|---|---|\n";
  for (const fitting::DataSet& set : entry.data) {
    out += fmt::format("| `{}` | {} | {} | {} | {} |\n",
                       set.key,
                       fitting::word(set.role),
                       set.source,
                       fitting::word(set.status),
                       cell(set.location.empty() ? set.rule : set.location));
  }
  if (!entry.spread.empty()) {
    out +=
        '\n' +
        text::wrapped("Why the uncertainty is less than the spread: " + entry.spread, {0, 0, 118}) +
        '\n';
  }
  for (const std::string& remark : entry.remarks) {
    out += "\n- " + text::wrapped(remark, {2, 2, 118}) + '\n';
  }
  out += fmt::format("\n![{}](catalogue/{})\n", entry.title, picture_name(entry));
  return out;
}

std::string page() {
  std::string out =
      "# The catalogue\n\nMade from `fittings/`; `DUCTLEDGER_ACCEPT=1` with the regression tests "
      "writes it again. Sources are keys of\n[sources.md](sources.md). `ductledger fittings show "
      "KIND/TYPE` says the same at a section and airflow of your own.\n";
  for (const Entry* entry : Catalogue::built_in().entries()) {
    out += section(*entry);
  }
  out += "\n# Tables used by several fittings\n";
  for (const fitting::SupportTable* table : Catalogue::built_in().tables()) {
    out += fmt::format("\n## {}\n\n{}\n\n",
                       table->name,
                       text::wrapped(table->title + ". " + table->use, {0, 0, 118}));
    out += "| data set | source | status | where |\n|---|---|---|---|\n";
    for (const fitting::DataSet& set : table->data) {
      out += fmt::format("| `{}` | {} | {} | {} |\n",
                         set.key,
                         set.source,
                         fitting::word(set.status),
                         cell(set.location.empty() ? set.rule : set.location));
    }
  }
  return out;
}

std::map<std::string, std::string> made() {
  std::map<std::string, std::string> files{{"catalogue.md", page()}};
  for (const Entry* entry : Catalogue::built_in().entries()) {
    files["catalogue/" + picture_name(*entry)] =
        picture::plot_svg(picture::fitting_plot(sheet_of(*entry)));
  }
  return files;
}

TEST(CataloguePage, IsWhatTheDataSay) {
  const auto files = made();
  if (std::getenv("DUCTLEDGER_ACCEPT") != nullptr) {
    fs::remove_all(kDocs / "catalogue");
    fs::create_directories(kDocs / "catalogue");
    for (const auto& [name, text] : files) {
      std::ofstream(kDocs / name, std::ios::binary) << text;
    }
  }
  for (const auto& [name, text] : files) {
    std::ifstream file(kDocs / name, std::ios::binary);
    const std::string held{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
    EXPECT_TRUE(held == text) << "docs/" << name
                              << " is stale: run the regression tests with DUCTLEDGER_ACCEPT=1";
  }
  std::size_t pictures = 0;
  for (const auto& entry : fs::directory_iterator(kDocs / "catalogue")) {
    ++pictures;
    EXPECT_EQ(files.count("catalogue/" + entry.path().filename().string()), 1U) << entry.path();
  }
  EXPECT_EQ(pictures + 1, files.size());
}

}  // namespace
}  // namespace ductledger
