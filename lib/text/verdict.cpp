#include "text/verdict.hpp"

#include <string_view>

#include "document/verdict.hpp"

namespace ductledger::text {
namespace {

Ink ink_of(document::Standing standing) {
  switch (standing) {
    case document::Standing::fail:
    case document::Standing::not_met:
      return Ink::red;
    case document::Standing::not_shown:
    case document::Standing::warn:
      return Ink::yellow;
    case document::Standing::clear:
      break;
  }
  return Ink::dim;
}

}  // namespace

void write_verdict(Page& page, const study::CheckResult& result) {
  const document::Verdict verdict = document::verdict(result);
  const std::string_view word = verdict.mark();
  page.marked({.word = word,
               .ink = ink_of(verdict.standing),
               .text_column = Page::kIndent + word.size() + 2},
              verdict.text(page.options().system));
}

std::string verdict_text(const study::CheckResult& result, units::System system) {
  const document::Verdict verdict = document::verdict(result);
  return std::string(verdict.mark()) + "  " + verdict.text(system);
}

}  // namespace ductledger::text
