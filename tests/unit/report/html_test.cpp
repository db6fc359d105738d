#include "report/html.hpp"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <regex>
#include <string>
#include <vector>

#include "report/json.hpp"
#include "support/check_text.hpp"
#include "support/well_formed.hpp"

namespace ductledger::report {
namespace {

using Json = nlohmann::ordered_json;

const Record kRecord{"1.2.3", "fail"};

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
  std::vector<ReportSubject> subjects;
  for (const study::CheckResult& result : results) {
    documents.push_back(check_document(result, kRecord));
    subjects.push_back({&result, &documents.back()});
  }
  return report_html(subjects, {units::System::ip, kRecord});
}

Json embedded(const std::string& page) {
  const std::string begins = "<script type=\"application/json\" id=\"result\">";
  const std::size_t from = page.find(begins) + begins.size();
  return Json::parse(page.substr(from, page.find("</script>", from) - from));
}

TEST(ReportHtml, holds_the_document_it_shows) {
  const std::string text = layout_text("A kitchen");
  const study::CheckResult result = support::check(text);
  const Json document = embedded(page_of({text}));
  EXPECT_EQ(document["format"], "ductledger.report/1");
  EXPECT_EQ(document["results"][0], check_document(result, kRecord));
}

TEST(ReportHtml, every_figure_is_the_documents_own) {
  const std::string page = page_of({layout_text("One"), layout_text("Two")});
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
  EXPECT_GT(count, 80);
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

TEST(ReportPictures, each_is_a_well_formed_file) {
  const study::CheckResult result = support::check(layout_text("A kitchen"));
  for (const std::string& name : picture_names()) {
    for (const auto system : {units::System::ip, units::System::si}) {
      EXPECT_EQ(test::xml_fault(picture_svg(result, {name, system})), "") << name;
    }
  }
}

}  // namespace
}  // namespace ductledger::report
