#include "html/sheet.hpp"

#include "base/expects.hpp"
#include "html/sections.hpp"
#include "html/shell.hpp"

namespace ductledger::html {

std::string rough_in_html(const ReportSubject& subject,
                          std::span<const sheet::RoughIn> sheets,
                          const ReportOptions& options) {
  DUCTLEDGER_EXPECTS(subject.parts != nullptr);
  const layout::Layout& layout = subject.parts->layout;
  const Shell shell{.title = layout.title.empty() ? "Rough-in sheet" : layout.title,
                    .kind = "Rough-in sheet",
                    .footer = file_and_hash(layout),
                    .tool_version = options.record.tool_version,
                    .system = options.system,
                    .skip = "the sheet"};
  HtmlPage page(report_document({&subject, 1}, options), options.system);
  page.append(shell_begin(shell));
  for (const sheet::RoughIn& one : sheets) {
    page.line("<section class=\"sheet alone\">");
    page.append(sheet::rough_in_svg(one, sheet::numbered("sheet", one)));
    page.line("</section>");
  }
  parts_section(page, *subject.parts);
  page.append(shell_end(shell, page.document()));
  return page.take();
}

}  // namespace ductledger::html
