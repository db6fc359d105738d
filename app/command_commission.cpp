#include <nlohmann/json.hpp>
#include <utility>

#include "command_common.hpp"
#include "document/commission.hpp"
#include "fitting/catalogue.hpp"
#include "text/commission.hpp"

namespace ductledger::app {

Exit run_commission(const Options& options) {
  const auto result = read_layout(options.words.front(), options).and_then([&](Loaded loaded) {
    return site::commission(std::move(loaded.layout), *loaded.catalogue);
  });
  if (!result) {
    return failed(result.error(), options);
  }
  const std::string text =
      options.format == Format::json
          ? document::to_text(document::commission_document(*result, {DUCTLEDGER_VERSION, ""}))
          : commission_text(*result,
                            text_options(options, system_of(options, result->check.layout)));
  return delivered(text, options, Exit::fine);
}

}  // namespace ductledger::app
