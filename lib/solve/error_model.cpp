#include "solve/error_model.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <numbers>
#include <numeric>
#include <unordered_map>
#include <unordered_set>

#include "base/expects.hpp"
#include "base/sha256.hpp"
#include "duct/friction.hpp"
#include "fitting/default_uncertainty.hpp"
#include "fitting/materials.hpp"
#include "layout/piece_number.hpp"
#include "solve/airflow_band.hpp"
#include "solve/error_model_internal.hpp"

namespace ductledger::solve {
namespace {

using Factor = ErrorModel::Factor;
using Arrays = ErrorModel::Arrays;

/// Central differences step z by this; the error is of its square.
constexpr double kStep = 1e-3;
const double kSqrt3 = std::sqrt(3.0);

/// How an error's factor follows z.
enum class FactorLaw { linear, true_law };

/// z of every source.
struct All {
  std::span<const double> z;
  double operator()(std::size_t source) const noexcept { return z[source]; }
};

/// One source at z, the others at 0.
struct One {
  std::size_t source;
  double z;
  double operator()(std::size_t other) const noexcept { return other == source ? z : 0.0; }
};

/// The run at one z.
template <class Z>
class At : public Perturbed<double, At<Z>> {
 public:
  At(const Arrays& arrays, Z z, FactorLaw law)
      : Perturbed<double, At<Z>>(arrays), z_(z), law_(law) {}

  using Perturbed<double, At<Z>>::factor;
  [[nodiscard]] double factor(const Factor& f) const noexcept {
    const double value = z_(f.source);
    return law_ == FactorLaw::linear ? 1.0 + f.u * value : f.at(value);
  }
  [[nodiscard]] double added(const ErrorModel::Added& more) const noexcept {
    const double value = z_(more.source);
    return law_ == FactorLaw::linear ? more.most / kSqrt3 * value : more.at(value);
  }
  [[nodiscard]] double z(std::size_t source) const noexcept { return z_(source); }
  [[nodiscard]] static double constant(double value) noexcept { return value; }
  [[nodiscard]] SectionScale<double> scale(std::size_t section) const noexcept {
    const auto& source = this->arrays_.sections[section].source;
    return source && z_(*source) == 0.0 ? SectionScale<double>{1.0, 1.0, 1.0}
                                        : this->scale_of(section);
  }

  [[nodiscard]] double piece_loss_pa(const ErrorModel::PieceErrors& errors,
                                     double airflow_m3_s) const noexcept {
    const PieceLoss loss = this->piece(errors);
    if (loss.friction_group < 0) {
      return solve::piece_loss_pa(loss, nullptr, airflow_m3_s);
    }
    const FrictionGroup of = this->group(static_cast<std::size_t>(loss.friction_group));
    return solve::piece_loss_pa(loss, &of, airflow_m3_s);
  }
  /// The room's pressure against outdoors, taken off.
  [[nodiscard]] double room_pa(double airflow_m3_s) const noexcept {
    const Arrays& arrays = this->arrays_;
    if (arrays.room == nullptr) {
      return 0.0;
    }
    const auto own = room_z();
    return arrays.room->suction_pa(airflow_m3_s, {own.data(), arrays.room_sources.size()});
  }
  [[nodiscard]] std::array<double, UncertainRoom::kMostErrors> room_z() const noexcept {
    std::array<double, UncertainRoom::kMostErrors> own{};
    for (std::size_t i = 0; i < this->arrays_.room_sources.size(); ++i) {
      own[i] = z_(this->arrays_.room_sources[i]);
    }
    return own;
  }

