#pragma once

#include "findings/finding.hpp"

/// Findings that only a layout with branches can have. They look at a solved network, which
/// `study::network_findings` does; asked of a single run they find nothing.
namespace ductledger::findings {

extern const Check kNetworkNotSettled;
extern const Check kBranchReversed;
extern const Check kBranchShut;
extern const Check kJunctionChangesArea;

}  // namespace ductledger::findings
