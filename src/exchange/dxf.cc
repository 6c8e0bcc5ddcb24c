// SPDX-License-Identifier: Apache-2.0
#include "exchange/dxf.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>

namespace garthwright::exchange {
namespace {

using marking::Spot;

constexpr double kDegrees = 180 / 3.14159265358979323846;

struct Layer {
  std::string_view name, linetype;
};
constexpr std::array<Layer, 8> kLayers{{{"0", "CONTINUOUS"},
                                        {"TEMPLATE", "CONTINUOUS"},
                                        {"CUT", "CONTINUOUS"},
                                        {"EDGES", "CONTINUOUS"},
                                        {"REFERENCE", "CENTER"},
                                        {"SHOULDERS", "DASHED"},
                                        {"EASIER", "DASHED"},
                                        {"NOTES", "CONTINUOUS"}}};

/// Text in the form that readers of this release take: ASCII, others as \U+XXXX.
std::string ascii(std::string_view utf8) {
  std::string out;
  for (std::size_t i = 0; i < utf8.size();) {
    const auto byte = static_cast<unsigned char>(utf8[i]);
    const int more = byte >= 0xF0 ? 3 : byte >= 0xE0 ? 2 : byte >= 0xC0 ? 1 : 0;
    if (more == 0) {
      out += byte >= 0x20 && byte < 0x7F ? static_cast<char>(byte) : '?';
      ++i;
      continue;
    }
    unsigned code = byte & (0x3FU >> more);
    for (int k = 1; k <= more && i + static_cast<std::size_t>(k) < utf8.size(); ++k)
      code = code << 6 | (static_cast<unsigned char>(utf8[i + static_cast<std::size_t>(k)]) & 0x3FU);
    out += code <= 0xFFFF ? fmt::format("\\U+{:04X}", code) : "?";
    i += static_cast<std::size_t>(more) + 1;
  }
  return out;
}

/// Group codes and values, a line each; hands out the handles that every object of this release has.
class Writer {
 public:
  std::string out;

  void text(int code, std::string_view value) { out += fmt::format("{}\n{}\n", code, value); }
  void whole(int code, int value) { out += fmt::format("{}\n{}\n", code, value); }
  void number(int code, double value) {
    const double rounded = std::round(value * 1e7) / 1e7;
    out += fmt::format("{}\n{:.7f}\n", code, rounded == 0 ? 0.0 : rounded);
  }
  void point(int code, Spot p) {
    number(code, p.x);
    number(code + 10, p.y);
    number(code + 20, 0);
  }
  std::string handle() { return fmt::format("{:X}", next_++); }
  std::string next_handle() const { return fmt::format("{:X}", next_); }

  void section(std::string_view name) {
    text(0, "SECTION");
    text(2, name);
  }
  void end_section() { text(0, "ENDSEC"); }

