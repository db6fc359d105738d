#include "text/table.hpp"

#include <algorithm>
#include <cstddef>
#include <numeric>
#include <utility>

#include "base/expects.hpp"
#include "base/text.hpp"

namespace ductledger::text {
namespace {

constexpr std::size_t kWideGap = 2;
constexpr std::size_t kNarrowGap = 1;
constexpr std::size_t kNarrowestText = 7;

std::string padded(const std::string& text, const Column& column, std::size_t width) {
  const std::size_t count = base::character_count(text);
  const std::string space(width > count ? width - count : 0, ' ');
  return column.align == Align::left ? text + space : space + text;
}

void end_line(std::string& out, std::string line) {
  line.erase(line.find_last_not_of(' ') + 1);
  out += line + '\n';
}

}  // namespace

std::string wrapped(std::string_view text, const Hanging& hanging) {
  return base::wrapped(base::escaped(text), hanging);
}

std::string shortened(std::string_view text, std::size_t characters) {
  if (base::character_count(text) <= characters) {
    return std::string(text);
  }
  const std::size_t keep = characters > 3 ? characters - 3 : 0;
  std::size_t count = 0;
  std::size_t at = 0;
  while (at < text.size()) {
    const bool begins = (static_cast<unsigned char>(text[at]) & 0xC0U) != 0x80U;
    if (begins && count++ == keep) {
      break;
    }
    ++at;
  }
  return std::string(text.substr(0, at)) + "...";
}

void Table::row(std::vector<std::string> cells) {
  DUCTLEDGER_EXPECTS(cells.size() == columns_.size());
  for (std::string& cell : cells) {
    cell = base::escaped(cell);
  }
  lines_.push_back({{}, std::move(cells)});
}

void Table::strong_row(std::vector<std::string> cells) {
  row(std::move(cells));
  lines_.back().strong = true;
}

void Table::heading(std::string_view text) { lines_.push_back({base::escaped(text), {}}); }

std::string Table::as_list(const Hanging& place) const {
  const auto first_text =
      std::ranges::find(columns_, Align::left, &Column::align) - columns_.begin();
  std::string out;
  for (const Line& line : lines_) {
    std::string text = line.heading;
    bool any = false;
    for (std::size_t c = 0; c < line.cells.size(); ++c) {
      const std::string& cell = line.cells[c];
      if (cell.empty()) {
        continue;
      }
      if (static_cast<std::ptrdiff_t>(c) <= first_text) {
        text += text.empty() ? cell : " " + cell;
        continue;
      }
      text += std::exchange(any, true) ? ", " : ": ";
      for (const std::string& part : {columns_[c].heading, columns_[c].unit}) {
        text += part.empty() ? "" : part + " ";
      }
      text += cell;
    }
    const std::size_t indent = place.others;
    out += std::string(indent, ' ') + wrapped(text, {indent, indent + 2, place.width}) + '\n';
  }
  return out;
}

std::vector<std::size_t> Table::natural_widths() const {
  std::vector<std::size_t> widths(columns_.size());
  for (std::size_t c = 0; c < columns_.size(); ++c) {
    widths[c] = std::max(base::character_count(columns_[c].heading),
                         base::character_count(columns_[c].unit));
    for (const Line& line : lines_) {
      if (!line.cells.empty()) {
        widths[c] = std::max(widths[c], base::character_count(line.cells[c]));
      }
    }
  }
  return widths;
}

std::size_t Table::Fitted::total() const {
  std::size_t sum = indent;
  for (const std::size_t c : shown) {
    sum += widths[c] + gap;
  }
  return sum - gap;
}

Table::Fitted Table::fitted(const Hanging& place) const {
  Fitted out{.shown = std::vector<std::size_t>(columns_.size()),
             .widths = natural_widths(),
             .gap = kWideGap,
             .indent = place.others};
  std::iota(out.shown.begin(), out.shown.end(), std::size_t{0});
  if (out.total() > place.width) {
    out.gap = kNarrowGap;
  }
  while (out.total() > place.width) {
    const auto least = std::ranges::max_element(
        out.shown, {}, [&](std::size_t c) { return columns_[c].dispensable; });
    if (columns_[*least].dispensable == 0) {
      break;
    }
    out.shown.erase(least);
  }
  if (out.total() > place.width) {
    const auto text =
        std::ranges::find(out.shown, Align::left, [&](std::size_t c) { return columns_[c].align; });
    if (text != out.shown.end()) {
      const std::size_t excess = out.total() - place.width;
      std::size_t& width = out.widths[*text];
      width = std::max(kNarrowestText, width - std::min(width, excess));
    }
  }
  return out;
}

std::string Table::text(const Hanging& place, const Strong& strong) const {
  const Fitted fitted = this->fitted(place);
  if (fitted.total() > place.width) {
    return as_list(place);
  }
  const std::string indent(place.others, ' ');
  const std::string gap(fitted.gap, ' ');
  std::string out;
  const auto print = [&](auto&& cell, bool heavier = false) {
    std::string line = indent;
    for (const std::size_t c : fitted.shown) {
      line += c == fitted.shown.front() ? "" : gap;
      line += padded(shortened(cell(c), fitted.widths[c]), columns_[c], fitted.widths[c]);
    }
    line.erase(line.find_last_not_of(' ') + 1);
    out += (heavier && strong ? strong(line) : line) + '\n';
  };
  print([&](std::size_t c) { return columns_[c].heading; });
  if (std::ranges::any_of(fitted.shown, [&](auto c) { return !columns_[c].unit.empty(); })) {
    print([&](std::size_t c) { return columns_[c].unit; });
  }
  const std::string below_first(fitted.widths[fitted.shown.front()], ' ');
  for (const Line& line : lines_) {
    if (line.cells.empty()) {
      end_line(out, indent + below_first + gap + line.heading);
    } else {
      print([&](std::size_t c) { return line.cells[c]; }, line.strong);
    }
  }
  return out;
}

}  // namespace ductledger::text
