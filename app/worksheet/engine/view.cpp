#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "document/branches.hpp"
#include "document/check.hpp"
#include "document/verdict.hpp"
#include "duct/section.hpp"
#include "engine_internal.hpp"
#include "html/report.hpp"
#include "layout/piece_number.hpp"
#include "picture/results.hpp"
#include "picture/route.hpp"
#include "picture/svg.hpp"
#include "picture/tree.hpp"
#include "rules/rule.hpp"
#include "study/branches.hpp"
#include "study/review.hpp"
#include "words/words.hpp"

// What a page shows of one layout.
namespace ductledger::engine {
namespace {

using units::Dimension;

/// Which parts of a view are wanted: all where the request names none, so that what a finger waits
/// for can be asked for first.
class Wanted {
 public:
  explicit Wanted(const Json& request) {
    const auto list = request.find("want");
    if (list != request.end() && list->is_array()) {
      all_ = false;
      for (const Json& one : *list) {
        if (one.is_string()) {
          names_.push_back(one.get<std::string>());
        }
      }
    }
  }
  [[nodiscard]] bool has(std::string_view name) const {
    return all_ || std::ranges::find(names_, name) != names_.end();
  }

 private:
  bool all_ = true;
  std::vector<std::string> names_;
};

struct Shown {
  const study::CheckResult& result;
  units::System system;
  std::size_t speed = 0;  ///< the chosen one, where there are any

