// SPDX-License-Identifier: Apache-2.0
//
// Every mark on its four long faces, unrolled: roll the timber away from you and the next strip comes up.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include "sheets/dimension.h"
#include "sheets/flow.h"
#include "sheets/kinds.h"
#include "sheets/scale.h"
#include "sheets/shaped_path.h"
#include "structure/absorbing.h"
#include "structure/marks.h"
#include "structure/saw.h"
#include "structure/tapering.h"

namespace garthwright::sheets {

namespace {

constexpr double kLabels = 24, kFewLabels = 20;  // room for the names of the faces, left of the strips
constexpr double kBetween = 1.2;                 // white between strips
constexpr double kApart = 6;                     // and between two pieces abreast
constexpr double kNumber = 2.7;
constexpr double kStripsHigh = 27, kWordsLong = 24;  // so that three pieces go on an upright page
constexpr double kStillLarge = 12;                   // of what is drawn so, two go abreast: a brace, a spacer

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
    const double wide = text_width(mark, kNote, Lettering::bold), high = kCapHeight * kNote;
    const Point c = name.room.centre();
    const Rect black{c.x - wide / 2, c.y - high / 2, c.x + wide / 2, c.y + high / 2};
    const Rect needs = black.grown(0.5);
    if (needs.left < name.room.left || needs.right > name.room.right || needs.top < name.room.top ||
        needs.bottom > name.room.bottom)
      continue;
    if (std::any_of(lines.begin(), lines.end(), [&](const Rect& r) { return meet(r, needs); })) continue;
    write(items, mark, {black.left, black.bottom}, kNote, Lettering::bold);
    lines.push_back(needs);
  }
}

struct Place {
  double at;
  std::string words;
};

std::string words_at(const marking::Mark& m) {
  switch (m.kind) {
    case marking::MarkKind::shoulder:
    case marking::MarkKind::seat:
      return m.against.empty() ? std::string(name(m.kind)) : m.against;
    case marking::MarkKind::hole:
      return m.fixing ? m.fixing->item : m.against;
    default:
      return std::string(name(m.kind));
  }
}

// Places from the datum end, as the marking list has them; what lies at one place is told once, and the far line of a
// seat by its number alone. Screws are told in rows below.
std::vector<Place> places(const Brief& brief, const marking::MarkList& list, double length) {
  struct Found {
    double at;
    std::vector<std::string> what;
    bool far_line = false;
  };
  std::vector<Found> found;
  for (const marking::Mark& m : list.marks) {
    if (m.kind == marking::MarkKind::depth || m.kind == marking::MarkKind::centre || m.fixing) continue;
    if (m.at_mm < -0.05 || m.at_mm > length + 0.05) continue;
    auto same =
        std::find_if(found.begin(), found.end(), [&](const Found& f) { return std::abs(f.at - m.at_mm) < 0.05; });
    if (same == found.end()) same = found.insert(found.end(), {m.at_mm, {}});
    std::string what = words_at(m);
    if (m.kind == marking::MarkKind::hole) what = "hole Ø " + brief.lengths.brief(m.diameter_mm);
    if (!m.seats.empty() && !m.is_near) {
      same->far_line = true;
      continue;
    }
    if (std::find(same->what.begin(), same->what.end(), what) == same->what.end()) same->what.push_back(what);
  }
  std::sort(found.begin(), found.end(), [](const Found& a, const Found& b) { return a.at < b.at; });
  std::vector<Place> out;
  for (const Found& f : found) {
    std::string words = brief.lengths.brief(f.at);
    if (!f.what.empty()) words += "  " + f.what.front() + (f.what.size() > 1 ? " …" : "");
    out.push_back({f.at, words});
  }
  return out;
}

