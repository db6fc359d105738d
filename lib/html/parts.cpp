#include "words/parts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <utility>

#include "base/text.hpp"
#include "html/sections.hpp"
#include "picture/svg.hpp"

namespace ductledger::html {
namespace {

using units::Dimension;

class PartsSection {
 public:
  /// @param below of a branch: where its part of the document is, `/branches/0`
  PartsSection(HtmlPage& page, const build::PartsResult& result, std::string below = {})
      : page_(page), result_(result), below_(std::move(below)) {}

  void write() {
    page_.heading(0, "Parts", page_.id("parts-heading"));
    if (!result_.branches.empty()) {
      page_.line(fmt::format(
          "<p>{} duct lengths and fittings and {} joints of the run and its branches, about {} in "
          "all. First those of the run.</p>",
          page_.tagged(at("/in_all/part_count"), fmt::format("{}", result_.in_all.part_count)),
          page_.tagged(at("/in_all/joint_count"), fmt::format("{}", result_.in_all.joint_count)),
          page_.tagged(at("/in_all/mass_kg"),
                       words::mass_text(result_.in_all.mass_kg, page_.system()))));
    }
    page_.line(fmt::format(
        "<p>{} duct lengths and fittings, {}, the longest {}; about {} in all. Joints lap {}.</p>",
        page_.tagged(at("/part_count"), fmt::format("{}", result_.part_count)),
        base::counted(result_.joints.size(), "joint"),
        page_.figure(at("/longest_stick_m"), Dimension::length),
        page_.tagged(at("/mass_kg"), words::mass_text(result_.mass_kg, page_.system())),
        page_.figure(at("/options/overlap_m"), Dimension::length)));
    bill();
    holes();
    branches("Branch ");
    for (const build::PartsResult& own : result_.makeup) {
      page_.heading(1, "Makeup air duct, from outdoors to the room");
      PartsSection makeup(page_, own, "/makeup");
      makeup.bill();
      makeup.holes();
      makeup.branches("Makeup branch ");
    }
  }

 private:
  [[nodiscard]] std::string at(std::string_view rest) const {
    return fmt::format("/parts/{}{}{}", page_.index(), below_, rest);
  }

  /// @param named before its name
  void branches(const char* named) {
    for (std::size_t i = 0; i < result_.branches.size(); ++i) {
      const build::PartsResult& own = result_.branches[i];
      page_.heading(1, named + base::escaped(own.branch));
      PartsSection branch(page_, own, fmt::format("{}/branches/{}", below_, i));
      branch.bill();
      branch.holes();
    }
  }

  void bill() {
    page_.table_begin("To buy",
                      {{"item", false},
                       {"quantity", true},
                       {"section", false},
                       {"mass", true},
                       {"pieces", false}});
    for (std::size_t i = 0; i < result_.bill.size(); ++i) {
      const build::PartLine& line = result_.bill[i];
      const std::string here = at(fmt::format("/bill/{}", i));
      std::string item = picture::xml_escaped(words::item_text(line, page_.system()));
      if (!line.material.empty()) {
        item += " " + picture::xml_escaped(line.material);
      }
      if (!line.note.empty()) {
        item += fmt::format(" <span class=\"under\">{}</span>",
                            picture::xml_escaped(line.note.text(page_.system())));
      }
      page_.row_begin();
      page_.row_head(item);
      page_.number_cell(
          "quantity", page_.tagged(here + "/quantity", words::quantity_text(line, page_.system())));
      page_.cell("section", picture::xml_escaped(words::section_text(line, page_.system())));
      page_.number_cell("mass",
                        line.mass_kg ? page_.tagged(here + "/mass_kg",
                                                    words::mass_text(*line.mass_kg, page_.system()))
                                     : "");
      page_.cell("pieces", picture::xml_escaped(words::pieces_text(line.pieces)));
      page_.row_end();
    }
    page_.table_end();
  }

  void holes() {
    if (result_.holes.empty()) {
      return;
    }
    page_.table_begin("Rough-in holes, before anything is cut: look for wires, pipes and framing",
                      {{"through", false}, {"piece", false}, {"hole", false}, {"center", false}});
    for (std::size_t i = 0; i < result_.holes.size(); ++i) {
      const build::Hole& hole = result_.holes[i];
      const std::string here = at(fmt::format("/holes/{}", i));
      std::string through = picture::xml_escaped(hole.through);
      for (const units::Message& note : hole.notes) {
        through += fmt::format(" <span class=\"under\">{}</span>",
                               picture::xml_escaped(note.text(page_.system())));
      }
      page_.row_begin();
      page_.row_head(through);
      page_.cell("piece", page_.tagged(here + "/piece", fmt::format("{}", hole.piece)));
      page_.cell(
          "hole",
          picture::xml_escaped(duct::to_text(hole.size, page_.system())) +
              (hole.stretched_m ? ", " + page_.figure(here + "/along_slant_m", Dimension::length) +
                                      " along the slant"
                                : ""));
      page_.cell("center", hole.centre ? centre(*hole.centre, here + "/centre/") : "");
      page_.row_end();
    }
    page_.table_end();
  }

  [[nodiscard]] std::string centre(const build::HoleCentre& from, const std::string& here) const {
    return words::hole_place(from, result_.duct, [&](const char* key, double length_m) {
      return length_m < 0.0 ? page_.whole(-length_m, Dimension::length)
                            : page_.figure(here + key, Dimension::length);
    });
  }

  HtmlPage& page_;
  const build::PartsResult& result_;
  std::string below_;
};

}  // namespace

void parts_section(HtmlPage& page, const build::PartsResult& result) {
  PartsSection(page, result).write();
}

}  // namespace ductledger::html
