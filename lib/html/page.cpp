#include "html/page.hpp"

#include <algorithm>
#include <string>

#include "base/text.hpp"
#include "picture/svg.hpp"
#include "units/unit_table.hpp"

namespace ductledger::html {

using units::Dimension;

std::string HtmlPage::id(std::string_view name) const {
  return fmt::format("{}-{}", name, index_ + 1);
}

std::string HtmlPage::check(std::string_view rest) const {
  return fmt::format("/results/{}{}", index_, rest);
}

std::string HtmlPage::speed_at(std::size_t speed, std::string_view rest) const {
  return check(fmt::format("/speeds/{}{}", speed, rest));
}

const ReportJson& HtmlPage::at(const std::string& pointer) const {
  return document_.at(ReportJson::json_pointer(pointer));
}

void HtmlPage::line(std::string_view html) {
  out_ += html;
  out_ += '\n';
}

void HtmlPage::paragraph(std::string_view text) {
  line(fmt::format("<p>{}</p>", picture::xml_escaped(text)));
}

void HtmlPage::sentence(std::string_view html) {
  if (!html.empty()) {
    line(fmt::format("<p>{}</p>", html));
  }
}

void HtmlPage::heading(int below, std::string_view text, const std::string& id) {
  const int level = std::min(heading_ + below, 6);
  if (below == 0 && !id.empty() && !contents_.empty()) {
    contents_.back().links.emplace_back(id, text);
  }
  line(id.empty()
           ? fmt::format("<h{0}>{1}</h{0}>", level, picture::xml_escaped(text))
           : fmt::format("<h{0} id=\"{2}\">{1}</h{0}>", level, picture::xml_escaped(text), id));
}

void HtmlPage::fill_contents() {
  // From the last to the first, so that the places of those before stay.
  for (std::size_t i = contents_.size(); i-- > 0;) {
    const Contents& list = contents_[i];
    if (list.links.empty()) {
      continue;
    }
    std::string html =
        fmt::format("<nav aria-label=\"Sections{}\"><ul class=\"contents\">\n",
                    contents_.size() > 1 ? fmt::format(" of layout {}", i + 1) : std::string());
    for (const auto& [id, text] : list.links) {
      html += fmt::format("<li><a href=\"#{}\">{}</a></li>\n", id, picture::xml_escaped(text));
    }
    out_.insert(list.at, html + "</ul></nav>\n");
  }
  contents_.clear();
}

std::string HtmlPage::show(double si, Dimension dimension) const {
  return units::display(si, dimension, system_);
}

std::string HtmlPage::unit(Dimension dimension) const {
  return std::string(units::display_unit(dimension, system_));
}

std::string HtmlPage::figure(const std::string& pointer, Dimension dimension, With with) const {
  const ReportJson& value = at(pointer);
  if (!value.is_number()) {
    return "-";
  }
  const double si = value.get<double>();
  return tagged(
      pointer,
      with == With::unit ? show(si, dimension) : units::display_number(si, dimension, system_));
}

std::string HtmlPage::gain(const std::string& pointer, Dimension dimension, With with) const {
  const ReportJson& value = at(pointer);
  const double si = value.is_number() ? value.get<double>() : 0.0;
  const bool gains =
      si > 0.0 &&
      units::display_number(si, dimension, system_).find_first_of("123456789") != std::string::npos;
  return (gains ? "+" : "") + figure(pointer, dimension, with);
}

std::string HtmlPage::pascal(const std::string& pointer) const {
  const ReportJson& value = at(pointer);
  if (!value.is_number()) {
    return "-";
  }
  return tagged(pointer, words::pascal(value.get<double>()));
}

std::string HtmlPage::band(const std::string& pointer, Dimension dimension) const {
  if (!at(pointer).is_array()) {
    return {};
  }
  const auto end = [&](const char* place) {
    return figure(pointer + place, dimension, With::number_alone);
  };
  if (at(pointer + "/0").is_null()) {
    return at(pointer + "/1").is_null() ? std::string{} : fmt::format(" (at most {})", end("/1"));
  }
  return at(pointer + "/1").is_null() ? fmt::format(" (at least {})", end("/0"))
                                      : fmt::format(" ({} to {})", end("/0"), end("/1"));
}

std::string HtmlPage::tagged(const std::string& pointer, const std::string& text) const {
  const ReportJson& value = at(pointer);
  return value.is_number() ? fmt::format("<data value=\"{}\" data-at=\"{}\">{}</data>",
                                         value.dump(),
                                         picture::xml_escaped(pointer),
                                         picture::xml_escaped(text))
                           : std::string("-");
}

std::string HtmlFigures::of_layout(std::string_view text) const {
  return picture::xml_escaped(base::escaped(text));
}

std::string HtmlFigures::plain(std::string_view text) const { return picture::xml_escaped(text); }

// Roles are written out, since a phone shows rows as blocks.

void HtmlPage::table_begin(std::string_view caption, const std::vector<Heading>& columns) {
  line(fmt::format("<table role=\"table\"{}><caption>{}</caption>",
                   columns.size() > 6 ? " class=\"dense\"" : "",
                   picture::xml_escaped(caption)));
  out_ += "<thead role=\"rowgroup\"><tr role=\"row\">";
  for (const Heading& column : columns) {
    out_ += fmt::format("<th role=\"columnheader\" scope=\"col\"{}>{}</th>",
                        column.number ? " class=\"n\"" : "",
                        picture::xml_escaped(column.text));
  }
  line("</tr></thead><tbody role=\"rowgroup\">");
}

void HtmlPage::row_begin(std::string_view classes) {
  out_ += classes.empty() ? std::string("<tr role=\"row\">")
                          : fmt::format("<tr role=\"row\" class=\"{}\">", classes);
}

void HtmlPage::row_head(std::string_view html) {
  out_ += fmt::format("<th role=\"rowheader\" scope=\"row\">{}</th>", html);
}

void HtmlPage::cell(std::string_view label, std::string_view html) {
  out_ += fmt::format("<td role=\"cell\"{} data-label=\"{}\"><span>{}</span></td>",
                      html.empty() ? " class=\"none\"" : "",
                      picture::xml_escaped(label),
                      html);
}

void HtmlPage::number_cell(std::string_view label, std::string_view html) {
  out_ += fmt::format("<td role=\"cell\" class=\"n{}\" data-label=\"{}\"><span>{}</span></td>",
                      html.empty() || html == "-" ? " none" : "",
                      picture::xml_escaped(label),
                      html);
}

namespace {

/// Sentences in which a number and its unit stand on one line.
std::string kept_together(std::string_view text) {
  const auto digit = [&](std::size_t at) {
    return at < text.size() && text[at] >= '0' && text[at] <= '9';
  };
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const std::string_view word = text.substr(i + 1, text.find_first_of(" .,;:)", i + 1) - (i + 1));
    const bool unit = text[i] == ' ' && i > 0 && digit(i - 1) && units::unit_named(word) != nullptr;
    const bool inches =
        text[i] == ' ' && i > 2 && text.substr(i - 3, 3) == " ft" && digit(i - 4) && digit(i + 1);
    out += unit || inches ? std::string("\u00a0") : std::string(1, text[i]);
  }
  return out;
}

}  // namespace