 private:
  Z z_;
  FactorLaw law_;
};

/// Calls with each error that a piece's loss changes with, some of them twice.
template <class Function>
void each_error_of(const ErrorModel::PieceErrors& errors,
                   const Arrays& arrays,
                   const Function& function) {
  const auto of_section = [&](std::size_t section) {
    if (const std::optional<std::size_t>& source = arrays.sections[section].source) {
      function(*source);
    }
  };
  if (arrays.density) {
    function(arrays.density->source);
  }
  for (const auto* factors : {&errors.coefficient, &errors.friction}) {
    for (const Factor& factor : *factors) {
      function(factor.source);
    }
  }
  if (errors.opening) {
    function(errors.opening->source);
  }
  if (errors.added) {
    function(errors.added->source);
  }
  if (errors.reference >= 0) {
    of_section(static_cast<std::size_t>(errors.reference));
  }
  if (errors.loss.friction_group >= 0) {
    of_section(arrays.group_sections[static_cast<std::size_t>(errors.loss.friction_group)]);
  }
}

/// The pieces that each error touches, shape [sources][], in their order.
std::vector<std::vector<std::size_t>> touched_pieces(const ErrorModel& model) {
  std::vector<std::vector<std::size_t>> touched(model.sources().size());
  const Arrays& arrays = model.arrays();
  for (std::size_t i = 0; i < arrays.pieces.size(); ++i) {
    each_error_of(arrays.pieces[i], arrays, [&](std::size_t source) {
      if (touched[source].empty() || touched[source].back() != i) {
        touched[source].push_back(i);
      }
    });
  }
  return touched;
}

std::size_t segment_of(const fan::FanCurve& curve, double airflow_m3_s) noexcept {
  const auto knots = curve.knots_m3_s();
  const auto next = std::upper_bound(knots.begin() + 1, knots.end() - 1, airflow_m3_s);
  return static_cast<std::size_t>(next - knots.begin()) - 1;
}

}  // namespace

double ErrorModel::Factor::at(double z) const noexcept {
  if (u >= kLognormalFrom) {
    return std::exp(std::sqrt(std::log1p(u * u)) * z);
  }
  // Below a tenth the normal law goes on as an exponential tail, so that no
  // loss turns negative.
  const double factor = 1.0 + u * z;
  constexpr double kTail = 0.1;
  return factor >= kTail ? factor : kTail * std::exp(factor / kTail - 1.0);
}

double ErrorModel::Added::at(double z) const noexcept {
  return most * std::erf(std::abs(z) / std::numbers::sqrt2);
}

bool ErrorModel::is_one_sided() const noexcept {
  return std::any_of(sources_.begin(), sources_.end(), [](const ErrorSource& source) {
    return source.spread == Spread::one_sided;
  });
}

/// Collects the sources of a run, each once.
class ErrorModel::Builder {
 public:
  Builder(ErrorModel& model, const layout::Layout& layout, const CompiledRun& run)
      : model_(model),
        layout_(layout),
        run_(run),
        origins_(layout.origins.get()),
        close_(uncertain_closeness(run)) {}

  void build(const Fan& fan) {
    Arrays& arrays = model_.arrays_;
    arrays.groups = run_.loss.groups();
    arrays.group_sections.assign(arrays.groups.size(), 0);
    arrays.density = shared("density");
    for (const CompiledPiece& piece : run_.pieces) {
      arrays.pieces.push_back(errors_of(piece));
    }
    if (fan.fan != nullptr) {
      add_fan(fan);
    }
    arrays.room = fan.room;
    if (fan.room != nullptr) {
      for (const ErrorSource& source : fan.room->sources()) {
        arrays.room_sources.push_back(add(source));
      }
    }
    arrays.wind_pa = run_.air.wind_pa;
    arrays.back_pressure_pa = run_.air.back_pressure_pa;
    arrays.stack_pa = run_.air.stack_pa;
    if (layout_.site.wind_m_s > 0.0 && layout_.run.discharge == layout::Discharge::outdoors) {
      add_wind();
    }
  }

 private:
  struct Size {
    double value = 0.0;
    bool stated = false;
  };
  [[nodiscard]] Size size_of(const fitting::DefaultUncertainty& row) const {
    const auto stated = layout_.uncertainty.find(row.layout_key);
    return stated == layout_.uncertainty.end() ? Size{row.value, false}
                                               : Size{stated->second, true};
  }

  std::size_t add(ErrorSource source) {
    auto& list = model_.sources_;
    const auto [place, is_new] = by_key_.try_emplace(source.key, list.size());
    if (is_new) {
      list.push_back(std::move(source));
      return place->second;
    }
    ErrorSource* const found = &list[place->second];
    // One error may be larger in one place than in another; the larger is
    // named.
    if (source.standard_uncertainty > found->standard_uncertainty) {
      found->standard_uncertainty = source.standard_uncertainty;
      found->spread = source.spread;
      found->basis = source.basis;
      found->status = source.status;
    }
    return place->second;
  }

  /// A source of the table of defaults. @param key where it differs from the
  /// row's
  struct Named {
    std::string key;
    std::string title;
    std::string place{};  ///< in the layout, whose error it is alone; empty: shared
  };
  ErrorSource source_of(const fitting::DefaultUncertainty& row, const Named& named) const {
    const Size size = size_of(row);
    ErrorSource source;
    source.key = named.key;
    source.identity = named.place.empty() ? named.key : named.place + '@' + layout_.digest;
    source.title = named.title;
    source.standard_uncertainty = size.value;
    source.stated = size.stated;
    source.basis = size.stated ? "stated in the layout" : row.basis;
    source.status = size.stated ? "stated" : fitting::word(row.status);
    source.spread = row.measure == fitting::DefaultUncertainty::Measure::relative &&
                            size.value >= kLognormalFrom
                        ? Spread::lognormal
                        : Spread::normal;
    return source;
  }
  /// An error of its kind that everything shares; none where its size is 0.
  std::optional<Factor> shared(std::string_view row_key) {
    const fitting::DefaultUncertainty& row = fitting::default_uncertainty(row_key);
    if (size_of(row).value <= 0.0) {
      return std::nullopt;
    }
    const ErrorSource source = source_of(row, {row.key, row.title});
    return Factor{add(source), source.standard_uncertainty};
  }

