#include "yaml/key_log.hpp"

namespace ductledger::yaml {
namespace {

thread_local KeyLog* listening = nullptr;

}  // namespace

KeyLog::KeyLog(base::SourcePtr text) noexcept : text_(std::move(text)), before_(listening) {
  listening = this;
}

KeyLog::~KeyLog() { listening = before_; }

const KeyLog::Asked* KeyLog::of(const Node& node) const {
  const auto found = asked_.find({node.kind, node.span.offset});
  return found == asked_.end() ? nullptr : &found->second;
}

KeyLog::Asked* KeyLog::about(const Node& node, const base::SourcePtr& text) {
  return listening == nullptr || listening->text_ != text
             ? nullptr
             : &listening->asked_[{node.kind, node.span.offset}];
}

}  // namespace ductledger::yaml
