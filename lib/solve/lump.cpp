#include "solve/lump.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <string>
#include <unordered_map>
#include <utility>

namespace ductledger::solve {
namespace {

using Arrays = ErrorModel::Arrays;
using Factor = ErrorModel::Factor;
using PieceErrors = ErrorModel::PieceErrors;

/// An error so small follows the normal law within five of its standard uncertainties.
constexpr double kNormalBelow = 0.15;
/// Two proportions that differ by less are the same.
constexpr double kSameProportion = 1e-9;

/// Calls with each error that a piece or anything else of a model names, as often as it does.
template <class Model, class Function>
void each_source(Model& arrays, const Function& function) {
  const auto of_factors = [&](auto& factors) {
    for (auto& factor : factors) {
      function(factor.source);
    }
  };
  for (auto& piece : arrays.pieces) {
    of_factors(piece.coefficient);
    of_factors(piece.friction);
    if (piece.opening) {
      function(piece.opening->source);
    }
    if (piece.added) {
      function(piece.added->source);
    }
  }
  for (auto& section : arrays.sections) {
    if (section.source) {
      function(*section.source);
    }
  }
  of_factors(arrays.fan_pressure);
  of_factors(arrays.fan_airflow);
  if (arrays.density) {
    function(arrays.density->source);
  }
  if (arrays.wind) {
    function(*arrays.wind);
  }
  for (auto& source : arrays.room_sources) {
    function(source);
  }
}

/// Laws that agree over all Reynolds numbers of a duct, to the last digit.
bool same_law(const fitting::ReynoldsFactor& a, const fitting::ReynoldsFactor& b) {
  if (a.lowest() != b.lowest() || a.highest() != b.highest()) {
    return false;
  }
  constexpr double kLowest = 100.0;
  constexpr double kRatio = 1.07;
  constexpr int kCount = 200;
  double reynolds = kLowest;
  for (int i = 0; i < kCount; ++i) {
    if (a.at(reynolds) != b.at(reynolds)) {
      return false;
    }
    reynolds *= kRatio;
  }
  return true;
}

/// Whether its losses add up with those of another piece that follows the same errors.
bool adds_up(const PieceErrors& piece) {
  return piece.loss.opening_pressure_pa == 0.0 && piece.loss.flap_square_pa_s2_m6 == 0.0 &&
         !piece.opening && !piece.added;
}

/// One model on its way.
class Lumper {
 public:
  explicit Lumper(const ErrorModel& model) : model_(model), arrays_(model.arrays()) {
    std::vector<std::size_t> uses(model.sources().size(), 0);
    each_source(arrays_, [&](std::size_t source) { ++uses[source]; });
    std::unordered_map<std::string_view, std::size_t> named;
    for (const ErrorSource& source : model.sources()) {
      ++named[source.identity];
    }
    for (std::size_t i = 0; i < arrays_.pieces.size(); ++i) {
      const PieceErrors& piece = arrays_.pieces[i];
      own_.emplace_back();
      kind_.emplace_back();
      if (!adds_up(piece)) {
        continue;
      }
      for (const Factor& factor : piece.friction) {
        if (!own_[i] && uses[factor.source] == 1 && factor.u < kNormalBelow &&
            piece.loss.friction_ratio > 0.0 &&
            named[model.sources()[factor.source].identity] == 1) {
          own_[i] = factor;
          piece_of_[model.sources()[factor.source].identity] = i;
        }
      }
      kind_[i] = kind_of(piece, own_[i]);
    }
    for (const ErrorSource& source : model.sources()) {
      known_.emplace(source.identity, 0);
    }
  }

  [[nodiscard]] const ErrorModel& model() const noexcept { return model_; }
  [[nodiscard]] bool knows(std::string_view identity) const { return known_.contains(identity); }
  /// The piece whose own error it is, and no other's.
  [[nodiscard]] std::optional<std::size_t> piece_of(std::string_view identity) const {
    const auto found = piece_of_.find(identity);
    return found == piece_of_.end() ? std::nullopt : std::optional(found->second);
  }
  [[nodiscard]] const std::string& kind(std::size_t piece) const { return kind_[piece]; }
  /// What one standard uncertainty of its own error changes of its friction ratio.
  [[nodiscard]] double weight(std::size_t piece) const {
    return own_[piece]->u * arrays_.pieces[piece].loss.friction_ratio;
  }

  /// @param lump_of [pieces] the lump that its own error goes into; nothing: it stays
  [[nodiscard]] Lumped result(const std::vector<std::optional<std::size_t>>& lump_of) const {
    Arrays arrays = arrays_;
    arrays.pieces.clear();
    std::vector<ErrorSource> sources(model_.sources().begin(), model_.sources().end());
    std::vector<std::vector<std::size_t>> of(sources.size());
    for (std::size_t i = 0; i < of.size(); ++i) {
      of[i] = {i};
    }
    std::map<std::pair<std::string, std::ptrdiff_t>, Sum> sums;
    for (std::size_t i = 0; i < arrays_.pieces.size(); ++i) {
      const PieceErrors& piece = arrays_.pieces[i];
      if (kind_[i].empty() || (own_[i] && !lump_of[i])) {
        arrays.pieces.push_back(piece);
        continue;
      }
      const auto lump = lump_of[i] ? static_cast<std::ptrdiff_t>(*lump_of[i]) : -1;
      const auto [at, is_new] = sums.try_emplace({kind_[i], lump});
      Sum& sum = at->second;
      if (is_new) {
        sum.place = arrays.pieces.size();
        arrays.pieces.push_back(without(piece, own_[i]));
      } else {
        add(arrays.pieces[sum.place].loss, piece.loss);
      }
      if (lump_of[i]) {
        sum.square += weight(i) * weight(i);
        sum.sources.push_back(own_[i]->source);
      }
    }
    for (auto& [key, sum] : sums) {
      if (sum.sources.empty()) {
        continue;
      }
      PieceErrors& piece = arrays.pieces[sum.place];
      ErrorSource source;
      source.key = fmt::format("lump:{}", key.second);
      source.identity = source.key;
      source.standard_uncertainty = std::sqrt(sum.square) / piece.loss.friction_ratio;
      piece.friction.push_back({sources.size(), source.standard_uncertainty});
      sources.push_back(std::move(source));
      of.push_back(std::move(sum.sources));
    }
    keep_used(sources, of, arrays);
    return {.arrays = std::move(arrays), .sources = std::move(sources), .of = std::move(of)};
  }

