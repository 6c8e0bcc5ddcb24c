// SPDX-License-Identifier: Apache-2.0
#include "marking/marking.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <tuple>
#include <utility>

#include "marking/hands.h"
#include "marking/words.h"
#include "structure/marks.h"
#include "structure/saw.h"
#include "structure/tapering.h"

namespace garthwright::marking {
namespace {

constexpr double kSame = 0.005;  // mm: below what any pencil tells apart

bool same(double a, double b) { return std::abs(a - b) < kSame; }

/// "rafter F1": a partner by its trade name and mark.
std::string partner(const Structure& structure, Body body) {
  if (body.index < 0 && body.kind == Body::Kind::piece) return "";
  if (body.kind != Body::Kind::piece) return describe(structure, body);
  const Piece& piece = structure[PieceId{body.index}];
  return piece.mark.empty() ? piece.name : piece.name + " " + piece.mark;
}

/// "front and back", whichever way the timber lies.
std::string both(const std::string& a, const std::string& b) {
  const bool turn = b == "left" || b == "front" || b == "top" || b == "inside";
  return turn ? b + " and " + a : a + " and " + b;
}

std::string degrees(double angle) { return fmt::format("{:g}°", std::round(angle * 10) / 10); }

std::string setting_of(const EndCut& cut) {
  const SawSetting saw = saw_setting(cut);
  const bool mitre = saw.mitre_deg > 0.05, bevel = saw.bevel_deg > 0.05;
  if (mitre && bevel)
    return fmt::format("saw {} (mitre), blade {} (bevel)", degrees(saw.mitre_deg), degrees(saw.bevel_deg));
  return mitre ? fmt::format("saw {} (mitre)", degrees(saw.mitre_deg))
               : fmt::format("blade {} (bevel)", degrees(saw.bevel_deg));
}

/// Marks out the pieces of one hand, by the first of them; the others lend their partners and their words.
class Marker {
 public:
  Marker(const Structure& structure, const Hand& hand, const std::vector<Meetings>& meetings, LengthStyle style)
      : structure_(structure),
        hand_(hand),
        pieces_(hand.pieces),
        piece_(structure[hand.pieces.front()]),
        meetings_(meetings),
        words_(structure, hand.pieces),
        style_(style) {
    list_.mark = piece_.mark;
    list_.hand = hand.name;
    list_.datum = words_.datum();
    list_.pieces = hand.pieces;
    for (std::size_t i = 0; i < list_.faces.size(); ++i) list_.faces[i] = words_.face(static_cast<Face>(i));
  }

  MarkList mark() {
    mark_square_ends();
    for (std::size_t i = 0; i < piece_.machining.size(); ++i)
      std::visit([&](const auto& machining) { add(machining, i); }, piece_.machining[i]);
    const Meetings& mine = meetings(pieces_.front());
    for (const auto& seats : hand_.seats) add_seat(seats);
    mark_centres();
    for (const Drilling& hole : mine.holes) add_drilling(hole);
    if (mine.ground_mm) add_ground(*mine.ground_mm);
    std::stable_sort(list_.marks.begin(), list_.marks.end(), [](const Mark& a, const Mark& b) {
      // Nearly equal places in the order of their faces, whatever the last digit of a double says.
      const auto key = [](const Mark& m) {
        return std::tuple(std::round(m.at_mm / kSame), m.face, m.kind,
                          m.kind == MarkKind::hole ? m.across_mm.value_or(0) : m.depth_mm);
      };
      return key(a) < key(b);
    });
    return std::move(list_);
  }

 private:
  double length() const { return piece_.length.value(); }
  double width() const { return piece_.width.value(); }
  double thickness() const { return piece_.thickness.value(); }
  std::string print(double mm) const { return format_length(mm, style_); }

  const Meetings& meetings(PieceId id) const { return meetings_[static_cast<std::size_t>(id.index)]; }

  Mark& put(double at, Face face, MarkKind kind) {
    Mark& mark = put(at, words_.face(face), kind);
    mark.on = face;
    return mark;
  }

