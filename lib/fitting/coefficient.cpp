#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "base/text.hpp"
#include "duct/section.hpp"
#include "fitting/catalogue_internal.hpp"
#include "fitting/evaluate_internal.hpp"

namespace ductledger::fitting {
namespace {

using Missing = Catalogue::Missing;

std::string as_written(const duct::Section& section) {
  return duct::to_text(section, duct::likely_system(section));
}

Missing unknown_type(const Piece& piece,
                     const std::string& type,
                     const std::vector<std::string>& types) {
  Missing missing{.rule = "unknown-type", .message = "", .help = "", .parameter = ""};
  if (type.empty()) {
    missing.message =
        fmt::format("{} of {} has no default type", word(piece.kind), as_written(piece.upstream));
    missing.help = fmt::format("state the type: {}", base::joined(types));
    return missing;
  }
  missing.message = fmt::format("no {} is named `{}`", word(piece.kind), base::escaped(type));
  if (const auto near = base::nearest(type, types)) {
    missing.help = fmt::format("did you mean `{}`?", *near);
  } else {
    missing.help = fmt::format("one of {}", base::joined(types));
  }
  return missing;
}

const DataSet* chosen_set(const Entry& entry, const std::string& source) {
  if (source.empty()) {
    return entry.standard();
  }
  const auto selectable = [](const DataSet& set) {
    return set.role == Role::standard || set.role == Role::alternative;
  };
  for (const DataSet& set : entry.data) {
    if (selectable(set) && set.key == source) {
      return &set;
    }
  }
  for (const DataSet& set : entry.data) {
    if (selectable(set) && set.source == source) {
      return &set;
    }
  }
  return nullptr;
}

Missing unknown_source(const Entry& entry, const std::string& source) {
  std::vector<std::string> keys;
  for (const DataSet& set : entry.data) {
    if (set.role == Role::standard || set.role == Role::alternative) {
      keys.push_back(set.key);
    }
  }
  Missing missing{.rule = "unknown-source",
                  .message = fmt::format(
                      "{} has no data set `{}` to choose", entry.key(), base::escaped(source)),
                  .help = fmt::format("one of {}", base::joined(keys)),
                  .parameter = "source"};
  if (const auto near = base::nearest(source, keys)) {
    missing.help = fmt::format("did you mean `{}`?", *near);
  }
  return missing;
}

}  // namespace

std::variant<Coefficient, Catalogue::Missing> Catalogue::coefficient(const Piece& piece) const {
  const bool type_defaulted = piece.type.empty();
  const std::string type = type_defaulted ? default_type(piece.kind, piece.upstream) : piece.type;
  if (type.empty() || !impl_->types.contains(HeldBefore::View{piece.kind, type})) {
    return unknown_type(piece, type, types(piece.kind));
  }
  const Entry* entry = impl_->fitting_entry(piece, type);
  if (entry == nullptr) {
    const bool changes = piece.kind == Kind::transition;
    return Missing{.rule = "wrong-section",
                   .message = changes ? fmt::format("no transition `{}` leads from {} to {}",
                                                    type,
                                                    as_written(piece.upstream),
                                                    as_written(piece.downstream))
                                      : fmt::format("{} `{}` is not known for {}",
                                                    word(piece.kind),
                                                    type,
                                                    as_written(piece.upstream)),
                   .help = impl_->instead_of(piece) + "state the piece's `coefficient`",
                   .parameter = ""};
  }
  const DataSet* set = chosen_set(*entry, piece.source);
  if (set == nullptr) {
    return unknown_source(*entry, piece.source);
  }
  const auto known = parameters(piece.kind, type);
  for (const auto& stated : piece.parameters) {
    const auto same = [&stated](const Parameter& p) { return p.name == stated.first; };
    if (std::none_of(known.begin(), known.end(), same)) {
      std::vector<std::string> names;
      names.reserve(known.size());
      for (const Parameter& p : known) {
        names.push_back(p.name);
      }
      const auto near = base::nearest(stated.first, names);
      return Missing{
          .rule = "unknown-parameter",
          .message = fmt::format(
              "{} `{}` has no parameter `{}`", word(piece.kind), type, base::escaped(stated.first)),
          .help = near            ? fmt::format("did you mean `{}`?", *near)
                  : names.empty() ? std::string("it takes none")
                                  : fmt::format("it takes {}", base::joined(names, "and")),
          .parameter = stated.first};
    }
  }
  auto result =
      evaluate(*entry, *set, piece, [this](std::string_view name) { return impl_->table(name); });
  if (auto* coefficient = std::get_if<Coefficient>(&result)) {
    coefficient->type_defaulted = type_defaulted;
  }
  return result;
}

std::vector<Coefficient> Catalogue::alternatives(const Piece& piece) const {
  std::vector<Coefficient> list;
  const auto taken = coefficient(piece);
  const auto* own = std::get_if<Coefficient>(&taken);
  if (own == nullptr) {
    return list;
  }
  const Entry& held = *entry(own->entry);
  for (const DataSet& set : held.data) {
    const bool selectable = set.role == Role::standard || set.role == Role::alternative;
    if (!selectable || set.key == own->data_set) {
      continue;
    }
    auto other =
        evaluate(held, set, piece, [this](std::string_view name) { return impl_->table(name); });
    if (auto* coefficient = std::get_if<Coefficient>(&other)) {
      list.push_back(std::move(*coefficient));
    }
  }
  return list;
}

}  // namespace ductledger::fitting
