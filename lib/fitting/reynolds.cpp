#include <algorithm>
#include <cmath>

#include "base/expects.hpp"
#include "fitting/catalogue.hpp"

namespace ductledger::fitting {
namespace {

constexpr double kLawLowest = 4e4;
constexpr double kLawBlend = 2e5;
constexpr double kLawConstant = 3e5;

double bend_law(ReynoldsFactor::Law law, double re) noexcept {
  switch (law) {
    case ReynoldsFactor::Law::bend_sharp:
      return 1.0 + 4400.0 / re;
    case ReynoldsFactor::Law::bend_tight:
      return 5.45 / std::pow(re, 0.118);
    case ReynoldsFactor::Law::bend_smooth:
      return 11.5 / std::pow(re, 0.19);
    case ReynoldsFactor::Law::none:
    case ReynoldsFactor::Law::table:
      break;
  }
  return 1.0;
}

}  // namespace

ReynoldsFactor ReynoldsFactor::table(const std::vector<Node>& nodes, Beyond beyond) {
  DUCTLEDGER_EXPECTS(!nodes.empty() && nodes.size() <= kMaxNodes);
  ReynoldsFactor result;
  result.law_ = Law::table;
  result.count_ = nodes.size();
  for (std::size_t i = 0; i < nodes.size(); ++i) {
    DUCTLEDGER_EXPECTS(i == 0 || nodes[i].reynolds > nodes[i - 1].reynolds);
    result.nodes_[i] = nodes[i];
  }
  result.lowest_ = nodes.front().reynolds;
  if (beyond == Beyond::unknown) {
    result.highest_ = nodes.back().reynolds;
  }
  return result;
}

ReynoldsFactor ReynoldsFactor::law(Law law) {
  DUCTLEDGER_EXPECTS(law != Law::none && law != Law::table);
  ReynoldsFactor result;
  result.law_ = law;
  result.lowest_ = kLawLowest;
  return result;
}

double ReynoldsFactor::at(double reynolds) const noexcept {
  if (law_ == Law::none) {
    return 1.0;
  }
  if (law_ == Law::table) {
    if (reynolds <= nodes_[0].reynolds) {
      return nodes_[0].factor;
    }
    for (std::size_t i = 1; i < count_; ++i) {
      if (reynolds < nodes_[i].reynolds) {
        const Node& a = nodes_[i - 1];
        const Node& b = nodes_[i];
        const double share = (reynolds - a.reynolds) / (b.reynolds - a.reynolds);
        return a.factor + share * (b.factor - a.factor);
      }
    }
    return nodes_[count_ - 1].factor;
  }
  if (reynolds >= kLawConstant) {
    return 1.0;
  }
  if (reynolds > kLawBlend) {
    const double at_blend = bend_law(law_, kLawBlend);
    const double share = (reynolds - kLawBlend) / (kLawConstant - kLawBlend);
    return at_blend + share * (1.0 - at_blend);
  }
  return bend_law(law_, std::max(reynolds, kLawLowest));
}

}  // namespace ductledger::fitting
