#include "study/size.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <numbers>
#include <utility>
#include <variant>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "duct/straight.hpp"
#include "fitting/stock.hpp"
#include "house/uncertain_room.hpp"
#include "layout/catalogue_query.hpp"
#include "layout/piece_number.hpp"
#include "layout/written_system.hpp"
#include "numeric/root.hpp"
#include "parallel/parallel.hpp"
#include "result/uncertainty.hpp"
#include "solve/close_fittings.hpp"
#include "study/advice_changes_internal.hpp"
#include "study/case.hpp"
#include "yaml/parse.hpp"

namespace ductledger::study {
namespace {

using base::fault;

using layout::Piece;
using layout::PieceKind;
using solve::Status;
using Stands = result::Requirement::State;

constexpr double kAsked = 1e-9;  // [1] rounding of a value typed against one calculated
constexpr std::size_t kPiecesTold = 3;

/// By one rating alone the lower of its two bounds.
double known_airflow_m3_s(const solve::OperatingPoint& point) {
  return point.status == Status::not_determined && point.bounds ? point.bounds->low_m3_s
                                                                : solve::best_airflow_m3_s(point);
}

double fan_static_pa(const solve::CompiledRun& run,
                     const solve::FanAtSpeed& fan,
                     double airflow_m3_s) {
  return fan.curve.pressure_pa(airflow_m3_s) +
         (fan.dynamic_pa_s2_m6 - run.outlet_dynamic_pa_s2_m6) * airflow_m3_s * airflow_m3_s;
}

/// Airflow and low end of the band at one speed, as `check` calculates them, without the rest.
struct Delivered {
  double airflow_m3_s = 0.0;
  double low_m3_s = 0.0;  ///< only where it was asked for
};
enum class Of { airflow, low };

class Sizer {
 public:
  Sizer(SizeResult& result, const fitting::Catalogue& catalogue, const SizeOptions& options)
      : result_(result), catalogue_(catalogue), options_(options) {}

  void run() {
    result_.drawn = drawn();
    free_air();
    const std::vector<duct::Section> all = sections();
    result_.tried =
        parallel::map<TriedSize>(all.size(), [&](std::size_t i) { return tried(all[i]); });
    refuse_by_rules();
    for (std::size_t i = 0; i < result_.tried.size() && !result_.smallest; ++i) {
      if (result_.tried[i].delivers()) {
        result_.smallest = i;
      }
    }
    vary();
    if (!result_.smallest) {
      result_.bound = bound();
    }
    result_.limits = limits(result_.check);
    if (result_.smallest) {
      const TriedSize& smallest = result_.tried[*result_.smallest];
      if (smallest.airflow_m3_s == result_.drawn.airflow_m3_s) {
        return;
      }
      if (const auto checked = check(*smallest.layout, catalogue_)) {
        result_.smallest_limits = limits(*checked);
      }
    }
  }

 private:
  [[nodiscard]] double wanted() const { return result_.wanted_m3_s; }

  // --- sizes

  [[nodiscard]] std::vector<duct::Section> sections() const {
    std::vector<duct::Section> all;
    for (const duct::Shape shape :
         {duct::Shape::round, duct::Shape::rectangular, duct::Shape::flat_oval}) {
      const auto& stock = fitting::stock_sizes(
          shape, fitting::series_of(layout::written_system(result_.check.layout)));
      all.insert(all.end(), stock.begin(), stock.end());
    }
    for (const duct::Section& section : options_.more_sizes) {
      if (std::find(all.begin(), all.end(), section) == all.end()) {
        all.push_back(section);
      }
    }
    std::stable_sort(all.begin(), all.end(), [](const auto& a, const auto& b) {
      return a.area_m2() < b.area_m2();
    });
    return all;
  }

  [[nodiscard]] TriedSize drawn() const {
    TriedSize out;
    out.section = result_.check.run.pieces.empty() ? result_.check.layout.run.first_section
                                                   : result_.check.run.pieces.back().upstream;
    fill(out, result_.check);
    return out;
  }

