#include <gtest/gtest.h>

#include <cstdlib>
#include <string>

#include "harness.hpp"

namespace ductledger::test {
namespace {

std::string titled(const char* title) {
  return std::string("layout: 1\ntitle: ") + title +
         "\nappliance: {kind: range-hood, collar: 8 in round}\nfan: {speeds: [{name: high, curve: "
         "{airflow: 0 250 450 600 cfm, pressure: 0.9 0.8 0.5 0 inH2O}}]}\nrun: {section: 8 in "
         "round, pieces: [{straight: 12 ft}, {cap: wall-hood-flap}]}\n";
}

// Each wait ends after ten seconds at most; what was not seen by then fails.
TEST(Watch, AnswersAgainWhenTheFileChangesAndEndsWhenItIsGone) {
  const Folder folder;
  const std::string file = folder.write("kitchen.yaml", titled("As drawn"));
  static_cast<void>(folder.write("next.yaml", titled("As built")));
  const std::string script =
      "cd '" + folder.path("") +
      "' && { " DUCTLEDGER_BINARY
      " check --watch --quiet kitchen.yaml >out 2>err & } && watcher=$! && "
      "trap 'kill $watcher 2>/dev/null' EXIT && "
      "seen() { i=0; until grep -q \"$1\" out; do i=$((i + 1)); [ $i -lt 100 "
      "] || return 1; sleep 0.1; done; } && seen 'As drawn' && "
      "mv next.yaml kitchen.yaml && seen 'As built' && rm kitchen.yaml && "
      "{ wait $watcher; echo $? >status; }";
  EXPECT_EQ(std::system(script.c_str()), 0) << folder.read("out") << folder.read("err");
  EXPECT_EQ(folder.read("status"), "2\n");
  EXPECT_NE(folder.read("err").find("a file that was watched is gone"), std::string::npos);
}

TEST(Watch, IsRefusedWhereNothingCanChangeOrNothingIsShown) {
  for (const auto& arguments : {std::vector<std::string>{"check", "--watch", "-"},
                                {"check", "--watch", "-o", "x.txt", "x.yaml"}}) {
    const Outcome outcome = run(arguments);
    EXPECT_EQ(outcome.exit, 2);
    EXPECT_TRUE(outcome.out.empty());
    EXPECT_FALSE(outcome.err.empty());
  }
}

}  // namespace
}  // namespace ductledger::test
