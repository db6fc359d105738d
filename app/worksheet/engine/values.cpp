#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "base/fault.hpp"
#include "duct/section_text.hpp"
#include "edit/edit.hpp"
#include "engine_internal.hpp"
#include "layout/starter.hpp"
#include "units/constants.hpp"
#include "units/quantity_text.hpp"

// Texts that a person types into a field, and the first layout made of them.
namespace ductledger::engine {
namespace {

using units::Dimension;

constexpr double kSixteenthM = units::kMetresPerInch / 16.0;
constexpr double kFiveMillimetresM = 0.005;

base::Diagnostic diagnostic_of(const units::TextFault& fault) {
  return base::fault(fault.rule, fault.message, fault.help);
}

/// What a person answered; faults keep the field they are of.
class Answers {
 public:
  explicit Answers(const Json& request) : request_(request) {}

  /// The text of a field, read as a quantity; empty where it is, or is no such quantity.
  std::string quantity(const char* group, const char* key, Dimension dimension) {
    const std::string text = this->text(group, key);
    if (text.empty()) {
      return {};
    }
    const auto read = units::parse_quantity(text, dimension);
    if (const auto* fault = std::get_if<units::TextFault>(&read)) {
      refuse(group, key, fault->message, fault->help);
      return {};
    }
    return text;
  }
  std::string section(const char* group, const char* key) {
    const std::string text = this->text(group, key);
    if (text.empty()) {
      return {};
    }
    const auto read = duct::parse_section(text);
    if (const auto* fault = std::get_if<units::TextFault>(&read)) {
      refuse(group, key, fault->message, fault->help);
      return {};
    }
    return text;
  }
  [[nodiscard]] std::string text(const char* group, const char* key) const {
    const auto found = request_.find(group);
    return found != request_.end() && found->is_object() ? text_of(*found, key) : std::string();
  }
  void refuse(const char* group,
              const char* key,
              const std::string& message,
              const std::string& help) {
    errors_.push_back({{"field", fmt::format("{}.{}", group, key)},
                       {"rule", "bad-answer"},
                       {"level", "error"},
                       {"message", message},
                       {"help", help}});
  }
  [[nodiscard]] const Json& errors() const { return errors_; }