  [[nodiscard]] TriedSize tried(const duct::Section& section) const {
    return calculated(
        section,
        {},
        edit::with_section(result_.check.layout,
                           catalogue_,
                           {.section = section, .joint = edit::CollarJoint::gradual}));
  }

  [[nodiscard]] TriedSize calculated(const duct::Section& section,
                                     std::vector<units::Message> changes,
                                     edit::Edited edited) const {
    TriedSize out;
    out.section = section;
    out.changes = std::move(changes);
    out.depth_m = std::min(section.width_m(), section.height_m());
    if (!edited) {
      return no_figures(std::move(out), edited.error());
    }
    const auto checked = check(*edited, catalogue_);
    if (!checked) {
      return no_figures(std::move(out), checked.error());
    }
    const solve::OperatingPoint& point = checked->speeds[result_.speed].point;
    if (point.status == Status::not_determined && !point.bounds) {
      return no_figures(std::move(out),
                        base::Diagnostics{fault(
                            "not-bounded",
                            "so wide a run asks for less than its fan's outlet gives, which one "
                            "rating does not bound")});
    }
    fill(out, *checked);
    const auto& before = result_.check.layout.remarks;
    for (const units::Message& remark : edited->remarks) {
      if (std::find(before.begin(), before.end(), remark) == before.end()) {
        out.remarks.push_back(remark);
      }
    }
    out.layout = *std::move(edited);
    return out;
  }

  static TriedSize no_figures(TriedSize out, const base::Diagnostics& why) {
    out.refusals.push_back(Refusal::no_figures);
    out.why_not = why.front().message;
    return out;
  }

  void fill(TriedSize& out, const CheckResult& checked) const {
    const result::SpeedResult& speed = checked.speeds[result_.speed];
    out.status = speed.point.status;
    out.stands = result::stands(speed, wanted());
    out.airflow_m3_s = known_airflow_m3_s(speed.point);
    out.airflow_band_m3_s = speed.airflow_band_m3_s;
    out.bounded = speed.point.estimate.has_value();
    if (speed.airflow_band_m3_s) {
      out.low_m3_s = speed.airflow_band_m3_s->low;
    }
    out.depth_m = 0.0;
    for (const Piece& piece : checked.layout.run.pieces) {
      if (piece.kind == PieceKind::straight || piece.kind == PieceKind::flex) {
        measure(out, piece.upstream);
      }
    }
    if (out.depth_m == 0.0) {
      measure(out, out.section);
    }
    out.needed_static_pa = house::demand(checked.run, checked.house).static_pa(wanted());
    out.breaks = breaks(checked);
    if (!checked.findings.empty() && checked.findings.front().level != findings::Level::note) {
      out.worst = checked.findings.front();
    }
    judge(out);
    if (std::ranges::any_of(checked.layout.run.pieces, [&](const Piece& piece) {
          return is_flexible(piece) && piece.upstream.shape() != duct::Shape::round;
        })) {
      out.refusals.push_back(Refusal::not_sold);
    }
    const bool narrow =
        std::any_of(checked.findings.begin(), checked.findings.end(), [](const auto& finding) {
          return finding.code == "section-smaller-than-collar";
        });
    if (narrow) {
      out.refusals.push_back(Refusal::smaller_than_collar);
    }
  }

  [[nodiscard]] bool is_flexible(const Piece& piece) const {
    return piece.kind == PieceKind::flex ||
           (piece.kind == PieceKind::elbow &&
            layout::traits_of(piece, catalogue_).make == fitting::Make::flexible);
  }

