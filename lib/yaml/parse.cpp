#include "yaml/parse.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <optional>
#include <string>
#include <unordered_map>
#include <utility>

#include "base/text.hpp"
#include "yaml/events_internal.hpp"
#include "yaml/slips_internal.hpp"

namespace ductledger::yaml {

namespace {

using base::shown;

constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";
constexpr std::size_t kMostDuplicates = 50;

base::Diagnostic fault(const base::SourcePtr& source,
                       const base::Span& span,
                       std::string rule,
                       std::string message) {
  base::Diagnostic diagnostic;
  diagnostic.rule = std::move(rule);
  diagnostic.message = std::move(message);
  diagnostic.source = source;
  diagnostic.span = span;
  return diagnostic;
}

/// The text as the YAML parser gets it, and the way back: without a byte order mark, with blanks
/// where colons lack theirs.
class Prepared {
 public:
  Prepared(std::string_view text, const std::vector<std::size_t>& missing_spaces)
      : skipped_(text.starts_with(kByteOrderMark) ? kByteOrderMark.size() : 0) {
    std::size_t from = skipped_;
    text_.reserve(text.size() + missing_spaces.size());
    for (const std::size_t at : missing_spaces) {
      text_ += text.substr(from, at - from);
      blanks_.push_back(text_.size());
      text_ += ' ';
      from = at;
    }
    text_ += text.substr(from);
    // A lone carriage return ends a line, as it does in `SourceText`.
    for (std::size_t i = 0; i < text_.size(); ++i) {
      if (text_[i] == '\r' && (i + 1 == text_.size() || text_[i + 1] != '\n')) {
        text_[i] = '\n';
      }
    }
  }

  [[nodiscard]] const std::string& text() const { return text_; }
  [[nodiscard]] std::size_t original(std::size_t offset) const {
    const auto before = std::lower_bound(blanks_.begin(), blanks_.end(), offset) - blanks_.begin();
    return offset + skipped_ - static_cast<std::size_t>(before);
  }

 private:
  std::size_t skipped_;
  std::string text_;
  std::vector<std::size_t> blanks_;
};

/// Line and column of offsets that mostly ascend, without counting a long line anew each time.
class Locator {
 public:
  explicit Locator(base::SourcePtr source) : source_(std::move(source)) {}

  base::Span span(std::size_t offset, std::size_t byte_length) {
    const std::string_view text = source_->text();
    offset = std::min(offset, text.size());
    byte_length = std::min(byte_length, text.size() - offset);
    if (offset < last_.offset || last_.line == 0 ||
        text.substr(last_.offset, offset - last_.offset).find_first_of("\r\n") !=
            std::string_view::npos) {
      last_ = source_->span_at(offset, 0);
    } else {
      last_.column +=
          static_cast<int>(base::character_count(text.substr(last_.offset, offset - last_.offset)));
      last_.offset = offset;
    }
    base::Span span = last_;
    span.length =
        std::max(1, static_cast<int>(base::character_count(text.substr(offset, byte_length))));
    return span;
  }

 private:
  base::SourcePtr source_;
  base::Span last_;
};

class TreeBuilder : public EventSink {
 public:
  TreeBuilder(base::SourcePtr source, const Prepared& prepared, const Limits& limits)
      : source_(std::move(source)), prepared_(prepared), limits_(limits), locator_(source_) {}

  Node take_root() { return std::move(root_); }
  base::Diagnostics take_errors() { return std::move(errors_); }
  [[nodiscard]] bool has_document() const { return documents_ > 0; }
  [[nodiscard]] bool stopped() const override { return stopped_; }

  void document(std::size_t offset) override {
    if (++documents_ > 1) {
      const std::string_view text = source_->text();
      std::size_t at = prepared_.original(offset);
      // The mark stands at the content: the line that divides the documents is above it.
      const std::size_t divider = text.substr(0, std::min(at + 3, text.size())).rfind("\n---");
      at = divider == std::string_view::npos ? at : divider + 1;
      base::Diagnostic& diagnostic =
          error(source_->span_at(at, 3), "second-document", "a second document begins here");
      diagnostic.label = "one file holds one document";
      diagnostic.help = "remove the line `---`, or put the rest in a file of its own";
      stopped_ = true;
    }
  }

  void null(const Met& at) override {
    refuse_marks(at);
    Node node;
    node.span = locator_.span(prepared_.original(at.offset), 0);
    place(std::move(node));
  }

  void alias(const Met& at) override {
    refuse_once(at, "alias", "aliases (`*name`) are not read");
    Node node;
    node.span = locator_.span(prepared_.original(at.offset), 1);
    place(std::move(node));
  }

