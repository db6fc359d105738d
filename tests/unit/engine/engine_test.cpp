#include "engine.hpp"

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string>
#include <vector>

#include "document/check.hpp"
#include "fitting/catalogue.hpp"
#include "layout/layout.hpp"
#include "study/check.hpp"
#include "study/compare.hpp"

namespace {

namespace engine = ductledger::engine;
namespace fs = std::filesystem;
using engine::Json;

std::string text_of(const fs::path& path) {
  std::ifstream file(path);
  std::stringstream all;
  all << file.rdbuf();
  return all.str();
}

std::vector<fs::path> examples() {
  std::vector<fs::path> files;
  for (const auto& entry : fs::directory_iterator(DUCTLEDGER_SOURCE_DIR "/examples")) {
    if (entry.path().extension() == ".yaml") {
      files.push_back(entry.path());
    }
  }
  return files;
}

const std::string kRun = R"(layout: 1
appliance: {kind: range-hood, collar: 6 in round, required_airflow: 300 cfm}
fan:
  speeds:
    - name: high
      curve: {airflow: 0 200 400 500 cfm, pressure: 0.9 0.7 0.4 0 inH2O}
run:
  section: 6 in round
  heading: up
  pieces:
    - straight: 4 ft
    - elbow: {type: adjustable, turn: back}
    - straight: 3 ft
    - cap: wall-hood-flap
)";

TEST(EngineCheck, GivesTheDocumentOfTheProgram) {
  for (const fs::path& path : examples()) {
    const std::string text = text_of(path);
    const auto source = std::make_shared<const ductledger::base::SourceText>("a.yaml", text);
    const auto& catalogue = ductledger::fitting::Catalogue::built_in();
    auto layout = ductledger::layout::read(source, catalogue);
    ASSERT_TRUE(layout) << path;
    const auto result = ductledger::study::check(*std::move(layout), catalogue);
    ASSERT_TRUE(result) << path;
    Json expected = ductledger::document::check_document(*result, {"0", "fail"});
    Json given = engine::answer({{"ask", "check"}, {"text", text}, {"file", "a.yaml"}});
    expected.erase("tool_version");
    given.erase("tool_version");
    EXPECT_EQ(given, expected) << path;
  }
}

TEST(EngineView, ShowsEveryExampleWithItsAnswerPiecesAndDrawing) {
  for (const fs::path& path : examples()) {
    const std::string text = text_of(path);
    const Json view = engine::answer({{"ask", "view"}, {"text", text}, {"file", "a.yaml"}});
    ASSERT_TRUE(view.at("errors").empty()) << path << view.at("errors");
    const Json check = engine::answer({{"ask", "check"}, {"text", text}, {"file", "a.yaml"}});
    EXPECT_FALSE(view.at("answer").at("words").get<std::string>().empty());
    EXPECT_FALSE(view.at("pieces").empty());
    const std::string route = view.at("pictures").at("route").get<std::string>();
    for (const Json& piece : view.at("pieces")) {
      EXPECT_NE(route.find("data-piece=\"" + std::to_string(piece.at("index").get<int>()) + '"'),
                std::string::npos)
          << path << piece.at("number");
    }
    EXPECT_EQ(view.at("answer").at("standing"), check.at("verdict").at("standing")) << path;
  }
}

TEST(EngineView, TellsWhatIsWrongAtItsPlace) {
  std::string text = kRun;
  text.replace(text.find("4 ft"), 4, "4 ff");
  const Json view = engine::answer({{"ask", "view"}, {"text", text}, {"file", "hood.yaml"}});
  ASSERT_EQ(view.at("errors").size(), 1U);
  EXPECT_EQ(view.at("errors")[0].at("line"), 11);
  EXPECT_NE(view.at("errors")[0].at("rendered").get<std::string>().find("hood.yaml:11:"),
            std::string::npos);
}

TEST(EngineView, AsksForNoFileBesideTheLayout) {
  const Json view = engine::answer({{"ask", "view"}, {"text", "catalogue: own.yaml\n" + kRun}});
  ASSERT_EQ(view.at("errors").size(), 1U);
  EXPECT_EQ(view.at("errors")[0].at("rule"), "catalogue-not-here");
}

TEST(EngineAdvice, EachRowTellsHowTheTextBecomesIt) {
  const Json advice = engine::answer({{"ask", "advice"}, {"text", kRun}});
  ASSERT_FALSE(advice.at("rows").empty());
  for (const Json& row : advice.at("rows")) {
    EXPECT_FALSE(row.at("changes").empty()) << row;
    EXPECT_GT(row.at("gain_m3_s").get<double>(), 0.0);
  }
}

TEST(EngineDifference, IsZeroOfTheSameAndMoreWithASmootherElbow) {
  std::string smoother = kRun;
  smoother.replace(smoother.find("adjustable"), 10, "smooth-radius");
  const Json same = engine::answer({{"ask", "difference"}, {"text_a", kRun}, {"text_b", kRun}});
  EXPECT_NEAR(same.at("difference_m3_s").get<double>(), 0.0, 1e-12);
  const Json more = engine::answer({{"ask", "difference"}, {"text_a", smoother}, {"text_b", kRun}});
  EXPECT_GT(more.at("difference_m3_s").get<double>(), 0.0);
  ASSERT_TRUE(more.at("band_m3_s").is_array());
  EXPECT_LT(more.at("band_m3_s")[0].get<double>(), more.at("difference_m3_s").get<double>());
  EXPECT_GT(more.at("band_m3_s")[1].get<double>(), more.at("difference_m3_s").get<double>());
}

