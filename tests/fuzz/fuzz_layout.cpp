#include <cmath>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <nlohmann/json.hpp>
#include <string>

#include "document/branches.hpp"
#include "document/check.hpp"
#include "fitting/catalogue.hpp"
#include "study/branches.hpp"
#include "study/check.hpp"
#include "support/mutated.hpp"
#include "text/branches.hpp"
#include "text/check.hpp"

namespace {

using namespace ductledger;  // NOLINT(google-build-using-namespace)

void expect(bool holds) {
  if (!holds) {
    __builtin_trap();
  }
}

void expect_finite(const study::CheckResult& result) {
  for (const result::SpeedResult& speed : result.speeds) {
    if (speed.point.status == solve::Status::found) {
      expect(std::isfinite(speed.point.airflow_m3_s) && speed.point.airflow_m3_s >= 0.0);
    }
  }
}

void expect_finite(const study::NetworkResult& result) {
  for (const study::NetworkSpeed& speed : result.speeds) {
    if (speed.status == network::Status::solved) {
      expect(std::isfinite(speed.discharge_m3_s) && std::isfinite(speed.depressurisation_pa));
    }
  }
}

void expect_readable(const std::string& shown, const std::string& layout) {
  expect(!support::has_raw_control(shown) && !support::shows_no_number(shown, layout));
}

}  // namespace

// Any bytes are a layout or a list of diagnostics that can be shown; answers are finite numbers and
// can be shown as well.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string text(reinterpret_cast<const char*>(data), size);
  const fitting::Catalogue& catalogue = fitting::Catalogue::built_in();
  auto layout =
      layout::read(std::make_shared<const base::SourceText>("fuzz.yaml", text), catalogue);
  if (!layout) {
    expect(!support::has_raw_control(base::render(layout.error())));
    return 0;
  }
  if (layout->branches.empty()) {
    const auto result = study::check(*std::move(layout), catalogue);
    if (result) {
      expect_finite(*result);
      expect_readable(text::check_text(*result, {.detail = text::Detail::verbose}), text);
      (void)document::to_text(document::check_document(*result, {}));
    } else {
      expect(!support::has_raw_control(base::render(result.error())));
    }
    return 0;
  }
  const auto result = study::check_network(*std::move(layout), catalogue);
  if (result) {
    expect_finite(*result);
    expect_readable(text::network_text(*result, {}), text);
    (void)document::to_text(document::network_document(*result, {}));
  } else {
    expect(!support::has_raw_control(base::render(result.error())));
  }
  return 0;
}