  void scalar(const Met& at, const std::string& value, bool marked) override {
    refuse_marks(at);
    Node node;
    node.kind = NodeKind::scalar;
    node.text = value;
    const std::size_t offset = prepared_.original(at.offset);
    const std::size_t length = written_length(offset, value);
    const char first = offset < source_->text().size() ? source_->text()[offset] : ' ';
    node.quoted = first == '"' || first == '\'' || marked;
    node.span = locator_.span(offset, length);
    place(std::move(node));
  }

  void open(NodeKind kind, const Met& at) override {
    refuse_marks(at);
    const base::Span span = locator_.span(prepared_.original(at.offset), 1);
    if (static_cast<int>(open_.size()) >= limits_.depth) {
      error(span, "too-deep", fmt::format("nested deeper than {} levels", limits_.depth)).label =
          "one level too many";
      stopped_ = true;
      return;
    }
    count();
    Frame frame;
    frame.node.kind = kind;
    frame.node.span = span;
    open_.push_back(std::move(frame));
  }

  void close() override {
    Node node = std::move(open_.back().node);
    open_.pop_back();
    --nodes_;  // counted when opened
    place(std::move(node));
  }

 private:
  struct Frame {
    Node node;
    std::optional<std::pair<std::string, base::Span>> key;  ///< waits for its value
    bool drop_value = false;                           ///< the key was refused: so goes its value
    std::unordered_map<std::string, base::Span> keys;  ///< canonical form, first place
    std::optional<std::size_t> told;  ///< index of the one diagnostic for pieces without dashes
  };

  base::Diagnostic& error(const base::Span& span, std::string rule, std::string message) {
    errors_.push_back(fault(source_, span, std::move(rule), std::move(message)));
    return errors_.back();
  }

  void refuse_once(const Met& at, const char* rule, const char* message) {
    // An alias is the echo of its anchor.
    const bool told = std::any_of(errors_.begin(), errors_.end(), [&](const base::Diagnostic& d) {
      return d.rule == rule || d.rule == "anchor";
    });
    if (told) {
      return;
    }
    base::Diagnostic& diagnostic =
        error(locator_.span(prepared_.original(at.offset), 1), rule, message);
    diagnostic.label = "not read here";
    diagnostic.help = "write the value out; a text that begins with this mark goes in quotes";
  }
  void refuse_marks(const Met& at) {
    if (at.anchored) {
      refuse_once(at, "anchor", "anchors (`&name`) are not read");
    }
    if (at.tagged) {
      refuse_once(at, "tag", "tags (`!name`) are not read");
    }
  }

  void count() {
    if (++nodes_ > limits_.nodes) {
      error({}, "too-large", fmt::format("the file holds more than {} values", limits_.nodes));
      stopped_ = true;
    }
  }

  void place(Node node) {
    count();
    if (stopped_) {
      return;
    }
    if (open_.empty()) {
      root_ = std::move(node);
      return;
    }
    Frame& frame = open_.back();
    if (frame.node.kind == NodeKind::sequence) {
      frame.node.items.push_back(std::move(node));
    } else if (frame.key.has_value()) {
      if (!frame.drop_value) {
        frame.node.entries.push_back(
            {std::move(frame.key->first), frame.key->second, std::move(node)});
      }
      frame.key.reset();
      frame.drop_value = false;
    } else {
      take_key(frame, std::move(node));
    }
  }

  void take_key(Frame& frame, Node node) {
    if (node.kind != NodeKind::scalar) {
      base::Diagnostic& diagnostic = error(node.span, "not-a-key", "a key must be a single word");
      diagnostic.label = node.kind == NodeKind::null ? "no key stands here" : "not a word";
      frame.drop_value = true;
    } else {
      const auto [first, is_new] =
          frame.keys.try_emplace(base::canonical_word(node.text), node.span);
      if (!is_new) {
        frame.drop_value = true;
        report_duplicate(frame, node, first->second);
      }
    }
    frame.key.emplace(std::move(node.text), node.span);
  }

