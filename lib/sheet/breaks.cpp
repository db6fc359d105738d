#include "sheet/breaks.hpp"

#include <algorithm>

namespace ductledger::sheet {

void Breaks::add(std::size_t axis, const Break& one) {
  std::vector<Break>& own = all_[axis];
  own.insert(std::ranges::upper_bound(own, one.from_m, {}, &Break::from_m), one);
}

bool Breaks::empty() const noexcept {
  return std::ranges::all_of(all_, [](const auto& own) { return own.empty(); });
}

double Breaks::drawn(std::size_t axis, double at_m) const {
  // What lies at the collar stays there: breaks beyond it pull in, those before it push on.
  double shift = 0.0;
  for (const Break& one : all_[axis]) {
    const double share = std::clamp((at_m - one.from_m) / (one.to_m - one.from_m), 0.0, 1.0);
    shift -= one.left_out_m() * (one.to_m <= 0.0 ? share - 1.0 : share);
  }
  return at_m + shift;
}

layout::Point Breaks::drawn(const layout::Point& at) const {
  return {drawn(0, at[0]), drawn(1, at[1]), drawn(2, at[2])};
}

std::vector<Kept> free_between(std::vector<Kept> kept, double margin_m) {
  std::ranges::sort(kept, {}, &Kept::from_m);
  std::vector<Kept> found;
  double reached = kept.empty() ? 0.0 : kept.front().to_m;
  for (const Kept& one : kept) {
    if (one.from_m - reached > 2.0 * margin_m) {
      found.push_back({reached + margin_m, one.from_m - margin_m});
    }
    reached = std::max(reached, one.to_m);
  }
  return found;
}

}  // namespace ductledger::sheet
