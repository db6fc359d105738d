#pragma once

#include <string>
#include <vector>

#include "picture/placement.hpp"
#include "study/check.hpp"
#include "units/message.hpp"

/// The run as a single line: isometric, plan or elevation where its headings are known, else a
/// schematic strip.
namespace ductledger::picture {

enum class RouteView { isometric, plan, elevation };

struct RouteOptions {
  units::System system = units::System::ip;
  RouteView view = RouteView::isometric;
  double width_px = 720.0;  ///< below 520: the narrow variant, numbers without words
  PictureUse use = PictureUse::file;
  std::string id = "route";
};

struct RoutePicture {
  std::string svg;
  std::string title;
  std::string reading;  ///< one sentence: how the run goes
  bool schematic = false;
  bool to_scale = false;
  /// What a test asks: no label may meet a line, another label or another label's leader.
  std::vector<LabelBox> labels;
  std::vector<LabelSegment> leaders;  ///< one for each label; in a strip none
  std::vector<LabelSegment> lines;
};

/// Draws a result's run. Pieces carry their numbers of the ledger; the costliest is emphasised.
[[nodiscard]] RoutePicture route_picture(const study::CheckResult& result,
                                         const RouteOptions& options = {});

}  // namespace ductledger::picture
