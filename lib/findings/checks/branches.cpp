#include "findings/branch_checks.hpp"

namespace ductledger::findings {
namespace {

/// These speak of a network: the study that solves one finds them. A single run has none of it.
std::vector<Finding> nothing(const result::Case& /*subject*/) { return {}; }

}  // namespace

const Check kNetworkNotSettled{
    .code = "network-not-settled",
    .title = "no steady answer",
    .what =
        "a network of branches whose pressures do not come to rest: what is left over where "
        "the search ended",
    .why =
        "fans that work against each other through one junction can hunt for ever; nothing that "
        "is shown then is an answer",
    .instead =
        "one fan for all inlets, or a backdraft damper behind each fan and a wider duct "
        "after their junction",
    .source = "balance of mass and energy",
    .check = nothing,
};

const Check kBranchReversed{
    .code = "branch-reversed",
    .title = "air comes back out of an inlet",
    .what = "each inlet of a network at each speed: the direction of its airflow",
    .why =
        "what the other inlets exhaust is blown into that room; figures of reversed air are "
        "only an indication",
    .instead =
        "a backdraft damper in it, a wider duct after the junction, or one fan that draws "
        "on all",
    .source = "balance of mass and energy",
    .check = nothing,
};

const Check kBranchShut{
    .code = "branch-shut",
    .title = "a backdraft damper holds an inlet shut",
    .what =
        "each inlet of a network at each speed: whether a flap on its way stands shut; a "
        "failure where an airflow is required there",
    .why =
        "the pressure at its junction is higher than what drives its air, so that nothing is "
        "drawn",
    .instead = "a wider duct after the junction, a stronger fan there, or weaker ones beside it",
    .source = "balance of mass and energy",
    .check = nothing,
};

const Check kJunctionChangesArea{
    .code = "junction-changes-area",
    .title = "junction figures for a main of one width",
    .what =
        "each junction without stated coefficients whose straight leg and combined leg differ "
        "in area by more than 1 %",
    .why =
        "the published formula holds for a main of constant area; a main that grows or shrinks "
        "there costs another amount",
    .instead =
        "a transition in a straight of its own, or `straight_coefficient` and "
        "`branch_coefficient`",
    .source = "Idelchik, 3rd ed., p. 416 to 418: its conditions",
    .check = nothing,
};

}  // namespace ductledger::findings
