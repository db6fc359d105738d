#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <span>
#include <utility>

#include "base/expects.hpp"
#include "sheet/rough_in.hpp"
#include "units/constants.hpp"

namespace ductledger::sheet {
namespace {

struct LayerRow {
  Layer layer;
  const char* name;
  int color;  ///< by number: 1 red, 3 green, 5 blue, 7 black or white, 8 gray
};
constexpr std::array kLayers{LayerRow{Layer::duct, "DUCT", 7},
                             LayerRow{Layer::center, "CENTER", 8},
                             LayerRow{Layer::appliance, "APPLIANCE", 5},
                             LayerRow{Layer::building, "BUILDING", 3},
                             LayerRow{Layer::hole, "HOLES", 1},
                             LayerRow{Layer::dimension, "DIMENSIONS", 8},
                             LayerRow{Layer::note, "NOTES", 7}};

const char* name_of(Layer layer) {
  for (const LayerRow& row : kLayers) {
    if (row.layer == layer) {
      return row.name;
    }
  }
  return "0";
}

/// One line of printable ASCII: what else a text holds is a question mark, and a percent sign does
/// not begin a control code.
std::string plain(const std::string& text) {
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto byte = static_cast<unsigned char>(text[i]);
    if (byte >= 0x80U && (byte & 0xC0U) == 0x80U) {
      continue;  // the rest of a character
    }
    if (byte < 0x20U || byte >= 0x7FU) {
      out += '?';
    } else {
      out += text[i];
      out += text[i] == '%' && i + 1 < text.size() && text[i + 1] == '%' ? " " : "";
    }
  }
  return out;
}

class Writer {
 public:
  explicit Writer(double unit_m) : unit_m_(unit_m) {}

  void pair(int code, const std::string& value) { out_ += fmt::format("{:>3}\n{}\n", code, value); }
  void pair(int code, int value) { pair(code, fmt::format("{}", value)); }
  void length(int code, double m) { pair(code, fmt::format("{:.4f}", m / unit_m_)); }
  void point(const Point& p, int x = 10) {
    length(x, p.x);
    length(x + 10, p.y);
    length(x + 20, 0.0);
  }
  void begin(const char* entity, Layer layer, Stroke stroke = Stroke::solid) {
    pair(0, entity);
    pair(8, name_of(layer));
    if (stroke != Stroke::solid) {
      pair(6, stroke == Stroke::dashed ? "DASHED" : "CHAIN");
    }
  }
  [[nodiscard]] std::string take() { return std::move(out_); }

