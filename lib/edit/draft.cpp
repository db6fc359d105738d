#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <numeric>
#include <utility>

#include "base/expects.hpp"
#include "base/fault.hpp"
#include "base/text.hpp"
#include "edit/draft_internal.hpp"
#include "layout/catalogue_query.hpp"
#include "layout/direction.hpp"
#include "yaml/parse.hpp"

namespace ductledger::edit {
namespace {

using layout::PieceKind;
using yaml::Node;
using yaml::NodeKind;

Node scalar(std::string text, const base::Span& place) {
  Node node;
  node.kind = NodeKind::scalar;
  node.text = std::move(text);
  node.span = place;
  return node;
}

/// Keys are read as written but for hyphen and underscore.
bool same_key(std::string_view a, std::string_view b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(), [](char x, char y) {
    return (x == '_' ? '-' : x) == (y == '_' ? '-' : y);
  });
}

auto entry_of(Node& mapping, std::string_view key) {
  return std::find_if(mapping.entries.begin(), mapping.entries.end(), [&](const yaml::Entry& e) {
    return same_key(e.key, key);
  });
}

/// Everything in it stands where the piece stands that it takes the place of.
void place_at(Node& node, const base::Span& place) {
  node.span = place;
  for (Node& item : node.items) {
    place_at(item, place);
  }
  for (yaml::Entry& entry : node.entries) {
    entry.key_span = place;
    place_at(entry.value, place);
  }
}

/// The key that a bare value stands for.
const char* bare_key(PieceKind kind, const std::string& value) {
  switch (kind) {
    case PieceKind::straight:
    case PieceKind::flex:
      return "length";
    case PieceKind::transition:
      return "to";
    case PieceKind::loss:
      return "coefficient";
    case PieceKind::elbow:
      return layout::direction_of(value) ? "turn" : "type";
    case PieceKind::fan:
      return "note";
    default:
      return "type";
  }
}

constexpr double kExactM = 1e-9;

/// `6-1/2` where the length is a whole number of sixteenths of an inch.
std::optional<std::string> sixteenths(double length_m) {
  const double count = std::round(length_m / units::kMetresPerInch * 16.0);
  if (std::abs(length_m - count / 16.0 * units::kMetresPerInch) > kExactM) {
    return std::nullopt;
  }
  const long whole = std::lround(count) / 16;
  const long rest = std::lround(count) % 16;
  if (rest == 0) {
    return fmt::format("{}", whole);
  }
  const long common = std::gcd(rest, 16L);
  const std::string fraction = fmt::format("{}/{}", rest / common, 16 / common);
  return whole == 0 ? fraction : fmt::format("{}-{}", whole, fraction);
}

std::optional<std::string> millimetres(double length_m) {
  const double count = std::round(length_m * 1000.0);
  if (std::abs(length_m - count / 1000.0) > kExactM) {
    return std::nullopt;
  }
  return fmt::format("{:.0f}", count);
}

}  // namespace

base::Diagnostic refusal(const layout::Layout& layout,
                         const base::Span& place,
                         std::string reason) {
  return base::fault_at({layout.source, place}, "cannot-edit", std::move(reason));
}

Draft::Draft(const layout::Layout& layout, const fitting::Catalogue& catalogue)
    : layout_(layout), catalogue_(catalogue) {
  DUCTLEDGER_EXPECTS(layout.tree != nullptr);
  root_ = layout.tree->root;
}

Node& Draft::mapping(Node& parent, std::string_view key) {
  const auto found = entry_of(parent, key);
  if (found != parent.entries.end()) {
    return found->value;
  }
  Node made;
  made.kind = NodeKind::mapping;
  made.span = parent.span;
  parent.entries.push_back({std::string(key), parent.span, std::move(made)});
  return parent.entries.back().value;
}

Node& Draft::run() {
  return branch_ ? mapping(mapping(root_, "branches"), layout_.branches[*branch_].name)
                 : mapping(root_, "run");
}

const std::vector<layout::Piece>& Draft::read_pieces() const {
  return branch_ ? layout_.branches[*branch_].run.pieces : layout_.run.pieces;
}

std::vector<Node>& Draft::pieces() { return mapping(run(), "pieces").items; }

Node& Draft::keys(std::size_t piece) { return keys_of(pieces().at(piece)); }

Node& Draft::keys_of(Node& item) {
  if (item.kind == NodeKind::scalar) {  // `fan`
    Node made;
    made.kind = NodeKind::mapping;
    made.span = item.span;
    made.entries.push_back({item.text, item.span, {}});
    item = std::move(made);
  }
  yaml::Entry& entry = item.entries.front();
  Node& value = entry.value;
  if (value.kind == NodeKind::scalar || value.kind == NodeKind::null) {
    Node made;
    made.kind = NodeKind::mapping;
    made.span = value.kind == NodeKind::scalar ? value.span : entry.key_span;
    if (value.kind == NodeKind::scalar) {
      // The reader knew the word.
      const auto kind = layout::kPieceKindWords.find(base::canonical_word(entry.key));
      const char* const key = bare_key(kind.value_or(PieceKind::loss), value.text);
      made.entries.push_back({key, value.span, std::move(value)});
    }
    value = std::move(made);
  }
  return value;
}

