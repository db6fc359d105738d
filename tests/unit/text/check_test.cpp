#include "text/check.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <sstream>

#include "base/text.hpp"
#include "support/invented_result.hpp"

namespace ductledger::text {
namespace {

using test::finding;
using test::invented_result;

std::string text_of(const study::CheckResult& result) {
  return text::check_text(test::settled(result));
}

bool holds(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

TEST(CheckText, begins_with_the_answer) {
  const std::string begin =
      "Invented run                                                       invented.yaml\n"
      "\n"
      "  MET  318 cfm required; no failure and no warning among what was checked\n"
      "  High speed delivers 424 cfm (381 to 466). 318 cfm required: met.\n"
      "  Largest loss: 3 conical rain cap, 60 %.\n";
  EXPECT_EQ(begin, text_of(invented_result()).substr(0, begin.size()));
}

TEST(CheckText, says_how_the_required_airflow_stands) {
  study::CheckResult result = invented_result();
  result.requirement->state = result::Requirement::State::not_met;
  EXPECT_TRUE(holds(text_of(result), "318 cfm required: not met."));
  result.requirement->state = result::Requirement::State::not_shown;
  EXPECT_TRUE(holds(text_of(result), "318 cfm required: not shown."));
}

TEST(CheckText, names_a_bound_as_a_bound) {
  study::CheckResult result = invented_result();
  result.speeds.front().airflow_band_m3_s.reset();
  result.speeds.front().point.status = solve::Status::beyond_curve;
  EXPECT_TRUE(holds(text_of(result), "High speed delivers at least 424 cfm: the fan curve ends"));
  result.speeds.front().point.status = solve::Status::below_curve;
  EXPECT_TRUE(holds(text_of(result), "High speed delivers at most 424 cfm: the run asks for more"));
  result.speeds.front().point.status = solve::Status::no_flow;
  EXPECT_TRUE(holds(text_of(result), "High speed moves no air"));
}

TEST(CheckText, says_why_a_speed_is_not_determined_and_shows_the_resistance) {
  study::CheckResult result = invented_result();
  result::SpeedResult& high = result.speeds.front();
  high.point.status = solve::Status::not_determined;
  high.fan.why_not = "one rating tells no curve";
  result.requirement->state = result::Requirement::State::not_shown;
  high.ledger.reset();
  result.resistance = {{0.1, 30.0, 25.0, false}, {0.15, 60.0, 50.0, true}};
  const std::string text = text_of(result);
  EXPECT_TRUE(
      holds(text, "What high speed delivers is not determined: one rating tells no curve."));
  EXPECT_TRUE(holds(text, "318 cfm required: not shown."));
  EXPECT_TRUE(holds(text, "At 318 cfm the fan has to make 0.201 inH2O static, 0.241 inH2O total."));
  EXPECT_TRUE(holds(text, "What the run asks of the fan"));
}

TEST(CheckText, marks_stated_and_defaulted_pieces) {
  const std::string text = text_of(invented_result());
  EXPECT_TRUE(holds(text, "cap conical-rain-cap *"));
  EXPECT_TRUE(holds(text, "elbow gored-5 +"));
  EXPECT_TRUE(holds(text, "* stated in the layout"));
  EXPECT_TRUE(holds(text, "+ no type stated"));
  EXPECT_FALSE(holds(text, "? assumed"));
}

TEST(CheckText, marks_a_speed_that_is_locked_out) {
  study::CheckResult result = invented_result();
  result.speeds.push_back(result.speeds.front());
  result.speeds.back().name = "boost";
  result.speeds.back().locked_out = true;
  const std::string text = text_of(result);
  EXPECT_TRUE(holds(text, "boost x"));
  EXPECT_TRUE(holds(text, "x locked out"));
}

TEST(CheckText, stays_within_its_columns) {
  study::CheckResult result = invented_result();
  result.layout.title =
      "A title that goes on and on about the house, the kitchen, the cook and the "
      "cat, \u00e4\u00f6\u00fc";
  result.speeds.front().name = "the highest speed there is on this hood";
  result.findings = {finding(findings::Level::warn, "a-very-long-code-of-a-finding-for-this-test")};
  result.findings.front().source =
      "a citation long enough to be broken over more than one line, "
      "which then hangs under its beginning";
  for (const text::Detail detail :
       {text::Detail::brief, text::Detail::usual, text::Detail::verbose}) {
    for (const units::System system : {units::System::ip, units::System::si}) {
      for (const std::size_t width : {40U, 60U, 80U, 120U, 200U}) {
        std::istringstream lines(text::check_text(
            result,
            {.system = system, .paint = base::Paint::plain, .detail = detail, .width = width}));
        for (std::string line; std::getline(lines, line);) {
          // A word that is longer than the line stands alone.
          const std::string word = line.substr(std::min(line.size(), line.find_first_not_of(' ')));
          const bool one_word = word.find(' ') == std::string::npos;
          EXPECT_TRUE(base::character_count(line) <= width || one_word) << width << ' ' << line;
          EXPECT_TRUE(line.empty() || line.back() != ' ') << line;
        }
      }
    }
  }
}

TEST(CheckText, colour_adds_only_colour) {
  study::CheckResult result = invented_result();
  result.findings = {finding(findings::Level::fail, "x"), finding(findings::Level::note, "y")};
  std::string coloured = text::check_text(result, {units::System::ip, base::Paint::colour});
  EXPECT_TRUE(holds(coloured, "\x1b["));
  for (std::size_t at = coloured.find('\x1b'); at != std::string::npos;
       at = coloured.find('\x1b')) {
    coloured.erase(at, coloured.find('m', at) + 1 - at);
  }
  EXPECT_EQ(text::check_text(result), coloured);
}

TEST(CheckText, tells_headline_and_remedy_and_the_rest_when_verbose) {
  study::CheckResult result = invented_result();
  result.findings = {finding(findings::Level::warn, "x")};
  result.findings.front().why = {"because of this", {}};
  result.findings.front().remedy = {"do that", {}};
  result.findings.front().source = "a citation";
  const std::string usual = text_of(result);
  EXPECT_TRUE(holds(usual, "Remedy: do that"));
  EXPECT_TRUE(holds(usual, "x]"));
  EXPECT_FALSE(holds(usual, "because of this"));
  EXPECT_FALSE(holds(usual, "a citation"));
  const std::string verbose =
      text::check_text(result, {units::System::ip, base::Paint::plain, text::Detail::verbose});
  EXPECT_TRUE(holds(verbose, "because of this"));
  EXPECT_TRUE(holds(verbose, "a citation"));
}

TEST(CheckText, lists_stand_on_one_line_by_their_number_where_they_are_long) {
  study::CheckResult result = invented_result();
  result.findings = {finding(findings::Level::note, "defaults-taken"),
                     finding(findings::Level::note, "memory-figures")};
  result.findings[0].message = {"assumed: wind none; heading up", {}};
  result.findings[0].items = {{"wind none", {}}, {"heading up", {}}};
  result.findings[1].message = {"not checked: a/b", {}};
  result.findings[1].items = {{"a/b", {}}};
  EXPECT_TRUE(holds(text_of(result), "note  assumed: wind none; heading up; not checked: a/b\n"));
  result.findings[1].message = {"not checked: " + std::string(60, 'a'), {}};
  EXPECT_TRUE(holds(text_of(result), "note  assumed: 2; not checked: 1 (listed by --verbose)\n"));
}

TEST(CheckText, brief_keeps_answer_findings_and_cautions) {
  study::CheckResult result = invented_result();
  result.findings = {finding(findings::Level::warn, "x")};
  const std::string text =
      text::check_text(result, {units::System::ip, base::Paint::plain, text::Detail::brief});
  EXPECT_TRUE(holds(text, "High speed delivers"));
  EXPECT_TRUE(holds(text, "warn  424 cfm is seen where 318 cfm is the bound"));
  EXPECT_TRUE(holds(text, "Power off"));
  EXPECT_FALSE(holds(text, "Ledger"));
}

TEST(CheckText, escapes_control_characters_of_the_file) {
  study::CheckResult result = invented_result();
  result.layout.title = "bell\x07";
  EXPECT_FALSE(holds(text_of(result), "\x07"));
}

}  // namespace
}  // namespace ductledger::text
