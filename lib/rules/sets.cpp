#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <set>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "rules/read_internal.hpp"
#include "yaml/parse.hpp"

namespace ductledger::rules {
namespace {

using yaml::Node;

struct Library {
  std::vector<RuleSet> sets;
  std::vector<RuleSource> sources;
};

std::size_t topic_rank(const Rule& rule) {
  const auto& topics = rule_topics();
  return static_cast<std::size_t>(std::find(topics.begin(), topics.end(), rule.topic) -
                                  topics.begin());
}

void sort_rules(std::vector<Rule>& rules) {
  std::stable_sort(rules.begin(), rules.end(), [](const Rule& a, const Rule& b) {
    return topic_rank(a) < topic_rank(b);
  });
}

void read_sets_file(const Node& root, Library& library, yaml::Problems& problems) {
  yaml::MapReader map(root, "sets file", problems);
  if (const Node* sets = map.require("sets", "")) {
    for (const Node& item : sets->items) {
      yaml::MapReader row(item, "set", problems);
      RuleSet set;
      set.id = row.text("set").value_or("");
      set.code = row.text("code").value_or("");
      set.title = set.code;
      if (const auto edition = row.text("edition")) {
        set.title += ' ' + *edition;
      }
      set.note = row.text("note").value_or("");
      set.advice = row.yes_no("advice").value_or(false);
      row.finish();
      library.sets.push_back(std::move(set));
    }
  }
  if (const Node* sources = map.require("sources", "")) {
    for (const Node& item : sources->items) {
      yaml::MapReader row(item, "source", problems);
      RuleSource source;
      source.key = row.text("key").value_or("");
      source.title = row.text("title").value_or("");
      source.page = row.text("page").value_or("");
      row.finish();
      library.sources.push_back(std::move(source));
    }
  }
  map.finish();
}

void read_edition(const Node& row_node, Rule rule, Library& library, yaml::Problems& problems) {
  yaml::MapReader row(row_node, "edition", problems);
  const Node* name = row.require("set", "irc-2021");
  read_rule_body(row, rule, problems);
  read_rule_place(row, rule, problems);
  row.finish();
  if (name == nullptr) {
    return;
  }
  const auto set = std::find_if(library.sets.begin(), library.sets.end(), [&](const RuleSet& one) {
    return one.id == name->text;
  });
  if (set == library.sets.end()) {
    problems.error(name->span, "unknown-set", fmt::format("no set is named `{}`", name->text));
    return;
  }
  const bool known =
      rule.source.empty() ||
      std::any_of(library.sources.begin(), library.sources.end(), [&](const RuleSource& source) {
        return source.key == rule.source;
      });
  if (!known || (rule.status == SourceStatus::seen && rule.source.empty())) {
    problems.error(row_node.span, "unknown-source", "a row that was seen names no known source");
  }
  check_rule(rule, row_node.span, problems);
  set->rules.push_back(std::move(rule));
}

void read_rule_file(const Node& root, Library& library, yaml::Problems& problems) {
  yaml::MapReader map(root, "rule", problems);
  Rule rule;
  rule.file = problems.source();
  rule.span = root.span;
  rule.id = map.text("rule").value_or("");
  read_rule_body(map, rule, problems);
  const Node* editions = map.require("editions", "");
  map.finish();
  if (editions != nullptr) {
    for (const Node& row : editions->items) {
      read_edition(row, rule, library, problems);
    }
  }
}

// A fault in a file of our own is a fault of ours.
void expect_none(const base::Diagnostics& faults) {
  if (!faults.empty()) {
    throw base::LogicError(base::render(faults).c_str(), "rules", faults.front().span.line);
  }
}

Library read_library() {
  Library library;
  std::vector<fitting::EmbeddedFile> files(embedded_files().begin(), embedded_files().end());
  std::stable_partition(files.begin(), files.end(), [](const fitting::EmbeddedFile& file) {
    return file.path == "sets.yaml";
  });
  for (const fitting::EmbeddedFile& file : files) {
    const yaml::Tree tree = fitting::tree_of(file);
    yaml::Problems problems(tree.source);
    if (file.path == "sets.yaml") {
      read_sets_file(tree.root, library, problems);
    } else {
      read_rule_file(tree.root, library, problems);
    }
    expect_none(problems.list());
  }
  for (RuleSet& set : library.sets) {
    sort_rules(set.rules);
  }
  return library;
}

const Library& library() {
  static const Library kLibrary = read_library();
  return kLibrary;
}

bool is_file(const std::string& name) {
  return name == "-" || name.find('/') != std::string::npos ||
         base::trimmed(name).ends_with(".yaml") || base::trimmed(name).ends_with(".yml");
}

/// Reads user files and what they extend.
class Selector {
 public:
  explicit Selector(const RuleFileLoader& load) : load_(&load) {}

