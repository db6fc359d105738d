#include <utility>

#include "findings/checks/list_internal.hpp"
#include "fitting/floating_flap.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> flap_hardly_opens(const result::Case& subject) {
  std::vector<Finding> all;
  const double least_rad = fitting::flap_rows().front().angle_rad;
  for (const result::SpeedResult& speed : subject.speeds) {
    if (speed.point.status != solve::Status::found) {
      continue;
    }
    const double q2 = speed.point.airflow_m3_s * speed.point.airflow_m3_s;
    for (const solve::CompiledPiece& piece : subject.run->pieces) {
      if (piece.loss.flap_square_pa_s2_m6 <= 0.0) {
        continue;
      }
      const double angle_rad = fitting::flap_angle_rad(piece.loss.flap_lift_s2_m6 * q2);
      if (angle_rad >= least_rad) {
        continue;
      }
      units::Message message{
          "at " + spoken(speed) + " the stream holds the flap of " + piece_words(piece) +
              " open by {} only, below the {} of its table",
          {{angle_rad, units::Dimension::angle}, {least_rad, units::Dimension::angle}}};
      Finding found = finding(kFlapHardlyOpens,
                              {.level = &speed == headline(subject) ? Level::warn : Level::note,
                               .message = std::move(message),
                               .span = span_of(subject, piece)});
      found.observed = {{"angle_rad", angle_rad}};
      found.limit = {{"angle_rad", least_rad}};
      mark_other(subject, speed, found);
      all.push_back(std::move(found));
    }
  }
  return all;
}

}  // namespace

const Check kFlapHardlyOpens{
    .code = "flap-hardly-opens",
    .title = "the stream hardly lifts a flap",
    .what =
        "a floating flap that stands less than 15 deg open at a speed's airflow: where its table "
        "begins",
    .why = "it flutters, may stick, and what it costs is carried on from the table's first row",
    .instead = "a lighter flap, a smaller duct, or no second flap in one run",
    .source = "table of hinged flaps (recalled) and the balance of moments",
    .check = flap_hardly_opens,
};

}  // namespace ductledger::findings
