#include "study/sweep.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <boost/math/distributions/triangular.hpp>
#include <charconv>
#include <cmath>
#include <memory>
#include <utility>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "numeric/normal.hpp"
#include "study/branches.hpp"
#include "study/written_internal.hpp"
#include "units/quantity_text.hpp"

namespace ductledger::study {
namespace {

using base::fault;
using units::Dimension;

constexpr std::size_t kMostValues = 1'000'000;

/// The option's text as a source of its own, so that the caret can stand under the fault.
base::Diagnostic at(const std::string& whole,
                    std::string_view part,
                    base::Diagnostic diagnostic,
                    const char* option) {
  const auto source = std::make_shared<base::SourceText>(option, whole);
  const std::size_t offset = whole.find(part);
  diagnostic.source = source;
  diagnostic.span = source->span_at(offset == std::string::npos ? 0 : offset,
                                    std::max<std::size_t>(part.size(), 1));
  return diagnostic;
}

std::optional<double> quantity(std::string_view text, Dimension dimension) {
  const auto read = units::parse_quantity(text, dimension);
  const auto* value = std::get_if<double>(&read);
  return value == nullptr ? std::nullopt : std::optional(*value);
}

/// What all the texts are quantities of.
std::optional<Dimension> dimension_of(std::span<const std::string> texts) {
  for (const units::DimensionRow& row : units::kDimensions) {
    if (std::ranges::all_of(texts, [&](const std::string& text) {
          return quantity(text, row.dimension).has_value();
        })) {
      return row.dimension;
    }
  }
  return std::nullopt;
}

/// `2..40ft` means `2ft..40ft`.
std::string with_unit_of(const std::string& text, const std::string& other) {
  const auto letter = [](const std::string& of) {
    return std::ranges::find_if(of, [](char c) {
      return std::string_view("0123456789.+-/ ").find(c) == std::string_view::npos;
    });
  };
  return letter(text) == text.end() && letter(other) != other.end()
             ? text + std::string(letter(other), other.end())
             : text;
}

struct Assignment {
  edit::Path path;
  std::string value;
};
base::Checked<Assignment> split(const std::string& text, const char* option, const char* form) {
  const std::size_t equals = text.find('=');
  if (equals == std::string::npos || base::trimmed(text.substr(equals + 1)).empty()) {
    return fault(
        "bad-option",
        fmt::format("`{}` needs a place and what to put there, not {}", option, base::shown(text)),
        fmt::format("such as `{} '{}'`", option, form));
  }
  return edit::read_path(text.substr(0, equals)).transform([&](edit::Path path) {
    return Assignment{std::move(path), std::string(base::trimmed(text.substr(equals + 1)))};
  });
}

/// Split at commas, ends trimmed; those inside brackets and quotes part nothing.
std::vector<std::string> list_of(std::string_view text) {
  std::vector<std::string> out(1);
  int depth = 0;
  for (const char letter : text) {
    depth += letter == '(' || letter == '[' || letter == '{' ? 1 : 0;
    depth -= letter == ')' || letter == ']' || letter == '}' ? 1 : 0;
    if (letter == ',' && depth == 0) {
      out.emplace_back();
    } else {
      out.back() += letter;
    }
  }
  for (std::string& one : out) {
    one = std::string(base::trimmed(one));
  }
  return out;
}

constexpr const char* kVaryForm = "run.pieces[3].length=2ft..40ft:20";
constexpr const char* kSampleForm = "house.leakage.airflow=lognormal(900cfm, 40 %)";

base::Checked<Varied> range_of(const std::string& text, Assignment assigned, std::size_t dots) {
  const auto refused = [&](std::string message, std::string_view part) {
    return at(text,
              part,
              fault("bad-range",
                    std::move(message),
                    fmt::format("such as `{}`: from, to, and how many values", kVaryForm)),
              "--vary");
  };
  const std::string& value = assigned.value;
  const std::size_t colon = value.rfind(':');
  if (colon == std::string::npos || colon < dots) {
    return refused("the range does not say how many values it has", value);
  }
  std::string first(base::trimmed(value.substr(0, dots)));
  std::string last(base::trimmed(value.substr(dots + 2, colon - dots - 2)));
  const std::string counted(base::trimmed(value.substr(colon + 1)));
  std::size_t count = 0;
  const auto read = std::from_chars(counted.data(), counted.data() + counted.size(), count);
  if (read.ec != std::errc() || read.ptr != counted.data() + counted.size() || count < 2 ||
      count > kMostValues) {
    return refused(
        fmt::format("a range has 2 to {} values, not {}", kMostValues, base::shown(counted)),
        counted);
  }
  first = with_unit_of(first, last);
  const std::array<std::string, 2> ends{first, last};
  Varied out{
      .path = std::move(assigned.path), .dimension = dimension_of(ends), .texts = {}, .values = {}};
  if (!out.dimension) {
    return refused(
        fmt::format(
            "{} and {} are no two quantities of one kind", base::shown(first), base::shown(last)),
        value);
  }
  const double from = *quantity(first, *out.dimension);
  const double to = *quantity(last, *out.dimension);
  if (from == to) {
    return refused("the range is empty: both its ends are the same", value);
  }
  for (std::size_t i = 0; i < count; ++i) {
    const double share = static_cast<double>(i) / static_cast<double>(count - 1);
    out.values.push_back(i + 1 == count ? to : from + (to - from) * share);
    out.texts.push_back(written(out.values.back(), *out.dimension));
  }
  return out;
}

/// A width on the scale of a dimension: of a temperature a difference.
std::optional<double> width(const std::string& text, Dimension dimension) {
  const auto value = quantity(text, dimension);
  const auto zero = quantity(with_unit_of("0", text), dimension);
  return value && zero ? std::optional(*value - *zero) : std::nullopt;
}

/// A distribution as a call writes it: `normal(900 cfm, 10 %)`.
class DistributionReader {
 public:
  /// @param text of the whole option, for what is said of it
  DistributionReader(const std::string& text,
                     DistributionKind kind,
                     std::vector<std::string> parameters)
      : text_(text), kind_(kind), parameters_(std::move(parameters)) {}

