#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "solve/error_model.hpp"
#include "study/branches.hpp"

/// One leg of a calculated network, for who reads a pressure or an airflow there.
namespace ductledger::study {

class HeldLeg {
 public:
  /// @param result has to outlive it @param speed in `NetworkResult::speeds`, solved
  /// @param leg in `CompiledNetwork::legs`
  HeldLeg(const NetworkResult& result, std::size_t speed, std::size_t leg);
  ~HeldLeg();
  HeldLeg(HeldLeg&&) noexcept;
  HeldLeg& operator=(HeldLeg&&) = delete;

  [[nodiscard]] const network::LegPart& part() const;
  [[nodiscard]] const layout::Run& run() const { return part().layout.run; }
  /// Of the fan that stands in this leg; null: none, or too little is known of it.
  [[nodiscard]] const solve::FanAtSpeed* fan() const;
  /// As calculated.
  [[nodiscard]] double airflow_m3_s() const;
  [[nodiscard]] std::optional<result::Band> airflow_band_m3_s() const;
  /// Total pressure where the leg starts, above the room's [Pa]; 0 at an inlet.
  [[nodiscard]] double start_pa() const;
  [[nodiscard]] bool is_inlet() const;

  /// What the network asks of a fan in this leg, whose own is left out; the others follow.
  [[nodiscard]] solve::Demand demand() const;
  /// The leg's own errors, and which of the network's each of them is.
  [[nodiscard]] const solve::ErrorModel& errors() const;
  [[nodiscard]] const std::vector<std::size_t>& places() const;
  [[nodiscard]] std::size_t error_count() const;

  /// By one standard uncertainty of each error, first order [errors].
  struct Changes {
    std::vector<double> airflow_m3_s;
    std::vector<double> start_pa;
  };
  /// As calculated; nothing where no band is given.
  [[nodiscard]] std::optional<Changes> changes() const;
  /// Of what is asked at an airflow that the leg is held at [Pa].
  [[nodiscard]] std::vector<double> demand_changes_pa(double airflow_m3_s) const;

 private:
  struct State;
  std::unique_ptr<State> state_;
};

/// The leg of a run or branch that holds a piece. @param piece in that run, no junction
[[nodiscard]] std::size_t leg_with(const network::CompiledNetwork& of,
                                   std::optional<std::size_t> branch,
                                   std::size_t piece);
/// The leg that an inlet opens into.
[[nodiscard]] std::size_t inlet_leg(const network::CompiledNetwork& of,
                                    std::optional<std::size_t> branch);

}  // namespace ductledger::study