  static std::string number_of(const CompiledPiece& entry) {
    return fmt::format("{}", layout::piece_number(*entry.piece));
  }
  /// By the keys of the file; of a layout that was not read from one by line and column.
  [[nodiscard]] std::string place_of(const base::Span& span) const {
    const std::string path = origins_ == nullptr ? std::string() : origins_->path(span);
    return path.empty() ? fmt::format("{}:{}", span.line, span.column) : path;
  }
  /// Where the file states a piece's figure, so that another figure for the
  /// piece is another error.
  static const base::Span& place_of_figure(const layout::Piece& piece) {
    for (const char* key : {"coefficient", "pressure", "equivalent_length"}) {
      if (const auto found = piece.key_spans.find(key); found != piece.key_spans.end()) {
        return found->second;
      }
    }
    return piece.span;
  }
  [[nodiscard]] const layout::Piece* piece_of(const CompiledPiece& entry) const {
    return entry.piece ? &layout_.run.pieces[*entry.piece] : nullptr;
  }
  [[nodiscard]] std::string title_of(const CompiledPiece& entry) const {
    const layout::Piece* piece = piece_of(entry);
    const std::string type = piece != nullptr ? piece->known_type() : std::string();
    return type.empty() ? entry.word : entry.word + ' ' + type;
  }

  std::size_t section_index(const duct::Section& section) {
    auto& list = model_.arrays_.sections;
    const auto found = std::find_if(
        list.begin(), list.end(), [&](const SectionError& s) { return s.section == section; });
    if (found != list.end()) {
      return static_cast<std::size_t>(found - list.begin());
    }
    const std::string name = size_name(section);
    SectionError error{section, std::nullopt, 0.0};
    const auto& row = fitting::default_uncertainty("diameter");
    if (size_of(row).value > 0.0) {
      ErrorSource source = source_of(row, {"diameter:" + name, "size of"});
      source.size = section;
      source.unit = "m";
      error.u_m = source.standard_uncertainty;
      error.source = add(std::move(source));
    }
    list.push_back(error);
    return list.size() - 1;
  }
  /// One name for a size however it lies.
  static std::string size_name(const duct::Section& section) {
    if (section.shape() == duct::Shape::rectangular && section.height_m() > section.width_m()) {
      return duct::to_text(duct::Section::rectangular(units::metres(section.height_m()),
                                                      units::metres(section.width_m())));
    }
    return duct::to_text(section);
  }

  PieceErrors errors_of(const CompiledPiece& entry) {
    PieceErrors errors;
    errors.loss = entry.loss;
    const layout::Piece* piece = piece_of(entry);
    const duct::Section* reference = &entry.upstream;
    bool on_section = true;
    if (entry.stated) {
      add_stated(errors.coefficient, entry);
      if (entry.stated->reference == fitting::Reference::downstream) {
        reference = &entry.downstream;
      }
    } else if (entry.fitting) {
      add_entry(errors.coefficient, entry);
      on_section = entry.fitting->reference != fitting::Reference::face;
      if (entry.fitting->reference == fitting::Reference::downstream) {
        reference = &entry.downstream;
      }
    } else if (piece != nullptr && !piece->drops().empty()) {
      add_stated(errors.coefficient, entry);
      on_section = false;
    }
    const bool has_coefficient =
        entry.loss.square_pa_s2_m6 != 0.0 || entry.loss.reynolds_square_pa_s2_m6 != 0.0;
    if (on_section && has_coefficient) {
      errors.reference = static_cast<std::ptrdiff_t>(section_index(*reference));
    }
    add_closeness(errors.coefficient, entry);
    errors.added = added_at_collar(entry);
    if (entry.loss.friction_group >= 0) {
      const bool of_fitting = entry.fitting && entry.word != layout::word(layout::PieceKind::flex);
      model_.arrays_.group_sections[static_cast<std::size_t>(entry.loss.friction_group)] =
          section_index(of_fitting ? *reference : entry.upstream);
      add_friction(errors.friction, entry);
    }
    if (entry.loss.opening_pressure_pa > 0.0) {
      const auto& row = fitting::default_uncertainty("opening-pressure");
      if (size_of(row).value > 0.0) {
        ErrorSource source = source_of(row,
                                       {"opening-pressure:" + number_of(entry),
                                        "opening pressure of a flap",
                                        "opening-pressure:" + place_of(piece->span)});
        const double u = source.standard_uncertainty;
        errors.opening = Factor{add(std::move(source)), u};
      }
    }
    return errors;
  }

