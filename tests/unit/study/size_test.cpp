#include "study/size.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <string>

namespace ductledger::study {
namespace {

// Invented fan and run; every figure below is solved from them.
constexpr const char* kLayout = R"(layout: 1
title: Test bench
appliance: {kind: exhaust, collar: 7 in round, includes: [damper]}
fan:
  speeds:
    - name: high
      curve: {airflow: 0 150 300 420 500 560 cfm, pressure: 1.00 0.90 0.70 0.45 0.22 0 inH2O}
    - {name: low, speed_ratio: 0.6}
run:
  section: 7 in round
  material: galvanized-steel
  heading: up
  pieces:
    - straight: 4 ft
    - elbow: {type: gored-5, turn: back, radius_ratio: 1.0}
    - straight: 12 ft
    - cap: wall-hood-flap
)";

const fitting::Catalogue& built_in() { return fitting::Catalogue::built_in(); }

layout::Layout bench(const std::string& text = kLayout) {
  auto layout = layout::read(std::make_shared<base::SourceText>("bench.yaml", text), built_in());
  EXPECT_TRUE(layout) << (layout ? "" : base::render(layout.error()));
  return *std::move(layout);
}

double cfm(double value) { return value * units::kM3SPerCfm; }

study::SizeResult sized(double wanted_cfm, study::SizeOptions options = {}) {
  options.deliver_m3_s = cfm(wanted_cfm);
  auto result = study::size(bench(), built_in(), options);
  EXPECT_TRUE(result) << (result ? "" : base::render(result.error()));
  return *std::move(result);
}

/// 300 cfm, which several tests look at.
const study::SizeResult& at_300() {
  static const study::SizeResult result = sized(300.0);
  return result;
}

double airflow(const layout::Layout& layout, std::size_t speed = 0) {
  const auto checked = study::check(layout, built_in());
  EXPECT_TRUE(checked);
  return checked->speeds[speed].point.airflow_m3_s;
}

/// The low end of the band; the airflow where there is none.
double low(const layout::Layout& layout) {
  const auto checked = study::check(layout, built_in());
  EXPECT_TRUE(checked);
  const result::SpeedResult& speed = checked->speeds.front();
  return speed.airflow_band_m3_s ? speed.airflow_band_m3_s->low : speed.point.airflow_m3_s;
}

const study::TriedSize* find(const study::SizeResult& result, const std::string& section) {
  const auto found =
      std::find_if(result.tried.begin(), result.tried.end(), [&](const study::TriedSize& each) {
        return duct::to_text(each.section) == section;
      });
  return found == result.tried.end() ? nullptr : &*found;
}

TEST(Size, every_size_has_the_numbers_that_check_gives_for_the_edited_layout) {
  const study::SizeResult& result = at_300();
  std::size_t solved = 0;
  for (const study::TriedSize& size : result.tried) {
    const edit::Edited edited = edit::with_section(bench(), built_in(), {.section = size.section});
    ASSERT_EQ(edited.has_value(), size.layout.has_value()) << duct::to_text(size.section);
    if (!edited) {
      EXPECT_TRUE(size.refused_for(study::Refusal::no_figures));
      EXPECT_FALSE(size.why_not.empty());
      continue;
    }
    ++solved;
    const auto checked = study::check(*edited, built_in());
    ASSERT_TRUE(checked);
    const result::SpeedResult& speed = checked->speeds.front();
    EXPECT_EQ(speed.point.airflow_m3_s, size.airflow_m3_s) << duct::to_text(size.section);
    ASSERT_EQ(speed.airflow_band_m3_s.has_value(), size.airflow_band_m3_s.has_value());
    if (speed.airflow_band_m3_s) {
      EXPECT_EQ(speed.airflow_band_m3_s->low, size.airflow_band_m3_s->low);
      EXPECT_EQ(speed.airflow_band_m3_s->high, size.airflow_band_m3_s->high);
    }
  }
  EXPECT_GE(solved, 20U);
}

TEST(Size, what_delivers_has_the_low_end_of_its_band_over_the_airflow_and_comes_smallest_first) {
  const study::SizeResult result = sized(330.0);
  ASSERT_TRUE(result.smallest);
  double area_m2 = 0.0;
  std::size_t just = 0;
  for (const study::TriedSize& size : result.tried) {
    EXPECT_GE(size.section.area_m2(), area_m2);
    area_m2 = size.section.area_m2();
    if (size.delivers()) {
      ASSERT_TRUE(size.low_m3_s);
      EXPECT_GE(*size.low_m3_s, cfm(330.0));
    }
    if (size.refused_for(study::Refusal::just)) {
      ++just;
      EXPECT_GE(size.airflow_m3_s, cfm(330.0));
      ASSERT_TRUE(size.low_m3_s);
      EXPECT_LT(*size.low_m3_s, cfm(330.0));
    }
    if (size.refused_for(study::Refusal::too_little_air)) {
      EXPECT_LT(size.airflow_m3_s, cfm(330.0));
    }
  }
  EXPECT_GT(just, 0U);
  for (std::size_t i = 0; i < *result.smallest; ++i) {
    EXPECT_FALSE(result.tried[i].delivers());
  }
}

TEST(Size, depth_and_velocity_asked_for_are_kept) {
  study::SizeOptions options;
  options.max_depth_m = 4.0 * units::kMetresPerInch;
  options.max_velocity_m_s = 1500.0 * units::kMetresPerFoot / 60.0;
  const study::SizeResult result = sized(200.0, options);
  for (const study::TriedSize& size : result.tried) {
    if (size.delivers()) {
      EXPECT_LE(size.depth_m, 4.0 * units::kMetresPerInch * (1.0 + 1e-9));
      EXPECT_LE(size.velocity_m_s, *options.max_velocity_m_s);
      EXPECT_NEAR(size.velocity_m_s, size.airflow_m3_s / size.section.area_m2(), 1e-12);
    }
  }
  ASSERT_NE(find(result, "4 in round"), nullptr);
  EXPECT_FALSE(find(result, "4 in round")->refused_for(study::Refusal::too_deep));
  EXPECT_TRUE(find(result, "4 in round")->refused_for(study::Refusal::too_fast));
  EXPECT_TRUE(find(result, "8 in round")->refused_for(study::Refusal::too_deep));
}

TEST(Size, a_size_below_the_collar_is_said) {
  const study::SizeResult& result = at_300();
  EXPECT_TRUE(find(result, "6 in round")->refused_for(study::Refusal::smaller_than_collar));
  EXPECT_FALSE(find(result, "7 in round")->refused_for(study::Refusal::smaller_than_collar));
}

TEST(Size, the_greatest_length_is_that_of_halving_over_edited_layouts) {
  const double wanted = cfm(300.0);
  const study::SizeResult& result = at_300();
  const auto halved = [&](auto&& delivered) {
    double shortest = 0.01;
    double longest = 300.0;
    for (int i = 0; i < 29; ++i) {
      const double middle = (shortest + longest) / 2.0;
      const edit::Edited edited =
          edit::with_length(bench(), built_in(), {.piece = 2, .length_m = middle});
      (delivered(*edited) >= wanted ? shortest : longest) = middle;
    }
    return shortest;
  };
  ASSERT_EQ(result.limits.straight, 2U);
  ASSERT_TRUE(result.limits.reach);
  EXPECT_FALSE(result.limits.reach->further);
  EXPECT_NEAR(
      result.limits.reach->length_m, halved([](const auto& l) { return airflow(l); }), 1e-5);
  ASSERT_TRUE(result.limits.reach_with_margin);
  EXPECT_NEAR(result.limits.reach_with_margin->length_m,
              halved([](const auto& l) { return low(l); }),
              1e-5);
  EXPECT_LT(result.limits.reach_with_margin->length_m, result.limits.reach->length_m);
}

TEST(Size, what_delivers_as_drawn_may_be_as_long_as_drawn) {
  // Mitres close to each other cost more than further apart, so that a shorter straight is worse.
  for (const char* drawn : {"12 in", "18 in", "30 in", "9 ft"}) {
    std::string text = kLayout;
    text.replace(text.find("run:"),
                 std::string::npos,
                 R"(run:
  section: 10 x 3.25 in
  heading: back
  pieces:
    - elbow: {type: mitered, turn: up}
    - straight: )" + std::string(drawn) +
                     R"(
    - elbow: {type: mitered, turn: back}
    - cap: {type: louver, coefficient: 1.6 +- 20 %}
)");
    const layout::Layout layout = bench(text);
    for (const double share : {0.8, 0.99, 0.9999, 1.0001, 1.01}) {
      const double wanted = share * airflow(layout);
      const auto result = study::size(layout, built_in(), {.deliver_m3_s = wanted});
      ASSERT_TRUE(result);
      const auto& reach = result->limits.reach;
      if (share < 1.0) {
        ASSERT_TRUE(reach) << drawn << ' ' << share;
        EXPECT_GE(reach->length_m, result->limits.straight_m) << drawn << ' ' << share;
      }
      if (reach && !reach->further) {
        const auto at = edit::with_length(
            layout, built_in(), {.piece = *result->limits.straight, .length_m = reach->length_m});
        EXPECT_NEAR(airflow(*at), wanted, 1e-6 * wanted) << drawn << ' ' << share;
      }
      if (result->limits.reach_with_margin) {
        EXPECT_LE(result->limits.reach_with_margin->length_m, reach->length_m);
      }
    }
  }
}

