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
  struct Beginning {
    const char* text;
    Complaint complaint;
  };
  const std::array beginnings{Beginning{msg::TAB_IN_INDENTATION, Complaint::tab},
                              Beginning{msg::END_OF_MAP_FLOW, Complaint::brackets},
                              Beginning{msg::END_OF_SEQ_FLOW, Complaint::brackets},
                              Beginning{msg::FLOW_END, Complaint::brackets},
                              Beginning{msg::BLOCK_ENTRY, Complaint::dash},
                              Beginning{msg::MAP_KEY, Complaint::colon},
                              Beginning{msg::MAP_VALUE, Complaint::colon},
                              Beginning{msg::INVALID_HEX, Complaint::escape},
                              Beginning{msg::INVALID_UNICODE, Complaint::escape},
                              Beginning{msg::INVALID_ESCAPE, Complaint::escape},
                              Beginning{msg::EOF_IN_SCALAR, Complaint::quote},
                              Beginning{msg::DOC_IN_SCALAR, Complaint::quote},
                              Beginning{msg::UNKNOWN_ANCHOR, Complaint::alias},
                              Beginning{msg::ALIAS_NOT_FOUND, Complaint::alias},
                              Beginning{msg::CHAR_IN_ALIAS, Complaint::alias},
                              Beginning{msg::ANCHOR_NOT_FOUND, Complaint::anchor},
                              Beginning{msg::CHAR_IN_ANCHOR, Complaint::anchor},
                              Beginning{msg::MULTIPLE_ANCHORS, Complaint::anchor},
                              Beginning{msg::CHAR_IN_TAG_HANDLE, Complaint::tag},
                              Beginning{msg::TAG_WITH_NO_SUFFIX, Complaint::tag},
                              Beginning{msg::END_OF_VERBATIM_TAG, Complaint::tag},
                              Beginning{msg::MULTIPLE_TAGS, Complaint::tag},
                              Beginning{msg::UNKNOWN_TOKEN, Complaint::beginning}};
  for (const Beginning& beginning : beginnings) {
    if (said.starts_with(beginning.text)) {
      return beginning.complaint;
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
