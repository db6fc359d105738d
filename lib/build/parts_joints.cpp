#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "base/text.hpp"
#include "build/bill_internal.hpp"

namespace ductledger::build::bill {

double Bill::thickness_m(const duct::Section& section) const {
  if (is_dryer()) {
    return 0.0157 * kInch_m;
  }
  return (std::max(section.width_m(), section.height_m()) > kLargeSide_m ? 0.016 : 0.013) * kInch_m;
}

bool Bill::has_body(PieceKind kind) {
  return kind != PieceKind::loss && kind != PieceKind::entry && kind != PieceKind::filter &&
         kind != PieceKind::screen;
}

const CutStraight* Bill::straight_of(int piece) const {
  for (const DuctCuts& cuts : result_.cuts) {
    for (const CutStraight& straight : cuts.straights) {
      if (straight.pieces.front() == piece) {
        return &straight;
      }
    }
  }
  return nullptr;
}

bool Bill::is_flexible(std::size_t index) const {
  const Piece& piece = pieces()[index];
  return piece.kind == PieceKind::flex ||
         (piece.kind == PieceKind::elbow &&
          piece.as<layout::Elbow>().make == fitting::Make::flexible);
}

bool Bill::any_flexible() const {
  for (std::size_t i = 0; i < pieces().size(); ++i) {
    if (is_flexible(i)) {
      return true;
    }
  }
  return false;
}

std::vector<Body> Bill::bodies() const {
  std::vector<Body> list;
  const layout::Run& run = result_.layout.run;
  if (run.changes_at_collar) {
    list.push_back(
        {PieceKind::transition, "adapter", *result_.layout.appliance.collar, rises(run.heading)});
  }
  for (std::size_t i = 0; i < pieces().size(); ++i) {
    const Piece& piece = pieces()[i];
    if (!has_body(piece.kind)) {
      continue;
    }
    const std::string name = name_of(i);
    const bool rising = rises(piece.heading_in);
    if (piece.kind != PieceKind::straight) {
      list.push_back({piece.kind, name, piece.upstream, rising, is_flexible(i)});
      continue;
    }
    const CutStraight* straight = straight_of(layout::piece_number(i));
    if (straight == nullptr) {
      continue;  // one with the straight before it
    }
    const std::size_t count = straight->sections_m.size();
    for (std::size_t section = 0; section < count; ++section) {
      const std::string letter =
          count == 1 ? "" : fmt::format("{}", static_cast<char>('a' + section % 26));
      list.push_back({piece.kind, name + letter, piece.upstream, rising});
    }
  }
  return list;
}

std::string Bill::first_name() const {
  if (is_branch() && result_.layout.fan) {
    return "fan";
  }
  const bool from_entry = !result_.layout.appliance.collar && !pieces().empty() &&
                          pieces().front().kind == PieceKind::entry;
  return from_entry ? name_of(0) : is_branch() || is_makeup() ? "" : "collar";
}

Joint Bill::joint_between(const std::string& before, const Body& body, bool clamped) {
  Joint joint;
  joint.number = static_cast<int>(result_.joints.size()) + 1;
  joint.before = before;
  joint.after = body.name;
  joint.section = body.section;
  joint.rising = body.rising;
  if (!is_dryer() && !clamped) {
    joint.fasteners =
        body.section.shape() == duct::Shape::rectangular ? kRectangularFasteners : kRoundFasteners;
  }
  return joint;
}

void Bill::joints() {
  std::string before = first_name();
  bool after_flex = false;
  std::vector<Body> all = bodies();
  if (is_branch()) {
    const bool bare = pieces().empty();
    all.push_back({PieceKind::junction,
                   joins_at_,
                   bare ? result_.layout.run.first_section : pieces().back().downstream,
                   rises(bare ? result_.layout.run.heading : pieces().back().heading_out)});
  }
  for (const Body& body : all) {
    if (!before.empty()) {
      result_.joints.push_back(joint_between(before, body, after_flex || body.flexible));
    }
    before = body.name;
    after_flex = body.flexible;
  }
  result_.male_end =
      is_dryer()    ? "with the airflow, away from the appliance (International Residential Code, "
                      "M1502.4: lint must not catch on an edge)"
      : is_branch() ? "with the airflow, toward its junction (common practice; the manufacturer's "
                      "instructions go first)"
      : is_makeup() ? "with the airflow, toward the room (common practice; the manufacturer's "
                      "instructions go first)"
                    : "with the airflow, away from the appliance (common practice; the "
                      "manufacturer's instructions go first)";
}

void Bill::sealing_and_fastening() {
  double around_m = 0.0;
  int fasteners = 0;
  for (const Joint& joint : result_.joints) {
    around_m += joint.section.perimeter_m();
    fasteners += joint.fasteners;
  }
  if (result_.joints.empty()) {
    return;
  }
  PartLine tape;
  tape.group = "sealing";
  tape.item = "foil tape";
  tape.measure = Measure::length;
  tape.quantity = around_m;
  tape.note = {"once around each of the joints, laps not counted; metal foil, not cloth", {}};
  result_.bill.push_back(tape);
  PartLine sealant;
  sealant.group = "sealing";
  sealant.item = "sealant bead";
  sealant.measure = Measure::length;
  sealant.quantity = around_m;
  sealant.note = {"in place of the tape; listed UL 181B for metal duct", {}};
  result_.bill.push_back(sealant);
  if (fasteners > 0) {
    PartLine screws;
    screws.group = "fastening";
    screws.item = "sheet-metal screws";
    screws.quantity = fasteners;
    screws.note = {
        "3 at a round joint (a national weatherization specification), 4 at a "
        "rectangular one (common practice); short ones beside a damper",
        {}};
    result_.bill.push_back(std::move(screws));
  }
  if (is_dryer()) {
    assume(
        "no screws are billed: none may reach over {} into a dryer duct (International Residential "
        "Code, M1502.4.2; older editions: none at all); fasten with clamps or foil tape as the "
        "authority accepts",
        {length(0.125 * kInch_m)});
  }
  double clamps = 0.0;
  for (std::size_t i = 0; i < pieces().size(); ++i) {
    clamps += is_flexible(i) ? 2.0 : 0.0;
  }
  if (clamps > 0.0) {
    PartLine line;
    line.group = "fastening";
    line.item = "clamps for flexible duct";
    line.quantity = clamps;
    result_.bill.push_back(line);
  }
}

void Bill::flexible_support() {
  PartLine line;
  line.group = "support";
  line.item = "wide straps for flexible duct";
  const double apart_m = std::min(result_.hanger_m, kFlexHanger_m);
  for (std::size_t i = 0; i < pieces().size(); ++i) {
    if (pieces()[i].kind == PieceKind::flex) {
      line.quantity += std::ceil(pieces()[i].length_m.value_or(0.0) / apart_m - 1e-9);
      line.pieces.push_back(layout::piece_number(i));
    }
  }
  if (line.pieces.empty()) {
    return;
  }
  line.note = {
      "at most {} apart, {} wide or more so that they do not pinch it, sag at most {} in {} "
      "(installation standards for flexible duct ask for 4 to 5 ft; recalled)",
      {length(apart_m), length(1.5 * kInch_m), length(0.5 * kInch_m), length(kFoot_m)}};
  result_.bill.push_back(std::move(line));
}

void Bill::support() {
  flexible_support();
  PartLine line;
  line.group = "support";
  line.item = "hangers or straps";
  for (const DuctCuts& cuts : result_.cuts) {
    for (const CutStraight& straight : cuts.straights) {
      if (straight.clear_m < kSupportFrom_m - 1e-9) {
        continue;
      }
      line.quantity += std::ceil(straight.clear_m / result_.hanger_m - 1e-9);
      line.pieces.insert(line.pieces.end(), straight.pieces.begin(), straight.pieces.end());
    }
  }
  if (line.pieces.empty()) {
    return;
  }
  std::sort(line.pieces.begin(), line.pieces.end());
  line.note = is_dryer() ? Message{"at most {} apart (International Residential Code, M1502.4)",
                                   {length(result_.hanger_m)}}
                         : Message{
                               "at most {} apart (editions of the International Residential "
                               "Code before 2018; recalled)",
                               {length(result_.hanger_m)}};
  if (std::abs(result_.hanger_m - (is_dryer() ? kDryerHanger_m : kHanger_m)) > 1e-9) {
    line.note = {"at most {} apart, as asked", {length(result_.hanger_m)}};
  }
  assume(
      "one support for each spacing begun of a straight of {} or more; shorter ones hang on "
      "their neighbors",
      {length(kSupportFrom_m)});
  result_.bill.push_back(std::move(line));
}

void Bill::insulation() {
  for (std::size_t i = 0; i < pieces().size(); ++i) {
    const Piece& piece = pieces()[i];
    if (piece.around().insulation_m2k_w.value_or(0.0) <= 0.0) {
      continue;
    }
    PartLine line;
    line.group = "insulation";
    line.item = "duct wrap";
    line.measure = Measure::area;
    line.quantity = piece.upstream.perimeter_m() * piece.length_m.value_or(0.0);
    line.pieces = {layout::piece_number(i)};
    line.note = {"{}; outside of the duct alone, laps not counted",
                 {{*piece.around().insulation_m2k_w, Dimension::thermal_resistance}}};
    add_insulation(std::move(line));
  }
}

void Bill::add_insulation(PartLine line) {
  for (PartLine& other : result_.bill) {
    if (other.group == line.group && other.note.values.front().si == line.note.values.front().si) {
      other.quantity += line.quantity;
      other.pieces.push_back(line.pieces.front());
      return;
    }
  }
  result_.bill.push_back(std::move(line));
}

}  // namespace ductledger::build::bill