  [[nodiscard]] base::Checked<Distribution> read(std::optional<Dimension>& dimension) {
    const char* const word = kDistributionWords.of(kind_);
    const bool triangular = kind_ == DistributionKind::triangular;
    const std::size_t wanted = triangular ? 3 : 2;
    if (parameters_.size() != wanted) {
      return refused(fmt::format("{} has {} parameters, not {}", word, wanted, parameters_.size()));
    }
    const bool by_spread =
        kind_ == DistributionKind::normal || kind_ == DistributionKind::lognormal;
    const std::span<const std::string> places =
        std::span<const std::string>(parameters_).first(by_spread ? 1 : wanted);
    if (!by_spread) {
      for (std::string& one : parameters_) {
        one = with_unit_of(one, parameters_.back());
      }
    }
    dimension = dimension_of(places);
    if (!dimension) {
      return refused(places.size() == 1
                         ? fmt::format("{} is no quantity", base::shown(parameters_.front()))
                         : "its parameters are no quantities of one kind");
    }
    Distribution out{.kind = kind_};
    for (std::size_t i = 0; i < places.size(); ++i) {
      out.parameters[i] = *quantity(parameters_[i], *dimension);
    }
    if (by_spread) {
      return with_spread(std::move(out), *dimension);
    }
    const auto& p = out.parameters;
    if (triangular ? !(p[0] <= p[1] && p[1] <= p[2] && p[0] < p[2]) : !(p[0] < p[1])) {
      return refused(fmt::format("the parameters of {} have to rise", word));
    }
    return out;
  }

 private:
  [[nodiscard]] base::Diagnostic refused(std::string message) const {
    return at(text_,
              text_.substr(text_.find('=') + 1),
              fault("bad-distribution",
                    std::move(message),
                    "normal(mean, standard deviation), lognormal(median, standard deviation of the "
                    "logarithm), uniform(lowest, highest), triangular(lowest, mode, highest)"),
              "--sample");
  }