/// Fixings of one kind in one row: "Front: 6 × screw 5x80, Ø 5.5, 22.5 from the top: at 45, then every 120".
std::vector<std::string> rows_of_fixings(const Brief& brief, const marking::MarkList& list) {
  struct InRow {
    const marking::Mark* first;
    std::vector<double> at;
  };
  std::vector<InRow> rows;
  for (const marking::Mark& m : list.marks) {
    if (!m.fixing || !m.fixing->first || m.face == "datum end" || m.face == "far end") continue;
    const auto same = std::find_if(rows.begin(), rows.end(), [&](const InRow& r) {
      return r.first->face == m.face && r.first->fixing->item == m.fixing->item &&
             std::abs(*r.first->across_mm - *m.across_mm) < 0.05 && r.first->diameter_mm == m.diameter_mm &&
             r.first->fixing->sunk_mm == m.fixing->sunk_mm;
    });
    if (same == rows.end())
      rows.push_back({&m, {m.at_mm}});
    else
      same->at.push_back(m.at_mm);
  }
  std::vector<std::string> out;
  for (const InRow& row : rows) {
    const marking::Mark& m = *row.first;
    std::string text = fmt::format("{}: {} × {}", m.face, row.at.size(), m.fixing->item);
    if (m.diameter_mm > 0) text += fmt::format(", drill Ø {}", brief.lengths.brief(m.diameter_mm));
    if (m.fixing->counterbore_mm > 0)
      text += fmt::format(", counterbore Ø {} {} deep", brief.lengths.brief(m.fixing->counterbore_mm),
                          brief.lengths.brief(m.fixing->sunk_mm));
    text += fmt::format(", {} from the {}: at ", brief.lengths.brief(*m.across_mm), m.from);
    const double pitch = row.at.size() > 1 ? row.at[1] - row.at[0] : 0;
    bool even = row.at.size() > 3;
    for (std::size_t i = 1; i < row.at.size(); ++i) even = even && std::abs(row.at[i] - row.at[i - 1] - pitch) < 0.1;
    if (even) {
      text += fmt::format("{}, then every {}", brief.lengths.brief(row.at[0]), brief.lengths.brief(pitch));
    } else {
      for (std::size_t i = 0; i < row.at.size(); ++i) text += (i > 0 ? ", " : "") + brief.lengths.brief(row.at[i]);
    }
    out.push_back(text + ".");
  }
  // Brackets: those at one distance from an edge together.
  std::vector<std::pair<std::string, std::vector<const marking::Mark*>>> folds;
  for (const marking::Mark& m : list.marks) {
    if (m.kind != marking::MarkKind::centre || !m.across_mm) continue;
    const std::string row = fmt::format("{}|{}|{}|{:.1f}", m.face, m.against, m.from, *m.across_mm);
    const auto known = std::find_if(folds.begin(), folds.end(), [&](const auto& f) { return f.first == row; });
    (known == folds.end() ? folds.emplace_back(row, std::vector<const marking::Mark*>{}) : *known).second.push_back(&m);
  }
  for (const auto& [row, marks] : folds) {
    std::string at;
    for (const marking::Mark* m : marks) at += (at.empty() ? "" : ", ") + brief.lengths.brief(m->at_mm);
    out.push_back(fmt::format("{}: {}, {} from the {}, the middle of {} at {}.", marks.front()->face,
                              marks.front()->against, brief.lengths.brief(*marks.front()->across_mm),
                              marks.front()->from, marks.size() > 1 ? "their folds" : "its fold", at));
  }
  return out;
}

/// How far across seats lie where it is not flush, and which lie below the face or lean.
std::vector<std::string> seats_across(const Brief& brief, const marking::MarkList& list) {
  std::vector<std::string> out;
  for (const marking::Mark& m : list.marks) {
    if (m.seats.empty() || !m.is_near || m.kind != marking::MarkKind::seat || m.across_thickness_mm) continue;
    std::string text;
    if (m.across_mm && *m.across_mm > 0.05)
      text = fmt::format("{} in from the {}", brief.lengths.brief(*m.across_mm), m.from);
    if (m.across_mm && *m.across_mm < -0.05)
      text = fmt::format("{} over the {}", brief.lengths.brief(-*m.across_mm), m.from);
    if (m.at_mm < -0.05 && m.across_mm)
      text += fmt::format("{}{} over the datum end", text.empty() ? "" : ", ", brief.lengths.brief(-m.at_mm));
    if (m.angle_deg != 0) text += (text.empty() ? "" : ", ") + m.setting;
    if (text.empty()) continue;
    text = fmt::format("{} on the {}: {}.", m.against, m.face, text);
    if (std::find(out.begin(), out.end(), text) == out.end()) out.push_back(text);
  }
  return out;
}

