#include "study/points.hpp"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <random>
#include <string>
#include <vector>

#include "support/example_layout.hpp"

// A number changed in the checked layout gives what the edited file gives, to the last digit.
namespace ductledger::study {
namespace {

using test::catalogue;

/// Elbows close together (or not, by the lengths), a flexible piece, a rise, a house.
struct More {
  std::string flex;    ///< keys of the flexible piece
  std::string pieces;  ///< before the cap
  std::string house;
};
std::string text(const std::vector<double>& v, const More& more = {}) {
  return fmt::format(R"(layout: 1
site:
  indoor: {{temperature: 75 degF}}
  duct: {{temperature: 95 degF}}
  outdoor: {{temperature: {0} K}}
  wind: {1} m/s
appliance: {{kind: range-hood, collar: 8 in round}}
fan:
  speeds:
    - {{name: high, curve: {{airflow: 0 250 450 600 680 cfm, pressure: 0.95 0.88 0.66 0.32 0 inH2O}}}}
    - {{name: low, speed_ratio: 0.6}}
house: {{leakage: {{airflow: {2} m3/s, at: 50 Pa, exponent: 0.65}}{7}}}
run:
  section: 8 in round
  heading: up
  pieces:
    - straight: {3} m
    - elbow: {{type: smooth-radius, turn: back, radius_ratio: 1.5}}
    - straight: {{length: {4} m, through: attic}}
    - elbow: {{type: smooth-radius, turn: up, radius_ratio: 1.5}}
    - flex: {{length: {5} m, stretched: 95 %{8}}}
{9}    - cap: {{type: conical-rain-cap, coefficient: {6}}}
)",
                     v[0],
                     v[1],
                     v[2],
                     v[3],
                     v[4],
                     v[5],
                     v[6],
                     more.house,
                     more.flex,
                     more.pieces);
}
/// Dips, what two laws cost, a fan within the run, a duct that brings air in.
const More kMore{
    ", dips: 2, sag: 0.1 m",
    "    - filter: {type: mesh, pressure: 5 12 Pa, at: 100 200 L/s}\n    - fan\n",
    ", makeup: {kind: duct, interlocked: yes, run: {section: 6 in round, heading: front, "
    "pieces: [{straight: 2 m}]}}"};
const std::vector<std::string> kPlaces{"site.outdoor.temperature",
                                       "site.wind",
                                       "house.leakage.airflow",
                                       "run.pieces[1].length",
                                       "run.pieces[3].length",
                                       "run.pieces[5].length",
                                       "run.pieces[6].coefficient"};

layout::Layout read(const std::string& from) {
  auto made = layout::read(std::make_shared<const base::SourceText>("t.yaml", from), catalogue());
  EXPECT_TRUE(made) << (made ? "" : base::render(made.error()));
  return *std::move(made);
}

void expect_same(const PointFound& got, const std::string& file, const std::string& speed) {
  const auto checked = check(read(file), catalogue(), {.speed = speed});
  ASSERT_TRUE(checked);
  const result::SpeedResult& expected = checked->speeds[*checked->ledger_speed];
  EXPECT_EQ(got.point.status, expected.point.status) << file;
  EXPECT_EQ(got.point.airflow_m3_s, expected.point.airflow_m3_s) << file;
  EXPECT_EQ(got.point.total_pressure_pa, expected.point.total_pressure_pa) << file;
  if (got.depressurisation_pa && expected.house) {
    EXPECT_EQ(*got.depressurisation_pa, expected.house->balance.depressurisation_pa) << file;
  }
}

TEST(Points, equal_the_edited_file) {
  std::mt19937_64 random(5);
  const auto between = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  const layout::Layout layout = read(text({280.0, 2.0, 0.5, 1.0, 1.0, 1.0, 1.2}));
  for (const std::string speed : {"high", "low"}) {
    const std::vector<double> first{280.0, 2.0, 0.5, 1.0, 1.0, 1.0, 1.2};
    auto points = Points::of(layout, catalogue(), {speed, kPlaces, first});
    ASSERT_TRUE(points) << base::render(points.error());
    EXPECT_TRUE(points->all_direct());
    for (int i = 0; i < 100; ++i) {
      const std::vector<double> values{between(245.0, 310.0),
                                       between(0.0, 15.0),
                                       between(0.05, 3.0),
                                       between(0.01, 9.0),
                                       // short enough that the elbows act on each other
                                       i % 2 == 0 ? between(0.001, 0.5) : between(0.5, 9.0),
                                       between(0.01, 4.0),
                                       between(0.3, 6.0)};
      const auto got = points->at(values);
      ASSERT_TRUE(got) << base::render(got.error());
      expect_same(*got, text(values), speed);
    }
  }
}

TEST(Points, follow_some_numbers_while_others_stay) {
  std::mt19937_64 random(6);
  const auto between = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  std::vector<double> values{280.0, 2.0, 0.5, 1.0, 1.0, 1.0, 1.2};
  const layout::Layout layout = read(text(values, kMore));
  std::vector<std::string> places = kPlaces;
  places.back() = "run.pieces[8].coefficient";
  auto points = Points::of(layout, catalogue(), {"high", places, values});
  ASSERT_TRUE(points) << base::render(points.error());
  for (int i = 0; i < 60; ++i) {
    const auto which = static_cast<std::size_t>(between(0.0, 7.0));
    values[which] *= between(0.97, 1.03);
    auto copy = *points;  // follows on its own
    ASSERT_TRUE(copy.at(std::vector<double>{290.0, 0.0, 2.0, 0.1, 0.1, 0.1, 5.0}));
    const auto got = points->at(values);
    ASSERT_TRUE(got) << base::render(got.error());
    expect_same(*got, text(values, kMore), "high");
  }
}

TEST(Points, the_last_of_a_place_named_twice_counts) {
  const std::vector<double> at{280.0, 2.0, 0.5, 1.0, 1.0, 1.0, 1.2};
  const layout::Layout layout = read(text(at));
  auto points = Points::of(
      layout, catalogue(), {"high", {"run.pieces[3].length", "run.pieces[3].length"}, {1.0, 1.0}});
  ASSERT_TRUE(points) << base::render(points.error());
  auto one = Points::of(layout, catalogue(), {"high", {"run.pieces[3].length"}, {1.0}});
  EXPECT_EQ(points->at(std::vector<double>{2.0, 3.0})->point.airflow_m3_s,
            one->at(std::vector<double>{3.0})->point.airflow_m3_s);
  EXPECT_EQ(points->at(std::vector<double>{4.0, 3.0})->point.airflow_m3_s,
            one->at(std::vector<double>{3.0})->point.airflow_m3_s);
}

TEST(Points, go_through_the_text_where_only_the_reader_knows) {
  const std::vector<double> at{280.0, 2.0, 0.5, 1.0, 1.0, 1.0, 1.2};
  const layout::Layout layout = read(text(at));
  auto points = Points::of(layout, catalogue(), {"", {"site.elevation"}, {0.0}});
  ASSERT_TRUE(points) << base::render(points.error());
  EXPECT_FALSE(points->all_direct());
  std::string edited = text(at);
  edited.replace(edited.find("site:\n"), 6, "site:\n  elevation: 1500 m\n");
  expect_same(*points->at(std::vector<double>{1500.0}), edited, "high");
}

TEST(Points, a_value_that_the_reader_refuses_is_refused) {
  const layout::Layout layout = read(text({280.0, 2.0, 0.5, 1.0, 1.0, 1.0, 1.2}));
  auto points = Points::of(layout, catalogue(), {"", {"run.pieces[1].length"}, {1.0}});
  ASSERT_TRUE(points);
  EXPECT_FALSE(points->at(std::vector<double>{-1.0}));
  EXPECT_FALSE(points->at(std::vector<double>{std::nan("")}));
  EXPECT_TRUE(points->at(std::vector<double>{1.0}));
  for (const std::string place : {"run.pieces[1].lenght", "run.pieces[8].length", "nothing.here"}) {
    EXPECT_FALSE(Points::of(layout, catalogue(), {"", {place}, {1.0}})) << place;
  }
}

}  // namespace
}  // namespace ductledger::study