TEST(Size, a_stack_that_grows_with_the_longest_straight_is_said) {
  const auto helps = [](const std::string& site, const std::string& heading) {
    std::string text = kLayout;
    text.replace(text.find("12 ft"), 5, "3 ft");  // the upright piece is the longer one
    text.replace(text.find("heading: up"), 11, "heading: " + heading);
    text.replace(text.find("turn: back"), 10, heading == "up" ? "turn: back" : "turn: up");
    text.insert(text.find("appliance:"), site);
    const auto result = study::size(bench(text), built_in(), {.deliver_m3_s = cfm(300.0)});
    EXPECT_TRUE(result);
    return result && result->limits.stack_helps;
  };
  EXPECT_TRUE(helps("site: {outdoor: {temperature: 20 degF}}\n", "up"));
  EXPECT_FALSE(helps("site: {outdoor: {temperature: 20 degF}}\n", "back"));
  EXPECT_FALSE(helps("site: {outdoor: {temperature: 110 degF}}\n", "up"));
  EXPECT_FALSE(helps("", "up"));
}

TEST(Size, further_elbows_still_deliver_and_one_more_does_not) {
  const double wanted = cfm(300.0);
  const study::SizeResult& result = at_300();
  ASSERT_TRUE(result.limits.elbows);
  EXPECT_EQ(result.limits.elbow, "gored-5");
  // By the pressure that the fan has over at the airflow wanted, in elbows.
  const auto checked = study::check(bench(), built_in());
  const double velocity = wanted / (7.0 * 7.0 * units::kMetresPerInch * units::kMetresPerInch *
                                    3.14159265358979323846 / 4.0);
  const double elbow_pa =
      result.limits.elbow_coefficient * 0.5 * checked->run.air.density_kg_m3 * velocity * velocity;
  const double spare_pa = *result.limits.fan_static_pa - result.limits.needed_static_pa;
  EXPECT_EQ(*result.limits.elbows, static_cast<int>(std::floor(spare_pa / elbow_pa)));
  // As the run's own elbow costs it.
  const solve::LedgerRow& own = checked->speeds.front().ledger->rows[2];
  EXPECT_EQ(own.piece, "elbow");
  EXPECT_NEAR(result.limits.elbow_coefficient, own.coefficient / own.interaction, 0.02);
  ASSERT_TRUE(result.limits.elbows_with_margin);
  EXPECT_LE(*result.limits.elbows_with_margin, *result.limits.elbows);
}

