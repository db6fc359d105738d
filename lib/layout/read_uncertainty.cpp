#include <fmt/format.h>

#include <algorithm>

#include "fitting/default_uncertainty.hpp"
#include "layout/read_internal.hpp"

namespace ductledger::layout {
namespace {

using Measure = fitting::DefaultUncertainty::Measure;
using units::Dimension;

struct Kind {
  std::string key;
  Measure measure;
};

/// The keys of `uncertainty`, each once: `coefficients` and the kinds of the default table.
std::vector<Kind> kinds() {
  std::vector<Kind> list{{"coefficients", Measure::relative}};
  for (const fitting::DefaultUncertainty& row : fitting::default_uncertainties()) {
    const auto same = [&](const Kind& kind) { return kind.key == row.layout_key; };
    if (!row.layout_key.empty() && std::none_of(list.begin(), list.end(), same)) {
      list.push_back({row.layout_key, row.measure});
    }
  }
  return list;
}

/// `5 %` and `+- 5 %` read alike.
yaml::Node without_sign(const yaml::Node& node) {
  yaml::Node plain = node;
  for (const std::string_view sign : {"+-", "\u00B1"}) {
    if (plain.text.rfind(sign, 0) == 0) {
      plain.text.erase(0, sign.size());
    }
  }
  return plain;
}

}  // namespace

void read_uncertainty(const yaml::Node* node, Reading& reading) {
  if (node == nullptr) {
    return;
  }
  yaml::MapReader map(*node, "uncertainty", reading.problems);
  for (const Kind& kind : kinds()) {
    const yaml::Node* value = map.get(kind.key);
    if (value == nullptr) {
      continue;
    }
    const yaml::Node plain = without_sign(*value);
    std::optional<double> u;
    switch (kind.measure) {
      case Measure::relative:
        u = read_within(plain, Dimension::ratio, {0.0, 2.0, "0 % to 200 %"}, reading.problems);
        break;
      case Measure::length:
        u = read_within(plain, Dimension::length, {0.0, 1.0, "0 mm to 1 m"}, reading.problems);
        break;
      case Measure::coefficient:
        u = read_within(plain, Dimension::number, {0.0, 2.0, "0 to 2"}, reading.problems);
        break;
    }
    if (u) {
      reading.layout.uncertainty.emplace(kind.key, *u);
    }
  }
  map.finish();
}

}  // namespace ductledger::layout