  /// A figure of the file: by its name where it has one, else by itself.
  void add_stated(std::vector<Factor>& factors, const CompiledPiece& entry) {
    const layout::Piece* piece = piece_of(entry);
    if (piece == nullptr) {
      return;
    }
    const auto& row = fitting::default_uncertainty("stated");
    Named named{"stated:" + number_of(entry),
                title_of(entry),
                "stated:" + place_of(place_of_figure(*piece))};
    const bool is_named = entry.stated && entry.stated->error_name;
    if (is_named) {
      named = {"stated:" + *entry.stated->error_name, *entry.stated->error_name};
    }
    ErrorSource source = source_of(row, named);
    if (!entry.stated) {
      // What a drop table leaves over beside the law that is charged.
      source.standard_uncertainty =
          std::hypot(source.standard_uncertainty, entry.standard_uncertainty);
    }
    if (entry.stated && entry.stated->relative_uncertainty) {
      source.standard_uncertainty = *entry.stated->relative_uncertainty;
      source.stated = true;
      source.basis = "stated in the layout";
      source.status = "stated";
    }
    add_relative(factors, std::move(source));
  }

  void add_relative(std::vector<Factor>& factors, ErrorSource source) {
    const double u = source.standard_uncertainty;
    if (u <= 0.0) {
      return;
    }
    source.spread = u >= kLognormalFrom ? Spread::lognormal : Spread::normal;
    factors.push_back({add(std::move(source)), u});
  }

  /// One relative error per catalogue entry, whatever the size.
  void add_entry(std::vector<Factor>& factors, const CompiledPiece& entry) {
    const fitting::Coefficient& from = *entry.fitting;
    ErrorSource source;
    source.key = "entry:" + from.entry;
    source.identity = source.key;
    source.title = from.entry.substr(0, from.entry.find('/')) + ' ' + from.type;
    source.standard_uncertainty = entry.standard_uncertainty;
    source.basis = from.uncertainty_basis;
    source.status = fitting::word(fitting::Status::assumed);
    const auto stated = layout_.uncertainty.find("coefficients");
    if (stated != layout_.uncertainty.end()) {
      source.standard_uncertainty = stated->second;
      source.stated = true;
      source.basis = "stated in the layout";
      source.status = "stated";
    }
    add_relative(factors, std::move(source));
  }

  /// The pieces whose closeness has no figure, by each piece that this touches, shape [pieces][],
  /// in the order of the run. At the collar it is a coefficient of its own.
  static std::vector<std::vector<std::size_t>> uncertain_closeness(const CompiledRun& run) {
    std::vector<std::vector<std::size_t>> touching(run.pieces.size());
    for (std::size_t i = 0; i < run.pieces.size(); ++i) {
      const auto& close = run.pieces[i].close;
      if (!close || close->factor || close->kind == Closeness::Kind::collar) {
        continue;
      }
      touching[i].push_back(i);
      if (close->before && *close->before != i && close->kind != Closeness::Kind::cap) {
        touching[*close->before].push_back(i);
      }
    }
    for (auto& pieces : touching) {
      std::sort(pieces.begin(), pieces.end());
    }
    return touching;
  }

  /// A fitting close to another where no figure is published: at least so
  /// uncertain.
  void add_closeness(std::vector<Factor>& factors, const CompiledPiece& entry) {
    if (!entry.fitting) {
      return;
    }
    for (const std::size_t at : close_[static_cast<std::size_t>(&entry - run_.pieces.data())]) {
      const CompiledPiece& later = run_.pieces[at];
      const auto& row = fitting::default_uncertainty("close-fittings");
      const layout::Piece& piece = layout_.run.pieces[*later.piece];
      ErrorSource source = source_of(
          row,
          {"close-fittings:" + number_of(later),
           fmt::format("what stands close before piece {}", layout::piece_number(*later.piece)),
           "close-fittings:" + place_of(piece.span)});
      const double own = entry.standard_uncertainty;
      source.standard_uncertainty = std::sqrt(
          std::max(source.standard_uncertainty * source.standard_uncertainty - own * own, 0.0));
      add_relative(factors, std::move(source));
    }
  }

