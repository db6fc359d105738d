#pragma once

#include <initializer_list>
#include <string>
#include <string_view>
#include <vector>

/// A small writer of SVG: well-formed whatever texts it is given, the same bytes for the same
/// calls.
namespace ductledger::picture {

/// A coordinate in a picture [px]: at most two decimals, no trailing zeros, no minus zero, no
/// locale. @param value finite
[[nodiscard]] std::string svg_number(double value);

/// A text as XML holds it: `&`, `<`, `>`, quotes escaped, what XML cannot hold replaced by U+FFFD,
/// what turns the direction of writing shown as `\u202e`.
[[nodiscard]] std::string xml_escaped(std::string_view text);

/// Width of a text in the sans-serif of a picture, estimated from its characters [px].
[[nodiscard]] double text_width_px(std::string_view text, double font_px);

struct SvgAttribute {
  SvgAttribute(std::string_view key, std::string_view text) : name(key), value(text) {}
  SvgAttribute(std::string_view key, double number_px) : name(key), value(svg_number(number_px)) {}
  std::string name;
  std::string value;
};

/// Where a picture will stand: in a file of its own, with its colours and dark theme inside, or in
/// a page that brings `picture_rules` once and the custom properties named there.
enum class PictureUse { file, page };

struct PictureFrame {
  double width_px = 720.0;
  double height_px = 420.0;
  std::string title;          ///< read by a screen reader
  std::string description{};  ///< one sentence: what the picture shows
  std::string id;             ///< unique in its page; letters, digits, hyphens
  PictureUse use = PictureUse::file;
};

/// One picture. Elements are written in the order of the calls; texts and attributes are escaped.
/// Breaking the nesting is a fault of ours (`LogicError`).
class Svg {
 public:
  explicit Svg(const PictureFrame& frame);

  using Attributes = std::initializer_list<SvgAttribute>;
  Svg& open(std::string_view element, Attributes attributes = {});
  Svg& close();
  /// An element without content.
  Svg& leaf(std::string_view element, Attributes attributes = {});
  /// An element that holds text alone: `text`, `tspan`, `title`.
  Svg& text(std::string_view element, std::string_view content, Attributes attributes = {});
  /// Closes what is open. @return the whole picture, a line end last
  [[nodiscard]] std::string finish();

 private:
  void start(std::string_view element, Attributes attributes);
  void indent();

  std::string out_;
  std::vector<std::string> open_;
};

/// A path of straight lines. @param closed whether it returns to its start
struct SvgPoint {
  double x = 0.0;
  double y = 0.0;
};
enum class PathEnd { open, closed };
[[nodiscard]] std::string svg_path(const std::vector<SvgPoint>& points,
                                   PathEnd end = PathEnd::open);

/// Style rules of every picture for a page, by class, with colours from the custom properties
/// `--ink`, `--quiet`, `--rule`, `--paper`, `--first` and `--second`. Classes: `picture` (the
/// root), `ink`/`quiet`/`first`/`second` with `line` (stroke) or `fill`, `band`, `rule`, `halo`,
/// `dashed`, `dotted`, `dash-dot`, and for texts `label`, `strong`, `small`.
[[nodiscard]] const std::string& picture_rules();
/// The custom properties: light, and dark by preference on a screen. A page may set its own.
[[nodiscard]] const std::string& picture_palette();
/// The same for a page with a switch: `data-theme` of the root element is `light`, `dark` or absent
/// (by preference). Paper is always light.
[[nodiscard]] const std::string& page_palette();

}  // namespace ductledger::picture
