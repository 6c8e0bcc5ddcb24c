// SPDX-License-Identifier: Apache-2.0
//
// Every mark on its four long faces, unrolled: roll the timber away from you and the next strip comes up.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include "marking/words.h"
#include "sheets/dimension.h"
#include "sheets/flow.h"
#include "sheets/kinds.h"
#include "sheets/scale.h"
#include "sheets/shaped_path.h"
#include "structure/marks.h"
#include "structure/saw.h"

namespace garthwright::sheets {

namespace {

constexpr double kLabels = 27;    // room for the names of the faces, left of the strips
constexpr double kBetween = 1.2;  // white between strips
constexpr double kNumber = 2.7;
constexpr double kStripsHigh = 42, kWordsLong = 34;  // so that two pieces go on a page

constexpr std::array<Face, 4> kLong{Face::edge_low, Face::side_low, Face::edge_high, Face::side_high};

bool is_side(Face face) { return face == Face::side_low || face == Face::side_high; }

// One long face on the page. `across` is y for a side and z for an edge; strips are laid so that neighbours meet.
struct Strip {
  Face face;
  double left = 0, top = 0, reduction = 1;
  double length = 0, height = 0;  // of the face, mm

  Point operator()(double x, double across) const {
    const bool turned = face == Face::edge_low || face == Face::side_high;
    return {left + x / reduction, top + (turned ? height - across : across) / reduction};
  }
  Rect rect() const { return {left, top, left + length / reduction, top + height / reduction}; }
};

double depth_of(Face face, const Vec3& p) { return is_side(face) ? p.y : p.z; }  // across the strip

// The place of a face in piece coordinates, and whether a box reaches it.
bool reaches(const Box& box, Face face, double width, double thickness) {
  constexpr double kNear = 0.01;
  switch (face) {
    case Face::edge_low:
      return box.min.y < kNear;
    case Face::edge_high:
      return box.max.y > width - kNear;
    case Face::side_low:
      return box.min.z < kNear;
    case Face::side_high:
      return box.max.z > thickness - kNear;
    default:
      return false;
  }
}

double place_of(Face face, double width, double thickness) {
  return face == Face::edge_high ? width : face == Face::side_high ? thickness : 0;
}

void draw_end_cut(Items& items, const Strip& strip, const EndCut& cut, double width, double thickness) {
  if (std::abs(cut.normal.x) < 1e-9) return;
  const auto x_at = [&](double across) {
    const double y = is_side(strip.face) ? across : place_of(strip.face, width, thickness);
    const double z = is_side(strip.face) ? place_of(strip.face, width, thickness) : across;
    const double x = cut.point.x - (cut.normal.y * (y - cut.point.y) + cut.normal.z * (z - cut.point.z)) / cut.normal.x;
    return std::clamp(x, 0.0, strip.length);
  };
  const double end = cut.end == End::start ? 0 : strip.length;
  const Point a = strip(x_at(0), 0), b = strip(x_at(strip.height), strip.height);
  if (std::abs(x_at(0) - end) > 0.01 || std::abs(x_at(strip.height) - end) > 0.01) {
    hatch(items, {{a, b, strip(end, strip.height), strip(end, 0)}});
  }
  line(items, a, b, kThick);
}

void draw_shape(Items& items, const Strip& strip, const ShapedEnd& shape, double length, double width) {
  if (is_side(strip.face)) {
    Outline waste, path;
    for (const Point p : waste_of(shape, length, width)) waste.push_back(strip(p.x, p.y));
    for (const Point p : points_of(shape, 0.2)) path.push_back(strip(p.x, p.y));
    hatch(items, {waste});
    polyline(items, path, kThick);
    return;
  }
  // On an edge only the line shows where the path leaves it.
  const Outline path = points_of(shape, 0.2);
  const double y = place_of(strip.face, width, 0);
  const Point on_edge = std::abs(path.front().y - y) < std::abs(path.back().y - y) ? path.front() : path.back();
  const double end = shape.end == End::start ? 0 : length;
  if (std::abs(on_edge.x - end) > 0.01) {
    hatch(items, {{strip(on_edge.x, 0), strip(on_edge.x, strip.height), strip(end, strip.height), strip(end, 0)}});
  }
  line(items, strip(on_edge.x, 0), strip(on_edge.x, strip.height), kThick);
}

void draw_notch(Items& items, const Strip& strip, const Notch& notch, double width, double thickness) {
  if (!reaches(notch.region, strip.face, width, thickness)) return;
  const double low = depth_of(strip.face, notch.region.min), high = depth_of(strip.face, notch.region.max);
  const Outline area{strip(notch.region.min.x, low), strip(notch.region.max.x, low), strip(notch.region.max.x, high),
                     strip(notch.region.min.x, high)};
  hatch(items, {area});
  outline(items, area, kThick);
}

void draw_hole(Items& items, const Strip& strip, const Hole& hole, double width, double thickness) {
  const double face_at = place_of(strip.face, width, thickness);
  const auto on_face = [&](const Vec3& p) { return std::abs((is_side(strip.face) ? p.z : p.y) - face_at) < 0.05; };
  const auto draw = [&](const Vec3& p) {
    const Point c = strip(p.x, depth_of(strip.face, p));
    const double r = std::max(hole.diameter / 2 / strip.reduction, 0.5);
    circle(items, c, r, kMedium);
    line(items, {c.x - r - 0.8, c.y}, {c.x + r + 0.8, c.y}, kHair);
    line(items, {c.x, c.y - r - 0.8}, {c.x, c.y + r + 0.8}, kHair);
  };
  if (on_face(hole.entry)) draw(hole.entry);
  if (hole.through) {
    const Vec3 exit = hole.entry + hole.depth * hole.direction;
    if (on_face(exit)) draw(exit);
  }
}

struct Place {
  double at;
  std::string words;
};

// Places from the datum end, as the marking list has them; what lies at one place is told once.
std::vector<Place> places(const Brief& brief, const std::string& mark) {
  std::vector<std::pair<double, std::vector<std::string>>> found;
  for (const marking::MarkList& list : brief.plan.marking.lists) {
    if (list.mark != mark) continue;
    for (const marking::Mark& m : list.marks) {
      if (m.kind == marking::MarkKind::depth) continue;
      auto same =
          std::find_if(found.begin(), found.end(), [&](const auto& f) { return std::abs(f.first - m.at_mm) < 0.05; });
      if (same == found.end()) same = found.insert(found.end(), {m.at_mm, {}});
      const std::string what = m.kind == marking::MarkKind::hole ? "hole Ø " + brief.lengths.brief(m.diameter_mm)
                               : m.kind == marking::MarkKind::shoulder && !m.against.empty()
                                   ? m.against
                                   : std::string(name(m.kind));
      if (std::find(same->second.begin(), same->second.end(), what) == same->second.end()) same->second.push_back(what);
    }
  }
  std::sort(found.begin(), found.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
  std::vector<Place> out;
  for (const auto& [at, what] : found) {
    std::string words = brief.lengths.brief(at);
    if (!what.empty()) words += "  " + what.front() + (what.size() > 1 ? " …" : "");
    out.push_back({at, words});
  }
  return out;
}

// What the saw and the brush are told, one line each.
std::vector<std::string> notes(const Brief& brief, const Structure& s, const Piece& piece,
                               const marking::Words& words) {
  std::vector<std::string> out;
  const auto add = [&](const std::string& line) {
    if (std::find(out.begin(), out.end(), line) == out.end()) out.push_back(line);
  };
  for (const Machining& m : piece.machining) {
    if (const auto* cut = std::get_if<EndCut>(&m)) {
      const SawSetting set = saw_setting(*cut);
      std::string text = cut->end == End::start ? "Datum end: " : "Far end: ";
      if (set.mitre_deg == 0 && set.bevel_deg == 0) continue;
      if (set.mitre_deg != 0) {
        text += fmt::format("saw turned {:.1f}° (bevel gauge {:.1f}°)", std::abs(set.mitre_deg),
                            90 - std::abs(set.mitre_deg));
      }
      if (set.bevel_deg != 0) {
        text += fmt::format("{}blade tilted {:.1f}° (gauge {:.1f}°)", set.mitre_deg != 0 ? ", " : "",
                            std::abs(set.bevel_deg), 90 - std::abs(set.bevel_deg));
      }
      add(text + ".");
    } else if (const auto* shape = std::get_if<ShapedEnd>(&m)) {
      add(fmt::format("{}: {}, by its template.", shape->end == End::start ? "Datum end" : "Far end", shape->profile));
    } else if (const auto* notch = std::get_if<Notch>(&m)) {
      std::string of = notch->against.index >= 0 ? describe(s, notch->against) : "";
      if (notch->against.kind == Body::Kind::piece && notch->against.index >= 0) {
        const Piece& other = s[PieceId{notch->against.index}];
        of = other.name + " " + other.mark;
      }
      add(fmt::format("Notch for {}: {} wide, {} deep from the {}.", of, brief.lengths(notch->wide.value()),
                      brief.lengths(notch->deep.value()), words.face(notch->opens_on)));
    }
  }
  if (piece.ground_contact) add("Leave the end that goes into the ground as bought; cut at the other.");
  if (const marking::InPlace* one = marking::find_in_place(brief.plan.marking.order, piece.mark)) {
    add(one->what == marking::InPlace::What::length
            ? "DO NOT CUT YET: hold it up in its place and mark it there."
            : "DO NOT CUT THE NOTCHES YET: lay it in its place and mark them there.");
  }
  add("Seal with end-grain preservative: every cut end, notch and hole.");
  return out;
}

struct Numbers {
  std::vector<double> centres, placed;
  double height = 0;
};

// Running dimensions hang below the strips, reading upwards from their feet.
Numbers arrange(const std::vector<Place>& marks, double left, double reduction, double least, double most) {
  Numbers n;
  std::vector<double> widths;
  for (const Place& p : marks) {
    n.centres.push_back(left + p.at / reduction);
    widths.push_back(kNumber * 0.95);
    n.height = std::max(n.height, text_width(p.words, kNumber));
  }
  n.placed = spread(n.centres, widths, 1.0, least, most);
  return n;
}

void draw_mark(Flow& flow, const Brief& brief, const PieceRow& row, const Structure& s, const MarkGroup& group) {
  const Piece& piece = s[group.pieces.front()];
  const marking::Words words(s, group.pieces);
  const double length = piece.length.value(), width = piece.width.value(), thickness = piece.thickness.value();
  const double left = flow.area().left + kLabels, room = flow.area().right - left - 4;
  const Scale scale = scale_for(brief.lengths.style.units, length, 2 * (width + thickness), room, kStripsHigh);

  std::vector<Place> marks = places(brief, row.mark);
  for (Place& p : marks) p.words = shortened(p.words, kWordsLong, kNumber);
  const Numbers numbers = arrange(marks, left, scale.reduction, left - 2, flow.area().right);
  const std::vector<std::string> told = notes(brief, s, piece, words);
  std::string note;
  for (const std::string& t : told) note += (note.empty() ? "" : "  ") + t;
  const double strips_height = 2 * (width + thickness) / scale.reduction + 3 * kBetween;
  const double notes_height = block_height(note, flow.area().width(), kBody);
  flow.ensure(7.5 + strips_height + (marks.empty() ? 4 : 8.5 + numbers.height) + notes_height + 2);

  Group drawing{row.mark, {}};
  Items& items = drawing.items;
  const double top = flow.y();
  const Rect ink = write(items, row.mark, {flow.area().left, top + kCapHeight * 6}, 6, Lettering::bold);
  const std::string what =
      fmt::format("{} off {}, {} of {} × {}, {} long", row.quantity, row.name, row.section, brief.lengths.brief(width),
                  brief.lengths.brief(thickness), brief.lengths(length));
  write(items, shortened(what, flow.area().right - ink.right - 4 - 40, 3.6, Lettering::bold),
        {ink.right + 4, top + kCapHeight * 6}, 3.6, Lettering::bold);
  write(items, scale.words, {flow.area().right, top + kCapHeight * 6}, kBody, Lettering::plain, 1);

  double y = top + 7.5;
  std::vector<Rect> strips;
  for (const Face face : kLong) {
    const Strip strip{face, left, y, scale.reduction, length, is_side(face) ? width : thickness};
    for (const Machining& m : piece.machining) {
      if (const auto* cut = std::get_if<EndCut>(&m)) draw_end_cut(items, strip, *cut, width, thickness);
      if (const auto* shape = std::get_if<ShapedEnd>(&m)) draw_shape(items, strip, *shape, length, width);
      if (const auto* notch = std::get_if<Notch>(&m)) draw_notch(items, strip, *notch, width, thickness);
      if (const auto* hole = std::get_if<Hole>(&m)) draw_hole(items, strip, *hole, width, thickness);
    }
    box(items, strip.rect(), kMedium);
    strips.push_back(strip.rect());
    y = strip.rect().bottom + kBetween;
  }
  // Names of the faces, moved apart where strips are thin.
  std::vector<double> middles, heights;
  for (const Rect& r : strips) {
    middles.push_back(r.centre().y);
    heights.push_back(kCapHeight * kBody);
  }
  const std::vector<double> at = spread(middles, heights, 1.2, top, top + 300);
  for (std::size_t i = 0; i < strips.size(); ++i) {
    write(items, shortened(words.face(kLong[i]), kLabels - 2, kBody), {left - 2, at[i] + kCapHeight * kBody / 2}, kBody,
          Lettering::plain, 1);
  }

  const double bottom = strips.back().bottom;
  const double feet = bottom + 5.5;
  for (std::size_t i = 0; i < marks.size(); ++i) {
    polyline(items,
             {{numbers.centres[i], bottom + 0.8}, {numbers.centres[i], bottom + 2}, {numbers.placed[i], feet - 0.6}},
             kHair);
    const Text text = lettered(marks[i].words, {numbers.placed[i] + kCapHeight * kNumber / 2, feet}, kNumber,
                               Lettering::plain, 1, 90);
    items.push_back({text});
  }
  if (!marks.empty()) {
    // The datum: where the hook of the tape goes.
    const Point zero{left, bottom + 2.2};
    line(items, {left, top + 7}, {left, bottom + 2.2}, kHeavy);
    write(items, shortened("hook here: " + words.datum(), kLabels + 2, kNote), {zero.x - 2.5, zero.y + 3}, kNote,
          Lettering::plain, 1);
  }
  const double notes_top = (marks.empty() ? bottom + 1 : feet + numbers.height) + 3;
  const double end = write_block(items, note, {flow.area().left, notes_top}, flow.area().width(), kBody);
  line(items, {flow.area().left, end + 1}, {flow.area().right, end + 1}, kHair);
  flow.items().push_back({std::move(drawing)});
  flow.down(end - top + 4);
}

}  // namespace

void draw_marking_out(std::vector<Sheet>& sheets, const Brief& brief) {
  Flow flow(sheets, brief, "marking-out", "Marking out", Turned::landscape);
  flow.sheet().scale = "as drawn";
  flow.paragraph(
      "Each piece on its four long faces, unrolled, to scale. All numbers run from the datum end: hook the tape "
      "once. Heavy lines are sawn, hatched is waste. Check the section and the length before you mark.");
  flow.down(2.5);
  for (std::size_t i = 0; i < brief.plan.structures.size(); ++i) {
    const Structure& s = brief.plan.structures[i];
    for (const MarkGroup& group : marks(s)) {
      const auto row = std::find_if(brief.plan.pieces.begin(), brief.plan.pieces.end(), [&](const PieceRow& r) {
        return r.mark == group.mark && static_cast<std::size_t>(r.structure_index) == i;
      });
      if (row != brief.plan.pieces.end()) draw_mark(flow, brief, *row, s, group);
    }
  }
}

}  // namespace garthwright::sheets
