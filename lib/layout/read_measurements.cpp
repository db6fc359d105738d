#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <utility>

#include "base/text.hpp"
#include "layout/read_internal.hpp"
#include "yaml/parse.hpp"

namespace ductledger::layout {
namespace {

using units::Dimension;

constexpr Range kAirflow{1e-9, 100.0, "more than 0 cfm, up to 200000 cfm"};
constexpr Range kStatic{-20000.0, 20000.0, "-80 inH2O to 80 inH2O"};
constexpr Range kUpstream{0.0, 1000.0, "0 ft to 3000 ft"};

constexpr std::size_t kFewestLines = 2;
constexpr std::size_t kFewestRectangularPoints = 25;

std::string counted(std::size_t count, const char* one) {
  return fmt::format("{} {}{}", count, one, count == 1 ? "" : "s");
}

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
      wrong_count(node.items[i],
                  fmt::format("line {} of the traverse holds {}", i + 1, counted(count, "point")),
                  round ? "expected 6, 8 or 10 points a diameter (log-linear places)"
                        : "expected 5, 6 or 7 points a row (log-Tchebycheff places)",
                  reading);
      counts_fit = false;
    } else if (count != traverse.velocity_pressure_pa.front().size()) {
      wrong_count(node.items[i],
                  fmt::format("line {} holds {}, the first holds {}",
                              i + 1,
                              counted(count, "point"),
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
                fmt::format("the traverse holds {}", counted(lines, "diameter")),
                "expected two diameters at 90 degrees, or three at 60",
                reading);
  } else if (!round && (lines < 5 || lines > 7 || all < kFewestRectangularPoints)) {
    wrong_count(
        node,
        fmt::format(
            "the traverse holds {}, {} in all", counted(lines, "row"), counted(all, "point")),
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

void read_one(const yaml::Node& item, Reading& reading, std::vector<Measurement>& into) {
  Measurement record;
  record.span = item.span;
  yaml::MapReader map(item, "measurements", reading.problems);
  if (const yaml::Node* speed = map.get("speed")) {
    record.speed = yaml::read_text(*speed, reading.problems).value_or("");
    check_speed(*speed, record.speed, reading);
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
    static const std::vector<std::string> places{"collar"};
    (void)yaml::read_choice(*at, places, "place of a reading", reading.problems);
  }
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
  for (const yaml::Node& item : list.items) {
    read_one(item, reading, into);
  }
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