  /// The spread about a mean or a median, which stands in `out`.
  [[nodiscard]] base::Checked<Distribution> with_spread(Distribution out,
                                                        Dimension dimension) const {
    const std::string& spread = parameters_[1];
    const bool lognormal = kind_ == DistributionKind::lognormal;
    const auto share = quantity(spread, Dimension::ratio);
    const auto number = quantity(spread, Dimension::number);
    if (lognormal) {
      if (!share && !number) {
        return refused(
            fmt::format("the spread of a lognormal is a percentage or a plain number, not {}",
                        base::shown(spread)));
      }
      out.parameters[1] = share ? *share : *number;
    } else if (share && dimension != Dimension::temperature && dimension != Dimension::ratio) {
      out.parameters[1] = *share * std::abs(out.parameters[0]);
    } else if (const auto own = width(spread, dimension)) {
      out.parameters[1] = *own;
    } else {
      return refused(fmt::format("the spread {} is neither {} nor a percentage",
                                 base::shown(spread),
                                 units::expected_form(dimension)));
    }
    if (out.parameters[1] < 0.0) {
      return refused(fmt::format("the spread {} is negative", base::shown(spread)));
    }
    if (out.parameters[1] == 0.0) {
      return refused(fmt::format("the spread {} is none: nothing would vary", base::shown(spread)));
    }
    if (lognormal && out.parameters[0] <= 0.0) {
      return refused("the median of a lognormal is above 0");
    }
    return out;
  }

  const std::string& text_;
  DistributionKind kind_;
  std::vector<std::string> parameters_;
};

/// The k-th number of a stream, evenly spread over 0 to 1, ends excluded; any order, any thread.
/// @source splitmix64 (Steele, Lea and Flood 2014: Fast splittable pseudorandom number generators)
double uniform_number(std::uint64_t stream, std::uint64_t k) {
  std::uint64_t z = stream + (k + 1) * 0x9e3779b97f4a7c15U;
  z = (z ^ (z >> 30U)) * 0xbf58476d1ce4e5b9U;
  z = (z ^ (z >> 27U)) * 0x94d049bb133111ebU;
  z ^= z >> 31U;
  return (static_cast<double>(z >> 11U) + 0.5) * 0x1p-53;
}

/// A stream for each place: FNV-1a of its path, so that a further place leaves the others alone.
std::uint64_t stream_of(const edit::Path& path, std::uint64_t seed) {
  std::uint64_t hash = 0xcbf29ce484222325U;
  for (const char letter : path.text()) {
    hash = (hash ^ static_cast<unsigned char>(letter)) * 0x100000001b3U;
  }
  return hash ^ (seed * 0xd1342543de82ef95U);
}

}  // namespace

std::string written(double si, Dimension dimension) {
  const bool ratio = dimension == Dimension::ratio;
  std::array<char, 400> digits{};  // the longest double without an exponent
  const auto end = std::to_chars(digits.data(),
                                 digits.data() + digits.size(),
                                 ratio ? si * 100.0 : si,
                                 std::chars_format::fixed)
                       .ptr;
  const std::string_view unit = ratio ? "%" : units::row_of(dimension).si_unit;
  return std::string(digits.data(), end) + (unit.empty() ? "" : " ") + std::string(unit);
}

double Distribution::quantile(double probability) const {
  switch (kind) {
    case DistributionKind::normal:
      return parameters[0] + parameters[1] * numeric::inverse_normal(probability);
    case DistributionKind::lognormal:
      return parameters[0] * std::exp(parameters[1] * numeric::inverse_normal(probability));
    case DistributionKind::uniform:
      return parameters[0] + (parameters[1] - parameters[0]) * probability;
    case DistributionKind::triangular:
      return boost::math::quantile(
          boost::math::triangular(parameters[0], parameters[1], parameters[2]), probability);
  }
  return 0.0;
}

std::string Varied::name() const {
  return path.text() + (dimension ? std::string(units::row_of(*dimension).key_suffix) : "");
}

base::Checked<Varied> read_vary(const std::string& text) {
  return split(text, "--vary", kVaryForm)
      .and_then([&](Assignment assigned) -> base::Checked<Varied> {
        const std::size_t dots = assigned.value.find("..");
        if (dots != std::string::npos) {
          return range_of(text, std::move(assigned), dots);
        }
        Varied out{.path = std::move(assigned.path),
                   .dimension = {},
                   .texts = list_of(assigned.value),
                   .values = {}};
        if (std::ranges::any_of(out.texts, &std::string::empty)) {
          return at(text,
                    assigned.value,
                    fault("bad-range", "a value of the list is empty", "such as `a,b,c`"),
                    "--vary");
        }
        out.dimension = dimension_of(out.texts);
        for (const std::string& one : out.dimension ? out.texts : std::vector<std::string>()) {
          out.values.push_back(*quantity(one, *out.dimension));
        }
        return out;
      });
}

base::Checked<Varied> read_sample(const std::string& text) {
  return split(text, "--sample", kSampleForm)
      .and_then([&](Assignment assigned) -> base::Checked<Varied> {
        const std::string& value = assigned.value;
        const std::size_t open = value.find('(');
        const auto kind = kDistributionWords.find(base::trimmed(value.substr(0, open)));
        if (open == std::string::npos || value.back() != ')' || !kind) {
          const auto near = base::nearest(value.substr(0, open), kDistributionWords.all());
          return at(text,
                    value,
                    fault("bad-distribution",
                          fmt::format("{} is no distribution", base::shown(value)),
                          near ? fmt::format("did you mean `{}(...)`?", *near)
                               : fmt::format("such as `{}`", kSampleForm)),
                    "--sample");
        }
        Varied out{.path = assigned.path, .dimension = {}, .texts = {}, .values = {}};
        auto distribution =
            DistributionReader(
                text, *kind, list_of(value.substr(open + 1, value.size() - open - 2)))
                .read(out.dimension);
        if (!distribution) {
          return std::move(distribution).error();
        }
        out.distribution = *distribution;
        return out;
      });
}

namespace {

/// Tries what is varied on the layout before any row is calculated.
class VariedTrial {
 public:
  VariedTrial(const layout::Layout& layout, const fitting::Catalogue& catalogue)
      : layout_(layout), catalogue_(catalogue) {}

