#include <gtest/gtest.h>

#include <string>

#include "text/verdict.hpp"

namespace ductledger::text {
namespace {

TEST(VerdictsOfSeveralFiles, begin_with_what_could_not_be_calculated_and_the_worst) {
  const std::string text = verdicts_text({{.file = "met.yaml",
                                           .standing = document::Standing::clear,
                                           .mark = "MET",
                                           .text = "300 cfm required"},
                                          {.file = "warn.yaml",
                                           .standing = document::Standing::warn,
                                           .mark = "WARN",
                                           .text = "narrow"},
                                          {.file = "broken.yaml"},
                                          {.file = "fails.yaml",
                                           .standing = document::Standing::fail,
                                           .mark = "FAIL",
                                           .text = "the house"},
                                          {.file = "again.yaml",
                                           .standing = document::Standing::warn,
                                           .mark = "WARN",
                                           .text = "short"}},
                                         {});
  EXPECT_EQ(text,
            "  5 layouts, the worst first:\n"
            "  ERROR  broken.yaml: not calculated: see the errors\n"
            "  FAIL   fails.yaml: the house\n"
            "  WARN   warn.yaml: narrow\n"
            "  WARN   again.yaml: short\n"
            "  MET    met.yaml: 300 cfm required\n");
}

}  // namespace
}  // namespace ductledger::text
