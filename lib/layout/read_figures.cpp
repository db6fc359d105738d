#include <fmt/format.h>

#include <algorithm>

#include "base/text.hpp"
#include "layout/read_pieces_internal.hpp"
#include "units/constants.hpp"

namespace ductledger::layout {
namespace {

using units::Dimension;

constexpr Range kCoefficient{0.0, 1000.0, "0 to 1000"};

/// Pressures at airflows, as two columns.
struct Columns {
  const yaml::Node* pressure;
  const yaml::Node* at;
};
bool read_drops(Walk& walk,
                yaml::MapReader& map,
                const Columns& columns,
                std::vector<StatedDrop>& into) {
  const auto& [pressure, at] = columns;
  if (pressure == nullptr || at == nullptr) {
    (void)map.require(pressure == nullptr ? "pressure" : "at",
                      pressure == nullptr ? "0.05 inH2O" : "400 cfm");
    return false;
  }
  const auto p = yaml::read_column(*pressure, Dimension::pressure, walk.problems);
  const auto q = yaml::read_column(*at, Dimension::airflow, walk.problems);
  if (!p || !q) {
    return false;
  }
  if (p->size() != q->size()) {
    walk.problems.error(at->span,
                        "unequal-columns",
                        fmt::format("{} pressures, but {} airflows", p->size(), q->size()));
    return false;
  }
  for (std::size_t i = 0; i < p->size(); ++i) {
    if (!((*p)[i] >= 0.0 && (*p)[i] <= 20000.0)) {
      walk.problems.error(pressure->span, "out-of-range", "`pressure` is out of range").label =
          "expected 0 inH2O to 80 inH2O";
      return false;
    }
    if (!((*q)[i] > 0.0 && (*q)[i] <= 100.0)) {
      walk.problems.error(at->span, "out-of-range", "`at` is out of range").label =
          "expected more than 0 cfm";
      return false;
    }
    into.push_back({(*p)[i], (*q)[i]});
  }
  return true;
}

}  // namespace

void read_coefficient(Walk& walk, const yaml::Node& node, Piece& piece) {
  const auto text = yaml::read_text(node, walk.problems);
  if (!text) {
    return;
  }
  std::string plain = *text;
  const std::size_t sign = plain.find("\u00B1");
  if (sign != std::string::npos) {
    plain.replace(sign, std::string_view("\u00B1").size(), "+-");
  }
  const std::size_t doubt = plain.find("+-");
  yaml::Node part = node;
  part.text = plain.substr(0, doubt);
  StatedCoefficient stated;
  const auto value = read_within(part, Dimension::number, kCoefficient, walk.problems);
  if (!value) {
    return;
  }
  stated.value = *value;
  if (doubt != std::string::npos) {
    part.text = plain.substr(doubt + 2);
    const bool relative = part.text.find('%') != std::string::npos;
    const auto u = read_within(part,
                               relative ? Dimension::ratio : Dimension::number,
                               {0.0, 1000.0, "0 % or more"},
                               walk.problems);
    if (!u) {
      return;
    }
    stated.relative_uncertainty = relative || *value == 0.0 ? *u : *u / *value;
    if (!relative && *u > *value && *value > 0.0) {
      auto& d = walk.problems.error(
          node.span, "out-of-range", "the uncertainty is larger than the coefficient itself");
      d.label = "one standard uncertainty";
      d.help =
          fmt::format("did you mean {}?", base::shown(std::string(base::trimmed(*text)) + " %"));
      return;
    }
  }
  piece.coefficient = stated;
  piece.key_spans.emplace("coefficient", node.span);
}

void read_filter_drop(Walk& walk, yaml::MapReader& map, Piece& piece) {
  const yaml::Node* pressure = map.get("pressure");
  const yaml::Node* at = map.get("at");
  const yaml::Node* law = map.get("law");
  if (pressure == nullptr && at == nullptr) {
    if (law != nullptr) {
      walk.problems
          .error(law->span, "missing-key", "`law` belongs to a stated drop, and none is stated")
          .help = "add `pressure: 0.1 inH2O, at: 300 cfm`";
    }
    return;
  }
  Filter& filter = piece.as<Filter>();
  if (!read_drops(walk, map, {pressure, at}, filter.drops)) {
    return;
  }
  if (filter.drops.size() == 1) {
    if (law == nullptr) {
      walk.problems
          .error(piece.span, "missing-key", "one drop does not say how it follows the airflow")
          .help = "add `law: square` or `law: linear`, or a second point";
      return;
    }
    if (const auto choice = yaml::read_choice(*law, kFilterLawWords, "law", walk.problems)) {
      filter.law = *choice;
    }
  } else if (filter.drops.size() > 2) {
    walk.problems.error(
        piece.span, "wrong-count", "a filter's drop is stated at one or two airflows");
  } else if ((filter.drops[1].pressure_pa - filter.drops[0].pressure_pa) *
                 (filter.drops[1].airflow_m3_s - filter.drops[0].airflow_m3_s) <=
             0.0) {
    walk.problems.error(
        piece.span, "contradicting-drops", "the drop of a filter must grow with airflow");
  }
}

void read_maker_drops(Walk& walk,
                      yaml::MapReader& map,
                      Piece& piece,
                      std::vector<StatedDrop>& into) {
  const yaml::Node* pressure = map.get("pressure");
  const yaml::Node* at = map.get("at");
  const yaml::Node* basis = map.get("basis");
  if (pressure == nullptr && at == nullptr) {
    if (basis != nullptr) {
      walk.problems
          .error(basis->span, "missing-key", "`basis` belongs to a drop table, and none is stated")
          .help = "add `pressure: 0.02 0.05 inH2O, at: 50 80 cfm`";
    }
    return;
  }
  if (pressure != nullptr) {
    piece.key_spans.emplace("pressure", pressure->span);
  }
  if (!read_drops(walk, map, {pressure, at}, into)) {
    return;
  }
  if (const char* other = piece.coefficient           ? "coefficient"
                          : piece.equivalent_length_m ? "equivalent_length"
                                                      : nullptr) {
    walk.problems
        .error(pressure->span,
               "two-losses",
               fmt::format("this piece states both a drop table and `{}`", other))
        .help = "keep one of them";
    return;
  }
  std::ranges::sort(into, {}, &StatedDrop::airflow_m3_s);
  for (std::size_t i = 0; i < into.size(); ++i) {
    const bool rises = i == 0 ? into[0].pressure_pa > 0.0
                              : into[i].pressure_pa >= into[i - 1].pressure_pa &&
                                    into[i].airflow_m3_s > into[i - 1].airflow_m3_s;
    if (!rises) {
      walk.problems.error(pressure->span,
                          "contradicting-drops",
                          "a drop table begins above zero and never falls with airflow");
      return;
    }
  }
  // In a duct that keeps its section static and total drop are one.
  const bool is_cap = piece.kind == PieceKind::cap;
  if (basis == nullptr) {
    if (is_cap) {
      auto& d = walk.problems.error(
          piece.span, "missing-key", "a cap's drop table does not say which pressure drops");
      d.help =
          "add `basis: static` (in the duct against the open air, as most manufacturers test) or "
          "`basis: total`";
    }
    return;
  }
  const auto choice = yaml::read_choice(*basis, {"static", "total"}, "basis", walk.problems);
  if (choice && *choice == 0 && is_cap) {
    for (StatedDrop& drop : into) {
      const double velocity_m_s = drop.airflow_m3_s / walk.section.area_m2();
      drop.pressure_pa += units::kStandardDensityKgM3 / 2.0 * velocity_m_s * velocity_m_s;
    }
  }
}

void read_loss(Walk& walk, Piece& piece, const yaml::Node& value) {
  if (value.kind == yaml::NodeKind::scalar) {
    read_coefficient(walk, value, piece);
    return;
  }
  yaml::MapReader map(value, "loss", walk.problems);
  const yaml::Node* coefficient = map.get("coefficient");
  const yaml::Node* pressure = map.get("pressure");
  const yaml::Node* at = map.get("at");
  if (coefficient != nullptr) {
    read_coefficient(walk, *coefficient, piece);
    if (pressure != nullptr) {
      walk.problems
          .error(pressure->span,
                 "two-losses",
                 "this loss states both a `coefficient` and a `pressure`")
          .help = "keep one, or write two pieces";
    }
  } else if (pressure == nullptr && at == nullptr) {
    if (!map.misspells({"coefficient", "pressure", "at"})) {
      walk.problems
          .error(piece.span, "missing-key", "this loss states neither `coefficient` nor `pressure`")
          .help =
          "such as `- loss: {coefficient: 0.35}` or `- loss: {pressure: 0.05 inH2O, at: 400 cfm}`";
    }
  } else if (read_drops(walk, map, {pressure, at}, piece.as<Loss>().drops) &&
             piece.as<Loss>().drops.size() != 1) {
    walk.problems.error(at->span, "wrong-count", "a loss states one pressure at one airflow");
  }
  if (const auto error = map.text("error"); error && piece.coefficient) {
    piece.coefficient->error_name = *error;
  }
  map.allow("at");
  read_note(map, piece);
  map.finish();
}

}  // namespace ductledger::layout
