#pragma once

#include <string>

#include "picture/svg.hpp"
#include "study/branches.hpp"
#include "units/message.hpp"

/// A network as a tree: each inlet on a line of its own, the outside at the right.
namespace ductledger::picture {

struct TreeOptions {
  units::System system = units::System::ip;
  double width_px = 720.0;  ///< below 520: the narrow variant
  PictureUse use = PictureUse::file;
  std::string id = "tree";
};

struct TreePicture {
  std::string svg;  ///< empty: nothing to draw, or more inlets than a sheet shows
  std::string title;
  std::string reading;  ///< one sentence that says what it shows, or why it is not drawn
};

/// The speed shown. Lines are as wide as their share of the air; the controlling path is drawn in
/// the accent; air that comes back is dashed, a shut leg dotted. Signs: entries' arrows left out,
/// fans, dampers, filters and the cap at the place in the order of their leg.
[[nodiscard]] TreePicture tree_picture(const study::NetworkResult& result,
                                       const TreeOptions& options);

}  // namespace ductledger::picture
