#include "solve/ledger.hpp"

#include <fmt/format.h>

#include <cmath>

#include "layout/piece_number.hpp"

namespace ductledger::solve {
namespace {

class Writer {
 public:
  Writer(const layout::Layout& layout, const CompiledRun& run, const LedgerAt& at)
      : layout_(layout), run_(run), at_(at), total_pa_(at.ends.start_pa) {
    ledger_.airflow_m3_s = at.airflow_m3_s;
  }

  Ledger write() {
    bool collar_read = false;
    for (std::size_t i = 0; i < run_.pieces.size(); ++i) {
      const CompiledPiece& entry = run_.pieces[i];
      if (i == run_.fan_before && layout_.fan) {
        add_fan();
      }
      if (!collar_read && !is_of_the_hood(entry)) {
        read_collar();
        collar_read = true;
      }
      add_piece(entry, number_of(entry));
    }
    add_ends();
    for (LedgerRow& row : ledger_.rows) {
      const bool of_piece = row.number >= 0;
      row.share = of_piece && ledger_.loss_pa > 0.0 ? row.loss_pa / ledger_.loss_pa : 0.0;
    }
    return std::move(ledger_);
  }

 private:
  /// The change at the collar stands before the first piece, the open end after the last.
  [[nodiscard]] int number_of(const CompiledPiece& entry) const {
    if (entry.piece) {
      return layout::piece_number(*entry.piece);
    }
    return entry.word == "change at the collar" ? 0
                                                : layout::piece_number(layout_.run.pieces.size());
  }

  [[nodiscard]] double dynamic_pa(const duct::Section& section) const {
    const double v = at_.airflow_m3_s / section.area_m2();
    return run_.air.density_kg_m3 / 2.0 * v * v;
  }

  /// With the fan elsewhere, the entry and filters that lead the run stand before the collar.
  [[nodiscard]] bool is_of_the_hood(const CompiledPiece& entry) const {
    if (run_.fan_at_collar || !entry.piece) {
      return false;
    }
    const layout::PieceKind kind = layout_.run.pieces[*entry.piece].kind;
    return kind == layout::PieceKind::entry || kind == layout::PieceKind::filter ||
           kind == layout::PieceKind::screen;
  }

  /// The gauge stands in the collar's section, behind a fan at the collar, and reads against the
  /// room.
  void read_collar() {
    ledger_.collar_static_pressure_pa = total_pa_ - dynamic_pa(run_.collar) - at_.ends.start_pa;
  }

  void add_fan() {
    LedgerRow row;
    row.number = -1;
    row.piece = "fan";
    row.sections = duct::SectionPair{run_.fan_outlet, run_.fan_outlet};
    // Blowers with an outlet each share the airflow.
    const double q = at_.airflow_m3_s;
    row.velocity_pressure_pa = run_.outlet_dynamic_pa_s2_m6 * q * q;
    row.velocity_m_s = std::sqrt(2.0 * row.velocity_pressure_pa / run_.air.density_kg_m3);
    row.loss_pa = -at_.fan_total_pa;
    if (layout_.run.fan_piece) {
      const layout::Piece& piece = layout_.run.pieces[*layout_.run.fan_piece];
      row.piece_index = static_cast<std::ptrdiff_t>(*layout_.run.fan_piece);
      row.line = piece.span.line;
      row.column = piece.span.column;
    } else {
      row.line = layout_.fan->span.line;
      row.column = layout_.fan->span.column;
    }
    push(std::move(row), run_.outlet_dynamic_pa_s2_m6 * q * q);
  }

  void set_velocity(LedgerRow& row, const duct::Section& section) const {
    row.velocity_m_s = at_.airflow_m3_s / section.area_m2();
    row.velocity_pressure_pa = dynamic_pa(section);
    row.equivalent_diameter_m = section.equivalent_diameter_m();
  }

