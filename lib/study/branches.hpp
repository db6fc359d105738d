#pragma once

#include <optional>
#include <string>
#include <vector>

#include "house/answers.hpp"
#include "network/compile.hpp"
#include "rules/judge.hpp"
#include "study/branches_advice.hpp"
#include "study/check.hpp"

/// A layout with branches, calculated: what `check` answers for a network.
namespace ductledger::study {

enum class InletStatus {
  flowing,
  reversed,  ///< air comes back out of it: its airflow is only an indication
  shut,      ///< a flap holds it shut, the rest is solved without it
};
inline constexpr auto kInletStatusWords =
    base::words<InletStatus>({{InletStatus::flowing, "flowing"},
                              {InletStatus::reversed, "reversed"},
                              {InletStatus::shut, "shut"}});
[[nodiscard]] constexpr const char* word(InletStatus status) {
  return kInletStatusWords.of(status);
}

/// A row of a path's ledger, and whose piece it is of.
struct PathRow {
  std::optional<std::size_t> branch;  ///< in `Layout::branches`; none: of the run
  solve::LedgerRow row;
};

/// One inlet: the appliance's collar or the start of a branch.
struct Inlet {
  std::optional<std::size_t> branch;  ///< none: the collar
  std::string name;                   ///< as stated; `collar`
  InletStatus status = InletStatus::flowing;
  double airflow_m3_s = 0.0;  ///< into it; negative where it comes back
  std::optional<result::Band> band{};
  std::optional<double> required_m3_s{};
  std::optional<result::Requirement::State> requirement{};
  /// Of its own fan, the main fan at the collar: where its curve is left the airflow is a bound.
  solve::Status fan = solve::Status::no_fan;
  double fan_total_pressure_pa = 0.0;
  double path_loss_pa = 0.0;    ///< of all pieces from here outdoors, at their airflows
  std::vector<PathRow> path{};  ///< empty unless flowing
};

/// A junction as solved.
struct JunctionFound {
  std::string branch;
  std::string type;
  std::optional<std::size_t> run;  ///< the branch that it stands in; none: the run
  double flow_ratio = 0.0;         ///< [1] branch over combined airflow
  double area_ratio = 0.0;
  double straight_coefficient = 0.0;  ///< on the combined leg's velocity pressure
  double branch_coefficient = 0.0;
  double combined_airflow_m3_s = 0.0;
  double total_pressure_pa = 0.0;  ///< at the combined leg's start, against outdoors
  bool stated = false;
  base::Span span{};
};

/// How the paths stand to each other with every inlet at its required airflow.
struct Balance {
  struct Path {
    std::size_t inlet = 0;     ///< in `NetworkSpeed::inlets`
    double needed_pa = 0.0;    ///< that fans on its way have to make, the shared fan left out
    double surplus_pa = 0.0;   ///< what its fans make beyond that; negative: missing
    double damper_pa = 0.0;    ///< what a balancing damper has to take on this path
    bool controlling = false;  ///< the path with least surplus: no damper belongs there
  };
  bool shared_fan = false;  ///< one fan stands on every path
  std::vector<Path> paths;
};

struct NetworkSpeed {
  std::size_t index = 0;  ///< in layout.fan->speeds
  std::string name;       ///< empty without a main fan
  bool locked_out = false;
  solve::SpeedFan fan;
  std::optional<solve::RatedAirflow> rated;
  solve::OperatingPoint point;  ///< of the main fan; without one: `found` where the branches' fans
                                ///< move air, at the collar's airflow
  network::Status status = network::Status::not_settled;
  std::vector<Inlet> inlets;  ///< the collar, then the branches in file order
  std::vector<JunctionFound> junctions;
  double discharge_m3_s = 0.0;
  double depressurisation_pa = 0.0;
  /// By the band of all that leaves the house as bounds of its airflow; nothing without a house.
  std::optional<house::SpeedHouse> house{};
  double residual_pa = 0.0;
  double mass_residual = 0.0;
  int iterations = 0;
  double collar_static_pressure_pa = 0.0;
  std::optional<Balance> balance;          ///< where every inlet states a required airflow
  std::optional<std::size_t> controlling;  ///< in `inlets`: by the balance, else the costliest path
  std::string why_sampled{};               ///< why first order does not hold of some band
  /// What the bands are made of; nothing: none is given.
  struct Effects {
    std::vector<std::string> identities;  ///< of each error; one in two layouts is one error
    std::vector<std::string> titles;
    /// [inlets][errors] change of the airflow by one standard uncertainty, first order
    std::vector<std::vector<double>> change_m3_s{};
    std::vector<std::size_t> drawn{};            ///< numbers of the samples that have an answer
    std::vector<std::vector<double>> samples{};  ///< [inlets][drawn]; empty: first order holds
  };
  std::optional<Effects> effects{};
};

struct NetworkResult {
  layout::Layout layout;
  network::CompiledNetwork network;
  house::CompiledHouse house;
  std::vector<NetworkSpeed> speeds;  ///< one without a main fan
  std::optional<std::size_t> headline;
  std::size_t shown = 0;  ///< the speed whose ledgers are shown
  std::vector<findings::Finding> findings;
  std::vector<std::string> cautions;
  std::string catalogue_hash;
  std::vector<fitting::Catalogue::Added> catalogue_files;
  std::optional<NetworkAdvice> advice{};  ///< where it was asked for
};

/// Calculates a layout with branches. Fails where the catalogue does not fit, or the speed asked
/// for is unknown.
[[nodiscard]] base::Checked<NetworkResult> check_network(layout::Layout layout,
                                                         const fitting::Catalogue& catalogue,
                                                         const CheckOptions& options = {});

/// A path of which no row stands twice: from where it meets one that was told before, it goes on as
/// that one.
struct FoldedPath {
  std::size_t inlet = 0;  ///< in `NetworkSpeed::inlets`
  std::size_t rows = 0;   ///< its first ones, the junction where it meets the other
                          ///< included; all where it meets none
  std::optional<std::size_t> goes_on_as{};  ///< the inlet whose path holds the rest
};
/// Every path with rows, the controlling one first, then inlets that reverse, are shut or lack
/// their required airflow, then the others in file order.
[[nodiscard]] std::vector<FoldedPath> folded_paths(const network::CompiledNetwork& of,
                                                   const NetworkSpeed& speed);

/// The network as the views of a single run see it: the collar's inlet at each speed, the worst of
/// all inlets' requirements, every finding. Without a main fan it has no speeds.
[[nodiscard]] CheckResult as_single(const NetworkResult& result);

/// A layout as calculated, with branches or without.
struct CheckedLayout {
  CheckResult check;                     ///< of a layout with branches `as_single`
  std::optional<NetworkResult> network;  ///< of a layout with branches
};
[[nodiscard]] base::Checked<CheckedLayout> check_layout(layout::Layout layout,
                                                        const fitting::Catalogue& catalogue,
                                                        const CheckOptions& options = {});

/// The same where the network itself is not asked for.
[[nodiscard]] base::Checked<CheckResult> check_as_single(layout::Layout layout,
                                                         const fitting::Catalogue& catalogue,
                                                         const CheckOptions& options = {});

/// Each rule judged on every inlet's path to the outside as a run of its own at its solved airflow,
/// and on the collar's with all that leaves the house: the worst verdict of them, with a remark
/// that names where it was found.
[[nodiscard]] std::vector<rules::Judgement> judge_network(const std::vector<rules::RuleSet>& sets,
                                                          const NetworkResult& result,
                                                          const fitting::Catalogue& catalogue);

/// What nobody may overlook, of any layout.
[[nodiscard]] std::vector<std::string> cautions(const layout::Layout& layout);

/// What is to be said of a network as calculated, worst first.
[[nodiscard]] std::vector<findings::Finding> network_findings(const NetworkResult& result,
                                                              const fitting::Catalogue& catalogue);

}  // namespace ductledger::study