  std::optional<RuleSet> find(const RuleSetName& name) {
    if (!is_file(name.name)) {
      if (const RuleSet* set = find_built_in(name.name)) {
        return *set;
      }
      unknown(name);
      return std::nullopt;
    }
    const std::string from = name.source ? name.source->name() : std::string();
    const auto source = (*load_)({name.name, from});
    if (!source) {
      for (base::Diagnostic fault : source.error()) {
        if (!fault.source && name.source) {
          fault.source = name.source;
          fault.span = name.span;
        }
        faults_.push_back(std::move(fault));
      }
      return std::nullopt;
    }
    return read(*source, name);
  }

  std::optional<RuleSet> read(const base::SourcePtr& source, const RuleSetName& asked) {
    if (std::find(open_.begin(), open_.end(), source->name()) != open_.end()) {
      cycle(source->name(), asked);
      return std::nullopt;
    }
    open_.push_back(source->name());
    std::optional<RuleSet> set = read_open(source);
    open_.pop_back();
    return set;
  }

  base::Diagnostics take() { return std::move(faults_); }

 private:
  std::optional<RuleSet> read_open(const base::SourcePtr& source) {
    const auto tree = yaml::parse(source);
    if (!tree) {
      faults_.insert(faults_.end(), tree.error().begin(), tree.error().end());
      return std::nullopt;
    }
    yaml::Problems problems(source);
    yaml::MapReader map(tree->root, "rule set", problems);
    if (!map.is_mapping()) {
      add(problems);
      return std::nullopt;
    }
    RuleSet set;
    if (const Node* id = map.require("rule_set", "my-county")) {
      set.id = base::canonical_word(yaml::read_text(*id, problems).value_or(""));
      if (find_built_in(set.id) != nullptr) {
        problems
            .error(id->span,
                   "set-name-taken",
                   fmt::format("`{}` is the name of a set in the program", set.id))
            .help = "give it a name of its own, and `extends: " + set.id + "`";
      }
    }
    set.title = map.text("title").value_or(set.id);
    set.code = set.title;
    set.note = map.text("note").value_or("");
    set.advice = map.yes_no("advice").value_or(false);
    extend(map.get("extends"), source, set, problems);
    const bool whole_base = whole_base_;
    omit(map.get("omit"), set, whole_base, problems);
    const Node* rules = map.get("rules");
    map.finish();
    if (rules != nullptr) {
      read_rules(*rules, set, whole_base, problems);
    }
    sort_rules(set.rules);
    const bool sound = !problems.has_error() && whole_base;
    add(problems);
    return sound ? std::optional(std::move(set)) : std::nullopt;
  }

  void extend(const Node* node,
              const base::SourcePtr& source,
              RuleSet& set,
              yaml::Problems& problems) {
    whole_base_ = true;
    if (node == nullptr) {
      return;
    }
    std::vector<const Node*> names;
    if (node->kind == yaml::NodeKind::sequence) {
      for (const Node& item : node->items) {
        names.push_back(&item);
      }
    } else {
      names.push_back(node);
    }
    bool whole = true;
    for (const Node* one : names) {
      const auto text = yaml::read_text(*one, problems);
      if (!text) {
        whole = false;
        continue;
      }
      const std::optional<RuleSet> base = find({*text, source, one->span});
      if (!base) {
        whole = false;
        continue;
      }
      set.extends.push_back(base->id);
      set.extends.insert(set.extends.end(), base->extends.begin(), base->extends.end());
      for (const Rule& rule : base->rules) {
        set.rules.push_back(rule);
        if (rule.code_title.empty()) {
          set.rules.back().code_title = base->title;
          set.rules.back().from = base->id;
        }
      }
    }
    whole_base_ = whole;
  }