void Draft::set(Node& mapping, std::string_view key, std::string value) {
  const auto found = entry_of(mapping, key);
  if (found != mapping.entries.end()) {
    found->value = scalar(std::move(value), found->value.span);
    return;
  }
  mapping.entries.push_back(
      {std::string(key), mapping.span, scalar(std::move(value), mapping.span)});
}

void Draft::erase(Node& mapping, std::string_view key) {
  const auto found = entry_of(mapping, key);
  if (found != mapping.entries.end()) {
    mapping.entries.erase(found);
  }
}

bool Draft::has(const Node& mapping, std::string_view key) {
  return std::any_of(mapping.entries.begin(), mapping.entries.end(), [&](const yaml::Entry& e) {
    return same_key(e.key, key);
  });
}

Node Draft::piece(std::string_view kind, std::string value, const base::Span& place) const {
  Node item;
  item.kind = NodeKind::mapping;
  item.span = place;
  item.entries.push_back({std::string(kind), place, scalar(std::move(value), place)});
  return item;
}

base::Checked<Node> Draft::piece(std::string_view text, const base::Span& place) const {
  auto tree = yaml::parse(std::make_shared<const base::SourceText>("piece", std::string(text)));
  if (!tree) {
    return std::move(tree).error();
  }
  Node node = std::move(tree->root);
  place_at(node, place);
  return node;
}

void Draft::take_out(std::vector<std::size_t> gone) {
  // Backwards, so that of several materials the last one counts.
  std::sort(gone.rbegin(), gone.rend());
  for (const std::size_t index : gone) {
    if (read_pieces().at(index).kind == PieceKind::straight) {
      hand_on_material(index, gone);
    }
  }
  std::vector<Node>& items = pieces();
  for (const std::size_t index : gone) {
    items.erase(items.begin() + static_cast<std::ptrdiff_t>(index));
  }
}

void Draft::hand_on_material(std::size_t from, const std::vector<std::size_t>& gone) {
  const Node before = keys(from);
  if (!has(before, "material") && !has(before, "roughness")) {
    return;
  }
  const auto& read = read_pieces();
  for (std::size_t next = from + 1; next < read.size(); ++next) {
    if (read[next].kind != PieceKind::straight ||
        std::find(gone.begin(), gone.end(), next) != gone.end()) {
      continue;
    }
    Node& after = keys(next);
    if (!has(after, "material") && !has(after, "roughness")) {
      std::copy_if(before.entries.begin(),
                   before.entries.end(),
                   std::back_inserter(after.entries),
                   [](const yaml::Entry& entry) {
                     return entry.key == "material" || entry.key == "roughness";
                   });
    }
    return;
  }
}

void Draft::forget_fitting(std::size_t piece) {
  Node& stated = keys(piece);
  for (const char* key : {"coefficient",
                          "reference",
                          "error",
                          "equivalent_length",
                          "source",
                          "opening_pressure",
                          "flap",
                          "mass_per_area",
                          "pressure",
                          "at",
                          "law",
                          "basis",
                          "wind_coefficient"}) {
    erase(stated, key);
  }
  for (const auto& [name, value] : read_pieces().at(piece).parameters) {
    erase(stated, name);
  }
}

Edited Draft::read() && {
  return layout::read_edited(layout_, std::move(root_), catalogue_)
      .transform([&](layout::Layout edited) {
        edited.remarks.insert(edited.remarks.end(), remarks_.begin(), remarks_.end());
        return edited;
      });
}

std::string section_value(const duct::Section& section) {
  const bool round = section.shape() == duct::Shape::round;
  const char* const shape = round                                       ? " round"
                            : section.shape() == duct::Shape::flat_oval ? " oval"
                                                                        : "";
  const auto whole = [&](auto&& written, const char* unit) -> std::optional<std::string> {
    const std::optional<std::string> width = written(section.width_m());
    const std::optional<std::string> height = written(section.height_m());
    if (!width || !height) {
      return std::nullopt;
    }
    return round ? fmt::format("{} {}{}", *width, unit, shape)
                 : fmt::format("{} x {} {}{}", *width, *height, unit, shape);
  };
  if (auto text = whole(sixteenths, "in")) {
    return *text;
  }
  if (auto text = whole(millimetres, "mm")) {
    return *text;
  }
  return *whole([](double side_m) { return std::optional<std::string>(fmt::format("{}", side_m)); },
                "m");
}

std::string length_value(double length_m) {
  const double feet = std::floor(length_m / units::kMetresPerFoot + 1e-6);
  const std::optional<std::string> inches = sixteenths(length_m);
  if (inches && feet >= 1.0) {
    const std::optional<std::string> rest =
        sixteenths(std::max(0.0, length_m - feet * units::kMetresPerFoot));
    if (rest && *rest != "0") {
      return fmt::format("{:.0f} ft {} in", feet, *rest);
    }
    return fmt::format("{:.0f} ft", feet);
  }
  if (inches) {
    return *inches + " in";
  }
  if (const auto text = millimetres(length_m)) {
    return *text + " mm";
  }
  return fmt::format("{} m", length_m);
}

}  // namespace ductledger::edit
