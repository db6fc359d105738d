#include "text/profile.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "base/text.hpp"
#include "support/invented_result.hpp"

namespace ductledger::text {
namespace {

using test::invented_result;

/// The ledger's totals run from `start_pa` down, or up, by the losses of its rows.
study::CheckResult with_totals(study::CheckResult result, double start_pa) {
  double total_pa = start_pa;
  for (solve::LedgerRow& row : result.speeds.front().ledger->rows) {
    total_pa -= row.loss_pa;
    row.total_pressure_after_pa = total_pa;
    row.static_pressure_after_pa = total_pa;
  }
  return test::settled(std::move(result));
}

/// Straight pieces of 1 m at 2 Pa each behind the fan at the collar.
study::CheckResult with_straights(int count) {
  study::CheckResult result = invented_result();
  auto& rows = result.speeds.front().ledger->rows;
  rows = {test::row(-1, "fan", -2.0 * count)};
  result.layout.run.pieces.assign(static_cast<std::size_t>(count),
                                  result.layout.run.pieces.front());
  for (int i = 1; i <= count; ++i) {
    rows.push_back(test::row(i, "straight", 2.0));
    rows.back().length_m = 1.0;
  }
  return with_totals(std::move(result), 0.0);
}

/// The fan between the straight and the elbow.
study::CheckResult with_remote_fan() {
  study::CheckResult result = invented_result();
  auto& rows = result.speeds.front().ledger->rows;
  std::swap(rows[0], rows[1]);
  rows[0].loss_pa = 25.0;
  result.run.fan_at_collar = false;
  return with_totals(std::move(result), 0.0);
}

std::vector<std::string> lines_of(const study::CheckResult& result, text::Profile profile) {
  text::TextOptions options;
  options.system = units::System::si;
  options.profile = profile;
  return text::profile_lines(test::settled(result), options);
}

std::vector<std::string> ascii(const study::CheckResult& result) {
  return lines_of(result, text::Profile::ascii);
}

std::size_t zero_line(const std::vector<std::string>& lines) {
  for (std::size_t i = 0; i < lines.size(); ++i) {
    if (lines[i].find("---") != std::string::npos) {
      return i;
    }
  }
  return lines.size();
}

/// Where the bars begin: behind the axis.
std::size_t first_column(const std::vector<std::string>& lines) {
  return lines[zero_line(lines)].find('+') + 1;
}

char at(const std::vector<std::string>& lines, std::size_t line, std::size_t column) {
  return column < lines[line].size() ? lines[line][column] : ' ';
}

/// Height of a bar above the zero line in thirds of a row.
int height(const std::vector<std::string>& lines, std::size_t column) {
  int thirds = 0;
  for (std::size_t line = 0; line < zero_line(lines); ++line) {
    const char c = at(lines, line, column);
    thirds += c == '#' ? 3 : c == ':' ? 2 : c == '.' ? 1 : 0;
  }
  return thirds;
}

int depth(const std::vector<std::string>& lines, std::size_t column) {
  int halves = 0;
  for (std::size_t line = zero_line(lines) + 1; line + 2 < lines.size(); ++line) {
    const char c = at(lines, line, column);
    halves += c == '#' ? 2 : c == '\'' ? 1 : 0;
  }
  return halves;
}

TEST(ProfileLines, fall_where_every_piece_costs) {
  const std::vector<std::string> lines = ascii(with_totals(invented_result(), 0.0));
  ASSERT_FALSE(lines.empty());
  const std::size_t first = first_column(lines);
  EXPECT_EQ(15, height(lines, first));  // five rows, full
  for (std::size_t column = first; column + 1 < lines[zero_line(lines)].size(); ++column) {
    EXPECT_GE(height(lines, column), height(lines, column + 1)) << column;
  }
  EXPECT_EQ(0, height(lines, lines[zero_line(lines)].size() - 1));
}

TEST(ProfileLines, are_eight_at_most_and_76_wide) {
  for (const text::Profile profile : {text::Profile::blocks, text::Profile::ascii}) {
    for (const int count : {1, 2, 9, 12, 40}) {
      const std::vector<std::string> lines = lines_of(with_straights(count), profile);
      EXPECT_FALSE(lines.empty()) << count;
      EXPECT_LE(lines.size(), 8U) << count;
      for (const std::string& line : lines) {
        EXPECT_LE(base::character_count(line), 76U) << line;
      }
    }
    EXPECT_LE(lines_of(with_remote_fan(), profile).size(), 8U);
  }
}

TEST(ProfileLines, are_not_drawn_with_more_pieces_than_columns) {
  EXPECT_FALSE(ascii(with_straights(60)).empty());
  EXPECT_TRUE(ascii(with_straights(90)).empty());
}

TEST(ProfileLines, hold_ascii_alone_where_asked) {
  for (const auto& result : {with_totals(invented_result(), -7.0), with_remote_fan()}) {
    for (const std::string& line : ascii(result)) {
      EXPECT_TRUE(std::all_of(line.begin(), line.end(), [](char c) {
        return c >= ' ' && c <= '~';
      })) << line;
    }
    const std::vector<std::string> blocks = lines_of(result, text::Profile::blocks);
    EXPECT_TRUE(std::any_of(blocks.begin(), blocks.end(), [](const std::string& line) {
      return base::character_count(line) < line.size();
    }));
  }
}

TEST(ProfileLines, hang_what_is_below_zero_under_the_line) {
  const std::vector<std::string> lines = ascii(with_remote_fan());
  ASSERT_FALSE(lines.empty());
  const std::size_t first = first_column(lines);
  const std::size_t fan = lines[lines.size() - 2].find("fan");
  ASSERT_NE(std::string::npos, fan);
  for (std::size_t column = first; column < fan; ++column) {
    EXPECT_EQ(0, height(lines, column)) << column;
  }
  EXPECT_EQ(0, depth(lines, first));
  EXPECT_GT(depth(lines, fan - 2), 0);
  EXPECT_EQ(0, depth(lines, fan + 4));
  EXPECT_GT(height(lines, fan + 4), 0);
}

TEST(ProfileLines, name_the_greatest_and_the_least_pressure) {
  const std::vector<std::string> lines = ascii(with_remote_fan());  // 0, -25, fan +50, 25, 10, -20
  const auto begins = [&](const char* text) {
    return std::any_of(lines.begin(), lines.end(), [&](const std::string& line) {
      return line.rfind(text, 0) == 0;
    });
  };
  EXPECT_TRUE(begins("   25.0 +"));
  EXPECT_TRUE(begins("      0 +"));
  EXPECT_TRUE(begins("  -25.0 +"));
}

TEST(ProfileLines, mark_collar_and_end_and_number_every_piece) {
  const std::vector<std::string> lines = ascii(with_totals(invented_result(), 0.0));
  const std::string& numbers = lines[lines.size() - 2];
  const std::string& names = lines.back();
  EXPECT_LT(numbers.find('1'), numbers.find('2'));
  EXPECT_LT(numbers.find('2'), numbers.find('3'));
  EXPECT_EQ(first_column(lines), names.find("collar"));
  EXPECT_EQ(76U, names.size());
  EXPECT_EQ(73U, names.find("cap"));
}

TEST(ProfileLines, draw_duct_to_length) {
  study::CheckResult result = with_straights(2);
  result.speeds.front().ledger->rows[1].length_m = 3.0;
  const std::vector<std::string> lines = ascii(result);
  const std::string& zero = lines[zero_line(lines)];
  const std::size_t first = first_column(lines);
  const std::size_t joint = zero.find('+', first);
  EXPECT_NEAR(0.75,
              static_cast<double>(joint - first) / static_cast<double>(zero.size() - first),
              1.0 / static_cast<double>(zero.size() - first));
}

TEST(ProfileLines, need_a_ledger_and_a_pressure) {
  study::CheckResult result = invented_result();
  result.ledger_speed.reset();
  EXPECT_TRUE(ascii(result).empty());
  result = invented_result();
  for (solve::LedgerRow& row : result.speeds.front().ledger->rows) {
    row.loss_pa = 0.0;
  }
  EXPECT_TRUE(ascii(with_totals(result, 0.0)).empty());
  EXPECT_TRUE(lines_of(with_totals(invented_result(), 0.0), text::Profile::none).empty());
}

TEST(CheckText, holds_the_profile_only_where_asked) {
  const study::CheckResult result = with_totals(invented_result(), 0.0);
  const std::string heading = "Total pressure along the run, against outdoors, in inH2O";
  EXPECT_EQ(std::string::npos, text::check_text(result).find(heading));
  text::TextOptions options;
  options.profile = text::Profile::ascii;
  EXPECT_NE(std::string::npos, text::check_text(result, options).find(heading));
}

TEST(Profile, keeps_within_the_line) {
  for (const std::size_t width : {40U, 61U, 80U, 200U}) {
    text::TextOptions options;
    options.profile = text::Profile::blocks;
    options.width = width;
    const auto lines = text::profile_lines(test::settled(with_straights(12)), options);
    ASSERT_FALSE(lines.empty()) << width;
    for (const std::string& line : lines) {
      EXPECT_LE(base::character_count(line), width) << line;
    }
  }
}

}  // namespace
}  // namespace ductledger::text