 private:
  int next_ = 0x20;
};

// Fixed handles of what others point to.
constexpr std::string_view kModelRecord = "10", kPaperRecord = "11", kRootDictionary = "12", kGroups = "13";

void table(Writer& w, std::string_view name, const auto& entries) {
  const std::string own = w.handle();
  w.text(0, "TABLE");
  w.text(2, name);
  w.text(5, own);
  w.text(330, "0");
  w.text(100, "AcDbSymbolTable");
  Writer inside = w;
  inside.out.clear();
  const int count = entries(inside, own);
  w.whole(70, count);
  if (name == "DIMSTYLE") w.text(100, "AcDbDimStyleTable");
  const std::string body = std::move(inside.out);
  inside.out = std::move(w.out);
  w = std::move(inside);
  w.out += body;
  w.text(0, "ENDTAB");
}

void record(Writer& w, std::string_view type, std::string_view handle, std::string_view owner, std::string_view kind,
            std::string_view name, int code = 5) {
  w.text(0, type);
  w.text(code, handle);
  w.text(330, owner);
  w.text(100, "AcDbSymbolTableRecord");
  w.text(100, kind);
  w.text(2, name);
}

void linetype(Writer& w, const std::string& owner, std::string_view name, std::string_view said,
              const std::vector<double>& dashes) {
  record(w, "LTYPE", w.handle(), owner, "AcDbLinetypeTableRecord", name);
  w.whole(70, 0);
  w.text(3, said);
  w.whole(72, 65);
  w.whole(73, static_cast<int>(dashes.size()));
  double total = 0;
  for (const double d : dashes) total += std::abs(d);
  w.number(40, total);
  for (const double d : dashes) {
    w.number(49, d);
    w.whole(74, 0);
  }
}

void write_tables(Writer& w) {
  w.section("TABLES");
  table(w, "VPORT", [](Writer&, const std::string&) { return 0; });
  table(w, "LTYPE", [](Writer& t, const std::string& own) {
    linetype(t, own, "ByBlock", "", {});
    linetype(t, own, "ByLayer", "", {});
    linetype(t, own, "CONTINUOUS", "Solid line", {});
    linetype(t, own, "DASHED", "Dashed __ __ __", {4, -2});
    linetype(t, own, "CENTER", "Centre ____ _ ____", {8, -2, 2, -2});
    return 5;
  });
  table(w, "LAYER", [](Writer& t, const std::string& own) {
    for (const Layer& layer : kLayers) {
      record(t, "LAYER", t.handle(), own, "AcDbLayerTableRecord", layer.name);
      t.whole(70, 0);
      t.whole(62, 7);
      t.text(6, layer.linetype);
    }
    return static_cast<int>(kLayers.size());
  });
  table(w, "STYLE", [](Writer& t, const std::string& own) {
    record(t, "STYLE", t.handle(), own, "AcDbTextStyleTableRecord", "Standard");
    t.whole(70, 0);
    t.number(40, 0);
    t.number(41, 1);
    t.number(50, 0);
    t.whole(71, 0);
    t.number(42, 2.5);
    t.text(3, "txt");
    t.text(4, "");
    return 1;
  });
  table(w, "VIEW", [](Writer&, const std::string&) { return 0; });
  table(w, "UCS", [](Writer&, const std::string&) { return 0; });
  table(w, "APPID", [](Writer& t, const std::string& own) {
    record(t, "APPID", t.handle(), own, "AcDbRegAppTableRecord", "ACAD");
    t.whole(70, 0);
    return 1;
  });
  table(w, "DIMSTYLE", [](Writer& t, const std::string& own) {
    record(t, "DIMSTYLE", t.handle(), own, "AcDbDimStyleTableRecord", "Standard", 105);
    t.whole(70, 0);
    return 1;
  });
  table(w, "BLOCK_RECORD", [](Writer& t, const std::string& own) {
    record(t, "BLOCK_RECORD", kModelRecord, own, "AcDbBlockTableRecord", "*Model_Space");
    record(t, "BLOCK_RECORD", kPaperRecord, own, "AcDbBlockTableRecord", "*Paper_Space");
    return 2;
  });
  w.end_section();
}

void write_block(Writer& w, std::string_view name, std::string_view owner) {
  w.text(0, "BLOCK");
  w.text(5, w.handle());
  w.text(330, owner);
  w.text(100, "AcDbEntity");
  w.text(8, "0");
  w.text(100, "AcDbBlockBegin");
  w.text(2, name);
  w.whole(70, 0);
  w.point(10, {0, 0});
  w.text(3, name);
  w.text(1, "");
  w.text(0, "ENDBLK");
  w.text(5, w.handle());
  w.text(330, owner);
  w.text(100, "AcDbEntity");
  w.text(8, "0");
  w.text(100, "AcDbBlockEnd");
}

void write_objects(Writer& w) {
  w.section("OBJECTS");
  const auto dictionary = [&](std::string_view handle, std::string_view owner) {
    w.text(0, "DICTIONARY");
    w.text(5, handle);
    w.text(330, owner);
    w.text(100, "AcDbDictionary");
    w.whole(281, 1);
  };
  dictionary(kRootDictionary, "0");
  w.text(3, "ACAD_GROUP");
  w.text(350, kGroups);
  dictionary(kGroups, kRootDictionary);
  w.end_section();
}

/// The template's lines, y turned up.
class Drawing {
 public:
  Drawing(Writer& writer, const marking::Template& t) : w_(writer), t_(t) {}

  void line(std::string_view layer, Spot a, Spot b) {
    begin("LINE", layer, "AcDbLine");
    w_.point(10, up(a));
    w_.point(11, up(b));
  }
  /// The template itself as one closed line, for machines that cut it out: curves by chords within 0.01 mm.
  void outline(std::string_view layer, const ShapedEnd& path, double far) {
    std::vector<Spot> corners = marking::points_along(path, 0.01);
    if (corners.back().y > 1e-6) corners.push_back({corners.back().x, 0});
    corners.push_back({far, 0});
    corners.push_back({far, t_.width});
    begin("LWPOLYLINE", layer, "AcDbPolyline");
    w_.whole(90, static_cast<int>(corners.size()));
    w_.whole(70, 1);
    for (const Spot corner : corners) {
      w_.number(10, up(corner).x);
      w_.number(20, up(corner).y);
    }
  }
  void words(Spot at, double size, std::string_view text) {
    begin("TEXT", "NOTES", "AcDbText");
    w_.point(10, up(at));
    w_.number(40, size);
    w_.text(1, ascii(text));
    w_.text(100, "AcDbText");
  }
  void path(std::string_view layer, const ShapedEnd& path) {
    Spot from{path.start_x, path.start_y};
    for (const Stroke& s : path.strokes) {
      const Spot to{s.x, s.y};
      if (s.kind == Stroke::Kind::line) line(layer, from, to);
      if (s.kind == Stroke::Kind::arc) arc(layer, from, s);
      if (s.kind == Stroke::Kind::cubic) spline(layer, from, s);
      from = to;
    }
    if (from.y > 1e-6) line(layer, from, {from.x, 0});  // the nose, down the end of the timber
  }

