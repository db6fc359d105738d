#include <gtest/gtest.h>
#include <sys/resource.h>

#include <csignal>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "cli/harness.hpp"

// What reaches files and terminals: no input is lost, nothing is left behind, no text steers a
// terminal.
namespace ductledger::test {
namespace {

using Json = nlohmann::json;

// Invented, all of it.
const std::string kCap =
    "sources:\n  mine: {title: an invented sheet, status: seen}\n"
    "kind: cap\ntype: my-cap\ntitle: A cap\nuse: a test\nsections: [any]\n"
    "reference: upstream\nincludes_friction: yes\nuncertainty: {u: 0.2, basis: invented}\n"
    "data: [{key: mine, role: default, source: mine, status: seen, value: 1.4}]\n";
const std::string kRules =
    "rule_set: my-county\ntitle: An invented county\nrules:\n"
    "  - rule: roof-outlet\n    title: outlet above the roof\n    topic: termination\n"
    "    requirement: An outlet on a roof stands above it.\n"
    "    limits: [{fact: run.termination.above_roof, min: 12 in}]\n    mend: a taller curb\n";
const std::string kSizes = "sizes: 1\nstock: [9 in round]\n";
const std::string kReadings = "readings: 1\nmeasurements:\n  - {speed: high, airflow: 200 cfm}\n";

std::string layout_with_cap(const std::string& keys = {},
                            const std::string& cap = "wall-hood-flap") {
  return "layout: 1\n" + keys +
         "appliance: {collar: 6 in round, required_airflow: 100 cfm}\n"
         "fan: {speeds: [{name: high, curve: {airflow: 0 200 400 cfm, pressure: 1 0.8 0 "
         "inH2O}}]}\n"
         "run:\n  material: galvanized-steel\n  pieces:\n    - straight: 10 ft\n    - cap: " +
         cap + "\n";
}

/// A call whose output would land on one of the files it reads.
struct Onto {
  std::vector<std::string> words;  ///< names of the folder begin with `%`
  std::string output;
  std::string input = {};
};

TEST(Output, NeverLandsOnAFileThatIsRead) {
  const std::vector<Onto> all{
      {{"check", "%a.yaml"}, "%a.yaml"},
      {{"check", "%a.yaml", "--json"}, "%a.yaml"},
      {{"check", "%a.yaml"}, "%./a.yaml"},
      {{"check", "%a.yaml"}, "%soft.yaml"},
      {{"check", "%a.yaml"}, "%hard.yaml"},
      {{"check", "%a.yaml"}, "%door/a.yaml"},
      {{"check", "%soft.yaml"}, "%a.yaml"},
      {{"check", "%b.yaml", "%a.yaml"}, "%a.yaml"},
      {{"check", "-"}, "%a.yaml", "%a.yaml"},
      {{"check", "%b.yaml", "--catalogue", "%cap.yaml"}, "%cap.yaml"},
      {{"check", "%named.yaml"}, "%cap.yaml"},
      {{"check", "%named.yaml"}, "%rules.yaml"},
      {{"review", "%a.yaml"}, "%a.yaml"},
      {{"review", "%a.yaml", "--request"}, "%a.yaml"},
      {{"review", "%a.yaml", "--rules", "%rules.yaml"}, "%rules.yaml"},
      {{"review", "%named.yaml"}, "%rules.yaml"},
      {{"compare", "%a.yaml", "%named.yaml"}, "%named.yaml"},
      {{"size", "%a.yaml", "--sizes", "%sizes.yaml"}, "%sizes.yaml"},
      {{"measured", "%a.yaml", "--readings", "%site.yaml"}, "%site.yaml"},
      {{"report", "%a.yaml", "--review"}, "%a.yaml"},
      {{"report", "%a.yaml", "--svg", "route"}, "%a.yaml"},
      {{"parts", "%a.yaml", "--format", "csv"}, "%a.yaml"},
      {{"commission", "%a.yaml"}, "%a.yaml"},
      {{"fittings", "list", "--catalogue", "%cap.yaml"}, "%cap.yaml"},
  };
  for (const Onto& one : all) {
    const Folder folder;
    (void)folder.write("a.yaml", layout_with_cap());
    (void)folder.write("b.yaml", layout_with_cap("title: another\n"));
    (void)folder.write("named.yaml",
                       layout_with_cap("catalogue: cap.yaml\nrules: rules.yaml\n", "my-cap"));
    (void)folder.write("cap.yaml", kCap);
    (void)folder.write("rules.yaml", kRules);
    (void)folder.write("sizes.yaml", kSizes);
    (void)folder.write("site.yaml", kReadings);
    std::filesystem::create_symlink(folder.path("a.yaml"), folder.path("soft.yaml"));
    std::filesystem::create_hard_link(folder.path("a.yaml"), folder.path("hard.yaml"));
    std::filesystem::create_directory_symlink(folder.path("."), folder.path("door"));
    const auto real = [&](const std::string& word) {
      return word.rfind('%', 0) == 0 ? folder.path(word.substr(1)) : word;
    };
    Call call;
    for (const std::string& word : one.words) {
      call.arguments.push_back(real(word));
    }
    call.arguments.insert(call.arguments.end(), {"-o", real(one.output)});
    call.input_file = one.input.empty() ? "" : real(one.input);
    const std::string before = Folder::contents(real(one.output));
    const auto names = folder.names();
    const Outcome outcome = run(call);
    std::string said;
    for (const std::string& word : call.arguments) {
      said += word + ' ';
    }
    EXPECT_EQ(outcome.exit, 2) << said << outcome.err;
    EXPECT_NE(outcome.err.find("would overwrite"), std::string::npos) << said << outcome.err;
    EXPECT_EQ(Folder::contents(real(one.output)), before) << said;
    EXPECT_EQ(folder.names(), names) << said;
  }
}

TEST(Output, AFileThatCannotBeWrittenLeavesNothingBehind) {
  const Folder folder;
  const std::string path = folder.write("a.yaml", layout_with_cap());
  const std::string page = folder.write("a.html", "before");
  Call call{{"report", path, "-o", page}};
  call.largest_file = 4096;
  const Outcome outcome = run(call);
  EXPECT_EQ(outcome.exit, 2) << outcome.err;
  EXPECT_EQ(Folder::contents(page), "before");
  EXPECT_EQ(folder.names(), (std::vector<std::string>{"a.html", "a.yaml"}));
}

TEST(Output, ASignalLeavesNoTemporaryFileBehind) {
  const Folder folder;
  const std::string path = folder.write("a.yaml", layout_with_cap());
  for (const int signal : {SIGINT, SIGTERM, SIGHUP}) {
    Call call{{"report", path, "-o", folder.path("a.html")}};
    call.signal_at_write = signal;
    call.watched = folder.path("");
    (void)run(call);
    for (const std::string& name : folder.names()) {
      EXPECT_TRUE(name == "a.yaml" || name == "a.html") << name << " after signal " << signal;
    }
    std::filesystem::remove(folder.path("a.html"));
  }
}

TEST(Output, AFigureWithoutEndIsRefusedAtItsPlace) {
  struct Case {
    std::string was;
    std::string is;
    std::string place;
  };
  const std::vector<Case> all{
      {"- straight: 10 ft", "- loss: {coefficient: 1e308}", "a.yaml:7:"},
      {"- straight: 10 ft", "- loss: {pressure: 1 inH2O, at: 1e-200 cfm}", "a.yaml:7:"},
      {"0 200 400 cfm", "0 200 1e300 cfm", "a.yaml:3:"},
      {"1 0.8 0 inH2O", "1e300 0.8 0 inH2O", "a.yaml:3:"},
      {"- cap: wall-hood-flap", "- cap: my-cap", "a.yaml:8:"},
  };
  for (const Case& one : all) {
    const Folder folder;
    std::string text = layout_with_cap();
    text.replace(text.find(one.was), one.was.size(), one.is);
    std::string cap = kCap;
    cap.replace(cap.find("1.4"), 3, "1e308");
    const std::string path = folder.write("a.yaml", text);
    const std::string catalogue = folder.write("cap.yaml", cap);
    for (const char* command : {"check", "review", "size", "compare", "report"}) {
      std::vector<std::string> words{command, path, "--catalogue", catalogue};
      if (std::string(command) == "compare") {
        words.insert(words.begin() + 2, folder.write("b.yaml", layout_with_cap()));
      }
      const Outcome outcome = run(words);
      EXPECT_EQ(outcome.exit, 2) << command << one.is << outcome.out;
      EXPECT_EQ(outcome.out.find(": met"), std::string::npos) << command << one.is;
      EXPECT_NE(outcome.err.find(one.place), std::string::npos) << command << outcome.err;
    }
  }
}

/// Whether a text holds what steers a terminal or hides what is written.
std::string disturbing(const std::string& text) {
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto byte = static_cast<unsigned char>(text[i]);
    const std::string two = text.substr(i, 2);
    const std::string three = text.substr(i, 3);
    if ((byte < 0x20 && text[i] != '\n' && text[i] != '\r' && text[i] != '\t') || byte == 0x7F ||
        (byte == 0xC2 && i + 1 < text.size() && static_cast<unsigned char>(text[i + 1]) < 0xA0) ||
        three == "\u202e" || three == "\u2066" || three == "\u200f" || three == "\u2028" ||
        three == "\ufeff" || two == "\u061c") {
      return text.substr(i < 60 ? 0 : i - 60, 100);
    }
  }
  return {};
}

TEST(Output, NoTextOfAFileSteersTheTerminal) {
  // Escape, bell, a C1 sequence, direction and line break, as a double-quoted YAML text.
  const std::string evil = "\\e[2J\\a\\u009b31m\\u202e\\u2066\\u200f\\u2028\\ufeff\\x7f\\n\\tmet";
  const auto text = [&](const std::string& lead) { return "\"" + lead + evil + "\""; };
  const Folder folder;
  std::string rules = kRules;
  const auto put = [](std::string& where, const std::string& was, const std::string& is) {
    where.replace(where.find(was), was.size(), is);
  };
  put(rules, "An invented county", text("county"));
  put(rules, "outlet above the roof", text("outlet"));
  put(rules, "An outlet on a roof stands above it.", text("An outlet"));
  put(rules, "a taller curb", text("curb"));
  (void)folder.write("rules.yaml", rules);
  std::string cap = kCap;
  put(cap, "title: an invented sheet", "title: " + text("sheet"));
  put(cap, "title: A cap", "title: " + text("cap"));
  put(cap, "use: a test", "use: " + text("use"));
  put(cap, "basis: invented", "basis: " + text("basis"));
  (void)folder.write("cap.yaml", cap);
  const std::string path = folder.write(
      "a.yaml",
      "layout: 1\ntitle: " + text("title") +
          "\ncatalogue: cap.yaml\nrules: [irc-2021, rules.yaml]\n"
          "appliance: {kind: range-hood, collar: 6 in round, required_airflow: 100 cfm}\n"
          "fan: {speeds: [{name: " +
          text("high") +
          ", curve: {airflow: 0 200 400 cfm, pressure: 1 0.8 0 inH2O}}]}\n"
          "run:\n  material: galvanized-steel\n  pieces:\n    - straight: {length: 10 ft, note: " +
          text("note") + "}\n    - loss: {coefficient: 0.2, error: " + text("error") +
          "}\n    - cap: my-cap\n"
          "variants:\n  " +
          text("variant") + ": {section: 7 in round}\n");
  const std::vector<std::vector<std::string>> calls{
      {"check", path, "--verbose"},
      {"check", path, "--advise"},
      {"check", path, "--profile", "ascii"},
      {"check", path, "--json"},
      {"review", path, "--verbose"},
      {"review", path, "--sheet"},
      {"review", path, "--request"},
      {"review", path, "--json"},
      {"compare", path},
      {"compare", path, "--json"},
      {"size", path, "--deliver", "100cfm"},
      {"parts", path},
      {"parts", path, "--format", "csv"},
      {"commission", path},
      {"measured", path, "--airflow", "200cfm"},
      {"report", path, "--review"},
      {"report", path, "--svg", "route"},
      {"explain", "roof-outlet", "--rules", folder.path("rules.yaml")},
      {"fittings", "show", "cap/my-cap", "--catalogue", folder.path("cap.yaml")},
      {"fittings", "list", "cap", "--catalogue", folder.path("cap.yaml")},
      {"check", path, "--speed", "\x1b[2J\xe2\x80\xae"},
      {"check", folder.path("\x1b[2J\xe2\x80\xae.yaml")},
  };
  for (const std::vector<std::string>& words : calls) {
    const Outcome outcome = run(words);
    std::string said;
    for (const std::string& word : words) {
      said += word + ' ';
    }
    EXPECT_EQ(disturbing(outcome.out), "") << said;
    EXPECT_EQ(disturbing(outcome.err), "") << said;
    EXPECT_FALSE(outcome.out.empty() && outcome.err.empty()) << said;
  }
  // What a program reads stays exact.
  const Json exact = Json::parse(run({"check", path, "--json"}).out);
  EXPECT_EQ(exact.value(Json::json_pointer("/layout/title"), ""),
            "title\x1b[2J\a\u009b31m\u202e\u2066\u200f\u2028\ufeff\x7f\n\tmet");
}

}  // namespace
}  // namespace ductledger::test
