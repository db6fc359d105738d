#include "solve/close_fittings.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "fitting/entry.hpp"
#include "layout/catalogue_query.hpp"
#include "layout/direction.hpp"
#include "layout/geometry.hpp"
#include "units/constants.hpp"

namespace ductledger::solve {
namespace {

using layout::PieceKind;

constexpr const char* kPairs = "two-close-elbows";
constexpr double kAllowance = 1e-6;
constexpr double kSingleMitre = 1.2;      ///< of the table's square mitre, 90 degrees
constexpr double kRoundPairApart = 0.16;  ///< of the table's round pair at its last node

double diameter_m(const duct::Section& section) {
  return std::sqrt(4.0 * section.area_m2() / std::numbers::pi);
}

bool turns_by(const layout::Piece& elbow, double degrees) {
  return std::abs(elbow.as<layout::Elbow>().angle_rad - degrees * units::kRadPerDegree) <
         kAllowance;
}

/// How two elbows lie to each other.
Closeness::Kind relation(const layout::Piece& first, const layout::Piece& second) {
  if (!first.heading_in || !first.heading_out || !second.heading_in || !second.heading_out) {
    return Closeness::Kind::elbows;
  }
  const layout::Direction& in = *first.heading_in;
  const layout::Direction& between = *first.heading_out;
  const layout::Direction& out = *second.heading_out;
  if (layout::dot(in, out) > 1.0 - kAllowance) {
    return Closeness::Kind::elbows_offset;
  }
  // The planes are one where the three directions lie in one.
  return std::abs(layout::dot(layout::cross(in, between), out)) > kAllowance
             ? Closeness::Kind::elbows_two_planes
             : Closeness::Kind::elbows_turn_back;
}

/// The published row for a pair, and what its value is taken over.
struct Row {
  const char* data = nullptr;
  double over = 1.0;
  double side_m = 0.0;
};
struct Elbow {
  const layout::Piece& piece;
  std::optional<fitting::Make> make;
};
Row row_of(const Elbow& first, const Elbow& second, Closeness::Kind kind) {
  const auto& [a, one] = first;
  const auto& [b, two] = second;
  if (!one || !two) {
    return {};
  }
  const bool mitered = one == fitting::Make::mitered && two == fitting::Make::mitered;
  if (a.upstream.shape() == duct::Shape::rectangular && mitered && turns_by(a, 90.0) &&
      turns_by(b, 90.0)) {
    if (kind == Closeness::Kind::elbows_offset) {
      return {"mitred-offset", kSingleMitre * 2.0, a.as<layout::Elbow>().in_plane_m};
    }
    if (kind == Closeness::Kind::elbows_two_planes) {
      return {"mitred-two-planes", kSingleMitre * 2.0, a.as<layout::Elbow>().in_plane_m};
    }
  }
  if (a.upstream.shape() == duct::Shape::round && one != fitting::Make::mitered &&
      two != fitting::Make::mitered && turns_by(a, 30.0) && turns_by(b, 30.0) &&
      kind == Closeness::Kind::elbows_offset) {
    return {"round-30-offset", kRoundPairApart, a.upstream.width_m()};
  }
  return {};
}

class Coupling {
 public:
  Coupling(CompiledRun& run, const CloseFittings& of) : run_(run), of_(of) {}

  void couple() {
    const bool fan_before = of_.layout.fan && run_.fan_at_collar &&
                            of_.layout.appliance.kind != layout::ApplianceKind::clothes_dryer;
    std::optional<std::size_t> elbow;
    double straight_m = 0.0;
    bool from_collar = fan_before;
    for (std::size_t i = 0; i < run_.pieces.size(); ++i) {
      const layout::Piece* piece = piece_of(i);
      if (piece == nullptr) {
        from_collar = false;
        elbow.reset();
        continue;
      }
      switch (piece->kind) {
        case PieceKind::straight:
          straight_m += run_.pieces[i].length_m;
          break;
        case PieceKind::elbow:
          if (elbow) {
            couple_elbows(*elbow, i, straight_m);
          } else if (from_collar) {
            put_if_close(i, {.kind = Closeness::Kind::collar, .straight_m = straight_m});
          }
          from_collar = false;
          elbow = i;
          straight_m = 0.0;
          break;
        case PieceKind::cap:
          if (elbow) {
            put_if_close(
                i, {.kind = Closeness::Kind::cap, .before = *elbow, .straight_m = straight_m});
          }
          break;
        default:
          elbow.reset();
          from_collar = false;
          straight_m = 0.0;
      }
    }
  }