  Mark& put(double at, std::string face, MarkKind kind) {
    Mark mark;
    mark.at_mm = same(at, 0) ? 0 : at;
    mark.face = std::move(face);
    mark.kind = kind;
    list_.marks.push_back(std::move(mark));
    return list_.marks.back();
  }

  bool on_piece(double at) const { return at > -kSame && at < length() + kSame; }

  /// An end without a slanting cut or a shape is sawn square.
  void mark_square_ends() {
    bool start = true, finish = true;
    for (const Machining& machining : piece_.machining) {
      const auto* cut = std::get_if<EndCut>(&machining);
      const auto* shape = std::get_if<ShapedEnd>(&machining);
      if (cut == nullptr && shape == nullptr) continue;
      if (cut != nullptr && taper_of(piece_, *cut)) continue;  // what is left of the end is square
      ((cut != nullptr ? cut->end : shape->end) == End::start ? start : finish) = false;
    }
    if (start) put(0, "all round", MarkKind::end);
    if (finish) put(length(), "all round", MarkKind::end).why = piece_.length.sum(style_);
  }

  /// Where the plane of a cut meets the arris at (y, z).
  static double at_arris(const EndCut& cut, double y, double z) {
    const Vec3 n = cut.normal, p = cut.point;
    return p.x - (n.y * (y - p.y) + n.z * (z - p.z)) / n.x;
  }

  void add(const EndCut& cut, std::size_t) {
    if (same(cut.normal.x, 0)) return;  // runs along the timber: nothing to mark across it
    if (const auto taper = taper_of(piece_, cut)) return mark_taper(cut, *taper);
    const double w = width(), t = thickness();
    const bool mitre = !same(at_arris(cut, 0, 0), at_arris(cut, w, 0));
    const bool bevel = !same(at_arris(cut, 0, 0), at_arris(cut, 0, t));
    if (!mitre && !bevel) {
      const double at = at_arris(cut, 0, 0);
      Mark& mark = put(at, "all round", MarkKind::end);
      if (same(at, length())) mark.why = piece_.length.sum(style_);
    } else if (mitre && bevel) {
      for (const Face edge : {Face::edge_low, Face::edge_high})
        for (const Face side : {Face::side_low, Face::side_high})
          slant(cut, at_arris(cut, edge == Face::edge_low ? 0 : w, side == Face::side_low ? 0 : t),
                words_.face(edge) + ", at the " + words_.face(side));
    } else if (mitre) {
      slant(cut, at_arris(cut, 0, 0), Face::edge_low);
      slant(cut, at_arris(cut, w, 0), Face::edge_high);
    } else {
      slant(cut, at_arris(cut, 0, 0), Face::side_low);
      slant(cut, at_arris(cut, 0, t), Face::side_high);
    }
  }

  /// Where it begins, on its own face, and how much of the end is left.
  void mark_taper(const EndCut& cut, const Taper& taper) {
    const bool edge = taper.face == Face::edge_low || taper.face == Face::edge_high;
    const bool low = taper.face == Face::edge_low || taper.face == Face::side_low;
    const double end = cut.end == End::start ? 0 : length(), whole = edge ? width() : thickness();
    Mark& mark = put(cut.end == End::start ? taper.along : length() - taper.along, taper.face, MarkKind::mitre);
    const Face across = edge ? (low ? Face::edge_high : Face::edge_low) : (low ? Face::side_high : Face::side_low);
    mark.setting = fmt::format("taper to the {}: there {} from the {}", end == 0 ? "datum end" : "far end",
                               format_length(whole - taper.off, style_), words_.face(across));
  }

  template <class Where>
  void slant(const EndCut& cut, double at, Where face) {
    if (!on_piece(at)) return;
    Mark& mark = put(at, face, MarkKind::mitre);
    mark.setting = setting_of(cut);
    if (same(at, 0)) mark.why = "long point";
    if (same(at, length())) mark.why = "long point: " + piece_.length.sum(style_);
  }

