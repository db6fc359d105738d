#pragma once

#include <cstddef>
#include <string>
#include <string_view>

#include "base/text.hpp"
#include "findings/finding.hpp"
#include "text/check.hpp"
#include "text/table.hpp"
#include "units/message.hpp"
#include "words/studies.hpp"

namespace ductledger::text {

enum class Ink { bold, dim, red, yellow, cyan, green };

/// A page of text, as wide as its options say, written from top to bottom: what every text view
/// shares.
class Page {
 public:
  static constexpr std::size_t kIndent = 2;

  explicit Page(const TextOptions& options) : options_(options) {}

  [[nodiscard]] std::size_t width() const noexcept { return options_.width; }

  [[nodiscard]] std::string ink(std::string_view text, Ink ink) const;
  /// A quantity with its unit, in the page's system.
  [[nodiscard]] std::string show(double si, units::Dimension dimension) const {
    return units::display(si, dimension, options_.system);
  }
  /// Its number alone, for a cell under a unit heading.
  [[nodiscard]] std::string bare(double si, units::Dimension dimension) const {
    return units::display_number(si, dimension, options_.system);
  }
  /// `bare`, with a plus before what is above zero as it is shown.
  [[nodiscard]] std::string gain(double si, units::Dimension dimension) const {
    const std::string text = bare(si, dimension);
    const bool gains = si > 0.0 && text.find_first_of("123456789") != std::string::npos;
    return gains ? '+' + text : text;
  }
  [[nodiscard]] std::string unit(units::Dimension dimension) const {
    return std::string(units::display_unit(dimension, options_.system));
  }
  [[nodiscard]] const TextOptions& options() const noexcept { return options_; }

  /// What the page is of, and its file at the right margin; both are a user's text.
  struct Title {
    std::string_view title;
    std::string_view file;
  };
  void title(const Title& title);
  void blank() { out_ += '\n'; }
  void paragraph(std::string_view text);
  void strong_paragraph(std::string_view text);
  void heading(std::string_view text);
  void bullet(std::string_view text);
  /// A ledger's columns, without rows.
  [[nodiscard]] Table ledger_table() const;
  /// The cells of one of its rows. @param label what stands there
  [[nodiscard]] std::vector<std::string> ledger_cells(const solve::LedgerRow& row,
                                                      std::string label) const;
  void table(const Table& table) {
    out_ += table.text({0, kIndent, width()},
                       [this](const std::string& line) { return ink(line, Ink::bold); });
  }
  /// A line as it stands.
  void line(std::string_view text);
  /// A word at the left margin, the text hanging beside it: `note  ...`. @param ink of the word
  struct Marked {
    std::string_view word;
    Ink ink = Ink::bold;
    std::size_t text_column = 8;
  };
  void marked(const Marked& mark, std::string_view text);
  /// A line that belongs to what `marked` wrote.
  void under(std::string_view text, std::string_view lead = {});
  void under_dim(std::string_view text);
  /// Each by its headline and remedy, lists on one line; verbose also why and the citation.
  void findings(const std::vector<findings::Finding>& findings);
  /// The whole list, for who is about to work.
  void cautions(const std::vector<std::string>& cautions);
  /// What nobody may overlook, in two lines; the whole list when verbose.
  void safety(const study::CheckResult& check);

  [[nodiscard]] std::string take() { return std::move(out_); }

 private:
  static constexpr std::size_t kUnder = 8;
  void finding_lines(const findings::Finding& finding);
  void lists(const std::vector<const findings::Finding*>& findings);
  TextOptions options_;
  std::string out_;
};

/// Writes the figures of shared sentences as a page of text shows them.
class TextFigures : public words::FigureWriter {
 public:
  explicit TextFigures(const Page& page) : page_(page) {}
  [[nodiscard]] units::System system() const override { return page_.options().system; }
  [[nodiscard]] std::string figure(const std::string& /*at*/,
                                   const std::string& shown) const override {
    return shown;
  }
  [[nodiscard]] std::string of_layout(std::string_view text) const override {
    return base::escaped(text);
  }
  [[nodiscard]] std::string plain(std::string_view text) const override {
    return std::string(text);
  }

 private:
  const Page& page_;
};

}  // namespace ductledger::text
