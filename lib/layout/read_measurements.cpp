#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <utility>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "layout/piece_number.hpp"
#include "layout/read_internal.hpp"
#include "units/message.hpp"
#include "units/quantity_text.hpp"
#include "yaml/parse.hpp"

namespace ductledger::layout {
namespace {

using units::Dimension;

constexpr Range kStatic{-20000.0, 20000.0, "-80 inH2O to 80 inH2O"};
constexpr Range kUpstream{0.0, 1000.0, "0 ft to 3000 ft"};

constexpr std::size_t kFewestLines = 2;
constexpr std::size_t kFewestRectangularPoints = 25;

void wrong_count(const yaml::Node& node,
                 std::string message,
                 const char* expected,
                 Reading& reading) {
  auto& d = reading.problems.error(node.span, "wrong-count", std::move(message));
  d.label = expected;
}

/// The point rules: 6, 8 or 10 a diameter; 5 to 7 a row of a rectangular duct, 25 or more in all.
void check_points(const yaml::Node& node, const Traverse& traverse, Reading& reading) {
  const bool round = traverse.section.shape() == duct::Shape::round;
  std::size_t all = 0;
  bool counts_fit = true;
  for (std::size_t i = 0; i < traverse.velocity_pressure_pa.size(); ++i) {
    const std::size_t count = traverse.velocity_pressure_pa[i].size();
    all += count;
    const bool fits = round ? count == 6 || count == 8 || count == 10 : count >= 5 && count <= 7;
    if (!fits) {
      wrong_count(
          node.items[i],
          fmt::format("line {} of the traverse holds {}", i + 1, base::counted(count, "point")),
          round ? "expected 6, 8 or 10 points a diameter (log-linear places)"
                : "expected 5, 6 or 7 points a row (log-Tchebycheff places)",
          reading);
      counts_fit = false;
    } else if (count != traverse.velocity_pressure_pa.front().size()) {
      wrong_count(node.items[i],
                  fmt::format("line {} holds {}, the first holds {}",
                              i + 1,
                              base::counted(count, "point"),
                              traverse.velocity_pressure_pa.front().size()),
                  "expected as many points as in the first line",
                  reading);
      counts_fit = false;
    }
  }
  if (!counts_fit) {
    return;
  }
  const std::size_t lines = traverse.velocity_pressure_pa.size();
  if (round && lines < kFewestLines) {
    wrong_count(node,
                fmt::format("the traverse holds {}", base::counted(lines, "diameter")),
                "expected two diameters at 90 degrees, or three at 60",
                reading);
  } else if (!round && (lines < 5 || lines > 7 || all < kFewestRectangularPoints)) {
    wrong_count(node,
                fmt::format("the traverse holds {}, {} in all",
                            base::counted(lines, "row"),
                            base::counted(all, "point")),
                "expected 5, 6 or 7 rows and at least 25 points (log-Tchebycheff places)",
                reading);
  }
}

std::optional<Traverse> read_traverse(const yaml::Node& node, Reading& reading) {
  yaml::MapReader map(node, "traverse", reading.problems);
  Traverse traverse;
  traverse.span = node.span;
  bool good = map.is_mapping();
  const yaml::Node* section = map.require("section", "8 in round");
  const yaml::Node* points =
      map.require("velocity_pressure", "[0.10 0.13 0.15 0.15 0.12 0.09 inH2O, ...]");
  if (const yaml::Node* upstream = map.get("straight_upstream")) {
    traverse.straight_upstream_m =
        read_within(*upstream, Dimension::length, kUpstream, reading.problems);
  }
  map.finish();
  if (section == nullptr || points == nullptr) {
    return std::nullopt;
  }
  const auto read = read_section(*section, reading.problems);
  good = good && read.has_value();
  if (read) {
    traverse.section = *read;
    if (read->shape() == duct::Shape::flat_oval) {
      auto& d = reading.problems.error(
          section->span, "wrong-section", "no point rule is known here for a flat oval duct");
      d.help = "traverse a round or rectangular part of the run";
      good = false;
    }
  }
  if (points->kind != yaml::NodeKind::sequence) {
    auto& d = reading.problems.error(
        points->span, "wrong-kind", "`velocity_pressure` must be a list of lines");
    d.help = "one entry a diameter or row: `- 0.10 0.13 0.15 0.15 0.12 0.09 inH2O`";
    return std::nullopt;
  }
  for (const yaml::Node& line : points->items) {
    auto values = yaml::read_column(line, Dimension::pressure, reading.problems);
    if (!values) {
      good = false;
      continue;
    }
    if (std::any_of(values->begin(), values->end(), [](double pa) { return pa < 0.0; })) {
      auto& d = reading.problems.error(
          line.span, "out-of-range", "a velocity pressure is negative: the air flows back there");
      d.label = "expected 0 or more";
      d.help = "choose a plane farther from the last fitting, and check the hoses";
      good = false;
    }
    traverse.velocity_pressure_pa.push_back(std::move(*values));
  }
  if (!good) {
    return std::nullopt;
  }
  check_points(*points, traverse, reading);
  return traverse;
}

/// What was read of a node's text, or its faults at the node.
template <class T, class Place>
void take(base::Checked<T> read, const yaml::Node& node, Reading& reading, Place& place) {
  if (read) {
    place = *std::move(read);
    return;
  }
  for (const base::Diagnostic& fault : read.error()) {
    auto& d = reading.problems.error(node.span, fault.rule, fault.message);
    d.label = fault.label;
    d.help = fault.help;
  }
}

struct DoubtKey {
  yaml::MapReader& map;
  const char* key;
  Dimension dimension;
};
void read_doubt(const DoubtKey& of, Reading& reading, std::optional<InstrumentDoubt>& place) {
  if (const yaml::Node* node = of.map.get(of.key)) {
    if (const auto text = yaml::read_text(*node, reading.problems)) {
      take(instrument_doubt(*text, of.dimension), *node, reading, place);
    }
  }
}

void read_one(const yaml::Node& item, Reading& reading, std::vector<Measurement>& into) {
  Measurement record;
  record.span = item.span;
  yaml::MapReader map(item, "measurements", reading.problems);
  if (const yaml::Node* speed = map.get("speed")) {
    record.speed = yaml::read_text(*speed, reading.problems).value_or("");
    check_speed(*speed, record.speed, reading);
  }
  const Run* run = &reading.layout.run;
  if (const yaml::Node* branch = map.get("branch")) {
    if (const auto name = yaml::read_text(*branch, reading.problems)) {
      take(branch_named(*name, reading.layout), *branch, reading, record.branch);
      run = record.branch ? &reading.layout.branches[*record.branch].run : nullptr;
    }
  }
  if (const yaml::Node* pressure = map.get("static_pressure")) {
    record.static_span = pressure->span;
    record.static_pressure_pa =
        read_within(*pressure, Dimension::pressure, kStatic, reading.problems);
  }
  const yaml::Node* airflow = map.get("airflow");
  if (airflow != nullptr) {
    record.airflow_m3_s = read_within(*airflow, Dimension::airflow, kAirflow, reading.problems);
  }
  if (const yaml::Node* by = map.get("by")) {
    static const std::vector<std::string> instruments{"powered-flow-hood", "flow-hood"};
    if (const auto choice = yaml::read_choice(*by, instruments, "instrument", reading.problems)) {
      record.instrument = *choice == 0 ? Instrument::powered_flow_hood : Instrument::flow_hood;
    }
    if (airflow == nullptr) {
      reading.problems
          .error(by->span, "conflicting-keys", "`by` names what `airflow` was read with")
          .label = "expected beside an `airflow`";
    }
  }
  const yaml::Node* traverse = map.get("traverse");
  if (traverse != nullptr) {
    record.traverse = read_traverse(*traverse, reading);
    if (airflow != nullptr) {
      auto& d = reading.problems.error(
          traverse->span, "conflicting-keys", "`airflow` and `traverse` state one thing twice");
      d.help = "make two records of them";
    }
  }
  if (const yaml::Node* at = map.get("at")) {
    record.at_span = at->span;
    // Of a branch that is not known nothing can be said.
    if (const auto text = yaml::read_text(*at, reading.problems); text && run != nullptr) {
      take(gauge_place(*text, *run), *at, reading, record.at);
    }
  }
  read_doubt({map, "static_accuracy", Dimension::pressure}, reading, record.static_doubt);
  read_doubt({map, "airflow_accuracy", Dimension::airflow}, reading, record.airflow_doubt);
  if (map.is_mapping() && !record.static_pressure_pa && airflow == nullptr && traverse == nullptr &&
      map.get("static_pressure") == nullptr) {
    auto& d = reading.problems.error(item.span, "missing-key", "the record holds no reading");
    d.label = "expected `static_pressure`, `airflow` or `traverse`";
  }
  map.finish();
  into.push_back(std::move(record));
}

}  // namespace

void read_measurements(const yaml::Node& list, Reading& reading, std::vector<Measurement>& into) {
  if (list.kind != yaml::NodeKind::sequence) {
    reading.problems.error(list.span, "wrong-kind", "`measurements` must be a list").help =
        "start each record with a dash";
    return;
  }
  if (!holds_at_most(list, kMostReadings, "measurements", reading.problems)) {
    return;
  }
  for (const yaml::Node& item : list.items) {
    read_one(item, reading, into);
  }
}

base::Checked<std::size_t> branch_named(std::string_view name, const Layout& layout) {
  const auto found = std::ranges::find(layout.branches, name, &Branch::name);
  if (found != layout.branches.end()) {
    return static_cast<std::size_t>(found - layout.branches.begin());
  }
  std::vector<std::string> names;
  std::ranges::transform(layout.branches, std::back_inserter(names), &Branch::name);
  const auto near = base::nearest(name, names);
  return base::fault("unknown-branch",
                     fmt::format("no branch is named {}", base::shown(name)),
                     near            ? fmt::format("did you mean `{}`?", *near)
                     : names.empty() ? "the layout has no branches: leave `branch` out"
                                     : "its branches: " + base::joined(names, "and") +
                                           "; without `branch` a reading is of the run");
}

namespace {

constexpr const char* kPlaceForms =
    "`collar`, `hole` (as `ductledger commission` names it), `fan` (the rise across it), or "
    "`\"piece 3, 15 in\"`: how far into that straight";

base::Diagnostics place_fault(std::string rule, std::string message, std::string help) {
  return {base::fault(std::move(rule), std::move(message), std::move(help))};
}

/// A place so far into a straight.
/// @param far what is written behind its number
base::Checked<GaugePlace> place_in_piece(int number, std::string_view far, const Run& run) {
  const auto index = piece_index(run, number);
  if (!index) {
    return place_fault("unknown-piece",
                       fmt::format("the run has no piece {}", number),
                       "its pieces: " + piece_list(run));
  }
  const Piece& piece = run.pieces[*index];
  if (piece.kind != PieceKind::straight || !piece.length_m) {
    return place_fault(
        "no-straight",
        fmt::format("piece {} is no straight: a static pressure is read in straight duct", number),
        "its pieces: " + piece_list(run));
  }
  if (far.empty()) {
    return place_fault(
        "missing-value",
        fmt::format("how far into piece {} is not said", number),
        fmt::format("`\"piece {}, 15 in\"` (within quotes where braces stand around it)", number));
  }
  const auto length = units::parse_quantity(far, Dimension::length);
  if (const auto* wrong = std::get_if<units::TextFault>(&length)) {
    return place_fault(
        wrong->rule, wrong->message, wrong->help.empty() ? kPlaceForms : wrong->help);
  }
  const double from_start_m = std::get<double>(length);
  if (from_start_m < 0.0 || from_start_m > *piece.length_m) {
    return place_fault(
        "out-of-range",
        fmt::format("piece {} is {} long: {} lies outside it",
                    number,
                    units::display(*piece.length_m, Dimension::length, units::System::ip),
                    base::shown(far)),
        "measured along the piece from its start, as the air goes");
  }
  return GaugePlace{.kind = GaugePlace::Kind::piece, .piece = *index, .from_start_m = from_start_m};
}

}  // namespace

base::Checked<GaugePlace> gauge_place(std::string_view text, const Run& run) {
  static const std::vector<std::string> words{"collar", "hole", "fan"};
  const std::string word = base::canonical_word(text);
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (word == words[i]) {
      constexpr std::array kinds{
          GaugePlace::Kind::collar, GaugePlace::Kind::hole, GaugePlace::Kind::fan};
      return GaugePlace{.kind = kinds[i]};
    }
  }
  std::string_view rest = base::trimmed(text);
  constexpr std::string_view kPiece = "piece";
  const bool of_piece = base::canonical_word(rest.substr(0, kPiece.size())) == kPiece;
  rest.remove_prefix(of_piece ? kPiece.size() : 0);
  rest = base::trimmed(rest);
  int number = 0;
  const auto [end, error] = std::from_chars(rest.data(), rest.data() + rest.size(), number);
  if (!of_piece || error != std::errc{}) {
    const auto near = base::nearest(text, words);
    return place_fault("unknown-word",
                       fmt::format("{} is no place of a reading", base::shown(text)),
                       near ? fmt::format("did you mean `{}`?", *near) : kPlaceForms);
  }
  rest.remove_prefix(static_cast<std::size_t>(end - rest.data()));
  rest = base::trimmed(rest);
  rest.remove_prefix(rest.starts_with(',') ? 1 : rest.starts_with("at ") ? 3 : 0);
  return place_in_piece(number, base::trimmed(rest), run);
}