  void add(const ShapedEnd& shape, std::size_t) {
    const auto leaves = [&](double x, double y) {
      Mark& mark = put(x, y < width() / 2 ? Face::edge_low : Face::edge_high, MarkKind::shape);
      mark.against = shape.profile;
      mark.setting = "draw round the template";
    };
    leaves(shape.start_x, shape.start_y);
    if (!shape.strokes.empty()) leaves(shape.strokes.back().x, shape.strokes.back().y);
  }

  /// Every partner that some piece of this mark meets in the same notch.
  std::string partners(std::size_t index) const {
    std::vector<std::string> names;
    for (PieceId id : pieces_) {
      const auto& machining = structure_[id].machining;
      const auto* notch = index < machining.size() ? std::get_if<Notch>(&machining[index]) : nullptr;
      if (notch == nullptr) continue;
      const std::string name = partner(structure_, notch->against);
      if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
    }
    return fmt::format("{}", fmt::join(names, " or "));
  }

  double depth_of(const Notch& notch) const {
    switch (notch.opens_on) {
      case Face::edge_low:
        return notch.region.max.y;
      case Face::edge_high:
        return width() - notch.region.min.y;
      case Face::side_low:
        return notch.region.max.z;
      case Face::side_high:
        return thickness() - notch.region.min.z;
      case Face::start:
        return notch.region.max.x;
      case Face::finish:
        return length() - notch.region.min.x;
    }
    return 0;
  }

  static bool on_edge(Face face) { return face == Face::edge_low || face == Face::edge_high; }

  /// Where a notch does not run right across the face it opens on.
  std::string stopped(const Notch& notch) const {
    const bool edge = on_edge(notch.opens_on);
    const double low = edge ? notch.region.min.z : notch.region.min.y;
    const double high = edge ? notch.region.max.z : notch.region.max.y;
    if (same(low, 0) && same(high, edge ? thickness() : width())) return "";
    return fmt::format("stopped: {} to {} from the {}", print(low), print(high),
                       words_.face(edge ? Face::side_low : Face::edge_low));
  }

  /// The two faces beside the one it opens on.
  std::string beside(const Notch& notch) const {
    const bool edge = on_edge(notch.opens_on);
    return both(words_.face(edge ? Face::side_low : Face::edge_low),
                words_.face(edge ? Face::side_high : Face::edge_high));
  }

  /// Of a bird's mouth two lines on the edge and the corner in which its cuts meet, on both sides.
  void mark_birds_mouth(const Notch& notch, std::size_t index) {
    const double depth = depth_of(notch);
    const std::string against = partners(index);
    for (const double at : {notch.region.min.x, notch.region.max.x}) {
      if (!on_piece(at)) continue;
      Mark& mark = put(at, notch.opens_on, MarkKind::shoulder);
      mark.against = against;
      mark.depth_mm = depth;
      mark.side = at < notch.corner ? Lies::beyond : Lies::before;
      mark.setting = fmt::format("bird's mouth, {} from square down to its corner",
                                 degrees(std::atan2(std::abs(notch.corner - at), depth) * 180 / std::acos(-1.0)));
      if (at < notch.corner) mark.why = notch.from.sum(style_);
    }
    Mark& mark = put(notch.corner, beside(notch), MarkKind::depth);
    mark.against = against;
    mark.depth_mm = depth;
    mark.setting = "corner of the bird's mouth, from the " + words_.face(notch.opens_on);
    mark.why = notch.deep.sum(style_);
  }

  /// An arc is struck from its ends and its depth in the middle, or by its radius.
  void mark_hollow(const Notch& notch) {
    const double depth = depth_of(notch), middle = (notch.region.min.x + notch.region.max.x) / 2;
    for (const double at : {notch.region.min.x, notch.region.max.x}) {
      Mark& mark = put(at, notch.opens_on, MarkKind::shape);
      mark.against = "hollow";
      mark.setting = fmt::format("the curve {} here", at < middle ? "begins" : "ends");
      mark.why = at < middle ? notch.from.sum(style_) : (notch.from + notch.wide).sum(style_);
    }
    Mark& mark = put(middle, beside(notch), MarkKind::depth);
    mark.against = "hollow";
    mark.depth_mm = depth;
    mark.setting = fmt::format("from the {}; radius {}", words_.face(notch.opens_on), print(radius_of(notch)));
    mark.why = notch.deep.sum(style_);
  }

