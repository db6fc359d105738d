#pragma once

#include <string>
#include <string_view>

#include "html/page.hpp"

/// The frame that every page stands in: head, rules for screen and paper, the embedded document.
namespace ductledger::html {

struct Shell {
  std::string title;
  std::string kind;    ///< `Exhaust duct report`
  std::string footer;  ///< of each printed page
  std::string tool_version;
  units::System system = units::System::ip;  ///< A4 paper in SI, else Letter
  std::string skip;                          ///< what the skip link leads to: `the answer`
};
/// Everything before the content of `main`.
[[nodiscard]] std::string shell_begin(const Shell& shell);
/// Everything after it; the document stands in a script element of type application/json.
[[nodiscard]] std::string shell_end(const Shell& shell, const ReportJson& document);

/// Rules by class of what sections are written with, and the colours; screen, phone and paper.
[[nodiscard]] std::string shared_style();

/// `file  sha256 0123456789abcdef`, for the footer of a page of one layout; the file without the
/// folders of the machine it lies on.
[[nodiscard]] std::string file_and_hash(const layout::Layout& layout);

}  // namespace ductledger::html
