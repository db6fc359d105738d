#include "study/piece_changes.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <string_view>
#include <unordered_map>
#include <utility>

#include "base/text.hpp"
#include "fitting/entry.hpp"
#include "layout/direction.hpp"
#include "layout/piece_number.hpp"

namespace ductledger::study {
namespace {

using layout::Piece;
using layout::PieceKind;
using units::Dimension;
using units::Message;

/// One property of a piece as it is shown where it differs.
struct Detail {
  std::string name;
  Message text;
};

struct Listed {
  std::optional<int> number;  ///< as in the ledger; none: of the run as a whole
  std::string kind;
  Message head;  ///< kind, type, angle, length, sections
  std::vector<Detail> details;
  std::string key;  ///< all of it in one system: alike or not
  double loss_pa = 0.0;
};

std::string direction_word(const layout::Direction& direction) {
  constexpr std::array<std::array<const char*, 2>, 3> kWords{
      {{"left", "right"}, {"front", "back"}, {"down", "up"}}};
  constexpr double kNone = 0.01;
  std::vector<std::string> words;
  for (const std::size_t axis : {2U, 1U, 0U}) {
    if (std::abs(direction[axis]) > kNone) {
      words.emplace_back(kWords[axis][direction[axis] > 0.0 ? 1 : 0]);
    }
  }
  return fmt::format("{}", fmt::join(words, "-"));
}

Message head(const Piece& piece, const std::string& type) {
  Message out{layout::word(piece.kind), {}};
  if (!type.empty() && piece.kind != PieceKind::flex) {
    out.pattern += " " + units::literal(base::escaped(type));
  }
  if (piece.kind == PieceKind::elbow) {
    out.pattern += " {}";
    out.values.push_back({piece.as<layout::Elbow>().angle_rad, Dimension::angle});
  }
  if (piece.length_m) {
    out.pattern += " {}";
    out.values.push_back({*piece.length_m, Dimension::length});
  }
  append(out, {", {}", {duct::message_value(piece.upstream)}});
  if (piece.downstream != piece.upstream) {
    append(out, {" to {}", {duct::message_value(piece.downstream)}});
  }
  return out;
}

Dimension dimension_of(const fitting::Entry* entry, const std::string& parameter) {
  if (entry != nullptr) {
    for (const auto& known : entry->parameters) {
      if (known.name == parameter) {
        return known.dimension;
      }
    }
  }
  return Dimension::number;
}

std::vector<Detail> details(const Piece& piece, const fitting::Entry* entry) {
  std::vector<Detail> list;
  const auto value = [&](const std::string& name, double si, Dimension dimension) {
    list.push_back({name, {units::literal(base::escaped(name)) + " {}", {{si, dimension}}}});
  };
  const auto word = [&](const std::string& name, const std::string& text) {
    if (!text.empty()) {
      list.push_back({name, {name + " " + units::literal(base::escaped(text)), {}}});
    }
  };
  if (piece.kind == PieceKind::elbow && piece.heading_out) {
    word("turned", direction_word(*piece.heading_out));
  }
  for (const auto& [name, si] : piece.parameters) {
    if (name != "length") {  // it stands in the head
      value(name, si, dimension_of(entry, name));
    }
  }
  if (piece.coefficient) {
    value("C", piece.coefficient->value, Dimension::number);
  }
  for (const layout::StatedDrop& drop : piece.drops()) {
    list.push_back(
        {"drop",
         {"{} at {}",
          {{drop.pressure_pa, Dimension::pressure}, {drop.airflow_m3_s, Dimension::airflow}}}});
  }
  if (piece.equivalent_length_m) {
    value("equivalent length", *piece.equivalent_length_m, Dimension::length);
  }
  if (const auto opening_pa = piece.opening_pressure_pa()) {
    value("opens at", *opening_pa, Dimension::pressure);
  }
  if (piece.flap_mass_kg_m2()) {
    value("flap weighs", *piece.flap_mass_kg_m2(), Dimension::mass_per_area);
  }
  word("figures", piece.source);
  if (piece.kind == PieceKind::straight || piece.kind == PieceKind::flex) {
    if (piece.material.empty()) {
      value("roughness", piece.roughness_m, Dimension::length);
    } else {
      word("of", piece.material);
    }
    word("through", piece.around().through);
    if (piece.around().insulation_m2k_w) {
      value("insulated", *piece.around().insulation_m2k_w, Dimension::thermal_resistance);
    }
  }
  if (const auto* flex = piece.if_is<layout::Flex>()) {
    value("stretched", flex->stretched, Dimension::ratio);
    if (flex->sag_m > 0.0) {
      value("sag", flex->sag_m, Dimension::length);
    }
    if (flex->dips > 0) {
      list.push_back({"dips", {fmt::format("{} dips", flex->dips), {}}});
    }
  }
  return list;
}

std::vector<Listed> listed(const CheckResult& check,
                           double airflow_m3_s,
                           const fitting::Catalogue& catalogue) {
  std::vector<Listed> list;
  for (const solve::CompiledPiece& compiled : check.run.pieces) {
    Listed one;
    one.kind = compiled.word;
    one.loss_pa = check.run.loss.of(compiled.loss, airflow_m3_s);
    if (compiled.piece) {
      const Piece& piece = check.layout.run.pieces[*compiled.piece];
      one.number = layout::piece_number(*compiled.piece);
      one.head = head(piece, compiled.fitting ? compiled.fitting->type : piece.known_type());
      one.details =
          details(piece, compiled.fitting ? catalogue.entry(compiled.fitting->entry) : nullptr);
    } else {
      const bool at_collar = compiled.word == "change at the collar";
      one.number = at_collar ? 0 : layout::piece_number(check.layout.run.pieces.size());
      one.head = {compiled.word + ", {}", {duct::message_value(compiled.upstream)}};
      if (at_collar) {
        append(one.head, {" to {}", {duct::message_value(compiled.downstream)}});
      }
    }
    Message all = one.head;
    for (const Detail& detail : one.details) {
      append(all, {"; ", {}});
      append(all, detail.text);
    }
    one.key = all.text(units::System::si);
    list.push_back(std::move(one));
  }
  return list;
}

/// The piece with what it has and the other one has not.
Message shown(const Listed& one, const Listed& against) {
  Message text = one.head;
  for (const Detail& detail : one.details) {
    const bool same =
        std::any_of(against.details.begin(), against.details.end(), [&](const Detail& other) {
          return other.name == detail.name &&
                 other.text.text(units::System::si) == detail.text.text(units::System::si);
        });
    if (!same) {
      append(text, {", ", {}});
      append(text, detail.text);
    }
  }
  return text;
}

PieceChange changed(const Listed& a, const Listed& b) {
  return {.first = a.number,
          .other = b.number,
          .was = shown(a, b),
          .is = shown(b, a),
          .loss_change_pa = b.loss_pa - a.loss_pa};
}

/// What becomes of the last of the first i entries and the first j of the other list, where all are
/// matched so that it costs least.
enum class Step : std::uint8_t { swap, drop, add };

/// A step for all i and j, found from the front. Entries alike at both ends belong together, so
/// that a table is needed only of what lies between, two bits a place.
class Steps {
 public:
  Steps(const std::vector<Listed>& a, const std::vector<Listed>& b)
      : a_(numbered(a)), b_(numbered(b)) {
    const auto same = [&](std::size_t i, std::size_t j) { return a_[i].key == b_[j].key; };
    const std::size_t shorter = std::min(a_.size(), b_.size());
    while (at_end_ < shorter && same(a_.size() - at_end_ - 1, b_.size() - at_end_ - 1)) {
      ++at_end_;
    }
    while (at_start_ < shorter - at_end_ && same(at_start_, at_start_)) {
      ++at_start_;
    }
    width_ = b_.size() - at_end_ - at_start_;
    fill();
  }

