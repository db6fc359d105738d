#include <nlohmann/json.hpp>
#include <utility>

#include "command_common.hpp"
#include "fitting/catalogue.hpp"
#include "report/commission.hpp"

namespace ductledger::app {

Exit run_commission(const Options& options) {
  const auto result = read_layout(options.words.front(), options).and_then([&](Loaded loaded) {
    return study::commission(std::move(loaded.layout), *loaded.catalogue);
  });
  if (!result) {
    return failed(result.error(), options);
  }
  const std::string text =
      options.format == Format::json
          ? report::to_text(report::commission_document(*result, {DUCTLEDGER_VERSION, ""}))
          : report::commission_text(*result, text_options(options));
  return delivered(text, options, Exit::fine);
}

}  // namespace ductledger::app
