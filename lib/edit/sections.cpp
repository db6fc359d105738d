#include <fmt/format.h>

#include <optional>
#include <utility>
#include <variant>

#include "edit/draft_internal.hpp"
#include "layout/catalogue_query.hpp"

namespace ductledger::edit {
namespace {

using layout::Piece;
using layout::PieceKind;
using yaml::Node;

/// The section of a leg, the part of a run before, between or behind its junctions.
using LegMap = std::function<duct::Section(std::size_t leg, const duct::Section&)>;

/// Walks a run and writes every section anew.
class Resizer {
 public:
  /// @param branch whose run; nothing: the layout's
  Resizer(const layout::Layout& layout,
          const fitting::Catalogue& catalogue,
          Draft& draft,
          std::optional<std::size_t> branch)
      : layout_(layout),
        catalogue_(catalogue),
        draft_(draft),
        run_(branch ? layout.branches[*branch].run : layout.run),
        is_branch_(branch.has_value()) {
    draft_.mean(branch);
  }

  /// From the collar on, which is the run's first section where none is stated.
  void from_collar(const LegMap& to, CollarJoint joint) {
    collar_ = layout_.appliance.collar.value_or(run_.first_section);
    walk(to, joint);
  }
  /// From the run's own inlet on, which is made as the first leg is. A stated collar stays.
  void from_inlet(const LegMap& to) {
    if (!is_branch_ && layout_.appliance.collar) {
      from_collar(to, CollarJoint::gradual);
      return;
    }
    collar_ = to(0, run_.first_section);
    Draft::set(draft_.run(), "section", section_value(collar_));
    walk(to, CollarJoint::gradual);
  }

 private:
  void walk(const LegMap& to, CollarJoint joint) {
    const std::vector<Piece>& pieces = run_.pieces;
    std::size_t leg = 0;
    current_ = collar_;
    std::optional<duct::Section>
        stated;  // `run.section`, where the collar changes into it abruptly
    for (std::size_t i = 0; i < pieces.size(); ++i) {
      const Piece& piece = pieces[i];
      if (piece.kind == PieceKind::transition) {
        resize_transition(i, to(leg, piece.downstream));
        continue;
      }
      const duct::Section wanted = to(leg, piece.upstream);
      if (wanted != current_) {
        if (i == 0 && joint == CollarJoint::abrupt) {
          stated = wanted;
        } else {
          items_.push_back(draft_.piece("transition", section_value(wanted), piece.span));
        }
        current_ = wanted;
      }
      if (piece.kind == PieceKind::junction) {
        current_ = to(++leg, piece.downstream);
        Draft::set(draft_.keys(i), "section", section_value(current_));
      } else if (wanted != piece.upstream) {
        resize(i, wanted);
      }
      items_.push_back(draft_.pieces()[i]);
    }
    if (!is_branch_) {
      settle_collar(stated);
    }
    draft_.pieces() = std::move(items_);
  }

  void resize_transition(std::size_t index, const duct::Section& next) {
    const Piece& piece = run_.pieces[index];
    if (next == current_) {
      return;
    }
    if (next != piece.downstream || current_ != piece.upstream) {
      Node& keys = draft_.keys(index);
      if (next != piece.downstream) {
        Draft::set(keys, "to", section_value(next));
      }
      if (piece.loss_is_stated()) {
        draft_.remark({fmt::format(
            "the loss stated for the transition on line {} is of other sections: left out",
            piece.span.line)});
        for (const char* key : {"coefficient", "reference", "error", "equivalent_length"}) {
          Draft::erase(keys, key);
        }
      }
    }
    current_ = next;
    items_.push_back(draft_.pieces()[index]);
  }

  void resize(std::size_t index, const duct::Section& section) {
    const Piece& piece = run_.pieces[index];
    if (piece.kind == PieceKind::fan) {
      draft_.remark(
          {fmt::format("the fan on line {} is taken with connections of the new size: its curve "
                       "may be that of another",
                       piece.span.line)});
    }
    if (piece.kind == PieceKind::loss && piece.coefficient) {
      const double widening = section.area_m2() / piece.upstream.area_m2();
      std::string text = fmt::format("{}", piece.coefficient->value * widening * widening);
      if (piece.coefficient->relative_uncertainty) {
        text += fmt::format(" +- {} %", *piece.coefficient->relative_uncertainty * 100.0);
      }
      Draft::set(draft_.keys(index), "coefficient", std::move(text));
    }
    const std::optional<fitting::Kind> kind = layout::catalogue_kind(piece.kind);
    if (!kind || piece.loss_is_stated() || !piece.drops().empty()) {
      return;
    }
    Piece resized = piece;
    resized.upstream = section;
    resized.downstream = section;
    if (!piece.states("type")) {
      resized.type = layout::default_type(resized, catalogue_);
    }
    auto* elbow = std::get_if<layout::Elbow>(&resized.detail);
    if (elbow != nullptr &&
        (section.shape() == duct::Shape::round || section.shape() != piece.upstream.shape())) {
      elbow->in_plane_m = section.width_m();
      elbow->across_m = section.height_m();
    }
    if (!fits(resized)) {
      settle_type(index, *kind, resized);
    }
  }

