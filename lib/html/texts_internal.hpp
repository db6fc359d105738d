#pragma once

#include <string_view>

/// The fixed texts of a report page.
namespace ductledger::html {

/// Rules for screen, phone and paper; the pictures' own rules and colours are added by the page.
[[nodiscard]] std::string_view page_rules();
/// Hover, focus and tap readings, arrow keys, Escape, the theme's switch. Nothing needs it.
[[nodiscard]] std::string_view page_script();

}  // namespace ductledger::html