 private:
  const Json& request_;
  Json errors_ = Json::array();
};

/// The way out, as pieces; each length as measured, else one of ours that is told to be so.
struct Way {
  std::string heading;
  std::vector<std::string> pieces;
};

Way way_out(const std::string& outlet, Answers& answers) {
  const auto length = [&](const char* key, const char* otherwise) {
    const std::string stated = answers.quantity("measured", key, Dimension::length);
    return stated.empty() ? fmt::format("{}   # assumed: measure it", otherwise) : stated;
  };
  if (outlet == "roof") {
    return {"up", {"straight: " + length("up", "8 ft"), "cap: roof-hood-flap"}};
  }
  if (outlet == "soffit") {
    return {"up",
            {"straight: " + length("up", "4 ft"),
             "elbow: {type: adjustable, turn: left}",
             "straight: " + length("sideways", "9 ft"),
             "elbow: {type: adjustable, turn: back}",
             "straight: " + length("out", "1 ft"),
             "cap: wall-hood-flap"}};
  }
  if (outlet == "recirculate") {
    return {"up",
            {"filter: {type: carbon, face: 12 x 10 in, pressure: 0.12 inH2O, at: 200 cfm, "
             "law: linear}   # assumed: its manufacturer states it",
             "straight: " + length("up", "1 ft"),
             "elbow: {type: adjustable, turn: front}",
             "cap: grille"}};
  }
  return {"back", {"straight: " + length("out", "2 ft"), "cap: wall-hood-flap"}};
}

}  // namespace

Json length_object(const Json& request) {
  const std::string text = text_of(request, "text");
  const auto read = units::parse_quantity(text, Dimension::length);
  if (const auto* fault = std::get_if<units::TextFault>(&read)) {
    return refused({diagnostic_of(*fault)});
  }
  double metres = std::get<double>(read);
  const auto by = request.find("by");
  const double steps = by != request.end() && by->is_number() ? by->get<double>() : 0.0;
  if (steps != 0.0) {
    const double step = system_of(request) == units::System::si ? kFiveMillimetresM : kSixteenthM;
    // From one mark of the tape to the next, wherever it stood between them.
    const double mark = metres / step;
    const double from = steps > 0.0 ? std::floor(mark + 1e-6) : std::ceil(mark - 1e-6);
    metres = std::max(step, (from + steps) * step);
  }
  return {{"value", steps == 0.0 ? text : edit::length_value(metres)}, {"metres", metres}};
}

Json quantity_object(const Json& request) {
  const std::string name = text_of(request, "dimension");
  const std::string text = text_of(request, "text");
  if (name == "section") {
    const auto read = duct::parse_section(text);
    if (const auto* fault = std::get_if<units::TextFault>(&read)) {
      return refused({diagnostic_of(*fault)});
    }
    return {{"value", text}};
  }
  struct Known {
    const char* name;
    Dimension dimension;
  };
  constexpr std::array kKnown{Known{"length", Dimension::length},
                              Known{"airflow", Dimension::airflow},
                              Known{"pressure", Dimension::pressure},
                              Known{"temperature", Dimension::temperature},
                              Known{"velocity", Dimension::velocity},
                              Known{"angle", Dimension::angle},
                              Known{"ratio", Dimension::ratio},
                              Known{"number", Dimension::number}};
  for (const Known& one : kKnown) {
    if (name == one.name) {
      const auto read = units::parse_quantity(text, one.dimension);
      if (const auto* fault = std::get_if<units::TextFault>(&read)) {
        return refused({diagnostic_of(*fault)});
      }
      return {{"value", text}, {"si", std::get<double>(read)}};
    }
  }
  return {{"fault", "no such dimension"}};
}

Json starter_object(const Json& request) {
  const std::string outlet = text_of(request, "outlet");
  Answers answers(request);
  const std::string kind = answers.text("label", "kind");
  const std::string airflow = answers.quantity("label", "airflow", Dimension::airflow);
  const std::string pressure = answers.quantity("label", "pressure", Dimension::pressure);
  const std::string collar = answers.section("label", "collar");
  const std::string required = answers.quantity("measured", "required", Dimension::airflow);
  const Way way = way_out(outlet, answers);
  if (!answers.errors().empty()) {
    return {{"errors", answers.errors()}};
  }
  const std::string section = collar.empty() ? "6 in round" : collar;
  std::string text =
      "# Begun from three answers. Lines that say \"assumed\" are not yours yet.\nlayout: 1\n";
  text += fmt::format("title: {}\n\n",
                      outlet == "roof"          ? "Up through the ceiling and the roof"
                      : outlet == "soffit"      ? "Up into a soffit and sideways"
                      : outlet == "recirculate" ? "Back into the room"
                                                : "Straight out through the wall");
  text += fmt::format("appliance:\n  kind: {}\n  collar: {}{}\n",
                      kind.empty() ? "exhaust" : kind,
                      section,
                      collar.empty() ? "   # assumed: read it off the label" : "");
  if (!required.empty()) {
    text += fmt::format("  required_airflow: {}\n", required);
  }
  if (!airflow.empty()) {
    text += pressure.empty()
                ? fmt::format(
                      "\nfan:\n  blower: generic   # the shape of its curve is assumed\n"
                      "  free_air: {}\n",
                      airflow)
                : fmt::format(
                      "\nfan:\n  speeds:\n    - name: high\n"
                      "      rated: [{{airflow: {}, pressure: {}}}]\n",
                      airflow,
                      pressure);
  }
  text += fmt::format("\nrun:\n  section: {}\n  heading: {}\n", section, way.heading);
  if (outlet == "recirculate") {
    text += "  discharge: room\n";
  }
  text += "  pieces:\n";
  for (const std::string& piece : way.pieces) {
    text += fmt::format("    - {}\n", piece);
  }
  return {{"text", text}};
}

}  // namespace ductledger::engine
