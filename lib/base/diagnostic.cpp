#include "base/diagnostic.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <string_view>
#include <tuple>

#include "base/text.hpp"
#include "base/words.hpp"

namespace ductledger::base {

namespace {

constexpr std::size_t kTabStop = 4;
constexpr std::size_t kWidestLine = 96;   // characters of the user's line that are shown
constexpr std::size_t kBeforeCaret = 40;  // of them before the caret, where the line is cut

struct Colours {
  std::string_view bold, severity, gutter, other, help, reset;
};

Colours colours(Severity severity, Paint paint) {
  if (paint == Paint::plain) {
    return {};
  }
  const std::string_view tone = severity == Severity::error     ? "\x1b[1;31m"
                                : severity == Severity::warning ? "\x1b[1;33m"
                                                                : "\x1b[1;36m";
  return {.bold = "\x1b[1m",
          .severity = tone,
          .gutter = "\x1b[34m",
          .other = "\x1b[34m",
          .help = "\x1b[1;32m",
          .reset = "\x1b[0m"};
}

constexpr auto kSeverityWords = base::words<Severity>(
    {{Severity::error, "error"}, {Severity::warning, "warning"}, {Severity::note, "note"}});
constexpr const char* word(Severity severity) { return kSeverityWords.of(severity); }

/// A line as shown, cell by cell: tabs widened, controls escaped. `starts[i]` is the cell at which
/// character i (from 0) begins; one more entry for the end.
struct ShownLine {
  std::vector<std::string> cells;
  std::vector<std::size_t> starts;

  explicit ShownLine(std::string_view line) {
    for (std::size_t i = 0; i < line.size();) {
      starts.push_back(cells.size());
      if (line[i] == '\t') {
        do {
          cells.emplace_back(" ");
        } while (cells.size() % kTabStop != 0);
        ++i;
        continue;
      }
      std::size_t end = i + 1;
      while (end < line.size() && (static_cast<unsigned char>(line[end]) & 0xC0U) == 0x80U) {
        ++end;
      }
      const std::string_view character = line.substr(i, end - i);
      const std::string safe = escaped(character);
      if (safe == character) {
        cells.push_back(safe);
      } else {
        for (const char c : safe) {
          cells.emplace_back(1, c);
        }
      }
      i = end;
    }
    starts.push_back(cells.size());
  }