 private:
  std::string out_;
  double unit_m_;
};

void tables(Writer& to, const Drawing& drawing) {
  const auto type = [&](const char* name, const char* shown, const std::vector<double>& dashes_mm) {
    to.pair(0, "LTYPE");
    to.pair(2, name);
    to.pair(70, 0);
    to.pair(3, shown);
    to.pair(72, 65);
    to.pair(73, static_cast<int>(dashes_mm.size()));
    double whole = 0.0;
    for (const double dash : dashes_mm) {
      whole += dash < 0.0 ? -dash : dash;
    }
    to.length(40, drawing.paper_m(whole));
    for (const double dash : dashes_mm) {
      to.length(49, drawing.paper_m(dash));
    }
  };
  to.pair(0, "SECTION");
  to.pair(2, "TABLES");
  to.pair(0, "TABLE");
  to.pair(2, "LTYPE");
  to.pair(70, 3);
  type("CONTINUOUS", "solid", {});
  type("DASHED", "dashed", {2.0, -1.0});
  type("CHAIN", "long and short", {5.0, -1.0, 1.0, -1.0});
  to.pair(0, "ENDTAB");
  to.pair(0, "TABLE");
  to.pair(2, "LAYER");
  to.pair(70, static_cast<int>(kLayers.size()) + 1);
  const auto layer = [&](const char* name, int color) {
    to.pair(0, "LAYER");
    to.pair(2, name);
    to.pair(70, 0);
    to.pair(62, color);
    to.pair(6, "CONTINUOUS");
  };
  layer("0", 7);
  for (const LayerRow& row : kLayers) {
    layer(row.name, row.color);
  }
  to.pair(0, "ENDTAB");
  to.pair(0, "ENDSEC");
}

void text(Writer& to, const Drawing& drawing, const Text& one) {
  to.begin("TEXT", one.layer);
  to.point(one.at);
  to.length(40, drawing.paper_m(one.height_mm));
  to.pair(1, plain(one.text));
  if (one.anchor != Anchor::start) {
    to.pair(72, one.anchor == Anchor::middle ? 1 : 2);
    to.point(one.at, 11);
  }
}

void header(Writer& to, const Box& box) {
  to.pair(0, "SECTION");
  to.pair(2, "HEADER");
  to.pair(9, "$ACADVER");
  to.pair(1, "AC1009");
  to.pair(9, "$EXTMIN");
  to.point(box.low);
  to.pair(9, "$EXTMAX");
  to.point(box.high);
  to.pair(0, "ENDSEC");
}

void outline(Writer& to, const Line& line) {
  const std::size_t count = line.points.size() - (line.closed ? 0 : 1);
  for (std::size_t i = 0; i < count; ++i) {
    to.begin("LINE", line.layer, line.stroke);
    to.point(line.points[i]);
    to.point(line.points[(i + 1) % line.points.size()], 11);
  }
}

void circle(Writer& to, const Circle& one) {
  to.begin("CIRCLE", one.layer);
  to.point(one.center);
  to.length(40, one.radius_m);
}

void balloon(Writer& to, const Drawing& drawing, const Balloon& one) {
  circle(to,
         {.layer = Layer::note, .center = one.center, .radius_m = drawing.paper_m(one.radius_mm)});
  text(to,
       drawing,
       {.layer = Layer::note,
        .at = {one.center.x, one.center.y - drawing.paper_m(1.0)},
        .height_mm = 2.0,
        .text = one.text,
        .anchor = Anchor::middle});
}

/// Below the drawing: what it shows, of which file, and in what unit.
void foot(Writer& to, const RoughIn& sheet, const Drawing& drawing, const Point& corner) {
  const bool inches = sheet.system == units::System::ip;
  std::vector<std::string> notes{sheet.title,
                                 sheet.file + ", sha256 " + sheet.sha256,
                                 std::string(inches ? "unit: inch" : "unit: millimeter") +
                                     "; texts for " + sheet.whole.scale_text};
  if (!sheet.part.empty()) {
    notes.insert(notes.begin() + 1,
                 fmt::format("{}, sheet {} of {}", sheet.part, sheet.number, sheet.count));
  }
  const double top = corner.y - drawing.paper_m(6.0);
  for (std::size_t i = 0; i < notes.size(); ++i) {
    text(to,
         drawing,
         {.layer = Layer::note,
          .at = {corner.x, top - drawing.paper_m(4.5 * static_cast<double>(i))},
          .height_mm = 2.5,
          .text = notes[i]});
  }
}

void entities(Writer& to, const Drawing& drawing) {
  for (const Line& one : drawing.lines) {
    outline(to, one);
  }
  for (const Circle& one : drawing.circles) {
    circle(to, one);
  }
  for (const Balloon& one : drawing.balloons) {
    balloon(to, drawing, one);
  }
  for (const Text& one : drawing.texts) {
    text(to, drawing, one);
  }
}

/// From the left to the right, their upper edges level; the first stays where it is.
std::vector<Drawing> beside_each_other(std::span<const RoughIn> sheets) {
  std::vector<Drawing> all;
  for (const RoughIn& sheet : sheets) {
    Drawing drawing = sheet.whole.drawing;
    if (!all.empty()) {
      const Box own = extent(drawing);
      const Box before = extent(all.back());
      const double gap = std::max(drawing.paper_m(20.0), all.back().paper_m(20.0));
      move(drawing, {before.high.x + gap - own.low.x, before.high.y - own.high.y});
    }
    all.push_back(std::move(drawing));
  }
  return all;
}

}  // namespace

std::string rough_in_dxf(std::span<const RoughIn> sheets) {
  DUCTLEDGER_EXPECTS(!sheets.empty());
  const std::vector<Drawing> drawings = beside_each_other(sheets);
  Box box = extent(drawings.front());
  for (const Drawing& drawing : drawings) {
    const Box own = extent(drawing);
    box = {{std::min(box.low.x, own.low.x), std::min(box.low.y, own.low.y)},
           {std::max(box.high.x, own.high.x), std::max(box.high.y, own.high.y)}};
  }
  const bool inches = sheets.front().system == units::System::ip;
  Writer to(inches ? units::kMetresPerInch : 0.001);
  to.pair(999, inches ? "unit: inch, at full size" : "unit: millimeter, at full size");
  header(to, box);
  tables(to, drawings.front());
  to.pair(0, "SECTION");
  to.pair(2, "ENTITIES");
  for (std::size_t i = 0; i < sheets.size(); ++i) {
    entities(to, drawings[i]);
    foot(to, sheets[i], drawings[i], extent(drawings[i]).low);
  }
  to.pair(0, "ENDSEC");
  to.pair(0, "EOF");
  return to.take();
}

}  // namespace ductledger::sheet
