#include <fmt/format.h>

#include <map>
#include <set>
#include <string>

#include "base/text.hpp"
#include "layout/read_internal.hpp"

namespace ductledger::layout {
namespace {

/// A key that so many parts of a file know says nothing of the one that was meant.
constexpr std::size_t kMostPlaces = 3;

/// What a tree's readers asked for.
struct Keys {
  std::map<std::string, std::set<std::string>> places;  ///< of a key: the mappings that know it
  std::map<std::size_t, std::string> written;           ///< keys of the file by their place
};

void gather(const yaml::Node& node, const yaml::KeyLog& log, Keys& keys) {
  const yaml::KeyLog::Asked* asked = log.of(node);
  if (asked != nullptr && !asked->mapping.empty()) {
    for (const std::string& key : asked->keys) {
      keys.places[key].insert(asked->mapping);
    }
  }
  for (const yaml::Node& item : node.items) {
    gather(item, log, keys);
  }
  for (const yaml::Entry& entry : node.entries) {
    keys.written.emplace(entry.key_span.offset, entry.key);
    gather(entry.value, log, keys);
  }
}

}  // namespace

void tell_places(base::Diagnostics& faults, const yaml::Node& root, const yaml::KeyLog& log) {
  Keys keys;
  gather(root, log, keys);
  for (base::Diagnostic& fault : faults) {
    if (fault.rule != "unknown-key" || !fault.help.starts_with("known keys")) {
      continue;
    }
    const auto written = keys.written.find(fault.span.offset);
    const auto known =
        written == keys.written.end() ? keys.places.end() : keys.places.find(written->second);
    if (known == keys.places.end() || known->second.size() > kMostPlaces) {
      continue;
    }
    std::vector<std::string> places;
    for (const std::string& place : known->second) {
      places.push_back(place == "layout" ? "the layout itself" : fmt::format("`{}`", place));
    }
    fault.help = fmt::format("`{}` is a key of {}", written->second, base::joined(places, "and"));
  }
}

}  // namespace ductledger::layout
