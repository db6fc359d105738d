#include "solve/lump.hpp"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <random>
#include <string>
#include <vector>

#include "edit/edit.hpp"
#include "solve/error_model_internal.hpp"
#include "support/check_text.hpp"

// A lump stands for errors that add up: with the sum of what they are in its place, a run loses
// what it loses with each of them.
namespace ductledger::solve {
namespace {

/// What arrays lose with their errors at z.
class AtErrors : public Perturbed<double, AtErrors> {
 public:
  AtErrors(const ErrorModel::Arrays& arrays, const std::vector<double>& z)
      : Perturbed(arrays), z_(z) {}

  using Perturbed::factor;
  [[nodiscard]] double factor(const ErrorModel::Factor& f) const { return f.at(z_[f.source]); }
  [[nodiscard]] double added(const ErrorModel::Added& more) const {
    return more.at(z_[more.source]);
  }
  [[nodiscard]] double z(std::size_t source) const { return z_[source]; }
  [[nodiscard]] double constant(double value) const { return value; }
  [[nodiscard]] SectionScale<double> scale(std::size_t section) const { return scale_of(section); }

 private:
  const std::vector<double>& z_;
};

/// A long run in two sections, with whatever may stand in one many times over.
std::string mixed(std::size_t times) {
  std::string text =
      "layout: 1\nappliance: {kind: exhaust, collar: 8 in round}\nfan:\n"
      "  speeds: [{name: high, curve: {airflow: 0 250 450 600 680 cfm, pressure: 9 8.5 7 3 0 "
      "inH2O}}]\nrun:\n  section: 8 in round\n  heading: up\n  pieces:\n";
  text += "    - straight: 10 ft\n";
  const auto put = [&](std::size_t i) {
    const char* turn = i % 2 == 0 ? "back" : "up";
    text += fmt::format("    - straight: {} ft\n", 10 + i % 5);
    text += fmt::format("    - elbow: {{type: smooth-radius, turn: {}, radius_ratio: {}}}\n",
                        turn,
                        i % 3 == 0 ? 1.0 : 1.5);
    text += fmt::format("    - straight: {} ft\n", 12 + i % 2);
    text += "    - filter: {pressure: 3 Pa, at: 100 L/s, law: linear}\n";
    text += "    - filter: {type: mesh, pressure: 2 5 Pa, at: 100 200 L/s}\n";
    text += "    - damper: {type: backdraft-flap, opening_pressure: 4 Pa}\n";
    text += "    - damper: {type: backdraft-flap}\n";
    text += fmt::format("    - loss: {{coefficient: 0.3 +- {} %}}\n", i % 2 == 0 ? 10 : 40);
    text += "    - flex: {length: 3 ft, stretched: 90 %, dips: 1, sag: 1 in}\n";
  };
  for (std::size_t i = 0; i < times; ++i) {
    put(i);
  }
  text += "    - transition: {to: 7 in round, length: 8 in}\n";
  for (std::size_t i = 0; i < times; ++i) {
    put(i + times);
  }
  return text + "    - cap: wall-hood-flap\n";
}

struct Lumping {
  study::CheckResult checked;
  ErrorModel model;

  explicit Lumping(study::CheckResult of)
      : checked(std::move(of)),
        model(checked.layout,
              checked.run,
              {.fan = &*checked.speeds.front().fan.fan,
               .origin = checked.speeds.front().fan.origin}) {}
};

/// What one standard uncertainty of an error changes of its piece's friction ratio.
double weight(const ErrorModel& model, std::size_t source) {
  for (const ErrorModel::PieceErrors& piece : model.arrays().pieces) {
    for (const ErrorModel::Factor& factor : piece.friction) {
      if (factor.source == source) {
        return factor.u * piece.loss.friction_ratio;
      }
    }
  }
  return std::nan("");
}

/// The errors of the lumped model that stand for those of the model.
std::vector<double> z_of(const ErrorModel& model,
                         const Lumped& lumped,
                         const std::vector<double>& z) {
  std::vector<double> out;
  for (const std::vector<std::size_t>& of : lumped.of) {
    if (of.size() == 1) {
      out.push_back(z[of.front()]);
      continue;
    }
    double sum = 0.0;
    double square = 0.0;
    for (const std::size_t source : of) {
      const double w = weight(model, source);
      sum += w * z[source];
      square += w * w;
    }
    out.push_back(sum / std::sqrt(square));
  }
  return out;
}

/// Errors by their identities, the same for all models.
class Errors {
 public:
  explicit Errors(unsigned seed) : random_(seed) {}