  /// Rules not met and findings that fail, but for the airflow, which is judged by itself.
  [[nodiscard]] std::vector<std::string> breaks(const CheckResult& checked) const {
    std::vector<std::string> out;
    const auto add = [&](const std::string& title) {
      if (std::find(out.begin(), out.end(), title) == out.end()) {
        out.push_back(title);
      }
    };
    for (const findings::Finding& finding : checked.findings) {
      if (finding.level == findings::Level::fail && finding.code != "delivered-below-required" &&
          finding.code != "no-flow") {
        add(finding.code);
      }
    }
    if (options_.sets) {
      const result::Case subject = as_case(checked, catalogue_);
      for (const rules::Judgement& judgement : rules::judge(*options_.sets, subject)) {
        if (judgement.verdict == rules::Verdict::not_met &&
            rules::level(judgement) == findings::Level::fail) {
          add(judgement.rule->title + " [" + rules::citation(*judgement.set, *judgement.rule) +
              ']');
        }
      }
    }
    return out;
  }

  /// What every size breaks is not the size's doing; what some do refuses those.
  void refuse_by_rules() {
    const TriedSize* first = nullptr;
    for (const TriedSize& size : result_.tried) {
      if (size.layout && first == nullptr) {
        first = &size;
        result_.breaks_at_every_size = size.breaks;
      } else if (size.layout) {
        std::erase_if(result_.breaks_at_every_size, [&](const std::string& one) {
          return std::find(size.breaks.begin(), size.breaks.end(), one) == size.breaks.end();
        });
      }
    }
    for (TriedSize& size : result_.tried) {
      refuse_by_rules(size);
    }
    refuse_by_rules(result_.drawn);
  }
  void refuse_by_rules(TriedSize& size) const {
    const auto& always = result_.breaks_at_every_size;
    std::erase_if(size.breaks, [&](const std::string& one) {
      return std::find(always.begin(), always.end(), one) != always.end();
    });
    if (!size.breaks.empty()) {
      size.refusals.push_back(Refusal::breaks_a_rule);
    }
  }

  static void measure(TriedSize& out, const duct::Section& duct) {
    out.velocity_m_s = std::max(out.velocity_m_s, out.airflow_m3_s / duct.area_m2());
    out.depth_m = std::max(out.depth_m, std::min(duct.width_m(), duct.height_m()));
  }

  void judge(TriedSize& out) const {
    if (out.stands != Stands::met) {
      out.refusals.push_back(out.stands == Stands::not_met ? Refusal::too_little_air
                                                           : Refusal::just);
    }
    if (options_.max_velocity_m_s && out.velocity_m_s > *options_.max_velocity_m_s) {
      out.refusals.push_back(Refusal::too_fast);
    }
    if (options_.max_depth_m && out.depth_m > *options_.max_depth_m * (1.0 + kAsked)) {
      out.refusals.push_back(Refusal::too_deep);
    }
  }

  // --- other elbows and caps

  [[nodiscard]] static bool narrowly(const TriedSize& size, double wanted_m3_s) {
    return size.refusals.size() == 1 &&
           (size.refused_for(Refusal::just) || size.refused_for(Refusal::too_little_air)) &&
           size.airflow_m3_s >= kNarrowShare * wanted_m3_s;
  }

  void vary() {
    if (!result_.free_air_is_curve_end && result_.free_air_m3_s < wanted()) {
      return;  // no elbow mends that
    }
    const std::size_t end = result_.smallest.value_or(result_.tried.size());
    std::size_t varied = 0;
    for (std::size_t i = 0; i < end && varied < kVaried; ++i) {
      if (narrowly(result_.tried[i], wanted())) {
        ++varied;
        vary(result_.tried[i]);
      }
    }
  }

