#pragma once

#include <optional>
#include <span>
#include <string>

#include "html/page.hpp"
#include "solve/ledger.hpp"

namespace ductledger::html {

/// A row of the ledger with its place in the document.
struct LedgerLine {
  const solve::LedgerRow& row;
  std::string at;                 ///< pointer to it, without a slash behind
  std::optional<std::string> of;  ///< which of several runs it belongs to
};

/// The pressure a way costs, piece by piece, and below it what the marks at the pieces mean. Of
/// several runs the table names each row's run in place of its velocity pressure.
/// @param most the row that costs most, or null
void ledger_table(HtmlPage& page,
                  const std::string& caption,
                  std::span<const LedgerLine> lines,
                  const solve::LedgerRow* most);
void ledger_remarks(HtmlPage& page, std::span<const LedgerLine> lines);

}  // namespace ductledger::html
