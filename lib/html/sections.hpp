#pragma once

#include "build/parts.hpp"
#include "html/page.hpp"
#include "study/check.hpp"
#include "study/compare.hpp"
#include "study/review.hpp"

/// Sections of a report page. Each writes a heading, a sentence and a table, or nothing where the
/// result has nothing to say.
namespace ductledger::html {

/// What makes the band of the headline speed's airflow: the largest shares.
void doubt_section(HtmlPage& page, const study::CheckResult& result);
/// House and makeup air.
void house_section(HtmlPage& page, const study::CheckResult& result);
/// The ranked changes, where they were asked for.
void advice_section(HtmlPage& page, const study::CheckResult& result);
/// Nominal route, equivalent length, a dryer's length by the table.
void yardstick_section(HtmlPage& page, const study::CheckResult& result);
/// Bill of materials and rough-in holes: `/parts/N` of the document.
void parts_section(HtmlPage& page, const build::PartsResult& result);
/// The inspection sheet: `/reviews/N` of the document.
void review_section(HtmlPage& page, const study::ReviewResult& result);
/// Runs side by side: `/comparison` of the document.
void comparison_section(HtmlPage& page, const study::Comparison& result);

}  // namespace ductledger::html