  void vary(const TriedSize& size) {
    const auto checked = check(*size.layout, catalogue_);
    if (!checked) {
      return;
    }
    std::vector<Change> elbows;
    std::vector<std::vector<Change>> caps{{}};
    for (Change& change : possible_changes(*checked, catalogue_)) {
      const bool cap = change.kind == ChangeKind::other_cap || change.kind == ChangeKind::wider_cap;
      const bool elbow =
          change.kind == ChangeKind::smooth_elbow || change.kind == ChangeKind::longer_radius;
      const bool taken = std::any_of(elbows.begin(), elbows.end(), [&](const Change& each) {
        return each.pieces == change.pieces;
      });
      if (cap) {
        caps.push_back({std::move(change)});
      } else if (elbow && change.pieces.size() == 1 && !taken) {
        elbows.push_back(std::move(change));
      }
    }
    std::vector<AdviceRow> rows;
    for (const std::vector<Change>& cap : caps) {
      if (!cap.empty()) {
        rows.emplace_back().changes = cap;
      }
      if (!elbows.empty()) {
        AdviceRow& row = rows.emplace_back();
        row.changes = elbows;
        row.changes.insert(row.changes.end(), cap.begin(), cap.end());
      }
    }
    result_.varied_count += rows.size();
    for (TriedSize& varied : parallel::map<TriedSize>(
             rows.size(), [&](std::size_t i) { return changed(size, rows[i]); })) {
      refuse_by_rules(varied);
      if (varied.delivers()) {
        result_.varied.push_back(std::move(varied));
      }
    }
  }

  [[nodiscard]] TriedSize changed(const TriedSize& size, const AdviceRow& row) const {
    std::vector<units::Message> words;
    for (const Change& change : row.changes) {
      const auto same = [&](const units::Message& each) {
        return each.text(units::System::si) == change.words.text(units::System::si);
      };
      if (std::none_of(words.begin(), words.end(), same)) {
        words.push_back(change.words);
      }
    }
    return calculated(size.section, std::move(words), with_changes(*size.layout, row));
  }

  // --- what bounds the answer

  void free_air() {
    const result::SpeedResult& speed = result_.check.speeds[result_.speed];
    if (!speed.fan.fan) {  // one rating: without a duct it moves more
      result_.free_air_m3_s = speed.rated->airflow_m3_s;
      result_.free_air_is_curve_end = true;
      return;
    }
    const solve::FanAtSpeed& fan = *speed.fan.fan;
    const double first = fan.curve.first_airflow_m3_s();
    const double last = fan.curve.last_airflow_m3_s();
    const auto pressure = [&](double q) { return fan_static_pa(result_.check.run, fan, q); };
    constexpr double kNothingPa = 0.01;
    result_.free_air_m3_s = last;
    if (pressure(last) > kNothingPa) {
      result_.free_air_is_curve_end = true;
    } else if (pressure(last) < 0.0 && pressure(first) > 0.0) {
      result_.free_air_m3_s = numeric::find_root(pressure, {first, last}, {}).root;
    }
  }

  [[nodiscard]] SizeBound bound() const {
    SizeBound out;
    for (std::size_t i = 0; i < result_.tried.size(); ++i) {
      const TriedSize& size = result_.tried[i];
      if (size.layout && !size.refused_for(Refusal::too_deep) &&
          (!out.best || size.airflow_m3_s > result_.tried[*out.best].airflow_m3_s)) {
        out.best = i;
      }
    }
    if (!out.best) {
      return out;
    }
    const auto checked = check(*result_.tried[*out.best].layout, catalogue_);
    if (!checked) {
      return out;
    }
    const result::SpeedResult& speed = checked->speeds[result_.speed];
    if (speed.house && speed.house->airflow_without_house_m3_s) {
      out.without_house_m3_s = speed.house->airflow_without_house_m3_s;
    }
    if (!speed.fan.fan) {
      return out;
    }
    out.without_piece = parallel::map<WithoutPiece>(
        checked->run.pieces.size(), [&](std::size_t i) { return without(*checked, i); });
    std::stable_sort(out.without_piece.begin(),
                     out.without_piece.end(),
                     [](const auto& a, const auto& b) { return a.airflow_m3_s > b.airflow_m3_s; });
    if (out.without_piece.size() > kPiecesTold) {
      out.without_piece.resize(kPiecesTold);
    }
    return out;
  }

