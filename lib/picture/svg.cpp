#include "picture/svg.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/expects.hpp"
#include "base/text.hpp"

namespace ductledger::picture {
namespace {

constexpr std::string_view kReplacement = "\xEF\xBF\xBD";

struct Palette {
  const char* ink;
  const char* quiet;
  const char* rule;
  const char* paper;
  const char* first;
  const char* second;
};
// Both accents keep 4.5 to 1 against their paper.
constexpr Palette kLight{"#22303c", "#5a6874", "#d5dce2", "#ffffff", "#0a6b6b", "#a84c14"};
constexpr Palette kDark{"#e4eaee", "#a3b2be", "#37444f", "#151b21", "#63c9c1", "#f2a86f"};
constexpr Palette kByPage{
    "var(--ink)", "var(--quiet)", "var(--rule)", "var(--paper)", "var(--first)", "var(--second)"};

std::string colour_rules(const Palette& palette) {
  return fmt::format(
      ".picture{{color:{0};fill:none}}"
      ".picture .fill,.picture text{{fill:currentColor}}.picture .line{{stroke:currentColor}}"
      ".picture .quiet{{color:{1}}}.picture .rule{{stroke:{2}}}.picture .first{{color:{4}}}"
      ".picture .second{{color:{5}}}.picture .paper{{fill:{3}}}"
      ".picture .halo{{stroke:{3}}}",
      palette.ink,
      palette.quiet,
      palette.rule,
      palette.paper,
      palette.first,
      palette.second);
}

constexpr std::string_view kShapeRules =
    ".picture{font:13px/1.3 system-ui,sans-serif}"
    ".picture .line{stroke-width:2;stroke-linejoin:round;stroke-linecap:round}"
    ".picture .run{stroke-width:3.5}.picture .rule{stroke-width:1}.picture .thin{stroke-width:1.2}"
    ".picture .band{fill:currentColor;fill-opacity:.16}"
    ".picture .dashed{stroke-dasharray:8 5}.picture .dotted{stroke-dasharray:1 5}"
    ".picture .dash-dot{stroke-dasharray:10 5 1 5}"
    ".picture .strong{font-weight:600}.picture .small{font-size:12px}"
    ".picture .halo{stroke-width:4;stroke-linejoin:round;paint-order:stroke}"
    ".picture .gap{stroke-width:12;stroke-linecap:butt}.picture .hair{stroke-width:.7}"
    ".picture .run.second{stroke-width:5}"
    ".picture .plane{fill:currentColor;fill-opacity:.07;stroke:currentColor;stroke-width:.8;"
    "stroke-dasharray:5 3}"
    "@media print{.picture text{fill:#000}.picture .run:not(.second){color:#6b7883}"
    ".picture .second{color:#4d1c00}}";

std::string properties(const Palette& palette) {
  return fmt::format("--ink:{};--quiet:{};--rule:{};--paper:{};--first:{};--second:{}",
                     palette.ink,
                     palette.quiet,
                     palette.rule,
                     palette.paper,
                     palette.first,
                     palette.second);
}

// What XML 1.0 cannot hold, even escaped.
bool is_forbidden(unsigned char c) { return c < 0x20U && c != '\t' && c != '\n' && c != '\r'; }

}  // namespace

std::string svg_number(double value) {
  DUCTLEDGER_EXPECTS(std::isfinite(value));
  std::string text = fmt::format("{:.2f}", value);
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') {
    text.pop_back();
  }
  return text == "-0" ? "0" : text;
}

std::string xml_escaped(std::string_view written) {
  const std::string safe = base::escaped_beyond_ascii(written);
  std::string_view text = safe;
  std::string out;
  out.reserve(text.size());
  while (!text.empty()) {
    const auto bad = base::first_invalid_utf8(text);
    const std::string_view good = text.substr(0, bad.value_or(text.size()));
    for (std::size_t i = 0; i < good.size(); ++i) {
      const char c = good[i];
      // U+FFFE and U+FFFF are valid UTF-8 and no characters of XML.
      if (good.substr(i, 2) == "\xEF\xBF" && i + 2 < good.size() &&
          static_cast<unsigned char>(good[i + 2]) >= 0xBEU) {
        out += kReplacement;
        i += 2;
      } else if (c == '&') {
        out += "&amp;";
      } else if (c == '<') {
        out += "&lt;";
      } else if (c == '>') {
        out += "&gt;";
      } else if (c == '"') {
        out += "&quot;";
      } else if (c == '\'') {
        out += "&#39;";
      } else if (is_forbidden(static_cast<unsigned char>(c))) {
        out += kReplacement;
      } else {
        out += c;
      }
    }
    if (!bad) {
      break;
    }
    out += kReplacement;
    text.remove_prefix(*bad + 1);
  }
  return out;
}

