// SPDX-License-Identifier: Apache-2.0
#include "sheets/marking_strips.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "sheets/dimension.h"
#include "sheets/marking_notes.h"
#include "sheets/shaped_path.h"

namespace garthwright::sheets {

namespace {

constexpr double kHookLine = 3.8;   // from line to line of where the tape is hooked
constexpr double kStripsHigh = 36;  // so that three pieces go on an upright page, boards of 150 mm at 1 : 10

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

/// What an end cut takes of a face: its line from low to high, then the uncut end.
std::optional<std::array<Point, 4>> cut_off(const Strip& strip, const EndCut& cut, double width, double thickness) {
  if (std::abs(cut.normal.x) < 1e-9) return {};
  const auto x_at = [&](double across) {
    const double y = is_side(strip.face) ? across : place_of(strip.face, width, thickness);
    const double z = is_side(strip.face) ? place_of(strip.face, width, thickness) : across;
    const double x = cut.point.x - (cut.normal.y * (y - cut.point.y) + cut.normal.z * (z - cut.point.z)) / cut.normal.x;
    return std::clamp(x, 0.0, strip.length);
  };
  const double end = cut.end == End::start ? 0 : strip.length;
  return {{strip(x_at(0), 0), strip(x_at(strip.height), strip.height), strip(end, strip.height), strip(end, 0)}};
}

Rect around(const std::array<Point, 4>& corners) {
  const auto [left, right] = std::minmax({corners[0].x, corners[1].x, corners[2].x, corners[3].x});
  const auto [top, bottom] = std::minmax({corners[0].y, corners[1].y, corners[2].y, corners[3].y});
  return {left, top, right, bottom};
}

void draw_end_cut(Items& items, const Strip& strip, const EndCut& cut, double width, double thickness) {
  const auto waste = cut_off(strip, cut, width, thickness);
  if (!waste) return;
  const auto& [low, high, end_high, end_low] = *waste;
  const double least = 0.01 / strip.reduction;
  if (std::abs(low.x - end_low.x) > least || std::abs(high.x - end_high.x) > least)
    hatch(items, {{low, high, end_high, end_low}});
  line(items, low, high, kThick);
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

/// The path of a bird's mouth or a hollow in the plane of the wide side, from edge to edge.
Outline path_of(const Strip& strip, const Notch& notch) {
  const bool low = notch.opens_on == Face::edge_low;
  const double edge = low ? notch.region.min.y : notch.region.max.y,
               deep = low ? notch.region.max.y : notch.region.min.y;
  const double from = notch.region.min.x, to = notch.region.max.x;
  if (notch.kind == Notch::Kind::birds_mouth) return {strip(from, edge), strip(notch.corner, deep), strip(to, edge)};
  const double radius = radius_of(notch), half = (to - from) / 2, centre = low ? deep - radius : deep + radius;
  Outline path;
  constexpr int kParts = 48;
  for (int i = 0; i <= kParts; ++i) {
    const double x = half * (2.0 * i / kParts - 1), rise = std::sqrt(radius * radius - x * x);
    path.push_back(strip(from + half + x, low ? centre + rise : centre - rise));
  }
  return path;
}

void draw_notch(Items& items, const Strip& strip, const Notch& notch, double width, double thickness) {
  if (!reaches(notch.region, strip.face, width, thickness)) return;
  if (is_through_thickness(notch) && is_side(strip.face)) {
    const Outline path = path_of(strip, notch);
    hatch(items, {path});
    polyline(items, path, kThick);
    return;
  }
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

// Half the black of a small cross that shows where a fixing goes.
constexpr double kCross = 0.9;

void draw_drilling(Items& items, const Strip& strip, const marking::Mark& m) {
  const double r = m.fixing->first ? std::max(m.diameter_mm / 2 / strip.reduction, 0.5) : 0;
  const Point c = strip(m.at_mm, *m.across_mm);
  if (r > 0) circle(items, c, r, kMedium);
  line(items, {c.x - r - kCross, c.y}, {c.x + r + kCross, c.y}, kHair);
  line(items, {c.x, c.y - r - kCross}, {c.x, c.y + r + kCross}, kHair);
}

/// Where a seat lies on its strip: its four corners, clipped to the timber, the near line's first.
struct SeatOnStrip {
  Point near_low, near_high, far_high, far_low;
  bool near_on = false, far_on = false;  ///< whether the line is on the timber at all
};

SeatOnStrip place_seat(const Strip& strip, const marking::Seat& seat) {
  const bool low = seat.from == Face::edge_low || seat.from == Face::side_low;
  const double from = low ? seat.across_mm : strip.height - seat.across_mm - seat.wide_mm;
  const double to = low ? seat.across_mm + seat.wide_mm : strip.height - seat.across_mm;
  const double bottom = std::clamp(std::min(from, to), 0.0, strip.height);
  const double top = std::clamp(std::max(from, to), 0.0, strip.height);
  const auto at = [&](const marking::SeatLine& each, double across) {
    const double lean = std::tan(each.angle_deg * std::acos(-1.0) / 180);
    return each.at_mm + (low ? across : strip.height - across) * lean;
  };
  const auto on = [&](const marking::SeatLine& each, double across) {
    return strip(std::clamp(at(each, across), 0.0, strip.length), across);
  };
  const auto is_on = [&](const marking::SeatLine& each) {
    const double a = at(each, bottom), b = at(each, top);
    return std::max(a, b) > 0.01 && std::min(a, b) < strip.length - 0.01;
  };
  return {on(seat.near, bottom), on(seat.near, top), on(seat.far, top),
          on(seat.far, bottom),  is_on(seat.near),   is_on(seat.far)};
}

bool meet(const Rect& a, const Rect& b) {
  return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}

/// Pencil lines of what only meets the piece, and its name between them where nothing else is in the way.
void draw_seats(Items& items, const Strip& strip, const marking::MarkList& list, const std::vector<Rect>& in_the_way) {
  struct Name {
    std::string words;
    Rect room;
  };
  std::vector<Name> names;
  std::vector<Rect> lines = in_the_way;
  for (const marking::Mark& m : list.marks) {
    if (m.seats.empty() || m.on != strip.face) continue;
    const auto found = std::find_if(m.seats.begin(), m.seats.end(), [](const auto& seat) { return seat.has_value(); });
    const SeatOnStrip on = place_seat(strip, **found);
    if (m.kind == marking::MarkKind::seat && (m.is_near ? on.near_on : on.far_on)) {
      const Point a = m.is_near ? on.near_low : on.far_low, b = m.is_near ? on.near_high : on.far_high;
      line(items, a, b, kMedium);
      lines.push_back(Rect{std::min(a.x, b.x), std::min(a.y, b.y), std::max(a.x, b.x), std::max(a.y, b.y)}.grown(0.3));
    }
    if (!m.is_near || m.kind != marking::MarkKind::seat) continue;
    const Rect room{std::max(on.near_low.x, on.near_high.x), std::min(on.near_low.y, on.near_high.y),
                    std::min(on.far_low.x, on.far_high.x), std::max(on.near_low.y, on.near_high.y)};
    const std::string& words = m.against;
    names.push_back({words.substr(0, words.find(" or ")), room});
  }
  for (const Name& name : names) {
    // The mark alone: the whole name stands at its number.
    const std::string mark = name.words.substr(name.words.find_last_of(' ') + 1);
    const double wide = text_width(mark, kDrawn, Lettering::bold), high = kCapHeight * kDrawn;
    const Point c = name.room.centre();
    const Rect black{c.x - wide / 2, c.y - high / 2, c.x + wide / 2, c.y + high / 2};
    const Rect needs = black.grown(0.5);
    if (needs.left < name.room.left || needs.right > name.room.right || needs.top < name.room.top ||
        needs.bottom > name.room.bottom)
      continue;
    if (std::any_of(lines.begin(), lines.end(), [&](const Rect& r) { return meet(r, needs); })) continue;
    write(items, mark, {black.left, black.bottom}, kDrawn, Lettering::bold);
    lines.push_back(needs);
  }
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
    widths.push_back(kDrawn * 0.95);
    n.height = std::max(n.height, text_width(p.words, kDrawn));
  }
  n.placed = spread(n.centres, widths, 1.0, least, most);
  return n;
}

/// Whether anything is drawn on this face but the timber's own outline.
bool bears_a_mark(const Piece& piece, const marking::MarkList& list, Face face) {
  const double width = piece.width.value(), thickness = piece.thickness.value();
  for (const Machining& m : piece.machining) {
    if (std::holds_alternative<ShapedEnd>(m)) return true;
    const auto* cut = std::get_if<EndCut>(&m);
    if (cut != nullptr && std::abs(is_side(face) ? cut->normal.y : cut->normal.z) > 1e-6) return true;
    const auto* notch = std::get_if<Notch>(&m);
    if (notch != nullptr && reaches(notch->region, face, width, thickness)) return true;
    if (std::holds_alternative<Hole>(m)) return true;
  }
  return std::any_of(list.marks.begin(), list.marks.end(), [&](const marking::Mark& m) {
    return m.on == face && (m.fixing || m.kind == marking::MarkKind::seat || m.kind == marking::MarkKind::depth);
  });
}

void draw_strips(Items& items, const Drawn& d, const std::vector<Strip>& strips) {
  const Piece& piece = d.piece();
  const double width = piece.width.value(), thickness = piece.thickness.value();
  for (const Strip& strip : strips) {
    for (const Machining& m : piece.machining) {
      if (const auto* cut = std::get_if<EndCut>(&m)) draw_end_cut(items, strip, *cut, width, thickness);
      if (const auto* shape = std::get_if<ShapedEnd>(&m)) draw_shape(items, strip, *shape, strip.length, width);
      if (const auto* notch = std::get_if<Notch>(&m)) draw_notch(items, strip, *notch, width, thickness);
      if (const auto* hole = std::get_if<Hole>(&m)) draw_hole(items, strip, *hole, width, thickness);
    }
    std::vector<Rect> in_the_way;
    for (const Machining& m : piece.machining) {
      if (const auto* cut = std::get_if<EndCut>(&m))
        if (const auto waste = cut_off(strip, *cut, width, thickness)) in_the_way.push_back(around(*waste));
      const auto* notch = std::get_if<Notch>(&m);
      if (notch == nullptr || !reaches(notch->region, strip.face, width, thickness)) continue;
      const Point a = strip(notch->region.min.x, depth_of(strip.face, notch->region.min));
      const Point b = strip(notch->region.max.x, depth_of(strip.face, notch->region.max));
      in_the_way.push_back({a.x, std::min(a.y, b.y), b.x, std::max(a.y, b.y)});
    }
    for (const marking::Mark& m : d.list->marks) {
      if (!m.fixing || m.on != strip.face) continue;
      draw_drilling(items, strip, m);
      const Point c = strip(m.at_mm, *m.across_mm);
      in_the_way.push_back(Rect{c.x, c.y, c.x, c.y}.grown(kCross + m.diameter_mm / 2 / strip.reduction + 0.6));
    }
    draw_seats(items, strip, *d.list, in_the_way);
    box(items, strip.rect(), kMedium);
  }
}

void name_faces(Items& items, const Drawn& d, const std::vector<Strip>& strips) {
  for (const Strip& strip : strips)
    write(items, shortened(d.list->faces[static_cast<std::size_t>(strip.face)], d.labels - 2, kDrawn),
          {strip.left - 2, strip.rect().centre().y + kCapHeight * kDrawn / 2}, kDrawn, Lettering::plain, 1);
}

/// White between two strips: more where they are too thin for their names beside each other.
double between(const Drawn& d, Face one, Face next) {
  return std::max(kBetween, kNamed - (across(d.piece(), one) + across(d.piece(), next)) / 2 / d.scale.reduction);
}

/// Without those of its pieces that lie the other way.
std::string hooked_end(const marking::MarkList& list) { return list.datum.substr(0, list.datum.find(" (")); }

}  // namespace

double across(const Piece& piece, Face face) { return is_side(face) ? piece.width.value() : piece.thickness.value(); }

double strips_high(const Drawn& d) {
  double high = 0;
  for (std::size_t i = 0; i < d.faces.size(); ++i)
    high += across(d.piece(), d.faces[i]) / d.scale.reduction + (i > 0 ? between(d, d.faces[i - 1], d.faces[i]) : 0);
  return high;
}

Drawn measured(const Brief& brief, const PieceRow& row, const marking::MarkList& list, double width, double labels) {
  Drawn d{&row, &list, &brief.plan.garden.structures[static_cast<std::size_t>(list.structure)], width, labels};
  const Piece& piece = d.piece();
  for (const Face face : kLong)
    if (bears_a_mark(piece, list, face)) d.faces.push_back(face);
  double high = 0;
  for (const Face face : d.faces) high += across(piece, face);
  d.scale = scale_for(brief.lengths.style.units, piece.length.value(), high, width - labels - 3, kStripsHigh);
  d.marks = places(brief, list, piece.length.value());
  for (Place& p : d.marks) {
    // A name that is too long gives way to the mark behind it.
    const std::size_t name = p.words.find("  "), mark = p.words.find_last_of(' ');
    if (text_width(p.words, kDrawn) > kWordsLong && name < mark) p.words.erase(name + 2, mark - name - 1);
    p.words = shortened(p.words, kWordsLong, kDrawn);
    d.words = std::max(d.words, text_width(p.words, kDrawn));
  }
  if (const std::size_t others = list.datum.find(" ("); others != std::string::npos)
    d.note = "Hooked at the other end: " + list.datum.substr(others + 2, list.datum.size() - others - 3) + ".";
  for (const std::string& t : notes(brief, *d.structure, piece, list)) d.note += (d.note.empty() ? "" : "  ") + t;
  d.height = 7.5 + strips_high(d) + 8.5 + d.words + block_height(d.note, width, kBody) + kBelowNote;
  return d;
}

void draw(Items& items, const Brief& brief, const Drawn& d, Point corner, std::optional<Heading> over) {
  const Piece& piece = d.piece();
  const double length = piece.length.value(), right = corner.x + d.width, top = corner.y, left = corner.x + d.labels;
  const double title_size = d.labels > kFewLabels ? 6 : 4.4;
  if (!over) over = Heading{title(*d.list), {}};
  const Rect ink = write(items, over->mark, {corner.x, top + kCapHeight * 6}, title_size, Lettering::bold);
  const Rect scale = write(items, d.scale.words, {right, top + kCapHeight * 6}, kDrawn, Lettering::plain, 1);
  const double size = d.labels > kFewLabels ? 3.6 : kDrawn, room = scale.left - ink.right - 6;
  const auto told = [&](const std::string& section) {
    return fmt::format("{} off {}, {}{} × {}, {} long{}", d.list->pieces.size(), d.row->name, section,
                       brief.lengths.marked(piece.width.value()), brief.lengths.marked(piece.thickness.value()),
                       brief.lengths(length), d.list->hand.empty() ? "" : ": " + which(*d.structure, *d.list));
  };
  std::string what = over->what.empty() ? told(d.row->section + " of ") : over->what;
  if (over->what.empty() && text_width(what, size, Lettering::bold) > room) what = told("");  // the cut list has it
  write(items, shortened(what, room, size, Lettering::bold), {ink.right + 3, top + kCapHeight * 6}, size,
        Lettering::bold);

  double y = top + 7.5;
  std::vector<Strip> strips;
  for (const Face face : d.faces) {
    if (!strips.empty()) y = strips.back().rect().bottom + between(d, strips.back().face, face);
    strips.push_back({face, left, y, d.scale.reduction, length, across(piece, face)});
  }
  draw_strips(items, d, strips);
  name_faces(items, d, strips);

  const double bottom = strips.back().rect().bottom, feet = bottom + 5.5;
  const Numbers numbers = arrange(d.marks, left, d.scale.reduction, left - 2, right);
  for (std::size_t i = 0; i < d.marks.size(); ++i) {
    polyline(items,
             {{numbers.centres[i], bottom + 0.8}, {numbers.centres[i], bottom + 2}, {numbers.placed[i], feet - 0.6}},
             kHair);
    const Text text = lettered(d.marks[i].words, {numbers.placed[i] + kCapHeight * kDrawn / 2, feet}, kDrawn,
                               Lettering::plain, 1, 90);
    items.push_back({text});
  }
  // The datum: where the hook of the tape goes.
  line(items, {left, top + 7}, {left, bottom + 2.2}, kHeavy);
  std::vector<std::string> hook{"hook: " + hooked_end(*d.list)};
  if (text_width(hook.front(), kDrawn) > d.labels - 2.5) hook = {"hook:", hooked_end(*d.list)};
  for (std::size_t i = 0; i < hook.size(); ++i)
    write(items, hook[i], {left - 2.5, bottom + 5.2 + kHookLine * static_cast<double>(i)}, kDrawn, Lettering::plain, 1);
}

void write_note(Items& items, const Drawn& d, Point corner) {
  const double below = corner.y + d.height - kBelowNote - block_height(d.note, d.width, kBody);
  write_block(items, d.note, {corner.x, below}, d.width, kBody);
}

}  // namespace garthwright::sheets
