#include "document/compare.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <vector>

#include "base/text.hpp"
#include "html/sections.hpp"
#include "picture/compared.hpp"
#include "picture/svg.hpp"
#include "text/compare.hpp"
#include "words/compare.hpp"
#include "words/parts.hpp"
#include "words/words.hpp"

namespace ductledger::html {
namespace {

using units::Dimension;

class ComparisonSection {
 public:
  ComparisonSection(HtmlPage& page, const study::Comparison& result)
      : page_(page), result_(result) {}

  void write() {
    answer();
    page_.heading(0, "The runs side by side", "comparison-heading");
    pictures();
    figures();
    speeds();
    page_.line("<details class=\"fold\" open><summary>What differs, piece by piece</summary>");
    for (const units::Message& sentence : result_.answer) {
      page_.line(fmt::format("<p>{}</p>", picture::xml_escaped(sentence.text(page_.system()))));
    }
    for (std::size_t i = 0; i < result_.changes.size(); ++i) {
      changes(i);
    }
    page_.line("</details>");
  }

 private:
  [[nodiscard]] std::string named(std::size_t run) const {
    return fmt::format(
        "{} {}", words::run_letter(run), picture::xml_escaped(result_.runs[run].name));
  }
  [[nodiscard]] static std::string at(std::size_t run, std::string_view rest) {
    return fmt::format("/comparison/runs/{}{}", run, rest);
  }

  void answer() {
    page_.line(fmt::format("<p class=\"answer\">{}</p>",
                           picture::xml_escaped(words::winner_sentence(result_, page_.system()))));
    for (const std::string& one : result_.unlike) {
      page_.paragraph(base::escaped(one) + ": the difference is not of the run alone.");
    }
  }

  void pictures() {
    page_.plot_picture("compared", picture::compared_plot(result_, page_.system()));
    page_.picture({.name = "differences",
                   .title = "Delivered airflow against A",
                   .caption = "What each run delivers more or less than A, most air first; bars: "
                              "where the difference lies with about 95 %."},
                  [&](const HtmlPage::PictureSize& size) {
                    return picture::differences_svg(result_,
                                                    {.system = page_.system(),
                                                     .width_px = size.width_px,
                                                     .use = picture::PictureUse::page},
                                                    size.id);
                  });
  }

  void speeds() {
    page_.table_begin("What each run delivers",
                      {{"run", false},
                       {"speed", false},
                       {"delivers", false},
                       {"against A", false},
                       {"static pressure", true},
                       {"fastest air", true}});
    bool alike = false;
    for (std::size_t i = 0; i < result_.runs.size(); ++i) {
      const study::ComparedRun& run = result_.runs[i];
      for (std::size_t k = 0; k < run.speeds.size(); ++k) {
        const result::SpeedResult& of = run.check.speeds[run.speeds[k].index];
        const std::string here = at(i, fmt::format("/speeds/{}/", k));
        page_.row_begin(of.locked_out ? "aside" : "");
        page_.row_head(named(i));
        page_.cell("speed", picture::xml_escaped(of.name) + (of.locked_out ? ", locked out" : ""));
        page_.cell("delivers", delivers(of, here));
        page_.cell("against A", against(run.speeds[k], here, alike));
        page_.number_cell("static pressure",
                          page_.figure(here + "collar_static_pressure_pa", Dimension::pressure));
        page_.number_cell("fastest air", page_.figure(here + "velocity_m_s", Dimension::velocity));
        page_.row_end();
      }
    }
    page_.table_end();
    if (words::any_band(result_)) {
      page_.line(
          "<p class=\"remark\">Bands hold about 95 %; against A: of the difference, where errors "
          "that both share cancel.</p>");
    }
    if (const std::string remark = words::bounds_remark(result_); !remark.empty()) {
      page_.line("<p class=\"remark\">" + picture::xml_escaped(remark) + "</p>");
    }
    if (alike) {
      page_.line("<p class=\"remark\">no winner: the difference may be zero</p>");
    }
  }

  [[nodiscard]] std::string delivers(const result::SpeedResult& speed,
                                     const std::string& here) const {
    if (speed.point.bounds) {
      return picture::xml_escaped(words::delivers(speed, page_.system()));
    }
    const std::string value = page_.figure(here + "airflow_m3_s", Dimension::airflow);
    switch (speed.figures.bound) {
      case result::Bound::none:
        return "not determined";
      case result::Bound::at_least:
        return "at least " + value;
      case result::Bound::at_most:
        return "at most " + value;
      case result::Bound::exact:
        break;
    }
    return value + page_.band(here + "airflow_band_m3_s", Dimension::airflow);
  }

