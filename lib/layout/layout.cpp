#include "layout/layout.hpp"

#include "base/expects.hpp"

namespace ductledger::layout {

const char* word(PieceKind kind) noexcept {
  switch (kind) {
    case PieceKind::straight:
      return "straight";
    case PieceKind::flex:
      return "flex";
    case PieceKind::elbow:
      return "elbow";
    case PieceKind::transition:
      return "transition";
    case PieceKind::damper:
      return "damper";
    case PieceKind::cap:
      return "cap";
    case PieceKind::screen:
      return "screen";
    case PieceKind::filter:
      return "filter";
    case PieceKind::entry:
      return "entry";
    case PieceKind::junction:
      return "junction";
    case PieceKind::fan:
      return "fan";
    case PieceKind::loss:
      return "loss";
  }
  return "piece";
}

const char* word(ApplianceKind kind) noexcept {
  switch (kind) {
    case ApplianceKind::range_hood:
      return "range-hood";
    case ApplianceKind::bath_fan:
      return "bath-fan";
    case ApplianceKind::clothes_dryer:
      return "clothes-dryer";
    case ApplianceKind::exhaust:
      return "exhaust";
  }
  return "exhaust";
}

const char* word(MakeupKind kind) noexcept {
  switch (kind) {
    case MakeupKind::none:
      return "none";
    case MakeupKind::passive_opening:
      return "passive-opening";
    case MakeupKind::powered:
      return "powered";
    case MakeupKind::duct:
      return "duct";
  }
  return "none";
}

}  // namespace ductledger::layout