  void of(const Varied& varied) {
    const std::string name = varied.path.text();
    if (std::ranges::find(names_, name) != names_.end()) {
      faults_.push_back(fault(
          "contradiction", fmt::format("`{}` is varied twice", name), "leave one of them out"));
      return;
    }
    names_.push_back(name);
    if (varied.distribution) {
      takes(varied, written(varied.distribution->quantile(0.5), *varied.dimension));
      return;
    }
    // Of a range only the ends; a list may hold a wrong word anywhere.
    const bool range = varied.values.size() > 2 &&
                       varied.texts.front() == written(varied.values.front(), *varied.dimension);
    for (std::size_t i = 0; i < varied.texts.size(); i += range ? varied.texts.size() - 1 : 1) {
      if (!takes(varied, varied.texts[i])) {
        break;
      }
    }
  }

  [[nodiscard]] base::Diagnostics faults() && {
    if (names_.empty()) {
      faults_.push_back(fault("nothing-to-vary",
                              "neither `--vary` nor `--sample` is given",
                              fmt::format("such as `--vary '{}'`", kVaryForm)));
    }
    return std::move(faults_);
  }

 private:
  /// Whether the layout takes the value. The file itself reads, so what is said is about the value.
  bool takes(const Varied& varied, const std::string& value) {
    const edit::Setting setting{varied.path, value};
    const auto edited = edit::with_settings(layout_, catalogue_, {&setting, 1});
    if (!edited) {
      const base::Diagnostic& first = edited.error().front();
      base::Diagnostic told = at(
          fmt::format("{}={}", varied.path.text(), value),
          first.rule == "cannot-edit" || first.rule == "unknown-key" ? varied.path.text() : value,
          fault(first.rule, first.message, first.help),
          varied.distribution ? "--sample" : "--vary");
      told.label = first.label;
      faults_.push_back(std::move(told));
    }
    return edited.has_value();
  }

