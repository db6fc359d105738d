#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> operating_point_below_curve(const result::Case& subject) {
  return outside_curve(subject,
                       kOperatingPointBelowCurve,
                       solve::Status::below_curve,
                       " delivers less than {}, where its curve begins");
}

}  // namespace

const Check kOperatingPointBelowCurve{
    .code = "operating-point-below-curve",
    .title = "less air than the fan curve shows",
    .what =
        "a speed whose pressure is below the losses where its curve begins, at an airflow"
        " above zero",
    .why =
        "below the printed points no curve is known: the first point is an upper bound, and a fan "
        "that falls makes at least that point's pressure to its left, which bounds the airflow "
        "from below. That it falls is assumed, unless the curve rises somewhere",
    .instead = "give the curve down to no airflow, or open the run",
    .source = "fan curve of the layout",
    .check = operating_point_below_curve,
};

}  // namespace ductledger::findings