  /// The blower's uneven stream in an elbow at the collar: what it takes on top
  /// of the elbow's own coefficient. `close_fittings: 0 %` leaves it out.
  /// @source amca-201 (a coefficient on the velocity pressure; recalled), sizes
  /// assumed
  std::optional<Added> added_at_collar(const CompiledPiece& entry) {
    if (!entry.close || entry.close->kind != Closeness::Kind::collar ||
        size_of(fitting::default_uncertainty("close-fittings")).value <= 0.0) {
      return std::nullopt;
    }
    const auto& row = fitting::default_uncertainty("elbow-at-collar");
    const layout::Piece& piece = layout_.run.pieces[*entry.piece];
    const double most = row.value * collar_share(entry.close->diameters);
    ErrorSource source = source_of(row,
                                   {"elbow-at-collar:" + number_of(entry),
                                    fmt::format("elbow at the collar (piece {})", *entry.piece + 1),
                                    "elbow-at-collar:" + place_of(piece.span)});
    source.standard_uncertainty = most / kSqrt3;
    source.unit = "coefficient";
    source.spread = Spread::one_sided;
    source.basis = fmt::format("0 to {:.3g} of the velocity pressure on top, {}", most, row.basis);
    const double area_m2 = entry.upstream.area_m2();
    const double square = run_.air.density_kg_m3 / 2.0 / (area_m2 * area_m2);
    return Added{add(std::move(source)), most, square};
  }

  /// All of it directly on the collar, half of it one diameter on, none
  /// from 2.5 (assumed).
  static double collar_share(double diameters) {
    return diameters < 1.0 ? 1.0 - 0.5 * diameters : std::max(0.5 * (2.5 - diameters) / 1.5, 0.0);
  }

  void add_friction(std::vector<Factor>& factors, const CompiledPiece& entry) {
    if (const auto law = shared("friction-law")) {
      factors.push_back(*law);
    }
    const layout::Piece* piece = piece_of(entry);
    add_roughness(factors, piece);
    if (piece == nullptr) {
      return;
    }
    const bool is_flex = piece->kind == layout::PieceKind::flex;
    if ((is_flex || piece->kind == layout::PieceKind::straight) && entry.length_m > 0.0) {
      const auto& row = fitting::default_uncertainty("length");
      ErrorSource source =
          source_of(row,
                    {"length:" + number_of(entry),
                     fmt::format("length of piece {}", layout::piece_number(*entry.piece)),
                     "length:" + place_of(piece->span)});
      source.unit = "m";
      const double u = source.standard_uncertainty / entry.length_m;
      if (u > 0.0) {
        source.spread = u >= kLognormalFrom ? Spread::lognormal : Spread::normal;
        factors.push_back({add(std::move(source)), u});
      }
    }
    if (is_flex) {
      add_compression(factors, *piece);
    } else if (piece->equivalent_length_m && !entry.fitting) {
      add_stated(factors, entry);
    }
  }

  /// What is left of a material's friction error beside the law's share.
  void add_roughness(std::vector<Factor>& factors, const layout::Piece* piece) {
    const auto& row = fitting::default_uncertainty("roughness");
    const std::string word = piece != nullptr ? piece->material : layout_.run.material;
    const fitting::Material* material = fitting::material(word);
    const std::string name = material != nullptr ? material->name : "stated";
    ErrorSource source = source_of(row, {"roughness:" + name, "roughness of " + name});
    if (material == nullptr) {
      source.title = "roughness stated in the layout";
      source.identity += '@' + layout_.digest;
    } else if (!source.stated) {
      const double law = fitting::default_uncertainty("friction-law").value;
      const double both = material->friction_standard_uncertainty;
      source.standard_uncertainty = std::sqrt(std::max(both * both - law * law, 0.0));
      source.basis = fmt::format("friction of {} {:.3g} % in all, less the friction law's {:.3g} %",
                                 name,
                                 100.0 * both,
                                 100.0 * law);
    }
    add_relative(factors, std::move(source));
  }

  void add_compression(std::vector<Factor>& factors, const layout::Piece& piece) {
    const double stretched = piece.as<layout::Flex>().stretched;
    if (stretched >= 1.0) {
      return;
    }
    const duct::FlexState state{units::metres(piece.upstream.equivalent_diameter_m()), stretched};
    const bool outside = duct::is_outside_flexible_range(state);
    const auto& row = fitting::default_uncertainty(outside ? "compression-outside" : "compression");
    ErrorSource source = source_of(row, {"compression", "compression of flexible duct"});
    if (!source.stated && !piece.states("stretched")) {
      // Not known: between pulled tight (4 %) and relaxed, as limits of the
      // logarithm.
      const double tight = duct::flexible_multiplier({state.diameter, 0.96});
      const double limit = std::log(duct::flexible_multiplier(state) / tight);
      source.standard_uncertainty = std::hypot(row.value, limit / std::sqrt(3.0));
      source.basis =
          "compression not stated: 4 % to 15 % as limits, over sqrt(3), and " + row.basis;
    }
    add_relative(factors, std::move(source));
  }

