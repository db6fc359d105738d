#include "text/parts.hpp"

#include <fmt/format.h>

#include <cmath>
#include <utility>

#include "base/text.hpp"
#include "text/page.hpp"
#include "text/verdict.hpp"
#include "words/parts.hpp"

namespace ductledger::text {
namespace {

using units::Dimension;

constexpr std::size_t kStepColumn = 8;

class PartsText {
 public:
  PartsText(const build::PartsResult& result,
            const study::CheckResult& calculated,
            const TextOptions& options)
      : result_(result), calculated_(calculated), page_(options) {}

  std::string text() {
    page_.title({result_.layout.title, result_.layout.file});
    write_verdict_if_bad(page_, calculated_);
    summary();
    bill();
    if (page_.options().detail != Detail::brief) {
      cuts();
      joints();
      holes();
      others();
      steps();
      assumed();
    } else {
      others();
    }
    page_.cautions(result_.cautions);
    return page_.take();
  }

 private:
  [[nodiscard]] units::System system() const { return page_.options().system; }
  [[nodiscard]] std::string length(double length_m) const {
    return page_.show(length_m, Dimension::length);
  }
  [[nodiscard]] std::string area(double area_m2) const {
    return system() == units::System::ip
               ? fmt::format("{:.1f} ft2", area_m2 / units::kSquareFoot_m2)
               : fmt::format("{:.2f} m2", area_m2);
  }

  void summary() {
    if (!result_.branches.empty()) {
      const build::PartsResult::InAll& all = result_.in_all;
      const std::string mass =
          all.mass_kg > 0.0 ? ", about " + words::mass_text(all.mass_kg, system()) : "";
      page_.strong_paragraph(
          fmt::format("{}, {}{}: the run and {}.",
                      base::counted(all.part_count, "part"),
                      base::counted(all.joint_count, "joint"),
                      mass,
                      base::counted(result_.branches.size(), "branch", "branches")));
      page_.paragraph("The run, then each branch:");
    }
    std::string text = fmt::format("{}, {}",
                                   base::counted(result_.part_count, "part"),
                                   base::counted(result_.joints.size(), "joint"));
    if (result_.longest_stick_m > 0.0) {
      text += ", longest stick " + length(result_.longest_stick_m);
    }
    if (result_.mass_kg > 0.0) {
      text += ", about " + words::mass_text(result_.mass_kg, system());
    }
    page_.strong_paragraph(text + ".");
    double bought_m = 0.0;
    double offcut_m = 0.0;
    for (const build::DuctCuts& cuts : result_.cuts) {
      bought_m += cuts.list.bought_m;
      offcut_m += cuts.list.offcut_m;
    }
    if (bought_m > 0.0) {
      page_.paragraph(fmt::format("{} of duct bought, {} left over; {} of sheet in the run.",
                                  length(bought_m),
                                  length(offcut_m),
                                  area(result_.duct_surface_m2)));
    }
  }

  void bill() {
    page_.heading("To buy");
    Table table({{"quantity", "", Align::right},
                 {"item", "", Align::left},
                 {"section", "", Align::left},
                 {"mass", "", Align::right, 2},
                 {"pieces", "", Align::left, 1}});
    std::vector<std::string> notes;
    for (const build::PartLine& line : result_.bill) {
      std::string item = words::item_text(line, system());
      if (line.group == "duct" && !line.material.empty()) {
        item += " " + line.material;
      }
      if (!line.note.empty()) {
        notes.push_back(fmt::format("{}: {}", line.item, line.note.text(system())));
        item += fmt::format(" [{}]", notes.size());
      }
      table.row({words::quantity_text(line, system()),
                 item,
                 words::section_text(line, system()),
                 line.mass_kg ? words::mass_text(*line.mass_kg, system()) : "",
                 words::pieces_text(line.pieces)});
    }
    page_.table(table);
    for (std::size_t i = 0; i < notes.size(); ++i) {
      page_.marked({.word = fmt::format("[{}]", i + 1), .ink = Ink::dim, .text_column = 7},
                   notes[i]);
    }
  }

  void cuts() {
    for (const build::DuctCuts& cuts : result_.cuts) {
      page_.heading(
          fmt::format("Cut list, {} {}", duct::to_text(cuts.section, system()), cuts.material));
      Table table({{"stick", "", Align::right},
                   {"cuts, ends included (piece)", "", Align::left},
                   {"offcut", "", Align::right}});
      for (const build::Stick& stick : cuts.list.sticks) {
        std::vector<std::string> words;
        for (const build::Cut& cut : stick.cuts) {
          words.push_back(fmt::format(
              "{} ({})", length(cut.cut_m), words::pieces_text(cuts.straights[cut.demand].pieces)));
        }
        table.row({length(stick.stock_m),
                   base::joined(words, "+"),
                   stick.offcut_m > 0.0 ? length(stick.offcut_m) : "none"});
      }
      page_.table(table);
      page_.paragraph(cuts.list.proven
                          ? "No cut list takes fewer sticks, nor as many of less length."
                          : "The search was ended early: a better cut list may exist.");
    }
  }

