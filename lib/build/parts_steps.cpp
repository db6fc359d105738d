#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "base/text.hpp"
#include "build/bill_internal.hpp"

namespace ductledger::build::bill {

Step& Bill::step(std::string pattern, std::vector<Message::Value> values) {
  result_.steps.push_back({{std::move(pattern), std::move(values)}, {}});
  return result_.steps.back();
}

void Bill::caution(Step& step, std::string pattern, std::vector<Message::Value> values) {
  for (const Message& said : step.cautions) {
    if (said.pattern == pattern) {
      return;
    }
  }
  step.cautions.push_back({std::move(pattern), std::move(values)});
}

void Bill::steps() {
  if (is_branch()) {
    assembly();
    return;
  }
  Step& first = step("Switch the power off at the panel; lock or tag it");
  caution(first, "test that the outlet or the wires are dead before touching them");
  const auto has_holes = [](const PartsResult& own) { return !own.holes.empty(); };
  if (has_holes(result_) || std::ranges::any_of(beside_.branches, has_holes) ||
      std::ranges::any_of(beside_.makeup, has_holes)) {
    Step& holes = step("Mark and cut the rough-in holes");
    caution(holes, "look for wires, pipes and gas lines behind the surface first");
    caution(
        holes,
        "cut no joist, truss, rafter, stud or plate without the structural designer's approval");
  }
  cap_step();
  Step& cut = step("Cut the duct by the cut list and mark each section with its piece");
  caution(cut, "cut sheet is sharp: gloves and eye protection");
  assembly();
  branch_steps();
  finish();
}

void Bill::branch_steps() {
  for (std::size_t i = 0; i < beside_.branches.size(); ++i) {
    const PartsResult& own = beside_.branches[i];
    Step& branch =
        step("Branch {}: build it by its own list, from {} back to its inlet",
             {{.texts = {own.branch, own.branch}},
              {.texts = {junction_name(result_.layout, i), junction_name(result_.layout, i)}}});
    for (const Step& one : own.steps) {
      for (const Message& said : one.cautions) {
        caution(branch, said.pattern, said.values);
      }
    }
  }
}

void Bill::cap_step() {
  if (pieces().empty() || pieces().back().kind != PieceKind::cap) {
    return;
  }
  const std::string& type = bought_type(pieces().back());
  const bool indoors = result_.layout.run.discharge == layout::Discharge::room;
  Step& cap = step(fmt::format(
      "Set cap {}, {}, {}",
      layout::piece_number(pieces().size() - 1),
      type.empty() ? "as stated" : type,
      indoors ? "where the air returns to the room" : "from outside and make it weathertight"));
  if (indoors) {
    caution(cap, "keep its opening free");
    return;
  }
  const fitting::Traits traits = catalogue_.traits(fitting::Kind::cap, type);
  if (traits.stands_at(fitting::Outlet::roof)) {
    caution(cap, "work on a roof: fall protection, dry weather");
  }
  if (traits.shuts_by_itself()) {
    caution(cap, "its flap has to swing free and close by itself");
  }
  if (is_dryer()) {
    caution(cap, "no screen at a clothes dryer's cap");
  }
  caution(cap, "distances to windows, doors and air inlets are for local code");
}

void Bill::assembly() {
  std::size_t next = 0;
  for (std::size_t i = 0; i < pieces().size(); ++i) {
    const Piece& piece = pieces()[i];
    if (!has_body(piece.kind)) {
      continue;
    }
    const CutStraight* straight =
        piece.kind == PieceKind::straight ? straight_of(layout::piece_number(i)) : nullptr;
    if (piece.kind == PieceKind::straight && straight == nullptr) {
      straight_cautions(piece, result_.steps.back());
      continue;
    }
    if (i == 0 && result_.layout.run.changes_at_collar) {
      step("Adapter onto the collar (joint 1)");
      ++next;
    }
    const std::size_t count = straight == nullptr ? 1 : straight->sections_m.size();
    const int from = static_cast<int>(next) + 1;
    const int to = static_cast<int>(next + count);
    next += count;
    const std::string where =
        count == 1 ? fmt::format("joint {}", from) : fmt::format("joints {} to {}", from, to);
    if (straight != nullptr) {
      std::vector<Message::Value> cuts;
      std::string list;
      for (const double cut_m : straight->sections_m) {
        cuts.push_back(length(cut_m));
        list += list.empty() ? "{}" : " and {}";
      }
      straight_cautions(
          piece,
          step(fmt::format("Straight {}: {} long, {}", joined(straight->pieces), list, where),
               std::move(cuts)));
    } else {
      const std::string& type = bought_type(piece);
      fitting_cautions(
          piece,
          type,
          step(fmt::format(
              "{}{}: {}", base::capitalized(name_of(i)), type.empty() ? "" : ", " + type, where)));
    }
  }
}

std::string Bill::joined(const std::vector<int>& numbers) {
  std::vector<std::string> words;
  for (const int one : numbers) {
    words.push_back(fmt::format("{}", one));
  }
  return base::joined(words, "and");
}

void Bill::straight_cautions(const Piece& piece, Step& step) {
  const layout::Surroundings& around = piece.around();
  if (around.through == "ceiling" || around.through == "roof" || around.through == "wall") {
    caution(
        step,
        "keep the clearance to framing that the manufacturer asks for, and close the gap around "
        "the duct as local code asks");
  }
  if (around.through == "garage") {
    caution(step, "a garage is a fire separation: ask local code about thickness and openings");
  }
  if (around.insulation_m2k_w.value_or(0.0) > 0.0) {
    caution(step,
            "wrap with {} after the joints are sealed and looked at",
            {{*around.insulation_m2k_w, Dimension::thermal_resistance}});
  }
}

bool Bill::on_the_roof(const Piece& fan) const {
  if (result_.layout.run.discharge == layout::Discharge::room) {
    return false;
  }
  const auto at = std::find_if(
      pieces().begin(), pieces().end(), [&](const Piece& piece) { return &piece == &fan; });
  return std::any_of(
             pieces().begin(), at, [](const Piece& p) { return p.around().through == "roof"; }) ||
         (at + 1 == pieces().end() && rises(fan.heading_in));
}

void Bill::fitting_cautions(const Piece& piece, const std::string& type, Step& step) const {
  if (piece.kind == PieceKind::fan && on_the_roof(piece)) {
    caution(step, "work on a roof: fall protection, dry weather");
  }
  const auto* junction = piece.if_is<layout::Junction>();
  constexpr double kSquare_rad = 89.0 * units::kRadPerDegree;
  if (junction != nullptr && junction->angle_rad < kSquare_rad) {
    caution(step, "its branch leg leans to where the air comes from: the streams join");
  }
  if (piece.kind == PieceKind::damper) {
    caution(step, "its blade has to swing free: hinge as marked, no screw in its way");
    caution(step, "leave a way to reach it later");
  }
  if (piece.kind == PieceKind::elbow &&
      catalogue_.traits(fitting::Kind::elbow, type).is(fitting::Make::adjustable)) {
    caution(step, "tape its swivel seams once it is set");
  }
  if (piece.kind == PieceKind::flex) {
    caution(step, "pull it taut, no crushed bend");
    if (is_dryer()) {
      caution(step, "one piece, never concealed (International Residential Code, M1502.4)");
    }
    if (result_.layout.appliance.kind == layout::ApplianceKind::range_hood) {
      caution(step,
              "metal duct only behind a range hood (common practice; codes ask for smooth "
              "metal)");
    }
  }
}

void Bill::finish() {
  const bool screwed = std::any_of(result_.joints.begin(),
                                   result_.joints.end(),
                                   [](const Joint& joint) { return joint.fasteners > 0; });
  const bool flexible = any_flexible();
  Step& fasten = step(is_dryer() ? "Fasten and seal every joint, and hang the duct"
                      : screwed  ? "Screw and seal every joint, and hang the duct"
                                 : "Clamp and seal every joint, and hang the duct");
  if (flexible) {
    caution(fasten, "flexible duct takes clamps, no screws");
  }
  if (is_dryer()) {
    caution(fasten, "no screw that reaches into the duct: it catches lint, which burns");
  }
  const auto rising = [](const Joint& joint) { return joint.rising; };
  if (std::any_of(result_.joints.begin(), result_.joints.end(), rising)) {
    caution(fasten,
            "where the run rises, liquid that runs back meets the lap from inside: seal all "
            "round");
  }
  if (!beside_.makeup.empty()) {
    Step& makeup = step("Build the makeup air duct by its own list");
    caution(makeup,
            "its opening outdoors stands clear of exhaust outlets and flues: distances are for "
            "local code");
    caution(makeup, "where it has a motorized damper, that opens with the appliance");
  }
  Step& power = step("Connect the appliance");
  caution(power, "wiring and gas by a qualified, licensed person");
  if (result_.layout.run.discharge == layout::Discharge::room) {
    step(
        "Switch on: the air returns at every speed, no joint leaks; read the static pressure at "
        "the collar");
    return;
  }
  Step& test = step(
      "Switch on: flap or damper opens at every speed, no joint leaks; read the static "
      "pressure at the collar");
  caution(test,
          "exhaust can draw flue gas back into the house: have every fuel-burning appliance "
          "checked with all exhaust running, and keep a carbon monoxide alarm");
}

}  // namespace ductledger::build::bill