  void add_fan(const Fan& fan) {
    Arrays& arrays = model_.arrays_;
    const bool shape_assumed = fan.origin != CurveOrigin::points;
    const Size airflow = size_of(fitting::default_uncertainty("fan-airflow"));
    add_curve(airflow);
    if (fan.origin == CurveOrigin::free_air) {
      const auto& row = fitting::default_uncertainty("fan-shut-off");
      ErrorSource source = source_of(row, {row.key, row.title});
      source.spread = Spread::lognormal;
      arrays.fan_pressure.push_back(of_fan(std::move(source), row.value));
    } else if (shape_assumed && !airflow.stated) {
      const auto& row = fitting::default_uncertainty(fan.origin == CurveOrigin::one_rating
                                                         ? "fan-airflow-one-rating"
                                                         : "fan-airflow-two-points");
      arrays.fan_airflow.push_back(of_fan(source_of(row, {"fan-airflow", row.title}), row.value));
    }
    const auto& ratio = fitting::default_uncertainty("speed-ratio");
    if (fan.speed_ratio != 1.0 && (!airflow.stated || airflow.value > 0.0)) {
      ErrorSource source =
          source_of(ratio, {"speed-ratio", fmt::format("speed ratio {:.3g}", fan.speed_ratio)});
      source.identity += fmt::format(":{:.7e}", fan.speed_ratio);
      const Factor factor = of_fan(std::move(source), ratio.value);
      arrays.fan_airflow.push_back(factor);
      arrays.fan_pressure.insert(arrays.fan_pressure.end(), 2,
                                 factor);  // its square
    }
    arrays.dynamic_pa_s2_m6 = fan.fan->dynamic_pa_s2_m6;
    if (arrays.dynamic_pa_s2_m6 != 0.0) {
      arrays.outlet_section = section_index(run_.fan_outlet);
    }
  }

  Factor of_fan(ErrorSource source, double u) {
    source.identity += '@' + fan_name();
    return {add(std::move(source)), u};
  }

  /// The printed curve: its pressure and its airflow are wrong together, as by
  /// a wrong speed.
  void add_curve(const Size& airflow) {
    Arrays& arrays = model_.arrays_;
    const auto& row = fitting::default_uncertainty("fan-pressure");
    const Size pressure = size_of(row);
    const double u_airflow =
        airflow.stated || !pressure.stated ? airflow.value : airflow_beside(pressure.value);
    if (pressure.value <= 0.0 && u_airflow <= 0.0) {
      return;
    }
    ErrorSource source =
        source_of(row, {pressure.value > 0.0 ? "fan-pressure" : "fan-airflow", row.title});
    source.stated = pressure.stated || airflow.stated;
    source.basis += fmt::format("; its airflow is wrong with it, by {:.3g} %", 100.0 * u_airflow);
    if (pressure.value <= 0.0) {
      source.standard_uncertainty = u_airflow;
    }
    const Factor of_pressure = of_fan(std::move(source), pressure.value);
    if (pressure.value > 0.0) {
      arrays.fan_pressure.push_back(of_pressure);
    }
    if (u_airflow > 0.0) {
      arrays.fan_airflow.push_back({of_pressure.source, u_airflow});
    }
  }

  /// Through 5 % of pressure with 3 % of airflow (certified) and 10 % with 5 %,
  /// from 0; beyond, as by a wrong speed, half.
  static double airflow_beside(double pressure) {
    if (pressure <= 0.05) {
      return 0.6 * pressure;
    }
    return pressure <= 0.10 ? 0.03 + 0.4 * (pressure - 0.05) : 0.5 * pressure;
  }

  /// The fan by the printed figures of its largest speed, so that a file that
  /// leaves out a lower one speaks of the same fan; to eight digits, so that
  /// other units give the same name.
  [[nodiscard]] std::string fan_name() const {
    std::string text;
    double largest_m3_s = -1.0;
    for (const layout::Speed& speed : layout_.fan->speeds) {
      std::string of_speed;
      double most_m3_s = 0.0;
      for (const fan::FanPoint& point : speed.curve) {
        of_speed += fmt::format("{:.7e},{:.7e};", point.airflow_m3_s, point.pressure_pa);
        most_m3_s = std::max(most_m3_s, point.airflow_m3_s);
      }
      for (const layout::Rating& rating : speed.ratings) {
        of_speed += fmt::format("{:.7e}@{:.7e};", rating.airflow_m3_s, rating.pressure_pa);
        most_m3_s = std::max(most_m3_s, rating.airflow_m3_s);
      }
      if (!of_speed.empty() && most_m3_s > largest_m3_s) {
        largest_m3_s = most_m3_s;
        text = std::move(of_speed);
      }
    }
    return base::sha256_hex(text).substr(0, 16);
  }

  void add_wind() {
    const auto& row = fitting::default_uncertainty("wind-coefficient");
    ErrorSource source = source_of(row, {row.key, row.title});
    if (source.standard_uncertainty <= 0.0) {
      return;
    }
    source.unit = "coefficient";
    const double v = layout_.site.wind_m_s;
    model_.arrays_.wind_u_pa =
        source.standard_uncertainty * run_.air.outdoor_density_kg_m3 / 2.0 * v * v;
    model_.arrays_.wind = add(std::move(source));
  }