  [[nodiscard]] Step at(std::size_t i, std::size_t j) const {
    if (i > a_.size() - at_end_ && j > b_.size() - at_end_) {
      return Step::swap;
    }
    if (std::min(i, j) <= at_start_) {  // as many entries more or less as they differ by
      const bool alike = i > 0 && j > 0 && a_[i - 1].key == b_[j - 1].key;
      return alike ? Step::swap : i > j ? Step::drop : Step::add;
    }
    const std::size_t place = (i - at_start_ - 1) * width_ + j - at_start_ - 1;
    return static_cast<Step>((steps_[place / kToAByte] >> (2 * (place % kToAByte))) & 3U);
  }

 private:
  static constexpr int kOne = 3;  // an entry more or less
  static constexpr std::size_t kToAByte = 4;

  /// Texts that are equal have one number.
  struct Numbered {
    std::size_t kind;
    std::size_t key;
  };
  std::vector<Numbered> numbered(const std::vector<Listed>& entries) {
    const auto number = [this](const std::string& text) {
      return numbers_.try_emplace(text, numbers_.size()).first->second;
    };
    std::vector<Numbered> out;
    out.reserve(entries.size());
    for (const Listed& entry : entries) {
      out.push_back({number(entry.kind), number(entry.key)});
    }
    return out;
  }

