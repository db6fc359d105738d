#include "build/parts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <utility>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "build/bill_internal.hpp"
#include "layout/direction.hpp"
#include "layout/piece_number.hpp"
#include "layout/written_system.hpp"
#include "network/compile.hpp"

namespace ductledger::build {
namespace bill {

PartsResult Bill::build(const PartsOptions& options, const Beside& beside) {
  beside_ = beside;
  take(options);
  duct();
  fittings();
  joints();
  sealing_and_fastening();
  support();
  insulation();
  holes();
  steps();
  totals();
  return std::move(result_);
}

void Bill::take(const PartsOptions& options) {
  result_.stock_m = options.stock_m;
  if (result_.stock_m.empty()) {
    result_.stock_m = layout::written_system(result_.layout) == units::System::ip
                          ? std::vector{5.0 * kFoot_m, 2.0 * kFoot_m}
                          : std::vector{3.0, 1.0};
    assume("duct is bought in lengths of {} and {}, ends included (common practice)",
           {length(result_.stock_m[0]), length(result_.stock_m[1])});
  }
  std::sort(result_.stock_m.begin(), result_.stock_m.end(), std::greater<>());
  result_.overlap_m = options.overlap_m.value_or(kOverlap_m);
  if (!options.overlap_m) {
    assume("each joint laps by {} (common practice)", {length(result_.overlap_m)});
  }
  result_.hanger_m = options.hanger_m.value_or(is_dryer() ? kDryerHanger_m : kHanger_m);
  result_.hole_clearance_m = options.hole_clearance_m.value_or(kHoleClearance_m);
}

bool Bill::same_duct(const Piece& a, const Piece& b) {
  return a.kind == PieceKind::straight && b.kind == PieceKind::straight &&
         a.upstream == b.upstream && a.material == b.material && a.roughness_m == b.roughness_m;
}

DuctCuts& Bill::cuts_of(const Piece& piece) {
  for (DuctCuts& cuts : result_.cuts) {
    if (cuts.section == piece.upstream && cuts.material == piece.material) {
      return cuts;
    }
  }
  DuctCuts fresh;
  fresh.section = piece.upstream;
  fresh.material = piece.material;
  result_.cuts.push_back(std::move(fresh));
  return result_.cuts.back();
}

void Bill::duct() {
  for (std::size_t i = 0; i < pieces().size(); ++i) {
    if (pieces()[i].kind != PieceKind::straight) {
      continue;
    }
    CutStraight straight;
    const std::size_t first = i;
    straight.pieces.push_back(layout::piece_number(i));
    straight.clear_m = pieces()[i].length_m.value_or(0.0);
    while (i + 1 < pieces().size() && same_duct(pieces()[i], pieces()[i + 1])) {
      ++i;
      straight.pieces.push_back(layout::piece_number(i));
      straight.clear_m += pieces()[i].length_m.value_or(0.0);
    }
    cuts_of(pieces()[first]).straights.push_back(std::move(straight));
  }
  for (DuctCuts& cuts : result_.cuts) {
    std::vector<CutDemand> demands;
    for (const CutStraight& straight : cuts.straights) {
      demands.push_back({straight.clear_m});
    }
    cuts.list = cut_list(demands,
                         {.stock_m = result_.stock_m,
                          .overlap_m = result_.overlap_m,
                          .shortest_m = 2.0 * result_.overlap_m});
    for (const Stick& stick : cuts.list.sticks) {
      for (const Cut& cut : stick.cuts) {
        cuts.straights[cut.demand].sections_m.push_back(cut.cut_m);
      }
    }
    bill_sticks(cuts);
  }
}

void Bill::bill_sticks(const DuctCuts& cuts) {
  for (const double stock_m : result_.stock_m) {
    const auto count =
        std::count_if(cuts.list.sticks.begin(), cuts.list.sticks.end(), [&](const Stick& stick) {
          return std::abs(stick.stock_m - stock_m) < 1e-4;
        });
    if (count == 0) {
      continue;
    }
    PartLine line;
    line.group = "duct";
    line.item = "duct";
    line.section = cuts.section;
    line.material = cuts.material;
    line.each_m = stock_m;
    line.quantity = static_cast<double>(count);
    std::vector<bool> holds(cuts.straights.size());
    for (const Stick& stick : cuts.list.sticks) {
      if (std::abs(stick.stock_m - stock_m) >= 1e-4) {
        continue;
      }
      for (const Cut& cut : stick.cuts) {
        holds[cut.demand] = true;
      }
    }
    for (std::size_t i = 0; i < holds.size(); ++i) {
      if (holds[i]) {
        const std::vector<int>& pieces = cuts.straights[i].pieces;
        line.pieces.insert(line.pieces.end(), pieces.begin(), pieces.end());
      }
    }
    line.mass_kg =
        mass_of(cuts.section.perimeter_m() * stock_m * line.quantity, cuts.section, cuts.material);
    result_.longest_stick_m = std::max(result_.longest_stick_m, stock_m);
    result_.bill.push_back(std::move(line));
  }
}

std::optional<double> Bill::mass_of(double surface_m2,
                                    const duct::Section& section,
                                    const std::string& material) {
  double density_kg_m3 = 0.0;
  if (material.rfind("galvanized", 0) == 0 || material == "steel") {
    density_kg_m3 = 7850.0;
  } else if (material == "stainless-steel") {
    density_kg_m3 = 7900.0;
  } else if (material == "aluminium") {
    density_kg_m3 = 2700.0;
  } else {
    return std::nullopt;
  }
  weighed_ = true;
  return surface_m2 * thickness_m(section) * density_kg_m3;
}

const std::string& Bill::bought_type(const Piece& piece) {
  return piece.kind == PieceKind::elbow ? piece.type : piece.known_type();
}

std::optional<double> Bill::body_length_m(const Piece& piece) {
  if (const auto* elbow = piece.if_is<layout::Elbow>()) {
    if (piece.states("legs")) {
      return elbow->legs_m[0] + elbow->legs_m[1];
    }
    if (elbow->radius_ratio) {
      return *elbow->radius_ratio * elbow->in_plane_m * elbow->angle_rad;
    }
    return 2.0 * layout::nominal_leg_m(*elbow);  // a mitre, to its corner and back
  }
  return piece.kind == PieceKind::transition ? piece.length_m : std::nullopt;
}

void Bill::fittings() {
  if (is_branch() && result_.layout.fan) {
    PartLine line;
    line.group = "fitting";
    line.item = "fan";
    line.section = result_.layout.run.first_section;
    line.quantity = 1.0;
    line.note = {"at the branch's inlet", {}};
    result_.bill.push_back(std::move(line));
  }
  if (result_.layout.run.changes_at_collar) {
    PartLine line;
    line.group = "fitting";
    line.item = "adapter at the collar";
    line.section = result_.layout.appliance.collar;
    line.to = result_.layout.run.first_section;
    line.quantity = 1.0;
    line.pieces = {0};
    line.note = {"the layout has an abrupt change there; a gradual transition costs less pressure",
                 {}};
    result_.bill.push_back(std::move(line));
  }
  for (std::size_t i = 0; i < pieces().size(); ++i) {
    const Piece& piece = pieces()[i];
    if (piece.kind == PieceKind::straight || piece.kind == PieceKind::loss) {
      continue;
    }
    PartLine line = piece.kind == PieceKind::flex ? flex_line(piece) : fitting_line(i);
    line.quantity = 1.0;
    line.pieces = {layout::piece_number(i)};
    merge(std::move(line));
  }
}

PartLine Bill::flex_line(const Piece& piece) {
  PartLine line;
  line.group = "duct";
  line.item = "flexible duct";
  line.section = piece.upstream;
  line.each_m = piece.length_m.value_or(0.0) / piece.as<layout::Flex>().stretched;
  line.note = {"length fully stretched", {}};
  return line;
}

const char* Bill::side_turned(const Piece& piece) {
  const auto& elbow = piece.as<layout::Elbow>();
  constexpr double kSame_m = 1e-6;
  if (piece.upstream.shape() == duct::Shape::round ||
      std::abs(elbow.in_plane_m - elbow.across_m) < kSame_m) {
    return nullptr;
  }
  return elbow.in_plane_m < elbow.across_m
             ? "turns on its narrow side: the {} side lies in the plane of the turn"
             : "turns on its wide side: the {} side lies in the plane of the turn";
}

PartLine Bill::fitting_line(std::size_t index) {
  const Piece& piece = pieces()[index];
  PartLine line;
  line.group = "fitting";
  const std::string& type = bought_type(piece);
  line.item = layout::word(piece.kind);
  if (!type.empty() && piece.kind != PieceKind::fan) {
    line.item += " " + type;
  }
  line.section = piece.upstream;
  if (piece.downstream != piece.upstream) {
    line.to = piece.downstream;
  }
  if (const auto* elbow = piece.if_is<layout::Elbow>()) {
    line.angle_rad = elbow->angle_rad;
    line.radius_ratio = elbow->radius_ratio;
    if (catalogue_.traits(fitting::Kind::elbow, type).is(fitting::Make::adjustable)) {
      line.note = {"its swivel seams are sealed too", {}};
    }
    if (const char* const side = side_turned(piece); side != nullptr) {
      line.note = {side, {length(elbow->in_plane_m)}};
    }
  }
  if (const auto* junction = piece.if_is<layout::Junction>()) {
    line.note = {"takes in branch {}", {{.texts = {junction->branch, junction->branch}}}};
  }
  if (piece.kind == PieceKind::transition) {
    line.each_m = piece.length_m;
  }
  if (const auto body_m = body_length_m(piece)) {
    const double around_m = (piece.upstream.perimeter_m() + piece.downstream.perimeter_m()) / 2.0;
    result_.duct_surface_m2 += *body_m * around_m;
    line.material = piece.material;
    line.mass_kg = mass_of(*body_m * around_m, piece.upstream, piece.material);
  }
  return line;
}

void Bill::merge(PartLine line) {
  for (PartLine& other : result_.bill) {
    if (other.group == line.group && other.item == line.item && other.section == line.section &&
        other.to == line.to && other.each_m == line.each_m && other.material == line.material &&
        other.radius_ratio == line.radius_ratio && same_angle(other, line) &&
        other.note.pattern == line.note.pattern) {
      other.quantity += line.quantity;
      other.pieces.insert(other.pieces.end(), line.pieces.begin(), line.pieces.end());
      if (other.mass_kg && line.mass_kg) {
        *other.mass_kg += *line.mass_kg;
      }
      return;
    }
  }
  result_.bill.push_back(std::move(line));
}

void Bill::totals() {
  for (const Piece& piece : pieces()) {
    if (piece.kind == PieceKind::straight || piece.kind == PieceKind::flex) {
      result_.duct_surface_m2 += piece.upstream.perimeter_m() * piece.length_m.value_or(0.0);
    }
  }
  bool unweighed_duct = false;
  for (const PartLine& line : result_.bill) {
    if (line.group == "duct" || line.group == "fitting") {
      result_.part_count += static_cast<int>(line.quantity);
      unweighed_duct = unweighed_duct || (line.group == "duct" && !line.mass_kg);
    }
    result_.mass_kg += line.mass_kg.value_or(0.0);
  }
  if (weighed_) {
    if (is_dryer()) {
      assume(
          "mass of sheet {} thick, the least that the International Residential Code asks of a "
          "dryer duct (M1502.4); caps and dampers are not weighed",
          {{.texts = {"0.0157 in (28 gage, 0.4 mm)", "0.4 mm (28 gage)"}}});
    } else {
      assume(
          "mass of sheet {} thick to {} and {} beyond, the least of the International "
          "Residential Code's table M1601.1.1 as one state prints it; caps and dampers are not "
          "weighed",
          {length(0.013 * kInch_m), {.texts = {"14 in", "356 mm"}}, length(0.016 * kInch_m)});
    }
  }
  if (unweighed_duct) {
    assume("duct of a material without a known sheet thickness is not weighed");
  }
  if (!is_branch() && (pieces().empty() || pieces().back().kind != PieceKind::cap)) {
    assume("the run ends without a cap: none is in the bill");
  }
  for (const Piece& piece : pieces()) {
    if (piece.kind == PieceKind::loss) {
      assume("a `loss` piece has no part in the bill");
      break;
    }
  }
  if (!result_.layout.run.heading) {
    assume("no headings are stated: where holes lie and which joints rise is not known");
  }
  result_.cautions = {
      "power off at the panel and locked before any work on the appliance",
      "metal duct only; a qualified installer, by the manufacturer's instructions",
      "local code and the authority having jurisdiction decide; this list is no permit"};
}

}  // namespace bill

std::string junction_name(const layout::Layout& layout, std::size_t branch) {
  const auto in = [&](const layout::Run& run) {
    const auto at = std::ranges::find_if(run.pieces, [&](const layout::Piece& piece) {
      const auto* junction = piece.if_is<layout::Junction>();
      return junction != nullptr && junction->index == branch;
    });
    return at == run.pieces.end()
               ? std::string()
               : fmt::format(
                     "junction {}",
                     layout::piece_number(static_cast<std::size_t>(at - run.pieces.begin())));
  };
  std::string name = in(layout.run);
  for (std::size_t i = 0; name.empty() && i < layout.branches.size(); ++i) {
    name = in(layout.branches[i].run);
    if (!name.empty()) {
      name += " of " + base::escaped(layout.branches[i].name);
    }
  }
  return name;
}

namespace {

using base::fault;
using bill::kOverlap_m;
using units::Dimension;

std::string inches(double length_m) {
  return units::display(length_m, Dimension::length, units::System::ip);
}

base::Diagnostics faults_of(const PartsOptions& options, double overlap_m) {
  base::Diagnostics faults;
  for (const double stock_m : options.stock_m) {
    if (stock_m < 4.0 * overlap_m || stock_m < 0.1) {
      faults.push_back(fault(
          "stock-too-short",
          fmt::format("a stock length of {} leaves no duct beside its overlap", inches(stock_m)),
          fmt::format("state one over {}", inches(std::max(4.0 * overlap_m, 0.1)))));
    }
    if (stock_m > 30.0) {
      faults.push_back(
          fault("stock-too-long",
                fmt::format("a stock length of {} is no duct that can be bought", inches(stock_m)),
                "state one up to 98 ft"));
    }
  }
  if (options.hanger_m && *options.hanger_m < 0.1) {
    faults.push_back(fault("spacing-too-small",
                           fmt::format("a hanger each {} is no spacing", inches(*options.hanger_m)),
                           "usual: 10 ft, of a clothes dryer 12 ft"));
  }
  return faults;
}

/// The makeup duct as a run of its own, from outdoors to the room.
layout::Layout makeup_alone(const layout::Layout& layout) {
  layout::Layout own = layout;
  own.run = layout.house->makeup.duct.front();
  own.appliance = {};
  own.appliance.kind = layout::ApplianceKind::exhaust;
  own.appliance.collar_at = layout.house->makeup.intake_at;
  own.branches = layout.house->makeup.branches;
  own.house.reset();
  return own;
}

/// A branch as a run of its own, from its inlet to its junction.
layout::Layout branch_alone(const layout::Layout& layout, const layout::Branch& branch) {
  layout::Layout own = layout;
  own.run = branch.run;
  own.fan = branch.fan;
  own.appliance.collar.reset();
  own.house.reset();
  own.branches.clear();
  return own;
}

std::vector<PartsResult> branches_of(const layout::Layout& layout,
                                     Duct duct,
                                     const fitting::Catalogue& catalogue,
                                     const PartsOptions& options) {
  std::vector<PartsResult> all;
  for (std::size_t i = 0; i < layout.branches.size(); ++i) {
    all.push_back(
        bill::Bill(branch_alone(layout, layout.branches[i]),
                   duct,
                   catalogue,
                   {.at = junction_name(layout, i), .geometry = layout::branch_geometry(layout, i)})
            .build(options, {}));
    all.back().branch = layout.branches[i].name;
  }
  return all;
}

/// Counts all together, and what is assumed of the branches and of the makeup duct beside what is
/// of the run.
void put_in_all(PartsResult& result) {
  const auto assume = [&](const units::Message& said, const char* of) {
    const auto same = [&](const units::Message& other) {
      return other.text(units::System::si) == said.text(units::System::si);
    };
    if (std::ranges::none_of(result.assumed, same)) {
      result.assumed.push_back({of + said.pattern, said.values});
    }
  };
  const auto add = [&](const PartsResult& own) {
    result.in_all.part_count += own.part_count;
    result.in_all.joint_count += static_cast<int>(own.joints.size());
    result.in_all.mass_kg += own.mass_kg;
  };
  add(result);
  for (const PartsResult& own : result.branches) {
    add(own);
    for (const units::Message& said : own.assumed) {
      assume(said, "");
    }
  }
  for (const PartsResult& own : result.makeup) {
    for (const units::Message& said : own.assumed) {
      assume(said, "makeup duct: ");
    }
  }
}

base::Diagnostics catalogue_faults(const layout::Layout& layout,
                                   const fitting::Catalogue& catalogue) {
  if (layout.branches.empty()) {
    const auto run = solve::compile(layout, catalogue);
    return run ? base::Diagnostics() : run.error();
  }
  const auto network = network::compile(layout, catalogue);
  return network ? base::Diagnostics() : network.error();
}

base::Checked<PartsResult> parts_of(layout::Layout layout,
                                    Duct duct,
                                    const fitting::Catalogue& catalogue,
                                    const PartsOptions& options) {
  base::Diagnostics faults = faults_of(options, options.overlap_m.value_or(kOverlap_m));
  if (faults.empty()) {
    faults = catalogue_faults(layout, catalogue);
  }
  if (!faults.empty()) {
    return faults;
  }
  std::vector<PartsResult> makeup;
  if (layout.house && layout.house->makeup.kind == layout::MakeupKind::duct) {
    auto own = parts_of(makeup_alone(layout), Duct::makeup, catalogue, options);
    if (!own) {
      return std::move(own).error();
    }
    makeup.push_back(*std::move(own));
  }
  std::vector<PartsResult> branches = branches_of(layout, duct, catalogue, options);
  PartsResult result = bill::Bill(std::move(layout), duct, catalogue)
                           .build(options, {.makeup = makeup, .branches = branches});
  result.makeup = std::move(makeup);
  result.branches = std::move(branches);
  put_in_all(result);
  return result;
}

}  // namespace

base::Checked<PartsResult> parts(layout::Layout layout,
                                 const fitting::Catalogue& catalogue,
                                 const PartsOptions& options) {
  return parts_of(std::move(layout), Duct::exhaust, catalogue, options);
}

}  // namespace ductledger::build
