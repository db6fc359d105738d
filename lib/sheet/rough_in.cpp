#include "sheet/rough_in.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "duct/section.hpp"
#include "layout/piece_number.hpp"
#include "picture/route.hpp"
#include "sheet/rough_in_internal.hpp"

namespace ductledger::sheet {
namespace {

/// Of where the duct begins, as far as the layout does not state it.
std::vector<std::string> blanks_of_start(const Subject& subject) {
  std::vector<std::string> list;
  const layout::StartPlace& at = subject.start();
  const std::string begins = !subject.is_makeup()  ? "collar"
                             : subject.is_branch() ? "main intake"
                                                   : "intake";
  if (subject.is_branch() && !subject.is_makeup()) {
    list.emplace_back("inlet: what it opens in, its place");
  }
  if (!at.above_floor_m) {
    list.push_back(begins + " above finished floor");
  }
  if (!at.from_wall_m) {
    list.push_back(begins + " from the wall behind" + (subject.is_makeup() ? " appliance" : ""));
  }
  if (!at.from_center_m) {
    list.push_back(begins + " from appliance's center line");
  }
  if (subject.is_makeup()) {
    list.emplace_back("this intake from exhaust outlets and flues");
  } else if (!subject.is_branch()) {
    list.emplace_back("appliance: width, depth, height");
  }
  return list;
}

std::vector<std::string> blanks(const Subject& subject) {
  std::vector<std::string> list = blanks_of_start(subject);
  bool ceiling = false;
  bool wall = false;
  bool roof = false;
  for (const build::Hole& hole : subject.parts.holes) {
    ceiling = ceiling || hole.through == "ceiling";
    roof = roof || hole.through == "roof";
    wall = wall || hole.through == "wall";
    if (!hole.centre) {
      list.push_back(
          fmt::format("center of the hole in the {}, piece {}", hole.through, hole.piece));
    }
  }
  if (ceiling) {
    list.emplace_back("finished ceiling above floor");
  }
  if (wall) {
    list.emplace_back("wall: how far along its piece");
  }
  if (roof) {
    list.emplace_back("slope of the roof");
  }
  if (subject.parts.holes.empty()) {
    list.emplace_back("walls, ceilings, roofs crossed");
  }
  list.emplace_back("framing, wires and pipes at each hole");
  return list;
}

/// Which way a flat section lies; empty for a round or square one.
std::string lies(const layout::Piece& piece, const layout::PlacedPiece& placed) {
  const duct::Section& section = piece.upstream;
  if (section.shape() == duct::Shape::round || section.width_m() == section.height_m()) {
    return {};
  }
  const layout::Direction& w = placed.width_in;
  const std::array<double, 3> size{std::abs(w[0]), std::abs(w[1]), std::abs(w[2])};
  const double most = *std::ranges::max_element(size);
  return most < 0.99       ? ", width aslant"
         : size[0] == most ? ", width left-right"
         : size[1] == most ? ", width front-back"
                           : ", width up-down";
}

std::vector<std::string> section_rows(const Subject& subject) {
  std::vector<std::string> rows;
  std::string before;
  int first = 0;
  int last = 0;
  const auto close = [&] {
    if (!before.empty()) {
      rows.push_back(first == last ? fmt::format("piece {}: {}", first, before)
                                   : fmt::format("pieces {} to {}: {}", first, last, before));
    }
  };
  for (const layout::PlacedPiece& placed : subject.route.pieces) {
    const layout::Piece& piece = subject.parts.layout.run.pieces[placed.piece];
    if (piece.kind != layout::PieceKind::straight && piece.kind != layout::PieceKind::flex) {
      continue;
    }
    const std::string now = duct::to_text(piece.upstream, subject.system) + lies(piece, placed);
    const int number = layout::piece_number(placed.piece);
    if (now != before) {
      close();
      before = now;
      first = number;
    }
    last = number;
  }
  close();
  return rows;
}

/// Where a branch ends: the piece that takes it in, in its place.
struct Joined {
  layout::PlacedPiece placed;
  layout::Piece piece;
};
std::optional<Joined> joined(const layout::Layout& layout, std::size_t branch) {
  const auto in = [&](const layout::Run& run, const auto& geometry) -> std::optional<Joined> {
    for (std::size_t i = 0; geometry && i < run.pieces.size(); ++i) {
      const auto* junction = run.pieces[i].if_is<layout::Junction>();
      if (junction != nullptr && junction->index == branch) {
        return Joined{geometry->pieces[i], run.pieces[i]};
      }
    }
    return std::nullopt;
  };
  auto found = in(layout.run, layout::run_geometry(layout));
  for (std::size_t i = 0; !found && i < layout.branches.size(); ++i) {
    if (i != branch) {
      found = in(layout.branches[i].run, layout::branch_geometry(layout, i));
    }
  }
  return found;
}

/// `junction 5 of the run`: its pieces are numbered from 1 as the branch's own are.
std::string junction_of(const build::PartsResult& parts, std::size_t branch) {
  const std::string name = build::junction_name(parts.layout, branch);
  const char* const main =
      parts.duct == build::Duct::makeup ? " of the makeup duct" : " of the run";
  return name.find(" of ") == std::string::npos ? name + main : name;
}

layout::Direction against(const layout::Direction& way) { return {-way[0], -way[1], -way[2]}; }

/// The ends of the branches that a run takes in.
std::vector<Stub> stubs_of(const layout::Layout& layout,
                           const layout::Run& run,
                           const layout::RunGeometry& route) {
  std::vector<Stub> stubs;
  for (const layout::PlacedPiece& placed : route.pieces) {
    const auto* junction = run.pieces[placed.piece].if_is<layout::Junction>();
    const auto branch =
        junction == nullptr ? std::nullopt : layout::branch_geometry(layout, junction->index);
    if (branch) {
      stubs.push_back({.at = placed.start,
                       .way = against(branch->outlet_heading),
                       .width = branch->pieces.back().width_out,
                       .section = layout.branches[junction->index].run.pieces.back().downstream,
                       .branch = base::escaped(junction->branch),
                       .begins_m = run.pieces[placed.piece].downstream.height_m() / 2.0});
    }
  }
  return stubs;
}

RoughIn sheet_of(const Subject& subject) {
  const layout::Layout& layout = subject.parts.layout;
  RoughIn sheet;
  sheet.title = layout.title;
  sheet.file = layout.file.substr(layout.file.rfind('/') + 1);
  sheet.sha256 = layout.sha256;
  sheet.holes = subject.parts.holes.size();
  sheet.sections = section_rows(subject);
  sheet.blanks = blanks(subject);
  sheet.system = subject.system;
  const std::vector<Node> nodes = nodes_of(subject);
  for (std::size_t i = 0; i + 1 < nodes.size(); ++i) {
    const layout::Point& a = nodes[i].at;
    const layout::Point& b = nodes[i + 1].at;
    const double length_m = std::hypot(b[0] - a[0], b[1] - a[1], b[2] - a[2]);
    if (length_m > 1e-6) {
      sheet.lengths.push_back({nodes[i].name, nodes[i + 1].name, length_m});
    }
  }
  return sheet;
}

/// The sheets in the making, and what none of them shows.
struct Sheets {
  units::System system;
  std::vector<std::string> not_drawn{};  ///< by its name, for the blanks of the first
  std::vector<RoughIn> all{};
  std::size_t holes = 0;  ///< so many are numbered
};

void add_main(const build::PartsResult& parts, const layout::RunGeometry& route, Sheets& to) {
  const bool makeup = parts.duct == build::Duct::makeup;
  const Subject subject{.parts = parts,
                        .route = route,
                        .system = to.system,
                        .begins = makeup ? "intake" : "collar",
                        .stubs = stubs_of(parts.layout, parts.layout.run, route),
                        .first_hole = to.holes + 1};
  RoughIn sheet = sheet_of(subject);
  for (const std::string& name : to.not_drawn) {
    sheet.blanks.push_back("way of " + name);
  }
  to.not_drawn.clear();
  for (std::size_t i = 0; i < parts.branches.size(); ++i) {
    if (!layout::branch_geometry(parts.layout, i)) {
      sheet.blanks.push_back("way of branch " + base::escaped(parts.branches[i].branch));
    }
  }
  sheet.part = makeup ? "the makeup duct, from outdoors to the room"
               : parts.branches.empty() && parts.makeup.empty()
                   ? ""
                   : "the run, from the collar outdoors";
  put_drawings(sheet, subject);
  to.all.push_back(std::move(sheet));
}

/// Nothing is added where it cannot be placed.
void add_branch(const build::PartsResult& parts, std::size_t branch, Sheets& to) {
  const build::PartsResult& own = parts.branches[branch];
  const auto route = layout::branch_geometry(parts.layout, branch);
  const auto end = joined(parts.layout, branch);
  if (!route || route->pieces.empty() || !end) {
    return;
  }
  const bool makeup = parts.duct == build::Duct::makeup;
  Subject subject{.parts = own,
                  .route = *route,
                  .system = to.system,
                  .begins = makeup ? "intake" : "inlet",
                  .ends = junction_of(parts, branch),
                  .stubs = stubs_of(parts.layout, own.layout.run, *route),
                  .first_hole = to.holes + 1};
  subject.stubs.push_back({.at = end->placed.start,
                           .way = against(end->placed.heading_in),
                           .width = end->placed.width_in,
                           .section = end->piece.upstream});
  subject.stubs.push_back({.at = end->placed.end,
                           .way = end->placed.heading_out,
                           .width = end->placed.width_out,
                           .section = end->piece.downstream,
                           .name = subject.ends});
  RoughIn sheet = sheet_of(subject);
  sheet.part = (makeup ? "makeup branch " : "branch ") + base::escaped(own.branch);
  put_drawings(sheet, subject);
  to.all.push_back(std::move(sheet));
}

/// A duct with its branches.
/// @param route of the duct; nothing: it is not drawn, and its holes have their numbers all the
/// same
void add(const build::PartsResult& parts,
         const std::optional<layout::RunGeometry>& route,
         Sheets& to) {
  if (route) {
    add_main(parts, *route, to);
  }
  to.holes += parts.holes.size();
  for (std::size_t i = 0; i < parts.branches.size(); ++i) {
    if (route) {
      add_branch(parts, i, to);
    }
    to.holes += parts.branches[i].holes.size();
  }
}

std::size_t piece_count(const build::PartsResult& parts) {
  std::size_t pieces = parts.layout.run.pieces.size();
  for (const build::PartsResult& branch : parts.branches) {
    pieces += branch.layout.run.pieces.size();
  }
  return pieces;
}

}  // namespace

std::vector<Node> nodes_of(const Subject& subject) {
  const std::vector<layout::Piece>& pieces = subject.parts.layout.run.pieces;
  std::vector<Node> nodes{
      {.name = subject.begins, .at = subject.route.pieces.front().start, .mark = subject.begins}};
  for (const layout::PlacedPiece& placed : subject.route.pieces) {
    const int number = layout::piece_number(placed.piece);
    const layout::PieceKind kind = pieces[placed.piece].kind;
    if (kind == layout::PieceKind::elbow) {
      nodes.push_back({fmt::format("elbow {}", number), placed.corner, Node::Kind::elbow, number});
    } else if (kind == layout::PieceKind::junction) {
      nodes.push_back(
          {fmt::format("junction {}", number), placed.start, Node::Kind::junction, number});
    }
  }
  const layout::Piece& last = pieces.back();
  const std::string end = last.kind == layout::PieceKind::cap
                              ? fmt::format("cap {}", layout::piece_number(pieces.size() - 1))
                              : std::string("the end");
  nodes.push_back(
      {.name = subject.ends.empty() ? end : subject.ends, .at = subject.route.outlet, .mark = end});
  return nodes;
}

base::Checked<std::vector<RoughIn>> rough_in(const build::PartsResult& parts,
                                             units::System system) {
  if (const std::size_t pieces = piece_count(parts); pieces > picture::kMostPiecesDrawn) {
    return base::fault(
        "too-many-pieces",
        fmt::format(
            "{} pieces; a rough-in sheet shows {} at most", pieces, picture::kMostPiecesDrawn),
        "`parts` lists the holes and the cuts of longer runs");
  }
  const auto route_of = [](const build::PartsResult& one) {
    auto route = piece_count(one) > picture::kMostPiecesDrawn ? std::nullopt
                                                              : layout::run_geometry(one.layout);
    return route && !route->pieces.empty() ? std::move(route) : std::nullopt;
  };
  const auto route = route_of(parts);
  const bool has_makeup = !parts.makeup.empty();
  const auto makeup = has_makeup ? route_of(parts.makeup.front()) : std::nullopt;
  if (!route && !makeup) {
    return base::fault("nothing-to-draw",
                       "a rough-in sheet needs to know where each piece goes",
                       "state `heading` of the run and `turn` of each elbow");
  }
  Sheets sheets{.system = system};
  if (!route) {
    sheets.not_drawn.emplace_back("the exhaust run");
  } else if (has_makeup && !makeup) {
    sheets.not_drawn.emplace_back("the makeup duct");
  }
  add(parts, route, sheets);
  if (has_makeup) {
    add(parts.makeup.front(), makeup, sheets);
  }
  for (std::size_t i = 0; i < sheets.all.size(); ++i) {
    sheets.all[i].number = i + 1;
    sheets.all[i].count = sheets.all.size();
  }
  return std::move(sheets.all);
}

}  // namespace ductledger::sheet