  void report_duplicate(Frame& frame, const Node& key, const base::Span& first) {
    const bool in_pieces = open_.size() > 1 && open_[open_.size() - 2].key.has_value() &&
                           open_[open_.size() - 2].key->first == "pieces";
    if (in_pieces) {
      // Kinds of pieces repeat, so a mapping here is a list without its dashes: one cause.
      if (frame.told.has_value()) {
        return;
      }
      base::Diagnostic& diagnostic = error(
          key.span, "missing-dash", fmt::format("{} stands twice in one mapping", shown(key.text)));
      diagnostic.label = "again here";
      diagnostic.others.push_back({first, "first here"});
      diagnostic.help = fmt::format("pieces are a list, and each piece starts with a dash: {}",
                                    shown(fmt::format("- {}: ...", key.text)));
      frame.told = errors_.size() - 1;
      return;
    }
    if (errors_.size() >= kMostDuplicates) {
      return;
    }
    base::Diagnostic& diagnostic =
        error(key.span, "duplicate-key", fmt::format("the key {} stands twice", shown(key.text)));
    diagnostic.label = "again here";
    diagnostic.others.push_back({first, "first here"});
    diagnostic.help =
        "keep one of them; if they are entries of a list, each starts with a dash: `- key: value`";
  }

  /// Bytes that a scalar takes in the source.
  [[nodiscard]] std::size_t written_length(std::size_t offset, const std::string& value) const {
    const std::string_view rest = source_->text().substr(std::min(offset, source_->text().size()));
    if (rest.starts_with(value)) {
      return value.size();
    }
    if (rest.empty()) {
      return 0;
    }
    const std::string_view line = rest.substr(0, rest.find_first_of("\r\n"));
    if (line.empty() || (line[0] != '"' && line[0] != '\'')) {
      return line.size();
    }
    for (std::size_t i = 1; i < line.size(); ++i) {
      if (line[0] == '"' && line[i] == '\\') {
        ++i;
      } else if (line[i] == line[0]) {
        if (line[0] == '\'' && i + 1 < line.size() && line[i + 1] == '\'') {
          ++i;
        } else {
          return i + 1;
        }
      }
    }
    return line.size();
  }

