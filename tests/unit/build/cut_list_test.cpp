#include "build/cut_list.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <functional>
#include <limits>
#include <random>
#include <set>
#include <vector>

namespace ductledger::build {
namespace {

/// Everything tried: each straight split into its fewest sections in every way of whole lengths,
/// the sections put into sticks in every way.
struct Exhausted {
  std::size_t sticks = std::numeric_limits<std::size_t>::max();
  int bought = std::numeric_limits<int>::max();
};

class Exhaustion {
 public:
  Exhaustion(std::vector<int> clear, std::vector<int> stock, int overlap)
      : clear_(std::move(clear)), stock_(std::move(stock)), overlap_(overlap) {
    longest_ = *std::max_element(stock_.begin(), stock_.end());
  }
  Exhausted run() {
    split(0);
    return best_;
  }

 private:
  void split(std::size_t demand) {
    if (demand == clear_.size()) {
      partition(0);
      return;
    }
    const int most = longest_ - overlap_;
    const int count = (clear_[demand] + most - 1) / most;
    const std::function<void(int, int, int)> sections = [&](int left, int covered, int least) {
      if (left == 1) {
        const int last = clear_[demand] - covered;
        if (last >= least && last <= most) {
          sizes_.push_back(last + overlap_);
          split(demand + 1);
          sizes_.pop_back();
        }
        return;
      }
      for (int size = least; size <= most && covered + size < clear_[demand]; ++size) {
        sizes_.push_back(size + overlap_);
        sections(left - 1, covered + size, size);
        sizes_.pop_back();
      }
    };
    sections(count, 0, 1);
  }
  void partition(std::size_t next) {
    if (bins_.size() > best_.sticks) {
      return;
    }
    if (next == sizes_.size()) {
      int bought = 0;
      for (const int used : bins_) {
        int smallest = longest_;
        for (const int stock : stock_) {
          smallest = stock >= used ? std::min(smallest, stock) : smallest;
        }
        bought += smallest;
      }
      if (bins_.size() < best_.sticks || bought < best_.bought) {
        best_ = {bins_.size(), bought};
      }
      return;
    }
    for (std::size_t i = 0; i < bins_.size(); ++i) {
      if (bins_[i] + sizes_[next] <= longest_) {
        bins_[i] += sizes_[next];
        partition(next + 1);
        bins_[i] -= sizes_[next];
      }
    }
    bins_.push_back(sizes_[next]);
    partition(next + 1);
    bins_.pop_back();
  }

  std::vector<int> clear_;
  std::vector<int> stock_;
  int overlap_;
  int longest_ = 0;
  std::vector<int> sizes_;
  std::vector<int> bins_;
  Exhausted best_;
};

TEST(CutList, equals_an_exhaustive_search_on_200_small_cases) {
  constexpr unsigned kSeed = 20210;
  std::mt19937 random(kSeed);
  const auto pick = [&](int low, int high) {
    return std::uniform_int_distribution<int>(low, high)(random);
  };
  for (int example = 0; example < 200; ++example) {
    const int overlap = pick(0, 2);
    std::set<int> stock{pick(6, 10)};
    while (static_cast<int>(stock.size()) < 1 + example % 3) {
      stock.insert(pick(overlap + 2, 10));
    }
    std::vector<int> clear;
    std::vector<build::CutDemand> demands;
    const int count = pick(1, 4);
    for (int i = 0; i < count; ++i) {
      clear.push_back(pick(1, i == 0 ? 16 : 9));
      demands.push_back({clear.back() * 0.1});
    }
    build::CutRules rules;
    for (const int length : stock) {
      rules.stock_m.push_back(length * 0.1);
    }
    rules.overlap_m = overlap * 0.1;
    const Exhausted wanted =
        Exhaustion(clear, std::vector<int>(stock.begin(), stock.end()), overlap).run();
    const build::CutList list = build::cut_list(demands, rules);
    SCOPED_TRACE("seed " + std::to_string(kSeed) + " case " + std::to_string(example));
    EXPECT_TRUE(list.proven);
    EXPECT_EQ(list.sticks.size(), wanted.sticks);
    EXPECT_NEAR(list.bought_m, wanted.bought * 0.1, 1e-9);
    double cut_m = 0.0;
    std::vector<double> covered(clear.size(), 0.0);
    for (const build::Stick& stick : list.sticks) {
      double used_m = 0.0;
      for (const build::Cut& cut : stick.cuts) {
        used_m += cut.cut_m;
        covered[cut.demand] += cut.cut_m - rules.overlap_m;
      }
      EXPECT_NEAR(used_m + stick.offcut_m, stick.stock_m, 1e-6);
      cut_m += used_m;
    }
    EXPECT_NEAR(cut_m + list.offcut_m, list.bought_m, 1e-6);
    for (std::size_t i = 0; i < clear.size(); ++i) {
      EXPECT_NEAR(covered[i], clear[i] * 0.1, 1e-6);
    }
  }
}

TEST(CutList, joins_two_short_straights_in_one_stick) {
  const std::vector<build::CutDemand> demands{{0.6}, {0.7}};
  const build::CutList list =
      build::cut_list(demands, {.stock_m = {1.5}, .overlap_m = 0.04, .shortest_m = 0.0});
  ASSERT_EQ(list.sticks.size(), 1U);
  EXPECT_NEAR(list.offcut_m, 1.5 - 0.6 - 0.7 - 0.08, 1e-9);
}

TEST(CutList, cuts_no_sliver) {
  // 2.93 m takes two sticks of 1.5 m less 0.04 m, with 10 mm left over for a third section.
  const std::vector<build::CutDemand> demands{{2.93}};
  const build::CutList list =
      build::cut_list(demands, {.stock_m = {1.5}, .overlap_m = 0.04, .shortest_m = 0.08});
  ASSERT_EQ(list.sticks.size(), 3U);
  for (const build::Stick& stick : list.sticks) {
    for (const build::Cut& cut : stick.cuts) {
      EXPECT_GE(cut.cut_m - 0.04, 0.08 - 1e-9);
    }
  }
}

TEST(CutList, OfThousandsOfStraightsIsOneThatCanBeCutThoughNotProvenTheBest) {
  std::vector<CutDemand> demands;
  for (int i = 0; i < 3000; ++i) {
    demands.push_back({0.3 + 0.017 * (i % 97)});
  }
  const CutRules rules{.stock_m = {1.524, 3.048}, .overlap_m = 0.0381, .shortest_m = 0.15};
  const CutList list = cut_list(demands, rules);
  EXPECT_FALSE(list.proven);
  std::vector<double> covered_m(demands.size(), 0.0);
  for (const Stick& stick : list.sticks) {
    double cut_m = 0.0;
    for (const Cut& cut : stick.cuts) {
      cut_m += cut.cut_m;
      covered_m[cut.demand] += cut.cut_m - rules.overlap_m;
    }
    EXPECT_LE(cut_m, stick.stock_m + 1e-4);
  }
  for (std::size_t i = 0; i < demands.size(); ++i) {
    EXPECT_NEAR(covered_m[i], demands[i].clear_m, 1e-4) << i;
  }
}

}  // namespace
}  // namespace ductledger::build
