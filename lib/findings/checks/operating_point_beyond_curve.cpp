#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> operating_point_beyond_curve(const result::Case& subject) {
  return outside_curve(subject,
                       kOperatingPointBeyondCurve,
                       solve::Status::beyond_curve,
                       " delivers more than {}, where its curve ends");
}

}  // namespace

const Check kOperatingPointBeyondCurve{
    .code = "operating-point-beyond-curve",
    .title = "more air than the fan curve shows",
    .what = "a speed whose pressure is still above the losses where its curve ends",
    .why =
        "beyond the printed points no curve is known: the end of the curve is a lower bound, and a "
        "fan that falls makes at most that end's pressure to its right, which bounds the airflow "
        "from above. That it falls is assumed, unless the curve rises somewhere",
    .instead = "give the curve out to free air",
    .source = "fan curve of the layout",
    .check = operating_point_beyond_curve,
};

}  // namespace ductledger::findings