 private:
  Spot up(Spot p) const { return {p.x, t_.width - p.y}; }

  void begin(std::string_view type, std::string_view layer, std::string_view kind) {
    w_.text(0, type);
    w_.text(5, w_.handle());
    w_.text(330, kModelRecord);
    w_.text(100, "AcDbEntity");
    w_.text(8, layer);
    w_.text(100, kind);
  }
  void arc(std::string_view layer, Spot from, const Stroke& s) {
    const Spot centre = up({s.centre_x, s.centre_y});
    // Turned up, what ran clockwise runs anticlockwise, the only way this format's arcs run.
    Spot a = up(from), b = up({s.x, s.y});
    if (!s.clockwise) std::swap(a, b);
    const auto angle = [&](Spot p) {
      const double degrees = std::atan2(p.y - centre.y, p.x - centre.x) * kDegrees;
      return degrees < 0 ? degrees + 360 : degrees;
    };
    begin("ARC", layer, "AcDbCircle");
    w_.point(10, centre);
    w_.number(40, std::hypot(a.x - centre.x, a.y - centre.y));
    w_.text(100, "AcDbArc");
    w_.number(50, angle(a));
    w_.number(51, angle(b));
  }
  void spline(std::string_view layer, Spot from, const Stroke& s) {
    begin("SPLINE", layer, "AcDbSpline");
    w_.whole(70, 8);
    w_.whole(71, 3);
    w_.whole(72, 8);
    w_.whole(73, 4);
    w_.whole(74, 0);
    for (const int knot : {0, 0, 0, 0, 1, 1, 1, 1}) w_.number(40, knot);
    for (const Spot p : {from, Spot{s.c1x, s.c1y}, Spot{s.c2x, s.c2y}, Spot{s.x, s.y}}) w_.point(10, up(p));
  }

  Writer& w_;
  const marking::Template& t_;
};

void write_entities(Writer& w, const marking::Template& t) {
  constexpr double kPast = 4;
  const double far = (t.shoulders.empty() ? t.reach : std::max(t.reach, t.shoulders.front())) + 62;
  w.section("ENTITIES");
  Drawing d(w, t);
  d.outline("TEMPLATE", t.path, far);
  d.path("CUT", t.path);
  d.line("EDGES", {0, 0}, {far, 0});
  d.line("EDGES", {t.path.start_x, t.width}, {far, t.width});
  d.line("REFERENCE", {0, t.width / 2}, {far, t.width / 2});
  d.line("REFERENCE", {t.reach, -kPast}, {t.reach, t.width + kPast});
  for (const double at : t.shoulders) {
    if (at < far) d.line("SHOULDERS", {at, -kPast}, {at, t.width + kPast});
  }
  if (t.easier) d.path("EASIER", *t.easier);
  d.words({0, t.width + 14}, 4, fmt::format("{} {}, {}, {} ends. Full size, mm.", t.mark, t.name, t.profile, t.count));
  d.line("NOTES", {0, t.width + 20}, {100, t.width + 20});
  for (const double x : {0.0, 100.0}) d.line("NOTES", {x, t.width + 18}, {x, t.width + 22});
  d.words({102, t.width + 21}, 3, "100 mm");
  w.end_section();
}

}  // namespace

std::string template_dxf(const marking::Template& t) {
  Writer body;
  body.section("CLASSES");
  body.end_section();
  write_tables(body);
  body.section("BLOCKS");
  write_block(body, "*Model_Space", kModelRecord);
  write_block(body, "*Paper_Space", kPaperRecord);
  body.end_section();
  write_entities(body, t);
  write_objects(body);
  body.text(0, "EOF");

  Writer head;
  head.section("HEADER");
  head.text(9, "$ACADVER");
  head.text(1, "AC1015");
  head.text(9, "$DWGCODEPAGE");
  head.text(3, "ANSI_1252");
  head.text(9, "$HANDSEED");
  head.text(5, body.next_handle());
  head.text(9, "$INSUNITS");  // 4: millimetres
  head.whole(70, 4);
  head.text(9, "$MEASUREMENT");
  head.whole(70, 1);
  head.end_section();
  return head.out + body.out;
}

}  // namespace garthwright::exchange
