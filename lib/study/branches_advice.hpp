#pragma once

#include <optional>
#include <string>
#include <vector>

#include "study/advice.hpp"

/// What would help the inlet that lacks most, over the whole network.
namespace ductledger::study {

struct NetworkResult;

/// One change of the run or of one branch, solved again.
struct NetworkAdviceRow {
  std::optional<std::size_t> branch;  ///< whose pieces `change` speaks of; nothing: the run's
  bool balances = false;              ///< dampers, in several runs
  Change change;                      ///< `apply` takes the whole layout
  std::vector<double> airflow_m3_s;   ///< [inlets] what flows in; negative where it comes back
  double gain_m3_s = 0.0;             ///< of the inlet that is helped
  std::vector<std::string> lacks;     ///< inlets that had enough and would not any more
  std::vector<std::string> mends;     ///< inlets that would have enough, nominal
};

struct NetworkAdvice {
  std::size_t inlet = 0;  ///< the one that is helped: the most of its airflow lacks, else controls
  std::string why_not;    ///< why nothing can be compared; empty: compared
  std::size_t tried = 0;
  std::size_t left_out = 0;            ///< beyond the most that are tried
  std::vector<NetworkAdviceRow> rows;  ///< with a gain, the greatest first
};

/// Each change that pieces on the helped inlet's way leave open, each damper that the balance asks
/// for on another way, and all those dampers together. @param catalogue outlives the advice
[[nodiscard]] NetworkAdvice network_advice(const NetworkResult& result,
                                           const fitting::Catalogue& catalogue);

}  // namespace ductledger::study
