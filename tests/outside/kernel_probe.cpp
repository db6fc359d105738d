// Answers the scripts of this folder: one request a line on standard input, one line of numbers
// with 17 digits back. For tests only.
//
//   friction <Re> <relative roughness>      -> Darcy friction factor
//   density <K> <relative humidity> <Pa>    -> kg/m3
//   saturation <K>                          -> Pa
//   pchip <n> <x ...> <y ...>               -> n slopes

#include <fmt/format.h>

#include <cstddef>
#include <iostream>
#include <sstream>
#include <string>
#include <vector>

#include "air/air.hpp"
#include "duct/friction.hpp"
#include "fitting/floating_flap.hpp"
#include "numeric/hermite.hpp"

namespace {

using namespace ductledger;

std::vector<double> read_numbers(std::istream& in, std::size_t count) {
  std::vector<double> numbers(count);
  for (double& number : numbers) {
    in >> number;
  }
  return numbers;
}

std::vector<double> answer(std::istringstream& request) {
  std::string kind;
  request >> kind;
  if (kind == "friction") {
    const auto in = read_numbers(request, 2);
    return {duct::friction_factor({.reynolds = in[0], .relative_roughness = in[1]})};
  }
  if (kind == "density") {
    const auto in = read_numbers(request, 3);
    return {air::moist_density({.temperature = units::kelvin(in[0]),
                                .relative_humidity = in[1],
                                .pressure = units::AbsolutePressure(units::pascals(in[2]))})
                .value()};
  }
  if (kind == "saturation") {
    return {air::saturation_pressure_pa(units::kelvin(read_numbers(request, 1)[0]))};
  }
  if (kind == "pchip") {
    std::size_t count = 0;
    request >> count;
    const auto x = read_numbers(request, count);
    const auto y = read_numbers(request, count);
    std::vector<double> slopes(count);
    numeric::pchip_slopes({.x = x, .y = y}, slopes);
    return slopes;
  }
  if (kind == "flap") {
    const double lift = read_numbers(request, 1)[0];
    return {fitting::flap_angle_rad(lift), fitting::flap_excess(lift)};
  }
  request.setstate(std::ios::failbit);
  return {};
}

}  // namespace

int main() {
  for (std::string line; std::getline(std::cin, line);) {
    std::istringstream request(line);
    const std::vector<double> numbers = answer(request);
    if (request.fail()) {
      std::cerr << "not understood: " << line << '\n';
      return 1;
    }
    std::cout << fmt::format("{:.17g}\n", fmt::join(numbers, " "));
  }
  return 0;
}
