// Half-widths of sampled bands against those of a million plain samples, for every speed of the
// layouts named on the command line.
#include <fmt/format.h>

#include <cstdio>
#include <fstream>
#include <memory>
#include <sstream>

#include "fitting/catalogue.hpp"
#include "house/uncertain_room.hpp"
#include "result/uncertainty.hpp"
#include "study/check.hpp"

namespace {

using namespace ductledger;  // NOLINT(google-build-using-namespace)

double half_width_m3_s(const result::Samples& samples) {
  const solve::AirflowLimits limits = result::band(samples);
  return (limits.high_m3_s - limits.low_m3_s) / 2.0;
}

void rows(const study::CheckResult& check) {
  for (const result::SpeedResult& speed : check.speeds) {
    if (speed.point.status != solve::Status::found) {
      continue;
    }
    const solve::ErrorModel model(check.layout,
                                  check.run,
                                  {.fan = &*speed.fan.fan,
                                   .origin = speed.fan.origin,
                                   .speed_ratio = speed.fan.speed_ratio,
                                   .room = house::uncertain_room(check.house)});
    const double plain = half_width_m3_s(result::sample(model, {.count = 1000000}));
    const double points = half_width_m3_s(result::even_samples(model));
    fmt::print("| {} | {} | {:.2f} | {:.2f} | {:+.2f} % |\n",
               check.layout.title,
               speed.name,
               1000.0 * plain,
               1000.0 * points,
               100.0 * (points / plain - 1.0));
  }
}

}  // namespace

int main(int argc, char** argv) {
  fmt::print(
      "| layout | speed | a million plain samples, L/s | {} points, L/s | difference |\n"
      "|---|---|---|---|---|\n",
      result::kPoints);
  for (int i = 1; i < argc; ++i) {
    std::ostringstream text;
    text << std::ifstream(argv[i]).rdbuf();
    const auto& catalogue = fitting::Catalogue::built_in();
    auto layout =
        layout::read(std::make_shared<const base::SourceText>(argv[i], text.str()), catalogue);
    if (!layout) {
      fmt::print(stderr, "{}", base::render(layout.error()));
      return 2;
    }
    const auto check = study::check(*std::move(layout), catalogue);
    if (!check) {
      fmt::print(stderr, "{}", base::render(check.error()));
      return 2;
    }
    rows(*check);
  }
  return 0;
}
