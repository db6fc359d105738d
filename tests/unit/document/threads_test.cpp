#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "document/check.hpp"
#include "document/compare.hpp"
#include "document/size.hpp"
#include "parallel/parallel.hpp"
#include "study/compare.hpp"
#include "study/size.hpp"
#include "support/example_layout.hpp"

// Studies that several threads work on give the same document with one, two and seven.
namespace ductledger::document {
namespace {

using test::catalogue;

const Record kThreadsRecord{"test", "fail"};

template <class Made>
void expect_same(const Made& made) {
  std::string first;
  for (const std::size_t threads : {1U, 2U, 7U}) {
    const parallel::Threads limit(threads);
    const std::string document = to_text(made());
    EXPECT_GT(document.size(), 1000U);
    if (first.empty()) {
      first = document;
    }
    EXPECT_EQ(document, first) << threads << " threads";
  }
}

TEST(Threads, do_not_change_advice) {
  for (const std::string name :
       {"terrace-soffit-sideways.yaml", "tight-bungalow-makeup-duct.yaml"}) {
    const layout::Layout layout = test::example_layout(name);
    expect_same([&] {
      return check_document(*study::check(layout, catalogue(), {.advise = true}), kThreadsRecord);
    });
  }
}

TEST(Threads, do_not_change_sizes) {
  const layout::Layout layout = test::example_layout("gable-kitchen-up-through-roof.yaml");
  expect_same([&] {
    return size_document(*study::size(layout, catalogue(), {.deliver_m3_s = 0.24}), kThreadsRecord);
  });
}

TEST(Threads, do_not_change_comparisons) {
  expect_same([&] {
    std::vector<study::Compared> runs;
    for (const char* name :
         {"gable-kitchen-up-through-roof.yaml", "terrace-soffit-sideways.yaml"}) {
      runs.push_back({test::example_layout(name), &catalogue()});
    }
    return compare_document(*study::compare(std::move(runs)), kThreadsRecord);
  });
}

}  // namespace
}  // namespace ductledger::document