  base::SourcePtr source_;
  const Prepared& prepared_;
  const Limits& limits_;
  Locator locator_;
  std::vector<Frame> open_;
  Node root_;
  base::Diagnostics errors_;
  std::size_t nodes_ = 0;
  int documents_ = 0;
  bool stopped_ = false;
};

/// The parser's complaint in our words; used where no known slip explains it.
base::Diagnostic unreadable(const base::SourcePtr& source,
                            std::size_t offset,
                            Complaint complaint) {
  base::Diagnostic diagnostic =
      fault(source, source->span_at(offset, 1), "unreadable", "the structure cannot be read here");
  diagnostic.help = "check the indentation, and that each entry is written `key: value`";
  switch (complaint) {
    case Complaint::structure:
      break;
    case Complaint::tab:
      diagnostic.rule = "tab-indentation";
      diagnostic.message = "a tab is used as indentation";
      diagnostic.help = "YAML is indented with spaces only";
      break;
    case Complaint::brackets:
      diagnostic.rule = "missing-brace";
      diagnostic.message = "braces or brackets do not match here";
      diagnostic.help =
          "each `{` needs its `}`, each `[` its `]`, and commas stand between entries";
      break;
    case Complaint::dash:
      diagnostic.message = "a dash cannot begin a list entry here";
      diagnostic.help = "entries of one list begin at one column, below the key of the list";
      break;
    case Complaint::colon:
      diagnostic.message = "a colon cannot stand here";
      diagnostic.help = "put a text that holds a colon in quotes, and check the indentation";
      break;
    case Complaint::escape:
      diagnostic.rule = "unknown-escape";
      diagnostic.message = "a backslash in double quotes begins an escape that is not known";
      diagnostic.help = "use single quotes, in which a backslash stands for itself";
      break;
    case Complaint::quote:
      diagnostic.rule = "missing-quote";
      diagnostic.message = "a closing quote is missing";
      diagnostic.help = "close the quoted text";
      break;
    case Complaint::alias:
      diagnostic.rule = "alias";
      diagnostic.message = "aliases (`*name`) are not read";
      diagnostic.help = "put a text that begins with `*` in quotes";
      break;
    case Complaint::anchor:
      diagnostic.rule = "anchor";
      diagnostic.message = "anchors (`&name`) are not read";
      diagnostic.help = "put a text that begins with `&` in quotes";
      break;
    case Complaint::tag:
      diagnostic.rule = "tag";
      diagnostic.message = "tags (`!name`) are not read";
      diagnostic.help = "put a text that begins with `!` in quotes";
      break;
    case Complaint::beginning: {
      const std::string_view rest = source->text().substr(std::min(offset, source->text().size()));
      diagnostic.message =
          fmt::format("a text cannot begin with {}", shown(rest.substr(0, rest.empty() ? 0 : 1)));
      diagnostic.help = "put the text in quotes";
      break;
    }
  }
  return diagnostic;
}

std::optional<std::size_t> first_control(std::string_view text) {
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto c = static_cast<unsigned char>(text[i]);
    const bool allowed = c == '\t' || c == '\n' || c == '\r';
    if ((c < 0x20 && !allowed) || c == 0x7F) {
      return i;
    }
    // U+0080 to U+009F.
    if (c == 0xC2 && i + 1 < text.size() && static_cast<unsigned char>(text[i + 1]) < 0xA0) {
      return i;
    }
  }
  return std::nullopt;
}

/// What makes a text unfit to be looked at closer.
std::optional<base::Diagnostic> unfit(const base::SourcePtr& source, const Limits& limits) {
  const std::string_view text = source->text();
  if (text.size() > limits.bytes) {
    return fault(
        source,
        {},
        "too-large",
        fmt::format(
            "the file has {} bytes, more than the {} that are read", text.size(), limits.bytes));
  }
  if (const auto at = base::first_invalid_utf8(text)) {
    base::Diagnostic diagnostic =
        fault(source, source->span_at(*at, 1), "not-utf-8", "the file is not text in UTF-8");
    diagnostic.label = "not UTF-8 from here";
    diagnostic.help = "save the file in the encoding UTF-8";
    return diagnostic;
  }
  if (const auto at = first_control(text)) {
    base::Diagnostic diagnostic = fault(source,
                                        source->span_at(*at, 1),
                                        "control-character",
                                        "a control character stands in the text");
    diagnostic.label = "cannot be read";
    diagnostic.help = "remove it";
    return diagnostic;
  }
  return std::nullopt;
}

struct Told {
  base::Diagnostics errors;
  base::Diagnostics warnings;
};

/// What the file is told of: slips that were found, then what the builder and the parser said where
/// no slip has explained it.
Told joined(std::vector<Slip> slips,
            base::Diagnostics built,
            std::optional<base::Diagnostic> complaint,
            bool readable,
            const Limits& limits) {
  Told told;
  auto& [errors, warnings] = told;
  for (Slip& slip : slips) {
    if (!slip.blank_key.empty() && limits.may_be_blank != nullptr &&
        limits.may_be_blank(slip.blank_key)) {
      continue;
    }
    if (slip.kind == SlipKind::warning) {
      warnings.push_back(std::move(slip.diagnostic));
    } else if (slip.kind == SlipKind::always || !readable) {
      errors.push_back(std::move(slip.diagnostic));
    }
  }
  const std::size_t explained = errors.size();
  for (base::Diagnostic& diagnostic : built) {
    // A fault on a line that a slip has explained is its echo.
    const bool echo = std::any_of(
        errors.begin(),
        errors.begin() + static_cast<std::ptrdiff_t>(explained),
        [&](const base::Diagnostic& slip) { return slip.span.line == diagnostic.span.line; });
    if (!echo) {
      errors.push_back(std::move(diagnostic));
    }
  }
  if (complaint && explained == 0) {
    const bool said = std::any_of(errors.begin(), errors.end(), [&](const base::Diagnostic& d) {
      return d.rule == complaint->rule || d.span.line == complaint->span.line;
    });
    if (!said) {
      errors.push_back(std::move(*complaint));
    }
  }
  return told;
}

}  // namespace

base::Checked<Tree> parse(const base::SourcePtr& source, const Limits& limits) {
  DUCTLEDGER_EXPECTS(source != nullptr);
  if (auto diagnostic = unfit(source, limits)) {
    return std::move(*diagnostic);
  }
  Slips slips = find_slips(source, limits.depth);
  if (slips.blank) {
    return fault(source, {}, "empty-file", "the file is empty");
  }

  const Prepared prepared(source->text(), slips.missing_spaces);
  TreeBuilder builder(source, prepared, limits);
  bool readable = true;
  std::optional<base::Diagnostic> complaint;
  if (!slips.too_deep) {
    if (const auto fault = read_events(prepared.text(), builder)) {
      readable = false;
      complaint = unreadable(source, prepared.original(fault->offset), fault->complaint);
    }
  }

  auto [errors, warnings] =
      joined(std::move(slips.found), builder.take_errors(), std::move(complaint), readable, limits);
  if (!errors.empty()) {
    errors.insert(errors.end(),
                  std::make_move_iterator(warnings.begin()),
                  std::make_move_iterator(warnings.end()));
    base::sort_by_place(errors);
    return errors;
  }
  Tree tree;
  tree.source = source;
  tree.root = builder.take_root();
  tree.warnings = std::move(warnings);
  if (tree.root.kind == NodeKind::null) {
    return fault(source, {}, "empty-file", "the file is empty");
  }
  return tree;
}

}  // namespace ductledger::yaml