  ErrorModel& model_;
  const layout::Layout& layout_;
  const CompiledRun& run_;
  const layout::Origins* origins_;                       ///< null: not read from a file
  std::vector<std::vector<std::size_t>> close_;          ///< see `uncertain_closeness`
  std::unordered_map<std::string, std::size_t> by_key_;  ///< places in the model's sources
};

ErrorModel::ErrorModel(const layout::Layout& layout, const CompiledRun& run, const Fan& fan) {
  if (fan.fan != nullptr) {
    fan_ = *fan.fan;
  }
  Builder(*this, layout, run).build(fan);
  touched_ = touched_pieces(*this);
}

RoomSuction PerturbedRun::suction() const noexcept {
  if (room == nullptr) {
    return {};
  }
  return {
      .of_pa = [](const void* state, double airflow_m3_s) noexcept -> double {
        const auto& run = *static_cast<const PerturbedRun*>(state);
        return run.room->suction_pa(airflow_m3_s, {run.room_z.data(), run.room->sources().size()});
      },
      .state = this};
}

PerturbedRun ErrorModel::at(std::span<const double> z) const {
  DUCTLEDGER_EXPECTS(z.size() == sources_.size());
  const At at(arrays_, All{z}, FactorLaw::true_law);
  PerturbedRun run;
  run.loss = at.loss();
  run.ends = {.start_pa = 0.0, .end_pa = at.end_pa()};
  run.room = arrays_.room;
  run.room_z = at.room_z();
  if (fan_) {
    const double airflow = at.fan_airflow();
    const double pressure = at.fan_pressure();
    // The fan laws' Q -> r Q, P -> d r^2 P with r the airflow's factor and d
    // r^2 the pressure's.
    run.fan = FanAtSpeed{
        fan_->curve.running(
            {.density_ratio = pressure / (airflow * airflow), .speed_ratio = airflow, .count = 1}),
        at.fan_dynamic(),
        fan_->falls_throughout};
  }
  return run;
}

namespace {

constexpr double kPerZ = 1.0 / (2.0 * kStep);

/// What fan and ends add to g per unit of an error, as `ErrorModel::derivatives` gives it last.
struct EndParts {
  double fan_pa = 0.0;
  double ends_pa = 0.0;
};
EndParts end_parts(const FanAtSpeed* fan, const At<One>& high, const At<One>& low, double q) {
  EndParts parts;
  if (fan != nullptr) {
    const std::size_t segment = segment_of(fan->curve, q);
    const auto total_pa = [&](const auto& at) {
      const double x = q / at.fan_airflow() - fan->curve.knots_m3_s()[segment];
      return at.fan_pressure() * fan->curve.cubic(segment).value(x) + at.fan_dynamic() * q * q;
    };
    parts.fan_pa = (total_pa(high) - total_pa(low)) * kPerZ;
  }
  parts.ends_pa = -(high.end_pa() + high.room_pa(q) - low.end_pa() - low.room_pa(q)) * kPerZ;
  return parts;
}

double piece_part(const ErrorModel::PieceErrors& errors,
                  const At<One>& high,
                  const At<One>& low,
                  double q) {
  return -(high.piece_loss_pa(errors, q) - low.piece_loss_pa(errors, q)) * kPerZ;
}

}  // namespace

std::span<const double> ErrorModel::derivatives(const PartsAt& where,
                                                std::span<double> buffer) const noexcept {
  const double q = where.airflow_m3_s;
  const At high(arrays_, One{where.source, kStep}, FactorLaw::linear);
  const At low(arrays_, One{where.source, -kStep}, FactorLaw::linear);
  std::size_t count = 0;
  for (const std::size_t piece : touched_[where.source]) {
    buffer[count++] = piece_part(arrays_.pieces[piece], high, low, q);
  }
  const EndParts ends = end_parts(fan(), high, low, q);
  buffer[count++] = ends.fan_pa;
  buffer[count++] = ends.ends_pa;
  return buffer.first(count);
}

namespace {

/// How fan less run falls along the airflow, with the room and with the room held.
struct Slopes {
  double all_pa_s_m3 = 0.0;
  double held_pa_s_m3 = 0.0;
};
Slopes slopes_at(const ErrorModel& model, double airflow_m3_s) {
  const Arrays& arrays = model.arrays();
  const FanAtSpeed& fan = *model.fan();
  const At still{arrays, One{model.sources().size(), 0.0}, FactorLaw::linear};
  const double step_m3_s = 1e-5 * airflow_m3_s;
  Slopes slopes;
  slopes.held_pa_s_m3 = fan.curve.slope(airflow_m3_s) + 2.0 * fan.dynamic_pa_s2_m6 * airflow_m3_s;
  for (const ErrorModel::PieceErrors& errors : arrays.pieces) {
    slopes.held_pa_s_m3 -= (still.piece_loss_pa(errors, airflow_m3_s + step_m3_s) -
                            still.piece_loss_pa(errors, airflow_m3_s - step_m3_s)) /
                           (2.0 * step_m3_s);
  }
  slopes.all_pa_s_m3 = slopes.held_pa_s_m3 - (still.room_pa(airflow_m3_s + step_m3_s) -
                                              still.room_pa(airflow_m3_s - step_m3_s)) /
                                                 (2.0 * step_m3_s);
  return slopes;
}

}  // namespace

FirstOrder first_order(const ErrorModel& model, double airflow_m3_s) {
  DUCTLEDGER_EXPECTS(model.fan() != nullptr && airflow_m3_s > 0.0);
  const Arrays& arrays = model.arrays();
  const std::size_t pieces = arrays.pieces.size();
  const std::size_t count = model.sources().size();
  FirstOrder result;
  result.airflow_m3_s = airflow_m3_s;
  const FanAtSpeed& fan = *model.fan();
  const Slopes slopes = slopes_at(model, airflow_m3_s);
  result.slope_pa_s_m3 = slopes.all_pa_s_m3;
  std::vector<double> parts;
  std::vector<double> covariance(pieces + 2, 0.0);
  double variance = 0.0;
  double held_variance = 0.0;
  for (std::size_t source = 0; source < count; ++source) {
    const At high(arrays, One{source, kStep}, FactorLaw::linear);
    const At low(arrays, One{source, -kStep}, FactorLaw::linear);
    parts.clear();
    for (const std::size_t piece : model.touched(source)) {
      parts.push_back(piece_part(arrays.pieces[piece], high, low, airflow_m3_s));
    }
    const EndParts ends = end_parts(&fan, high, low, airflow_m3_s);
    const double sum =
        std::accumulate(parts.begin(), parts.end(), 0.0) + ends.fan_pa + ends.ends_pa;
    for (std::size_t k = 0; k < parts.size(); ++k) {
      covariance[model.touched(source)[k]] += parts[k] * sum;
    }
    covariance[pieces] += ends.fan_pa * sum;
    covariance[pieces + 1] += ends.ends_pa * sum;
    variance += sum * sum;
    const auto& of_room = arrays.room_sources;
    if (std::find(of_room.begin(), of_room.end(), source) == of_room.end()) {
      held_variance += sum * sum;
    }
    result.effects.push_back({source, -sum / result.slope_pa_s_m3, sum * sum});
  }
  const double scale = variance > 0.0 ? 1.0 / variance : 0.0;
  for (SourceEffect& effect : result.effects) {
    effect.share *= scale;
  }
  // To a billionth, so that equal shares stay in the order of their sources however they round.
  const auto rank = [](const SourceEffect& effect) { return std::llround(effect.share * 1e9); };
  std::ranges::stable_sort(result.effects, std::ranges::greater(), rank);
  for (std::size_t i = 0; i < pieces; ++i) {
    result.piece_shares.push_back(covariance[i] * scale);
  }
  result.fan_share = covariance[pieces] * scale;
  result.ends_share = covariance[pieces + 1] * scale;
  result.standard_m3_s = std::sqrt(variance) / std::abs(result.slope_pa_s_m3);
  result.held_standard_m3_s = std::sqrt(held_variance) / std::abs(slopes.held_pa_s_m3);
  return result;
}

double difference_standard_m3_s(const Compared& a, const Compared& b) {
  const auto identity = [](const Compared& of, const SourceEffect& effect) -> std::string_view {
    return of.model.sources()[effect.source].identity;
  };
  std::unordered_map<std::string_view, double> of_b_m3_s;
  for (const SourceEffect& effect : b.result.effects) {
    of_b_m3_s[identity(b, effect)] += effect.airflow_m3_s;
  }
  double variance = 0.0;
  std::unordered_set<std::string_view> in_a;
  for (const SourceEffect& effect : a.result.effects) {
    const auto shared = of_b_m3_s.find(identity(a, effect));
    const double difference_m3_s =
        effect.airflow_m3_s - (shared == of_b_m3_s.end() ? 0.0 : shared->second);
    variance += difference_m3_s * difference_m3_s;
    in_a.insert(identity(a, effect));
  }
  for (const SourceEffect& effect : b.result.effects) {
    variance +=
        in_a.contains(identity(b, effect)) ? 0.0 : effect.airflow_m3_s * effect.airflow_m3_s;
  }
  return std::sqrt(variance);
}

}  // namespace ductledger::solve
