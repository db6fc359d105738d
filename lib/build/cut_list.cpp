#include "build/cut_list.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>
#include <numeric>
#include <utility>

#include "base/expects.hpp"

namespace ductledger::build {
namespace {

using Units = std::int64_t;  // of 10 micrometres: sums are exact

constexpr double kUnit_m = 1e-5;
constexpr Units kRounding = 8;  // lengths that fill a stick exactly, each rounded by half a unit
constexpr std::size_t kWorkLimit = 10'000'000;  // sticks looked at: some tenths of a second

Units units_of(double length_m) { return std::llround(length_m / kUnit_m); }

struct Item {
  std::size_t demand = 0;
  Units size = 0;
};

/// One way to make a straight: its sections, overlaps included.
using Sections = std::vector<Units>;

struct Cost {
  std::size_t sticks = std::numeric_limits<std::size_t>::max();
  Units bought = std::numeric_limits<Units>::max();

  friend bool operator<(const Cost& a, const Cost& b) {
    return a.sticks != b.sticks ? a.sticks < b.sticks : a.bought < b.bought;
  }
};

struct Bin {
  Units used = 0;
  std::vector<std::size_t> items;
};

class Search {
 public:
  Search(std::span<const CutDemand> demands, const CutRules& rules) : demands_(demands) {
    for (const double stock_m : rules.stock_m) {
      stock_.push_back(units_of(stock_m));
    }
    std::sort(stock_.begin(), stock_.end());
    stock_.erase(std::unique(stock_.begin(), stock_.end()), stock_.end());
    overlap_ = units_of(rules.overlap_m);
    shortest_ = units_of(rules.shortest_m);
    DUCTLEDGER_EXPECTS(!stock_.empty() && stock_.back() > overlap_);
  }

  CutList run() {
    for (const CutDemand& demand : demands_) {
      choices_.push_back(ways_to_make(units_of(demand.clear_m)));
    }
    choose(0);
    return result();
  }

 private:
  [[nodiscard]] Units longest() const { return stock_.back(); }

  /// The smallest stock that holds so much.
  [[nodiscard]] Units stock_for(Units used) const {
    for (const Units stock : stock_) {
      if (used <= stock + kRounding) {
        return stock;
      }
    }
    return longest();
  }

  [[nodiscard]] std::vector<Sections> ways_to_make(Units clear) const {
    const Units most = longest() - overlap_;  // what a whole stick covers
    const auto count = std::max<Units>(1, (clear - kRounding + most - 1) / most);
    if (count == 1) {
      return {{std::min(clear + overlap_, longest())}};
    }
    std::vector<Sections> ways;
    Sections whole;
    add_ways(clear + count * overlap_, static_cast<std::size_t>(count), 0, whole, ways);
    return ways;
  }

  /// Every choice of whole sticks for all sections but the rest.
  void add_ways(Units total,
                std::size_t count,
                std::size_t from,
                Sections& whole,
                std::vector<Sections>& ways) const {
    if (whole.size() + 1 == count) {
      const Units rest = total - std::accumulate(whole.begin(), whole.end(), Units{0});
      if (rest <= overlap_ || rest > longest() + kRounding) {
        return;
      }
      Sections way = whole;
      const Units wanted = std::min(shortest_ + overlap_, rest + way.back() - overlap_ - 1);
      const Units missing = std::max<Units>(0, wanted - rest);
      way.back() -= missing;  // a sliver is no duct: a stick gives up some of its length
      way.push_back(rest + missing);
      ways.push_back(std::move(way));
      return;
    }
    for (std::size_t i = from; i < stock_.size(); ++i) {
      whole.push_back(stock_[i]);
      add_ways(total, count, i, whole, ways);
      whole.pop_back();
    }
  }

  void choose(std::size_t demand) {
    if (demand == demands_.size()) {
      pack();
      return;
    }
    for (const Sections& way : choices_[demand]) {
      if (cut_short_) {
        return;
      }
      const std::size_t before = items_.size();
      for (const Units size : way) {
        items_.push_back({demand, size});
      }
      choose(demand + 1);
      items_.resize(before);
    }
  }

