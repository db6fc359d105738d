#include "html/ledger.hpp"

#include <algorithm>
#include <array>

#include "duct/section.hpp"
#include "words/words.hpp"

namespace ductledger::html {
namespace {

using units::Dimension;

/// Something that a mark behind a piece says of it.
struct Mark {
  const char* mark;
  bool (*applies)(const solve::LedgerRow& row);
  const char* meaning;
};
constexpr std::array kMarks{
    Mark{"*",
         [](const solve::LedgerRow& row) { return row.entry == "stated"; },
         "stated in the layout, not from the catalogue"},
    Mark{"+",
         [](const solve::LedgerRow& row) { return row.type_defaulted; },
         "no type stated: the usual one was taken"},
    Mark{"?",
         [](const solve::LedgerRow& row) { return words::is_assumed(row); },
         "assumed: no published figure for this piece, so its uncertainty is wide; the "
         "manufacturer's narrows it"}};

std::string marked_name(const solve::LedgerRow& row) {
  const int shown = row.shown_number().value_or(0);
  std::string name = shown > 0 ? fmt::format("{} ", shown) : "";
  name += row.piece + (row.type.empty() ? "" : " " + row.type);
  for (const Mark& one : kMarks) {
    name += one.applies(row) ? fmt::format("\u00a0{}", one.mark) : "";
  }
  return name;
}

/// Of a row that is no piece only what it does to the pressures is shown.
void ledger_row(HtmlPage& page, const LedgerLine& line) {
  const solve::LedgerRow& row = line.row;
  const bool piece = row.number >= 0;
  const auto at = [&](const char* key) { return fmt::format("{}/{}", line.at, key); };
  const auto number =
      [&](const std::string& label, const char* key, Dimension dimension, bool there = true) {
        page.number_cell(
            label, there ? page.figure(at(key), dimension, HtmlPage::With::number_alone) : "");
      };
  const std::string pressure = ", " + page.unit(Dimension::pressure);
  page.row_head(escaped(marked_name(row)));
  if (line.of) {
    page.cell("of", piece ? escaped(*line.of) : "");
  }
  page.cell("section",
            piece && row.sections ? escaped(duct::to_text(*row.sections, page.system())) : "");
  page.number_cell("length",
                   row.length_m > 0.0 ? page.figure(at("length_m"), Dimension::length) : "");
  number(page.unit(Dimension::velocity), "velocity_m_s", Dimension::velocity, piece);
  if (!line.of) {
    number("VP" + pressure, "velocity_pressure_pa", Dimension::pressure, piece);
  }
  page.number_cell(
      "C or fL/D",
      piece ? page.tagged(at("coefficient"), fmt::format("{:.2f}", row.coefficient)) : "");
  number("loss" + pressure, "loss_pa", Dimension::pressure);
  page.number_cell("share", piece ? page.figure(at("share"), Dimension::ratio) : "");
  number("total" + pressure, "total_pressure_after_pa", Dimension::pressure);
  number("static" + pressure, "static_pressure_after_pa", Dimension::pressure);
}

}  // namespace

void ledger_table(HtmlPage& page,
                  const std::string& caption,
                  std::span<const LedgerLine> lines,
                  const solve::LedgerRow* most) {
  const std::string pressure = ", " + page.unit(Dimension::pressure);
  const bool of_several = !lines.empty() && lines.front().of;
  std::vector<HtmlPage::Heading> columns{{"piece", false}};
  if (of_several) {
    columns.push_back({"of", false});
  }
  columns.insert(columns.end(),
                 {{"section", false}, {"length", true}, {page.unit(Dimension::velocity), true}});
  if (!of_several) {
    columns.push_back({"VP" + pressure, true});
  }
  columns.insert(columns.end(),
                 {{"C or fL/D", true},
                  {"loss" + pressure, true},
                  {"share", true},
                  {"total" + pressure, true},
                  {"static" + pressure, true}});
  page.table_begin(caption, columns);
  for (const LedgerLine& line : lines) {
    page.row_begin(&line.row == most ? "most" : line.row.number >= 0 ? "" : "aside");
    ledger_row(page, line);
    page.row_end();
  }
  page.table_end();
}

void ledger_remarks(HtmlPage& page, std::span<const LedgerLine> lines) {
  for (const Mark& one : kMarks) {
    if (std::ranges::any_of(lines, [&](const LedgerLine& line) { return one.applies(line.row); })) {
      page.line(fmt::format("<p class=\"remark\">{} {}</p>", one.mark, one.meaning));
    }
  }
}

}  // namespace ductledger::html
