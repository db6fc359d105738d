#include "house/uncertain_room.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "house/band.hpp"

namespace ductledger::house {
namespace {

using solve::ErrorSource;

class Room final : public solve::UncertainRoom {
 public:
  explicit Room(const CompiledHouse& house) : zone_(*house.coupled()) {
    zone_.tabulate();
    exponent_ = zone_.exponent;
    test_airflow_m3_s_ = zone_.test_airflow_m3_s;
    const std::string figures =
        fmt::format("@{:.7e}:{:.7e}:{:.7e}", test_airflow_m3_s_, zone_.test_pressure_pa, exponent_);
    add({.key = "house-exponent",
         .identity = "house-exponent" + figures,
         .title = "leakage exponent of the house",
         .standard_uncertainty = Doubt{}.exponent,
         .unit = "coefficient",
         .spread = solve::Spread::normal,
         .basis = "one house, from a test at one pressure",
         .status = "assumed"});
    add({.key = "house-leakage",
         .identity = "house-leakage" + figures,
         .title = "leakage of the house",
         .standard_uncertainty = house.airtightness_doubt,
         .unit = "1",
         .spread = spread(house.airtightness_doubt),
         .basis = house.airtightness_doubt == Doubt{}.airtightness
                      ? "measured with a blower door"
                      : "the range of its class as k = 2 in the logarithm",
         .status = house.airtightness_doubt == Doubt{}.airtightness ? "memory" : "assumed"});
    if (zone_.path != Path::none && house.path_uncertainty > 0.0) {
      add({.key = "makeup-path",
           .identity = fmt::format("makeup-path@{:.7e}", zone_.effective_area_m2),
           .title = "makeup air path",
           .standard_uncertainty = house.path_uncertainty,
           .unit = "1",
           .spread = spread(house.path_uncertainty),
           .basis = zone_.path == Path::opening ? "discharge coefficient of a sharp opening"
                                                : "half of what its pieces' losses are uncertain",
           .status = "assumed"});
    }
  }

  [[nodiscard]] std::span<const ErrorSource> sources() const noexcept override { return sources_; }

  [[nodiscard]] double suction_pa(double airflow_m3_s,
                                  std::span<const double> z) const noexcept override {
    zone_.exponent = varied_exponent(exponent_, sources_[0].standard_uncertainty * z[0]);
    zone_.test_airflow_m3_s =
        test_airflow_m3_s_ * varied_factor(sources_[1].standard_uncertainty, z[1]);
    if (sources_.size() > 2) {
      zone_.path_factor = varied_factor(sources_[2].standard_uncertainty, z[2]);
    }
    return zone_.depressurisation_pa(airflow_m3_s);
  }

 private:
  static solve::Spread spread(double u) {
    return u >= kLognormalFrom ? solve::Spread::lognormal : solve::Spread::normal;
  }
  void add(ErrorSource source) { sources_.push_back(std::move(source)); }

  mutable Zone zone_;  ///< copied once: its makeup duct has arrays
  double exponent_ = 0.0;
  double test_airflow_m3_s_ = 0.0;
  std::vector<ErrorSource> sources_;
};

}  // namespace

std::shared_ptr<const solve::UncertainRoom> uncertain_room(const CompiledHouse& house) {
  return house.coupled() == nullptr ? nullptr : std::make_shared<Room>(house);
}

}  // namespace ductledger::house
