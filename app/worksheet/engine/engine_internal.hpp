#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/checked.hpp"
#include "engine.hpp"
#include "fitting/catalogue.hpp"
#include "layout/layout.hpp"
#include "study/check.hpp"

/// The parts of an answer, each in a source of its own.
namespace ductledger::engine {

[[nodiscard]] inline const fitting::Catalogue& catalogue() {
  return fitting::Catalogue::built_in();
}

// --- what a request holds ------------------------------------------------------------------------

/// A text of a request; empty where it is not there.
[[nodiscard]] std::string text_of(const Json& request, std::string_view key);
[[nodiscard]] bool flag_of(const Json& request, std::string_view key);
/// `system` of a request; nothing: as the file is written.
[[nodiscard]] std::optional<units::System> system_of(const Json& request);
[[nodiscard]] units::System system_for(const Json& request, const layout::Layout& layout);

/// The layout of a request: its `text`, under the name `file`. A catalogue of the user's own, which
/// the file may name, lies beside it where a page cannot look, and is refused.
[[nodiscard]] base::Checked<layout::Layout> layout_of(const Json& request,
                                                      std::string_view key = "text");
[[nodiscard]] base::Checked<study::CheckResult> checked(const Json& request, layout::Layout layout);

// --- answers -------------------------------------------------------------------------------------

[[nodiscard]] Json diagnostics_object(const base::Diagnostics& diagnostics);
/// `{"errors": [...]}`
[[nodiscard]] Json refused(const base::Diagnostics& diagnostics);

[[nodiscard]] Json view(const Json& request);
/// What a piece is, with its keys as fields that a page can offer.
/// @param offer whether each type that could stand there is evaluated, which takes its time
[[nodiscard]] Json piece_fields(const layout::Piece& piece,
                                units::System system,
                                bool offer = true);
[[nodiscard]] Json catalogue_object(const Json& request);

/// How one layout's text becomes another's: operations on its tree, in the order in which they are
/// done. `{"op": "set" | "remove" | "insert", "path": [keys and indices], "value": YAML}`
[[nodiscard]] Json changes(const yaml::Node& from, const yaml::Node& to);
/// How one list of pieces becomes another, as `variants` of a layout write it:
/// `[{"piece": number, "value": YAML}]`.
[[nodiscard]] Json piece_changes(const yaml::Node& from, const yaml::Node& to);
/// A node as YAML on one line.
[[nodiscard]] std::string flow_text(const yaml::Node& node);

[[nodiscard]] Json advice_object(const Json& request);
[[nodiscard]] Json variant_object(const Json& request);
[[nodiscard]] Json difference_object(const Json& request);
[[nodiscard]] Json compare_object(const Json& request);
[[nodiscard]] Json report_object(const Json& request);
[[nodiscard]] Json starter_object(const Json& request);
[[nodiscard]] Json length_object(const Json& request);
[[nodiscard]] Json quantity_object(const Json& request);

}  // namespace ductledger::engine