 private:
  [[nodiscard]] const layout::Piece* piece_of(std::size_t i) const {
    const auto& index = run_.pieces[i].piece;
    return index ? &of_.layout.run.pieces[*index] : nullptr;
  }

  /// Legs that the layout states belong to the way between two fittings.
  [[nodiscard]] double leg_m(std::size_t i, std::size_t side) const {
    const layout::Piece& elbow = *piece_of(i);
    return elbow.states("legs") ? elbow.as<layout::Elbow>().legs_m[side]
                                : layout::nominal_leg_m(elbow.as<layout::Elbow>());
  }

  void put_if_close(std::size_t i, Closeness close) {
    if (!run_.pieces[i].fitting) {
      return;
    }
    close.diameters = close.straight_m / diameter_m(run_.pieces[i].upstream);
    if (close.diameters < kCloseDiameters * (1.0 - kAllowance)) {
      run_.pieces[i].close = close;
    }
  }

  void couple_elbows(std::size_t first, std::size_t second, double straight_m) {
    CompiledPiece& a = run_.pieces[first];
    CompiledPiece& b = run_.pieces[second];
    if (!a.fitting || !b.fitting || !(a.downstream == b.upstream)) {
      return;
    }
    Closeness close{.kind = relation(*piece_of(first), *piece_of(second)),
                    .before = first,
                    .straight_m = straight_m};
    close.diameters = straight_m / diameter_m(b.upstream);
    const auto elbow = [this](std::size_t i) {
      return Elbow{*piece_of(i), layout::traits_of(*piece_of(i), of_.catalogue).make};
    };
    const Row row = row_of(elbow(first), elbow(second), close.kind);
    const fitting::SupportTable* table = of_.catalogue.table(kPairs);
    const fitting::DataSet* data =
        table != nullptr && row.data != nullptr ? table->find(row.data) : nullptr;
    if (data != nullptr && data->table && data->table->ready) {
      const double spacing = (straight_m + leg_m(first, 1) + leg_m(second, 0)) / row.side_m;
      if (spacing > data->table->ready->axis(0).back()) {
        return;
      }
      close.spacing_ratio = spacing;
      close.factor = data->table->ready->at(std::array{spacing}).value / row.over;
      close.data_set = data->key;
      close.source = data->source;
      close.status = data->status;
      for (CompiledPiece* piece : {&a, &b}) {
        piece->interaction *= *close.factor;
        piece->loss.square_pa_s2_m6 *= *close.factor;
        piece->loss.reynolds_square_pa_s2_m6 *= *close.factor;
      }
      b.close = close;
      return;
    }
    if (close.diameters < kCloseDiameters * (1.0 - kAllowance)) {
      b.close = close;
    }
  }

  CompiledRun& run_;
  const CloseFittings& of_;
};

}  // namespace

double close_m(const duct::Section& section) { return kCloseDiameters * diameter_m(section); }

double pairs_end_m(const duct::Section& section, const fitting::Catalogue& catalogue) {
  double end = 0.0;
  if (const fitting::SupportTable* table = catalogue.table(kPairs)) {
    for (const fitting::DataSet& row : table->data) {
      if (row.table && row.table->ready) {
        end = std::max(end, row.table->ready->axis(0).back());
      }
    }
  }
  return end * std::max(section.width_m(), section.height_m());
}

void couple_close_fittings(CompiledRun& run, const CloseFittings& of) {
  Coupling(run, of).couple();
}

}  // namespace ductledger::solve
