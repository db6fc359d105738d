#include "solve/work.hpp"

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "result/uncertainty.hpp"
#include "study/check.hpp"
#include "study/points.hpp"
#include "study/size.hpp"
#include "support/example_layout.hpp"

// What a study may cost: bounds that follow from what it shows.
namespace ductledger::study {
namespace {

using test::catalogue;

template <class Study>
solve::Work work_of(const Study& study) {
  const solve::Work before = solve::work_done();
  study();
  const solve::Work after = solve::work_done();
  return {after.operating_points - before.operating_points, after.samples - before.samples};
}

const std::vector<std::string> kExamples{"gable-kitchen-up-through-roof.yaml",
                                         "basement-dryer-run.yaml",
                                         "attic-bath-fan-on-flex.yaml",
                                         "tight-bungalow-makeup-duct.yaml"};

TEST(Work, points_alone_draw_nothing_and_are_solved_once) {
  for (const std::string& name : kExamples) {
    const layout::Layout layout = test::example_layout(name);
    const std::size_t speeds = layout.fan ? layout.fan->speeds.size() : 0;
    const solve::Work work =
        work_of([&] { EXPECT_TRUE(check(layout, catalogue(), {.depth = Depth::points})); });
    EXPECT_EQ(work.samples, 0U) << name;
    EXPECT_LE(work.operating_points, 2 * speeds) << name;  // the other shape of two ratings
  }
}

TEST(Work, a_changed_number_is_one_operating_point) {
  const layout::Layout layout = test::example_layout(kExamples.front());
  auto points = Points::of(layout, catalogue(), {"", {"site.wind"}, {1.0}});
  ASSERT_TRUE(points) << base::render(points.error());
  const solve::Work work = work_of([&] {
    for (int i = 0; i < 100; ++i) {
      EXPECT_TRUE(points->at(std::vector<double>{0.1 * i}));
    }
  });
  EXPECT_EQ(work.operating_points, 100U);
  EXPECT_EQ(work.samples, 0U);
}

TEST(Work, a_check_draws_once_a_speed_and_shape) {
  for (const std::string& name : kExamples) {
    const layout::Layout layout = test::example_layout(name);
    const std::size_t speeds = layout.fan ? layout.fan->speeds.size() : 0;
    const solve::Work work = work_of([&] { EXPECT_TRUE(check(layout, catalogue())); });
    EXPECT_LE(work.samples, 2 * speeds * result::kPoints) << name;
  }
}

TEST(Work, advice_draws_for_the_rows_it_tells_alone) {
  for (const std::string& name : kExamples) {
    const layout::Layout layout = test::example_layout(name);
    std::size_t rows = 0;
    std::size_t tried = 0;
    const solve::Work without = work_of([&] { EXPECT_TRUE(check(layout, catalogue())); });
    const solve::Work with = work_of([&] {
      const auto result = check(layout, catalogue(), {.advise = true});
      ASSERT_TRUE(result);
      rows = result->advice->rows.size() + (result->advice->best_pair ? 1 : 0);
      tried = result->advice->tried;
    });
    ASSERT_GT(tried, rows / 2) << name;
    // A row's findings need the bands of its speeds, its gain a joint sample of both runs.
    const std::size_t speeds = layout.fan ? layout.fan->speeds.size() : 0;
    EXPECT_LE(with.samples, without.samples + rows * (2 * speeds + 2 * 2 * 2) * result::kPoints)
        << name;
  }
}

}  // namespace
}  // namespace ductledger::study
