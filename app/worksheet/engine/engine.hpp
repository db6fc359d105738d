#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <string_view>

/// What a page asks of the library: one request in JSON, one answer in JSON. No files, no threads,
/// nothing kept between requests but the catalogue and the rules.
///
/// A request names what it asks for in `ask`; a layout comes as its text. See the table in
/// app/worksheet/README.md.
namespace ductledger::engine {

using Json = nlohmann::ordered_json;

/// @param request an object with a text `ask`
/// @return an object; `{"errors": [...]}` where the request's layout cannot be calculated
[[nodiscard]] Json answer(const Json& request);

/// The same from text to text. What is no request of ours is answered by `{"fault": "..."}`.
[[nodiscard]] std::string answer_text(std::string_view request);

}  // namespace ductledger::engine