  void add(const Notch& notch, std::size_t index) {
    if (notch.kind == Notch::Kind::birds_mouth) return mark_birds_mouth(notch, index);
    if (notch.kind == Notch::Kind::hollow) return mark_hollow(notch);
    const double depth = depth_of(notch);
    const std::string against = partners(index);
    const auto shoulder = [&](double at, const std::string& why) {
      if (same(at, 0) || same(at, length())) return;  // open at the end: the end is its side
      Mark& mark = put(at, notch.opens_on, MarkKind::shoulder);
      mark.against = against;
      mark.depth_mm = depth;
      mark.side = same(at, notch.region.min.x) ? Lies::beyond : Lies::before;
      mark.setting = stopped(notch);
      mark.why = why;
    };
    const bool by_end = notch.opens_on == Face::start || notch.opens_on == Face::finish;
    const bool derived = !by_end && same(notch.from.value(), notch.region.min.x) &&
                         same(notch.from.value() + notch.wide.value(), notch.region.max.x);
    shoulder(notch.region.min.x, derived ? notch.from.sum(style_) : "");
    shoulder(notch.region.max.x, derived ? (notch.from + notch.wide).sum(style_) : "");
    if (by_end) return;
    Mark& mark = put(std::max(0.0, notch.region.min.x), beside(notch), MarkKind::depth);
    mark.against = against;
    mark.depth_mm = depth;
    mark.setting = "from the " + words_.face(notch.opens_on);
    mark.why = same(notch.deep.value(), depth) ? notch.deep.sum(style_) : "";
  }

  /// The face a hole is drilled from: the one its centre lies on (at an arris, the one it meets most squarely).
  Face entry_face(const Hole& hole) const {
    const Vec3 size = piece_.blank().max;
    Face best = face_looking(-hole.direction);
    double squarest = 0;
    for (const Face face :
         {Face::edge_low, Face::edge_high, Face::side_low, Face::side_high, Face::start, Face::finish}) {
      const Vec3 out = outward(face);
      const double plane = std::max(0.0, dot(out, size));  // the box starts at the origin
      const double square = -dot(hole.direction, out);
      if (!same(dot(out, hole.entry), plane) || square <= squarest) continue;
      best = face;
      squarest = square;
    }
    return best;
  }

  static std::string_view use(Hole::Kind kind) {
    switch (kind) {
      case Hole::Kind::bolt:
        return "bolt";
      case Hole::Kind::clearance:
        return "clearance hole";
      case Hole::Kind::pilot:
        return "pilot hole";
      case Hole::Kind::counterbore:
        return "counterbore";
      case Hole::Kind::drain:
        return "drain hole";
    }
    return "";
  }

  void add(const Hole& hole, std::size_t) { put_hole(hole).against = use(hole.kind); }

  Mark& put_hole(const Hole& hole) {
    const Face face = entry_face(hole);
    const bool edge = on_edge(face);
    const bool end = face == Face::start || face == Face::finish;
    Mark& mark = put(hole.entry.x, face, MarkKind::hole);
    if (end) mark.face = face == Face::start ? "datum end" : "far end";
    mark.across_mm = edge ? hole.entry.z : hole.entry.y;
    mark.from_face = edge ? Face::side_low : Face::edge_low;
    mark.from = words_.face(*mark.from_face);
    if (end) mark.across_thickness_mm = hole.entry.z;
    mark.diameter_mm = hole.diameter;
    mark.depth_mm = hole.depth;
    mark.setting = hole.through ? "through" : print(hole.depth) + " deep";
    mark.setting += ", from the " + mark.from;
    if (end) mark.setting += fmt::format(" and {} from the {}", print(hole.entry.z), words_.face(Face::side_low));
    const double slant = std::acos(std::clamp(dot(-hole.direction, outward(face)), -1.0, 1.0)) * 180 / std::acos(-1.0);
    if (slant > 0.05) mark.setting += ", slanting " + degrees(slant);
    return mark;
  }