// What the saw and the brush are told, one line each.
std::vector<std::string> notes(const Brief& brief, const Structure& s, const Piece& piece,
                               const marking::MarkList& list) {
  std::vector<std::string> out;
  const auto add = [&](const std::string& line) {
    if (std::find(out.begin(), out.end(), line) == out.end()) out.push_back(line);
  };
  for (const Machining& m : piece.machining) {
    if (const auto* cut = std::get_if<EndCut>(&m)) {
      if (const auto taper = taper_of(piece, *cut)) {
        add(fmt::format("{}: taper {} off over {}; saw along the line, or plane to it.",
                        cut->end == End::start ? "Datum end" : "Far end", brief.lengths(taper->off),
                        brief.lengths(taper->along)));
        continue;
      }
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
                      brief.lengths(notch->deep.value()), list.faces[static_cast<std::size_t>(notch->opens_on)]));
    }
  }
  for (const std::string& line : seats_across(brief, list)) add(line);
  for (const std::string& line : rows_of_fixings(brief, list)) add(line);
  for (const PieceId id : list.pieces)
    for (const std::string& name : also_called(s, id))
      add(fmt::format("The {} {} is the {} too: lines for both are on it.", s[id].where, s[id].name, name));
  if (piece.ground_contact)
    add("Its foot goes into the ground: an end as bought where the cutting diagrams say so; a sawn one is soaked in "
        "preservative.");
  if (const marking::InPlace* one = marking::find_in_place(brief.plan.marking.order, piece.mark)) {
    switch (one->what) {
      case marking::InPlace::What::length:
        add("DO NOT CUT YET: hold it up in its place and mark it there.");
        break;
      case marking::InPlace::What::notches:
        add("DO NOT CUT THE NOTCHES YET: lay it in its place and mark them there.");
        break;
      case marking::InPlace::What::head:
        add(
            fmt::format("LEAVE IT {} LONG: it stands first, then all heads are cut at one level. Strike what lies "
                        "above the ground when it stands, measured down from the head.",
                        brief.lengths(marking::kLeftLong)));
        break;
    }
  }
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

/// "left front, right back" of a hand that is not all of its mark.
std::string which(const Structure& s, const marking::MarkList& list) {
  if (list.hand.empty()) return "";
  std::string out;
  for (const PieceId id : list.pieces)
    if (!s[id].where.empty()) out += (out.empty() ? "" : ", ") + s[id].where;
  return out;
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

/// One list as it is drawn in a column of the page.
struct Drawn {
  const PieceRow* row;
  const marking::MarkList* list;
  const Structure* structure;
  double width = 0, labels = 0;  ///< of the column; of it, for the names of the faces
  Scale scale{};
  std::vector<Face> faces{};  ///< those that bear a mark
  std::vector<Place> marks{};
  std::string note{};
  double words = 0, height = 0;

  const Piece& piece() const { return (*structure)[list->pieces.front()]; }
};

double across(const Piece& piece, Face face) { return is_side(face) ? piece.width.value() : piece.thickness.value(); }

Drawn measured(const Brief& brief, const PieceRow& row, const marking::MarkList& list, double width, double labels) {
  Drawn d{&row, &list, &brief.plan.structures[static_cast<std::size_t>(list.structure)], width, labels};
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
    if (text_width(p.words, kNumber) > kWordsLong && name < mark) p.words.erase(name + 2, mark - name - 1);
    p.words = shortened(p.words, kWordsLong, kNumber);
    d.words = std::max(d.words, text_width(p.words, kNumber));
  }
  for (const std::string& t : notes(brief, *d.structure, piece, list)) d.note += (d.note.empty() ? "" : "  ") + t;
  d.height = 7.5 + high / d.scale.reduction + static_cast<double>(d.faces.size() - 1) * kBetween + 8.5 + d.words +
             block_height(d.note, width, kBody) + 4;
  return d;
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

/// Names of the faces, moved apart where strips are thin.
void name_faces(Items& items, const Drawn& d, const std::vector<Strip>& strips, double top) {
  std::vector<double> middles, heights;
  for (const Strip& strip : strips) {
    middles.push_back(strip.rect().centre().y);
    heights.push_back(kCapHeight * kBody);
  }
  const std::vector<double> at = spread(middles, heights, 1.2, top, top + 300);
  for (std::size_t i = 0; i < strips.size(); ++i)
    write(items, shortened(d.list->faces[static_cast<std::size_t>(strips[i].face)], d.labels - 2, kBody),
          {strips[i].left - 2, at[i] + kCapHeight * kBody / 2}, kBody, Lettering::plain, 1);
}

void draw(Items& items, const Brief& brief, const Drawn& d, Point corner) {
  const Piece& piece = d.piece();
  const double length = piece.length.value(), right = corner.x + d.width, top = corner.y, left = corner.x + d.labels;
  const double title_size = d.labels > kFewLabels ? 6 : 4.4;
  const Rect ink = write(items, title(*d.list), {corner.x, top + kCapHeight * 6}, title_size, Lettering::bold);
  const std::string what =
      fmt::format("{} off {}, {} of {} × {}, {} long{}", d.list->pieces.size(), d.row->name, d.row->section,
                  brief.lengths.brief(piece.width.value()), brief.lengths.brief(piece.thickness.value()),
                  brief.lengths(length), d.list->hand.empty() ? "" : ": " + which(*d.structure, *d.list));
  const Rect scale = write(items, d.scale.words, {right, top + kCapHeight * 6}, kBody, Lettering::plain, 1);
  const double size = d.labels > kFewLabels ? 3.6 : kBody;
  write(items, shortened(what, scale.left - ink.right - 6, size, Lettering::bold),
        {ink.right + 3, top + kCapHeight * 6}, size, Lettering::bold);

  double y = top + 7.5;
  std::vector<Strip> strips;
  for (const Face face : d.faces) {
    strips.push_back({face, left, y, d.scale.reduction, length, across(piece, face)});
    y = strips.back().rect().bottom + kBetween;
  }
  draw_strips(items, d, strips);
  name_faces(items, d, strips, top);

  const double bottom = strips.back().rect().bottom, feet = bottom + 5.5;
  const Numbers numbers = arrange(d.marks, left, d.scale.reduction, left - 2, right);
  for (std::size_t i = 0; i < d.marks.size(); ++i) {
    polyline(items,
             {{numbers.centres[i], bottom + 0.8}, {numbers.centres[i], bottom + 2}, {numbers.placed[i], feet - 0.6}},
             kHair);
    const Text text = lettered(d.marks[i].words, {numbers.placed[i] + kCapHeight * kNumber / 2, feet}, kNumber,
                               Lettering::plain, 1, 90);
    items.push_back({text});
  }
  // The datum: where the hook of the tape goes.
  line(items, {left, top + 7}, {left, bottom + 2.2}, kHeavy);
  write(items, shortened("hook: " + d.list->datum, d.labels - 1, kNote), {left - 2.5, bottom + 5.2}, kNote,
        Lettering::plain, 1);
  write_block(items, d.note, {corner.x, feet + d.words + 3}, d.width, kBody);
}

/// What has nothing on its faces, in words.
void tell_bare(Flow& flow, const Brief& brief, const std::vector<Drawn>& bare) {
  if (bare.empty()) return;
  std::string words = "Nothing to mark but the length: ";
  for (const Drawn& d : bare)
    words += fmt::format("{}{} ({} {}, {})", &d == &bare.front() ? "" : "; ", title(*d.list), d.list->pieces.size(),
                         d.row->name, brief.lengths(d.row->length_mm));
  flow.paragraph(words + ".");
}

}  // namespace