  [[nodiscard]] WithoutPiece without(const CheckResult& checked, std::size_t index) const {
    solve::CompiledRun run = checked.run;
    const solve::CompiledPiece& gone = checked.run.pieces[index];
    std::vector<solve::FrictionGroup> groups = run.loss.groups();
    std::vector<solve::PieceLoss> pieces;
    for (std::size_t i = 0; i < run.pieces.size(); ++i) {
      if (i != index) {
        pieces.push_back(run.pieces[i].loss);
      }
    }
    if (gone.loss.friction_group >= 0) {
      groups[static_cast<std::size_t>(gone.loss.friction_group)].ratio -= gone.loss.friction_ratio;
    }
    run.loss = solve::RunLoss(std::move(groups), pieces);
    const solve::OperatingPoint point = house::operating_point(
        run, *checked.speeds[result_.speed].fan.fan, checked.house.coupled());
    return {.number = gone.piece ? layout::piece_number(*gone.piece) : 0,
            .piece = gone.fitting ? gone.word + ' ' + gone.fitting->type : gone.word,
            .status = point.status,
            .airflow_m3_s = point.airflow_m3_s};
  }

  // --- how far the run may go

  [[nodiscard]] std::optional<Delivered> by_rating(const layout::Layout& layout, Of of) const {
    const auto checked =
        check(layout, catalogue_, {.depth = of == Of::low ? Depth::bands : Depth::points});
    if (!checked) {
      return std::nullopt;
    }
    const result::SpeedResult& speed = checked->speeds[result_.speed];
    return Delivered{known_airflow_m3_s(speed.point),
                     speed.airflow_band_m3_s ? speed.airflow_band_m3_s->low : 0.0};
  }

  [[nodiscard]] std::optional<Delivered> delivered(const edit::Edited& edited, Of of) const {
    if (!edited) {
      return std::nullopt;
    }
    if (!result_.check.speeds[result_.speed].fan.fan) {
      return by_rating(*edited, of);
    }
    const auto run = solve::compile(*edited, catalogue_);
    if (!run) {
      return std::nullopt;
    }
    const auto house = house::compile(*edited, catalogue_, *run);
    if (!house) {
      return std::nullopt;
    }
    const solve::SpeedFan fan =
        solve::speed_fan(*edited, *run, result_.check.speeds[result_.speed].index);
    const auto point = house::operating_point(*run, *fan.fan, house->coupled());
    const result::BandOf of_speed{.layout = *edited,
                                  .run = *run,
                                  .fan = fan,
                                  .point = point,
                                  .room = house::uncertain_room(*house)};
    Delivered out{solve::best_airflow_m3_s(point), 0.0};
    if (of == Of::low) {
      out.low_m3_s = result::limits(of_speed).low_m3_s;
    }
    return out;
  }

  /// Airflow over what is wanted; below any where the layout cannot be made so.
  [[nodiscard]] double spare_m3_s(const edit::Edited& edited, Of of) const {
    const auto got = delivered(edited, of);
    if (!got) {
      return -wanted();
    }
    return (of == Of::low ? got->low_m3_s : got->airflow_m3_s) - wanted();
  }