  // ---- what meets the piece -----------------------------------------------------------------------------------------

  using Row = std::vector<std::optional<Seat>>;

  /// The first of the pieces that is met there.
  static const Seat& example(const Row& seats) {
    return **std::find_if(seats.begin(), seats.end(), [](const auto& seat) { return seat.has_value(); });
  }

  /// "rail B1 or rail B2": what the pieces meet in this seat.
  std::string met(const Row& seats) const {
    std::vector<std::string> names;
    for (const auto& seat : seats) {
      if (!seat) continue;
      const std::string name = partner(structure_, seat->other);
      if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
    }
    return fmt::format("{}", fmt::join(names, " or "));
  }

  /// The shoulder that this line of a seat is already; else a line of its own.
  Mark& seat_line(const Seat& seat, const SeatLine& line, const std::string& against) {
    for (Mark& mark : list_.marks)
      if (mark.kind == MarkKind::shoulder && mark.on == seat.face && same(mark.at_mm, line.at_mm) &&
          mark.against == against && same(mark.depth_mm, seat.depth_mm) && mark.seats.empty())
        return mark;
    return put(line.at_mm, seat.face, MarkKind::seat);
  }

  void add_seat(const Row& seats) {
    const Seat& seat = example(seats);
    const std::string against = met(seats);
    for (const bool is_near : {true, false}) {
      const SeatLine& line = is_near ? seat.near : seat.far;
      Mark& mark = seat_line(seat, line, against);
      mark.against = against;
      mark.side = is_near ? Lies::beyond : Lies::before;
      mark.is_near = is_near;
      mark.from_face = seat.from;
      mark.from = words_.face(seat.from);
      if (!runs_across(seat)) mark.across_mm = seat.across_mm, mark.wide_mm = seat.wide_mm;
      mark.depth_mm = seat.depth_mm;
      mark.angle_deg = same(line.angle_deg, 0) ? 0 : line.angle_deg;
      mark.tilt_deg = same(seat.tilt_deg, 0) ? 0 : seat.tilt_deg;
      mark.seats = seats;
      mark.across_thickness_mm = is_near ? seat.near_z_mm : seat.far_z_mm;
      if (mark.across_thickness_mm) {
        mark.face = seat.face == Face::start ? "datum end" : "far end";
        mark.side = Lies::nowhere;
        continue;
      }
      if (mark.kind != MarkKind::seat) continue;
      if (!same(seat.depth_mm, 0)) mark.setting = print(seat.depth_mm) + " below the face";
      if (mark.angle_deg != 0)
        mark.setting += fmt::format("{}{} from square, {} from the {}", mark.setting.empty() ? "" : ", ",
                                    degrees(std::abs(mark.angle_deg)), mark.angle_deg > 0 ? "on" : "back", mark.from);
      if (mark.tilt_deg != 0)
        mark.setting += fmt::format("{}{} {} from the {}", mark.setting.empty() ? "" : ", ",
                                    mark.tilt_deg > 0 ? "rises" : "falls", degrees(std::abs(mark.tilt_deg)), mark.from);
    }
  }

  /// Middle lines of seats in a row: three and more of one name and width on one face.
  void mark_centres() {
    struct InRow {
      Face face;
      std::string name;
      double wide;
      std::vector<std::pair<double, std::string>> middles;
    };
    std::vector<InRow> rows;
    for (const Row& seats : hand_.seats) {
      const Seat& seat = example(seats);
      if (seat.other.kind != Body::Kind::piece || seat.near.angle_deg != 0 || seat.far.angle_deg != 0) continue;
      const std::string& name = structure_[PieceId{seat.other.index}].name;
      const double wide = seat.far.at_mm - seat.near.at_mm;
      auto row = std::find_if(rows.begin(), rows.end(), [&](const InRow& r) {
        return r.face == seat.face && r.name == name && same(r.wide, wide);
      });
      if (row == rows.end()) row = rows.insert(row, {seat.face, name, wide, {}});
      row->middles.emplace_back(seat.near.at_mm + wide / 2, met(seats));
    }
    for (const InRow& row : rows) {
      if (row.middles.size() < 3) continue;
      for (const auto& [at, against] : row.middles) put(at, row.face, MarkKind::centre).against = against;
    }
  }

