#include "html/report.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <memory>
#include <nlohmann/json.hpp>
#include <regex>
#include <set>
#include <string>
#include <vector>

#include "document/branches.hpp"
#include "document/check.hpp"
#include "picture/svg.hpp"
#include "picture/tree.hpp"
#include "study/curves.hpp"
#include "support/check_text.hpp"
#include "support/example_layout.hpp"
#include "support/well_formed.hpp"
#include "words/compare.hpp"

namespace ductledger::html {
namespace {

using Json = nlohmann::ordered_json;

const document::Record kRecord{"1.2.3", "fail"};

std::string layout_text(const std::string& title) {
  return "layout: 1\ntitle: " + title +
         "\nappliance: {kind: range-hood, collar: 8 in round, required_airflow: 300 cfm}\n"
         "fan: {speeds: [{name: high, curve: {airflow: 0 250 450 600 680 cfm, pressure: 0.95 0.88 "
         "0.66 0.32 0 inH2O}}]}\n"
         "run:\n  section: 8 in round\n  heading: up\n  pieces:\n    - straight: 4 ft\n"
         "    - elbow: back\n    - straight: 2 ft\n    - cap: wall-hood-flap\n";
}

std::string page_of(const std::vector<std::string>& texts) {
  std::vector<study::CheckResult> results;
  for (const std::string& text : texts) {
    results.push_back(support::check(text));
  }
  std::vector<Json> documents;
  documents.reserve(results.size());
  std::vector<html::ReportSubject> subjects;
  for (const study::CheckResult& result : results) {
    documents.push_back(document::check_document(result, kRecord));
    subjects.push_back({&result, &documents.back()});
  }
  return html::report_html(subjects, {units::System::ip, kRecord});
}

Json embedded(const std::string& page) {
  const std::string begins = "<script type=\"application/json\" id=\"result\">";
  const std::size_t from = page.find(begins) + begins.size();
  return Json::parse(page.substr(from, page.find("</script>", from) - from));
}

void expect_own_figures(const std::string& page, int least) {
  const Json document = embedded(page);
  static const std::regex kFigure("<data value=\"([^\"]*)\" data-at=\"([^\"]*)\">([^<]*)</data>");
  int count = 0;
  for (auto found = std::sregex_iterator(page.begin(), page.end(), kFigure);
       found != std::sregex_iterator();
       ++found) {
    ++count;
    EXPECT_EQ(document.at(Json::json_pointer((*found)[2].str())).dump(), (*found)[1].str());
    EXPECT_FALSE((*found)[3].str().empty());
  }
  EXPECT_GT(count, least);
}

TEST(ReportHtml, holds_the_document_it_shows) {
  const std::string text = layout_text("A kitchen");
  const study::CheckResult result = support::check(text);
  const Json document = embedded(page_of({text}));
  EXPECT_EQ(document["format"], "ductledger.report/1");
  EXPECT_EQ(document["results"][0], document::check_document(result, kRecord));
}

TEST(ReportHtml, every_figure_is_the_documents_own) {
  expect_own_figures(page_of({layout_text("One"), layout_text("Two")}), 80);
}

TEST(ReportHtml, a_hostile_title_stays_text) {
  const std::string title =
      R"("</script><script>alert('x')</script> & \u2028 \"quoted\" <b>bold</b> --> ]]>")";
  const std::string page = page_of({layout_text(title)});
  EXPECT_EQ(page.find("<script>alert"), std::string::npos);
  EXPECT_EQ(page.find("<b>bold"), std::string::npos);
  const std::size_t scripts = page.find("<script type=");
  EXPECT_EQ(page.find("\xE2\x80\xA8", scripts), std::string::npos);
  EXPECT_NE(embedded(page)["results"][0]["layout"]["title"].get<std::string>().find("</script>"),
            std::string::npos);
}

TEST(ReportHtml, asks_the_network_for_nothing) {
  const std::string page = page_of({layout_text("A kitchen")});
  static const std::regex kAsks(R"re((src|srcset|@import|url\(|<link|fetch\(|XMLHttp))re");
  EXPECT_FALSE(std::regex_search(page, kAsks));
  static const std::regex kAddress("https?://[^\"]*");
  for (auto found = std::sregex_iterator(page.begin(), page.end(), kAddress);
       found != std::sregex_iterator();
       ++found) {
    EXPECT_EQ((*found).str(), "http://www.w3.org/2000/svg");
  }
}

TEST(ReportHtml, ids_are_unique) {
  const std::string page = page_of({layout_text("One"), layout_text("Two")});
  static const std::regex kId(" id=\"([^\"]*)\"");
  std::vector<std::string> ids;
  for (auto found = std::sregex_iterator(page.begin(), page.end(), kId);
       found != std::sregex_iterator();
       ++found) {
    ids.push_back((*found)[1]);
  }
  std::sort(ids.begin(), ids.end());
  EXPECT_EQ(std::adjacent_find(ids.begin(), ids.end()), ids.end());
  EXPECT_GT(ids.size(), 40U);
}

/// A page with everything that a subject may bring.
struct Full {
  explicit Full(const std::string& text)
      : check(
            *study::check(*support::read(text), fitting::Catalogue::built_in(), {.advise = true})),
        parts(*build::parts(*support::read(text), fitting::Catalogue::built_in())),
        review(*study::review(*support::read(text),
                              fitting::Catalogue::built_in(),
                              {.sets = std::make_shared<const std::vector<rules::RuleSet>>(
                                   1, *rules::find_built_in("irc-2021"))})),
        document(document::check_document(check, kRecord)),
        page(html::report_html(
            std::vector<html::ReportSubject>{
                {.result = &check, .document = &document, .parts = &parts, .review = &review}},
            {units::System::ip, kRecord})) {}
  study::CheckResult check;
  build::PartsResult parts;
  study::ReviewResult review;
  Json document;
  std::string page;
};

const std::string kHouse =
    "house: {leakage: {airflow: 1100 cfm, at: 50 Pa}, other_exhaust: [{name: dryer, airflow: 90 "
    "cfm}]}\n";

TEST(ReportHtml, house_doubt_advice_parts_and_rules_have_a_heading_each) {
  const Full full(layout_text("A kitchen") + kHouse);
  for (const std::string heading : {"Main uncertainty",
                                    "House and makeup air",
                                    "What would help most",
                                    "Nominal route and equivalent length",
                                    "Parts",
                                    "Inspection sheet"}) {
    const std::size_t first = full.page.find('>' + heading + "</h2>");
    EXPECT_NE(first, std::string::npos) << heading;
    EXPECT_EQ(full.page.find('>' + heading + "</h2>", first + 1), std::string::npos) << heading;
  }
  EXPECT_NE(full.page.find("this is no certificate"), std::string::npos);
  const Json document = embedded(full.page);
  EXPECT_EQ(document["parts"][0]["format"], "ductledger.parts/1");
  EXPECT_EQ(document["reviews"][0]["format"], "ductledger.review/1");
  EXPECT_TRUE(document["comparison"].is_null());
  for (const char* from : {"/house/depressurisation_pa",
                           "/uncertainty/sources/0/variance_share",
                           "/advice/0/speeds/0/gain_m3_s",
                           "/parts/0/bill/0/quantity",
                           "/reviews/0/counts/met"}) {
    EXPECT_NE(full.page.find(from), std::string::npos) << from;
  }
  expect_own_figures(full.page, 120);
}

layout::Layout named(const std::string& text, const std::string& file) {
  return *layout::read(std::make_shared<const base::SourceText>(file, text),
                       fitting::Catalogue::built_in());
}

study::NetworkResult network_of(layout::Layout layout) {
  auto result = study::check_network(std::move(layout), fitting::Catalogue::built_in());
  EXPECT_TRUE(result) << (result ? "" : base::render(result.error()));
  return *std::move(result);
}

std::string network_page(const study::NetworkResult& network,
                         document::PathRows rows = document::PathRows::all) {
  const study::CheckResult one = study::as_single(network);
  const Json document = document::network_document(network, kRecord, rows);
  const html::ReportSubject subject{.result = &one, .document = &document, .network = &network};
  return html::report_html(std::span(&subject, 1), {units::System::ip, kRecord});
}

TEST(ReportHtml, a_caption_keeps_numbers_and_units_together) {
  const std::string page = page_of({layout_text("Captions")});
  for (std::size_t at = page.find("<figcaption>"); at != std::string::npos;
       at = page.find("<figcaption>", at + 1)) {
    const std::string caption = page.substr(at, page.find("</figcaption>", at) - at);
    EXPECT_FALSE(std::regex_search(caption, std::regex("[0-9] (%|(cfm|ft|in|Pa|inH2O)\\b)")))
        << caption;
  }
  EXPECT_NE(page.find("<figcaption>"), std::string::npos);
}

TEST(ReportHtml, a_network_has_a_ledger_of_each_path_and_the_controlling_one_first) {
  const study::NetworkResult network =
      network_of(test::example_layout("branches/two-bathrooms-and-utility-room.yaml"));
  const std::string page = network_page(network);
  expect_own_figures(page, 150);
  const study::NetworkSpeed& speed = network.speeds[network.shown];
  std::vector<std::string> names;
  for (const study::Inlet& inlet : speed.inlets) {
    names.push_back(inlet.name);
    EXPECT_NE(page.find("Ledger from " + inlet.name + " to the outside"), std::string::npos);
  }
  const std::string first = page.substr(page.find("<summary>"), 80);
  EXPECT_NE(first.find(names[*speed.controlling]), std::string::npos) << first;
  EXPECT_NE(page.find("tree-wide-1"), std::string::npos);
  EXPECT_NE(page.find("no damper belongs there"), std::string::npos);
}

TEST(ReportPictures, what_a_tree_says_of_its_inlets_stands_before_their_ducts) {
  const study::NetworkResult network =
      network_of(test::example_layout("branches/two-bathrooms-and-utility-room.yaml"));
  static const std::regex kText("x=\"([0-9.]+)\" y=\"[0-9.]+\">([^<]+)</text>");
  static const std::regex kDuct("class=\"line[^\"]*\" d=\"M([0-9.]+)[ ,]");
  for (const double width_px : {288.0, 720.0}) {
    const std::string svg = picture::tree_picture(network, {.width_px = width_px}).svg;
    double ducts = width_px;
    for (auto found = std::sregex_iterator(svg.begin(), svg.end(), kDuct);
         found != std::sregex_iterator();
         ++found) {
      ducts = std::min(ducts, std::stod((*found)[1]));
    }
    int texts = 0;
    for (auto found = std::sregex_iterator(svg.begin(), svg.end(), kText);
         found != std::sregex_iterator();
         ++found) {
      const double end = std::stod((*found)[1]) + picture::text_width_px((*found)[2].str(), 11.0);
      const bool of_an_inlet = (*found)[2].str().find("cfm") != std::string::npos;
      texts += of_an_inlet ? 1 : 0;
      EXPECT_LE(end, of_an_inlet ? ducts : width_px) << (*found)[2];
    }
    EXPECT_EQ(texts, 3) << svg;
    EXPECT_LT(ducts, width_px);
  }
}

// The result that the page holds has each row once too, and the page takes no figure from
// elsewhere.
TEST(ReportHtml, what_two_paths_share_is_told_once) {
  const study::NetworkResult network =
      network_of(test::example_layout("branches/two-bathrooms-and-utility-room.yaml"));
  expect_own_figures(network_page(network, document::PathRows::folded), 150);
  const study::NetworkSpeed& speed = network.speeds[network.shown];
  const auto paths = study::folded_paths(network.network, speed);
  ASSERT_EQ(paths.size(), speed.inlets.size());
  EXPECT_EQ(paths.front().inlet, *speed.controlling);
  EXPECT_FALSE(paths.front().goes_on_as);
  std::multiset<std::string> told;
  for (const study::FoldedPath& path : paths) {
    const auto& rows = speed.inlets[path.inlet].path;
    for (std::size_t i = 0; i < path.rows; ++i) {
      const solve::LedgerRow& row = rows[i].row;
      if (row.number > 0) {
        told.insert(std::to_string(row.line) + row.type);
      }
    }
    if (path.goes_on_as) {  // the rest is the end of the other's
      const auto& other = speed.inlets[*path.goes_on_as].path;
      for (std::size_t left = rows.size() - path.rows; left > 0; --left) {
        EXPECT_EQ(rows[rows.size() - left].row.loss_pa, other[other.size() - left].row.loss_pa);
      }
    }
  }
  for (const std::string& row : told) {
    EXPECT_EQ(told.count(row), 1U) << row;
  }
}

// A trunk fan that pushes air back out of a passive branch: that is told before any sum.
TEST(ReportHtml, an_inlet_that_blows_back_stands_before_what_all_draw) {
  const study::NetworkResult network = network_of(test::layout_of_text(
      "layout: 1\nappliance: {kind: exhaust}\n"
      "fan: {speeds: [{name: on, curve: {airflow: 0 100 200 cfm, pressure: 0.8 0.7 0 inH2O}}]}\n"
      "run: {section: 5 in round, pieces: [straight: 4 ft, junction: {branch: '<b>'}, straight: 20 "
      "ft, cap: roof-hood-flap]}\nbranches: {'<b>': {section: 4 in round, pieces: [straight: 2 "
      "ft]}}\n"));
  ASSERT_EQ(network.speeds[0].inlets[1].status, study::InletStatus::reversed);
  const std::string page = network_page(network);
  EXPECT_LT(page.find("reversed, about"), page.find("inlets at on draw"));
  EXPECT_EQ(page.find("<b>"), std::string::npos);
  const std::string svg = picture::tree_picture(network, {}).svg;
  EXPECT_EQ(test::xml_fault(svg), "");
  EXPECT_NE(svg.find("dashed"), std::string::npos);
}

TEST(ReportHtml, a_comparison_comes_first) {
  const std::vector<std::string> texts{
      layout_text("One"),
      std::regex_replace(layout_text("Two"), std::regex("straight: 4 ft"), "straight: 24 ft")};
  const auto comparison =
      study::compare({{named(texts[0], "one.yaml"), &fitting::Catalogue::built_in()},
                      {named(texts[1], "two.yaml"), &fitting::Catalogue::built_in()}});
  ASSERT_TRUE(comparison);
  std::vector<study::CheckResult> results;
  std::vector<Json> documents;
  results.reserve(2);
  documents.reserve(2);
  for (const std::string& text : texts) {
    results.push_back(support::check(text));
    documents.push_back(document::check_document(results.back(), kRecord));
  }
  const std::string page = html::report_html(
      std::vector<html::ReportSubject>{{&results[0], &documents[0]}, {&results[1], &documents[1]}},
      {.system = units::System::ip, .record = kRecord, .comparison = &*comparison});
  const std::string first = words::winner_sentence(*comparison, units::System::ip);
  EXPECT_LT(page.find("<p class=\"answer\">" + first), page.find("<article"));
  const std::string then = comparison->answer.front().text(units::System::ip);
  EXPECT_LT(page.find("<p>" + then), page.find("<article"));
  EXPECT_EQ(embedded(page)["comparison"]["runs"].size(), 2U);
  expect_own_figures(page, 150);
}

TEST(ReportPictures, run_and_house_meet_the_fan_at_the_operating_point) {
  const study::CheckResult result = support::check(layout_text("A kitchen") + kHouse);
  ASSERT_NE(result.house.coupled(), nullptr);
  const solve::OperatingPoint& point = result.speeds[0].point;
  const double wanted_pa = result.speeds[0].figures.static_pressure_pa;
  const std::vector<study::CurvePoint> run = result.curves.run;
  for (std::size_t i = 1; i < run.size(); ++i) {
    if (run[i - 1].airflow_m3_s <= point.airflow_m3_s && point.airflow_m3_s < run[i].airflow_m3_s) {
      EXPECT_LE(run[i - 1].static_pressure_pa, wanted_pa);
      EXPECT_GE(run[i].static_pressure_pa, wanted_pa);
      return;
    }
  }
  FAIL() << "the run's curve ends before the operating point";
}

TEST(ReportPictures, each_is_a_well_formed_file) {
  const study::CheckResult result = support::check(layout_text("A kitchen"));
  for (const std::string& name : html::picture_names()) {
    for (const auto system : {units::System::ip, units::System::si}) {
      EXPECT_EQ(test::xml_fault(html::picture_svg(result, {name, system})), "") << name;
    }
  }
}

}  // namespace
}  // namespace ductledger::html
