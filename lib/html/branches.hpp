#pragma once

#include "html/page.hpp"
#include "study/branches.hpp"

/// What a report says of a layout with branches in place of a single run's sections.
namespace ductledger::html {

/// The worst inlet first, then all together, then a row for each inlet with its balance.
void network_answer(HtmlPage& page, const study::NetworkResult& result);
/// The tree as a schematic.
void network_picture(HtmlPage& page, const study::NetworkResult& result);
/// A ledger for each path from its inlet to the outside, the controlling one open and first; the
/// junctions; each speed.
void network_sections(HtmlPage& page, const study::NetworkResult& result);

}  // namespace ductledger::html
