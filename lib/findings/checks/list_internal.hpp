#pragma once

#include "findings/finding_internal.hpp"
#include "solve/close_fittings.hpp"

/// Every check there is; each stands in a file of its own name.
namespace ductledger::findings {

extern const Check kDeliveredBelowRequired;
extern const Check kSectionSmallerThanCollar;
extern const Check kSectionShrinks;
extern const Check kVelocityHigh;
extern const Check kShareOfRatedLow;
extern const Check kElbowCloseToCollar;
extern const Check kFlexibleDuct;
extern const Check kNoBackdraftDamper;
extern const Check kNoCap;
extern const Check kOperatingPointBeyondCurve;
extern const Check kOperatingPointBelowCurve;
extern const Check kNoFlow;
extern const Check kFlapHardlyOpens;
extern const Check kSeveralOperatingPoints;
extern const Check kBlowersShareUnequally;
extern const Check kIdleBlowersTakenAsShut;
extern const Check kFanShapeAssumed;
extern const Check kFanPointAlone;
extern const Check kRatingOffCurve;
extern const Check kEverySpeedLockedOut;
extern const Check kFanNotDetermined;
extern const Check kOutletInClosedSpace;
extern const Check kOutsideTableRange;
extern const Check kReynoldsOutsideRange;
extern const Check kDefaultsTaken;
extern const Check kRemoteFanEntryMissing;
extern const Check kAbruptChangeAtCollar;
extern const Check kMakeupAirNeeded;
extern const Check kHouseDepressurised;
extern const Check kMakeupNotInterlocked;
extern const Check kGravityDamperOnMakeupAir;
extern const Check kLeakageNotStated;
extern const Check kCombustionNotStated;
extern const Check kOutsideDoorTest;
extern const Check kCaptureAirflowLow;
extern const Check kAirflowBelowMeasuredHoods;
extern const Check kDischargesIntoRoom;
extern const Check kAssumedFigures;
extern const Check kMemoryFigures;
extern const Check kStackNotCounted;
extern const Check kLayoutRemark;
extern const Check kDuctUndersized;
extern const Check kElbowsCloseTogether;
extern const Check kElbowCloseToCap;
extern const Check kRunPassesThroughItself;
extern const Check kCapAgainstHeading;
extern const Check kCapEndsInside;
extern const Check kCondensationInDuct;
extern const Check kTransitionDuctWrong;
extern const Check kDryerDuctTooLong;
extern const Check kCoverMissesCeiling;
extern const Check kUpkeepScreenClogs;
extern const Check kUpkeepTurnsOutOfReach;
extern const Check kUpkeepMakeupDamper;
extern const Check kUpkeepDryerDuct;

/// Index in the compiled run of the first piece that is, or ends, narrower than the collar.
[[nodiscard]] std::optional<std::size_t> first_narrower_piece(const result::Case& subject);

/// Names the speed in a finding that is not about the headline speed.
void mark_other(const result::Case& subject, const result::SpeedResult& speed, Finding& found);
/// Of each speed that crosses the run outside its curve: its name, then `pattern` with the airflow
/// at that end of the curve.
[[nodiscard]] std::vector<Finding> outside_curve(const result::Case& subject,
                                                 const Check& of,
                                                 solve::Status status,
                                                 std::string_view pattern);

}  // namespace ductledger::findings
