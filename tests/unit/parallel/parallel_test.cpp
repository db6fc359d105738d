#include "parallel/parallel.hpp"

#include <gtest/gtest.h>

#include <atomic>
#include <memory>
#include <stdexcept>
#include <vector>

namespace ductledger::parallel {
namespace {

constexpr std::size_t kThreads[] = {1, 2, 7};

TEST(Parallel, map_keeps_the_order) {
  for (const std::size_t threads : kThreads) {
    const Threads limit(threads);
    const std::vector<std::size_t> squares =
        map<std::size_t>(1000, [](std::size_t i) { return i * i; });
    ASSERT_EQ(squares.size(), 1000U);
    for (std::size_t i = 0; i < squares.size(); ++i) {
      EXPECT_EQ(squares[i], i * i);
    }
  }
}

TEST(Parallel, each_place_is_worked_on_once_in_nested_work_too) {
  std::vector<std::atomic<int>> done(20 * 20);
  each(20, [&](std::size_t i) { each(20, [&, i](std::size_t j) { ++done[i * 20 + j]; }); });
  for (const std::atomic<int>& one : done) {
    EXPECT_EQ(one.load(), 1);
  }
}

TEST(Parallel, an_exception_of_the_work_comes_out) {
  EXPECT_THROW(each(100,
                    [](std::size_t i) {
                      if (i == 57) {
                        throw std::runtime_error("no");
                      }
                    }),
               std::runtime_error);
}

class Square final : public Job {
 public:
  Square(int number, std::vector<int>& out, std::size_t most)
      : number_(number), out_(out), most_(most) {}
  void work() override { number_ *= number_; }
  bool hand_on() override {
    out_.push_back(number_);
    return out_.size() < most_;
  }

 private:
  int number_;
  std::vector<int>& out_;
  std::size_t most_;
};

TEST(Parallel, jobs_are_handed_on_in_the_order_they_came) {
  for (const std::size_t threads : kThreads) {
    const Threads limit(threads);
    std::vector<int> out;
    int next = 0;
    in_order([&]() -> std::shared_ptr<Job> {
      return next < 5000 ? std::make_shared<Square>(next++, out, 1'000'000) : nullptr;
    });
    ASSERT_EQ(out.size(), 5000U);
    for (int i = 0; i < 5000; ++i) {
      EXPECT_EQ(out[static_cast<std::size_t>(i)], i * i);
    }
  }
}

TEST(Parallel, handing_on_may_stop_and_few_jobs_are_held) {
  const Threads limit(2);
  std::vector<int> out;
  int next = 0;
  in_order([&]() -> std::shared_ptr<Job> { return std::make_shared<Square>(next++, out, 100); });
  EXPECT_EQ(out.size(), 100U);
  EXPECT_LT(next, 200);
}

}  // namespace
}  // namespace ductledger::parallel
