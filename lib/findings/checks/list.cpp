#include <array>

#include "findings/branch_checks.hpp"
#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {

std::span<const Check> checks() {
  static const std::array kAll{
      kDeliveredBelowRequired,
      kNetworkNotSettled,
      kBranchReversed,
      kBranchShut,
      kNoFlow,
      kFlapHardlyOpens,
      kOperatingPointBeyondCurve,
      kOperatingPointBelowCurve,
      kSeveralOperatingPoints,
      kBlowersShareUnequally,
      kFanNotDetermined,
      kEverySpeedLockedOut,
      kFanPointAlone,
      kRatingOffCurve,
      kMakeupAirNeeded,
      kHouseDepressurised,
      kMakeupNotInterlocked,
      kGravityDamperOnMakeupAir,
      kLeakageNotStated,
      kCombustionNotStated,
      kOutsideDoorTest,
      kOutletInClosedSpace,
      kDischargesIntoRoom,
      kFlexibleDuct,
      kNoBackdraftDamper,
      kNoCap,
      kRunPassesThroughItself,
      kCapEndsInside,
      kCapAgainstHeading,
      kCondensationInDuct,
      kTransitionDuctWrong,
      kDryerDuctTooLong,
      kCoverMissesCeiling,
      kAbruptChangeAtCollar,
      kSectionSmallerThanCollar,
      kSectionShrinks,
      kDuctUndersized,
      kShareOfRatedLow,
      kVelocityHigh,
      kElbowCloseToCollar,
      kElbowsCloseTogether,
      kElbowCloseToCap,
      kRemoteFanEntryMissing,
      kCaptureAirflowLow,
      kAirflowBelowMeasuredHoods,
      kUpkeepScreenClogs,
      kUpkeepTurnsOutOfReach,
      kUpkeepMakeupDamper,
      kUpkeepDryerDuct,
      kOutsideTableRange,
      kJunctionChangesArea,
      kReynoldsOutsideRange,
      kFanShapeAssumed,
      kIdleBlowersTakenAsShut,
      kAssumedFigures,
      kMemoryFigures,
      kStackNotCounted,
      kLayoutRemark,
      kDefaultsTaken,
  };
  return kAll;
}

std::optional<std::size_t> first_narrower_piece(const result::Case& subject) {
  const std::optional<duct::Section>& collar = subject.layout->appliance.collar;
  if (!collar) {
    return std::nullopt;
  }
  for (std::size_t i = 0; i < subject.run->pieces.size(); ++i) {
    const solve::CompiledPiece& piece = subject.run->pieces[i];
    if (smaller_by_area(piece.upstream, *collar) || smaller_by_area(piece.downstream, *collar)) {
      return i;
    }
  }
  return std::nullopt;
}

void mark_other(const result::Case& subject, const result::SpeedResult& speed, Finding& found) {
  if (&speed != headline(subject)) {
    found.other_speed = speed.name;
  }
}

std::vector<Finding> outside_curve(const result::Case& subject,
                                   const Check& of,
                                   solve::Status status,
                                   std::string_view pattern) {
  std::vector<Finding> all;
  for (const result::SpeedResult& speed : subject.speeds) {
    if (speed.point.status != status) {
      continue;
    }
    units::Message words{spoken(speed) + std::string(pattern), {airflow(speed.point.airflow_m3_s)}};
    say_estimate(speed, words);
    Finding found = finding(of,
                            {.level = &speed == headline(subject) ? Level::warn : Level::note,
                             .message = std::move(words),
                             .span = subject.layout->fan->speeds[speed.index].span});
    found.limit = {{"airflow_m3_s", speed.point.airflow_m3_s}};
    mark_other(subject, speed, found);
    all.push_back(std::move(found));
  }
  return all;
}

}  // namespace ductledger::findings
