#pragma once

#include <string>

#include "base/diagnostic.hpp"

namespace ductledger::app {

/// Prints a page to PDF with an installed Chromium, whole or not at all. @param html the page
struct PdfWanted {
  std::string html;
  std::string output;  ///< a file's path; `-` is standard output
};
[[nodiscard]] base::Diagnostics write_pdf(const PdfWanted& wanted);

}  // namespace ductledger::app
