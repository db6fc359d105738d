#include "document/parts.hpp"

#include <array>
#include <nlohmann/json.hpp>
#include <utility>

#include "base/words.hpp"
#include "document/json_internal.hpp"

namespace ductledger::document {
namespace {

using json::Json;
using json::number;
using json::text_or_null;

constexpr auto kMeasureWords = base::words<build::Measure>({{build::Measure::count, "count"},
                                                            {build::Measure::length, "length_m"},
                                                            {build::Measure::area, "area_m2"}});
constexpr const char* word(build::Measure measure) { return kMeasureWords.of(measure); }

Json section(const std::optional<duct::Section>& from) {
  return from ? Json(duct::to_text(*from)) : Json(nullptr);
}

Json line_object(const build::PartLine& line) {
  return {{"group", line.group},
          {"item", line.item},
          {"section", section(line.section)},
          {"to_section", section(line.to)},
          {"material", text_or_null(line.material)},
          {"each_m", number(line.each_m)},
          {"angle_rad", number(line.angle_rad)},
          {"radius_ratio", number(line.radius_ratio)},
          {"measure", word(line.measure)},
          {"quantity", number(line.quantity)},
          {"mass_kg", number(line.mass_kg)},
          {"pieces", line.pieces},
          {"note", json::message_or_null(line.note)}};
}

Json stick_object(const build::DuctCuts& cuts, const build::Stick& stick) {
  Json list = Json::array();
  for (const build::Cut& cut : stick.cuts) {
    list.push_back({{"cut_m", number(cut.cut_m)}, {"pieces", cuts.straights[cut.demand].pieces}});
  }
  return {{"stock_m", number(stick.stock_m)},
          {"cuts", std::move(list)},
          {"offcut_m", number(stick.offcut_m)}};
}

Json cuts_object(const build::DuctCuts& cuts) {
  Json straights = Json::array();
  for (const build::CutStraight& straight : cuts.straights) {
    straights.push_back({{"pieces", straight.pieces},
                         {"clear_m", number(straight.clear_m)},
                         {"sections_m", straight.sections_m}});
  }
  Json sticks = Json::array();
  for (const build::Stick& stick : cuts.list.sticks) {
    sticks.push_back(stick_object(cuts, stick));
  }
  return {{"section", duct::to_text(cuts.section)},
          {"material", text_or_null(cuts.material)},
          {"straights", std::move(straights)},
          {"sticks", std::move(sticks)},
          {"bought_m", number(cuts.list.bought_m)},
          {"offcut_m", number(cuts.list.offcut_m)},
          {"proven", cuts.list.proven}};
}

Json joint_object(const build::Joint& joint) {
  return {{"number", joint.number},
          {"before", joint.before},
          {"after", joint.after},
          {"section", duct::to_text(joint.section)},
          {"fasteners", joint.fasteners},
          {"rising", joint.rising}};
}

Json hole_object(const build::Hole& hole) {
  Json notes = Json::array();
  for (const units::Message& note : hole.notes) {
    notes.push_back(json::message_or_null(note));
  }
  Json centre = nullptr;
  if (hole.centre) {
    static constexpr std::array<const char*, 3> kAxes{"x", "y", "z"};
    centre = {{"x_m", number(hole.centre->at_m[0])},
              {"y_m", number(hole.centre->at_m[1])},
              {"z_m", number(hole.centre->at_m[2])},
              {"across", kAxes.at(hole.centre->across)},
              {"from_wall_m", number(hole.centre->from_wall_m)},
              {"above_floor_m", number(hole.centre->above_floor_m)},
              {"from_center_m", number(hole.centre->from_center_m)},
              {"nominal_legs", hole.centre->nominal}};
  }
  return {{"piece", hole.piece},
          {"through", hole.through},
          {"section", duct::to_text(hole.size)},
          {"along_slant_m", number(hole.stretched_m)},
          {"centre", std::move(centre)},
          {"notes", std::move(notes)}};
}

Json step_object(const build::Step& step) {
  Json cautions = Json::array();
  for (const units::Message& caution : step.cautions) {
    cautions.push_back(json::message_or_null(caution));
  }
  return {{"step", json::message_or_null(step.what)}, {"cautions", std::move(cautions)}};
}

template <class From, class Object>
void list_in(Json& to, const char* key, const From& from, Object&& object) {
  to[key] = Json::array();
  for (const auto& one : from) {
    to[key].push_back(object(one));
  }
}

Json branches_of(const build::PartsResult& result) {
  Json out = Json::array();
  for (const build::PartsResult& own : result.branches) {
    Json branch = {{"name", own.branch},
                   {"part_count", own.part_count},
                   {"mass_kg", number(own.mass_kg)},
                   {"longest_stick_m", number(own.longest_stick_m)}};
    list_in(branch, "bill", own.bill, line_object);
    list_in(branch, "cuts", own.cuts, cuts_object);
    list_in(branch, "joints", own.joints, joint_object);
    list_in(branch, "holes", own.holes, hole_object);
    out.push_back(std::move(branch));
  }
  return out;
}

}  // namespace

nlohmann::ordered_json parts_document(const build::PartsResult& result,
                                      const Record& record,
                                      const study::CheckResult* calculated) {
  Json document = {{"format", "ductledger.parts/1"},
                   {"tool_version", record.tool_version},
                   {"layout", json::layout_object(result.layout)},
                   {"verdict", calculated ? json::verdict_object(*calculated) : Json(nullptr)},
                   {"options",
                    {{"stock_m", result.stock_m},
                     {"overlap_m", number(result.overlap_m)},
                     {"hanger_spacing_m", number(result.hanger_m)},
                     {"hole_clearance_m", number(result.hole_clearance_m)}}},
                   {"part_count", result.part_count},
                   {"mass_kg", number(result.mass_kg)},
                   {"longest_stick_m", number(result.longest_stick_m)},
                   {"duct_surface_m2", number(result.duct_surface_m2)},
                   {"inserted_ends", text_or_null(result.male_end)}};
  const auto list = [&](const char* key, const auto& from, auto&& object) {
    list_in(document, key, from, object);
  };
  list("bill", result.bill, line_object);
  list("cuts", result.cuts, cuts_object);
  list("joints", result.joints, joint_object);
  list("holes", result.holes, hole_object);
  list("steps", result.steps, step_object);
  document["makeup"] = nullptr;
  for (const build::PartsResult& own : result.makeup) {
    Json makeup = Json::object();
    list_in(makeup, "bill", own.bill, line_object);
    list_in(makeup, "cuts", own.cuts, cuts_object);
    list_in(makeup, "joints", own.joints, joint_object);
    list_in(makeup, "holes", own.holes, hole_object);
    makeup["branches"] = branches_of(own);
    document["makeup"] = std::move(makeup);
  }
  const bool joins = !result.branches.empty();
  document["in_all"] = joins ? Json{{"part_count", result.in_all.part_count},
                                    {"joint_count", result.in_all.joint_count},
                                    {"mass_kg", number(result.in_all.mass_kg)}}
                             : Json(nullptr);
  document["branches"] = branches_of(result);
  list("assumed", result.assumed, json::message_or_null);
  document["cautions"] = result.cautions;
  return document;
}

}  // namespace ductledger::document
