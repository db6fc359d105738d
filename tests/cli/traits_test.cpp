#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <regex>
#include <string>

#include "cli/harness.hpp"

// A fitting is what its file says, not what it is called: a copy under an invented name gives the
// same answers, findings, drawings and bill.
namespace ductledger::test {
namespace {

struct Copied {
  const char* file;  ///< below fittings/
  const char* type;
  const char* piece;  ///< `{}` stands for the type
};

std::string replaced(std::string text, const std::string& from, const std::string& to) {
  for (std::size_t at = text.find(from); at != std::string::npos; at = text.find(from, at)) {
    text.replace(at, from.size(), to);
    at += to.size();
  }
  return text;
}

/// A hood whose run turns, passes a damper and ends in a cap; `piece` stands in the place of its
/// kind, the others are built in.
std::string layout_of_type(const Copied& of, const std::string& type) {
  const std::string kind = std::string(of.file).substr(0, std::string(of.file).find('/'));
  const std::string own = "    - " + replaced(of.piece, "{}", type) + "\n";
  const auto either = [&](const char* is, const std::string& other) {
    return kind == is ? own : other;
  };
  return "layout: 1\n"
         "site: {wind: 15 mph, outdoor: {temperature: 30 degF}}\n"
         "appliance:\n  kind: range-hood\n  collar: 6 in round\n  collar_at: {above_floor: 80 in, "
         "from_wall: 8 in}\n"
         "  includes: [filter]\n  required_airflow: 200 cfm\n"
         "  cooking: {fuel: gas, width: 30 in, mount: wall, hood_height: 28 in}\n"
         "fan: {speeds: [{name: high, curve: {airflow: 0 150 300 400 cfm, pressure: 1.2 1 0.5 0 "
         "inH2O}}]}\n"
         "run:\n  heading: up\n  pieces:\n" +
         (kind == "entry" || kind == "filter" || kind == "screen" ? own : std::string()) +
         "    - straight: 4 ft\n" + either("elbow", "    - elbow: {type: gored-5, turn: back}\n") +
         "    - straight: 2 in\n"
         "    - elbow: {type: gored-3, turn: up}\n    - straight: 3 ft\n" +
         either("transition", "") + either("damper", "") +
         "    - elbow: {type: gored-3, turn: back}\n" +
         "    - straight: {length: 6 ft, through: wall}\n" +
         either("cap", "    - cap: wall-hood-flap\n") +
         "house:\n  floor_area: 1800 ft2\n  leakage: {airflow: 900 cfm, at: 50 Pa}\n"
         "  combustion: [{kind: natural-draft-water-heater, inside_air_barrier: true}]\n"
         "  makeup:\n    kind: duct\n    run:\n      section: 8 in round\n      pieces:\n"
         "        - entry: louver\n" +
         (kind == "damper" ? "    " + own : std::string()) +
         "        - straight: 4 ft\n        - cap: {type: grille}\n";
}

/// The built-in file, or a copy of it with another type.
std::string catalogue(const Copied& of, const std::string& type) {
  const std::string text =
      Folder::contents(std::string(DUCTLEDGER_SOURCE_DIR) + "/fittings/" + of.file + ".yaml");
  if (type == of.type) {
    return text;
  }
  // No default of its own, so that the copy is taken by its name alone.
  return std::regex_replace(
      replaced(text, std::string("\ntype: ") + of.type + "\n", "\ntype: " + type + "\n"),
      std::regex("\ndefault_for: [^\n]*"),
      "");
}

/// Without what names the files.
std::string plain(std::string text, const std::string& name, const std::string& type) {
  text = replaced(std::move(text), name, type);
  return std::regex_replace(std::move(text), std::regex("\"[0-9a-f]{64}\"|(own|built)\\.yaml"), "");
}

/// Without bands of differences: the run before and the change share the errors of one catalogue
/// entry, and a copy is an entry of its own.
std::string without_bands(const std::string& text) {
  static const std::regex kBand(
      R"("(gain_band_m3_s": \[[^\]]*\]|airflow_(low|high)_m3_s": [^,]*))");
  return std::regex_replace(text, kBand, "");
}

/// As long as the name it stands for, so that columns line up.
std::string invented(const Copied& of) {
  return std::regex_replace(of.type, std::regex("[a-z]"), "z");
}

class SameUnderAnotherName : public testing::TestWithParam<Copied> {};

TEST_P(SameUnderAnotherName, AnswersFindingsAdviceAndBill) {
  const Copied& of = GetParam();
  const std::string name = invented(of);
  const Folder folder;
  (void)folder.write("own.yaml", catalogue(of, name));
  (void)folder.write("built.yaml", catalogue(of, of.type));
  const std::string mine =
      folder.write("a.yaml", "catalogue: own.yaml\n" + layout_of_type(of, name));
  const std::string ours =
      folder.write("b.yaml", "catalogue: built.yaml\n" + layout_of_type(of, of.type));
  const std::vector<std::vector<std::string>> calls{
      {"check", "--json", "--fail-on", "never"},
      {"check", "--advise", "--json", "--fail-on", "never"},
      {"review", "--fail-on", "never", "--json"},
      {"parts", "--json"},
      {"commission", "--json"},
  };
  for (const auto& call : calls) {
    const bool advises = call[1] == "--advise";
    const auto shown = [&](const std::string& text, const char* file) {
      const std::string out = replaced(plain(text, name, of.type), file, "");
      return advises ? without_bands(out) : out;
    };
    std::vector<std::string> with_mine = call;
    std::vector<std::string> with_ours = call;
    with_mine.insert(with_mine.begin() + 1, mine);
    with_ours.insert(with_ours.begin() + 1, ours);
    const Outcome a = run(with_mine);
    const Outcome b = run(with_ours);
    EXPECT_EQ(a.exit, b.exit) << a.err << b.err;
    EXPECT_LT(b.exit, 2) << b.err;
    EXPECT_EQ(shown(a.out, "a.yaml"), shown(b.out, "b.yaml")) << call.front();
    EXPECT_EQ(shown(a.err, "a.yaml"), shown(b.err, "b.yaml"));
  }
}

/// The drawing without its labels and places: a label is the name, and moves what stands beside it.
std::string signs(const std::string& svg) {
  static const std::regex kLabel(R"(<(text|tspan|title|desc)[^>]*>[^<]*|[-0-9.]+)");
  return std::regex_replace(svg, kLabel, "");
}

TEST_P(SameUnderAnotherName, Drawing) {
  const Copied& of = GetParam();
  const std::string name = invented(of);
  const Folder folder;
  (void)folder.write("own.yaml", catalogue(of, name));
  const auto drawn = [&](const std::string& file, const std::string& text) {
    return signs(run({"report", folder.write(file, text), "--svg", "route", "-o", "-"}).out);
  };
  const std::string ours = drawn("b.yaml", layout_of_type(of, of.type));
  EXPECT_NE(ours.find("<path"), std::string::npos);
  EXPECT_EQ(drawn("a.yaml", "catalogue: own.yaml\n" + layout_of_type(of, name)), ours);
}

INSTANTIATE_TEST_SUITE_P(
    EachKind,
    SameUnderAnotherName,
    testing::Values(
        Copied{"cap/roof-hood-flap", "roof-hood-flap", "cap: {}"},
        Copied{"cap/conical-rain-cap-round", "conical-rain-cap", "cap: {}"},
        Copied{"cap/wall-hood-flap", "wall-hood-flap", "cap: {}"},
        Copied{"cap/soffit-vent", "soffit-vent", "cap: {}"},
        Copied{"cap/louver", "louver", "cap: {}"},
        Copied{"cap/grille", "grille", "cap: {}"},
        Copied{"damper/backdraft-flap", "backdraft-flap", "damper: {}"},
        Copied{"damper/barometric", "barometric", "damper: {}"},
        Copied{"damper/motorised", "motorised", "damper: {}"},
        Copied{"damper/butterfly-round", "butterfly", "damper: {}"},
        Copied{"screen/mesh", "mesh", "screen: {}"},
        Copied{"elbow/mitered-round", "mitered", "elbow: {type: {}, turn: back}"},
        Copied{"elbow/adjustable-round", "adjustable", "elbow: {type: {}, turn: back}"},
        Copied{"elbow/smooth-radius-round",
               "smooth-radius",
               "elbow: {type: {}, turn: back, radius_ratio: 1.5}"},
        Copied{"elbow/flexible-bend-round", "flexible-bend", "elbow: {type: {}, turn: back}"},
        Copied{"transition/abrupt-expansion", "abrupt", "transition: {type: {}, to: 8 in round}"},
        Copied{"transition/gradual-expander-round",
               "gradual",
               "transition: {type: {}, to: 8 in round, length: 8 in}"},
        Copied{"filter/mesh", "mesh", "filter: {type: {}, face: 20 x 12 in}"},
        Copied{"entry/flanged", "flanged", "entry: {}"}),
    [](const auto& of) {
      std::string name = of.param.file;
      for (char& c : name) {
        c = std::isalnum(static_cast<unsigned char>(c)) != 0 ? c : '_';
      }
      return name;
    });

// Invented.
std::string bare(const std::string& kind, const std::string& traits) {
  return "sources: {mine: {title: an invented sheet, status: seen}}\n"
         "kind: " +
         kind + "\ntype: my-own\ntitle: One of mine\nuse: a test\n" + traits +
         "sections: [any]\nreference: upstream\nincludes_friction: yes\n"
         "uncertainty: {u: 0.2, basis: invented}\n"
         "data: [{key: mine, role: default, source: mine, status: seen, value: 3}]\n";
}

std::string windy(const std::string& piece) {
  return "layout: 1\ncatalogue: own.yaml\nsite: {wind: 20 mph}\n"
         "appliance: {kind: range-hood, collar: 8 in round, includes: []}\n"
         "fan: {speeds: [{name: high, curve: {airflow: 0 300 600 cfm, pressure: 1 0.7 0 inH2O}}]}\n"
         "run:\n  pieces:\n    - straight: 10 ft\n" +
         piece;
}

double airflow(const Outcome& outcome) {
  const auto check = nlohmann::json::parse(outcome.out, nullptr, false);
  return check.is_object() ? check["speeds"][0]["operating_point"]["airflow_m3_s"].get<double>()
                           : -1.0;
}

TEST(OwnFitting, WithoutTraitsSaysWhatIsMissingAndWhatFollows) {
  for (const char* kind : {"cap", "damper", "elbow"}) {
    const Folder folder;
    (void)folder.write("own.yaml", bare(kind, ""));
    const std::string piece =
        std::string("    - ") + kind +
        (std::string(kind) == "elbow" ? ": {type: my-own, angle: 90 deg}\n" : ": my-own\n");
    const Outcome outcome =
        run({"check", folder.write("a.yaml", windy(piece)), "--fail-on", "never", "--json"});
    EXPECT_EQ(outcome.exit, 0);
    const std::string key = std::string(kind) == "elbow" ? "make" : "flap";
    EXPECT_NE(outcome.out.find("`my-own` does not state `" + key + "`"), std::string::npos)
        << outcome.out;
    EXPECT_NE(outcome.out.find("add there `" + key + ": "), std::string::npos) << outcome.out;
  }
}

TEST(OwnFitting, KeepsItsRoofInWind) {
  const Folder folder;
  (void)folder.write("own.yaml", bare("cap", "outlet: roof\nflap: gravity\n"));
  const Outcome roof =
      run({"check", folder.write("a.yaml", windy("    - cap: my-own\n")), "--json"});
  const Outcome same =
      run({"check",
           folder.write("b.yaml", windy("    - cap: {type: my-own, wind_coefficient: 0}\n")),
           "--json"});
  EXPECT_GT(airflow(roof), 0.0) << roof.err;
  EXPECT_DOUBLE_EQ(airflow(roof), airflow(same));
  (void)folder.write("own.yaml", bare("cap", "outlet: wall\nflap: gravity\n"));
  const Outcome wall =
      run({"check", folder.write("c.yaml", windy("    - cap: my-own\n")), "--json"});
  EXPECT_LT(airflow(wall), airflow(roof));
}

TEST(OwnFitting, CanBeTheDefaultOfItsPlace) {
  const Folder folder;
  (void)folder.write("own.yaml", bare("cap", "outlet: wall\nflap: none\ndefault_for: [any]\n"));
  const Outcome outcome =
      run({"check", folder.write("a.yaml", windy("    - cap: {}\n")), "--json"});
  EXPECT_NE(outcome.out.find("\"type\": \"my-own\""), std::string::npos) << outcome.err;
}

TEST(OwnFitting, RefusesTraitsThatItsKindCannotHave) {
  const Folder folder;
  const auto refused = [&](const std::string& kind, const std::string& traits) {
    (void)folder.write("own.yaml", bare(kind, traits));
    const Outcome outcome = run({"check", folder.write("a.yaml", windy("    - cap: my-own\n"))});
    EXPECT_EQ(outcome.exit, 2);
    return outcome.err;
  };
  EXPECT_NE(refused("cap", "outlet: rof\n").find("did you mean `roof`"), std::string::npos);
  EXPECT_NE(refused("damper", "flap: none\n").find("flap of a damper"), std::string::npos);
  EXPECT_NE(refused("screen", "make: smooth\n").find("`make`"), std::string::npos);
  EXPECT_NE(refused("cap", "outlet: any\ndefault_for: [any]\n").find("one place"),
            std::string::npos);
}

}  // namespace
}  // namespace ductledger::test
