#include "layout/spoken_speed.hpp"

#include <algorithm>
#include <array>
#include <cctype>

#include "base/text.hpp"

namespace ductledger::layout {
namespace {

/// Words that do not stand before `speed`.
constexpr std::array<std::string_view, 6> kNoAttribute{"on", "off", "run", "fan", "auto", "stage"};

bool is_attribute(std::string_view word) {
  const auto is_letter = [](char c) {
    return std::isalpha(static_cast<unsigned char>(c)) != 0 || c == '-';
  };
  return word.size() > 1 && std::ranges::all_of(word, is_letter) &&
         std::ranges::find(kNoAttribute, base::canonical_word(word)) == kNoAttribute.end();
}

}  // namespace

std::string spoken_speed(std::string_view name) {
  std::string spoken(name);
  if (base::canonical_word(name).find("speed") != std::string::npos) {
    return spoken;
  }
  return is_attribute(name) ? spoken + " speed" : "speed " + spoken;
}

}  // namespace ductledger::layout
