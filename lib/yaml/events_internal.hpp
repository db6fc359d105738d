#pragma once

#include <cstddef>
#include <optional>
#include <string>

#include "yaml/tree.hpp"

/// The border to the program that reads YAML's characters: it tells a sink what it meets. Which one
/// it is, is settled by what is linked: yaml-cpp, or what a page brings along.
namespace ductledger::yaml {

/// What stands at a place. Offsets are bytes of the text that is read.
struct Met {
  std::size_t offset = 0;
  bool anchored = false;
  bool tagged = false;
};

class EventSink {
 public:
  EventSink() = default;
  virtual ~EventSink() = default;
  EventSink(const EventSink&) = delete;
  EventSink& operator=(const EventSink&) = delete;

  virtual void document(std::size_t offset) = 0;  ///< one begins
  virtual void null(const Met& at) = 0;           ///< nothing, `~` or `null`, unquoted
  virtual void alias(const Met& at) = 0;
  /// @param marked no plain text: in quotes, or a block of its own
  virtual void scalar(const Met& at, const std::string& value, bool marked) = 0;
  virtual void open(NodeKind kind, const Met& at) = 0;  ///< a sequence or a mapping
  virtual void close() = 0;

  /// No more is wanted: the rest is not worth reading.
  [[nodiscard]] virtual bool stopped() const = 0;
};

/// Why the text cannot be read on.
enum class Complaint {
  structure,
  tab,
  brackets,
  dash,
  colon,
  escape,
  quote,
  alias,
  anchor,
  tag,
  beginning  ///< no text begins with this character
};
struct Unreadable {
  Complaint complaint = Complaint::structure;
  std::size_t offset = 0;
};

/// Reads a text that is valid UTF-8 without control characters, from its start until its end, a
/// fault or `stopped()`.
[[nodiscard]] std::optional<Unreadable> read_events(const std::string& text, EventSink& sink);

}  // namespace ductledger::yaml
