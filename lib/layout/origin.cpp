#include "layout/origin.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <limits>
#include <span>
#include <string_view>
#include <utility>

#include "base/sha256.hpp"
#include "base/text.hpp"
#include "layout/layout.hpp"

namespace ductledger::layout {
namespace {

/// As the layout format lists them.
constexpr std::array<std::string_view, 17> kTopKeys{"layout",
                                                    "title",
                                                    "rules",
                                                    "catalogue",
                                                    "site",
                                                    "appliance",
                                                    "fan",
                                                    "run",
                                                    "branches",
                                                    "house",
                                                    "dwelling",
                                                    "electrical",
                                                    "uncertainty",
                                                    "submitted",
                                                    "measurements",
                                                    "seen-on-site",
                                                    "variants"};

std::size_t rank_at_top(const std::string& canonical_key) {
  return static_cast<std::size_t>(std::ranges::find(kTopKeys, canonical_key) - kTopKeys.begin());
}

/// The entries of a mapping in an order that its file has no say in.
std::vector<const yaml::Entry*> in_order(const yaml::Node& mapping, bool is_top) {
  struct Key {
    std::size_t rank;
    std::string name;
    const yaml::Entry* entry;
  };
  if (mapping.entries.size() == 1) {
    return {&mapping.entries.front()};
  }
  std::vector<Key> keys;
  for (const yaml::Entry& entry : mapping.entries) {
    std::string name = base::canonical_word(entry.key);
    const bool plain = entry.value.kind == yaml::NodeKind::scalar;  // what holds for a list first
    const std::size_t rank = is_top ? rank_at_top(name) : static_cast<std::size_t>(!plain);
    keys.push_back({rank, std::move(name), &entry});
  }
  std::ranges::stable_sort(keys, [](const Key& a, const Key& b) {
    return a.rank != b.rank ? a.rank < b.rank : a.name < b.name;
  });
  std::vector<const yaml::Entry*> entries;
  std::ranges::transform(keys, std::back_inserter(entries), &Key::entry);
  return entries;
}

/// What a digest is made of: figures to 1e-10, so that other units of a value give the same one.
class Digest {
 public:
  void add(double value) {
    constexpr double kSteps = 1e10;
    constexpr double kMost = 9e18;
    const double steps = value * kSteps;
    const std::int64_t whole =
        std::abs(steps) < kMost ? std::llround(steps) : std::numeric_limits<std::int64_t>::max();
    std::array<char, 8> bytes{};
    for (std::size_t i = 0; i < bytes.size(); ++i) {
      bytes[i] = static_cast<char>(static_cast<std::uint64_t>(whole) >> (8 * i));
    }
    sum_.update({bytes.data(), bytes.size()});
  }
  void add(std::string_view text) {
    add(static_cast<double>(text.size()));
    sum_.update(text);
  }
  void add(const std::optional<double>& value) {
    add(value ? 1.0 : 0.0);
    add(value.value_or(0.0));
  }
  void add(const duct::Section& section) {
    add(static_cast<double>(section.shape()));
    add(section.width_m());
    add(section.height_m());
  }
  void add(const Piece& piece) {
    add(word(piece.kind));
    add(piece.type);
    add(piece.source);
    add(piece.upstream);
    add(piece.downstream);
    add(piece.length_m);
    add(piece.material);
    add(piece.roughness_m);
    add(piece.equivalent_length_m);
    add(piece.coefficient ? std::optional(piece.coefficient->value) : std::nullopt);
    for (const auto& [name, value] : piece.parameters) {
      add(name);
      add(value);
    }
    for (const StatedDrop& drop : piece.drops()) {
      add(drop.pressure_pa);
      add(drop.airflow_m3_s);
    }
    add_detail(piece);
  }
  void add(const Site& site) {
    for (const AirState* air : {&site.indoor, &site.duct, &site.outdoor}) {
      add(air->temperature_k);
      add(air->relative_humidity);
    }
    add(site.elevation_m);
    add(site.wind_m_s);
  }
  void add(const Fan& fan) {
    add(static_cast<double>(fan.count));
    for (const Speed& speed : fan.speeds) {
      add(speed.name);
      add(speed.speed_ratio);
      for (const fan::FanPoint& point : speed.curve) {
        add(point.airflow_m3_s);
        add(point.pressure_pa);
      }
      for (const Rating& rating : speed.ratings) {
        add(rating.airflow_m3_s);
        add(rating.pressure_pa);
      }
    }
  }
  void add(const Run& run) {
    add(run.first_section);
    add(run.stated_rise_m);
    add(static_cast<double>(run.pieces.size()));
    for (const Piece& piece : run.pieces) {
      add(piece);
    }
  }
  [[nodiscard]] std::string hex() const { return sum_.hex().substr(0, 16); }

