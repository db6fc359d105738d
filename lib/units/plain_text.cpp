#include "units/plain_text.hpp"

#include <algorithm>
#include <array>
#include <span>

#include "units/number_text_internal.hpp"

namespace ductledger::units {

namespace {

struct Respelling {
  std::string_view written;
  std::string_view plain;
};
// Fractions take a blank before them where a digit stands there: `3¼` is `3 1/4`.
constexpr auto kFractions = std::to_array<Respelling>({
    {"\u00BC", "1/4"},
    {"\u00BD", "1/2"},
    {"\u00BE", "3/4"},
    {"\u2150", "1/7"},
    {"\u2151", "1/9"},
    {"\u2152", "1/10"},
    {"\u2153", "1/3"},
    {"\u2154", "2/3"},
    {"\u2155", "1/5"},
    {"\u2156", "2/5"},
    {"\u2157", "3/5"},
    {"\u2158", "4/5"},
    {"\u2159", "1/6"},
    {"\u215A", "5/6"},
    {"\u215B", "1/8"},
    {"\u215C", "3/8"},
    {"\u215D", "5/8"},
    {"\u215E", "7/8"},
});
constexpr auto kSpellings = std::to_array<Respelling>({
    {"\u2044", "/"},   {"\u2215", "/"},                     // fraction, division
    {"\u00D7", "x"},   {"\u2715", "x"},   {"\u2A2F", "x"},  // multiplication
    {"\u2032", "'"},   {"\u2018", "'"},   {"\u2019", "'"},    {"\u02B9", "'"},    {"\u00B4", "'"},
    {"\u2033", "\""},  {"\u201C", "\""},  {"\u201D", "\""},   {"\u02BA", "\""},   {"\u00B2", "2"},
    {"\u00B3", "3"},   {"\u2082", "2"},  // m², m³, H₂O
    {"\u00B0", "deg"}, {"\u00BA", "deg"}, {"\u2103", "degC"}, {"\u2109", "degF"}, {"\u00A0", " "},
    {"\u202F", " "},   {"\u2007", " "},   {"\u2009", " "},    {"\u2002", " "},    {"\u2212", "-"},
    {"\u2010", "-"},   {"\u2011", "-"},   {"\u2013", "-"},    {"\u2014", "-"},    {"\u00B7", "."},
    {"\u22C5", "."},   {"\u00B5", "u"},   {"\u03BC", "u"},
});

const Respelling* find_spelling(std::string_view text, std::span<const Respelling> table) {
  const auto found = std::find_if(
      table.begin(), table.end(), [&](const Respelling& r) { return text.starts_with(r.written); });
  return found == table.end() ? nullptr : &*found;
}

}  // namespace

TextFault as_written(TextFault fault, const PlainText& plain) {
  const std::size_t last = plain.origin.size() - 1;
  const std::size_t begin = plain.origin[std::min(fault.offset, last)];
  const std::size_t end = plain.origin[std::min(fault.offset + fault.length, last)];
  fault.offset = begin;
  fault.length = end > begin ? end - begin : 0;
  return fault;
}

PlainText plain_text(std::string_view text) {
  PlainText plain;
  plain.text.reserve(text.size());
  plain.origin.reserve(text.size() + 1);
  const auto append = [&](std::string_view piece, std::size_t from) {
    plain.text += piece;
    plain.origin.insert(plain.origin.end(), piece.size(), from);
  };
  for (std::size_t i = 0; i < text.size();) {
    if (static_cast<unsigned char>(text[i]) < 0x80U) {
      append(text.substr(i, 1), i);
      ++i;
      continue;
    }
    const std::string_view rest = text.substr(i);
    if (const Respelling* fraction = find_spelling(rest, kFractions)) {
      if (!plain.text.empty() && is_digit(plain.text.back())) {
        append(" ", i);
      }
      append(fraction->plain, i);
      i += fraction->written.size();
    } else if (const Respelling* spelling = find_spelling(rest, kSpellings)) {
      append(spelling->plain, i);
      i += spelling->written.size();
    } else {
      append(text.substr(i, 1), i);
      ++i;
    }
  }
  plain.origin.push_back(text.size());
  return plain;
}

std::string plain_spelling(std::string_view text) { return plain_text(text).text; }

}  // namespace ductledger::units