  void fill() {
    const std::size_t height = a_.size() - at_end_ - at_start_;
    steps_.assign((height * width_ + kToAByte - 1) / kToAByte, 0);
    std::vector<int> before(width_ + 1);
    std::vector<int> costs(width_ + 1);
    for (std::size_t j = 0; j <= width_; ++j) {
      costs[j] = static_cast<int>(j) * kOne;
    }
    for (std::size_t i = 0; i < height; ++i) {
      before.swap(costs);
      costs[0] = static_cast<int>(i + 1) * kOne;
      for (std::size_t j = 0; j < width_; ++j) {
        const Numbered& a = a_[at_start_ + i];
        const Numbered& b = b_[at_start_ + j];
        const int swap = before[j] + (a.key == b.key ? 0 : a.kind == b.kind ? 2 : 5);
        const int drop = before[j + 1] + kOne;
        costs[j + 1] = std::min({swap, drop, costs[j] + kOne});
        const Step step = costs[j + 1] == swap   ? Step::swap
                          : costs[j + 1] == drop ? Step::drop
                                                 : Step::add;
        const std::size_t place = i * width_ + j;
        steps_[place / kToAByte] |=
            static_cast<std::uint8_t>(static_cast<unsigned>(step) << (2 * (place % kToAByte)));
      }
    }
  }

  std::unordered_map<std::string_view, std::size_t> numbers_;  ///< of the lists' texts
  std::vector<Numbered> a_;
  std::vector<Numbered> b_;
  std::size_t at_end_ = 0;
  std::size_t at_start_ = 0;
  std::size_t width_ = 0;
  std::vector<std::uint8_t> steps_;
};

}  // namespace

std::vector<PieceChange> piece_changes(const ChangesBetween& of,
                                       const fitting::Catalogue& catalogue) {
  const std::vector<Listed> a = listed(of.first, of.airflow_m3_s, catalogue);
  const std::vector<Listed> b = listed(of.other, of.airflow_m3_s, catalogue);
  const bool same_air = of.first.run.air.density_kg_m3 == of.other.run.air.density_kg_m3 &&
                        of.first.run.air.viscosity_pa_s == of.other.run.air.viscosity_pa_s;
  const Steps steps(a, b);
  std::vector<PieceChange> list;
  std::size_t i = a.size();
  std::size_t j = b.size();
  while (i > 0 || j > 0) {
    const Step step = steps.at(i, j);
    if (step == Step::swap) {
      const Listed& was = a[--i];
      const Listed& is = b[--j];
      // Alike by its words, and yet another loss: what stands next to it differs. In other air
      // every loss does.
      const double rounding_pa = 1e-9 * (std::abs(was.loss_pa) + std::abs(is.loss_pa));
      if (was.key != is.key || (same_air && std::abs(is.loss_pa - was.loss_pa) > rounding_pa)) {
        list.push_back(changed(was, is));
      }
    } else if (step == Step::drop) {
      const Listed& was = a[--i];
      list.push_back({.first = was.number,
                      .other = {},
                      .was = was.head,
                      .is = {},
                      .loss_change_pa = -was.loss_pa});
    } else {
      const Listed& is = b[--j];
      list.push_back({.first = {},
                      .other = is.number,
                      .was = {},
                      .is = is.head,
                      .loss_change_pa = is.loss_pa});
    }
  }
  const auto& was = of.first.layout.run.heading;
  const auto& is = of.other.layout.run.heading;
  if (was && is && layout::dot(*was, *is) < 1.0 - 1e-9) {
    list.push_back({.first = {},
                    .other = {},
                    .was = {"leaves the collar " + direction_word(*was), {}},
                    .is = {direction_word(*is), {}},
                    .loss_change_pa = {}});
  }
  std::reverse(list.begin(), list.end());
  return list;
}

}  // namespace ductledger::study
