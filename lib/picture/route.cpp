#include "picture/route.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "picture/route_internal.hpp"

namespace ductledger::picture {
namespace route {
namespace {

constexpr double kMarkPx = 34.0;   ///< room of a note's mark
constexpr std::size_t kMany = 80;  ///< so many pieces are numbers alone, their names in the key
constexpr std::size_t kTold = 12;  ///< so many pieces without a number are told by theirs

}  // namespace

RoutePicture Route::draw() {
  if (pieces().size() > kMostPiecesDrawn) {
    draw_none();
    return std::move(picture_);
  }
  picture_.schematic = !result_.route || !subject_.exhaust;
  isometric_ = false;
  if (!picture_.schematic) {
    const layout::Point up{0, 0, 1};
    eye_ = options_.view == RouteView::plan        ? Eye{{1, 0}, {0, -1}, {0, 0}}
           : options_.view == RouteView::elevation ? elevation_eye()
                                                   : best_eye();
    isometric_ = std::abs(std::abs(eye_.right.y) - 0.5) < 1e-6 &&
                 std::abs(std::abs(eye_.back.y) - 0.5) < 1e-6 &&
                 norm(projected(up, eye_)) > kSeenPx;
  }
  const auto long_one = std::ranges::find_if(
      pieces(), [](const Piece& piece) { return piece.length_m.value_or(0.0) > 0.0; });
  if (long_one != pieces().end()) {
    first_length_ = static_cast<int>(long_one - pieces().begin());
  }
  titles();
  if (picture_.schematic) {
    draw_strip();
  } else {
    draw_in_space();
  }
  return std::move(picture_);
}

/// A picture of words: so many pieces could not be told apart.
void Route::draw_none() {
  picture_.schematic = true;
  picture_.title = "The run, not drawn";
  picture_.reading =
      fmt::format("{} pieces; a run of {} at most is drawn.", pieces().size(), kMostPiecesDrawn);
  picture_.width_px = options_.width_px;
  picture_.height_px = 40.0;
  Svg svg = paper();
  svg.text("text", picture_.reading, {{"class", "small quiet"}, {"x", 14.0}, {"y", 24.0}});
  picture_.svg = svg.finish();
}

void Route::collect_rows() {
  rows_.assign(pieces().size(), nullptr);
  if (!subject_.exhaust || !result_.ledger_speed || !result_.speeds[*result_.ledger_speed].ledger) {
    return;
  }
  const solve::Ledger& ledger = *result_.speeds[*result_.ledger_speed].ledger;
  costliest_ = ledger.costliest();
  for (const solve::LedgerRow& row : ledger.rows) {
    if (row.piece_index >= 0 && row.number > 0) {
      rows_[static_cast<std::size_t>(row.piece_index)] = &row;
    }
  }
}

void Route::titles() {
  if (!subject_.exhaust) {
    picture_.title = "Schematic of the makeup air's duct";
    picture_.reading =
        fmt::format("{} pieces from outdoors to the room, as the air goes.", pieces().size());
    return;
  }
  const char* kind = picture_.schematic                      ? "Schematic"
                     : options_.view == RouteView::plan      ? "Plan"
                     : options_.view == RouteView::elevation ? "Elevation"
                     : isometric_                            ? "Isometric drawing"
                                                             : "Oblique drawing";
  picture_.title = fmt::format("{} of the run", kind);
  std::string way = fmt::format("{} pieces from the collar", pieces().size());
  if (result_.route) {
    way += fmt::format(", {} along the centerline, ending {}",
                       show(result_.route->length_m, Dimension::length),
                       rise_words());
  } else {
    way += "; headings are not known, so directions and lengths are not drawn";
  }
  if (costliest_ != nullptr && costliest_->number > 0) {
    way += fmt::format("; largest loss: {}, {}",
                       words::row_name(*costliest_),
                       show(costliest_->share, Dimension::ratio));
  }
  picture_.reading = way + ".";
}

Route::Labelled Route::labelled() {
  Labelled all;
  all.drawn = scaled();
  all.scene.lines = segments_of(all.drawn);
  all.scene.symbols = symbol_boxes(all.drawn);
  all.scene.thorough = roomier_ > 1.9;
  const LabelBox run = extent(all.drawn);
  const double margin_px = narrow_ ? 34.0 : 128.0;
  all.scene.area = {run.left - margin_px, run.top - 46.0, run.right + margin_px, run.bottom + 46.0};
  const auto want = [&](LabelText text, std::vector<SvgPoint> anchors, int owner) {
    all.wanted.push_back({.anchors = std::move(anchors),
                          .owner = owner,
                          .width_px = width_of(text),
                          .height_px = height_of(text)});
    all.texts.push_back(std::move(text));
  };
  for (std::size_t i = 0; i < all.drawn.size(); ++i) {
    const Drawn& one = all.drawn[i];
    const auto begin = all.drawn.begin();
    const auto here = begin + static_cast<std::ptrdiff_t>(i);
    const auto same = [&](const Drawn& other) { return stacked(one, other); };
    if (std::any_of(begin, here, same)) {
      continue;
    }
    LabelText text = label_of(one);
    if (keyed_[static_cast<std::size_t>(one.index)] != 0) {
      text.lines.clear();
    }
    for (auto other = here + 1; other != all.drawn.end(); ++other) {
      if (same(*other)) {
        text.more.push_back(label_of(*other));
      }
    }
    const bool cap = one.piece->kind == PieceKind::cap && one.toward == 0.0;
    std::vector<SvgPoint> anchors{cap ? one.end : one.middle()};
    for (const double share : {0.35, 0.65, 0.2, 0.8}) {
      anchors.push_back(one.at(share));
    }
    want(std::move(text), std::move(anchors), one.index);
  }
  SvgPoint body = all.drawn.front().start;
  for (const layout::Point& corner : appliance_corners()) {
    body = plus(body, projected(corner, eye_), 1.0 / 8.0);
  }
  LabelText appliance = collar_label();
  if (keyed_.back() != 0) {
    appliance = {.mark = kApplianceMark, .lines = {}};
  }
  want(std::move(appliance), {body}, -1);
  all.placed = place_labels(all.scene, all.wanted);
  return all;
}

bool Route::stacked(const Drawn& a, const Drawn& b) const {
  const auto marked = [this](const Drawn& one) {
    return one.toward != 0.0 && keyed_[static_cast<std::size_t>(one.index)] != 0;
  };
  return marked(a) && marked(b) && norm(plus(a.middle(), b.middle(), -1.0)) < 1.0;
}

Route::Labelled Route::settled() {
  const bool many = pieces().size() > kMany;
  const std::vector<double> rooms =
      many ? std::vector{1.0, 2.0, 4.8} : std::vector{1.0, 1.2, 1.5, 2.0, 2.7, 3.6, 4.8};
  for (const double roomier : rooms) {
    roomier_ = roomier;
    keyed_.assign(pieces().size() + 1, narrow_ || many ? 1 : 0);
    keyed_.back() = 0;
    Labelled all = labelled();
    std::vector<std::size_t> unplaced = all.unplaced();
    while (!unplaced.empty()) {
      // A mark takes less room than a label; where all in the way are marks, the sheet grows.
      bool smaller = false;
      for (const std::size_t label : unplaced) {
        const int owner = all.wanted[label].owner;
        char& keyed = owner < 0 ? keyed_.back() : keyed_[static_cast<std::size_t>(owner)];
        smaller = smaller || keyed == 0;
        keyed = 1;
      }
      if (!smaller) {
        break;
      }
      all = labelled();
      unplaced = all.unplaced();
    }
    if (unplaced.empty() || roomier == rooms.back()) {
      drop_unplaced(all);
      return all;
    }
  }
  return {};
}

void Route::drop_unplaced(Labelled& all) {
  for (std::vector<std::size_t> unplaced = all.unplaced(); !unplaced.empty();
       unplaced = all.unplaced()) {
    const auto last = std::find_if(unplaced.rbegin(), unplaced.rend(), [&](std::size_t label) {
      return !all.texts[label].strong;
    });
    if (last == unplaced.rend()) {
      return;  // the costliest piece's label alone is left
    }
    const LabelText& text = all.texts[*last];
    if (!text.mark.empty()) {
      picture_.unlabelled.push_back(text.mark);
    }
    for (const LabelText& more : text.more) {
      picture_.unlabelled.push_back(more.mark);
    }
    const auto at = static_cast<std::ptrdiff_t>(*last);
    all.texts.erase(all.texts.begin() + at);
    all.wanted.erase(all.wanted.begin() + at);
    all.placed.erase(all.placed.begin() + at);
  }
}

Svg Route::paper() const {
  return Svg({.width_px = picture_.width_px,
              .height_px = picture_.height_px,
              .title = picture_.title,
              .description = picture_.reading,
              .id = options_.id,
              .use = options_.use});
}

LabelBox Route::taken(const Labelled& all) const {
  LabelBox box = extent(all.drawn);
  for (const LabelPlaced& place : all.placed) {
    box = united(box, place.box);
  }
  for (const LabelSymbol& symbol : all.scene.symbols) {
    box = united(box, symbol.box);
  }
  for (const Drawn& one : all.drawn) {
    if (crosses_plane(one) || one.hatched) {
      box = united(box, around(one.middle(), 44.0));
    }
  }
  return box;
}

void Route::draw_in_space() {
  Labelled all = settled();
  Lay& drawn = all.drawn;
  for (const LabelWanted& label : all.wanted) {
    picture_.label_owners.push_back(label.owner);
  }
  for (const Drawn& one : drawn) {
    if (!one.bends) {
      picture_.headings.push_back(
          {one.heading_in, unit_or_nothing(projected(one.heading_in, eye_)), one.hatched});
    }
  }

  constexpr double kMarginPx = 12.0;
  const LabelBox whole = taken(all);
  const double wide = whole.right - whole.left + 2.0 * kMarginPx;
  const double paper_px = std::max(options_.width_px, wide);
  const SvgPoint shift{(paper_px - wide) / 2.0 + kMarginPx - whole.left, kMarginPx - whole.top};
  const double foot_top = whole.bottom + shift.y + 14.0;
  const std::vector<Note> notes = note_lines(drawn, paper_px);
  const double notes_px = 22.0 + 17.0 * static_cast<double>(notes.size());
  const Key key = this->key(drawn, paper_px);
  const double legend_px = narrow_ ? 74.0 + notes_px : std::max(86.0, notes_px);
  picture_.width_px = paper_px;
  picture_.height_px = foot_top + (legend_px + key.height_px);

  Svg svg = paper();
  for (Drawn& one : drawn) {
    one.start = plus(one.start, shift);
    one.corner = plus(one.corner, shift);
    one.end = plus(one.end, shift);
  }
  write_run(svg, drawn);
  write_labels(svg, all, shift);
  write_foot(svg, {14.0, foot_top}, notes, paper_px);
  write_key(svg, key, {narrow_ ? 8.0 : 14.0, foot_top + legend_px - 8.0});
  picture_.svg = svg.finish();
  picture_.lines = segments_of(drawn);
  picture_.symbols = symbol_boxes(drawn);
  for (const Over& over : overs(drawn, eye_)) {
    picture_.gaps.push_back(over.at);
  }
}

void Route::write_labels(Svg& svg, const Labelled& all, const SvgPoint& shift) {
  write_leaders(svg, all.placed, shift);
  for (std::size_t i = 0; i < all.placed.size(); ++i) {
    const LabelBox& at = all.placed[i].box;
    const LabelBox box{
        at.left + shift.x, at.top + shift.y, at.right + shift.x, at.bottom + shift.y};
    picture_.labels.push_back(box);
    write_label(svg, all.texts[i], box, at.right <= all.placed[i].leader.from.x);
  }
}

std::vector<Route::Note> Route::foot_notes(const Lay& drawn) const {
  std::vector<Note> notes;
  const bool axes = options_.view == RouteView::isometric;
  const std::string scale = axes ? "lengths to scale along the axes" : "lengths to scale";
  if (broken_) {
    notes.push_back(
        {scale + ", except at this break", [](Svg& svg, const SvgPoint& at) {
           svg.leaf("path",
                    {{"class", "line run"}, {"d", svg_path({{at.x, at.y}, {at.x + 26.0, at.y}})}});
           write_break(svg,
                       {.at = {at.x + 13.0, at.y}, .flow = {1.0, 0.0}, .downward = std::nullopt});
         }});
  } else {
    notes.push_back({scale});
  }
  if (lengthened_) {
    notes.push_back({"the shortest straights are drawn longer"});
  }
  if (std::ranges::any_of(drawn, [](const Drawn& one) { return one.hatched; })) {
    notes.push_back({"hatched: how far an offset goes along each axis"});
  }
  const bool room = std::ranges::any_of(pieces(), [](const Piece& piece) {
    return piece.kind != PieceKind::elbow && piece.length_m.value_or(0.0) <= 0.0;
  });
  if (room) {
    notes.push_back({"appliance and fittings: signs, not to scale"});
  }
  if (result_.route->nominal_legs) {
    notes.push_back({"elbow legs not stated: drawn by their radius"});
  }
  if (!picture_.unlabelled.empty()) {
    notes.push_back({"no room for " +
                     (picture_.unlabelled.size() > kTold
                          ? fmt::format("{} of the numbers", picture_.unlabelled.size())
                          : "the numbers " + base::joined(picture_.unlabelled, "and")) +
                     ": pieces follow one another from the collar"});
  }
  if (std::ranges::any_of(drawn, [this](const Drawn& one) { return shows_section(one); })) {
    notes.push_back({"outlines across the duct: how its two sides lie"});
  }
  return notes;
}

std::vector<Route::Note> Route::note_lines(const Lay& drawn, double paper_px) const {
  const double room_px = narrow_ ? paper_px - 28.0 : 400.0;
  std::vector<Note> lines;
  for (Note& note : foot_notes(drawn)) {
    const double most_px = room_px - (note.mark ? kMarkPx : 0.0);
    std::string rest = std::move(note.text);
    while (1.08 * text_width_px(rest, kSmallPx) > most_px) {
      std::size_t cut = rest.rfind(' ');
      while (cut != std::string::npos &&
             1.08 * text_width_px(rest.substr(0, cut), kSmallPx) > most_px) {
        cut = cut == 0 ? std::string::npos : rest.rfind(' ', cut - 1);
      }
      if (cut == std::string::npos) {
        break;
      }
      lines.push_back({rest.substr(0, cut), std::exchange(note.mark, {})});
      rest.erase(0, cut + 1);
    }
    lines.push_back({std::move(rest), note.mark});
  }
  return lines;
}

void Route::write_foot(Svg& svg,
                       const SvgPoint& at,
                       const std::vector<Note>& notes,
                       double paper_px) const {
  svg.leaf("path", {{"class", "rule"}, {"d", svg_path({{at.x, at.y}, {paper_px - 14.0, at.y}})}});
  write_axes(svg, {at.x + 34.0, at.y + 44.0});
  double x = at.x + 110.0;
  x += write_scale_bar(svg, {x, at.y + 30.0});
  double y = at.y + 22.0;
  if (narrow_) {
    x = at.x;
    y = at.y + 90.0;
  }
  for (const Note& note : notes) {
    if (note.mark) {
      note.mark(svg, {x, y - 4.0});
    }
    svg.text("text",
             note.text,
             {{"class", "small quiet"}, {"x", x + (note.mark ? kMarkPx : 0.0)}, {"y", y}});
    y += 17.0;
  }
}

}  // namespace route

RoutePicture route_picture(const study::CheckResult& result, const RouteOptions& options) {
  return route::Route(result, options, {.run = &result.layout.run}).draw();
}

RoutePicture makeup_picture(const study::CheckResult& result, const RouteOptions& options) {
  const auto& house = result.layout.house;
  if (!house || house->makeup.duct.empty() || house->makeup.duct.front().pieces.empty()) {
    return {};
  }
  return route::Route(result, options, {.run = &house->makeup.duct.front(), .exhaust = false})
      .draw();
}

}  // namespace ductledger::picture