  void omit(const Node* node, RuleSet& set, bool whole_base, yaml::Problems& problems) {
    if (node == nullptr) {
      return;
    }
    for (const std::string& id : read_texts(*node, "omit", problems)) {
      const auto rule = std::find_if(
          set.rules.begin(), set.rules.end(), [&](const Rule& one) { return one.id == id; });
      if (rule != set.rules.end()) {
        set.rules.erase(rule);
      } else if (whole_base) {
        unknown_rule(id, node->span, set, problems);
      }
    }
  }

  static void unknown_rule(const std::string& id,
                           const base::Span& span,
                           const RuleSet& set,
                           yaml::Problems& problems) {
    std::vector<std::string> ids;
    for (const Rule& rule : set.rules) {
      ids.push_back(rule.id);
    }
    base::Diagnostic& fault = problems.error(
        span, "unknown-rule", fmt::format("no rule that is extended is named {}", base::shown(id)));
    if (const auto near = base::nearest(id, ids)) {
      fault.help = fmt::format("did you mean `{}`?", *near);
    }
  }

  static Rule new_rule(const std::string& id) {
    Rule rule;
    rule.id = id;
    rule.title = id;
    rule.topic = "other";
    rule.status = SourceStatus::stated;
    return rule;
  }

  /// What a rule keeps of the one that it stands in place of.
  static Rule overriding(const Rule& base, const RuleSet& set) {
    Rule rule = base;
    rule.note.clear();
    rule.earlier.push_back({.set = base.from.empty() ? set.id : base.from,
                            .cited = cited(set, base),
                            .requirement = requirement_words(base).text(units::System::ip),
                            .bounds = bound_words(base)});
    rule.status = SourceStatus::stated;
    rule.source.clear();
    rule.section.clear();
    rule.section_recalled = false;
    rule.code_title.clear();
    rule.from.clear();
    return rule;
  }

  static void read_rules(const Node& rules,
                         RuleSet& set,
                         bool whole_base,
                         yaml::Problems& problems) {
    if (rules.kind != yaml::NodeKind::sequence) {
      problems.error(rules.span, "wrong-kind", "`rules` must be a list").help =
          "write each rule as `- rule: its-name` with its keys below";
      return;
    }
    std::map<std::string, base::Span> seen;
    for (const Node& item : rules.items) {
      yaml::MapReader map(item, "rule", problems);
      if (!map.is_mapping()) {
        continue;
      }
      const Node* id_node = map.require("rule", "exhaust-opening-property-line");
      const std::string id =
          id_node == nullptr
              ? std::string()
              : base::canonical_word(yaml::read_text(*id_node, problems).value_or(""));
      const auto base = std::ranges::find(set.rules, id, &Rule::id);
      const bool overrides = base != set.rules.end();
      const std::size_t faults_before = problems.list().size();
      Rule rule = overrides ? overriding(*base, set) : new_rule(id);
      rule.file = problems.source();
      rule.span = item.span;
      read_rule_body(map, rule, problems);
      read_rule_place(map, rule, problems);
      map.finish();
      rule.bound_changed = overrides && item.find("requirement") == nullptr &&
                           (rule.bound_changed || bound_words(rule) != bound_words(*base));
      if (rule.section.empty()) {
        rule.section = overrides ? "instead of " + citation(set, *base) : "section not stated";
      }
      if (id_node != nullptr && !seen.emplace(id, id_node->span).second) {
        problems
            .error(id_node->span, "duplicate-rule", fmt::format("rule `{}` stands here twice", id))
            .others.push_back({seen[id], "the first"});
        continue;
      }
      if (problems.list().size() == faults_before && (overrides || whole_base)) {
        check_rule(rule, item.span, problems);
      }
      if (overrides) {
        *base = std::move(rule);
      } else {
        set.rules.push_back(std::move(rule));
      }
    }
  }

