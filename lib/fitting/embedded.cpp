#include <charconv>
#include <memory>

#include "base/expects.hpp"
#include "fitting/embedded_internal.hpp"

namespace ductledger::fitting {
namespace {

using yaml::Node;
using yaml::NodeKind;

void append_text(std::string& out, std::string_view text) {
  out += std::to_string(text.size());
  out += ':';
  out += text;
}

void append(std::string& out, const Node& node) {
  switch (node.kind) {
    case NodeKind::null:
      out += 'n';
      break;
    case NodeKind::scalar:
      out += node.quoted ? 'q' : 's';
      append_text(out, node.text);
      break;
    case NodeKind::sequence:
      out += 'l';
      out += std::to_string(node.items.size());
      out += ';';
      for (const Node& item : node.items) {
        append(out, item);
      }
      break;
    case NodeKind::mapping:
      out += 'm';
      out += std::to_string(node.entries.size());
      out += ';';
      for (const yaml::Entry& entry : node.entries) {
        append_text(out, entry.key);
        append(out, entry.value);
      }
      break;
  }
}

class Decoder {
 public:
  explicit Decoder(std::string_view text) : text_(text) {}

  Node node() {
    Node node;
    DUCTLEDGER_EXPECTS(at_ < text_.size());
    const char kind = text_[at_++];
    switch (kind) {
      case 'n':
        break;
      case 's':
      case 'q':
        node.kind = NodeKind::scalar;
        node.quoted = kind == 'q';
        node.text = text();
        break;
      case 'l': {
        node.kind = NodeKind::sequence;
        node.items.resize(count(';'));
        for (Node& item : node.items) {
          item = this->node();
        }
        break;
      }
      case 'm': {
        node.kind = NodeKind::mapping;
        node.entries.resize(count(';'));
        for (yaml::Entry& entry : node.entries) {
          entry.key = text();
          entry.value = this->node();
        }
        break;
      }
      default:
        DUCTLEDGER_EXPECTS(false);
    }
    return node;
  }

  [[nodiscard]] bool at_end() const { return at_ == text_.size(); }

 private:
  std::size_t count(char end) {
    std::size_t number = 0;
    const char* const first = text_.data() + at_;
    const auto read = std::from_chars(first, text_.data() + text_.size(), number);
    DUCTLEDGER_EXPECTS(read.ec == std::errc() && read.ptr < text_.data() + text_.size() &&
                       *read.ptr == end);
    at_ += static_cast<std::size_t>(read.ptr - first) + 1;
    return number;
  }
  std::string text() {
    const std::size_t size = count(':');
    DUCTLEDGER_EXPECTS(size <= text_.size() - at_);
    std::string held(text_.substr(at_, size));
    at_ += size;
    return held;
  }

  std::string_view text_;
  std::size_t at_ = 0;
};

}  // namespace

std::string encoded(const Node& node) {
  std::string out;
  append(out, node);
  return out;
}

Node decoded(std::string_view text) {
  Decoder decoder(text);
  Node node = decoder.node();
  DUCTLEDGER_EXPECTS(decoder.at_end());
  return node;
}

yaml::Tree tree_of(const EmbeddedFile& file) {
  yaml::Tree tree;
  tree.source = std::make_shared<const base::SourceText>(std::string(file.path), std::string());
  tree.root = decoded(file.tree);
  return tree;
}

}  // namespace ductledger::fitting
