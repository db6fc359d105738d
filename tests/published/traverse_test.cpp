// The point rules of ISO 3966 and ASHRAE 111 as reprinted in two instrument manuals (seen there;
// the standards themselves were not read), on the one-seventh power profile, whose mean is known
// exactly. The misses expected here are derived, not published: they follow from the printed places
// alone.
#include "site/traverse.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

namespace ductledger::study {
namespace {

constexpr double kDensity_kg_m3 = 1.2;

double velocity_pressure(double velocity_m_s) {
  return kDensity_kg_m3 / 2.0 * velocity_m_s * velocity_m_s;
}

/// Velocity at a distance from the wall, as a fraction of the half width, centre velocity 10 m/s.
double one_seventh(double distance_from_wall) {
  return 10.0 * std::pow(distance_from_wall, 1.0 / 7.0);
}

double from_nearer_wall(double place) { return 2.0 * std::min(place, 1.0 - place); }

struct PointsRow {
  std::size_t points;
  double miss;  ///< point average over exact mean, less 1
};

TEST(Traverse, log_linear_points_miss_the_mean_of_a_round_one_seventh_profile_by_what_is_known) {
  // Exact mean of (1 - r)^(1/7) over a circle: 2 / ((1/7 + 1)(1/7 + 2)) = 49/60.
  const double exact_m_s = 10.0 * 49.0 / 60.0;
  for (const PointsRow& row :
       {PointsRow{6, -0.0027}, PointsRow{8, -0.0009}, PointsRow{10, -0.0011}}) {
    layout::Traverse traverse;
    std::vector<double> line;
    for (const double place : site::traverse_places(duct::Shape::round, row.points)) {
      line.push_back(velocity_pressure(one_seventh(from_nearer_wall(place))));
    }
    ASSERT_EQ(line.size(), row.points);
    traverse.velocity_pressure_pa = {line, line};
    const double mean_m_s = site::traverse_airflow(traverse, kDensity_kg_m3).mean_velocity_m_s;
    EXPECT_NEAR(mean_m_s / exact_m_s - 1.0, row.miss, 0.00005) << row.points << " points";
  }
}

TEST(Traverse, log_tchebycheff_points_miss_the_mean_of_a_square_one_seventh_profile_likewise) {
  // Exact mean of the product of two one-seventh profiles: (7/8)^2.
  const double exact_m_s = 10.0 * 49.0 / 64.0;
  for (const PointsRow& row :
       {PointsRow{5, -0.0020}, PointsRow{6, -0.0045}, PointsRow{7, -0.0008}}) {
    layout::Traverse traverse;
    traverse.section = duct::Section::rectangular(units::inches(20.0), units::inches(20.0));
    const auto places = site::traverse_places(duct::Shape::rectangular, row.points);
    for (const double y : places) {
      std::vector<double> line;
      for (const double x : places) {
        line.push_back(velocity_pressure(one_seventh(from_nearer_wall(x)) *
                                         one_seventh(from_nearer_wall(y)) / 10.0));
      }
      traverse.velocity_pressure_pa.push_back(line);
    }
    const double mean_m_s = site::traverse_airflow(traverse, kDensity_kg_m3).mean_velocity_m_s;
    EXPECT_NEAR(mean_m_s / exact_m_s - 1.0, row.miss, 0.00005) << row.points << " points a side";
  }
}

TEST(Traverse, places_are_symmetric_and_ascend) {
  for (const auto& [shape, counts] :
       {std::pair{duct::Shape::round, std::vector<std::size_t>{6, 8, 10}},
        std::pair{duct::Shape::rectangular, std::vector<std::size_t>{5, 6, 7}}}) {
    for (const std::size_t count : counts) {
      const auto places = site::traverse_places(shape, count);
      ASSERT_EQ(places.size(), count);
      for (std::size_t i = 0; i < count; ++i) {
        EXPECT_NEAR(places[i] + places[count - 1 - i], 1.0, 0.0011) << count << " points, " << i;
        if (i > 0) {
          EXPECT_GT(places[i], places[i - 1]);
        }
      }
    }
  }
}

}  // namespace
}  // namespace ductledger::study
