#include "layout/piece_number.hpp"

#include <fmt/format.h>

namespace ductledger::layout {

std::optional<std::size_t> piece_index(const Run& run, int number) noexcept {
  if (number < 1 || static_cast<std::size_t>(number) > run.pieces.size()) {
    return std::nullopt;
  }
  return static_cast<std::size_t>(number) - 1;
}

std::string piece_list(const Run& run) {
  std::string list;
  for (std::size_t i = 0; i < run.pieces.size(); ++i) {
    const Piece& piece = run.pieces[i];
    list += fmt::format("{}{} {}{}{}",
                        list.empty() ? "" : ", ",
                        piece_number(i),
                        word(piece.kind),
                        piece.known_type().empty() ? "" : " ",
                        piece.known_type());
  }
  return list;
}

}  // namespace ductledger::layout