 private:
  void add_detail(const Piece& piece) {
    if (const auto* flex = piece.if_is<Flex>()) {
      add(flex->stretched);
    }
    if (const auto* elbow = piece.if_is<Elbow>()) {
      add(elbow->angle_rad);
    }
    if (const auto* junction = piece.if_is<Junction>()) {
      add(junction->branch);
      add(junction->straight_coefficient);
      add(junction->branch_coefficient);
    }
    for (const double side : piece.heading_out.value_or(Direction{})) {
      add(side);
    }
  }

  base::Sha256 sum_;
};

}  // namespace

Origins::Origins(std::shared_ptr<const yaml::Tree> tree) : tree_(std::move(tree)) {
  for (const yaml::Entry* entry : in_order(tree_->root, true)) {
    add(*entry, kNone);
  }
  // Of several at one place the first one that was come by counts, and a key before its mapping.
  std::ranges::stable_sort(places_, [](const Place& a, const Place& b) {
    return a.offset != b.offset ? a.offset < b.offset : a.collection < b.collection;
  });
}

void Origins::add(const base::Span& place, bool collection, std::size_t step) {
  places_.push_back({place.offset, place.length, collection, step, places_.size()});
}

void Origins::add(const yaml::Entry& entry, std::size_t parent) {
  const std::size_t step = steps_.size();
  steps_.push_back({parent, &entry.key, 0});
  add(entry.key_span, false, step);
  walk(entry.value, step);
}

void Origins::walk(const yaml::Node& node, std::size_t step) {
  if (node.kind == yaml::NodeKind::null) {
    return;  // it stands nowhere
  }
  add(node.span, node.kind != yaml::NodeKind::scalar, step);
  for (std::size_t i = 0; i < node.items.size(); ++i) {
    steps_.push_back({step, nullptr, i + 1});
    walk(node.items[i], steps_.size() - 1);
  }
  for (const yaml::Entry* entry : in_order(node, false)) {
    add(*entry, step);
  }
}

/// A mapping in block style begins where its first key does; the two differ in length.
const Origins::Place* Origins::find(const base::Span& place) const noexcept {
  const auto [first, last] = std::ranges::equal_range(places_, place.offset, {}, &Place::offset);
  if (place.line == 0 || first == last) {
    return nullptr;
  }
  const auto same =
      std::find_if(first, last, [&](const Place& at) { return at.length == place.length; });
  return same != last ? &*same : &*first;
}

std::string Origins::path(const base::Span& place) const {
  const Place* at = find(place);
  if (at == nullptr) {
    return {};
  }
  std::string path;
  for (std::size_t step = at->step; step != kNone; step = steps_[step].parent) {
    const Step& here = steps_[step];
    const std::string own = here.key == nullptr ? '[' + std::to_string(here.item) + ']'
                                                : base::canonical_word(*here.key);
    const bool joined = path.empty() || path.front() == '[';
    path.insert(0, joined ? own : own + '.');
  }
  return path;
}

std::size_t Origins::rank(const base::Span& place) const noexcept {
  const Place* at = find(place);
  return at == nullptr ? kNone : at->rank;
}

std::string digest(const Layout& layout) {
  Digest digest;
  // Without a title a layout is called by its file, which says nothing.
  digest.add(std::string_view(layout.title == layout.file ? "" : layout.title));
  digest.add(layout.site);
  digest.add(word(layout.appliance.kind));
  digest.add(layout.appliance.required_airflow_m3_s);
  if (layout.fan) {
    digest.add(*layout.fan);
  }
  digest.add(layout.run);
  for (const Branch& branch : layout.branches) {
    digest.add(branch.name);
    if (branch.fan) {
      digest.add(*branch.fan);
    }
    digest.add(branch.run);
  }
  return digest.hex();
}

}  // namespace ductledger::layout
