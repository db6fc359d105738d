#include "html/shell.hpp"

#include <fmt/format.h>

#include <cctype>
#include <nlohmann/json.hpp>

#include "base/text.hpp"
#include "html/texts_internal.hpp"
#include "picture/svg.hpp"

namespace ductledger::html {
namespace {

using Json = ReportJson;

/// A text inside a CSS string: all but plain letters and digits as code points.
std::string css_string(std::string_view text) {
  std::string out = "\"";
  for (const char c : base::escaped(text)) {
    const auto byte = static_cast<unsigned char>(c);
    if (std::isalnum(byte) != 0 || byte >= 0x80U) {
      out += c;
    } else {
      out += fmt::format("\\{:x} ", byte);
    }
  }
  return out + '"';
}

/// JSON that may stand inside a script element.
std::string embedded(const Json& document) {
  const std::string text =
      base::escaped_beyond_ascii(document.dump(-1, ' ', false, Json::error_handler_t::replace));
  std::string out;
  out.reserve(text.size());
  for (const char c : text) {
    out += c == '<' ? std::string("\\u003c") : std::string(1, c);
  }
  return out;
}

}  // namespace

std::string shell_begin(const Shell& shell) {
  std::string out = "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n";
  out += "<meta name=\"viewport\" content=\"width=device-width,initial-scale=1\">\n";
  out += fmt::format("<meta name=\"generator\" content=\"ductledger {}\">\n",
                     escaped(shell.tool_version));
  out += fmt::format("<title>{}</title>\n<style>", escaped(shell.title));
  out += shared_style();
  out += fmt::format(
      ":root{{--page:{}}}@page{{size:{};margin:16mm 14mm 18mm;@bottom-left{{content:{};font:8pt "
      "system-ui,sans-serif}}"
      "@bottom-right{{content:\"page \" counter(page) \" of \" counter(pages);font:8pt "
      "system-ui,sans-serif}}}}",
      // The paper's height without its margins.
      shell.system == units::System::ip ? "245mm" : "263mm",
      shell.system == units::System::ip ? "letter" : "A4",
      css_string(shell.footer));
  out += "</style>\n</head>\n<body>\n";
  out += fmt::format("<a class=\"skip\" href=\"#main\">Skip to {}</a>\n", escaped(shell.skip));
  out += fmt::format("<header class=\"top\"><p>{}</p></header>\n<main id=\"main\">\n",
                     escaped(shell.kind + ", ductledger " + shell.tool_version));
  return out + fmt::format("<h1>{}</h1>\n", escaped(shell.title));
}

std::string shell_end(const Shell& shell, const ReportJson& document) {
  return "</main>\n<footer class=\"foot\">\n" +
         fmt::format(
             "<p>Made by ductledger {} from the files named above. It is a calculation, no permit: "
             "local code and the authority having jurisdiction decide.</p>\n</footer>\n",
             escaped(shell.tool_version)) +
         fmt::format("<script type=\"application/json\" id=\"result\">{}</script>\n",
                     embedded(document)) +
         fmt::format("<script>{}</script>\n</body>\n</html>\n", page_script());
}

std::string shared_style() {
  return picture::page_palette() + picture::picture_rules() + std::string(page_rules());
}

std::string file_and_hash(const layout::Layout& layout) {
  const std::string name = layout.file.substr(layout.file.find_last_of("/\\") + 1);  // npos + 1: 0
  return name + "  sha256 " + layout.sha256.substr(0, 16);
}

}  // namespace ductledger::html
