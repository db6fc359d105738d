#include <algorithm>
#include <string>
#include <utility>

#include "air/air.hpp"
#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

[[nodiscard]] units::Message::Value temperature(double temperature_k) {
  return {temperature_k, units::Dimension::temperature};
}

[[nodiscard]] bool cold_place(const layout::Piece& piece) {
  return piece.around().through == "attic" || piece.around().through == "crawl-space";
}

std::vector<Finding> condensation_in_duct(const result::Case& subject) {
  const layout::Site& site = subject.layout->site;
  if (!site.outdoor_stated || discharges_into_room(subject)) {
    return {};
  }
  const double dew_k = air::dew_point({units::kelvin(site.duct.temperature_k),
                                       site.duct.relative_humidity,
                                       air::pressure_at(units::metres(site.elevation_m))})
                           .value();
  if (dew_k <= site.outdoor.temperature_k) {
    return {};
  }
  const auto& pieces = subject.layout->run.pieces;
  // The bare ones first: insulation slows the cooling, and this rule does not count how much.
  const auto bare = std::find_if(pieces.begin(), pieces.end(), [](const layout::Piece& piece) {
    return cold_place(piece) && piece.around().insulation_m2k_w.value_or(0.0) <= 0.0;
  });
  const auto any = std::find_if(pieces.begin(), pieces.end(), cold_place);
  if (any == pieces.end()) {
    return {};
  }
  const bool insulated = bare == pieces.end();
  const layout::Piece& piece = insulated ? *any : *bare;
  const std::string stated = site.duct_stated ? "" : " (taken as indoors)";
  units::Message message{
      "duct air" + stated + " has a dew point of {}, outdoors it is {}: " +
          (insulated ? "the insulated duct through the " : "the bare duct through the ") +
          literal(piece.around().through == "attic" ? "attic" : "crawl space") +
          (insulated ? " may still sweat inside where its wall gets that cold"
                     : " sweats inside when it is that cold"),
      {temperature(dew_k), temperature(site.outdoor.temperature_k)}};
  Finding found = finding(kCondensationInDuct,
                          {.level = insulated ? Level::note : Level::warn,
                           .message = std::move(message),
                           .span = piece.span});
  found.observed = {{"dew_point_k", dew_k}};
  found.limit = {{"outdoor_temperature_k", site.outdoor.temperature_k}};
  return {std::move(found)};
}

}  // namespace

const Check kCondensationInDuct{
    .code = "condensation-in-duct",
    .title = "water condenses in a duct through a cold place",
    .what =
        "a straight or flexible duct through an attic or crawl space, where the dew point of the "
        "duct air is above the outdoor temperature; both places are taken to be as cold as "
        "outdoors, and insulation is not counted beyond making it a note",
    .why = "condensate runs back to the appliance or drips through joints; in cold it freezes",
    .instead =
        "insulate the duct with a vapor retarder outside, slope it to outdoors, and put a drip "
        "leg or trap with a drain at its low point",
    .source = "common practice; dew point after Hyland and Wexler, 1983",
    .check = condensation_in_duct,
};

}  // namespace ductledger::findings
