#pragma once

#include <cstddef>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "base/wrap.hpp"

/// Views of result documents: text and JSON. Nothing here solves anything.
namespace ductledger::text {

using base::Hanging;
/// The text broken at spaces, as `base::wrapped` does.
/// Here and in tables every text is escaped: what would disturb a terminal never reaches one.
[[nodiscard]] std::string wrapped(std::string_view text, const Hanging& hanging);

/// At most so many characters, the cut shown by `...`.
[[nodiscard]] std::string shortened(std::string_view text, std::size_t characters);

enum class Align { left, right };

struct Column {
  std::string heading;
  std::string unit;  ///< second heading line; may be empty
  Align align = Align::left;
  int dispensable = 0;  ///< 0: always shown; of the others the highest is dropped first
};

/// A table in characters: columns as wide as what they hold.
class Table {
 public:
  explicit Table(std::vector<Column> columns) : columns_(std::move(columns)) {}

  /// @param cells one for each column
  void row(std::vector<std::string> cells);
  /// The same, for the row that matters most: a page writes it heavier.
  void strong_row(std::vector<std::string> cells);
  /// A line of its own that begins under the second column.
  void heading(std::string_view text);

  /// Where the table is too wide: first one space between columns, then dispensable columns are
  /// dropped, then the first text column is cut; where that is not enough, a list says for each row
  /// what stands in which column.
  /// @param strong writes the line of a strong row
  using Strong = std::function<std::string(const std::string&)>;
  [[nodiscard]] std::string text(const Hanging& place, const Strong& strong = {}) const;

 private:
  struct Line {
    std::string heading;
    std::vector<std::string> cells;  ///< empty: a heading
    bool strong = false;
  };
  /// The columns that are shown, and how wide.
  struct Fitted {
    std::vector<std::size_t> shown;
    std::vector<std::size_t> widths;  ///< of every column
    std::size_t gap = 0;
    std::size_t indent = 0;
    [[nodiscard]] std::size_t total() const;
  };
  [[nodiscard]] std::vector<std::size_t> natural_widths() const;
  [[nodiscard]] Fitted fitted(const Hanging& place) const;
  [[nodiscard]] std::string as_list(const Hanging& place) const;

  std::vector<Column> columns_;
  std::vector<Line> lines_;
};

}  // namespace ductledger::text