  std::vector<double> of(const ErrorModel& model) {
    std::vector<double> z;
    for (const ErrorSource& source : model.sources()) {
      const auto [at, is_new] = z_.try_emplace(std::string(source.identity), 0.0);
      if (is_new) {
        at->second = std::normal_distribution<double>()(random_);
      }
      z.push_back(at->second);
    }
    return z;
  }

 private:
  std::mt19937_64 random_;
  std::map<std::string, double> z_;
};

void expect_same_losses(const ErrorModel& model, const Lumped& lumped, unsigned seed) {
  for (unsigned draw = 0; draw < 10; ++draw) {
    Errors errors(seed + draw);
    const std::vector<double> z = errors.of(model);
    const RunLoss all = AtErrors(model.arrays(), z).loss();
    const RunLoss few = AtErrors(lumped.arrays, z_of(model, lumped, z)).loss();
    for (const double q : {0.002, 0.02, 0.1, 0.3}) {
      EXPECT_NEAR(few.at(q) / all.at(q), 1.0, 1e-12) << q;
    }
  }
}

TEST(Lump, loses_what_its_parts_lose_whatever_their_errors_are) {
  const Lumping one(support::check(mixed(8)));
  const std::vector<const ErrorModel*> models{&one.model};
  const auto lumped = solve::lumped(models);
  ASSERT_EQ(lumped.size(), 1U);
  // Each flap stays by itself, and each stated loss.
  EXPECT_LT(3 * lumped.front().sources.size(), 2 * one.model.sources().size());
  EXPECT_LT(3 * lumped.front().arrays.pieces.size(), 2 * one.model.arrays().pieces.size());
  expect_same_losses(one.model, lumped.front(), 1);
}

TEST(Lump, holds_each_error_once) {
  const Lumping one(support::check(mixed(8)));
  const std::vector<const ErrorModel*> models{&one.model};
  const auto lumped = solve::lumped(models);
  std::vector<int> held(one.model.sources().size(), 0);
  for (const std::vector<std::size_t>& of : lumped.front().of) {
    for (const std::size_t source : of) {
      ++held[source];
    }
  }
  EXPECT_EQ(held, std::vector<int>(held.size(), 1));
}

TEST(Lump, of_two_runs_stands_for_the_same_in_both) {
  const Lumping one(support::check(mixed(8)));
  // Edited, so that its errors are those of the other run.
  auto longer = edit::with_length(
      one.checked.layout, fitting::Catalogue::built_in(), {.piece = 0, .length_m = 11.0});
  ASSERT_TRUE(longer);
  auto checked = study::check(*std::move(longer), fitting::Catalogue::built_in());
  ASSERT_TRUE(checked);
  const Lumping other(*std::move(checked));
  const std::vector<const ErrorModel*> models{&one.model, &other.model};
  const auto lumped = solve::lumped(models);
  ASSERT_EQ(lumped.size(), 2U);
  expect_same_losses(one.model, lumped[0], 3);
  expect_same_losses(other.model, lumped[1], 3);
  for (unsigned seed = 5; seed < 10; ++seed) {
    Errors errors(seed);
    std::map<std::string, double> of_one;
    const auto first = z_of(one.model, lumped[0], errors.of(one.model));
    for (std::size_t i = 0; i < first.size(); ++i) {
      of_one[std::string(lumped[0].sources[i].identity)] = first[i];
    }
    const auto second = z_of(other.model, lumped[1], errors.of(other.model));
    std::size_t lumps = 0;
    for (std::size_t i = 0; i < second.size(); ++i) {
      const auto at = of_one.find(std::string(lumped[1].sources[i].identity));
      ASSERT_NE(at, of_one.end());
      EXPECT_NEAR(second[i], at->second, 1e-9) << at->first;
      lumps += lumped[1].of[i].size() > 1 ? 1U : 0U;
    }
    EXPECT_GE(lumps, 4U);
  }
}

}  // namespace
}  // namespace ductledger::solve