  void joints() {
    if (result_.joints.empty()) {
      return;
    }
    page_.heading("Joints");
    page_.paragraph(fmt::format(
        "Inserted ends point {}. Each laps {}.", result_.male_end, length(result_.overlap_m)));
    Table table({{"#", "", Align::right},
                 {"from", "", Align::left},
                 {"into", "", Align::left},
                 {"section", "", Align::left},
                 {"screws", "", Align::right},
                 {"", "", Align::left, 1}});
    for (const build::Joint& joint : result_.joints) {
      table.row({fmt::format("{}", joint.number),
                 joint.before,
                 joint.after,
                 duct::to_text(joint.section, system()),
                 fmt::format("{}", joint.fasteners),
                 joint.rising ? "rises" : ""});
    }
    page_.table(table);
  }

  /// What the makeup duct and each branch take; their pieces are numbered by their own lists.
  void others() {
    for (const build::PartsResult& own : result_.makeup) {
      other(own, "Makeup air duct", "house: makeup: run:");
      for (const build::PartsResult& branch : own.branches) {
        const std::string name = base::escaped(branch.branch);
        other(branch, "Makeup branch " + name, "house: makeup: branches: " + name + ":");
      }
    }
    for (const build::PartsResult& own : result_.branches) {
      const std::string name = base::escaped(own.branch);
      other(own, "Branch " + name, "branches: " + name + ":");
    }
  }

  void other(const build::PartsResult& own, const std::string& heading, const std::string& of) {
    page_.heading(heading);
    PartsText writer(own, calculated_, page_.options());
    const bool is_branch = !own.branch.empty();
    if (is_branch) {
      writer.summary();
    }
    writer.bill();
    if (page_.options().detail != Detail::brief) {
      writer.cuts();
      writer.joints();
      writer.holes();
    }
    std::string text = writer.page_.take();
    while (!text.empty() && text.back() == '\n') {
      text.pop_back();
    }
    page_.line(text);
    page_.paragraph("Piece numbers are those of `" + of + "`.");
  }

  void holes() {
    if (result_.holes.empty()) {
      return;
    }
    page_.heading("Rough-in holes");
    for (const build::Hole& hole : result_.holes) {
      std::string text =
          fmt::format("piece {}: {}", hole.piece, duct::to_text(hole.size, system()));
      if (hole.stretched_m) {
        text += fmt::format(", {} along the slant", length(*hole.stretched_m));
      }
      if (hole.centre) {
        text += "; center " +
                words::hole_place(*hole.centre, result_.duct, [&](const char*, double si) {
                  return length(std::abs(si));
                });
      }
      page_.marked({.word = hole.through, .text_column = 11}, text);
      for (const units::Message& note : hole.notes) {
        page_.marked({.word = "", .text_column = 11}, note.text(system()));
      }
    }
  }

  void steps() {
    page_.heading("Order of work");
    int number = 0;
    for (const build::Step& step : result_.steps) {
      page_.marked({.word = fmt::format("{:>2}", ++number), .text_column = 6},
                   step.what.text(system()));
      for (const units::Message& caution : step.cautions) {
        page_.marked({.word = "   !", .ink = Ink::yellow, .text_column = kStepColumn},
                     caution.text(system()));
      }
    }
  }

  void assumed() {
    if (result_.assumed.empty()) {
      return;
    }
    page_.heading("Assumptions");
    for (const units::Message& one : result_.assumed) {
      page_.bullet(one.text(system()));
    }
  }

  const build::PartsResult& result_;
  const study::CheckResult& calculated_;
  Page page_;
};

std::string quoted(const std::string& cell) {
  if (cell.find_first_of(",\"\n\r") == std::string::npos) {
    return cell;
  }
  std::string out = "\"";
  for (const char letter : cell) {
    out += letter == '"' ? "\"\"" : std::string(1, letter);
  }
  return out + "\"";
}

}  // namespace

std::string parts_text(const build::PartsResult& result,
                       const study::CheckResult& calculated,
                       const TextOptions& options) {
  return PartsText(result, calculated, options).text();
}

namespace {

/// @param of before the group of each row: empty, or the duct it is for
void add_rows(const build::PartsResult& result,
              units::System system,
              const std::string& of,
              std::string& out) {
  for (const build::PartLine& line : result.bill) {
    const std::string mass = line.mass_kg ? words::mass_text(*line.mass_kg, system) : "";
    const std::string cells[] = {of + line.group,
                                 words::quantity_text(line, system),
                                 words::item_text(line, system),
                                 words::section_text(line, system),
                                 line.material,
                                 mass,
                                 words::pieces_text(line.pieces),
                                 line.note.text(system)};
    std::string row;
    for (const std::string& cell : cells) {
      row += row.empty() ? "" : ",";
      row += quoted(base::escaped(cell));
    }
    out += row + "\r\n";
  }
}

}  // namespace

std::string parts_csv(const build::PartsResult& result, units::System system) {
  std::string out = "group,quantity,item,section,material,mass,pieces,note\r\n";
  add_rows(result, system, "", out);
  for (const build::PartsResult& own : result.makeup) {
    add_rows(own, system, "makeup air ", out);
    for (const build::PartsResult& branch : own.branches) {
      add_rows(branch, system, "makeup air " + branch.branch + " ", out);
    }
  }
  for (const build::PartsResult& own : result.branches) {
    add_rows(own, system, own.branch + " ", out);
  }
  return out;
}

}  // namespace ductledger::text