  void add_drilling(const Drilling& drilling) {
    const Fixing& fixing = structure_.fixings[static_cast<std::size_t>(drilling.fixing)];
    if (timber::is_connector(fixing.kind)) {
      add_fold(fixing, drilling);
      return;
    }
    Mark& mark = put_hole(drilling.hole);
    mark.against = fixing.item;
    mark.fixing = ForFixing{fixing.item, drilling.counterbore, drilling.sunk, drilling.nth == 0,
                            drilling.nth + 1 == fixing.through.size()};
    if (drilling.sunk > 0) mark.setting += fmt::format(", head let in {}", print(drilling.sunk));
  }

  /// A bracket by the middle of its fold. Each leg points away from the face that the other leg lies on.
  void add_fold(const Fixing& fixing, const Drilling& drilling) {
    if (norm(fixing.leg) == 0) return;
    const Vec3 out = piece_.frame.direction_to_local(drilling.nth == 0 ? fixing.direction : fixing.leg);
    const Face face = face_looking(out);
    if (face == Face::start || face == Face::finish) return;
    const Vec3 fold = drilling.hole.entry;
    Mark& mark = put(fold.x, face, MarkKind::centre);
    mark.against = fixing.item;
    mark.across_mm = on_edge(face) ? fold.z : fold.y;
    mark.from_face = on_edge(face) ? Face::side_low : Face::edge_low;
    mark.from = words_.face(*mark.from_face);
    mark.setting = "the middle of its fold";
  }

  void add_ground(double at) {
    Mark& mark = put(at, "all round", MarkKind::seat);
    mark.against = describe(structure_, kGround);
    mark.side = piece_.frame.x.z > 0 ? Lies::before : Lies::beyond;
    mark.setting = "stands in the ground up to here";
  }

  const Structure& structure_;
  const Hand& hand_;
  const std::vector<PieceId>& pieces_;
  const Piece& piece_;
  const std::vector<Meetings>& meetings_;
  Words words_;
  LengthStyle style_;
  MarkList list_;
};

}  // namespace

std::string_view name(MarkKind kind) {
  switch (kind) {
    case MarkKind::centre:
      return "centre";
    case MarkKind::seat:
      return "seat";
    case MarkKind::end:
      return "end";
    case MarkKind::mitre:
      return "mitre";
    case MarkKind::shape:
      return "shape";
    case MarkKind::shoulder:
      return "shoulder";
    case MarkKind::depth:
      return "depth";
    case MarkKind::hole:
      return "hole";
  }
  return "";
}

std::string_view name(Lies lies) {
  switch (lies) {
    case Lies::nowhere:
      return "";
    case Lies::before:
      return "before";
    case Lies::beyond:
      return "beyond";
  }
  return "";
}

std::string title(const MarkList& list) {
  if (list.hand.empty()) return list.mark;
  return list.mark + " " + list.hand + (list.hand == "left" || list.hand == "right" ? " hand" : "");
}

Report mark_out(const Garden& garden, LengthStyle style, const Saw& saw, Heads heads) {
  Report report;
  for (std::size_t i = 0; i < garden.structures.size(); ++i) {
    const Structure& structure = garden.structures[i];
    const std::vector<Meetings> meetings = meetings_of(structure);
    for (const MarkGroup& group : marks(structure))
      for (const Hand& hand : hands_of(structure, group, meetings)) {
        report.lists.push_back(Marker(structure, hand, meetings, style).mark());
        report.lists.back().structure = static_cast<int>(i);
      }
  }
  report.templates = templates(garden, saw, style);
  report.frames = flat_frames(garden);
  report.order = cutting_order(garden, saw, style, heads);
  return report;
}

}  // namespace garthwright::marking