TEST(Size, a_fan_of_the_least_pressure_delivers_just_what_is_wanted) {
  const study::SizeResult& result = at_300();
  std::string text = kLayout;
  // A curve is printed for standard air.
  const double needed_in = result.limits.needed_static_pa / units::kPascalPerInchWater * 1.20138 /
                           result.check.run.air.density_kg_m3;
  const std::size_t from = text.find("curve:");
  const std::size_t to = text.find('\n', from);
  text.replace(
      from,
      to - from,
      "curve: {airflow: 0 300 600 cfm, pressure: 2.0 " + std::to_string(needed_in) + " 0 inH2O}");
  EXPECT_NEAR(airflow(bench(text)), cfm(300.0), 1e-5);
}

TEST(Size, an_airflow_above_free_air_is_said_to_be_bound_by_the_fan) {
  const study::SizeResult result = sized(600.0);
  EXPECT_FALSE(result.smallest);
  ASSERT_TRUE(result.bound);
  EXPECT_FALSE(result.free_air_is_curve_end);
  EXPECT_NEAR(result.free_air_m3_s, cfm(560.0), 1e-9);
  EXPECT_FALSE(result.limits.reach);
  EXPECT_FALSE(result.limits.elbows);
  EXPECT_FALSE(result.limits.fan_static_pa);
}