  void unknown(const RuleSetName& name) {
    std::vector<std::string> ids;
    for (const RuleSet& set : built_in_rule_sets()) {
      ids.push_back(set.id);
    }
    const auto near = base::nearest(name.name, ids);
    faults_.push_back(
        base::fault_at({name.source, name.span},
                       "unknown-rule-set",
                       fmt::format("no rule set is named {}", base::shown(name.name)),
                       near ? fmt::format("did you mean `{}`?", *near)
                            : "one of " + base::joined(ids) + ", or a file that ends in `.yaml`"));
  }

  void cycle(const std::string& file, const RuleSetName& asked) {
    std::string chain;
    for (auto one = std::find(open_.begin(), open_.end(), file); one != open_.end(); ++one) {
      chain += *one + " -> ";
    }
    base::Diagnostic fault = base::fault_at({asked.source, asked.span},
                                            "rule-sets-extend-each-other",
                                            "rule sets extend each other in a circle",
                                            "take one `extends` out");
    fault.notes.push_back(chain + file);
    faults_.push_back(std::move(fault));
  }

  void add(yaml::Problems& problems) {
    for (base::Diagnostic& fault : problems.take()) {
      faults_.push_back(std::move(fault));
    }
  }

  const RuleFileLoader* load_;
  std::vector<std::string> open_;  ///< files being read, outermost first
  bool whole_base_ = true;
  base::Diagnostics faults_;
};

}  // namespace

std::string citation(const RuleSet& set, const Rule& rule) {
  const std::string& title = rule.code_title.empty() ? set.title : rule.code_title;
  return rule.section.empty() ? title : fmt::format("{}, {}", title, rule.section);
}

std::string_view not_verified(const Rule& rule) noexcept {
  if (rule.status == SourceStatus::memory) {
    return "recalled; number in this edition not verified";
  }
  return rule.section_recalled ? "number in this edition not verified" : "";
}

std::string cited(const RuleSet& set, const Rule& rule) {
  const std::string_view open = not_verified(rule);
  return open.empty() ? citation(set, rule) : fmt::format("{} ({})", citation(set, rule), open);
}

const std::vector<RuleSet>& built_in_rule_sets() { return library().sets; }
const std::vector<RuleSource>& rule_sources() { return library().sources; }

const RuleSet* find_built_in(std::string_view id) {
  const std::string wanted = base::canonical_word(id);
  const auto found = std::find_if(library().sets.begin(),
                                  library().sets.end(),
                                  [&](const RuleSet& set) { return set.id == wanted; });
  return found == library().sets.end() ? nullptr : &*found;
}

base::Checked<RuleSet> read_rule_set(const base::SourcePtr& text, const RuleFileLoader& load) {
  Selector selector(load);
  std::optional<RuleSet> set = selector.read(text, {text->name(), nullptr, {}});
  base::Diagnostics faults = selector.take();
  if (set && !base::has_error(faults)) {
    return *std::move(set);
  }
  return faults;
}

base::Checked<std::vector<RuleSet>> select_rule_sets(std::span<const RuleSetName> names,
                                                     const RuleFileLoader& load) {
  Selector selector(load);
  std::vector<RuleSet> sets;
  for (const RuleSetName& name : names) {
    if (std::optional<RuleSet> set = selector.find(name)) {
      const bool twice = std::any_of(
          sets.begin(), sets.end(), [&](const RuleSet& one) { return one.id == set->id; });
      if (!twice) {
        sets.push_back(*std::move(set));
      }
    }
  }
  base::Diagnostics faults = selector.take();
  if (base::has_error(faults)) {
    return faults;
  }
  std::set<std::string> taken;
  for (const RuleSet& set : sets) {
    taken.insert(set.extends.begin(), set.extends.end());
  }
  sets.erase(
      std::remove_if(
          sets.begin(), sets.end(), [&](const RuleSet& set) { return taken.count(set.id) > 0; }),
      sets.end());
  return sets;
}

}  // namespace ductledger::rules
