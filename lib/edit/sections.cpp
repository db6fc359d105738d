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

/// Walks the run and writes every section anew.
class Resizer {
 public:
  Resizer(const layout::Layout& layout,
          const fitting::Catalogue& catalogue,
          const SectionChange& change)
      : layout_(layout),
        catalogue_(catalogue),
        change_(change),
        draft_(layout, catalogue),
        collar_(layout.appliance.collar.value_or(layout.run.first_section)),
        current_(collar_) {}

  Edited edited() && {
    const std::vector<Piece>& pieces = layout_.run.pieces;
    std::optional<duct::Section>
        stated;  // `run.section`, where the collar changes into it abruptly
    for (std::size_t i = 0; i < pieces.size(); ++i) {
      const Piece& piece = pieces[i];
      if (piece.kind == PieceKind::transition) {
        resize_transition(i);
        continue;
      }
      const duct::Section wanted = change_.to(piece.upstream);
      if (wanted != current_) {
        if (i == 0 && change_.joint == CollarJoint::abrupt) {
          stated = wanted;
        } else {
          items_.push_back(draft_.piece("transition", section_value(wanted), piece.span));
        }
        current_ = wanted;
      }
      if (wanted != piece.upstream) {
        resize(i, wanted);
      }
      items_.push_back(draft_.pieces()[i]);
    }
    settle_collar(stated);
    draft_.pieces() = std::move(items_);
    return std::move(draft_).read();
  }

 private:
  void resize_transition(std::size_t index) {
    const Piece& piece = layout_.run.pieces[index];
    const duct::Section next = change_.to(piece.downstream);
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
    const Piece& piece = layout_.run.pieces[index];
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
  const SectionChange& change_;
  Draft draft_;
  duct::Section collar_;
  duct::Section current_;
  std::vector<Node> items_;
};

}  // namespace

Edited with_sections(const layout::Layout& layout,
                     const fitting::Catalogue& catalogue,
                     const SectionChange& change) {
  if (layout.tree == nullptr) {
    return refusal(layout, {}, "this layout was not read from a text, so it cannot be edited");
  }
  return Resizer(layout, catalogue, change).edited();
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
