#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

#include "base/words.hpp"

/// Tables that other programs read: the same columns in every row, each of one type, `null` (in CSV
/// an empty cell) where a value is not known.
namespace ductledger::document {

enum class ColumnType { text, number, count, document };
inline constexpr auto kColumnTypeWords =
    base::words<ColumnType>({{ColumnType::text, "text"},
                             {ColumnType::number, "number"},
                             {ColumnType::count, "count"},
                             {ColumnType::document, "document"}});
[[nodiscard]] constexpr const char* word(ColumnType type) { return kColumnTypeWords.of(type); }

struct ColumnHead {
  std::string name;
  ColumnType type = ColumnType::text;
};
using Row = std::vector<nlohmann::ordered_json>;  ///< a value for each column

enum class RowFormat {
  jsonl,   ///< an object a line
  csv,     ///< a line with the names first; CRLF, quotes where a cell needs them
  columns  ///< first `{"columns": {name: type}}`, then a line of arrays for every `kBlockRows` rows
};
inline constexpr auto kRowFormatWords = base::words<RowFormat>(
    {{RowFormat::jsonl, "jsonl"}, {RowFormat::csv, "csv"}, {RowFormat::columns, "columns"}});
inline constexpr std::size_t kBlockRows = 1024;

/// Writes a table piece by piece. A line end inside a cell is written as an escape, so that a line
/// is a row.
class RowText {
 public:
  RowText(std::vector<ColumnHead> columns, RowFormat format);

  [[nodiscard]] const std::vector<ColumnHead>& columns() const { return columns_; }
  [[nodiscard]] RowFormat format() const { return format_; }
  /// What stands before the rows; may be empty.
  [[nodiscard]] std::string head() const;
  /// A row as text, one for the whole or one a column; may run on any thread.
  using Cells = std::vector<std::string>;
  [[nodiscard]] Cells cells(const Row& row) const;
  /// What is due once the row is there; in its order. May be empty.
  [[nodiscard]] std::string add(Cells cells);
  /// A text as it is read again from a cell.
  [[nodiscard]] std::string read_back(const std::string& text) const;
  /// What is left at the end.
  [[nodiscard]] std::string end();

 private:
  std::vector<ColumnHead> columns_;
  RowFormat format_;
  std::vector<std::string> block_;  ///< a list a column
  std::size_t in_block_ = 0;
};

/// What tells a row from the others: its first two columns, both text.
struct RowKey {
  std::string name;
  std::string status;
};
/// Those of a line of a table, one, or a block of them. Empty: no line of such a table.
[[nodiscard]] std::vector<RowKey> keys_in(const std::string& line, RowFormat format);
/// The names in a line of a JSON Lines table.
[[nodiscard]] std::vector<std::string> names_in(const std::string& line);

}  // namespace ductledger::document
