#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "base/text.hpp"
#include "layout/facts.hpp"
#include "rules/fact.hpp"
#include "rules/judge.hpp"
#include "rules/read_internal.hpp"

namespace ductledger::rules {
namespace {

using yaml::Node;
using yaml::NodeKind;

std::string ops_that_fit(FactKind kind) {
  switch (kind) {
    case FactKind::quantity:
      return "min, max, above, below or equals";
    case FactKind::word:
      return "equals, one_of or forbidden";
    case FactKind::yes_no:
      break;
  }
  return "required or forbidden";
}

bool fits(Op op, FactKind kind) {
  switch (op) {
    case Op::min:
    case Op::max:
    case Op::above:
    case Op::below:
      return kind == FactKind::quantity;
    case Op::equals:
      return kind != FactKind::yes_no;
    case Op::one_of:
      return kind == FactKind::word;
    case Op::required:
      return kind == FactKind::yes_no;
    case Op::forbidden:
      break;
  }
  return kind != FactKind::quantity;
}

std::vector<std::string> read_words(const Node& node, const Fact& fact, yaml::Problems& problems) {
  std::vector<std::string> words;
  const std::vector<std::string>& known = fact.words;
  const auto take = [&](const Node& item) {
    if (known.empty()) {
      if (const auto text = yaml::read_text(item, problems)) {
        words.push_back(layout::listing_name(*text));
      }
    } else if (const auto at = yaml::read_choice(item, known, fact.noun, problems)) {
      words.push_back(known[*at]);
    }
  };
  if (node.kind == NodeKind::sequence) {
    for (const Node& item : node.items) {
      take(item);
    }
  } else {
    take(node);
  }
  return words;
}

const Fact* read_fact(const Node& node, std::size_t& index, yaml::Problems& problems);

/// `min: {fact: appliance.maker.hood_height_least}`: the bound is what another fact states.
void read_bound_by(const Node& node, const Fact& fact, Limit& limit, yaml::Problems& problems) {
  yaml::MapReader map(node, "bound", problems);
  const Node* name = map.require("fact", "appliance.maker.hood_height_least");
  std::size_t index = 0;
  const Fact* other = name == nullptr ? nullptr : read_fact(*name, index, problems);
  map.finish();
  if (other == nullptr) {
    return;
  }
  if (other->kind != FactKind::quantity || other->dimension != fact.dimension) {
    problems
        .error(name->span,
               "bound-does-not-fit",
               fmt::format("`{}` cannot bound `{}`: they are not of one kind of quantity",
                           other->name,
                           fact.name))
        .help = "name a fact that is measured in the same units";
    return;
  }
  limit.bound_by = index;
}

void read_bound(const Node& node, const Fact& fact, Limit& limit, yaml::Problems& problems) {
  if (fact.kind == FactKind::quantity && node.kind == NodeKind::mapping) {
    read_bound_by(node, fact, limit, problems);
  } else if (fact.kind == FactKind::quantity) {
    limit.value_si = yaml::read_quantity(node, fact.dimension, problems).value_or(0.0);
  } else if (fact.kind == FactKind::word) {
    limit.words = read_words(node, fact, problems);
  } else if (const auto yes = yaml::read_yes_no(node, problems); yes && !*yes) {
    limit.op = limit.op == Op::required ? Op::forbidden : Op::required;
  }
}

/// There are too many facts to list them all in a message.
const Fact* read_fact(const Node& node, std::size_t& index, yaml::Problems& problems) {
  if (!yaml::is_scalar(node, "the name of a fact", problems)) {
    return nullptr;
  }
  const auto at = find_fact(base::trimmed(node.text));
  if (!at) {
    base::Diagnostic& fault = problems.error(
        node.span, "unknown-fact", fmt::format("no fact is named {}", base::shown(node.text)));
    const auto near = base::nearest(node.text, fact_names());
    fault.help = near ? fmt::format("did you mean `{}`?", *near)
                      : "a key of the layout such as `run.termination.to_opening`, or a worked-out "
                        "value such as `delivered-airflow`";
    return nullptr;
  }
  index = *at;
  return &facts()[*at];
}

std::optional<Limit> read_limit(const Node& node, yaml::Problems& problems) {
  yaml::MapReader map(node, "limit", problems);
  if (!map.is_mapping()) {
    return std::nullopt;
  }
  Limit limit;
  limit.span = node.span;
  const Node* name = map.require("fact", "distance-to-opening");
  const Fact* fact = nullptr;
  if (name != nullptr) {
    fact = read_fact(*name, limit.fact, problems);
  }
  const Node* bound = nullptr;
  for (const auto& [op, op_word] : kOpWords) {
    const Node* given = map.get(op_word);
    if (given == nullptr) {
      continue;
    }
    if (bound != nullptr) {
      problems.error(given->span, "two-bounds", "this limit states two bounds").help =
          "write each bound as a limit of its own";
      continue;
    }
    bound = given;
    limit.op = op;
  }
  map.finish();
  if (fact == nullptr) {
    return std::nullopt;
  }
  if (bound == nullptr) {
    problems
        .error(node.span, "no-bound", fmt::format("this limit on `{}` states no bound", fact->name))
        .help = "add one of " + ops_that_fit(fact->kind);
    return std::nullopt;
  }
  if (!fits(limit.op, fact->kind)) {
    problems
        .error(bound->span,
               "bound-does-not-fit",
               fmt::format("`{}` does not fit `{}`, which is {}",
                           word(limit.op),
                           fact->name,
                           fact->kind == FactKind::quantity ? "a quantity"
                           : fact->kind == FactKind::word   ? "a word"
                                                            : "yes or no"))
        .help = "use " + ops_that_fit(fact->kind);
    return std::nullopt;
  }
  read_bound(*bound, *fact, limit, problems);
  return limit;
}

void read_limits(const Node* node,
                 const char* what,
                 std::vector<Limit>& limits,
                 yaml::Problems& problems) {
  if (node == nullptr) {
    return;
  }
  limits.clear();
  if (node->kind != NodeKind::sequence) {
    problems.error(node->span, "wrong-kind", fmt::format("`{}` must be a list", what)).help =
        "write each as `- {fact: distance-to-opening, min: 3 ft}`";
    return;
  }
  for (const Node& item : node->items) {
    if (const auto limit = read_limit(item, problems)) {
      limits.push_back(*limit);
    }
  }
}

void read_with(const Node* node, const RuleCheck* check, Rule& rule, yaml::Problems& problems) {
  if (check == nullptr) {
    if (node != nullptr && rule.check.empty()) {
      problems.error(node->span, "with-nothing", "`with` is given, and no `check` that takes it")
          .help = "name the check, or take `with` out";
    }
    return;
  }
  if (node == nullptr) {
    return;
  }
  yaml::MapReader map(*node, "with", problems);
  for (const RuleCheckParameter& parameter : check->parameters) {
    const Node* value = map.get(parameter.name);
    if (value == nullptr) {
      continue;
    }
    if (parameter.kind == FactKind::quantity) {
      if (const auto si = yaml::read_quantity(*value, parameter.dimension, problems)) {
        rule.numbers[parameter.name] = *si;
      }
    } else if (const auto at = yaml::read_choice(
                   *value, base::split(parameter.words), parameter.name, problems)) {
      rule.words[parameter.name] = base::split(parameter.words)[*at];
    }
  }
  map.finish();
}

void read_check(yaml::MapReader& map, Rule& rule, yaml::Problems& problems) {
  if (const Node* node = map.get("check")) {
    std::vector<std::string> names;
    for (const RuleCheck& check : rule_checks()) {
      names.emplace_back(check.name);
    }
    if (const auto at = yaml::read_choice(*node, names, "check", problems)) {
      if (rule.check != names[*at]) {
        rule.numbers.clear();
        rule.words.clear();
      }
      rule.check = names[*at];
    }
  }
  read_with(map.get("with"), find_rule_check(rule.check), rule, problems);
}

void replace_text(yaml::MapReader& map, const char* key, std::string& text) {
  if (const auto given = map.text(key)) {
    text = *given;
  }
}

void replace_texts(yaml::MapReader& map,
                   const char* key,
                   std::vector<std::string>& texts,
                   yaml::Problems& problems) {
  if (const Node* node = map.get(key)) {
    texts = read_texts(*node, key, problems);
  }
}

bool is_upper(Op op) { return op == Op::max || op == Op::below; }
bool is_lower(Op op) { return op == Op::min || op == Op::above; }

bool contradict(const Limit& a, const Limit& b) {
  if (a.fact != b.fact || a.bound_by || b.bound_by) {
    return false;
  }
  if (is_lower(a.op) && is_upper(b.op)) {
    return a.value_si > b.value_si;
  }
  if (a.op == Op::equals && a.words.empty() && (is_lower(b.op) || is_upper(b.op))) {
    return is_lower(b.op) ? a.value_si < b.value_si : a.value_si > b.value_si;
  }
  if (a.op == Op::required && b.op == Op::forbidden) {
    return true;
  }
  const bool only_a = a.op == Op::one_of || (a.op == Op::equals && !a.words.empty());
  if (only_a && b.op == Op::forbidden) {
    return std::all_of(a.words.begin(), a.words.end(), [&](const std::string& word) {
      return std::find(b.words.begin(), b.words.end(), word) != b.words.end();
    });
  }
  return false;
}

}  // namespace

const std::vector<std::string>& rule_topics() {
  static const std::vector<std::string> topics{"makeup-air",
                                               "combustion",
                                               "discharge",
                                               "duct",
                                               "duct-length",
                                               "exhaust-rate",
                                               "termination",
                                               "clearance",
                                               "fire",
                                               "equipment",
                                               "sound",
                                               "electrical",
                                               "other"};
  return topics;
}

std::vector<std::string> read_texts(const Node& node,
                                    const std::string& what,
                                    yaml::Problems& problems) {
  std::vector<std::string> texts;
  if (node.kind == NodeKind::sequence) {
    for (const Node& item : node.items) {
      if (const auto text = yaml::read_text(item, problems)) {
        texts.push_back(*text);
      }
    }
  } else if (yaml::is_scalar(
                 node, fmt::format("a text or a list of texts for `{}`", what), problems)) {
    texts.push_back(node.text);
  }
  return texts;
}

void read_rule_body(yaml::MapReader& map, Rule& rule, yaml::Problems& problems) {
  replace_text(map, "title", rule.title);
  if (const Node* topic = map.get("topic")) {
    if (const auto at = yaml::read_choice(*topic, rule_topics(), "topic", problems)) {
      rule.topic = rule_topics()[*at];
    }
  }
  replace_text(map, "requirement", rule.requirement);
  if (const Node* kinds = map.get("applies_to")) {
    rule.applies_to.clear();
    const auto take = [&](const Node& item) {
      if (const auto at =
              yaml::read_choice(item, layout::kApplianceKindWords, "appliance kind", problems)) {
        rule.applies_to.push_back(*at);
      }
    };
    if (kinds->kind == NodeKind::sequence) {
      std::for_each(kinds->items.begin(), kinds->items.end(), take);
    } else {
      take(*kinds);
    }
  }
  read_limits(map.get("when"), "when", rule.when, problems);
  read_limits(map.get("limits"), "limits", rule.limits, problems);
  read_limits(map.get("unless"), "unless", rule.unless, problems);
  read_limits(map.get("open_when"), "open_when", rule.open_when, problems);
  read_check(map, rule, problems);
  replace_texts(map, "exceptions", rule.exceptions, problems);
  replace_texts(map, "authority", rule.authority, problems);
  replace_text(map, "mend", rule.mend);
  replace_text(map, "on_site", rule.on_site);
}

void read_rule_place(yaml::MapReader& map, Rule& rule, yaml::Problems& problems) {
  replace_text(map, "section", rule.section);
  if (const Node* recalled = map.get("section_status")) {
    if (const auto at =
            yaml::read_choice(*recalled, {"seen", "memory"}, "status of a section", problems)) {
      rule.section_recalled = *at == 1;
    }
  }
  if (const Node* status = map.get("status")) {
    if (const auto at = yaml::read_choice(*status, kSourceStatusWords, "status", problems)) {
      rule.status = *at;
    }
  }
  replace_text(map, "source", rule.source);
  replace_text(map, "note", rule.note);
}

void check_rule(const Rule& rule, const base::Span& span, yaml::Problems& problems) {
  if (rule.requirement.empty()) {
    problems.error(span, "missing-key", fmt::format("rule `{}` has no `requirement`", rule.id))
        .help = "say in one sentence what is asked for";
  }
  if (rule.limits.empty() && rule.check.empty() && rule.authority.empty()) {
    problems
        .error(span,
               "rule-decides-nothing",
               fmt::format("rule `{}` has neither `limits` nor `check` nor `authority`", rule.id))
        .help = "add `limits`, or `authority` with what has to be asked";
  }
  if (const RuleCheck* check = find_rule_check(rule.check)) {
    for (const RuleCheckParameter& parameter : check->parameters) {
      if (!parameter.optional && rule.numbers.count(parameter.name) == 0 &&
          rule.words.count(parameter.name) == 0 && !problems.has_error()) {
        problems
            .error(span,
                   "missing-key",
                   fmt::format("check `{}` of rule `{}` is not given `{}`",
                               check->name,
                               rule.id,
                               parameter.name))
            .help = fmt::format("add it under `with`");
      }
    }
  }
  for (std::size_t i = 0; i < rule.limits.size(); ++i) {
    for (std::size_t j = 0; j < rule.limits.size(); ++j) {
      if (i != j && contradict(rule.limits[i], rule.limits[j])) {
        base::Diagnostic& fault =
            problems.error(rule.limits[j].span,
                           "contradicting-limits",
                           fmt::format("no value of `{}` meets both limits of rule `{}`",
                                       facts()[rule.limits[i].fact].name,
                                       rule.id));
        fault.others.push_back({rule.limits[i].span, "the other"});
        fault.help = "take out the one that is wrong";
        return;
      }
    }
  }
}

}  // namespace ductledger::rules