void HtmlPage::picture(const PictureText& text, const Draw& draw) {
  const std::string wide = draw({kWidePx, id(text.name + "-wide")});
  if (wide.empty()) {
    return;
  }
  const std::string narrow = draw({kPhonePx, id(text.name + "-narrow")});
  line(fmt::format("<figure id=\"{}\">", id(text.name)));
  line(
      fmt::format("<div class=\"wide\" data-name=\"{0}\">\n{1}</div>\n<div class=\"narrow\" "
                  "data-name=\"{0}\">\n{2}</div>",
                  picture::xml_escaped(text.title),
                  wide,
                  narrow));
  if (wide.find("class=\"reading\"") != std::string::npos) {
    line("<p class=\"live\" role=\"status\"></p>");
  }
  line(fmt::format("<figcaption>Figure {}. {}</figcaption>\n</figure>",
                   ++figures_,
                   picture::xml_escaped(kept_together(text.caption))));
}

void HtmlPage::plot_picture(const std::string& name, const std::optional<picture::Plot>& plot) {
  if (!plot) {
    return;
  }
  picture({.name = name, .title = plot->title, .caption = plot->reading},
          [&](const PictureSize& size) {
            picture::Plot sized = *plot;
            sized.id = size.id;
            return picture::plot_svg(
                sized,
                {.system = system_, .width_px = size.width_px, .use = picture::PictureUse::page});
          });
}

}  // namespace ductledger::html