  [[nodiscard]] std::size_t cell_of(int column) const {
    const auto index = static_cast<std::size_t>(std::max(column, 1) - 1);
    return starts[std::min(index, starts.size() - 1)];
  }
};

struct Mark {
  Span span;
  std::string_view label;
  bool primary = false;
};

/// What stands left of a shown line.
struct Gutter {
  int line = 0;  ///< 0: no number
  std::size_t width = 1;
};

void append_line(std::string& out,
                 const Gutter& gutter,
                 const std::string& text,
                 const Colours& colour) {
  const std::string number = gutter.line > 0 ? std::to_string(gutter.line) : std::string();
  out += fmt::format("{}{:>{}} |{}", colour.gutter, number, gutter.width, colour.reset);
  if (!text.empty()) {
    out += ' ';
    out += text;
  }
  out += '\n';
}

/// The part of a long line that is worth widening and escaping: what stands around a column.
struct Window {
  std::string_view text;
  int skipped = 0;  ///< characters before it
};

Window window_around(std::string_view line, int column) {
  constexpr std::size_t kWidth = 4 * kWidestLine;  // characters; room on both sides of the caret
  if (line.size() <= kWidth) {
    return {line, 0};
  }
  const std::size_t wanted = static_cast<std::size_t>(std::max(column, 1)) - 1;
  const std::size_t skipped = wanted > kWidth / 2 ? wanted - kWidth / 2 : 0;
  const auto after = [&](std::size_t begin, std::size_t characters) {
    while (characters > 0 && begin < line.size()) {
      do {
        ++begin;
      } while (begin < line.size() && (static_cast<unsigned char>(line[begin]) & 0xC0U) == 0x80U);
      --characters;
    }
    return begin;
  };
  const std::size_t begin = after(0, skipped);
  return {line.substr(begin, after(begin, kWidth) - begin), static_cast<int>(skipped)};
}

/// One source line with the marks under it; of a long line, what stands around the primary mark.
void append_snippet(std::string& out,
                    std::string_view line,
                    const std::vector<Mark>& marks,
                    std::size_t gutter_width,
                    const Colours& colour) {
  const auto primary =
      std::find_if(marks.begin(), marks.end(), [](const Mark& m) { return m.primary; });
  const int centre = primary == marks.end() ? marks.front().span.column : primary->span.column;
  const Window window = window_around(line, centre);
  const ShownLine shown_line(window.text);
  const auto cell_of = [&](int column) { return shown_line.cell_of(column - window.skipped); };

  std::size_t from = 0;
  std::size_t to = shown_line.cells.size();
  if (to > kWidestLine) {
    const std::size_t caret = cell_of(centre);
    from = caret > kBeforeCaret ? caret - kBeforeCaret : 0;
    from = std::min(from, to - kWidestLine);
    to = from + kWidestLine;
  }
  const bool cut_before = from > 0 || window.skipped > 0;
  const bool cut_behind = to < shown_line.cells.size() ||
                          window.text.data() + window.text.size() != line.data() + line.size();
  std::string text = cut_before ? "..." : "";
  const std::size_t shift = text.size();
  for (std::size_t i = from; i < to; ++i) {
    text += shown_line.cells[i];
  }
  if (cut_behind) {
    text += "...";
  }
  while (!text.empty() && text.back() == ' ') {
    text.pop_back();
  }
  append_line(out, {.line = marks.front().span.line, .width = gutter_width}, text, colour);
  for (const Mark& mark : marks) {
    const std::size_t begin = cell_of(mark.span.column);
    const std::size_t end = std::min(cell_of(mark.span.column + mark.span.length), to);
    const bool in_view = begin >= from && begin <= to && mark.span.column > window.skipped;
    if (!mark.primary && !in_view) {
      continue;
    }
    const std::string under =
        fmt::format("{}{}{}{}{}{}",
                    std::string(begin - from + shift, ' '),
                    mark.primary ? colour.severity : colour.other,
                    std::string(end > begin ? end - begin : 1, mark.primary ? '^' : '-'),
                    mark.label.empty() ? "" : " ",
                    escaped(mark.label),
                    colour.reset);
    append_line(out, {.line = 0, .width = gutter_width}, under, colour);
  }
}

/// All places of a diagnostic in its text, in the text's order.
std::vector<Mark> marks_of(const Diagnostic& diagnostic) {
  std::vector<Mark> marks{{diagnostic.span, diagnostic.label, true}};
  for (const Label& other : diagnostic.others) {
    if (other.span.line >= 1) {
      marks.push_back({other.span, other.text, false});
    }
  }
  std::ranges::stable_sort(
      marks, {}, [](const Mark& mark) { return std::tie(mark.span.line, mark.span.column); });
  return marks;
}

/// Where it is: the file, and the lines with what is marked in them.
void append_place(std::string& out, const Diagnostic& diagnostic, const Colours& colour) {
  const SourceText& source = *diagnostic.source;
  if (diagnostic.span.line < 1) {
    out += fmt::format("  {}-->{} {}\n", colour.gutter, colour.reset, escaped(source.name()));
    return;
  }
  const std::vector<Mark> marks = marks_of(diagnostic);
  const std::size_t gutter_width = std::to_string(marks.back().span.line).size();
  out += fmt::format("{}{}-->{} {}:{}:{}\n",
                     std::string(gutter_width, ' '),
                     colour.gutter,
                     colour.reset,
                     escaped(source.name()),
                     diagnostic.span.line,
                     diagnostic.span.column);
  for (auto begin = marks.begin(); begin != marks.end();) {
    const int line = begin->span.line;
    const auto end =
        std::find_if(begin, marks.end(), [&](const Mark& mark) { return mark.span.line != line; });
    if (begin != marks.begin() && line > std::prev(begin)->span.line + 1) {
      out += fmt::format("{}...{}\n", colour.gutter, colour.reset);
    }
    append_snippet(out, source.line(line), {begin, end}, gutter_width, colour);
    begin = end;
  }
}

}  // namespace

std::string render(const Diagnostic& diagnostic, Paint paint) {
  const Colours colour = colours(diagnostic.severity, paint);
  std::string out = fmt::format("{}{}{}{}: {}{}\n",
                                colour.severity,
                                word(diagnostic.severity),
                                diagnostic.rule.empty() ? "" : "[" + diagnostic.rule + "]",
                                colour.reset,
                                colour.bold,
                                escaped(diagnostic.message));
  if (!colour.reset.empty()) {
    out.insert(out.size() - 1, colour.reset);
  }
  if (diagnostic.source != nullptr) {
    append_place(out, diagnostic, colour);
  }
  for (const std::string& note : diagnostic.notes) {
    out += fmt::format("{}note{}: {}\n", colour.bold, colour.reset, escaped(note));
  }
  if (!diagnostic.help.empty()) {
    out += fmt::format("{}help{}: {}\n", colour.help, colour.reset, escaped(diagnostic.help));
  }
  return out;
}

std::string render(const Diagnostics& diagnostics, Paint paint) {
  constexpr std::size_t kMostShown = 40;
  std::string out;
  for (std::size_t i = 0; i < diagnostics.size(); ++i) {
    if (i > 0) {
      out += '\n';
    }
    if (i == kMostShown) {
      out += fmt::format("... and {} more\n", diagnostics.size() - i);
      break;
    }
    out += render(diagnostics[i], paint);
  }
  return out;
}

bool has_error(const Diagnostics& diagnostics) noexcept {
  return std::any_of(diagnostics.begin(), diagnostics.end(), [](const Diagnostic& d) {
    return d.severity == Severity::error;
  });
}

void sort_by_place(Diagnostics& diagnostics) {
  const auto name = [](const Diagnostic& d) {
    return d.source == nullptr ? std::string_view() : std::string_view(d.source->name());
  };
  std::stable_sort(
      diagnostics.begin(), diagnostics.end(), [&](const Diagnostic& a, const Diagnostic& b) {
        const std::string_view left = name(a);
        const std::string_view right = name(b);
        return std::tie(left, a.span.line, a.span.column) <
               std::tie(right, b.span.line, b.span.column);
      });
}

}  // namespace ductledger::base
