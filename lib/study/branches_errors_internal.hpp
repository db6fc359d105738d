#pragma once

#include <map>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "solve/error_model.hpp"
#include "study/branches.hpp"

/// The errors of a network and the bands that they make.
namespace ductledger::study {

/// The network with the main fan in it.
[[nodiscard]] network::Network with_main_fan(const network::CompiledNetwork& of,
                                             const solve::FanAtSpeed* fan);

/// Legs from an inlet outdoors, in the order of the air.
[[nodiscard]] std::vector<std::size_t> path_from(const network::CompiledNetwork& of,
                                                 std::size_t inlet);

[[nodiscard]] const layout::Piece& piece_of(const layout::Layout& layout,
                                            const network::JunctionPart& part);

/// Free airflows of one speed: what a band is made of.
struct Solved {
  bool good = false;
  std::vector<double> airflows_m3_s{};  // [legs]
  std::vector<double> start_pa{};       // [legs] total pressure at each start above the room's
  double needed_pa = 0.0;               // of the leg that is held
};

/// The errors of all legs, junctions and the house; what two legs call by one identity is one
/// error. A junction's area follows the sizes of its legs, its density theirs.
class NetworkErrors {
 public:
  /// @param result has to outlive it
  NetworkErrors(const NetworkResult& result, const NetworkSpeed& speed, network::Network base);

  [[nodiscard]] std::size_t count() const { return identities_.size(); }
  [[nodiscard]] const std::vector<std::string>& identities() const { return identities_; }
  /// What each error is called, for people.
  [[nodiscard]] const std::vector<std::string>& titles() const { return titles_; }
  [[nodiscard]] bool is_one_sided() const { return one_sided_; }

  /// Solved at z [count], from the airflows at z = 0. @param held an airflow that one leg is held
  /// at
  [[nodiscard]] Solved at(const std::vector<double>& z,
                          const std::vector<double>& start,
                          const network::Held& held = {}) const;
  /// Of one leg's run and fan, and which of all errors each of its sources is.
  [[nodiscard]] const solve::ErrorModel& model(std::size_t leg) const { return models_[leg]; }
  [[nodiscard]] const std::vector<std::size_t>& places(std::size_t leg) const {
    return globals_[leg];
  }

 private:
  /// Factor on a leg's area at one of its ends, and on its air's density.
  struct LegFactors {
    double area = 1.0;
    double density = 1.0;
  };
  enum class End { first, last };
  std::size_t index_of(const std::string& identity, const std::string& title);
  void add_junctions(const NetworkResult& result);
  [[nodiscard]] std::vector<double> own(std::size_t leg, const std::vector<double>& z) const;
  [[nodiscard]] LegFactors factors(std::size_t leg, End end, const std::vector<double>& z) const;
  void move_junction(std::size_t junction,
                     const std::vector<double>& z,
                     network::Network& moved) const;

  const network::CompiledNetwork& of_;
  network::Network base_;
  std::vector<solve::ErrorModel> models_;
  std::vector<std::vector<std::size_t>> globals_;  // [legs][its sources]
  std::vector<std::size_t> junction_global_;       // [junctions]
  std::vector<double> junction_u_;                 // [junctions]
  std::map<std::string, std::size_t> index_;
  std::vector<std::string> identities_;
  std::vector<std::string> titles_;
  bool one_sided_ = false;
};

/// Puts the band of each inlet and of all together: first order where a second solve along the
/// steepest direction agrees, else joint samples. @param samples 0: as many as needed
/// @param airflows_m3_s [legs] the answer
void put_bands(const NetworkResult& result,
               NetworkSpeed& speed,
               const network::Network& free,
               std::span<const double> airflows_m3_s,
               std::size_t samples);

/// The value below which a share of them lies. @param values one or more
[[nodiscard]] double quantile(std::vector<double> values, double share);

}  // namespace ductledger::study
