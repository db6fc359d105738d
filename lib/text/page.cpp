#include "text/page.hpp"

#include <fmt/format.h>

#include <utility>

#include "base/text.hpp"

namespace ductledger::text {
namespace {

Ink ink_of(findings::Level level) {
  switch (level) {
    case findings::Level::fail:
      return Ink::red;
    case findings::Level::warn:
      return Ink::yellow;
    case findings::Level::note:
      break;
  }
  return Ink::cyan;
}

}  // namespace

std::string Page::ink(std::string_view text, Ink ink) const {
  if (options_.paint == base::Paint::plain) {
    return std::string(text);
  }
  const char* code = "";
  switch (ink) {
    case Ink::bold:
      code = "1";
      break;
    case Ink::dim:
      code = "2";
      break;
    case Ink::red:
      code = "1;31";
      break;
    case Ink::yellow:
      code = "1;33";
      break;
    case Ink::cyan:
      code = "1;36";
      break;
    case Ink::green:
      code = "1;32";
      break;
  }
  return fmt::format("\x1b[{}m{}\x1b[0m", code, text);
}

void Page::title(const Title& title) {
  const std::string what = base::escaped(title.title);
  const std::string file = base::escaped(title.file);
  const std::size_t used = base::character_count(what) + base::character_count(file);
  if (what.empty() || what == file) {
    out_ += ink(file, Ink::bold) + "\n\n";
  } else if (used + 2 <= width()) {
    out_ += ink(what, Ink::bold) + std::string(width() - used, ' ') + file + "\n\n";
  } else {
    out_ += ink(wrapped(what, {0, 0, width()}), Ink::bold) + '\n' + file + "\n\n";
  }
}

void Page::paragraph(std::string_view text) {
  out_ += std::string(kIndent, ' ') + wrapped(text, {kIndent, kIndent, width()}) + '\n';
}

void Page::strong_paragraph(std::string_view text) {
  if (!text.empty()) {
    out_ += std::string(kIndent, ' ') + ink(wrapped(text, {kIndent, kIndent, width()}), Ink::bold) +
            '\n';
  }
}

void Page::heading(std::string_view text) {
  out_ += '\n' + std::string(kIndent, ' ') +
          ink(wrapped(text, {kIndent, kIndent, width()}), Ink::bold) + '\n';
}

void Page::bullet(std::string_view text) {
  out_ +=
      std::string(kIndent, ' ') + "- " + wrapped(text, {kIndent + 2, kIndent + 2, width()}) + '\n';
}

void Page::line(std::string_view text) {
  out_ += text;
  out_ += '\n';
}

void Page::marked(const Marked& mark, std::string_view text) {
  const std::size_t column = mark.text_column;
  const std::size_t room = column > kIndent + 2 ? column - kIndent - 2 : 0;
  const std::string word = fmt::format("{:<{}}", base::escaped(mark.word), room);
  out_ += std::string(kIndent, ' ') + ink(word, mark.ink) + "  " +
          wrapped(text, {column, column, width()}) + '\n';
}

void Page::under(std::string_view text, std::string_view lead) {
  const std::size_t used = kUnder + base::character_count(lead);
  out_ +=
      std::string(kUnder, ' ') + std::string(lead) + wrapped(text, {used, kUnder, width()}) + '\n';
}

void Page::under_dim(std::string_view text) {
  out_ += std::string(kUnder, ' ') + ink(wrapped(text, {kUnder, kUnder, width()}), Ink::dim) + '\n';
}

void Page::findings(const std::vector<findings::Finding>& findings) {
  if (findings.empty()) {
    return;
  }
  blank();
  const bool verbose = options_.detail == Detail::verbose;
  std::vector<const findings::Finding*> listed;
  for (const findings::Finding& finding : findings) {
    if (!verbose && !finding.items.empty()) {
      listed.push_back(&finding);
      continue;
    }
    if (verbose && &finding != &findings.front()) {
      blank();
    }
    finding_lines(finding);
  }
  if (!listed.empty()) {
    lists(listed);
  }
}

void Page::finding_lines(const findings::Finding& finding) {
  std::string where = finding.span.line > 0
                          ? fmt::format("line {}, {}", finding.span.line, finding.code)
                          : finding.code;
  const bool verbose = options_.detail == Detail::verbose;
  const std::string headline = finding.message.text(options_.system);
  marked({.word = word(finding.level), .ink = ink_of(finding.level)},
         verbose ? headline : fmt::format("{} [{}]", headline, where));
  if (verbose && !finding.why.empty()) {
    under(finding.why.text(options_.system));
  }
  if (options_.detail != Detail::brief && !finding.remedy.empty()) {
    under(finding.remedy.text(options_.system), "Remedy: ");
  }
  if (verbose) {
    where += finding.source.empty() ? "" : "; " + finding.source;
    under_dim("[" + where + "]");
  }
}

/// Findings that are lists, on one line: whole where they fit, else by their number.
void Page::lists(const std::vector<const findings::Finding*>& findings) {
  std::string whole;
  std::string counts;
  for (const findings::Finding* finding : findings) {
    whole += (whole.empty() ? "" : "; ") + finding->message.text(options_.system);
    const std::string text = finding->message.text(options_.system);
    counts += fmt::format("{}{}: {}",
                          counts.empty() ? "" : "; ",
                          text.substr(0, text.find(": ")),
                          finding->items.size());
  }
  const std::size_t room = width() - kUnder;
  const bool fits = base::character_count(whole) <= room;
  marked({.word = word(findings::Level::note), .ink = ink_of(findings::Level::note)},
         fits ? whole : counts + " (listed by --verbose)");
}

void Page::safety(const study::CheckResult& check) {
  if (options_.detail == Detail::verbose) {
    cautions(check.cautions);
    return;
  }
  blank();
  const bool outdoors = check.layout.run.discharge == layout::Discharge::outdoors;
  paragraph(std::string(outdoors ? "Carbon monoxide: exhaust can backdraft flues. " : "") +
            "Local code and authority decide.");
  if (check.layout.house) {
    paragraph("House pressures are screening figures: a qualified person's spillage test decides.");
  }
  paragraph("Power off and locked before any work; a qualified, licensed installer.");
}

void Page::cautions(const std::vector<std::string>& cautions) {
  if (cautions.empty()) {
    return;
  }
  heading("Before and after work");
  for (const std::string& caution : cautions) {
    bullet(caution);
  }
}

std::vector<std::string> Page::ledger_cells(const solve::LedgerRow& row, std::string label) const {
  const auto number = row.shown_number();
  const bool is_piece = row.number >= 0;
  return {number ? fmt::format("{}", *number) : "",
          std::move(label),
          row.length_m > 0.0 ? show(row.length_m, units::Dimension::length) : "",
          is_piece ? bare(row.velocity_m_s, units::Dimension::velocity) : "",
          is_piece ? fmt::format("{:.2f}", row.coefficient) : "",
          bare(row.loss_pa, units::Dimension::pressure),
          is_piece ? show(row.share, units::Dimension::ratio) : "",
          bare(row.total_pressure_after_pa, units::Dimension::pressure),
          bare(row.static_pressure_after_pa, units::Dimension::pressure)};
}

Table Page::ledger_table() const {
  const std::string pressure = unit(units::Dimension::pressure);
  return Table({{"#", "", Align::right},
                {"piece", "", Align::left},
                {"length", "", Align::right},
                {unit(units::Dimension::velocity), "", Align::right},
                {"C or", "fL/D", Align::right, 1},
                {"loss", pressure, Align::right},
                {"share", "", Align::right},
                {"total", pressure, Align::right, 2},
                {"static", pressure, Align::right}});
}

}  // namespace ductledger::text