  [[nodiscard]] std::optional<Reach> reach(const layout::Layout& layout,
                                           std::size_t straight,
                                           Of of) const {
    constexpr double kShortestM = 0.0254;  // nobody cuts a shorter one
    constexpr double kWidthM = 1e-6;
    const auto spare = [&](double length_m) {
      return spare_m3_s(
          edit::with_length(layout, catalogue_, {.piece = straight, .length_m = length_m}), of);
    };
    // Longer may be better: elbows further apart disturb each other less, and a stack helps. Beyond
    // what fittings disturb the airflow only rises or only falls.
    const layout::Piece& piece = layout.run.pieces[straight];
    const double drawn_m = *piece.length_m;
    const double longest_m = drawn_m + kLongestExtraM;
    std::array lengths_m{kShortestM,
                         solve::close_m(piece.upstream),
                         solve::pairs_end_m(piece.upstream, catalogue_),
                         std::max(drawn_m, kShortestM),
                         longest_m};
    std::sort(lengths_m.begin(), lengths_m.end(), std::greater<>());
    std::optional<double> too_long_m;
    for (const double length_m : lengths_m) {
      if (length_m < kShortestM || length_m > longest_m) {
        continue;
      }
      if (spare(length_m) < 0.0) {
        too_long_m = length_m;
        continue;
      }
      if (!too_long_m) {
        return Reach{longest_m, true};
      }
      numeric::RootStop stop;
      stop.width_absolute = kWidthM;
      return Reach{numeric::find_root(spare, {length_m, *too_long_m}, stop).bracket.low, false};
    }
    return std::nullopt;
  }

  /// The longest straight, which a user would make longer.
  [[nodiscard]] static std::optional<std::size_t> longest_straight(const layout::Layout& layout) {
    std::optional<std::size_t> longest;
    const auto& pieces = layout.run.pieces;
    for (std::size_t i = 0; i < pieces.size(); ++i) {
      if (pieces[i].kind == PieceKind::straight && pieces[i].length_m &&
          (!longest || *pieces[i].length_m > *pieces[*longest].length_m)) {
        longest = i;
      }
    }
    return longest;
  }

  struct FurtherElbow {
    std::string type;
    double coefficient = 0.0;
    double uncertainty = 0.0;
  };
  /// A 90 degree elbow as the run has them, or the usual one, at the section before the cap; far
  /// from other fittings.
  [[nodiscard]] std::optional<FurtherElbow> further_elbow(const CheckResult& of) const {
    const layout::Layout& layout = of.layout;
    const std::size_t at = edit::cap_of(layout).value_or(layout.run.pieces.size());
    const duct::Section section = at < layout.run.pieces.size() ? layout.run.pieces[at].upstream
                                  : layout.run.pieces.empty()   ? layout.run.first_section
                                                              : layout.run.pieces.back().downstream;
    Piece elbow(PieceKind::elbow);
    elbow.upstream = section;
    elbow.type = layout::default_type(elbow, catalogue_);
    elbow.as<layout::Elbow>().in_plane_m = std::min(section.width_m(), section.height_m());
    elbow.as<layout::Elbow>().across_m = std::max(section.width_m(), section.height_m());
    for (const Piece& piece : layout.run.pieces) {
      if (piece.kind == PieceKind::elbow && !piece.loss_is_stated() && piece.upstream == section) {
        elbow = piece;
      }
    }
    elbow.downstream = section;
    elbow.as<layout::Elbow>().angle_rad = std::numbers::pi / 2.0;
    const auto found = catalogue_.coefficient(layout::catalogue_query(elbow));
    const auto* c = std::get_if<fitting::Coefficient>(&found);
    if (c == nullptr) {
      return std::nullopt;
    }
    const double area_m2 = section.area_m2();
    const double rho = of.run.air.density_kg_m3;
    const double velocity_m_s = wanted() / area_m2;
    const double reynolds =
        rho * velocity_m_s * section.hydraulic_diameter_m() / of.run.air.viscosity_pa_s;
    double coefficient = c->value * c->reynolds.at(reynolds);
    if (c->friction_length_m > 0.0) {
      const double de_m = section.equivalent_diameter_m();
      const double ve_m_s = 4.0 * wanted() / (std::numbers::pi * de_m * de_m);
      const double f =
          duct::friction_factor({.reynolds = rho * ve_m_s * de_m / of.run.air.viscosity_pa_s,
                                 .relative_roughness = layout.run.roughness_m / de_m});
      coefficient +=
          f * c->friction_length_m / de_m * ve_m_s * ve_m_s / (velocity_m_s * velocity_m_s);
    }
    return FurtherElbow{c->type, coefficient, c->standard_uncertainty};
  }