void draw_marking_out(std::vector<Sheet>& sheets, const Brief& brief) {
  Flow flow(sheets, brief, "marking-out", "Marking out", Turned::portrait, 90);
  flow.scale("as drawn");
  flow.paragraph(
      "Each piece on its long faces, unrolled, to scale; a face that bears no mark is left out. All numbers run from "
      "the datum end: hook the tape once. Heavy lines are sawn, hatched is waste; thin lines are pencil only: what is "
      "named between them comes there. Circles are drilled from this face, small crosses through what comes there. "
      "Check section and length first. Clamp equal pieces together, flush at the datum end, and square the lines "
      "across "
      "all of them at once. Seal every cut end, notch and hole with end-grain preservative.");
  flow.down(2.5);
  const double full = flow.area().width(), half = (full - kApart) / 2;
  std::vector<Drawn> bare;
  std::vector<Drawn> row;  // those that go side by side next
  const auto lay_row = [&] {
    if (row.empty()) return;
    if (row.size() == 1) row = {measured(brief, *row[0].row, *row[0].list, full, kLabels)};
    double height = 0;
    for (const Drawn& d : row) height = std::max(height, d.height);
    flow.ensure(height);
    double x = flow.area().left;
    for (const Drawn& d : row) {
      Group drawing{title(*d.list), {}};
      draw(drawing.items, brief, d, {x, flow.y()});
      flow.items().push_back({std::move(drawing)});
      x += d.width + kApart;
    }
    const double below = flow.y() + height - 2;
    line(flow.items(), {flow.area().left, below}, {flow.area().right, below}, kHair);
    flow.down(height + 1);
    row.clear();
  };
  for (const marking::MarkList& list : brief.plan.marking.lists) {
    const auto of = std::find_if(brief.plan.pieces.begin(), brief.plan.pieces.end(), [&](const PieceRow& r) {
      return r.mark == list.mark && r.structure_index == list.structure;
    });
    if (of == brief.plan.pieces.end()) continue;
    const Drawn alone = measured(brief, *of, list, full, kLabels);
    if (alone.faces.empty()) {
      bare.push_back(alone);
      continue;
    }
    const Drawn narrow = measured(brief, *of, list, half, kFewLabels);
    if (narrow.scale.reduction <= std::max(alone.scale.reduction, kStillLarge)) {
      row.push_back(narrow);
      if (row.size() == 2) lay_row();
    } else {
      std::vector<Drawn> waits{alone};
      std::swap(row, waits);
      lay_row();
      std::swap(row, waits);
    }
  }
  lay_row();
  tell_bare(flow, brief, bare);
}

}  // namespace garthwright::sheets
