#pragma once

#include "edit/edit.hpp"

namespace ductledger::edit {

/// The layout as a variant has it: keys and pieces first, then the section of the whole run. Fails
/// where the change does not fit, and where the variant changes nothing of the run.
[[nodiscard]] Edited with_variant(const layout::Layout& layout,
                                  const fitting::Catalogue& catalogue,
                                  const layout::Variant& variant);

/// Whether two runs are built alike: every piece the same, whatever its line in the file.
[[nodiscard]] bool same_run(const layout::Run& a, const layout::Run& b);

}  // namespace ductledger::edit
