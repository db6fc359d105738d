#include "document/batch_row.hpp"

#include <algorithm>
#include <array>
#include <nlohmann/json.hpp>

#include "base/text.hpp"
#include "document/branches.hpp"
#include "document/json_internal.hpp"
#include "document/review.hpp"
#include "document/size.hpp"
#include "document/verdict.hpp"
#include "duct/section_text.hpp"

namespace ductledger::document {
namespace {

using json::Json;
using json::number;
using study::Depth;

const Json kNothing = nullptr;

Json whole(std::size_t count) { return static_cast<std::uint64_t>(count); }

// --- of the faults

Json fault_rule(const BatchSubject& of) {
  return of.faults.empty() ? kNothing : Json(of.faults.front().rule);
}
Json fault_text(const BatchSubject& of) {
  return of.faults.empty() ? kNothing : Json(of.faults.front().message);
}
Json fault_line(const BatchSubject& of) {
  return of.faults.empty() || of.faults.front().span.line == 0 ? kNothing
                                                               : Json(of.faults.front().span.line);
}
Json fault_column(const BatchSubject& of) {
  return of.faults.empty() || of.faults.front().span.line == 0
             ? kNothing
             : Json(of.faults.front().span.column);
}
Json fault_count(const BatchSubject& of) { return whole(of.faults.size()); }

// --- of the calculated layout

template <Json (*of_check)(const study::CheckResult&)>
Json checked(const BatchSubject& of) {
  return of.check == nullptr ? kNothing : of_check(*of.check);
}

const result::SpeedResult* shown_speed(const study::CheckResult& of) {
  return of.ledger_speed ? &of.speeds[*of.ledger_speed] : nullptr;
}

template <Json (*of_speed)(const study::CheckResult&, const result::SpeedResult&)>
Json at_speed(const BatchSubject& of) {
  const result::SpeedResult* speed = of.check == nullptr ? nullptr : shown_speed(*of.check);
  return speed == nullptr ? kNothing : of_speed(*of.check, *speed);
}

Json title(const study::CheckResult& of) { return of.layout.title; }
Json sha256(const study::CheckResult& of) { return json::text_or_null(of.layout.sha256); }
Json kind(const study::CheckResult& of) { return layout::word(of.layout.appliance.kind); }
Json required(const study::CheckResult& of) {
  return number(of.layout.appliance.required_airflow_m3_s);
}
Json point_status(const study::CheckResult& of) {
  const result::SpeedResult* speed = shown_speed(of);
  return speed != nullptr            ? solve::word(speed->point.status)
         : of.layout.fan.has_value() ? kNothing
                                     : Json(solve::word(solve::Status::no_fan));
}

Json speed_name(const study::CheckResult& /*of*/, const result::SpeedResult& speed) {
  return speed.name;
}
Json known_airflow(const study::CheckResult& /*of*/, const result::SpeedResult& speed) {
  const result::Figures& known = speed.figures;
  return known.bound == result::Bound::none ? kNothing : number(known.airflow_m3_s);
}
Json known_standard(const study::CheckResult& /*of*/, const result::SpeedResult& speed) {
  const result::Figures& known = speed.figures;
  return known.bound == result::Bound::none ? kNothing : number(known.standard_airflow_m3_s);
}
Json low(const study::CheckResult& /*of*/, const result::SpeedResult& speed) {
  return speed.airflow_band_m3_s ? number(speed.airflow_band_m3_s->low) : kNothing;
}
Json high(const study::CheckResult& /*of*/, const result::SpeedResult& speed) {
  return speed.airflow_band_m3_s ? number(speed.airflow_band_m3_s->high) : kNothing;
}
bool has_pressure(const result::SpeedResult& speed) {
  return speed.figures.bound != result::Bound::none && speed.point.status != solve::Status::no_flow;
}
Json static_pressure(const study::CheckResult& /*of*/, const result::SpeedResult& speed) {
  return has_pressure(speed) ? number(speed.figures.static_pressure_pa) : kNothing;
}
Json total_pressure(const study::CheckResult& /*of*/, const result::SpeedResult& speed) {
  return has_pressure(speed) ? number(speed.point.total_pressure_pa) : kNothing;
}
Json collar_pressure(const study::CheckResult& /*of*/, const result::SpeedResult& speed) {
  return speed.ledger ? number(speed.ledger->collar_static_pressure_pa) : kNothing;
}
Json rated(const study::CheckResult& /*of*/, const result::SpeedResult& speed) {
  return speed.rated ? number(speed.rated->airflow_m3_s) : kNothing;
}
Json share(const study::CheckResult& /*of*/, const result::SpeedResult& speed) {
  return number(speed.figures.share_of_rated);
}
Json depressurisation(const study::CheckResult& /*of*/, const result::SpeedResult& speed) {
  return speed.house && speed.house->coupled ? number(speed.house->judged_depressurisation_pa)
                                             : kNothing;
}
Json costliest_piece(const study::CheckResult& /*of*/, const result::SpeedResult& speed) {
  const solve::LedgerRow* row = speed.ledger ? speed.ledger->costliest() : nullptr;
  return row == nullptr ? kNothing
                        : Json(row->type.empty() ? row->piece : row->piece + ' ' + row->type);
}
Json costliest_share(const study::CheckResult& /*of*/, const result::SpeedResult& speed) {
  const solve::LedgerRow* row = speed.ledger ? speed.ledger->costliest() : nullptr;
  return row == nullptr ? kNothing : number(row->share);
}
Json equivalent_length(const study::CheckResult& of, const result::SpeedResult& /*speed*/) {
  const auto& length = of.equivalent_lengths[*of.ledger_speed];
  return length ? number(length->total_m) : kNothing;
}

Json requirement(const study::CheckResult& of) {
  return of.requirement ? Json(result::word(of.requirement->state)) : kNothing;
}
Json standing(const study::CheckResult& of) { return word(verdict(of).standing); }

template <findings::Level level>
Json count_of(const study::CheckResult& of) {
  return whole(static_cast<std::size_t>(
      std::ranges::count(of.findings, level, [](const auto& one) { return one.level; })));
}
Json codes(const study::CheckResult& of) {
  std::string out;
  for (const findings::Finding& finding : of.findings) {
    out += (out.empty() ? "" : " ") + finding.code;
  }
  return out;
}

// --- of a review

template <rules::Verdict verdict>
Json count_of(const BatchSubject& of) {
  return of.review == nullptr ? kNothing : whole(study::count(*of.review, verdict));
}
template <rules::Verdict verdict>
Json rules_of(const BatchSubject& of) {
  if (of.review == nullptr) {
    return kNothing;
  }
  std::vector<std::string> ids;
  for (const rules::Judgement& one : of.review->judgements) {
    if (one.verdict == verdict && std::ranges::find(ids, one.rule->id) == ids.end()) {
      ids.push_back(one.rule->id);
    }
  }
  std::string out;
  for (const std::string& id : ids) {
    out += (out.empty() ? "" : " ") + id;
  }
  return out;
}

// --- of sizes

const study::TriedSize* smallest_size(const BatchSubject& of) {
  return of.size == nullptr || !of.size->smallest ? nullptr : &of.size->tried[*of.size->smallest];
}
Json wanted(const BatchSubject& of) {
  return of.size == nullptr ? kNothing : number(of.size->wanted_m3_s);
}
Json delivering(const BatchSubject& of) {
  return of.size == nullptr ? kNothing
                            : whole(static_cast<std::size_t>(std::ranges::count_if(
                                  of.size->tried, &study::TriedSize::delivers)));
}
Json smallest(const BatchSubject& of) {
  const study::TriedSize* size = smallest_size(of);
  return size == nullptr ? kNothing : Json(duct::to_text(size->section));
}
Json smallest_airflow(const BatchSubject& of) {
  const study::TriedSize* size = smallest_size(of);
  return size == nullptr ? kNothing : number(size->airflow_m3_s);
}
Json smallest_low(const BatchSubject& of) {
  const study::TriedSize* size = smallest_size(of);
  return size == nullptr ? kNothing : number(size->low_m3_s);
}
Json drawn_delivers(const BatchSubject& of) {
  return of.size == nullptr ? kNothing : Json(of.size->drawn.delivers() ? "yes" : "no");
}

Json whole_document(const BatchSubject& of) {
  if (of.review != nullptr) {
    return review_document(*of.review, *of.record);
  }
  if (of.size != nullptr) {
    return size_document(*of.size, *of.record);
  }
  if (of.network != nullptr) {
    return network_document(*of.network, *of.record);
  }
  return of.check != nullptr ? check_document(*of.check, *of.record)
                             : error_document({of.faults.begin(), of.faults.end()}, *of.record);
}

constexpr auto kReview = BatchStudy::review;
constexpr auto kSize = BatchStudy::size;

const std::array kColumns{
    BatchColumn{"file",
                ColumnType::text,
                "as it was named",
                Depth::points,
                {},
                [](const BatchSubject& of) { return Json(of.file); }},
    BatchColumn{"status",
                ColumnType::text,
                "fine, findings or failed",
                Depth::points,
                {},
                [](const BatchSubject& of) { return Json(kRowStatusWords.of(of.status)); }},
    BatchColumn{"fault",
                ColumnType::text,
                "failed: name of the first fault",
                Depth::points,
                {},
                fault_rule},
    BatchColumn{
        "fault_message", ColumnType::text, "failed: what it says", Depth::points, {}, fault_text},
    BatchColumn{"fault_line",
                ColumnType::count,
                "failed: where in the file",
                Depth::points,
                {},
                fault_line},
    BatchColumn{"fault_column",
                ColumnType::count,
                "failed: where in the line",
                Depth::points,
                {},
                fault_column},
    BatchColumn{
        "faults", ColumnType::count, "failed: how many there are", Depth::points, {}, fault_count},
    BatchColumn{"title", ColumnType::text, "of the layout", Depth::points, {}, checked<title>},
    BatchColumn{
        "sha256", ColumnType::text, "of the file's bytes", Depth::points, {}, checked<sha256>},
    BatchColumn{"appliance", ColumnType::text, "its kind", Depth::points, {}, checked<kind>},
    BatchColumn{"speed",
                ColumnType::text,
                "that of --speed, else the highest not locked out",
                Depth::points,
                {},
                at_speed<speed_name>},
    BatchColumn{"point",
                ColumnType::text,
                "status of its operating point",
                Depth::points,
                {},
                checked<point_status>},
    BatchColumn{"airflow_m3_s",
                ColumnType::number,
                "what it delivers; beyond the curve at least, below it at most that",
                Depth::points,
                {},
                at_speed<known_airflow>},
    BatchColumn{"airflow_low_m3_s",
                ColumnType::number,
                "low end of its band",
                Depth::bands,
                {},
                at_speed<low>},
    BatchColumn{"airflow_high_m3_s",
                ColumnType::number,
                "high end of its band",
                Depth::bands,
                {},
                at_speed<high>},
    BatchColumn{"airflow_standard_m3_s",
                ColumnType::number,
                "in standard air",
                Depth::points,
                {},
                at_speed<known_standard>},
    BatchColumn{"required_airflow_m3_s",
                ColumnType::number,
                "as the layout asks",
                Depth::points,
                {},
                checked<required>},
    BatchColumn{"required",
                ColumnType::text,
                "met, not met or not shown",
                Depth::whole,
                {},
                checked<requirement>},
    BatchColumn{"rated_airflow_m3_s",
                ColumnType::number,
                "what the label says",
                Depth::points,
                {},
                at_speed<rated>},
    BatchColumn{"share_of_rated",
                ColumnType::number,
                "delivered over rated",
                Depth::points,
                {},
                at_speed<share>},
    BatchColumn{"static_pressure_pa",
                ColumnType::number,
                "of the fan",
                Depth::points,
                {},
                at_speed<static_pressure>},
    BatchColumn{"total_pressure_pa",
                ColumnType::number,
                "of the fan",
                Depth::points,
                {},
                at_speed<total_pressure>},
    BatchColumn{"collar_static_pressure_pa",
                ColumnType::number,
                "against the room",
                Depth::points,
                {},
                at_speed<collar_pressure>},
    BatchColumn{"costliest_piece",
                ColumnType::text,
                "the piece with the largest loss",
                Depth::points,
                {},
                at_speed<costliest_piece>},
    BatchColumn{"costliest_share",
                ColumnType::number,
                "its share of the fan's pressure",
                Depth::points,
                {},
                at_speed<costliest_share>},
    BatchColumn{"equivalent_length_m",
                ColumnType::number,
                "of the run, at that airflow",
                Depth::whole,
                {},
                at_speed<equivalent_length>},
    BatchColumn{"depressurization_pa",
                ColumnType::number,
                "of the house, where its leakage is known",
                Depth::whole,
                {},
                at_speed<depressurisation>},
    BatchColumn{"standing",
                ColumnType::text,
                "the worst that was found",
                Depth::whole,
                {},
                checked<standing>},
    BatchColumn{"fails",
                ColumnType::count,
                "findings of level fail",
                Depth::whole,
                {},
                checked<count_of<findings::Level::fail>>},
    BatchColumn{"warns",
                ColumnType::count,
                "findings of level warn",
                Depth::whole,
                {},
                checked<count_of<findings::Level::warn>>},
    BatchColumn{"notes",
                ColumnType::count,
                "findings of level note",
                Depth::whole,
                {},
                checked<count_of<findings::Level::note>>},
    BatchColumn{
        "findings", ColumnType::text, "their codes, worst first", Depth::whole, {}, checked<codes>},
    BatchColumn{"rules_not_met",
                ColumnType::count,
                "how many rules",
                Depth::whole,
                kReview,
                count_of<rules::Verdict::not_met>},
    BatchColumn{"rules_not_shown",
                ColumnType::count,
                "how many rules",
                Depth::whole,
                kReview,
                count_of<rules::Verdict::not_shown>},
    BatchColumn{"rules_authority",
                ColumnType::count,
                "how many rules are left to the authority",
                Depth::whole,
                kReview,
                count_of<rules::Verdict::authority>},
    BatchColumn{"rules_met",
                ColumnType::count,
                "how many rules",
                Depth::whole,
                kReview,
                count_of<rules::Verdict::met>},
    BatchColumn{"not_met",
                ColumnType::text,
                "names of the rules not met",
                Depth::whole,
                kReview,
                rules_of<rules::Verdict::not_met>},
    BatchColumn{"not_shown",
                ColumnType::text,
                "names of the rules not shown",
                Depth::whole,
                kReview,
                rules_of<rules::Verdict::not_shown>},
    BatchColumn{"wanted_airflow_m3_s",
                ColumnType::number,
                "what a size has to deliver",
                Depth::whole,
                kSize,
                wanted},
    BatchColumn{"as_drawn",
                ColumnType::text,
                "whether the run as it is delivers it: yes or no",
                Depth::whole,
                kSize,
                drawn_delivers},
    BatchColumn{"sizes_delivering",
                ColumnType::count,
                "how many sizes do, with margin",
                Depth::whole,
                kSize,
                delivering},
    BatchColumn{
        "smallest_size", ColumnType::text, "the smallest of them", Depth::whole, kSize, smallest},
    BatchColumn{"smallest_airflow_m3_s",
                ColumnType::number,
                "what it delivers",
                Depth::whole,
                kSize,
                smallest_airflow},
    BatchColumn{"smallest_airflow_low_m3_s",
                ColumnType::number,
                "low end of that band",
                Depth::whole,
                kSize,
                smallest_low},
    BatchColumn{"document",
                ColumnType::document,
                "the whole result document",
                Depth::whole,
                {},
                whole_document}};

}  // namespace

std::span<const BatchColumn> batch_columns() { return kColumns; }

std::vector<const BatchColumn*> usual_columns(BatchStudy study) {
  std::vector<const BatchColumn*> out;
  for (const BatchColumn& column : kColumns) {
    if (column.type != ColumnType::document && column.only.value_or(study) == study) {
      out.push_back(&column);
    }
  }
  return out;
}

Row batch_row(std::span<const BatchColumn* const> columns, const BatchSubject& subject) {
  Row row;
  row.reserve(columns.size());
  for (const BatchColumn* column : columns) {
    row.push_back(column->value(subject));
  }
  return row;
}

}  // namespace ductledger::document