  void pack() {
    sorted_ = items_;
    std::stable_sort(sorted_.begin(), sorted_.end(), [](const Item& a, const Item& b) {
      return a.size > b.size;
    });
    rest_.assign(sorted_.size() + 1, 0);
    for (std::size_t i = sorted_.size(); i-- > 0;) {
      rest_[i] = rest_[i + 1] + sorted_[i].size;
    }
    bins_.clear();
    place(0);
  }

  /// What a list that begins like this one costs at least.
  [[nodiscard]] Cost bound(std::size_t next) const {
    Units room = 0;
    Units bought = 0;
    Units used = 0;
    for (const Bin& bin : bins_) {
      room += std::max<Units>(0, longest() - bin.used);
      bought += stock_for(bin.used);
      used += bin.used;
    }
    const Units beyond = rest_[next] - room - kRounding * static_cast<Units>(sorted_.size());
    const Units more = beyond > 0 ? (beyond + longest() - 1) / longest() : 0;
    const Units needed = used + rest_[next] - kRounding * static_cast<Units>(sorted_.size());
    return {bins_.size() + static_cast<std::size_t>(more),
            std::max(bought + more * stock_.front(), needed)};
  }

  void place(std::size_t next) {
    work_ += bins_.size() + 1;
    if (work_ > kWorkLimit &&
        !best_bins_.empty()) {  // the first way down is always gone to its end
      cut_short_ = true;
    }
    if (cut_short_ || !(bound(next) < best_)) {
      return;
    }
    if (next == sorted_.size()) {
      Cost cost{bins_.size(), 0};
      for (const Bin& bin : bins_) {
        cost.bought += stock_for(bin.used);
      }
      if (cost < best_) {
        best_ = cost;
        best_bins_ = bins_;
        best_items_ = sorted_;
      }
      return;
    }
    const Item& item = sorted_[next];
    std::vector<Units> tried;  // sticks filled alike are one case
    for (std::size_t i = 0; i < bins_.size(); ++i) {
      const Units before = bins_[i].used;
      if (before + item.size > longest() + kRounding ||
          std::find(tried.begin(), tried.end(), before) != tried.end()) {
        continue;
      }
      tried.push_back(before);
      bins_[i].used += item.size;
      bins_[i].items.push_back(next);
      place(next + 1);
      bins_[i].items.pop_back();
      bins_[i].used = before;
    }
    bins_.push_back({item.size, {next}});
    place(next + 1);
    bins_.pop_back();
  }

  [[nodiscard]] CutList result() const {
    CutList list;
    list.proven = !cut_short_;
    for (const Bin& bin : best_bins_) {
      Stick stick;
      const Units stock = stock_for(bin.used);
      stick.stock_m = static_cast<double>(stock) * kUnit_m;
      for (const std::size_t index : bin.items) {
        stick.cuts.push_back(
            {best_items_[index].demand, static_cast<double>(best_items_[index].size) * kUnit_m});
      }
      std::stable_sort(stick.cuts.begin(), stick.cuts.end(), [](const Cut& a, const Cut& b) {
        return a.demand < b.demand;
      });
      const Units offcut = std::max<Units>(0, stock - bin.used);
      stick.offcut_m = offcut <= kRounding ? 0.0 : static_cast<double>(offcut) * kUnit_m;
      list.bought_m += stick.stock_m;
      list.offcut_m += stick.offcut_m;
      list.sticks.push_back(std::move(stick));
    }
    std::stable_sort(list.sticks.begin(), list.sticks.end(), [](const Stick& a, const Stick& b) {
      return a.stock_m != b.stock_m ? a.stock_m > b.stock_m
                                    : a.cuts.front().demand < b.cuts.front().demand;
    });
    return list;
  }

  std::span<const CutDemand> demands_;
  std::vector<Units> stock_;
  Units overlap_ = 0;
  Units shortest_ = 0;
  std::vector<std::vector<Sections>> choices_;
  std::vector<Item> items_;
  std::vector<Item> sorted_;
  std::vector<Units> rest_;
  std::vector<Bin> bins_;
  Cost best_;
  std::vector<Bin> best_bins_;
  std::vector<Item> best_items_;
  std::size_t work_ = 0;
  bool cut_short_ = false;
};

}  // namespace

CutList cut_list(std::span<const CutDemand> demands, const CutRules& rules) {
  return Search(demands, rules).run();
}

}  // namespace ductledger::build
