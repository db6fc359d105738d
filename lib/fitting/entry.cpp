#include "fitting/entry.hpp"

#include <algorithm>

namespace ductledger::fitting {
namespace {

const DataSet* find_in(const std::vector<DataSet>& sets, std::string_view key) noexcept {
  const auto found =
      std::find_if(sets.begin(), sets.end(), [key](const DataSet& set) { return set.key == key; });
  return found == sets.end() ? nullptr : &*found;
}

}  // namespace

const char* word(Kind kind) noexcept {
  switch (kind) {
    case Kind::elbow:
      return "elbow";
    case Kind::transition:
      return "transition";
    case Kind::damper:
      return "damper";
    case Kind::cap:
      return "cap";
    case Kind::screen:
      return "screen";
    case Kind::filter:
      return "filter";
    case Kind::entry:
      return "entry";
    case Kind::flex:
      return "flex";
    case Kind::junction:
      return "junction";
  }
  return "";
}

std::string in_words(std::string_view type) {
  std::string text(type);
  std::ranges::replace(text, '-', ' ');
  return text;
}

const char* word(Status status) noexcept {
  switch (status) {
    case Status::seen:
      return "seen";
    case Status::memory:
      return "memory";
    case Status::derived:
      return "derived";
    case Status::computed:
      return "computed";
    case Status::assumed:
      return "assumed";
    case Status::common_practice:
      return "common practice";
  }
  return "";
}

const char* word(Role role) noexcept {
  switch (role) {
    case Role::standard:
      return "default";
    case Role::alternative:
      return "alternative";
    case Role::factor:
      return "factor";
    case Role::companion:
      return "companion";
  }
  return "";
}

std::size_t DataSet::value_count() const noexcept {
  std::size_t count = range ? 2 : 0;
  // A bare 1 that only carries factors is no figure of the source.
  const bool carrier =
      table && table->axes.empty() && table->values.front() == 1.0 && !factors.empty();
  if (table && !carrier) {
    count += table->values.size();
  }
  if (reynolds && reynolds->table) {
    count += reynolds->table->values.size();
  }
  return count;
}

bool ShapeSet::holds(duct::Shape shape) const noexcept {
  switch (shape) {
    case duct::Shape::round:
      return round;
    case duct::Shape::rectangular:
      return rectangular;
    case duct::Shape::flat_oval:
      return flat_oval;
  }
  return false;
}

std::string Entry::key() const {
  std::string key = std::string(word(kind)) + "/" + type;
  if (!variant.empty()) {
    key += "/" + variant;
  }
  return key;
}

const DataSet* Entry::find(std::string_view data_key) const noexcept {
  return find_in(data, data_key);
}

const DataSet* Entry::standard() const noexcept {
  const auto found = std::find_if(
      data.begin(), data.end(), [](const DataSet& set) { return set.role == Role::standard; });
  return found == data.end() ? nullptr : &*found;
}

const DataSet* SupportTable::find(std::string_view data_key) const noexcept {
  return find_in(data, data_key);
}

}  // namespace ductledger::fitting