  [[nodiscard]] std::optional<int> elbows(const layout::Layout& layout,
                                          const FurtherElbow& elbow,
                                          Of of) const {
    const std::size_t at = edit::cap_of(layout).value_or(layout.run.pieces.size());
    std::optional<int> fit;
    for (int count = 0; count <= kMostElbows; ++count) {
      edit::Edited edited = layout;
      if (count > 0) {
        edited = edit::with_piece_inserted(
            layout,
            catalogue_,
            {.piece = at,
             .text = fmt::format("loss: {{coefficient: {} +- {} %, note: further elbows}}",
                                 elbow.coefficient * count,
                                 elbow.uncertainty * 100.0)});
      }
      if (spare_m3_s(edited, of) < 0.0) {
        break;
      }
      fit = count;
    }
    return fit;
  }

  [[nodiscard]] Limits limits(const CheckResult& of) const {
    Limits out;
    const layout::Layout& layout = of.layout;
    out.straight = longest_straight(layout);
    std::vector<std::function<void()>> searches;
    if (out.straight) {
      const layout::Piece& straight = layout.run.pieces[*out.straight];
      out.straight_m = *straight.length_m;
      out.stack_helps = !layout.run.stated_rise_m && layout.run.rise_m && straight.heading_in &&
                        (*straight.heading_in)[2] > 0.5 &&
                        of.run.air.outdoor_density_kg_m3 > of.run.air.density_kg_m3;
      searches.emplace_back([&] { out.reach = reach(layout, *out.straight, Of::airflow); });
      searches.emplace_back([&] { out.reach_with_margin = reach(layout, *out.straight, Of::low); });
    }
    const auto elbow = further_elbow(of);
    if (elbow) {
      out.elbow = elbow->type;
      out.elbow_coefficient = elbow->coefficient;
      searches.emplace_back([&] { out.elbows = elbows(layout, *elbow, Of::airflow); });
      searches.emplace_back([&] { out.elbows_with_margin = elbows(layout, *elbow, Of::low); });
    }
    parallel::each(searches.size(), [&](std::size_t i) { searches[i](); });
    out.needed_static_pa = house::demand(of.run, of.house).static_pa(wanted());
    const auto& known = of.speeds[result_.speed].fan.fan;
    if (!known) {
      return out;
    }
    const solve::FanAtSpeed& fan = *known;
    if (wanted() >= fan.curve.first_airflow_m3_s() && wanted() <= fan.curve.last_airflow_m3_s()) {
      out.fan_static_pa = fan_static_pa(of.run, fan, wanted());
    }
    return out;
  }