TEST(Size, the_piece_that_bounds_is_named_with_the_airflow_without_it) {
  study::SizeOptions options;
  options.max_depth_m = 7.0 * units::kMetresPerInch;
  const study::SizeResult result = sized(500.0, options);
  ASSERT_TRUE(result.bound);
  ASSERT_TRUE(result.bound->best);
  const study::TriedSize& best = result.tried[*result.bound->best];
  ASSERT_FALSE(result.bound->without_piece.empty());
  const study::WithoutPiece& first = result.bound->without_piece.front();
  EXPECT_GT(first.airflow_m3_s, best.airflow_m3_s);
  // The same by the file: a cap that costs its exit alone is not "without"; a stated 0 is.
  const auto cap = edit::cap_of(*best.layout);
  ASSERT_TRUE(cap);
  for (const study::WithoutPiece& piece : result.bound->without_piece) {
    if (piece.number == static_cast<int>(*cap) + 1) {
      const edit::Edited free = edit::with_piece_replaced(
          *best.layout, built_in(), {.piece = *cap, .text = "cap: {coefficient: 0}"});
      ASSERT_TRUE(free);
      EXPECT_NEAR(piece.airflow_m3_s, airflow(*free), 1e-9);
    }
  }
}

TEST(Size, other_elbows_and_caps_are_tried_on_what_fails_narrowly) {
  const study::TriedSize seven = *find(at_300(), "7 in round");
  const double between = (seven.airflow_m3_s + *seven.low_m3_s) / 2.0;
  const study::SizeResult result = sized(between / units::kM3SPerCfm);
  EXPECT_TRUE(find(result, "7 in round")->refused_for(study::Refusal::just));
  EXPECT_GT(result.varied_count, 0U);
  for (const study::TriedSize& size : result.varied) {
    EXPECT_TRUE(size.delivers());
    EXPECT_FALSE(size.changes.empty());
    ASSERT_TRUE(size.layout);
    EXPECT_EQ(size.airflow_m3_s, airflow(*size.layout));
  }
}

TEST(Size, a_speed_asked_for_is_the_one_that_has_to_deliver) {
  study::SizeOptions options;
  options.speed = "low";
  const study::SizeResult result = sized(150.0, options);
  EXPECT_EQ(result.speed, 1U);
  const study::TriedSize* size = find(result, "8 in round");
  ASSERT_NE(size, nullptr);
  EXPECT_EQ(size->airflow_m3_s, airflow(*size->layout, 1));
}

TEST(Size, below_the_curve_nothing_is_taken_as_delivered) {
  std::string text = kLayout;
  text.replace(text.find("airflow: 0 150 "), 15, "airflow: ");
  text.replace(text.find("pressure: 1.00 0.90 "), 20, "pressure: ");
  study::SizeOptions options;
  options.deliver_m3_s = cfm(280.0);
  const auto result = study::size(bench(text), built_in(), options);
  ASSERT_TRUE(result);
  const study::TriedSize* small = find(*result, "4 in round");
  ASSERT_NE(small, nullptr);
  EXPECT_EQ(small->status, solve::Status::below_curve);
  // The estimate is told, not where the curve begins; judged are the ends of what is possible.
  EXPECT_LT(small->airflow_m3_s, cfm(280.0));
  EXPECT_EQ(small->refused_for(study::Refusal::too_little_air),
            small->airflow_band_m3_s->high < cfm(280.0));
  EXPECT_FALSE(small->delivers());
  ASSERT_TRUE(result->limits.reach);
  EXPECT_FALSE(result->limits.reach->further);
  EXPECT_GE(airflow(*edit::with_length(
                bench(text), built_in(), {.piece = 2, .length_m = result->limits.reach->length_m})),
            cfm(300.0) - 1e-9);
}

