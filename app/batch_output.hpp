#pragma once

#include <cstddef>
#include <memory>
#include <string>
#include <vector>

#include "base/checked.hpp"
#include "document/rows.hpp"

namespace ductledger::app {

/// Rows on their way to a file or to standard output. A file is written beside its place, as
/// `FILE.part`, and put there once it is whole; what a call that was ended left in `FILE.part`, or
/// a shorter list in FILE, is gone on from with `resume`.
class RowsOutput {
 public:
  enum class Start { anew, resume };
  struct Wanted {
    std::string path;  ///< `-`: standard output
    Start start = Start::anew;
  };
  /// @return why it cannot be written, or why what is there cannot be gone on from
  [[nodiscard]] static base::Checked<RowsOutput> open(const Wanted& wanted, document::RowText text);

  /// The rows that are there already, in order.
  [[nodiscard]] const std::vector<document::RowKey>& there() const { return there_; }
  [[nodiscard]] const document::RowText& text() const { return text_; }
  /// @return false: it cannot be written any more, `finish` says why; or nobody reads
  [[nodiscard]] bool add(document::RowText::Cells cells);
  /// Puts the file in its place. @return what went wrong; empty: all is there
  [[nodiscard]] base::Diagnostics finish();
  /// Leaves the whole rows for `resume`; a file without one is removed. @return where they are;
  /// empty: nowhere
  std::string abandon();

  RowsOutput(RowsOutput&&) noexcept;
  RowsOutput& operator=(RowsOutput&&) noexcept;
  ~RowsOutput();

 private:
  struct File;
  explicit RowsOutput(document::RowText text);
  [[nodiscard]] base::Diagnostics open_file(Start start);
  /// What an earlier call left, kept in the part.
  [[nodiscard]] base::Diagnostics take_held(const std::string& from);
  [[nodiscard]] bool write(const std::string& text);

  document::RowText text_;
  std::unique_ptr<File> file_;
  std::vector<document::RowKey> there_;
};

}  // namespace ductledger::app