  [[nodiscard]] std::string against(const study::ComparedSpeed& speed,
                                    const std::string& here,
                                    bool& alike) const {
    if (!speed.difference) {
      return "-";
    }
    std::string text = page_.gain(here + "difference/airflow_m3_s", Dimension::airflow);
    if (speed.difference->band_m3_s) {
      text += fmt::format(
          " ({} to {})",
          page_.gain(
              here + "difference/band_m3_s/0", Dimension::airflow, HtmlPage::With::number_alone),
          page_.gain(
              here + "difference/band_m3_s/1", Dimension::airflow, HtmlPage::With::number_alone));
      if (!speed.difference->is_sure()) {
        alike = true;
        text += ", no winner";
      }
    }
    return text;
  }

  [[nodiscard]] std::string area(const std::string& pointer, double area_m2) const {
    return page_.tagged(pointer,
                        page_.system() == units::System::ip
                            ? fmt::format("{:.1f} ft2", area_m2 / units::kSquareFoot_m2)
                            : fmt::format("{:.2f} m2", area_m2));
  }

  void figures() {
    const bool house = std::any_of(result_.runs.begin(), result_.runs.end(), [](const auto& run) {
      return run.house() != nullptr;
    });
    const std::string needs =
        "needs at " + page_.show(result_.common_airflow_m3_s, Dimension::airflow);
    std::vector<HtmlPage::Heading> columns{{"run", false},
                                           {needs, true},
                                           {"equivalent length", true},
                                           {"depth", true},
                                           {"parts", true},
                                           {"sheet", true},
                                           {"mass", true},
                                           {"makeup air", false}};
    if (house) {
      columns.push_back({"house depressurization", true});
    }
    page_.table_begin("What each run takes", columns);
    for (std::size_t i = 0; i < result_.runs.size(); ++i) {
      const study::ComparedRun& run = result_.runs[i];
      page_.row_begin(result_.best == i ? "most" : "");
      page_.row_head(named(i));
      page_.number_cell(needs, page_.figure(at(i, "/common_pressure_pa"), Dimension::pressure));
      page_.number_cell("equivalent length",
                        run.equivalent_length
                            ? page_.figure(at(i, "/equivalent_length_m"), Dimension::length) +
                                  " of " +
                                  picture::xml_escaped(
                                      duct::to_text(run.equivalent_length->section, page_.system()))
                            : "-");
      page_.number_cell("depth", page_.figure(at(i, "/depth_m"), Dimension::length));
      page_.number_cell(
          "parts", page_.tagged(at(i, "/part_count"), fmt::format("{}", run.parts.part_count)));
      page_.number_cell("sheet", area(at(i, "/duct_surface_m2"), run.parts.duct_surface_m2));
      page_.number_cell(
          "mass",
          page_.tagged(at(i, "/mass_kg"), words::mass_text(run.parts.mass_kg, page_.system())));
      page_.cell("makeup air", picture::xml_escaped(run.makeup));
      if (house) {
        page_.number_cell(
            "house depressurization",
            run.house() != nullptr ? page_.pascal(at(i, "/house/depressurisation_pa")) : "-");
      }
      page_.row_end();
    }
    page_.table_end();
  }

  static std::string numbers(const study::PieceChange& change) {
    const auto text = [](const std::optional<int>& number) {
      return number ? fmt::format("{}", *number) : std::string("-");
    };
    return change.first == change.other ? text(change.first)
                                        : text(change.first) + " / " + text(change.other);
  }

  void changes(std::size_t list) {
    if (result_.changes[list].empty()) {
      return;
    }
    const std::string other = words::run_letter(list + 1);
    page_.table_begin(fmt::format("What differs in {} {}: pieces of A / {}, losses at {}",
                                  other,
                                  base::escaped(result_.runs[list + 1].name),
                                  other,
                                  page_.show(result_.common_airflow_m3_s, Dimension::airflow)),
                      {{"pieces", false}, {"in A", false}, {"in " + other, false}, {"loss", true}});
    for (std::size_t k = 0; k < result_.changes[list].size(); ++k) {
      const study::PieceChange& change = result_.changes[list][k];
      page_.row_begin();
      page_.row_head(numbers(change));
      page_.cell("in A", side(change.was));
      page_.cell("in " + other, side(change.is));
      page_.number_cell("loss",
                        page_.gain(fmt::format("/comparison/changes/{}/{}/loss_change_pa", list, k),
                                   Dimension::pressure));
      page_.row_end();
    }
    page_.table_end();
  }
  [[nodiscard]] std::string side(const units::Message& words) const {
    return words.empty() ? "-" : picture::xml_escaped(words.text(page_.system()));
  }

  HtmlPage& page_;
  const study::Comparison& result_;
};

}  // namespace

void comparison_section(HtmlPage& page, const study::Comparison& result) {
  ComparisonSection(page, result).write();
}

}  // namespace ductledger::html