double InstrumentDoubt::at(double reading) const noexcept {
  return std::max(share * std::abs(reading), amount);
}

base::Checked<InstrumentDoubt> instrument_doubt(std::string_view text, Dimension dimension) {
  constexpr double kMostShare = 0.5;
  const auto fault = [](std::string rule, std::string message, std::string help) {
    return base::Diagnostics{base::fault(std::move(rule), std::move(message), std::move(help))};
  };
  const bool is_share = text.find('%') != std::string_view::npos;
  const auto read = units::parse_quantity(text, is_share ? Dimension::ratio : dimension);
  if (const auto* wrong = std::get_if<units::TextFault>(&read)) {
    return fault(
        wrong->rule,
        wrong->message,
        dimension == Dimension::pressure ? "`2 %`, or `0.005 inH2O`" : "`5 %`, or `10 cfm`");
  }
  const double value = std::get<double>(read);
  const double most = is_share                           ? kMostShare
                      : dimension == Dimension::pressure ? kStatic.highest
                                                         : kAirflow.highest;
  if (!(value > 0.0) || value > most) {
    return fault("out-of-range",
                 fmt::format("an instrument is not good to {}", base::shown(text)),
                 is_share ? "expected more than 0 %, up to 50 %" : "expected more than 0");
  }
  return is_share ? InstrumentDoubt{.share = value} : InstrumentDoubt{.amount = value};
}