TEST(Size, beyond_the_curve_the_margin_is_judged_by_samples) {
  std::string text = kLayout;
  text.replace(text.find(" 560 cfm"), 8, " cfm");
  text.replace(text.find(" 0 inH2O"), 8, " inH2O");
  study::SizeOptions options;
  options.deliver_m3_s = cfm(400.0);
  const auto result = study::size(bench(text), built_in(), options);
  ASSERT_TRUE(result);
  EXPECT_TRUE(result->free_air_is_curve_end);
  const study::TriedSize* large = find(*result, "14 in round");
  ASSERT_NE(large, nullptr);
  EXPECT_EQ(large->status, solve::Status::beyond_curve);
  EXPECT_EQ(large->airflow_m3_s, cfm(500.0));
  ASSERT_TRUE(large->airflow_band_m3_s);
  EXPECT_GT(large->airflow_band_m3_s->high, cfm(500.0));
  ASSERT_TRUE(large->low_m3_s);
  EXPECT_GT(*large->low_m3_s, cfm(400.0));
  EXPECT_LE(*large->low_m3_s, cfm(500.0));
  EXPECT_TRUE(large->delivers());
}

/// Where bounds are all that is known, a size that may deliver is not called too small.
TEST(Size, bounds_that_leave_it_open_are_marginal_not_too_little) {
  for (const char* rated :
       {"[{airflow: 420 cfm, pressure: 0.25 inH2O}, {airflow: 450 cfm, pressure: 0.1 inH2O}]",
        "{airflow: 420 cfm, pressure: 0.25 inH2O}"}) {
    std::string text = kLayout;
    const auto begin = text.find("    - name: high");
    text.replace(begin,
                 text.find("run:") - begin,
                 std::string("    - {name: high, rated: ") + rated + "}\n");
    const auto result = study::size(bench(text), built_in(), {.deliver_m3_s = cfm(300.0)});
    ASSERT_TRUE(result) << base::render(result.error());
    bool open = false;
    for (const study::TriedSize& size : result->tried) {
      if (!size.airflow_band_m3_s || size.status == solve::Status::found) {
        continue;
      }
      const result::Band& band = *size.airflow_band_m3_s;
      EXPECT_EQ(size.refused_for(study::Refusal::too_little_air), band.high < cfm(300.0));
      EXPECT_EQ(size.refused_for(study::Refusal::just),
                band.low < cfm(300.0) && band.high >= cfm(300.0));
      open = open || size.refused_for(study::Refusal::just);
    }
    EXPECT_TRUE(open) << rated;
    ASSERT_TRUE(result->smallest) << rated;
    EXPECT_GE(result->tried[*result->smallest].airflow_band_m3_s->low, cfm(300.0));
  }
}

TEST(Size, sizes_of_ones_own_are_tried_in_their_place) {
  study::SizeOptions options;
  options.more_sizes = {duct::Section::round(units::inches(9.0))};
  const study::SizeResult result = sized(300.0, options);
  ASSERT_NE(find(result, "9 in round"), nullptr);
  EXPECT_EQ(result.tried.size(), at_300().tried.size() + 1);
}

TEST(Size, without_a_fan_or_an_airflow_it_says_so) {
  const auto nothing_wanted = study::size(bench(), built_in(), {});
  ASSERT_FALSE(nothing_wanted);
  EXPECT_EQ(nothing_wanted.error().front().rule, "no-airflow-wanted");
  study::SizeOptions options;
  options.deliver_m3_s = cfm(300.0);
  const auto no_fan =
      study::size(bench("layout: 1\nappliance: {kind: exhaust}\n"
                        "run: {section: 6 in round, material: galvanized-steel, pieces: "
                        "[{straight: 4 ft}]}\n"),
                  built_in(),
                  options);
  ASSERT_FALSE(no_fan);
  EXPECT_EQ(no_fan.error().front().rule, "no-fan");
}

// The run against a pressure in a fan's place: at the airflow of each size the run asks for it.
TEST(Size, without_a_fan_a_pressure_says_what_a_run_may_ask) {
  study::SizeOptions options;
  options.deliver_m3_s = cfm(300.0);
  options.within_pa = 0.25 * 249.08891;
  const auto sized =
      study::size(bench("layout: 1\nappliance: {kind: exhaust}\n"
                        "run: {section: 6 in round, material: galvanized-steel, pieces: "
                        "[{straight: 20 ft}, {cap: {type: grille, coefficient: 2}}]}\n"),
                  built_in(),
                  options);
  ASSERT_TRUE(sized);
  ASSERT_TRUE(sized->smallest.has_value());
  const study::TriedSize& smallest = sized->tried[*sized->smallest];
  EXPECT_GE(smallest.low_m3_s.value_or(0.0), cfm(300.0));
  EXPECT_LT(smallest.needed_static_pa, *options.within_pa);
  EXPECT_LT(sized->drawn.airflow_m3_s, cfm(300.0));
  EXPECT_GT(sized->drawn.needed_static_pa, *options.within_pa);
}

