#include "picture/plot.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "support/well_formed.hpp"
#include "units/quantity.hpp"

namespace ductledger::picture {
namespace {

using units::Dimension;
using units::System;

// Invented: a fan and a run.
picture::Plot fan_and_run() {
  picture::Plot plot;
  plot.title = "Fan and run";
  plot.reading = "The fan and the run meet at 400 cfm.";
  plot.x = {.title = "airflow", .dimension = Dimension::airflow};
  plot.y = {.title = "pressure", .dimension = Dimension::pressure};
  picture::PlotLine fan{
      .label = "fan", .points = {}, .tint = picture::Tint::first, .dash = picture::Dash::solid};
  picture::PlotLine run{
      .label = "run", .points = {}, .tint = picture::Tint::second, .dash = picture::Dash::dashed};
  picture::PlotBand band{.label = "run, doubt", .points = {}, .tint = picture::Tint::second};
  for (int i = 0; i <= 30; ++i) {
    const double q = 0.01 * i;
    fan.points.push_back({q, 200.0 - 2200.0 * q * q});
    run.points.push_back({q, 3000.0 * q * q});
    band.points.push_back({q, 2600.0 * q * q, 3400.0 * q * q});
  }
  const double meet = std::sqrt(200.0 / 5200.0);
  plot.lines = {fan, run};
  plot.bands = {band};
  plot.marks = {{.label = "416 cfm", .points = {{meet, 3000.0 * meet * meet}}}};
  return plot;
}

TEST(Ticks, StepsAreOneTwoOrFive) {
  EXPECT_EQ(picture::ticks({0.0, 680.0}, 7),
            (std::vector<double>{0, 100, 200, 300, 400, 500, 600, 700}));
  EXPECT_EQ(picture::ticks({0.0, 1.0}, 5).size(), 6U);
  EXPECT_EQ(picture::tick_texts(picture::ticks({0.0, 1.0}, 5)),
            (std::vector<std::string>{"0", "0.2", "0.4", "0.6", "0.8", "1.0"}));
  EXPECT_EQ(picture::tick_texts(picture::ticks({-30.0, 45.0}, 4)),
            (std::vector<std::string>{"-40", "-20", "0", "20", "40", "60"}));
  EXPECT_EQ(picture::tick_texts(picture::ticks({0.012, 0.049}, 4)),
            (std::vector<std::string>{"0.01", "0.02", "0.03", "0.04", "0.05"}));
}

TEST(Ticks, AlwaysCoverTheRange) {
  for (const double low : {-7.3, 0.0, 0.013, 5.0, 1234.0}) {
    for (const double span : {1e-6, 0.37, 1.0, 9.99, 12345.0}) {
      for (int about = 2; about < 12; ++about) {
        const auto values = picture::ticks({low, low + span}, about);
        EXPECT_LE(values.front(), low + 1e-6 * span);
        EXPECT_GE(values.back(), low + span * (1.0 - 1e-6));
        EXPECT_LE(static_cast<int>(values.size()), about + 3);
      }
    }
  }
}

TEST(Plot, IsWellFormedInBothSystemsAndWidths) {
  for (const System system : {System::ip, System::si}) {
    for (const double width_px : {320.0, 720.0}) {
      for (const picture::PictureUse use : {picture::PictureUse::file, picture::PictureUse::page}) {
        const std::string svg = picture::plot_svg(fan_and_run(), {system, width_px, use});
        EXPECT_EQ(test::xml_fault(svg), "");
        EXPECT_NE(svg.find(system == System::ip ? "airflow, cfm" : "airflow, L/s"),
                  std::string::npos);
        EXPECT_EQ(svg.find("nan"), std::string::npos);
        EXPECT_EQ(svg.find("inf"), std::string::npos);
      }
    }
  }
}

TEST(Plot, IsTheSameTwice) {
  EXPECT_EQ(picture::plot_svg(fan_and_run()), picture::plot_svg(fan_and_run()));
}

TEST(Plot, LinesDifferInDashNotOnlyInColour) {
  const std::string svg = picture::plot_svg(fan_and_run());
  EXPECT_NE(svg.find("class=\"line first\""), std::string::npos);
  EXPECT_NE(svg.find("class=\"line second dashed\""), std::string::npos);
}

TEST(Plot, ANarrowPlotHasItsLabelsInAKey) {
  const std::string wide = picture::plot_svg(fan_and_run());
  const std::string narrow = picture::plot_svg(fan_and_run(), {.width_px = 340.0});
  EXPECT_NE(wide.find("halo first\" x="), std::string::npos);
  EXPECT_EQ(narrow.find("halo first\" x="), std::string::npos);
  EXPECT_NE(narrow.find(">fan</text>"), std::string::npos);
}

TEST(Plot, DoesNotDrawWhatIsNotFinite) {
  picture::Plot plot = fan_and_run();
  plot.lines[0].points[5].y = std::nan("");
  plot.lines[0].points[9].y = std::numeric_limits<double>::infinity();
  const std::string svg = picture::plot_svg(plot);
  EXPECT_EQ(test::xml_fault(svg), "");
  EXPECT_EQ(svg.find("nan"), std::string::npos);
}

TEST(Plot, ALogarithmicAxisHasTicksOfEachDecade) {
  picture::Plot plot;
  plot.title = "C";
  plot.x = {.title = "angle", .dimension = Dimension::angle};
  plot.y = {.title = "C", .dimension = Dimension::number, .scale = picture::AxisScale::logarithmic};
  plot.lines = {{.label = "", .points = {{0.0, 0.2}, {0.5, 5.0}, {1.2, 751.0}}}};
  const std::string svg = picture::plot_svg(plot);
  EXPECT_EQ(test::xml_fault(svg), "");
  EXPECT_NE(svg.find(">0.1</text>"), std::string::npos);
  EXPECT_NE(svg.find(">1000</text>"), std::string::npos);
}

TEST(Plot, OnePointAloneIsAPlot) {
  picture::Plot plot;
  plot.title = "one";
  plot.x = {.title = "x", .dimension = Dimension::number};
  plot.y = {.title = "y", .dimension = Dimension::number};
  plot.marks = {{.label = "here", .points = {{2.0, 2.0}}}};
  EXPECT_EQ(test::xml_fault(picture::plot_svg(plot)), "");
}

}  // namespace
}  // namespace ductledger::picture
