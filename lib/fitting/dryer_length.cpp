#include "fitting/dryer_length.hpp"

#include <algorithm>
#include <string_view>

#include "base/expects.hpp"
#include "fitting/embedded_internal.hpp"
#include "yaml/reader.hpp"

namespace ductledger::fitting {
namespace {

using units::Dimension;

DryerTable read_table() {
  const auto files = embedded_files();
  const auto file = std::find_if(files.begin(), files.end(), [](const EmbeddedFile& each) {
    return each.path == "dryer-elbow-lengths.yaml";
  });
  // Compiled in: a fault is ours, and a test reads the file whole.
  DUCTLEDGER_EXPECTS(file != files.end());
  const yaml::Tree tree = tree_of(*file);
  yaml::Problems problems(tree.source);
  yaml::MapReader map(tree.root, "table", problems);
  for (const char* key : {"title", "source", "location", "status"}) {
    map.allow(key);
  }
  DryerTable table;
  table.diameter_m = map.quantity("diameter", Dimension::length).value_or(0.0);
  if (const yaml::Node* greatest = map.require("greatest_length", "{length: 35 ft}")) {
    yaml::MapReader keys(*greatest, "greatest_length", problems);
    keys.allow("location");
    table.greatest_length_m = keys.quantity("length", Dimension::length).value_or(0.0);
    keys.finish();
  }
  if (const yaml::Node* rows = map.require("rows", "[]")) {
    for (const yaml::Node& item : rows->items) {
      yaml::MapReader keys(item, "row", problems);
      DryerElbowRow row;
      if (const yaml::Node* make = keys.require("make", "smooth")) {
        row.make = yaml::read_choice(*make, {"mitered", "smooth"}, "make", problems) == 1
                       ? DryerMake::smooth
                       : DryerMake::mitered;
      }
      row.radius_m = keys.quantity("radius", Dimension::length).value_or(0.0);
      row.angle_rad = keys.quantity("angle", Dimension::angle).value_or(0.0);
      row.length_m = keys.quantity("length", Dimension::length).value_or(0.0);
      keys.finish();
      table.rows.push_back(row);
    }
  }
  map.finish();
  DUCTLEDGER_EXPECTS(!problems.has_error() && table.rows.size() > 1);
  return table;
}

constexpr double kRightAngle = 1.5707963267948966;
constexpr double kSameAngle = 1e-6;
constexpr double kSameM = 0.0005;  // a radius that rounding took below the listed one

/// The row of one turn of at most 90 degrees.
const DryerElbowRow& row_of(const DryerElbow& elbow) {
  const DryerElbowRow* best = nullptr;
  for (const DryerElbowRow& row : dryer_table().rows) {
    const bool fits = row.make == elbow.make && row.radius_m <= elbow.radius_m + kSameM &&
                      row.angle_rad >= elbow.angle_rad - kSameAngle;
    if (fits && (best == nullptr || row.angle_rad < best->angle_rad - kSameAngle ||
                 (row.angle_rad < best->angle_rad + kSameAngle && row.radius_m > best->radius_m))) {
      best = &row;
    }
  }
  if (best == nullptr) {
    for (const DryerElbowRow& row : dryer_table().rows) {
      if (row.make == DryerMake::mitered && row.angle_rad >= elbow.angle_rad - kSameAngle &&
          (best == nullptr || row.angle_rad < best->angle_rad)) {
        best = &row;
      }
    }
  }
  DUCTLEDGER_EXPECTS(best != nullptr);
  return *best;
}

}  // namespace

const DryerTable& dryer_table() {
  static const DryerTable table = read_table();
  return table;
}

DryerAllowance dryer_allowance(const DryerElbow& elbow) {
  DUCTLEDGER_EXPECTS(elbow.angle_rad > 0.0);
  DryerAllowance allowance{.length_m = 0.0, .listed = true};
  double left_rad = elbow.angle_rad;
  while (left_rad > kSameAngle) {
    DryerElbow turn = elbow;
    turn.angle_rad = std::min(left_rad, kRightAngle);
    const DryerElbowRow& row = row_of(turn);
    allowance.length_m += row.length_m;
    allowance.listed =
        allowance.listed && row.make == elbow.make && row.radius_m <= elbow.radius_m + kSameM;
    left_rad -= kRightAngle;
  }
  return allowance;
}

}  // namespace ductledger::fitting