  [[nodiscard]] const result::SpeedResult* chosen() const {
    return result.speeds.empty() ? nullptr : &result.speeds[speed];
  }
};

std::size_t chosen_speed(const study::CheckResult& result, const std::string& name) {
  const auto found = std::ranges::find(result.speeds, name, &result::SpeedResult::name);
  if (found != result.speeds.end()) {
    return static_cast<std::size_t>(found - result.speeds.begin());
  }
  return result.headline.value_or(0);
}

/// The piece that a line of the file speaks of: its own, or one that a key of it stands on.
Json piece_at(const layout::Layout& layout, int line) {
  std::optional<std::size_t> found;
  for (std::size_t i = 0; i < layout.run.pieces.size() && line > 0; ++i) {
    if (layout.run.pieces[i].span.line <= line) {
      found = i;
    }
  }
  const auto& pieces = layout.run.pieces;
  if (!found) {
    return nullptr;
  }
  // Beyond the list's end a line is of something else: the last piece reaches as far as its keys.
  int last = pieces[*found].span.line;
  for (const auto& [key, span] : pieces[*found].key_spans) {
    last = std::max(last, span.line);
  }
  return line <= last ? Json(*found) : Json(nullptr);
}

Json worst_object(const Shown& of, const document::Verdict& verdict) {
  if (verdict.worst == nullptr) {
    return nullptr;
  }
  return {{"level", word(verdict.worst->level)},
          {"code", verdict.worst->code},
          {"words", verdict.worst->message.text(of.system)},
          {"remedy", verdict.worst->remedy.text(of.system)},
          {"piece", piece_at(of.result.layout, verdict.worst->span.line)}};
}

std::string counts_of(const study::CheckResult& result) {
  std::array<int, 3> count{};
  for (const findings::Finding& finding : result.findings) {
    ++count[static_cast<std::size_t>(finding.level)];
  }
  return fmt::format("{} fail, {} warn, {} note", count[2], count[1], count[0]);
}

Json answer_object(const Shown& of, const document::Verdict& verdict) {
  const result::SpeedResult* speed = of.chosen();
  Json out = {{"standing", word(verdict.standing)},
              {"mark", verdict.mark()},
              {"words", verdict.text(of.system)},
              {"airflow", ""},
              {"band", ""},
              {"sentence", ""},
              {"airflow_m3_s", nullptr},
              {"band_m3_s", nullptr},
              {"bound", "none"},
              {"required", ""},
              {"requirement", ""},
              {"counts", counts_of(of.result)}};
  if (speed != nullptr) {
    out["sentence"] = words::answer(*speed, of.system);
    const bool known = speed->figures.bound != result::Bound::none;
    out["airflow"] = words::delivers(*speed, of.system);
    if (known) {
      out["airflow_m3_s"] = speed->figures.airflow_m3_s;
      out["bound"] = speed->figures.bound == result::Bound::exact      ? "exact"
                     : speed->figures.bound == result::Bound::at_least ? "at-least"
                                                                       : "at-most";
    }
    if (known && speed->figures.bound == result::Bound::exact && speed->airflow_band_m3_s) {
      out["airflow"] = units::display(speed->figures.airflow_m3_s, Dimension::airflow, of.system);
      out["band"] = words::band_text(*speed->airflow_band_m3_s, Dimension::airflow, of.system);
      out["band_m3_s"] = {speed->airflow_band_m3_s->low, speed->airflow_band_m3_s->high};
    }
  }
  if (of.result.requirement && of.result.layout.appliance.required_airflow_m3_s) {
    out["required"] = units::display(
        *of.result.layout.appliance.required_airflow_m3_s, Dimension::airflow, of.system);
    out["requirement"] = result::word(of.result.requirement->state);
  }
  return out;
}

Json speeds_array(const Shown& of) {
  Json list = Json::array();
  for (std::size_t i = 0; i < of.result.speeds.size(); ++i) {
    const result::SpeedResult& speed = of.result.speeds[i];
    list.push_back({{"name", speed.name},
                    {"sentence", words::answer(speed, of.system)},
                    {"chosen", i == of.speed},
                    {"locked_out", speed.locked_out}});
  }
  return list;
}

/// @param request may name in `fields_of` the one piece whose choices are wanted
Json pieces_array(const Shown& of, const Json& request) {
  const auto only = request.find("fields_of");
  const auto offers = [&](std::size_t piece) {
    return only == request.end() ||
           (only->is_number_integer() && only->get<std::size_t>() == piece);
  };
  const layout::Layout& layout = of.result.layout;
  std::vector<const solve::LedgerRow*> rows(layout.run.pieces.size(), nullptr);
  const solve::LedgerRow* most = nullptr;
  if (of.result.ledger_speed && of.result.speeds[*of.result.ledger_speed].ledger) {
    const solve::Ledger& ledger = *of.result.speeds[*of.result.ledger_speed].ledger;
    most = ledger.costliest();
    for (const solve::LedgerRow& row : ledger.rows) {
      if (row.piece_index >= 0 && row.number > 0) {
        rows[static_cast<std::size_t>(row.piece_index)] = &row;
      }
    }
  }
  Json list = Json::array();
  for (std::size_t i = 0; i < layout.run.pieces.size(); ++i) {
    const layout::Piece& piece = layout.run.pieces[i];
    const solve::LedgerRow* row = rows[i];
    std::string section = duct::to_text(piece.upstream, of.system);
    if (!(piece.upstream == piece.downstream)) {
      section += " to " + duct::to_text(piece.downstream, of.system);
    }
    Json one = {
        {"index", i},
        {"number", layout::piece_number(i)},
        {"kind", layout::word(piece.kind)},
        {"words", words::piece_name(layout::word(piece.kind), piece.type)},
        {"section", section},
        {"loss",
         row != nullptr ? units::display(row->loss_pa, Dimension::pressure, of.system)
                        : std::string()},
        {"share", row != nullptr ? Json(row->share) : Json(nullptr)},
        {"share_words",
         row != nullptr ? units::display(row->share, Dimension::ratio, of.system) : std::string()},
        {"costliest", row != nullptr && row == most},
        {"line", piece.span.line},
        {"fields", piece_fields(piece, of.system, offers(i))}};
    if (piece.length_m) {
      one["length"] = units::display(*piece.length_m, Dimension::length, of.system);
    }
    if (row != nullptr) {
      one["coefficient"] = fmt::format("{:.2f}", row->coefficient);
      one["source"] = row->source;
      one["status"] = row->status;
    }
    list.push_back(std::move(one));
  }
  return list;
}

// --- site ----------------------------------------------------------------------------------------

Json site_array(const Shown& of) {
  const layout::Site& site = of.result.layout.site;
  const bool ip = of.system == units::System::ip;
  struct Box {
    const char* path;
    const char* label;
    double si;
    Dimension dimension;
    bool stated;
    std::array<double, 2> ends;  ///< as written in the box's unit
    double step;
    const char* unit;
    double scale;   ///< SI in one of the unit
    double offset;  ///< SI at none of it
  };
  const std::array boxes{Box{"site.outdoor.temperature",
                             "outdoor temperature",
                             site.outdoor.temperature_k,
                             Dimension::temperature,
                             site.outdoor_stated,
                             ip ? std::array{-20.0, 110.0} : std::array{-30.0, 45.0},
                             1.0,
                             ip ? "degF" : "degC",
                             ip ? 5.0 / 9.0 : 1.0,
                             ip ? 459.67 * 5.0 / 9.0 : 273.15},
                         Box{"site.wind",
                             "wind at the cap",
                             site.wind_m_s,
                             Dimension::velocity,
                             site.wind_m_s != 0.0,
                             ip ? std::array{0.0, 40.0} : std::array{0.0, 20.0},
                             1.0,
                             ip ? "mph" : "m/s",
                             ip ? 0.44704 : 1.0,
                             0.0},
                         Box{"site.elevation",
                             "elevation",
                             site.elevation_m,
                             Dimension::length,
                             site.elevation_m != 0.0,
                             ip ? std::array{0.0, 10000.0} : std::array{0.0, 3000.0},
                             ip ? 100.0 : 50.0,
                             ip ? "ft" : "m",
                             ip ? 0.3048 : 1.0,
                             0.0}};
  Json list = Json::array();
  for (const Box& box : boxes) {
    const double number = (box.si - box.offset) / box.scale;
    list.push_back({{"path", box.path},
                    {"label", box.label},
                    {"number", std::round(10.0 * number) / 10.0},
                    {"unit", box.unit},
                    {"stated", box.stated},
                    {"low", box.ends[0]},
                    {"high", box.ends[1]},
                    {"step", box.step}});
  }
  return list;
}

// --- pictures ------------------------------------------------------------------------------------

/// The drawing with a place to tap at each piece: invisible strokes over its lines, boxes over its
/// sign and label, `data-piece` its index.
std::string with_places(const picture::RoutePicture& drawn) {
  const std::size_t end = drawn.svg.rfind("</svg>");
  if (end == std::string::npos) {
    return drawn.svg;
  }
  std::string places = "<g class=\"places\">\n";
  const auto box = [&](const picture::LabelBox& at, int piece) {
    if (piece >= 0) {
      places += fmt::format(
          "<rect data-piece=\"{}\" x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" "
          "height=\"{:.1f}\"/>\n",
          piece,
          at.left,
          at.top,
          at.right - at.left,
          at.bottom - at.top);
    }
  };
  for (const picture::LabelSegment& line : drawn.lines) {
    if (line.owner >= 0) {
      places += fmt::format("<path data-piece=\"{}\" d=\"{}\"/>\n",
                            line.owner,
                            picture::svg_path({line.from, line.to}));
    }
  }
  for (std::size_t i = 0; i < drawn.labels.size() && i < drawn.label_owners.size(); ++i) {
    box(drawn.labels[i], drawn.label_owners[i]);
  }
  places += "</g>\n";
  return drawn.svg.substr(0, end) + places + drawn.svg.substr(end);
}

/// The run's curve of an earlier layout, as a faint line of the plot.
void add_ghost(picture::Plot& plot, const study::CheckResult& before) {
  picture::PlotLine line{
      .label = "as opened", .tint = picture::Tint::quiet, .dash = picture::Dash::dotted};
  for (const study::CurvePoint& point : before.curves.run) {
    line.points.push_back({.x = point.airflow_m3_s, .y = point.static_pressure_pa});
  }
  if (line.points.size() > 1) {
    plot.lines.push_back(std::move(line));
  }
  if (before.headline) {
    const result::SpeedResult& speed = before.speeds[*before.headline];
    if (speed.point.status == solve::Status::found) {
      plot.marks.push_back(
          {.label = "",
           .points = {{.x = speed.figures.airflow_m3_s, .y = speed.figures.static_pressure_pa}},
           .mark = picture::Mark::ring,
           .tint = picture::Tint::quiet});
    }
  }
}

Json pictures_object(const Shown& of, const Json& request, const Wanted& wanted) {
  const auto given = request.find("width");
  const double width_px = given != request.end() && given->is_number()
                              ? std::clamp(given->get<double>(), 280.0, 1200.0)
                              : 720.0;
  const study::CheckResult& result = of.result;
  const auto route = [&](picture::RouteView view, const char* id) {
    return with_places(picture::route_picture(result,
                                              {.system = of.system,
                                               .view = view,
                                               .width_px = width_px,
                                               .use = picture::PictureUse::page,
                                               .id = id}));
  };
  const picture::PlotOptions options{
      .system = of.system, .width_px = width_px, .use = picture::PictureUse::page};
  const auto plotted = [&](const std::optional<picture::Plot>& plot) {
    return plot ? picture::plot_svg(*plot, options) : std::string();
  };
  Json out = Json::object();
  if (wanted.has("route")) {
    out["route"] = route(picture::RouteView::isometric, "route");
  }
  if (wanted.has("views") && result.route) {
    out["plan"] = route(picture::RouteView::plan, "plan");
    out["elevation"] = route(picture::RouteView::elevation, "elevation");
  }
  if (wanted.has("charts")) {
    std::optional<picture::Plot> curves = picture::curves_plot(result, of.system);
    const std::string ghost = text_of(request, "ghost");
    if (curves && !ghost.empty()) {
      Json before = request;
      before["text"] = ghost;
      auto layout = layout_of(before);
      if (layout && layout->branches.empty()) {
        auto earlier = study::check(
            *std::move(layout), fitting::Catalogue::built_in(), {.depth = study::Depth::points});
        if (earlier) {
          study::CheckResult& drawn = *earlier;
          drawn.curves = study::curves(drawn);
          add_ghost(*curves, drawn);
        }
      }
    }
    out["curves"] = plotted(curves);
    out["pressure"] = plotted(picture::pressure_plot(result, of.system));
  }
  if (wanted.has("answer")) {
    out["answer"] = picture::answer_svg(result, options, "answer-bar");
    out["house"] = picture::house_svg(result, options, "house-gauge");
  }
  return out;
}

std::optional<study::ReviewResult> reviewed(const layout::Layout& layout) {
  std::vector<rules::RuleSetName> defaults;
  for (const std::string& name : study::default_rule_sets()) {
    defaults.push_back({name, nullptr, {}});
  }
  std::vector<rules::RuleSetName> requested;
  for (const layout::RuleSetKey& key : layout.rules) {
    requested.push_back({key.name, layout.source, key.span});
  }
  const rules::RuleFileLoader load =
      [](const rules::RuleFileAsked& asked) -> base::Checked<base::SourcePtr> {
    return base::fault("rules-not-here",
                       "a page cannot look for the rule file `" + base::escaped(asked.name) + "`",
                       "name a rule set of ours, or use the command line");
  };
  const auto base_sets = rules::select_rule_sets(defaults, load);
  if (!base_sets) {
    return std::nullopt;
  }
  study::ReviewAsked asked{.sets = std::make_shared<const std::vector<rules::RuleSet>>(*base_sets),
                           .sets_by_default = true};
  if (!requested.empty()) {
    const auto own = rules::select_rule_sets(requested, load);
    if (own) {
      asked = study::with_requested(*base_sets, *own);
    }
  }
  auto result = study::review(layout, fitting::Catalogue::built_in(), asked);
  return result ? std::optional(*std::move(result)) : std::nullopt;
}

/// A speed that the file no longer has is none asked for.
std::string speed_asked(const Json& request, const layout::Layout& layout) {
  const std::string speed = text_of(request, "speed");
  const bool known =
      layout.fan && std::ranges::find(layout.fan->speeds, speed, &layout::Speed::name) !=
                        layout.fan->speeds.end();
  return known ? speed : std::string();
}

/// The parts of the report page that stand beside the drawing.
Json sections_object(const study::CheckedLayout& checked,
                     const std::optional<study::ReviewResult>& review,
                     units::System system) {
  const document::Record record{DUCTLEDGER_VERSION, "fail"};
  const Json document = document::layout_document(checked, record);
  html::ReportSubject subject;
  subject.result = &checked.check;
  subject.document = &document;
  subject.review = review ? &*review : nullptr;
  subject.network = checked.network ? &*checked.network : nullptr;
  const html::ReportFragments parts =
      html::report_fragments(subject, {.system = system, .record = record});
  return {{"ledger", parts.ledger},
          {"speeds", parts.speeds},
          {"findings", parts.findings},
          {"doubt", parts.doubt},
          {"house", parts.house},
          {"yardstick", parts.yardstick},
          {"rules", parts.rules},
          {"assumptions", parts.assumptions},
          {"cautions", parts.cautions}};
}

Json tree_object(const study::NetworkResult& network, units::System system) {
  const auto tree =
      picture::tree_picture(network, {.system = system, .use = picture::PictureUse::page});
  return {{"route", tree.svg}};
}

}  // namespace

Json view(const Json& request) {
  auto layout = layout_of(request);
  if (!layout) {
    return refused(layout.error());
  }
  const Wanted wanted(request);
  const units::System system = system_for(request, *layout);
  const std::string speed = speed_asked(request, *layout);
  const bool judged = wanted.has("rules") && layout->branches.empty();
  const std::optional<study::ReviewResult> review =
      judged ? reviewed(*layout) : std::optional<study::ReviewResult>();
  const auto checked = study::check_layout(*std::move(layout), catalogue(), {.speed = speed});
  if (!checked) {
    return refused(checked.error());
  }
  const study::CheckResult& result = checked->check;
  const Shown of{result, system, chosen_speed(result, speed)};
  const document::Verdict verdict = document::verdict(result);
  Json remarks = Json::array();
  for (const units::Message& remark : result.layout.remarks) {
    remarks.push_back(remark.text(system));
  }
  Json out = {{"errors", Json::array()},
              {"system", system == units::System::ip ? "ip" : "si"},
              {"title", result.layout.title},
              {"hash", result.layout.sha256},
              {"network", checked->network.has_value()},
              {"warnings", diagnostics_object(result.layout.warnings)},
              {"remarks", std::move(remarks)},
              {"answer", answer_object(of, verdict)},
              {"speeds", speeds_array(of)},
              {"worst", worst_object(of, verdict)}};
  if (wanted.has("pieces")) {
    out["pieces"] = pieces_array(of, request);
    out["site"] = site_array(of);
  }
  out["pictures"] = checked->network ? tree_object(*checked->network, system)
                                     : pictures_object(of, request, wanted);
  if (wanted.has("sections")) {
    out["sections"] = sections_object(*checked, review, system);
  }
  return out;
}

}  // namespace ductledger::engine