  SizeResult& result_;
  const fitting::Catalogue& catalogue_;
  const SizeOptions& options_;
};

/// The speed asked for, where its curve is known.
base::Checked<std::size_t> speed_of(const CheckResult& checked, const std::string& asked) {
  if (!checked.layout.fan) {
    return fault("no-fan",
                 "the layout has no fan, so no airflow can be found",
                 "state its curve under `fan`, or by `--within 0.25inH2O` what the run may ask of "
                 "one; `check` shows what the run asks of a fan");
  }
  const std::optional<std::size_t> speed = asked.empty() ? checked.headline : checked.ledger_speed;
  if (!speed) {
    return fault("no-speed", "every speed is locked out", "name one by `--speed`");
  }
  const result::SpeedResult& chosen = checked.speeds[*speed];
  if (!chosen.fan.fan && !chosen.point.bounds) {
    return fault("fan-not-determined",
                 fmt::format("too little is known of speed `{}`: {}",
                             base::escaped(chosen.name),
                             chosen.fan.why_not));
  }
  return *speed;
}

}  // namespace

bool TriedSize::refused_for(Refusal refusal) const noexcept {
  return std::find(refusals.begin(), refusals.end(), refusal) != refusals.end();
}

namespace {

/// The layout with a fan that makes a static pressure at every airflow: what a run may ask of one.
base::Checked<layout::Layout> with_budget(const layout::Layout& layout,
                                          const fitting::Catalogue& catalogue,
                                          const SizeOptions& options) {
  if (layout.fan) {
    return fault("fan-stated",
                 "the layout states its fan, and `--within` is for a run without one",
                 "leave `--within` out, or take `fan` out of the layout");
  }
  const double air_m3_s =
      4.0 * options.deliver_m3_s.value_or(layout.appliance.required_airflow_m3_s.value_or(0.1));
  // As good as level; a curve has to fall somewhere. Three points, so that no shape is assumed.
  constexpr double kLevel = 1e-6;
  std::string text = fmt::format(
      "fan: {{speeds: [{{name: budget, curve: {{airflow: [0 m3/s, {0:.9g} m3/s, {1:.9g} m3/s], "
      "pressure: [{2:.9g} Pa, {3:.9g} Pa, {4:.9g} Pa]}}}}]}}\n",
      air_m3_s / 2.0,
      air_m3_s,
      *options.within_pa,
      *options.within_pa * (1.0 - kLevel),
      *options.within_pa * (1.0 - 2.0 * kLevel));
  if (layout.tree->root.find("uncertainty") == nullptr) {
    text += "uncertainty: {fan_pressure: 0 %, fan_airflow: 0 %}\n";
  }
  auto fan = yaml::parse(std::make_shared<const base::SourceText>("--within", std::move(text)));
  if (!fan) {
    return std::move(fan).error();
  }
  yaml::Node root = layout.tree->root;
  for (yaml::Entry& entry : fan->root.entries) {
    root.entries.push_back(std::move(entry));
  }
  return layout::read_edited(layout, std::move(root), catalogue);
}

}  // namespace

base::Checked<SizeResult> size(layout::Layout layout,
                               const fitting::Catalogue& catalogue,
                               const SizeOptions& options) {
  if (layout.tree == nullptr) {
    return fault("cannot-edit", "the layout was not read from a text, so it cannot be edited");
  }
  const std::optional<double> wanted_m3_s =
      options.deliver_m3_s ? options.deliver_m3_s : layout.appliance.required_airflow_m3_s;
  if (!wanted_m3_s) {
    return fault("no-airflow-wanted",
                 "neither the call nor the layout says what has to be delivered",
                 "`--deliver 400cfm`, or `required_airflow` under `appliance`");
  }
  if (layout.run.pieces.size() > kMostPiecesSized) {
    return fault("too-many-pieces",
                 fmt::format("the run has {} pieces, and sizes are tried for one of {} at most",
                             layout.run.pieces.size(),
                             kMostPiecesSized),
                 "`check` calculates it as it is drawn");
  }
  if (options.within_pa) {
    auto budgeted = with_budget(layout, catalogue, options);
    if (!budgeted) {
      return std::move(budgeted).error();
    }
    layout = *std::move(budgeted);
  }
  auto checked = check(std::move(layout), catalogue, {.speed = options.speed});
  if (!checked) {
    return std::move(checked).error();
  }
  const auto speed = speed_of(*checked, options.speed);
  if (!speed) {
    return speed.error();
  }
  SizeResult result{.check = *std::move(checked),
                    .speed = *speed,
                    .wanted_m3_s = *wanted_m3_s,
                    .max_depth_m = options.max_depth_m,
                    .max_velocity_m_s = options.max_velocity_m_s,
                    .drawn = {},
                    .tried = {},
                    .varied = {},
                    .smallest = {},
                    .bound = {},
                    .limits = {},
                    .smallest_limits = {}};
  Sizer(result, catalogue, options).run();
  return result;
}

}  // namespace ductledger::study
