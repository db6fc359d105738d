#include <algorithm>
#include <string>
#include <utility>

#include "findings/checks/list_internal.hpp"
#include "layout/piece_number.hpp"

namespace ductledger::findings {
namespace {

[[nodiscard]] std::string default_words(const fitting::DefaultTaken& taken) {
  std::string name = taken.parameter;
  std::replace(name.begin(), name.end(), '_', ' ');
  return literal(name);
}

[[nodiscard]] units::Message::Value default_value(const fitting::DefaultTaken& taken) {
  if (taken.unit == "m") {
    return length(taken.value);
  }
  if (taken.unit == "rad") {
    return {taken.value, units::Dimension::angle};
  }
  if (taken.unit == "Pa") {
    return pressure(taken.value);
  }
  return number(taken.value);
}

std::vector<Finding> defaults_taken(const result::Case& subject) {
  std::vector<units::Message> taken;
  for (const layout::DefaultTaken& one : subject.layout->defaults) {
    const std::string words = literal(one.what) + ' ' + literal(one.value);
    const bool told = std::any_of(taken.begin(), taken.end(), [&](const units::Message& known) {
      return known.pattern == words;
    });
    if (!told) {
      taken.push_back({words, {}});
    }
  }
  // Pieces that took the same default are named together, in the order of the first of them.
  const auto add = [&](const units::Message& what, const solve::CompiledPiece& piece) {
    const std::string where =
        piece.piece ? std::to_string(layout::piece_number(*piece.piece)) : piece.word;
    for (units::Message& known : taken) {
      const bool same = known.pattern.starts_with(what.pattern) &&
                        known.values.size() == what.values.size() &&
                        std::equal(known.values.begin(),
                                   known.values.end(),
                                   what.values.begin(),
                                   [](const auto& a, const auto& b) { return a.si == b.si; });
      if (same) {
        known.pattern += ", " + where;
        return;
      }
    }
    taken.push_back(what);
    taken.back().pattern += where;
  };
  for (const solve::CompiledPiece& piece : subject.run->pieces) {
    if (!piece.fitting || !piece.piece) {
      continue;
    }
    const std::string kind = literal(piece.word);
    if (piece.fitting->type_defaulted) {
      add({kind + " type " + literal(piece.fitting->type) + " at piece ", {}}, piece);
    }
    for (const fitting::DefaultTaken& one : piece.fitting->defaults) {
      add({kind + ' ' + default_words(one) + " {} at piece ", {default_value(one)}}, piece);
    }
  }
  if (taken.empty()) {
    return {};
  }
  units::Message message{"assumed: ", {}};
  for (std::size_t i = 0; i < taken.size(); ++i) {
    append(message, {i == 0 ? "" : "; ", {}});
    append(message, taken[i]);
  }
  Finding found = finding(
      kDefaultsTaken, {.level = Level::note, .message = std::move(message), .span = {.line = 0}});
  found.items = std::move(taken);
  return {std::move(found)};
}

}  // namespace

const Check kDefaultsTaken{
    .code = "defaults-taken",
    .title = "values the file leaves out",
    .what = "everything that the calculation took because the layout does not state it",
    .why = "an assumption that does not apply changes the answer, and nothing in the file shows it",
    .instead = "correct any that do not apply",
    .source = "layout format and catalogue defaults",
    .check = defaults_taken,
};

}  // namespace ductledger::findings
