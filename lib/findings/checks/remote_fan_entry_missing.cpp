#include <string>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> remote_fan_entry_missing(const result::Case& subject) {
  const layout::Layout& layout = *subject.layout;
  if (!layout.fan || subject.run->fan_at_collar) {
    return {};
  }
  bool entry = false;
  bool filter = false;
  for (std::size_t i = 0; i < layout.run.fan_piece.value_or(0); ++i) {
    entry = entry || layout.run.pieces[i].kind == layout::PieceKind::entry;
    filter = filter || layout.run.pieces[i].kind == layout::PieceKind::filter;
  }
  const bool wants_filter = is_range_hood(subject) || layout.appliance.includes_filter;
  std::vector<std::string> missing;
  if (!entry) {
    missing.emplace_back("entry");
  }
  if (wants_filter && !filter) {
    missing.emplace_back("filter");
  }
  if (missing.empty()) {
    return {};
  }
  return {finding(
      kRemoteFanEntryMissing,
      {.level = Level::warn,
       .message = {"no " +
                       std::string(missing.size() == 2 ? "entry and no filter" : missing.front()) +
                       " before the fan: their loss is not charged",
                   {}},
       .span = layout.run.pieces[*layout.run.fan_piece].span})};
}

}  // namespace

const Check kRemoteFanEntryMissing{
    .code = "remote-fan-entry-missing",
    .title = "entry or filter missing before a remote fan",
    .what =
        "a run whose fan is not at the collar: an `entry` piece and, for a range hood, a "
        "`filter` piece before the fan",
    .why = "the hood's entry and filter are not in the curve of a fan that stands elsewhere",
    .instead = "state the missing pieces before the fan",
    .source = "common practice",
    .check = remote_fan_entry_missing,
};

}  // namespace ductledger::findings