 private:
  struct Sum {
    std::size_t place = 0;
    double square = 0.0;
    std::vector<std::size_t> sources;
  };

  /// What two pieces have in common that follow the same errors in the same way.
  std::string kind_of(const PieceErrors& piece, const std::optional<Factor>& own) {
    std::string kind = fmt::format("{},{}", piece.loss.friction_group, piece.reference);
    for (const Factor& factor : piece.coefficient) {
      kind += fmt::format(";c{},{}", factor.source, factor.u);
    }
    for (const Factor& factor : piece.friction) {
      if (!own || factor.source != own->source) {
        kind += fmt::format(";f{},{}", factor.source, factor.u);
      }
    }
    if (own) {
      kind += ";own";
    }
    if (piece.loss.reynolds_square_pa_s2_m6 != 0.0) {
      auto law = std::find_if(laws_.begin(), laws_.end(), [&](const auto& known) {
        return same_law(known, piece.loss.reynolds);
      });
      if (law == laws_.end()) {
        law = laws_.insert(law, piece.loss.reynolds);
      }
      kind += fmt::format(";r{},{}", law - laws_.begin(), piece.loss.reynolds_s_m3);
    }
    return kind;
  }

  static PieceErrors without(PieceErrors piece, const std::optional<Factor>& own) {
    if (own) {
      std::erase_if(piece.friction,
                    [&](const Factor& factor) { return factor.source == own->source; });
    }
    return piece;
  }

  static void add(PieceLoss& to, const PieceLoss& more) {
    to.square_pa_s2_m6 += more.square_pa_s2_m6;
    to.linear_pa_s_m3 += more.linear_pa_s_m3;
    to.friction_ratio += more.friction_ratio;
    to.reynolds_square_pa_s2_m6 += more.reynolds_square_pa_s2_m6;
  }

  /// Takes out the errors that nothing names any more.
  static void keep_used(std::vector<ErrorSource>& sources,
                        std::vector<std::vector<std::size_t>>& of,
                        Arrays& arrays) {
    std::vector<char> used(sources.size(), 0);
    each_source(arrays, [&](std::size_t source) { used[source] = 1; });
    std::vector<std::size_t> place(sources.size(), 0);
    std::size_t count = 0;
    for (std::size_t i = 0; i < sources.size(); ++i) {
      if (used[i] != 0) {
        place[i] = count;
        if (count != i) {
          sources[count] = std::move(sources[i]);
          of[count] = std::move(of[i]);
        }
        ++count;
      }
    }
    sources.resize(count);
    of.resize(count);
    each_source(arrays, [&](std::size_t& source) { source = place[source]; });
  }

  const ErrorModel& model_;
  const Arrays& arrays_;
  std::vector<std::optional<Factor>> own_;  ///< [pieces]
  std::vector<std::string> kind_;           ///< [pieces] empty: adds up with no other
  std::unordered_map<std::string_view, std::size_t> piece_of_;  ///< by the identity of its own
  std::unordered_map<std::string_view, std::size_t> known_;
  std::vector<fitting::ReynoldsFactor> laws_;
};

/// Where an error stands in all models and in what proportion; empty: it cannot be lumped.
std::string standing(std::string_view identity, const std::vector<Lumper>& models) {
  std::string text;
  double first = 0.0;
  for (std::size_t m = 0; m < models.size(); ++m) {
    const auto piece = models[m].piece_of(identity);
    if (!piece) {
      if (models[m].knows(identity)) {
        return {};
      }
      continue;
    }
    const double weight = models[m].weight(*piece);
    first = first == 0.0 ? weight : first;
    text += fmt::format("{}:{}|{}|",
                        m,
                        std::lround(std::log(weight / first) / kSameProportion),
                        models[m].kind(*piece));
  }
  return text;
}

}  // namespace

std::vector<Lumped> lumped(std::span<const ErrorModel* const> models) {
  std::vector<Lumper> all;
  for (const ErrorModel* model : models) {
    all.emplace_back(*model);
  }
  std::unordered_map<std::string, std::size_t> lumps;
  std::vector<Lumped> out;
  for (const Lumper& one : all) {
    std::vector<std::optional<std::size_t>> lump_of(one.model().arrays().pieces.size());
    for (const ErrorSource& source : one.model().sources()) {
      const auto piece = one.piece_of(source.identity);
      const std::string where = piece ? standing(source.identity, all) : std::string();
      if (!where.empty()) {
        lump_of[*piece] = lumps.try_emplace(where, lumps.size()).first->second;
      }
    }
    out.push_back(one.result(lump_of));
  }
  return out;
}

}  // namespace ductledger::solve