  const layout::Layout& layout_;
  const fitting::Catalogue& catalogue_;
  std::vector<std::string> names_;
  base::Diagnostics faults_;
};

}  // namespace

base::Checked<Sweep> Sweep::of(const layout::Layout& layout,
                               const fitting::Catalogue& catalogue,
                               SweepAsked asked) {
  Sweep sweep(layout, catalogue, std::move(asked));
  VariedTrial trial(layout, catalogue);
  for (const std::vector<Varied>* list : {&sweep.asked_.grid, &sweep.asked_.sample}) {
    for (const Varied& varied : *list) {
      trial.of(varied);
    }
  }
  if (base::Diagnostics faults = std::move(trial).faults(); !faults.empty()) {
    return faults;
  }
  const auto times = [&](std::size_t count) {
    sweep.rows_ = sweep.rows_ > kMostRows / count ? kMostRows + 1 : sweep.rows_ * count;
  };
  for (const Varied& varied : sweep.asked_.grid) {
    times(varied.texts.size());
  }
  if (!sweep.asked_.sample.empty()) {
    times(sweep.asked_.count);
  }
  if (sweep.rows_ > kMostRows) {
    return fault("too-many-rows",
                 fmt::format("the sweep has more than {} rows", kMostRows),
                 "take fewer values, or several calls");
  }
  return sweep;
}

SweepRow Sweep::row(std::size_t index) const {
  SweepRow out;
  std::size_t rest = index;
  std::size_t draw = 0;
  if (!asked_.sample.empty()) {
    draw = rest % asked_.count;
    rest /= asked_.count;
  }
  const std::size_t grid = asked_.grid.size();
  out.values.resize(grid + asked_.sample.size());
  out.settings.resize(out.values.size());
  for (std::size_t i = grid; i-- > 0;) {
    const Varied& varied = asked_.grid[i];
    const std::size_t at = rest % varied.texts.size();
    rest /= varied.texts.size();
    if (varied.dimension) {
      out.values[i] = varied.values[at];
    } else {
      out.values[i] = varied.texts[at];
    }
    out.settings[i] = {varied.path, varied.texts[at]};
  }
  for (std::size_t i = 0; i < asked_.sample.size(); ++i) {
    const Varied& varied = asked_.sample[i];
    const double value =
        varied.distribution->quantile(uniform_number(stream_of(varied.path, asked_.seed), draw));
    out.values[grid + i] = value;
    out.settings[grid + i] = {varied.path, written(value, *varied.dimension)};
  }
  return out;
}

base::Checked<CheckResult> Sweep::calculate(const SweepRow& row,
                                            const CheckOptions& options) const {
  return edit::with_settings(*layout_, *catalogue_, row.settings)
      .and_then([&](layout::Layout layout) {
        return check_as_single(std::move(layout), *catalogue_, options);
      });
}

SweepPoint sweep_point(const base::Checked<CheckResult>& result) {
  SweepPoint out;
  out.failed = !result.has_value();
  if (out.failed || !result->ledger_speed) {
    return out;
  }
  const result::SpeedResult& speed = result->speeds[*result->ledger_speed];
  out.status = speed.point.status;
  if (solve::has_best_airflow(speed.point) || speed.point.status == solve::Status::no_flow) {
    out.airflow_m3_s =
        speed.point.status == solve::Status::no_flow ? 0.0 : solve::best_airflow_m3_s(speed.point);
  } else if (solve::is_bound(speed.point.status)) {
    out.airflow_m3_s = speed.point.airflow_m3_s;
  }
  out.band_m3_s = speed.airflow_band_m3_s;
  return out;
}

SweepSummary sweep_summary(std::span<const SweepPoint> points,
                           std::optional<double> required_m3_s) {
  constexpr std::size_t kBins = 12;
  SweepSummary out;
  std::vector<double> sorted;
  for (const SweepPoint& point : points) {
    ++out.rows;
    out.failed += point.failed ? 1U : 0U;
    out.bounds += solve::is_bound(point.status) ? 1U : 0U;
    out.no_flow += point.status == solve::Status::no_flow ? 1U : 0U;
    if (point.airflow_m3_s) {
      sorted.push_back(*point.airflow_m3_s);
    }
  }
  out.known = sorted.size();
  if (sorted.empty()) {
    return out;
  }
  std::sort(sorted.begin(), sorted.end());
  double sum = 0.0;
  for (const double value : sorted) {
    sum += value;
  }
  out.mean_m3_s = sum / static_cast<double>(sorted.size());
  for (std::size_t i = 0; i < kSweepQuantiles.size(); ++i) {
    const auto place = kSweepQuantiles[i] * static_cast<double>(sorted.size() - 1);
    const auto below = static_cast<std::size_t>(place);
    const std::size_t above = std::min(below + 1, sorted.size() - 1);
    out.quantiles_m3_s[i] =
        sorted[below] + (place - static_cast<double>(below)) * (sorted[above] - sorted[below]);
  }
  if (required_m3_s) {
    out.below_required = static_cast<std::size_t>(
        std::lower_bound(sorted.begin(), sorted.end(), *required_m3_s) - sorted.begin());
  }
  const double low = sorted.front();
  const double step = (sorted.back() - low) / static_cast<double>(kBins);
  const std::size_t bins = step > 0.0 ? kBins : 1;
  for (std::size_t i = 0; i < bins; ++i) {
    out.bins.push_back(
        {low + step * static_cast<double>(i), low + step * static_cast<double>(i + 1), 0});
  }
  for (const double value : sorted) {
    const std::size_t bin = step > 0.0 ? static_cast<std::size_t>((value - low) / step) : 0U;
    ++out.bins[std::min(bin, out.bins.size() - 1)].count;
  }
  return out;
}

}  // namespace ductledger::study
