#include "fitting/catalogue.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "base/expects.hpp"
#include "base/sha256.hpp"
#include "base/text.hpp"
#include "duct/section.hpp"
#include "fitting/catalogue_internal.hpp"
#include "fitting/entry.hpp"
#include "fitting/evaluate_internal.hpp"
#include "yaml/parse.hpp"

namespace ductledger::fitting {
namespace {

constexpr std::string_view kSourcesFile = "sources.yaml";
constexpr std::string_view kMaterialsFile = "materials.yaml";

}  // namespace

const Document& Catalogue::Impl::document(File& file) const {
  if (const Document* ready = file.ready.get()) {
    return *ready;
  }
  const base::Lock<base::RecursiveMutex> lock(guard);
  if (!file.document) {
    auto document = std::make_shared<Document>();
    const yaml::Tree tree = tree_of(*file.embedded);
    yaml::Problems problems(tree.source);
    const Known known{.sources = nullptr,
                      .table = [this](std::string_view name) { return table(name); }};
    *document = read_document(tree, known, problems);
    // The compiled-in files are read whole by a test; a fault here is ours.
    DUCTLEDGER_EXPECTS(!problems.has_error());
    file.document = std::move(document);
  }
  file.ready.set(file.document.get());
  return *file.document;
}

const std::vector<Source>& Catalogue::Impl::all_sources() const {
  const base::Lock<base::RecursiveMutex> lock(guard);
  if (!sources) {
    sources.emplace();
    for (const EmbeddedFile& file : embedded_files()) {
      if (file.path != kSourcesFile) {
        continue;
      }
      const yaml::Tree tree = tree_of(file);
      yaml::Problems problems(tree.source);
      sources = read_sources(tree.root, problems);
      DUCTLEDGER_EXPECTS(!problems.has_error());
    }
  }
  return *sources;
}

namespace {

/// Each key once, the latest in the first one's place.
void put_latest(std::vector<const Entry*>& list, const Entry& entry) {
  const auto same = std::ranges::find_if(list, [&entry](const Entry* e) {
    return e->kind == entry.kind && e->type == entry.type && e->variant == entry.variant;
  });
  if (same == list.end()) {
    list.push_back(&entry);
  } else {
    *same = &entry;
  }
}

}  // namespace

void Catalogue::Impl::lay_out_types() {
  types.clear();
  types_of.clear();
  for (const File& file : files) {
    for (const Held& held : file.held) {
      if (types.try_emplace(held).second) {
        types_of[held.kind].push_back(held.type);
      }
    }
  }
}

const OfType& Catalogue::Impl::of_type(Kind kind, std::string_view type) const {
  static const OfType nothing;
  const auto found = types.find(HeldBefore::View{kind, type});
  if (found == types.end()) {
    return nothing;
  }
  TypeSlot& slot = found->second;
  if (const OfType* ready = slot.ready.get()) {
    return *ready;
  }
  const base::Lock<base::RecursiveMutex> lock(guard);
  if (slot.all == nullptr) {
    auto all = std::make_unique<OfType>();
    for (File& file : files) {
      if (std::ranges::none_of(file.held, [&](const Held& held) {
            return held.kind == kind && held.type == type;
          })) {
        continue;
      }
      for (const Entry& entry : document(file).entries) {
        if (entry.kind == kind && entry.type == type) {
          put_latest(all->entries, entry);
          all->traits = overlaid(std::move(all->traits), entry.traits);
        }
      }
    }
    slot.all = std::move(all);
  }
  slot.ready.set(slot.all.get());
  return *slot.all;
}

std::vector<const Entry*> Catalogue::Impl::entries(Kind kind) const {
  std::vector<const Entry*> list;
  for (File& file : files) {
    if (std::ranges::find(file.held, kind, &Held::kind) == file.held.end()) {
      continue;
    }
    for (const Entry& entry : document(file).entries) {
      if (entry.kind == kind) {
        put_latest(list, entry);
      }
    }
  }
  return list;
}

const SupportTable* Catalogue::Impl::table(std::string_view name) const {
  for (std::size_t i = files.size(); i-- > 0;) {
    File& file = files[i];
    if (std::find(file.tables.begin(), file.tables.end(), name) == file.tables.end()) {
      continue;
    }
    for (const SupportTable& table : document(file).tables) {
      if (table.name == name) {
        return &table;
      }
    }
  }
  return nullptr;
}

std::string Catalogue::Impl::instead_of(const Piece& piece) const {
  std::vector<std::string> those;
  for (const auto& [held, slot] : types) {
    if (held.kind == piece.kind && fitting_entry(piece, held.type) != nullptr) {
      those.push_back('`' + held.type + '`');
    }
  }
  return those.empty() ? std::string() : fmt::format("take {}, or ", base::joined(those));
}

const Entry* Catalogue::Impl::fitting_entry(const Piece& piece, const std::string& type) const {
  const auto& list = of_type(piece.kind, type).entries;
  const auto found = std::find_if(
      list.rbegin(), list.rend(), [&piece](const Entry* entry) { return fits(*entry, piece); });
  return found == list.rend() ? nullptr : *found;
}

namespace {

/// Over all these entries: the first one's default, the widest range.
std::vector<Catalogue::Parameter> parameters_of(const std::vector<const Entry*>& entries) {
  using Parameter = Catalogue::Parameter;
  std::vector<Parameter> list;
  for (const Entry* entry : entries) {
    for (const Parameter& p : entry->parameters) {
      const auto same = [&p](const Parameter& q) { return q.name == p.name; };
      const auto known = std::find_if(list.begin(), list.end(), same);
      if (known == list.end()) {
        list.push_back(p);
      } else {
        known->lowest = std::min(known->lowest, p.lowest);
        known->highest = std::max(known->highest, p.highest);
        known->required = known->required && p.required;
      }
    }
  }
  return list;
}

}  // namespace

Catalogue::Catalogue() : impl_(std::make_unique<Impl>()) {}
Catalogue::~Catalogue() = default;
Catalogue::Catalogue(const Catalogue& other) : impl_(std::make_unique<Impl>(*other.impl_)) {}
Catalogue& Catalogue::operator=(const Catalogue& other) {
  if (this != &other) {
    impl_ = std::make_unique<Impl>(*other.impl_);
  }
  return *this;
}

const Catalogue& Catalogue::built_in() {
  static const Catalogue catalogue = [] {
    Catalogue made;
    for (const EmbeddedFile& embedded : embedded_files()) {
      if (embedded.kind.empty() && embedded.table.empty()) {
        continue;  // sources, materials, sizes: no fittings
      }
      File file;
      file.embedded = &embedded;
      file.content = embedded.tree;
      if (const auto kind = kKindWords.find(embedded.kind)) {
        file.held.push_back({*kind, std::string(embedded.type)});
      }
      if (!embedded.table.empty()) {
        file.tables.emplace_back(embedded.table);
      }
      made.impl_->files.push_back(std::move(file));
    }
    made.impl_->lay_out_types();
    made.impl_->hash = embedded_hash();
    return made;
  }();
  return catalogue;
}

base::Diagnostics Catalogue::add(const base::SourcePtr& text) {
  auto tree = yaml::parse(text);
  if (!tree) {
    return std::move(tree).error();
  }
  yaml::Problems problems(text);
  for (const base::Diagnostic& warning : tree->warnings) {
    problems.add(warning);
  }
  const Known known{.sources =
                        [this] {
                          std::vector<std::string> keys;
                          for (const Source& source : impl_->all_sources()) {
                            keys.push_back(source.key);
                          }
                          return keys;
                        },
                    .table = [this](std::string_view name) { return impl_->table(name); }};
  auto document = std::make_shared<Document>(read_document(*tree, known, problems));
  auto found = problems.take();
  if (base::has_error(found)) {
    base::sort_by_place(found);
    return found;
  }
  File file;
  file.text = text;
  file.content = text->text();
  for (const Entry& entry : document->entries) {
    file.held.push_back({entry.kind, entry.type});
  }
  for (const SupportTable& table : document->tables) {
    file.tables.push_back(table.name);
  }
  if (!document->sources.empty()) {
    impl_->all_sources();
    impl_->sources->insert(
        impl_->sources->end(), document->sources.begin(), document->sources.end());
  }
  file.document = std::move(document);
  impl_->files.push_back(std::move(file));
  impl_->lay_out_types();
  impl_->hash.clear();
  return found;
}

std::vector<std::string> Catalogue::types(Kind kind) const {
  const auto found = impl_->types_of.find(kind);
  return found == impl_->types_of.end() ? std::vector<std::string>() : found->second;
}

std::vector<Catalogue::Parameter> Catalogue::parameters(Kind kind, std::string_view type) const {
  return type.empty() ? std::vector<Parameter>()
                      : parameters_of(impl_->of_type(kind, type).entries);
}

std::vector<Catalogue::Parameter> Catalogue::parameters(Kind kind,
                                                        std::string_view type,
                                                        const duct::Section& section) const {
  if (type.empty()) {
    return {};
  }
  std::vector<const Entry*> list = impl_->of_type(kind, type).entries;
  std::erase_if(list, [&section](const Entry* entry) {
    return std::ranges::none_of(
        entry->from_to, [&section](const auto& pair) { return pair[0].holds(section.shape()); });
  });
  return parameters_of(list);
}

std::string Catalogue::default_type(Kind kind, const duct::Section& section) const {
  std::string type;
  if (kind == Kind::cap) {
    return type;
  }
  for (const Entry* entry : impl_->entries(kind)) {
    if (entry->default_for.holds(section.shape())) {
      type = entry->type;
    }
  }
  return type;
}

std::string Catalogue::default_cap(Outlet place, const duct::Section& section) const {
  std::string type;
  // Of every file, the replaced ones too: who replaces a cap's figures keeps its place.
  for (File& file : impl_->files) {
    if (!std::ranges::any_of(file.held, [](const Held& h) { return h.kind == Kind::cap; })) {
      continue;
    }
    for (const Entry& entry : impl_->document(file).entries) {
      if (entry.kind == Kind::cap && entry.default_for.holds(section.shape()) &&
          traits(Kind::cap, entry.type).stands_at(place)) {
        type = entry.type;
      }
    }
  }
  return type;
}

Traits Catalogue::traits(Kind kind, std::string_view type) const {
  return impl_->of_type(kind, type).traits;
}

std::string Catalogue::type_with(Kind kind, const std::function<bool(const Traits&)>& such) const {
  const auto all = impl_->types_of.find(kind);
  if (all == impl_->types_of.end()) {
    return {};
  }
  const auto found = std::ranges::find_if(all->second, [&](const std::string& type) {
    return such(impl_->of_type(kind, type).traits);
  });
  return found == all->second.end() ? std::string() : *found;
}

std::optional<Catalogue::Covered> Catalogue::covered(const Entry& entry,
                                                     const DataSet& set,
                                                     std::string_view variable) const {
  return covered_by(
      entry, set, variable, [this](std::string_view name) { return impl_->table(name); });
}

std::vector<Catalogue::Added> Catalogue::added() const {
  std::vector<Added> list;
  for (const File& file : impl_->files) {
    if (file.text) {
      list.push_back({file.text->name(), file.text->sha256()});
    }
  }
  return list;
}

std::vector<const Entry*> Catalogue::entries() const {
  std::vector<const Entry*> list;
  for (const auto& [kind, word] : kKindWords) {
    const auto some = impl_->entries(kind);
    list.insert(list.end(), some.begin(), some.end());
  }
  return list;
}

const Entry* Catalogue::entry(std::string_view key) const {
  const std::size_t after_kind = key.find('/');
  const auto kind = kKindWords.find(key.substr(0, after_kind));
  if (!kind || after_kind == std::string_view::npos) {
    return nullptr;
  }
  // Only the files that hold the type are read.
  const std::string_view rest = key.substr(after_kind + 1);
  for (const Entry* entry : impl_->of_type(*kind, rest.substr(0, rest.find('/'))).entries) {
    if (entry->key() == key) {
      return entry;
    }
  }
  return nullptr;
}

std::vector<const SupportTable*> Catalogue::tables() const {
  std::vector<const SupportTable*> list;
  for (const File& file : impl_->files) {
    for (const std::string& name : file.tables) {
      const SupportTable* latest = impl_->table(name);
      if (std::find(list.begin(), list.end(), latest) == list.end()) {
        list.push_back(latest);
      }
    }
  }
  return list;
}

const SupportTable* Catalogue::table(std::string_view name) const { return impl_->table(name); }

std::vector<Source> Catalogue::sources() const { return impl_->all_sources(); }

std::optional<Source> Catalogue::source(std::string_view key) const {
  const auto& all = impl_->all_sources();
  const auto found = std::find_if(
      all.rbegin(), all.rend(), [key](const Source& source) { return source.key == key; });
  return found == all.rend() ? std::nullopt : std::optional(*found);
}

std::string Catalogue::content_hash() const {
  const base::Lock<base::RecursiveMutex> lock(impl_->guard);
  if (!impl_->hash.empty()) {
    return impl_->hash;
  }
  base::Sha256 hash;
  for (const File& file : impl_->files) {
    add_content(hash, file.content);
  }
  impl_->hash = hash.hex();
  return impl_->hash;
}

}  // namespace ductledger::fitting