  void add_piece(const CompiledPiece& entry, int number) {
    LedgerRow row;
    row.number = number;
    row.piece = entry.word;
    row.length_m = entry.length_m;
    row.sections = duct::SectionPair{entry.upstream, entry.downstream};
    row.loss_pa = run_.loss.of(entry.loss, at_.airflow_m3_s);
    bool downstream = false;
    if (entry.stated) {
      downstream = entry.stated->reference == fitting::Reference::downstream;
      row.entry = "stated";
    } else if (entry.fitting && entry.word != layout::word(layout::PieceKind::flex)) {
      // A flexible duct's dips are charged as bends; its row stays a flexible duct.
      downstream = entry.fitting->reference == fitting::Reference::downstream;
      row.entry = entry.fitting->entry;
      row.source = entry.fitting->source;
      row.status = fitting::word(entry.fitting->status);
      row.type_defaulted = entry.fitting->type_defaulted;
      row.type = entry.fitting->type;
    }
    set_velocity(row, downstream ? entry.downstream : entry.upstream);
    if (entry.loss.friction_group >= 0) {
      const FrictionGroup& group =
          run_.loss.groups()[static_cast<std::size_t>(entry.loss.friction_group)];
      row.reynolds = group.reynolds_s_m3 * at_.airflow_m3_s;
      if (row.reynolds > 0.0) {
        row.friction_factor = duct::friction_factor(
            {.reynolds = row.reynolds, .relative_roughness = group.relative_roughness});
      }
    }
    row.coefficient = row.velocity_pressure_pa > 0.0 ? row.loss_pa / row.velocity_pressure_pa : 0.0;
    row.interaction = entry.interaction;
    row.close = entry.close;
    if (entry.piece) {
      const layout::Piece& piece = layout_.run.pieces[*entry.piece];
      if (row.type.empty()) {
        row.type = piece.known_type();
      }
      if (row.entry.empty() && (!piece.drops().empty() || piece.equivalent_length_m)) {
        row.entry = "stated";
      }
      row.line = piece.span.line;
      row.column = piece.span.column;
      row.piece_index = static_cast<std::ptrdiff_t>(*entry.piece);
    } else if (number == 0) {
      row.line = layout_.run.section_span.line;
      row.column = layout_.run.section_span.column;
    } else if (entry.word == "open end") {
      row.source = "textbook";
      row.status = "common practice";
    }
    ledger_.loss_pa += row.loss_pa;
    const bool leaves = entry.word == "open end" || row.piece == "cap";
    push(std::move(row), leaves ? 0.0 : dynamic_pa(entry.downstream));
  }

  void add_ends() {
    if (run_.air.stack_pa != 0.0) {
      LedgerRow row;
      row.number = -1;
      row.piece = "stack";
      row.loss_pa = -run_.air.stack_pa;
      push(std::move(row), 0.0);
    }
    // What the air leaves against: the total ends here and nothing is charged.
    const auto add_outside = [&](const char* word, double pressure_pa) {
      if (pressure_pa != 0.0) {
        LedgerRow row;
        row.number = -1;
        row.piece = word;
        push(std::move(row), 0.0);
      }
    };
    add_outside("wind", run_.air.wind_pa);
    add_outside("back pressure", run_.air.back_pressure_pa);
  }

  void push(LedgerRow row, double velocity_pressure_after_pa) {
    total_pa_ -= row.loss_pa;
    row.total_pressure_after_pa = total_pa_;
    row.static_pressure_after_pa = total_pa_ - velocity_pressure_after_pa;
    ledger_.rows.push_back(std::move(row));
  }

  const layout::Layout& layout_;
  const CompiledRun& run_;
  LedgerAt at_;
  double total_pa_;
  Ledger ledger_;
};

}  // namespace

Ledger ledger(const layout::Layout& layout, const CompiledRun& run, const LedgerAt& at) {
  return Writer(layout, run, at).write();
}

std::optional<int> LedgerRow::shown_number() const noexcept {
  if (piece_index >= 0) {
    return layout::piece_number(static_cast<std::size_t>(piece_index));
  }
  return number >= 0 ? std::optional<int>(number) : std::nullopt;
}

const LedgerRow* Ledger::costliest() const noexcept {
  const LedgerRow* most = nullptr;
  for (const LedgerRow& row : rows) {
    if (row.number >= 0 && row.loss_pa > 0.0 && (most == nullptr || row.loss_pa > most->loss_pa)) {
      most = &row;
    }
  }
  return most;
}

}  // namespace ductledger::solve