TEST(Size, a_list_of_sizes_reports_every_fault_at_its_place) {
  const auto text = [](const char* yaml) {
    return std::make_shared<base::SourceText>("sizes.yaml", yaml);
  };
  const auto good = study::read_sizes(text("sizes: 1\nstock: [9 in round, 12 x 4 in]\n"));
  ASSERT_TRUE(good);
  EXPECT_EQ(good->size(), 2U);
  const auto bad =
      study::read_sizes(text("sizes: 1\nstock: [9 in, 12 by 4, 9 in round]\nstok: 2\n"));
  ASSERT_FALSE(bad);
  ASSERT_EQ(bad.error().size(), 3U);
  EXPECT_EQ(bad.error()[0].span.line, 2);
  EXPECT_EQ(bad.error()[2].span.line, 3);
  EXPECT_FALSE(study::read_sizes(text("sizes: 2\nstock: [9 in round]\n")));
  EXPECT_FALSE(study::read_sizes(text("sizes: 1\nstock: []\n")));
}

study::SizeResult by_rules(const std::string& text, double wanted_cfm) {
  static const auto sets = std::make_shared<const std::vector<rules::RuleSet>>(
      std::vector<rules::RuleSet>{*rules::find_built_in("irc-2021")});
  auto result =
      study::size(bench(text), built_in(), {.deliver_m3_s = cfm(wanted_cfm), .sets = sets});
  EXPECT_TRUE(result) << (result ? "" : base::render(result.error()));
  return *std::move(result);
}

// A clothes dryer's duct is 4 in: International Residential Code M1502.4.1.
TEST(SizeRules, a_dryer_is_offered_no_size_that_the_code_refuses) {
  const study::SizeResult result = by_rules(
      "layout: 1\nappliance: {kind: clothes-dryer, collar: 4 in round}\n"
      "fan: {speeds: [{name: on, curve: {airflow: 0 80 140 200 cfm, pressure: 0.9 0.75 0.5 0 "
      "inH2O}}]}\nrun:\n  section: 4 in round\n  heading: up\n  pieces:\n    - straight: 6 ft\n"
      "    - elbow: {type: gored-5, turn: back}\n    - straight: 10 ft\n    - cap: "
      "wall-hood-flap\n",
      90.0);
  ASSERT_TRUE(result.smallest);
  EXPECT_EQ(duct::to_text(result.tried[*result.smallest].section), "4 in round");
  for (const study::TriedSize& size : result.tried) {
    if (size.delivers()) {
      EXPECT_EQ(duct::to_text(size.section), "4 in round");
    }
  }
  EXPECT_TRUE(find(result, "6 in round")->refused_for(study::Refusal::breaks_a_rule));
}

TEST(SizeRules, flexible_duct_is_offered_round_alone) {
  const study::SizeResult result = by_rules(
      "layout: 1\nappliance: {kind: bath-fan, collar: 4 in round}\n"
      "fan: {speeds: [{name: on, curve: {airflow: 0 40 80 110 cfm, pressure: 0.6 0.45 0.25 0 "
      "inH2O}}]}\nrun:\n  section: 4 in round\n  heading: up\n  pieces:\n"
      "    - elbow: {type: flexible-bend, turn: back}\n    - flex: {length: 8 ft}\n"
      "    - cap: wall-hood-flap\n",
      50.0);
  for (const study::TriedSize& size : result.tried) {
    if (size.delivers()) {
      EXPECT_EQ(size.section.shape(), duct::Shape::round) << duct::to_text(size.section);
    }
    if (size.layout && size.section.shape() != duct::Shape::round) {
      EXPECT_TRUE(size.refused_for(study::Refusal::not_sold)) << duct::to_text(size.section);
      // A bend stays a bend.
      EXPECT_EQ(size.layout->run.pieces[1].type, "smooth-radius") << duct::to_text(size.section);
    }
  }
}

}  // namespace
}  // namespace ductledger::study
