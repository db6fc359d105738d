#include "worksheet_page.hpp"

#if defined(DUCTLEDGER_WORKSHEET_PAGE)
// Some two megabytes: the assembler takes the file as it is.
__asm__(
    ".section .rodata\n"
    "ductledger_worksheet_page:\n"
    ".incbin \"" DUCTLEDGER_WORKSHEET_PAGE
    "\"\n"
    "ductledger_worksheet_page_end:\n"
    ".previous\n");

extern "C" {
extern const char ductledger_worksheet_page[];      // NOLINT(modernize-avoid-c-arrays)
extern const char ductledger_worksheet_page_end[];  // NOLINT(modernize-avoid-c-arrays)
}
#endif

namespace ductledger::app {

std::string_view worksheet_page() noexcept {
#if defined(DUCTLEDGER_WORKSHEET_PAGE)
  return {ductledger_worksheet_page, ductledger_worksheet_page_end};
#else
  return {};
#endif
}

}  // namespace ductledger::app