base::Checked<std::vector<Measurement>> read_readings(const base::SourcePtr& text,
                                                      const Layout& layout) {
  auto tree = yaml::parse(text);
  if (!tree) {
    return std::move(tree).error();
  }
  yaml::Problems problems(text);
  Layout taken_on = layout;
  Reading reading{problems, fitting::Catalogue::built_in(), taken_on};
  std::vector<Measurement> measurements;
  yaml::MapReader map(tree->root, "readings", problems);
  if (const yaml::Node* version = map.require("readings", "1")) {
    const auto number = yaml::read_whole(*version, problems);
    if (number && *number != 1) {
      problems
          .error(version->span,
                 "unknown-version",
                 fmt::format("readings version {} is not known", *number))
          .label = "expected 1";
    }
  }
  if (const yaml::Node* list =
          map.require("measurements", "[{speed: high, static_pressure: 0.42 inH2O}]")) {
    read_measurements(*list, reading, measurements);
    if (list->kind == yaml::NodeKind::sequence && list->items.empty()) {
      problems.error(list->span, "empty-list", "the file holds no readings").label =
          "expected at least one record";
    }
  }
  map.finish();
  if (problems.has_error()) {
    auto faults = problems.take();
    base::sort_by_place(faults);
    return faults;
  }
  return measurements;
}

}  // namespace ductledger::layout
