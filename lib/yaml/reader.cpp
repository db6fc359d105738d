#include "yaml/reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <functional>
#include <system_error>
#include <utility>
#include <variant>

#include "base/text.hpp"
#include "yaml/key_log.hpp"

namespace ductledger::yaml {

namespace {

using base::shown;
using base::trimmed;

constexpr std::size_t kMostUnknownKeys = 20;  // of one mapping; a note counts the others

std::string_view found(const Node& node) {
  switch (node.kind) {
    case NodeKind::null:
      return "nothing";
    case NodeKind::scalar:
      return "a single value";
    case NodeKind::sequence:
      return "a list";
    case NodeKind::mapping:
      break;
  }
  return "a mapping of keys";
}

std::string example_of(units::Dimension dimension) {
  const std::string form = units::expected_form(dimension);
  const bool unit_told =
      dimension != units::Dimension::number && dimension != units::Dimension::thermal_resistance;
  return unit_told ? fmt::format("{} in {}", form, units::units_that_fit(dimension)) : form;
}

/// `4.000 cfm` is four: where thousands are usual, three zeros or digits behind a point may be
/// meant as such.
void warn_of_thousands(const Node& node, units::Dimension dimension, Problems& problems) {
  using units::Dimension;
  if (dimension != Dimension::airflow && dimension != Dimension::area &&
      dimension != Dimension::volume) {
    return;
  }
  const std::string_view text = trimmed(node.text);
  const std::size_t point = std::min(text.find_first_not_of("0123456789"), text.size());
  const std::size_t end = std::min(text.find_first_not_of("0123456789", point + 1), text.size());
  if (point == 0 || point > 3 || text[0] == '0' || point >= text.size() || text[point] != '.' ||
      end - point != 4) {
    return;
  }
  const std::string_view unit = trimmed(text.substr(end));
  auto& remark = problems.warning(
      node.span,
      "number-out-of-range",
      fmt::format("{} is read as {} and a fraction", shown(text), text.substr(0, point)));
  remark.label = "a point parts decimals, not thousands";
  remark.help = fmt::format(
      "for thousands write {}",
      shown(fmt::format("{}{} {}", text.substr(0, point), text.substr(point + 1, 3), unit)));
}

/// Keys are read as written but for hyphen and underscore.
bool is_key(std::string_view written, std::string_view key) {
  const auto plain = [](char c) { return c == '_' ? '-' : c; };
  return std::ranges::equal(written, key, {}, plain, plain);
}

const Entry* find_forgiving(const Node& node, std::string_view key) {
  const auto found = std::ranges::find_if(
      node.entries, [&](const Entry& entry) { return is_key(entry.key, key); });
  return found == node.entries.end() ? nullptr : &*found;
}

}  // namespace

base::Diagnostic& Problems::error(const base::Span& span, std::string rule, std::string message) {
  base::Diagnostic diagnostic;
  diagnostic.rule = std::move(rule);
  diagnostic.message = std::move(message);
  diagnostic.source = source_;
  diagnostic.span = span;
  list_.push_back(std::move(diagnostic));
  return list_.back();
}

base::Diagnostic& Problems::warning(const base::Span& span, std::string rule, std::string message) {
  base::Diagnostic& diagnostic = error(span, std::move(rule), std::move(message));
  diagnostic.severity = base::Severity::warning;
  return diagnostic;
}

void Problems::add(base::Diagnostic diagnostic) { list_.push_back(std::move(diagnostic)); }

base::Span span_within(const Node& node, const base::SourcePtr& source, const TextPart& part) {
  if (source == nullptr || node.kind != NodeKind::scalar || part.offset > node.text.size()) {
    return node.span;
  }
  const std::string_view all = source->text();
  const std::size_t begin = node.span.offset + (node.quoted ? 1 : 0);
  if (begin > all.size() || !all.substr(begin).starts_with(node.text)) {
    return node.span;
  }
  return source->span_at(begin + part.offset,
                         std::min(part.length, node.text.size() - part.offset));
}

void report(const units::TextFault& fault, const Node& node, Problems& problems) {
  const base::Span span = span_within(
      node, problems.source(), TextPart{.offset = fault.offset, .length = fault.length});
  base::Diagnostic& diagnostic = problems.error(span, fault.rule, fault.message);
  diagnostic.label = fault.label;
  diagnostic.help = fault.help;
}

bool is_scalar(const Node& node, std::string_view expected, Problems& problems) {
  if (KeyLog::Asked* log = KeyLog::about(node, problems.source())) {
    log->forms.insert("scalar");
  }
  if (node.kind == NodeKind::scalar) {
    return true;
  }
  problems.error(node.span,
                 node.kind == NodeKind::null ? "missing-value" : "wrong-kind",
                 fmt::format("{} is expected, found {}", expected, found(node)));
  return false;
}

std::optional<double> read_quantity(const Node& node,
                                    units::Dimension dimension,
                                    Problems& problems) {
  if (KeyLog::Asked* log = KeyLog::about(node, problems.source())) {
    log->forms.insert("quantity");
    log->dimensions.insert(dimension);
  }
  const std::string expected = node.kind == NodeKind::scalar ? "" : example_of(dimension);
  if (!is_scalar(node, expected, problems)) {
    return std::nullopt;
  }
  const auto result = units::parse_quantity(node.text, dimension);
  if (const auto* fault = std::get_if<units::TextFault>(&result)) {
    report(*fault, node, problems);
    return std::nullopt;
  }
  warn_of_thousands(node, dimension, problems);
  return std::get<double>(result);
}

std::optional<std::vector<double>> read_column(const Node& node,
                                               units::Dimension dimension,
                                               Problems& problems) {
  if (KeyLog::Asked* log = KeyLog::about(node, problems.source())) {
    log->forms.insert("column");
    log->dimensions.insert(dimension);
  }
  if (node.kind == NodeKind::sequence) {
    std::vector<double> values;
    values.reserve(node.items.size());
    bool complete = !node.items.empty();
    if (node.items.empty()) {
      problems.error(node.span, "missing-value", "the list holds no values");
    }
    for (const Node& item : node.items) {
      if (const auto value = read_quantity(item, dimension, problems)) {
        values.push_back(*value);
      } else {
        complete = false;
      }
    }
    return complete ? std::optional(std::move(values)) : std::nullopt;
  }
  if (!is_scalar(node, "a column of values with one unit at the end, or a list,", problems)) {
    return std::nullopt;
  }
  auto result = units::parse_column(node.text, dimension);
  if (const auto* fault = std::get_if<units::TextFault>(&result)) {
    report(*fault, node, problems);
    return std::nullopt;
  }
  return std::move(std::get<std::vector<double>>(result));
}

std::optional<bool> read_yes_no(const Node& node, Problems& problems) {
  if (KeyLog::Asked* log = KeyLog::about(node, problems.source())) {
    log->forms.insert("yes-no");
  }
  if (!is_scalar(node, "`yes` or `no`", problems)) {
    return std::nullopt;
  }
  const std::string word = base::canonical_word(node.text);
  if (word == "yes" || word == "true" || word == "on") {
    return true;
  }
  if (word == "no" || word == "false" || word == "off") {
    return false;
  }
  problems
      .error(node.span, "not-yes-or-no", fmt::format("{} is neither yes nor no", shown(node.text)))
      .help = "write `yes` or `no`";
  return std::nullopt;
}

std::optional<std::string> read_text(const Node& node, Problems& problems) {
  if (KeyLog::Asked* log = KeyLog::about(node, problems.source())) {
    log->forms.insert("text");
  }
  if (!is_scalar(node, "a text", problems)) {
    return std::nullopt;
  }
  return node.text;
}

std::optional<long> read_whole(const Node& node, Problems& problems) {
  if (KeyLog::Asked* log = KeyLog::about(node, problems.source())) {
    log->forms.insert("whole");
  }
  if (!is_scalar(node, "a whole number", problems)) {
    return std::nullopt;
  }
  std::string_view text = trimmed(node.text);
  if (text.starts_with('+') && !text.starts_with("+-")) {
    text.remove_prefix(1);  // from_chars takes no plus
  }
  long value = 0;
  const auto result = std::from_chars(text.data(), text.data() + text.size(), value);
  if (result.ec != std::errc() || result.ptr != text.data() + text.size() || text.empty()) {
    problems.error(
        node.span, "not-a-number", fmt::format("{} is no whole number", shown(node.text)));
    return std::nullopt;
  }
  return value;
}

std::optional<std::size_t> read_choice(const Node& node,
                                       const std::vector<std::string>& choices,
                                       std::string_view what,
                                       Problems& problems) {
  if (KeyLog::Asked* log = KeyLog::about(node, problems.source())) {
    log->forms.insert("word");
    log->words.insert(choices.begin(), choices.end());
  }
  if (!is_scalar(node, fmt::format("a word for the {}", what), problems)) {
    return std::nullopt;
  }
  const std::string word = base::canonical_word(node.text);
  for (std::size_t i = 0; i < choices.size(); ++i) {
    if (base::canonical_word(choices[i]) == word) {
      return i;
    }
  }
  base::Diagnostic& diagnostic = problems.error(
      node.span, "unknown-word", fmt::format("no {} is named {}", what, shown(node.text)));
  diagnostic.label = "unknown word";
  const auto near = base::nearest(node.text, choices);
  if (near) {
    diagnostic.help = fmt::format("did you mean `{}`?", *near);
    diagnostic.notes.push_back(fmt::format("known: {}", base::joined(choices)));
  } else {
    diagnostic.help = fmt::format("one of {}", base::joined(choices));
  }
  return std::nullopt;
}

MapReader::MapReader(const Node& node, std::string what, Problems& problems)
    : node_(&node),
      what_(std::move(what)),
      problems_(&problems),
      mapping_(node.kind == NodeKind::mapping) {
  if (KeyLog::Asked* log = KeyLog::about(node, problems.source())) {
    log->mapping = what_;
  }
  if (!mapping_) {
    problems
        .error(node.span,
               node.kind == NodeKind::null ? "missing-value" : "wrong-kind",
               fmt::format("{} is a mapping of keys, found {}", what_, found(node)))
        .help = "write `key: value` lines, or `{key: value, ...}`";
  }
}

const Node* MapReader::get_or_empty(std::string_view key) {
  allow(key);
  const Entry* entry = mapping_ ? find_forgiving(*node_, key) : nullptr;
  return entry == nullptr ? nullptr : &entry->value;
}

const Node* MapReader::get(std::string_view key) {
  allow(key);
  const Entry* entry = mapping_ ? find_forgiving(*node_, key) : nullptr;
  if (entry == nullptr) {
    return nullptr;
  }
  if (entry->value.kind == NodeKind::null) {
    // Asked for twice, it is still one fault.
    const bool reported = std::any_of(
        problems_->list().begin(), problems_->list().end(), [&](const base::Diagnostic& d) {
          return d.rule == "missing-value" && d.span.offset == entry->key_span.offset &&
                 d.span.line == entry->key_span.line;
        });
    if (!reported) {
      problems_
          ->error(
              entry->key_span, "missing-value", fmt::format("{} has no value", shown(entry->key)))
          .help = "give it a value, or remove the key";
    }
    return nullptr;
  }
  return &entry->value;
}

const Node* MapReader::require(std::string_view key, std::string_view example) {
  if (KeyLog::Asked* log = KeyLog::about(*node_, problems_->source())) {
    log->required.insert(std::string(key));
  }
  const Node* value = get(key);
  if (value == nullptr && mapping_ && find_forgiving(*node_, key) == nullptr) {
    if (misspells({key})) {
      return nullptr;
    }
    base::Diagnostic& diagnostic =
        problems_->error(node_->span, "missing-key", fmt::format("{} has no `{}`", what_, key));
    if (!example.empty()) {
      diagnostic.help = fmt::format("add such as `{}: {}`", key, example);
    }
  }
  return value;
}

bool MapReader::misspells(std::initializer_list<std::string_view> keys) const {
  const std::vector<std::string> wanted(keys.begin(), keys.end());
  return mapping_ && std::ranges::any_of(node_->entries, [&](const Entry& entry) {
           return std::ranges::find(known_, entry.key) == known_.end() &&
                  base::nearest(entry.key, wanted).has_value();
         });
}

std::optional<double> MapReader::quantity(std::string_view key, units::Dimension dimension) {
  const Node* value = get(key);
  return value == nullptr ? std::nullopt : read_quantity(*value, dimension, *problems_);
}

std::optional<std::string> MapReader::text(std::string_view key) {
  const Node* value = get(key);
  return value == nullptr ? std::nullopt : read_text(*value, *problems_);
}

std::optional<bool> MapReader::yes_no(std::string_view key) {
  const Node* value = get(key);
  return value == nullptr ? std::nullopt : read_yes_no(*value, *problems_);
}

void MapReader::allow(std::string_view key) {
  if (std::find(known_.begin(), known_.end(), key) == known_.end()) {
    known_.emplace_back(key);
  }
  if (KeyLog::Asked* log = KeyLog::about(*node_, problems_->source())) {
    if (std::find(log->keys.begin(), log->keys.end(), key) == log->keys.end()) {
      log->keys.emplace_back(key);
    }
  }
}

void MapReader::finish() {
  if (!mapping_) {
    return;
  }
  const auto is_known = [&](const Entry& entry) {
    return std::ranges::any_of(known_,
                               [&](const std::string& key) { return is_key(entry.key, key); });
  };
  const auto unknown = static_cast<std::size_t>(
      std::count_if(node_->entries.begin(), node_->entries.end(), std::not_fn(is_known)));
  std::size_t told = 0;
  for (const Entry& entry : node_->entries) {
    if (is_known(entry)) {
      continue;
    }
    base::Diagnostic& diagnostic = problems_->error(
        entry.key_span, "unknown-key", fmt::format("{} has no key {}", what_, shown(entry.key)));
    diagnostic.label = "unknown key";
    if (const auto near = base::nearest(entry.key, known_)) {
      diagnostic.help = fmt::format("did you mean `{}`?", *near);
    } else if (!known_.empty()) {
      diagnostic.help = fmt::format("known keys: {}", base::joined(known_, "and"));
    } else {
      diagnostic.help = "no keys are known here";
    }
    if (++told == kMostUnknownKeys && unknown > told) {
      diagnostic.notes.push_back(fmt::format("{} more unknown keys here", unknown - told));
      break;
    }
  }
}

}  // namespace ductledger::yaml
