#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <string_view>

#include "base/text.hpp"
#include "layout/catalogue_query.hpp"
#include "layout/read_pieces_internal.hpp"

namespace ductledger::layout {
namespace {

/// What people call a piece, and the kind that it is here.
struct TradeWord {
  std::string_view word;
  const char* help;
};
constexpr std::array kTradeWords{
    TradeWord{"duct", "write `straight` for rigid duct, `flex` for flexible duct"},
    TradeWord{"pipe", "write `straight` for rigid duct, `flex` for flexible duct"},
    TradeWord{"hose", "write `flex`"},
    TradeWord{"bend", "write `elbow`"},
    TradeWord{"reducer", "write `transition` and the section it leads to"},
    TradeWord{"adapter", "write `transition` and the section it leads to"},
    TradeWord{"flap", "write `damper: backdraft-flap` inside the run, `cap` at its end"},
    TradeWord{"hood", "write `cap` for what ends the run outdoors; the appliance stands in none"},
    TradeWord{"vent", "write `cap` for what ends the run outdoors"},
    TradeWord{"termination", "write `cap`"},
    TradeWord{"grille", "write `cap: grille` where air leaves, `entry: plain` where it enters"},
    TradeWord{"louver", "write `cap: louver` where air leaves, `entry: louver` where it enters"},
    TradeWord{"wye", "a joining branch is a `junction`"},
    TradeWord{"tee", "a joining branch is a `junction`"},
    TradeWord{"blower", "write `fan`"}};

std::optional<PieceKind> kind_of(Walk& walk, const yaml::Entry& entry) {
  const auto kind = kPieceKindWords.find(entry.key);
  if (!kind) {
    const std::vector<std::string> words = kPieceKindWords.all();
    auto& d =
        walk.problems.error(entry.key_span,
                            "unknown-piece",
                            fmt::format("`{}` is no kind of piece", base::escaped(entry.key)));
    d.notes.push_back("kinds: " + base::joined(words));
    const std::string written = base::canonical_word(entry.key);
    const auto trade = std::ranges::find(kTradeWords, written, &TradeWord::word);
    if (trade != kTradeWords.end()) {
      d.help = trade->help;
    } else if (const auto near = base::nearest(entry.key, words)) {
      d.help = fmt::format("did you mean `{}`?", *near);
    }
  }
  return kind;
}

void report_several_keys(Walk& walk, const yaml::Node& item) {
  const yaml::Entry& first = item.entries.front();
  const yaml::Entry& second = item.entries[1];
  const bool second_is_kind = kPieceKindWords.find(second.key).has_value();
  auto& d = walk.problems.error(second.key_span,
                                "several-keys-in-a-piece",
                                fmt::format("a piece has one kind, but `{}` follows `{}`",
                                            base::escaped(second.key),
                                            base::escaped(first.key)));
  if (second_is_kind) {
    d.help = fmt::format("start `{}` on a line of its own with a dash", second.key);
  } else if (first.value.kind == yaml::NodeKind::null) {
    d.help = fmt::format("indent the lines below `{}:` deeper than `{}`", first.key, first.key);
  } else {
    d.help = fmt::format("put them in braces: `- {}: {{..., {}: ...}}`", first.key, second.key);
  }
}

void report_empty(Walk& walk, const Piece& piece) {
  auto& d = walk.problems.error(
      piece.span, "empty-value", fmt::format("`{}` has no value", word(piece.kind)));
  switch (piece.kind) {
    case PieceKind::straight:
    case PieceKind::flex:
      d.help = fmt::format("such as `- {}: 4 ft`", word(piece.kind));
      break;
    case PieceKind::elbow:
      d.help = "such as `- elbow: back` or `- elbow: {type: gored-5, turn: up}`";
      break;
    case PieceKind::transition:
      d.help = "such as `- transition: 6 in round`";
      break;
    case PieceKind::loss:
      d.help = "such as `- loss: {coefficient: 0.35}`";
      break;
    case PieceKind::junction:
      d.help = "such as `- junction: {type: wye-45, branch: bath}`";
      break;
    default:
      d.help = "state a type, such as `" +
               walk.reading.catalogue.types(*catalogue_kind(piece.kind)).front() + "`";
  }
}

void read_fan_piece(Walk& walk, Piece& piece, const yaml::Node& value) {
  if (value.kind == yaml::NodeKind::mapping) {
    yaml::MapReader map(value, "fan", walk.problems);
    read_note(map, piece);
    map.finish();
  } else if (value.kind == yaml::NodeKind::scalar) {
    piece.note = value.text;
  }
  if (!walk.reading.branch.empty()) {
    walk.problems.error(piece.span, "fan-in-branch", "a branch's fan stands at its start").help =
        "describe it as `fan` of the branch, and leave this piece out";
    return;
  }
  if (walk.run.fan_piece) {
    auto& d = walk.problems.error(piece.span, "second-fan", "the run holds a second fan");
    d.others.push_back({walk.run.pieces[*walk.run.fan_piece].span, "the first"});
    d.help = "identical blowers behind one collar are `count` under `fan`";
    return;
  }
  walk.run.fan_piece = walk.run.pieces.size();
  if (!walk.reading.layout.fan) {
    walk.problems
        .error(piece.span,
               "fan-without-description",
               "the run holds a fan, but the layout has no `fan` that describes it")
        .help = "add `fan:` with its speeds";
  }
}

void read_value(Walk& walk, Piece& piece, const yaml::Node& value) {
  const bool empty = value.kind == yaml::NodeKind::null;
  if (piece.kind == PieceKind::fan) {
    read_fan_piece(walk, piece, value);
    return;
  }
  if (empty) {
    report_empty(walk, piece);
    return;
  }
  if (value.kind == yaml::NodeKind::sequence) {
    walk.problems.error(
        value.span, "wrong-kind", fmt::format("`{}` cannot be a list", word(piece.kind)));
    return;
  }
  switch (piece.kind) {
    case PieceKind::straight:
      read_straight(walk, piece, value);
      return;
    case PieceKind::flex:
      read_flex(walk, piece, value);
      return;
    case PieceKind::loss:
      read_loss(walk, piece, value);
      return;
    case PieceKind::junction:
      read_junction(walk, piece, value);
      return;
    case PieceKind::elbow:
      read_elbow(walk, piece, value);
      return;
    case PieceKind::transition:
      read_transition(walk, piece, value);
      return;
    default:
      read_fitting(walk, piece, value);
      return;
  }
}

void read_one(Walk& walk, const yaml::Node& item) {
  std::optional<Piece> read;
  const yaml::Node* value = nullptr;
  yaml::Node bare;
  if (item.kind == yaml::NodeKind::scalar) {
    if (base::canonical_word(item.text) != "fan") {
      auto& d = walk.problems.error(item.span,
                                    "piece-without-value",
                                    fmt::format("`{}` is not a piece", base::escaped(item.text)));
      d.label = "a piece is a kind, a colon and a value";
      d.help = "such as `- straight: 4 ft` or `- cap: wall-hood-flap`";
      return;
    }
    read.emplace(PieceKind::fan);
    read->span = item.span;
    value = &bare;
  } else if (item.kind == yaml::NodeKind::mapping && item.entries.size() == 1) {
    const yaml::Entry& entry = item.entries.front();
    const auto kind = kind_of(walk, entry);
    if (!kind) {
      return;
    }
    read.emplace(*kind);
    read->span = entry.key_span;
    value = &entry.value;
  } else if (item.kind == yaml::NodeKind::mapping && !item.entries.empty()) {
    report_several_keys(walk, item);
    return;
  } else {
    walk.problems.error(item.span, "wrong-kind", "a piece is a kind, a colon and a value").help =
        "such as `- straight: 4 ft`";
    return;
  }
  Piece& piece = *read;
  walk.type_failed = false;
  piece.value_span = value->span.line > 0 ? value->span : piece.span;
  piece.upstream = walk.section;
  piece.downstream = walk.section;
  piece.material = walk.material;
  piece.roughness_m = walk.roughness_m;
  piece.heading_in = walk.heading;
  read_value(walk, piece, *value);
  piece.heading_out = walk.heading;
  walk.section = piece.downstream;
  walk.run.pieces.push_back(std::move(piece));
}

void check_order(Walk& walk) {
  const auto& pieces = walk.run.pieces;
  if (!walk.reading.branch.empty()) {
    const auto cap = std::ranges::find(pieces, PieceKind::cap, &Piece::kind);
    if (cap != pieces.end()) {
      walk.problems
          .error(cap->span, "cap-in-branch", "a branch ends where its junction takes it in")
          .help = "take the cap out: only the run's own end has one; an inlet begins with `entry`";
    }
    return;
  }
  for (std::size_t i = 0; i + 1 < pieces.size(); ++i) {
    if (pieces[i].kind == PieceKind::cap && walk.run.discharge == Discharge::outdoors) {
      auto& d =
          walk.problems.error(pieces[i + 1].span,
                              "piece-after-the-cap",
                              fmt::format("`{}` stands after the cap", word(pieces[i + 1].kind)));
      d.others.push_back({pieces[i].span, "the cap ends the run"});
      if (i == 0) {
        d.help =
            "pieces go with the airflow: where air is drawn in from outdoors the run begins with "
            "an `entry`, such as `entry: louver`, and its `cap` is the last piece";
      }
      return;
    }
  }
}

/// What a type of the user's own does not say of itself; nothing is taken in its place in silence.
void say_missing_traits(Walk& walk) {
  for (const Piece& piece : walk.run.pieces) {
    const auto kind = catalogue_kind(piece.kind);
    if (!kind || piece.known_type().empty()) {
      continue;
    }
    for (const auto& missing :
         fitting::missing_traits(*kind, traits_of(piece, walk.reading.catalogue))) {
      const std::string text =
          fmt::format("{} `{}` does not state `{}` in its catalogue file: {}; add there `{}`",
                      word(piece.kind),
                      piece.type,
                      missing.key,
                      missing.without,
                      missing.example);
      walk.reading.layout.remarks.push_back({"{}", {{.texts = {text, text}}}});
    }
  }
}

/// Of a loss that is the user's own figure, and of which nothing says what stands there: the sign
/// of its kind.
void take_signs(Walk& walk) {
  for (Piece& piece : walk.run.pieces) {
    if (const auto kind = catalogue_kind(piece.kind)) {
      piece.sign =
          fitting::sign_of(*kind,
                           piece.known_type().empty() ? fitting::Traits{}
                                                      : traits_of(piece, walk.reading.catalogue));
    }
  }
}

}  // namespace

Walk::Walk(Reading& of)
    : reading(of),
      problems(of.problems),
      run(of.layout.run),
      section(run.first_section),
      material(run.material),
      roughness_m(run.roughness_m),
      heading(run.heading),
      heading_lost(of.heading_failed) {
  settle_width();
}

void Walk::settle_width() {
  width = heading ? std::optional<Direction>(width_axis(*heading)) : std::nullopt;
}

std::optional<double> read_quantity(Walk& walk,
                                    yaml::MapReader& map,
                                    Piece& piece,
                                    std::string_view key,
                                    units::Dimension dimension,
                                    const Range& range) {
  const yaml::Node* node = map.get(key);
  if (node == nullptr) {
    return std::nullopt;
  }
  piece.key_spans.emplace(key, node->span);
  return read_within(*node, dimension, range, walk.problems);
}

void read_note(yaml::MapReader& map, Piece& piece) { piece.note = map.text("note").value_or(""); }

void read_pieces(const yaml::Node& pieces, Reading& reading) {
  if (pieces.kind != yaml::NodeKind::sequence) {
    reading.problems.error(pieces.span, "wrong-kind", "`pieces` must be a list").help =
        "start each piece with a dash, such as `- straight: 4 ft`";
    return;
  }
  if (pieces.items.empty()) {
    reading.problems.error(pieces.span, "no-pieces", "the run has no pieces").help =
        "such as `- straight: 4 ft`";
    return;
  }
  if (!holds_at_most(pieces, kMostPieces, "pieces", reading.problems)) {
    return;
  }
  Walk walk(reading);
  for (const yaml::Node& item : pieces.items) {
    read_one(walk, item);
  }
  check_order(walk);
  subtract_legs(walk);
  say_missing_traits(walk);
  take_signs(walk);
}

}  // namespace ductledger::layout
