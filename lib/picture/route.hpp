#pragma once

#include <string>
#include <vector>

#include "picture/placement.hpp"
#include "study/check.hpp"
#include "units/message.hpp"

/// The run as a single line: in three axes, plan or elevation where its headings are known, else a
/// schematic strip.
namespace ductledger::picture {

/// A run of more pieces is not drawn: the picture says so.
inline constexpr std::size_t kMostPiecesDrawn = 300;

enum class RouteView { isometric, plan, elevation };

struct RouteOptions {
  units::System system = units::System::ip;
  RouteView view = RouteView::isometric;
  double width_px = 720.0;  ///< below 520: the narrow variant, names in a key below
  PictureUse use = PictureUse::file;
  std::string id = "route";
};

/// A heading of the run and how it is drawn.
struct DrawnHeading {
  layout::Direction heading{};
  SvgPoint way;          ///< on the paper, unit length; zero where it is seen end-on
  bool hatched = false;  ///< the plane of its offset is shown
};

struct RoutePicture {
  std::string svg;
  std::string title;
  std::string reading;  ///< one sentence: how the run goes
  bool schematic = false;
  bool to_scale = false;
  /// What a test asks: no label may meet a line, a sign, another label or another label's leader,
  /// no leader that is drawn a line, a sign or another leader, and a leader ends nearest to the
  /// piece that its label speaks of.
  std::vector<LabelBox> labels;
  std::vector<int> label_owners;        ///< index of the piece, -1: the appliance
  std::vector<std::string> unlabelled;  ///< marks left out for want of room; a note tells them
  std::vector<LabelSegment> leaders;    ///< one for each label; in a strip none
  std::vector<LabelSegment> lines;      ///< the run as drawn, each with its piece
  std::vector<LabelSymbol> symbols;     ///< what signs cover; in a strip none
  std::vector<SvgPoint> gaps;           ///< where one duct passes over another
  std::vector<DrawnHeading> headings;   ///< of each piece that does not turn; in a strip none
  double width_px = 0.0;
  double height_px = 0.0;
};

/// Draws a result's run. Pieces carry their numbers of the ledger; the costliest is emphasised.
[[nodiscard]] RoutePicture route_picture(const study::CheckResult& result,
                                         const RouteOptions& options = {});

/// The makeup air's duct beside it, a strip from outdoors to the room; an empty picture where the
/// house has none.
[[nodiscard]] RoutePicture makeup_picture(const study::CheckResult& result,
                                          const RouteOptions& options = {});

/// The smallest angle [rad] by which directions that differ are drawn apart.
inline constexpr double kTellApartRad = 0.16;

}  // namespace ductledger::picture
