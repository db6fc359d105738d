#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/exceptions.h>
#include <yaml-cpp/mark.h>
#include <yaml-cpp/parser.h>

#include <algorithm>
#include <array>
#include <initializer_list>
#include <sstream>
#include <string>
#include <string_view>

#include "yaml/events_internal.hpp"

// The only source that names yaml-cpp.
namespace ductledger::yaml {
namespace {

/// Stops the parser from inside.
struct Stop {};

std::size_t offset_of(const YAML::Mark& mark) {
  return static_cast<std::size_t>(std::max(mark.pos, 0));
}

class Forwarder : public YAML::EventHandler {
 public:
  explicit Forwarder(EventSink& sink) : sink_(sink) {}

  void OnDocumentStart(const YAML::Mark& mark) override {
    sink_.document(offset_of(mark));
    stop_if_asked();
  }
  void OnDocumentEnd() override {}
  void OnNull(const YAML::Mark& mark, YAML::anchor_t anchor) override {
    sink_.null(met(mark, {}, anchor));
    stop_if_asked();
  }
  void OnAlias(const YAML::Mark& mark, YAML::anchor_t /*anchor*/) override {
    sink_.alias({.offset = offset_of(mark)});
    stop_if_asked();
  }
  void OnScalar(const YAML::Mark& mark,
                const std::string& tag,
                YAML::anchor_t anchor,
                const std::string& value) override {
    // A quoted or block scalar is tagged "!", a plain one "?".
    sink_.scalar(met(mark, tag, anchor), value, tag == "!");
    stop_if_asked();
  }
  void OnSequenceStart(const YAML::Mark& mark,
                       const std::string& tag,
                       YAML::anchor_t anchor,
                       YAML::EmitterStyle::value /*style*/) override {
    sink_.open(NodeKind::sequence, met(mark, tag, anchor));
    stop_if_asked();
  }
  void OnSequenceEnd() override { close(); }
  void OnMapStart(const YAML::Mark& mark,
                  const std::string& tag,
                  YAML::anchor_t anchor,
                  YAML::EmitterStyle::value /*style*/) override {
    sink_.open(NodeKind::mapping, met(mark, tag, anchor));
    stop_if_asked();
  }
  void OnMapEnd() override { close(); }

 private:
  static Met met(const YAML::Mark& mark, std::string_view tag, YAML::anchor_t anchor) {
    return {.offset = offset_of(mark),
            .anchored = anchor != YAML::NullAnchor,
            .tagged = !tag.empty() && tag != "?" && tag != "!"};
  }
  void close() {
    sink_.close();
    stop_if_asked();
  }
  void stop_if_asked() const {
    if (sink_.stopped()) {
      throw Stop{};
    }
  }

  EventSink& sink_;
};

/// The parser's own complaint as one of ours.
Complaint complaint_of(std::string_view said) {
  namespace msg = YAML::ErrorMsg;
  struct Kind {
    Complaint complaint;
    std::initializer_list<const char*> beginnings;
  };
  const std::array kinds{
      Kind{Complaint::tab, {msg::TAB_IN_INDENTATION}},
      Kind{Complaint::brackets, {msg::END_OF_MAP_FLOW, msg::END_OF_SEQ_FLOW, msg::FLOW_END}},
      Kind{Complaint::dash, {msg::BLOCK_ENTRY}},
      Kind{Complaint::colon, {msg::MAP_KEY, msg::MAP_VALUE}},
      Kind{Complaint::escape, {msg::INVALID_HEX, msg::INVALID_UNICODE, msg::INVALID_ESCAPE}},
      Kind{Complaint::quote, {msg::EOF_IN_SCALAR, msg::DOC_IN_SCALAR}},
      Kind{Complaint::alias, {msg::UNKNOWN_ANCHOR, msg::ALIAS_NOT_FOUND, msg::CHAR_IN_ALIAS}},
      Kind{Complaint::anchor, {msg::ANCHOR_NOT_FOUND, msg::CHAR_IN_ANCHOR, msg::MULTIPLE_ANCHORS}},
      Kind{Complaint::tag,
           {msg::CHAR_IN_TAG_HANDLE,
            msg::TAG_WITH_NO_SUFFIX,
            msg::END_OF_VERBATIM_TAG,
            msg::MULTIPLE_TAGS}},
      Kind{Complaint::beginning, {msg::UNKNOWN_TOKEN}}};
  for (const Kind& kind : kinds) {
    if (std::ranges::any_of(kind.beginnings,
                            [&](const char* beginning) { return said.starts_with(beginning); })) {
      return kind.complaint;
    }
  }
  return Complaint::structure;
}

}  // namespace

std::optional<Unreadable> read_events(const std::string& text, EventSink& sink) {
  std::istringstream stream(text);
  Forwarder forwarder(sink);
  try {
    YAML::Parser parser(stream);
    while (parser.HandleNextDocument(forwarder)) {
    }
  } catch (const Stop&) {
    // What stopped it, the sink knows.
  } catch (const YAML::Exception& exception) {
    return Unreadable{complaint_of(exception.msg), offset_of(exception.mark)};
  }
  return std::nullopt;
}

}  // namespace ductledger::yaml