  [[nodiscard]] bool fits(const Piece& piece) const {
    return std::holds_alternative<fitting::Coefficient>(
        catalogue_.coefficient(layout::catalogue_query(piece)));
  }

  void settle_type(std::size_t index, fitting::Kind kind, Piece piece) {
    const std::string before = piece.type;
    const fitting::Traits was = layout::traits_of(piece, catalogue_);
    if (was.is(fitting::Make::smooth) || was.is(fitting::Make::gored) ||
        was.is(fitting::Make::flexible)) {  // a bend stays a bend
      piece.type = catalogue_.type_with(kind, fitting::made(fitting::Make::smooth));
    } else {
      piece.type = layout::default_type(piece, catalogue_);
    }
    draft_.forget_fitting(index);
    Node& keys = draft_.keys(index);
    if (piece.type.empty()) {
      Draft::erase(keys, "type");
    } else {
      Draft::set(keys, "type", piece.type);
    }
    const auto quoted = [](const std::string& type) {
      return units::Message::Value{.texts = {type, type}};
    };
    draft_.remark({fmt::format("the {} on line {} is taken as {{}}: {{}} is not known for {{}}",
                               layout::word(piece.kind),
                               piece.span.line),
                   {quoted(piece.type.empty() ? "the usual type" : piece.type),
                    quoted(before.empty() ? "its type" : before),
                    duct::message_value(piece.upstream)}});
  }

  /// The collar keeps its size; where none is stated, the run's first section is it.
  void settle_collar(const std::optional<duct::Section>& stated) {
    const bool collar_stated = layout_.appliance.collar.has_value();
    if (stated) {
      if (!collar_stated) {
        Draft::set(draft_.mapping(draft_.root(), "appliance"), "collar", section_value(collar_));
      }
      Draft::set(draft_.run(), "section", section_value(*stated));
    } else if (collar_stated && layout_.run.stated_section &&
               *layout_.run.stated_section != collar_) {
      Draft::erase(draft_.run(), "section");
    }
  }

  const layout::Layout& layout_;
  const fitting::Catalogue& catalogue_;
  Draft& draft_;
  const layout::Run& run_;
  bool is_branch_;
  duct::Section collar_ = duct::Section::round(units::inches(6.0));
  duct::Section current_ = collar_;
  std::vector<Node> items_;
};

}  // namespace

Edited with_sections(const layout::Layout& layout,
                     const fitting::Catalogue& catalogue,
                     const SectionChange& change) {
  if (layout.tree == nullptr) {
    return refusal(layout, {}, "this layout was not read from a text, so it cannot be edited");
  }
  Draft draft(layout, catalogue);
  Resizer(layout, catalogue, draft, std::nullopt)
      .from_collar([&](std::size_t, const duct::Section& of) { return change.to(of); },
                   change.joint);
  return std::move(draft).read();
}

Edited with_leg_sections(const layout::Layout& layout,
                         const fitting::Catalogue& catalogue,
                         const std::vector<RunSections>& runs) {
  if (layout.tree == nullptr) {
    return refusal(layout, {}, "this layout was not read from a text, so it cannot be edited");
  }
  Draft draft(layout, catalogue);
  for (const RunSections& one : runs) {
    Resizer(layout, catalogue, draft, one.branch)
        .from_inlet([&](std::size_t leg, const duct::Section&) { return one.legs.at(leg); });
  }
  return std::move(draft).read();
}

Edited with_section(const layout::Layout& layout,
                    const fitting::Catalogue& catalogue,
                    const WholeRun& run) {
  return with_sections(
      layout,
      catalogue,
      {.to = [&](const duct::Section&) { return run.section; }, .joint = run.joint});
}

}  // namespace ductledger::edit