TEST(EngineVariant, IsTheOtherRouteWhenItIsCalculated) {
  std::string other = kRun;
  other.replace(
      other.find("    - straight: 3 ft"),
      20,
      "    - straight: 1 ft\n    - elbow: {type: gored-5, turn: left}\n    - straight: 2 ft");
  const Json variant =
      engine::answer({{"ask", "variant"}, {"text", kRun}, {"b_text", other}, {"name", "B"}});
  ASSERT_TRUE(variant.contains("changes")) << variant;
  EXPECT_TRUE(variant.at("not_said").empty());
  const std::string value = variant.at("changes")[0].at("value").get<std::string>();
  const std::string both = kRun + "variants: {B: " + value + "}\n";
  const Json compared = engine::answer(
      {{"ask", "compare"}, {"layouts", Json::array({{{"text", both}, {"name", "A"}}})}});
  ASSERT_TRUE(compared.contains("html")) << compared;
  const Json b = engine::answer({{"ask", "check"}, {"text", other}});
  const double wanted = b.at("speeds")[0].at("operating_point").at("airflow_m3_s").get<double>();
  const auto layout = ductledger::layout::read(
      std::make_shared<const ductledger::base::SourceText>("both.yaml", both),
      ductledger::fitting::Catalogue::built_in());
  ASSERT_TRUE(layout);
  const auto result =
      ductledger::study::compare({{*layout, &ductledger::fitting::Catalogue::built_in()}});
  ASSERT_TRUE(result);
  EXPECT_NEAR(result->runs[1].check.speeds[0].point.airflow_m3_s, wanted, 1e-12);
}

TEST(EngineStarter, EachWayOutCanBeCalculated) {
  for (const char* outlet : {"roof", "soffit", "wall", "recirculate", "unknown"}) {
    for (const char* airflow : {"", "400 cfm", "650 m3/h"}) {
      for (const char* pressure : {"", "0.1 inH2O"}) {
        const Json started = engine::answer(
            {{"ask", "starter"},
             {"outlet", outlet},
             {"label",
              {{"kind", "range-hood"},
               {"airflow", airflow},
               {"pressure", pressure},
               {"collar", "8 in round"}}},
             {"measured",
              {{"up", "5 ft"}, {"sideways", ""}, {"out", "400 mm"}, {"required", "250 cfm"}}}});
        ASSERT_TRUE(started.contains("text")) << outlet << started;
        const Json check = engine::answer({{"ask", "check"}, {"text", started.at("text")}});
        EXPECT_EQ(check.at("format"), "ductledger.check/1") << outlet << airflow << check;
      }
    }
  }
}

TEST(EngineStarter, KeepsTheFieldOfAWrongAnswer) {
  const Json started = engine::answer({{"ask", "starter"},
                                       {"outlet", "wall"},
                                       {"label", {{"airflow", "400"}}},
                                       {"measured", {{"out", "2 pounds"}}}});
  ASSERT_EQ(started.at("errors").size(), 2U) << started;
  EXPECT_EQ(started.at("errors")[0].at("field"), "label.airflow");
  EXPECT_EQ(started.at("errors")[1].at("field"), "measured.out");
}

TEST(EngineLength, StepsFromMarkToMarkOfTheTape) {
  const auto stepped = [](const char* text, int by, const char* system) {
    return engine::answer({{"ask", "length"}, {"text", text}, {"by", by}, {"system", system}})
        .at("value")
        .get<std::string>();
  };
  EXPECT_EQ(stepped("4 ft", 1, "ip"), "4 ft 1/16 in");
  EXPECT_EQ(stepped("4 ft", -1, "ip"), "3 ft 11-15/16 in");
  EXPECT_EQ(stepped("1200 mm", 1, "si"), "1205 mm");
  EXPECT_EQ(stepped("1203 mm", -1, "si"), "1200 mm");
}

TEST(EngineText, NoRequestIsAnsweredWithoutAWord) {
  EXPECT_NE(engine::answer_text("{").find("fault"), std::string::npos);
  EXPECT_NE(engine::answer_text("[]").find("fault"), std::string::npos);
  EXPECT_NE(engine::answer_text(R"({"ask": "weather"})").find("weather"), std::string::npos);
}

TEST(EngineReport, the_rough_in_sheet_shows_the_makeup_duct) {
  const std::string text =
      text_of(DUCTLEDGER_SOURCE_DIR "/examples/tight-bungalow-makeup-duct.yaml");
  const Json answer = engine::answer({{"ask", "report"},
                                      {"layouts", {{{"text", text}, {"file", "a.yaml"}}}},
                                      {"system", "ip"},
                                      {"sheet", true}});
  const std::string page = answer.value("html", "");
  EXPECT_NE(page.find("the makeup duct, from outdoors to the room, sheet 2 of 2"),
            std::string::npos);
  EXPECT_NE(page.find("outside air in"), std::string::npos);
}

}  // namespace
