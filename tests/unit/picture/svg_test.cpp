#include "picture/svg.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <regex>
#include <string>
#include <utility>

#include "base/expects.hpp"
#include "support/well_formed.hpp"

namespace ductledger::picture {
namespace {

picture::PictureFrame frame(std::string title) {
  return {.width_px = 100.0,
          .height_px = 50.0,
          .title = std::move(title),
          .description = "one sentence",
          .id = "one"};
}

TEST(Svg, NumbersHaveNoTrailingZerosAndNoMinusZero) {
  EXPECT_EQ(picture::svg_number(1.0), "1");
  EXPECT_EQ(picture::svg_number(-0.001), "0");
  EXPECT_EQ(picture::svg_number(1.255), "1.25");
  EXPECT_EQ(picture::svg_number(-12.5), "-12.5");
  EXPECT_EQ(picture::svg_number(100.0), "100");
  EXPECT_THROW((void)picture::svg_number(std::nan("")), base::LogicError);
}

TEST(Svg, AnyTextMakesAWellFormedPicture) {
  for (const std::string& text : {std::string("a < b & \"c\" > 'd' ]]>"),
                                  std::string("</svg><script>alert(1)</script>"),
                                  std::string("nul \0 bell \x07 esc \x1b", 18),
                                  std::string("bad \xff\xfe utf-8 \xc3"),
                                  std::string("no character \xEF\xBF\xBF of XML"),
                                  std::string("m\xC2\xB3/h \xE2\x80\xAE turned")}) {
    picture::Svg svg(frame(text));
    svg.open("g", {{"aria-label", text}}).text("text", text, {{"x", 3.0}}).close();
    svg.leaf("line", {{"class", text}});
    const std::string out = svg.finish();
    EXPECT_EQ(test::xml_fault(out), "") << out;
    EXPECT_EQ(out.find("<script"), std::string::npos);
  }
}

TEST(Svg, TheCheckOfWellFormednessCanFail) {
  EXPECT_NE(test::xml_fault("<a><b></a>"), "");
  EXPECT_NE(test::xml_fault("<a x=1/>"), "");
  EXPECT_NE(test::xml_fault("<a x=\"1\" x=\"2\"/>"), "");
  EXPECT_NE(test::xml_fault("<a>&nbsp;</a>"), "");
  EXPECT_NE(test::xml_fault("<a/><b/>"), "");
  EXPECT_NE(test::xml_fault("<a>"), "");
  EXPECT_EQ(test::xml_fault("<a x=\"1\"><b/>&amp;</a>\n"), "");
}

TEST(Svg, ClosesWhatIsOpenAndRefusesToCloseMore) {
  picture::Svg svg(frame("t"));
  svg.open("g").open("g");
  EXPECT_EQ(test::xml_fault(svg.finish()), "");
  picture::Svg other(frame("t"));
  other.close();
  EXPECT_THROW(other.close(), base::LogicError);
}

TEST(Svg, CarriesATitleAndADescriptionForScreenReaders) {
  picture::Svg svg(frame("Fan and run"));
  const std::string out = svg.finish();
  EXPECT_NE(out.find("role=\"img\" aria-labelledby=\"one-title one-desc\""), std::string::npos);
  EXPECT_NE(out.find("<title id=\"one-title\">Fan and run</title>"), std::string::npos);
  EXPECT_NE(out.find("<desc id=\"one-desc\">one sentence</desc>"), std::string::npos);
}

TEST(Svg, APictureForAPageBringsNoStyleOfItsOwn) {
  picture::PictureFrame in_page = frame("t");
  in_page.use = picture::PictureUse::page;
  EXPECT_EQ(picture::Svg(in_page).finish().find("<style"), std::string::npos);
  EXPECT_NE(picture::Svg(frame("t")).finish().find("<style"), std::string::npos);
  EXPECT_NE(picture::picture_rules().find("var(--ink)"), std::string::npos);
  EXPECT_NE(picture::picture_palette().find("prefers-color-scheme:dark"), std::string::npos);
}

/// Relative luminance of `#rrggbb` by WCAG 2; of a gray print it is the gray.
double luminance(const std::string& color) {
  const auto part = [&](std::size_t at, double weight) {
    const double c = std::stoi(color.substr(at, 2), nullptr, 16) / 255.0;
    return weight * (c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4));
  };
  return part(1, 0.2126) + part(3, 0.7152) + part(5, 0.0722);
}

TEST(Svg, MarksStandOutThreeToOneInLightDarkAndGray) {
  const std::string palette = page_palette();
  const std::regex colors(
      "--ink:(#\\w{6});--quiet:(#\\w{6});--rule:#\\w{6};--paper:(#\\w{6});--first:(#\\w{6});"
      "--second:(#\\w{6})");
  int themes = 0;
  for (std::sregex_iterator one(palette.begin(), palette.end(), colors), end; one != end; ++one) {
    const double paper = luminance((*one)[3]) + 0.05;
    for (const std::size_t mark : {1U, 2U, 4U, 5U}) {
      const double ink = luminance((*one)[mark]) + 0.05;
      EXPECT_GE(std::max(paper, ink) / std::min(paper, ink), 3.0) << (*one)[mark];
    }
    ++themes;
  }
  EXPECT_EQ(themes, 3) << "light, dark by the reader's machine, dark by choice";
}

}  // namespace
}  // namespace ductledger::picture
