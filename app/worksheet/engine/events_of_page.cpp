#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <cstring>
#include <string>

#include "yaml/events_internal.hpp"

// The reader of YAML's characters in a page is a script of the page: it reads the whole text and
// hands over what it met as records, in place of yaml-cpp.
//
// A record: its kind (1 byte), flags (1 byte: 1 anchored, 2 tagged, 4 marked), the offset (4
// bytes), the length of its text (4 bytes), the text. Kinds: D document, N null, A alias, S scalar,
// M mapping, L sequence, E end of one, U unreadable (the text is one letter: the complaint).
extern "C" __attribute__((import_module("page"), import_name("events"))) const char* page_events(
    const char* text, std::size_t length, std::size_t* size);

namespace ductledger::yaml {
namespace {

std::uint32_t number_at(const char* at) {
  std::uint32_t value = 0;
  std::memcpy(&value, at, sizeof value);
  return value;
}

Complaint complaint_of(char letter) {
  switch (letter) {
    case 't':
      return Complaint::tab;
    case 'b':
      return Complaint::brackets;
    case 'd':
      return Complaint::dash;
    case 'c':
      return Complaint::colon;
    case 'e':
      return Complaint::escape;
    case 'q':
      return Complaint::quote;
    case 'a':
      return Complaint::alias;
    case 'n':
      return Complaint::anchor;
    case 'g':
      return Complaint::tag;
    case 'x':
      return Complaint::beginning;
    default:
      return Complaint::structure;
  }
}

}  // namespace

std::optional<Unreadable> read_events(const std::string& text, EventSink& sink) {
  std::size_t size = 0;
  const char* const records = page_events(text.data(), text.size(), &size);
  std::optional<Unreadable> fault;
  for (const char* at = records; at < records + size && !fault && !sink.stopped();) {
    constexpr std::size_t kHead = 10;
    const char kind = at[0];
    const Met met{
        .offset = number_at(at + 2), .anchored = (at[1] & 1) != 0, .tagged = (at[1] & 2) != 0};
    const std::uint32_t length = number_at(at + 6);
    const char* const words = at + kHead;
    switch (kind) {
      case 'D':
        sink.document(met.offset);
        break;
      case 'N':
        sink.null(met);
        break;
      case 'A':
        sink.alias(met);
        break;
      case 'S':
        sink.scalar(met, std::string(words, length), (at[1] & 4) != 0);
        break;
      case 'M':
        sink.open(NodeKind::mapping, met);
        break;
      case 'L':
        sink.open(NodeKind::sequence, met);
        break;
      case 'E':
        sink.close();
        break;
      default:
        fault = Unreadable{complaint_of(length > 0 ? *words : ' '), met.offset};
    }
    at = words + length;
  }
  std::free(const_cast<char*>(records));
  return fault;
}

}  // namespace ductledger::yaml