double text_width_px(std::string_view text, double font_px) {
  double ems = 0.0;
  for (const char c : text) {
    const auto byte = static_cast<unsigned char>(c);
    if ((byte & 0xC0U) == 0x80U) {
      continue;  // the rest of a character
    }
    const std::string_view narrow = "ijl.,:;|'!()[]/ ft1-";
    const std::string_view wide = "mwMW%@";
    ems += narrow.find(c) != std::string_view::npos ? 0.36
           : wide.find(c) != std::string_view::npos ? 0.90
           : byte >= 'A' && byte <= 'Z'             ? 0.68
                                                    : 0.57;
  }
  return ems * font_px;
}

Svg::Svg(const PictureFrame& frame) {
  const std::string title_id = frame.id + "-title";
  const std::string description_id = frame.id + "-desc";
  const std::string labels = frame.description.empty() ? title_id : title_id + ' ' + description_id;
  open("svg",
       {{"xmlns", "http://www.w3.org/2000/svg"},
        {"viewBox",
         fmt::format("0 0 {} {}", svg_number(frame.width_px), svg_number(frame.height_px))},
        {"width", frame.width_px},
        {"height", frame.height_px},
        {"class", "picture"},
        {"role", "img"},
        {"aria-labelledby", labels}});
  text("title", frame.title, {{"id", title_id}});
  if (!frame.description.empty()) {
    text("desc", frame.description, {{"id", description_id}});
  }
  if (frame.use == PictureUse::file) {
    text("style",
         fmt::format("{}{}@media screen and (prefers-color-scheme:dark){{{}}}",
                     kShapeRules,
                     colour_rules(kLight),
                     colour_rules(kDark)));
    leaf("rect", {{"width", frame.width_px}, {"height", frame.height_px}, {"class", "paper"}});
  }
}

void Svg::indent() { out_.append(2 * open_.size(), ' '); }

void Svg::start(std::string_view element, Attributes attributes) {
  indent();
  out_ += '<';
  out_ += element;
  for (const SvgAttribute& attribute : attributes) {
    out_ += fmt::format(" {}=\"{}\"", attribute.name, xml_escaped(attribute.value));
  }
}

Svg& Svg::open(std::string_view element, Attributes attributes) {
  start(element, attributes);
  out_ += ">\n";
  open_.emplace_back(element);
  return *this;
}

Svg& Svg::close() {
  DUCTLEDGER_EXPECTS(!open_.empty());
  const std::string element = std::move(open_.back());
  open_.pop_back();
  indent();
  out_ += fmt::format("</{}>\n", element);
  return *this;
}

Svg& Svg::leaf(std::string_view element, Attributes attributes) {
  start(element, attributes);
  out_ += "/>\n";
  return *this;
}

Svg& Svg::text(std::string_view element, std::string_view content, Attributes attributes) {
  start(element, attributes);
  out_ += fmt::format(">{}</{}>\n", xml_escaped(content), element);
  return *this;
}

std::string Svg::finish() {
  DUCTLEDGER_EXPECTS(!open_.empty());
  while (!open_.empty()) {
    close();
  }
  return std::move(out_);
}

std::string svg_path(const std::vector<SvgPoint>& points, PathEnd end) {
  std::string path;
  for (const SvgPoint& point : points) {
    path += path.empty() ? 'M' : 'L';
    path += fmt::format("{} {}", svg_number(point.x), svg_number(point.y));
  }
  if (end == PathEnd::closed) {
    path += 'Z';
  }
  return path;
}

const std::string& picture_rules() {
  static const std::string rules = std::string(kShapeRules) + colour_rules(kByPage);
  return rules;
}

const std::string& picture_palette() {
  static const std::string palette =
      fmt::format(":root{{{}}}@media screen and (prefers-color-scheme:dark){{:root{{{}}}}}",
                  properties(kLight),
                  properties(kDark));
  return palette;
}

const std::string& page_palette() {
  static const std::string palette = fmt::format(
      ":root{{{0}}}@media screen and "
      "(prefers-color-scheme:dark){{:root:not([data-theme=light]){{{1}}}}}"
      "@media screen{{:root[data-theme=dark]{{{1}}}}}",
      properties(kLight),
      properties(kDark));
  return palette;
}

}  // namespace ductledger::picture
