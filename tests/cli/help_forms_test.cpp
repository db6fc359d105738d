#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "harness.hpp"

// Help for other programs, made from the tables of commands and options.
namespace ductledger::test {
namespace {

std::string help_as(const std::string& form) {
  const Outcome shown = run({"help", "--as", form});
  EXPECT_EQ(shown.exit, 0) << shown.err;
  EXPECT_EQ(shown.err, "");
  return shown.out;
}

/// What bash offers for the words typed, one a line, sorted.
std::string offered_by_bash(const Folder& folder, const std::vector<std::string>& words) {
  std::string script = help_as("bash") + "COMP_WORDS=(";
  for (const std::string& word : words) {
    script += " '" + word + "'";
  }
  script += ")\nCOMP_CWORD=" + std::to_string(words.size() - 1) +
            "\n_ductledger\nprintf '%s\\n' \"${COMPREPLY[@]}\" | sort > " + folder.path("offered") +
            "\n";
  const std::string file = folder.write("try.bash", script);
  EXPECT_EQ(std::system(("cd " + folder.path("") + " && bash " + file).c_str()), 0);
  return folder.read("offered");
}

TEST(HelpForms, TheManualPageHoldsEachCommandAndOption) {
  const std::string page = help_as("man");
  EXPECT_EQ(page.rfind(".TH DUCTLEDGER 1", 0), 0U);
  for (const char* part : {".SS check\n",
                           ".SS review\n",
                           "\\fB\\-\\-advise\\fR",
                           "\\fB\\-\\-deliver\\fR \\fIAIRFLOW\\fR",
                           ".SH EXIT STATUS\n",
                           ".SH ENVIRONMENT\n"}) {
    EXPECT_NE(page.find(part), std::string::npos) << part;
  }
}

TEST(HelpForms, BashOffersCommandsThenTheirOptionsThenTheirValues) {
  const Folder folder;
  EXPECT_EQ(offered_by_bash(folder, {"ductledger", "com"}), "commission\ncompare\n");
  EXPECT_EQ(offered_by_bash(folder, {"ductledger", "check", "--ad"}), "--advise\n");
  EXPECT_EQ(offered_by_bash(folder, {"ductledger", "parts", "--ad"}), "\n");
  EXPECT_EQ(offered_by_bash(folder, {"ductledger", "check", "--fail-on", "n"}), "never\nnote\n");
  EXPECT_EQ(offered_by_bash(folder, {"ductledger", "help", "fit"}), "fittings\n");
}

TEST(HelpForms, BashOffersFiles) {
  const Folder folder;
  (void)folder.write("kitchen one.yaml", "");
  EXPECT_EQ(offered_by_bash(folder, {"ductledger", "check", "kit"}), "kitchen one.yaml\n");
  EXPECT_EQ(offered_by_bash(folder, {"ductledger", "report", "-o", "kit"}), "kitchen one.yaml\n");
}

TEST(HelpForms, EveryShellKnowsEveryCommand) {
  for (const char* form : {"bash", "zsh", "fish"}) {
    const std::string text = help_as(form);
    for (const char* command : {"check", "compare", "size", "parts", "report", "review"}) {
      EXPECT_NE(text.find(command), std::string::npos) << form << ' ' << command;
    }
  }
}

TEST(HelpForms, AnUnknownFormNamesThem) {
  const Outcome refused = run({"help", "--as", "fsih"});
  EXPECT_EQ(refused.exit, 2);
  EXPECT_NE(refused.err.find("did you mean `fish`?"), std::string::npos) << refused.err;
}

}  // namespace
}  // namespace ductledger::test
