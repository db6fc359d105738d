#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "html/report.hpp"
#include "picture/plot.hpp"
#include "words/studies.hpp"

/// What every section of a report page is written with.
namespace ductledger::html {

using ReportJson = nlohmann::ordered_json;

/// A text as it may stand in the page.
[[nodiscard]] inline std::string escaped(std::string_view text) {
  return picture::xml_escaped(text);
}

/// A page over its document: figures are taken from the document alone, by JSON pointer.
class HtmlPage {
 public:
  HtmlPage(ReportJson document, units::System system)
      : document_(std::move(document)), system_(system) {}

  // --- where we are --------------------------------------------------------------------------

  /// The layout that sections are about, and the level of their headings.
  void about(std::size_t index) { index_ = index; }
  void heading_level(int level) { heading_ = level; }
  [[nodiscard]] std::size_t index() const noexcept { return index_; }
  [[nodiscard]] units::System system() const noexcept { return system_; }
  [[nodiscard]] std::string id(std::string_view name) const;
  /// Pointer to a part of this layout's check document.
  [[nodiscard]] std::string check(std::string_view rest) const;
  [[nodiscard]] std::string speed_at(std::size_t speed, std::string_view rest) const;
  [[nodiscard]] const ReportJson& at(const std::string& pointer) const;
  [[nodiscard]] const ReportJson& document() const noexcept { return document_; }

  // --- texts and figures ---------------------------------------------------------------------

  void line(std::string_view html);
  /// A line of plain text.
  void paragraph(std::string_view text);
  /// A shared sentence, written with `HtmlFigures`; nothing where it is empty.
  void sentence(std::string_view html);
  void heading(int below, std::string_view text, const std::string& id = {});
  [[nodiscard]] std::string show(double si, units::Dimension dimension) const;
  /// The same as HTML, never broken between number and unit.
  [[nodiscard]] std::string whole(double si, units::Dimension dimension) const {
    return "<span class=\"whole\">" + show(si, dimension) + "</span>";
  }
  [[nodiscard]] std::string unit(units::Dimension dimension) const;
  /// A figure of the document with its unit; `-` where the document has none.
  enum class With { unit, number_alone };
  [[nodiscard]] std::string figure(const std::string& pointer,
                                   units::Dimension dimension,
                                   With with = With::unit) const;
  /// With a sign before a gain.
  [[nodiscard]] std::string gain(const std::string& pointer,
                                 units::Dimension dimension,
                                 With with = With::unit) const;
  /// House pressures are in pascal in either unit system, as blower doors and limits are.
  [[nodiscard]] std::string pascal(const std::string& pointer) const;
  /// ` (352 to 466)` of a pair; empty where the document has none.
  [[nodiscard]] std::string band(const std::string& pointer, units::Dimension dimension) const;
  /// A text that stands for the number at a pointer; `-` where there is none.
  [[nodiscard]] std::string tagged(const std::string& pointer, const std::string& text) const;

  // --- tables --------------------------------------------------------------------------------

  struct Heading {
    std::string text;
    bool number = false;
  };
  void table_begin(std::string_view caption, const std::vector<Heading>& columns);
  void row_begin(std::string_view classes = {});
  void row_head(std::string_view html);
  void cell(std::string_view label, std::string_view html);
  void number_cell(std::string_view label, std::string_view html);
  void row_end() { line("</tr>"); }
  void table_end() { line("</tbody></table>"); }

  // --- pictures ------------------------------------------------------------------------------

  static constexpr double kWidePx = 720.0;
  static constexpr double kPhonePx = 288.0;
  struct PictureSize {
    double width_px;
    std::string id;
  };
  struct PictureText {
    std::string name;
    std::string title;
    std::string caption;  ///< the figure's number goes before it
  };
  using Draw = std::function<std::string(const PictureSize&)>;
  /// A picture in both widths; nothing where the drawing is empty.
  void picture(const PictureText& text, const Draw& draw);
  void plot_picture(const std::string& name, const std::optional<picture::Plot>& plot);

  /// Begins a list of the headings that follow; `contents_here` is where their links shall stand,
  /// `fill_contents` writes them all.
  void begin_contents() { contents_.emplace_back(); }
  void contents_here() { contents_.back().at = out_.size(); }
  void fill_contents();

  void append(std::string_view html) { out_ += html; }
  [[nodiscard]] std::string take() { return std::exchange(out_, {}); }

 private:
  ReportJson document_;
  units::System system_;
  std::string out_;
  std::size_t index_ = 0;
  int heading_ = 2;
  int figures_ = 0;
  struct Contents {
    std::size_t at = 0;                                      ///< in the page so far
    std::vector<std::pair<std::string, std::string>> links;  ///< id and text
  };
  std::vector<Contents> contents_;
};

/// Writes the figures of shared sentences, each tied to its place in the document.
class HtmlFigures : public words::FigureWriter {
 public:
  explicit HtmlFigures(const HtmlPage& page) : page_(page) {}
  [[nodiscard]] units::System system() const override { return page_.system(); }
  [[nodiscard]] std::string figure(const std::string& at, const std::string& shown) const override {
    return page_.tagged(page_.check(at), shown);
  }
  [[nodiscard]] std::string of_layout(std::string_view text) const override;
  [[nodiscard]] std::string plain(std::string_view text) const override;

 private:
  const HtmlPage& page_;
};

}  // namespace ductledger::html
