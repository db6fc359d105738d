#pragma once

#include <cstddef>
#include <string_view>

#include "base/diagnostic.hpp"
#include "command_line.hpp"

namespace ductledger::app {

enum class Stream { out, err };

/// Whether a stream is to be coloured: `auto` asks for a terminal, `TERM` other than `dumb` and
/// `NO_COLOR` unset or empty.
[[nodiscard]] base::Paint paint(Stream stream, Color color);

/// Whether standard output is a terminal that shows more than ASCII: not a dumb one, its locale
/// UTF-8 by the first of `LC_ALL`, `LC_CTYPE` and `LANG` that is set and not empty.
[[nodiscard]] bool draws_blocks();

/// Columns of a stream: on a terminal `COLUMNS` or its own width, within 40 and 200; 80 for what is
/// piped.
[[nodiscard]] std::size_t columns(Stream stream = Stream::out);

/// Writes to standard output. A closed pipe is no fault; a full disk is one.
[[nodiscard]] base::Diagnostics print(std::string_view text);

/// Empties the terminal for another answer; elsewhere a line parts it from the last one.
void start_over(bool first);

/// Diagnostics to standard error; on a terminal sentences break at its width, between words.
void complain(const base::Diagnostics& diagnostics, Color color);

}  // namespace ductledger::app
