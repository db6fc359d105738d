#include <gtest/gtest.h>

#include <filesystem>
#include <nlohmann/json.hpp>
#include <string>

#include "cli/harness.hpp"

// A catalogue of the user's own, by key and by option.
namespace ductledger::test {
namespace {

using Json = nlohmann::json;

// Invented.
std::string cap(const std::string& type, const std::string& coefficient) {
  return "sources:\n"
         "  mine: {title: an invented sheet, status: seen}\n"
         "kind: cap\n"
         "type: " +
         type +
         "\n"
         "title: A cap\n"
         "use: a test\n"
         "sections: [any]\n"
         "reference: upstream\n"
         "includes_friction: yes\n"
         "uncertainty: {u: 0.2, basis: invented}\n"
         "data: [{key: mine, role: default, source: mine, status: seen, value: " +
         coefficient + "}]\n";
}

std::string layout_of_catalogue(const std::string& catalogue, const std::string& type = "my-cap") {
  return "layout: 1\n" + (catalogue.empty() ? "" : "catalogue: " + catalogue + "\n") +
         "appliance: {collar: 6 in round}\n"
         "fan: {speeds: [{name: high, curve: {airflow: 0 200 400 cfm, pressure: 1 0.8 0 "
         "inH2O}}]}\n"
         "run:\n  material: galvanized-steel\n  pieces:\n    - straight: 10 ft\n    - cap: " +
         type + "\n";
}

Outcome check(const std::string& path, std::vector<std::string> more = {}) {
  std::vector<std::string> words{"check", path, "--json", "--fail-on", "never"};
  words.insert(words.end(), more.begin(), more.end());
  return run(words);
}

double coefficient(const Outcome& outcome) {
  const Json document = Json::parse(outcome.out, nullptr, false);
  if (document.is_object() && document.contains("speeds")) {
    for (const Json& row : document["speeds"][0]["ledger"]) {
      if (row["piece"] == "cap") {
        return row["coefficient"].get<double>();
      }
    }
  }
  ADD_FAILURE() << outcome.err;
  return 0.0;
}

TEST(OwnCatalogue, AddsByKeyBesideTheLayout) {
  const Folder folder;
  (void)folder.write("own.yaml", cap("my-cap", "1.75"));
  const auto outcome = check(folder.write("a.yaml", layout_of_catalogue("own.yaml")));
  ASSERT_EQ(outcome.exit, 0) << outcome.err;
  EXPECT_DOUBLE_EQ(coefficient(outcome), 1.75);
  const Json document = Json::parse(outcome.out);
  ASSERT_EQ(document["catalogue"]["files"].size(), 1U);
  EXPECT_EQ(document["catalogue"]["files"][0]["sha256"].get<std::string>().size(), 64U);
  const auto built_in = check(folder.write("b.yaml", layout_of_catalogue("", "wall-hood-flap")));
  EXPECT_NE(document["catalogue"]["hash"], Json::parse(built_in.out)["catalogue"]["hash"]);
  EXPECT_TRUE(Json::parse(built_in.out)["catalogue"]["files"].empty());
}

TEST(OwnCatalogue, AddsAndOverridesByOption) {
  const Folder folder;
  const std::string own = folder.write("own.yaml", cap("wall-hood-flap", "0.5"));
  const auto outcome = check(folder.write("a.yaml", layout_of_catalogue("", "wall-hood-flap")),
                             {"--catalogue", own});
  ASSERT_EQ(outcome.exit, 0) << outcome.err;
  EXPECT_DOUBLE_EQ(coefficient(outcome), 0.5);
  const auto shown = run({"fittings", "show", "cap/wall-hood-flap", "--catalogue", own});
  EXPECT_EQ(shown.exit, 0) << shown.err;
  EXPECT_TRUE(holds(shown.out, "C 0.5"));
}

TEST(OwnCatalogue, TheOptionComesOnTopOfTheKey) {
  const Folder folder;
  (void)folder.write("own.yaml", cap("my-cap", "1"));
  const std::string other = folder.write("other.yaml", cap("my-cap", "2"));
  EXPECT_DOUBLE_EQ(coefficient(check(folder.write("a.yaml", layout_of_catalogue("own.yaml")),
                                     {"--catalogue", other})),
                   2.0);
}

TEST(OwnCatalogue, AFolderIsReadInTheOrderOfNames) {
  const Folder folder;
  std::filesystem::create_directories(folder.path("own/sub"));
  // Written in another order than their names.
  (void)folder.write("own/z.yaml", cap("my-cap", "3"));
  (void)folder.write("own/a.yaml", cap("my-cap", "1"));
  (void)folder.write("own/sub/m.yaml", cap("my-cap", "2"));
  (void)folder.write("own/notes.txt", "no catalogue");
  EXPECT_DOUBLE_EQ(coefficient(check(folder.write("a.yaml", layout_of_catalogue("own")))), 3.0);
}

TEST(OwnCatalogue, MayNotLeaveTheLayoutsFolder) {
  const Folder outside;
  const std::string secret = outside.write("own.yaml", cap("my-cap", "1"));
  const Folder folder;
  std::filesystem::create_directories(folder.path("in"));
  (void)folder.write("own.yaml", cap("my-cap", "1"));
  std::filesystem::create_symlink(secret, folder.path("in/link.yaml"));
  std::filesystem::create_directories(folder.path("in/many"));
  std::filesystem::create_symlink(secret, folder.path("in/many/link.yaml"));
  for (const std::string& name : {std::string("../own.yaml"),
                                  secret,
                                  std::string("link.yaml"),
                                  std::string("many"),
                                  std::string("many/../../own.yaml")}) {
    const std::string path = folder.write("in/a.yaml", layout_of_catalogue(name));
    const auto refused = check(path);
    EXPECT_EQ(refused.exit, 2) << name;
    EXPECT_TRUE(holds(refused.err, "outside the layout's folder")) << name << refused.err;
    EXPECT_TRUE(holds(refused.err, "a.yaml:2:12")) << refused.err;
    EXPECT_EQ(check(path, {"--allow-outside"}).exit, 0) << name;
  }
}

TEST(OwnCatalogue, OfALayoutOnStandardInputIsBesideTheCaller) {
  const auto outcome =
      run(Call{{"check", "-", "--json"}, layout_of_catalogue("no-such-folder/own.yaml")});
  EXPECT_EQ(outcome.exit, 2);
  EXPECT_TRUE(holds(outcome.err, "<stdin>:2:12")) << outcome.err;
}

TEST(OwnCatalogue, AMissingOneIsToldAtTheKey) {
  const Folder folder;
  const auto outcome = check(folder.write("a.yaml", layout_of_catalogue("own.yaml")));
  EXPECT_EQ(outcome.exit, 2);
  EXPECT_TRUE(holds(outcome.err, "cannot be found")) << outcome.err;
  EXPECT_TRUE(holds(outcome.err, "a.yaml:2:12")) << outcome.err;
  EXPECT_EQ(Json::parse(outcome.out)["format"], "ductledger.error/1");
}

struct Bad {
  const char* name;
  std::string text;
  const char* says;
};

// Each has one cause and gets a message in the file, with its line; none gets through.
TEST(OwnCatalogue, BadFilesAreAnsweredInTheirPlace) {
  std::string deep = "kind: cap\ndata: ";
  deep.append(100, '[');
  deep.append(100, ']');
  std::string bomb = "a: &a [x, x]\n";
  for (char c = 'b'; c < 'k'; ++c) {
    bomb += std::string(1, c) + ": &" + c + " [*" + char(c - 1) + ", *" + char(c - 1) + "]\n";
  }
  const std::string good = cap("my-cap", "1");
  const std::vector<Bad> all{
      {"bomb", bomb, "anchor"},
      {"deep", deep, "deep"},
      {"large", "# " + std::string((4U << 20U) + 10U, 'x') + "\n" + good, "larger than 4 MiB"},
      {"nul", std::string("kind: cap\n\0", 11), "own.yaml:2"},
      {"not utf-8", "kind: \xff\n", "UTF-8"},
      {"a layout", "layout: 1\nrun: {pieces: []}\n", "own.yaml:1"},
      {"empty", "", "own.yaml"},
      {"a list", "- a\n- b\n", "expected a fitting"},
      {"duplicate key", good + "kind: cap\n", "own.yaml:12"},
      {"tag", "kind: !!binary cap\n", "own.yaml:1"},
      {"two documents", good + "---\n" + good, "own.yaml:12"},
      {"unclosed quote", "kind: \"cap\n", "own.yaml:1"},
      {"negative spread", cap("my-cap", "x"), "own.yaml:11"},
      {"infinite", cap("my-cap", ".inf"), "own.yaml:11"},
      {"unknown key", good + "colour: red\n", "own.yaml:12"},
  };
  for (const Bad& bad : all) {
    const Folder folder;
    (void)folder.write("own.yaml", bad.text);
    const auto outcome = check(folder.write("a.yaml", layout_of_catalogue("own.yaml")));
    EXPECT_EQ(outcome.exit, 2) << bad.name;
    EXPECT_TRUE(holds(outcome.err, bad.says)) << bad.name << ": " << outcome.err.substr(0, 600);
    EXPECT_FALSE(holds(outcome.err, "this is a bug")) << bad.name;
  }
}

TEST(OwnCatalogue, AFolderWithoutCataloguesSaysSo) {
  const Folder folder;
  std::filesystem::create_directories(folder.path("own"));
  const auto outcome = check(folder.write("a.yaml", layout_of_catalogue("own")));
  EXPECT_EQ(outcome.exit, 2);
  EXPECT_TRUE(holds(outcome.err, "holds no file")) << outcome.err;
}

TEST(OwnCatalogue, APipeIsNoCatalogue) {
  const Folder folder;
  const auto outcome = check(folder.write("a.yaml", layout_of_catalogue("", "wall-hood-flap")),
                             {"--catalogue", "/dev/null"});
  EXPECT_EQ(outcome.exit, 2);
  EXPECT_TRUE(holds(outcome.err, "neither a file nor a folder")) << outcome.err;
}

}  // namespace
}  // namespace ductledger::test
