// SPDX-License-Identifier: Apache-2.0
#include "marking/seat.h"

#include <cmath>
#include <limits>
#include <utility>

#include "structure/tapering.h"

namespace garthwright::marking {
namespace {

constexpr double kParallel = 1 - 1e-9;  // cosine
constexpr double kTouching = 0.02;      // mm
constexpr double kAlong = 0.9;          // cosine: a line so near the length of the piece marks nothing on it

bool is_edge(Face face) { return face == Face::edge_low || face == Face::edge_high; }
bool is_end(Face face) { return face == Face::start || face == Face::finish; }

using Pair = std::array<Side, 2>;
constexpr std::array<Face, 4> kLong{Face::edge_low, Face::edge_high, Face::side_low, Face::side_high};

std::vector<Side> ends_of(const Structure& structure, Body body) {
  std::vector<Side> ends;
  for (const Face face : {Face::start, Face::finish}) {
    int cuts = 0;
    if (body.kind == Body::Kind::piece)
      for (const Machining& machining : structure[PieceId{body.index}].machining)
        if (const auto* cut = std::get_if<EndCut>(&machining);
            cut != nullptr && !taper_of(structure[PieceId{body.index}], *cut))
          cuts += (cut->end == End::start) == (face == Face::start) ? 1 : 0;
    for (int i = 0; i < std::max(1, cuts); ++i) ends.push_back({face, i});
  }
  return ends;
}

/// The plane of contact as both bodies see it.
struct Contact {
  Vec3 point, out;       ///< in this piece's coordinates; `out` from it to the other
  Vec3 their_point, in;  ///< in the other's; `in` from it to this piece
};

/// The side of the other body that lies in the contact, or above it where it is let in.
struct Touching {
  Side side;
  double let_in_mm = 0;
};

/// The edge of a rafter that lies here with the seat of a bird's mouth, which slopes to that edge.
std::optional<Face> mouth_over(const Structure& structure, Body other, const Contact& contact) {
  if (other.kind != Body::Kind::piece) return std::nullopt;
  for (const Machining& machining : structure[PieceId{other.index}].machining) {
    const auto* notch = std::get_if<Notch>(&machining);
    if (notch == nullptr || notch->kind != Notch::Kind::birds_mouth) continue;
    const double x = contact.their_point.x;
    if (x > notch->region.min.x && x < notch->region.max.x && dot(outward(notch->opens_on), contact.in) > 0.5)
      return notch->opens_on;
  }
  return std::nullopt;
}

std::optional<Touching> touching_side(const Structure& structure, Body other, const Contact& contact) {
  for (const Face face : kLong) {
    const SidePlane plane = plane_of(structure, other, {face, 0});
    if (dot(plane.normal, contact.in) > kParallel)
      return Touching{{face, 0}, dot(plane.point - contact.their_point, plane.normal)};
  }
  if (const auto edge = mouth_over(structure, other, contact)) {
    const SidePlane plane = plane_of(structure, other, {*edge, 0});
    return Touching{{*edge, 0}, dot(plane.point - contact.their_point, plane.normal)};
  }
  for (const Side& end : ends_of(structure, other)) {
    const SidePlane plane = plane_of(structure, other, end);
    if (dot(plane.normal, contact.in) > kParallel &&
        std::abs(dot(plane.point - contact.their_point, plane.normal)) < kTouching)
      return Touching{end, 0};
  }
  return std::nullopt;
}

/// A line in the plane of contact, in this piece's coordinates.
struct Line {
  Vec3 point, along;  ///< unit
};

/// Where a side of the other body cuts the contact; none where it runs with it.
std::optional<Line> cut_line(const Structure& structure, const Frame& mine, const Contact& contact, Body other,
                             Side side) {
  const Frame& theirs = frame_of(structure, other);
  const SidePlane plane = plane_of(structure, other, side);
  const Vec3 normal = mine.direction_to_local(theirs.direction_to_world(plane.normal));
  const Vec3 point = mine.to_local(theirs.to_world(plane.point));
  const Vec3 along = cross(contact.out, normal);
  if (norm(along) < 1e-6) return std::nullopt;
  // From the point of contact, in its plane, straight to the side.
  const Vec3 towards = normal - dot(normal, contact.out) * contact.out;
  const double far = dot(point - contact.point, normal) / dot(towards, normal);
  return Line{contact.point + far * towards, unit(along)};
}

/// The length of a piece and a direction across one of its faces.
struct AcrossFace {
  bool edge = false;
  double size = 0;
  double operator()(Vec3 v) const { return edge ? v.z : v.y; }
};

Vec3 meeting(const Line& a, const Line& b, const AcrossFace& s) {
  // Both lie in one plane parallel to the face: solve in x and the direction across.
  const double det = a.along.x * s(b.along) - s(a.along) * b.along.x;
  const double dx = b.point.x - a.point.x, ds = s(b.point) - s(a.point);
  return a.point + ((dx * s(b.along) - ds * b.along.x) / det) * a.along;
}

double place_at(const Line& line, double across, const AcrossFace& s) {
  return line.point.x + (across - s(line.point)) * line.along.x / s(line.along);
}

/// Two ends against each other: where the other's sides come to on this one's end.
std::optional<Seat> seat_on_end(const Structure& structure, PieceId id, Body other, const Contact& contact,
                                const Touching& touching) {
  const Piece& piece = structure[id];
  std::optional<Side> mine;
  for (const Side& end : ends_of(structure, body(id))) {
    const SidePlane plane = plane_of(structure, body(id), end);
    if (dot(plane.normal, contact.out) > kParallel &&
        std::abs(dot(plane.point - contact.point, plane.normal)) < kTouching)
      mine = end;
  }
  if (!mine || mine->cut > 0) return std::nullopt;
  const Vec3 n = contact.out, up = unit(Vec3{0, 0, 1} - n.z * n);
  Vec3 wide = cross(up, n);
  if (wide.y < 0) wide = -wide;
  const auto line_of = [&](Face face) { return cut_line(structure, piece.frame, contact, other, {face, 0}); };
  const auto along = [&](Face face) {
    const auto line = line_of(face);
    return line ? std::abs(dot(line->along, wide)) : 0.0;
  };
  std::array<Face, 2> bound{Face::side_low, Face::side_high};
  Face flank = Face::edge_low, opposite = Face::edge_high;
  if (along(Face::edge_low) > along(Face::side_low) + 1e-9) {
    bound = {Face::edge_low, Face::edge_high};
    flank = Face::side_low, opposite = Face::side_high;
  }
  auto near = line_of(bound[0]), far = line_of(bound[1]);
  const auto beside = line_of(flank), beyond = line_of(opposite);
  if (!near || !far || !beside || !beyond) return std::nullopt;
  if (dot(far->point - near->point, up) < 0) {
    std::swap(near, far);
    std::swap(bound[0], bound[1]);
  }
  const auto corner = [&](const Line& a, const Line& b) {
    const Vec3 away = cross(b.along, n);  // in the plane, square to b
    return a.point + (dot(b.point - a.point, away) / dot(a.along, away)) * a.along;
  };
  const Vec3 at = corner(*near, *beside), at_far = corner(*far, *beside), other_side = corner(*near, *beyond);
  const Vec3 d = dot(near->along, wide) < 0 ? -near->along : near->along;
  const double lean = std::atan2(dot(d, up), dot(d, wide)) * 180 / std::acos(-1.0);
  Seat seat;
  seat.other = other;
  seat.face = mine->face;
  seat.from = Face::edge_low;
  seat.near = {at.x, lean, {bound[0], 0}};
  seat.far = {at_far.x, lean, {bound[1], 0}};
  seat.near_z_mm = at.z, seat.far_z_mm = at_far.z;
  seat.across_mm = at.y;
  seat.wide_mm = std::abs(other_side.y - at.y);
  seat.touching = touching.side;
  seat.across = {flank, 0};
  return seat;
}

std::optional<Seat> seat_on(const Structure& structure, PieceId id, JointId joint_id) {
  const Joint& joint = structure[joint_id];
  const Body me = body(id), other = joint.a == me ? joint.b : joint.a;
  if (other.kind == Body::Kind::ground || other.kind == Body::Kind::wall) return std::nullopt;
  const Piece& piece = structure[id];
  const Frame& theirs = frame_of(structure, other);
  const Vec3 out = joint.a == me ? joint.normal : -joint.normal;
  const Contact contact{piece.frame.to_local(joint.point), piece.frame.direction_to_local(out),
                        theirs.to_local(joint.point), theirs.direction_to_local(-out)};
  std::optional<Face> face;
  for (const Face each : kLong)
    if (dot(outward(each), contact.out) > kParallel) face = each;
  const std::optional<Touching> touching = touching_side(structure, other, contact);
  if (!touching) return std::nullopt;
  if (!face) {
    if (!is_end(touching->side.face)) return std::nullopt;  // the other has the seat
    auto seat = seat_on_end(structure, id, other, contact, *touching);
    if (seat) seat->joint = joint_id;
    return seat;
  }

  const AcrossFace s{is_edge(*face), is_edge(*face) ? piece.thickness.value() : piece.width.value()};
  const std::vector<Side> ends = ends_of(structure, other);
  const auto first_of = [&](Face end) {
    for (const Side& side : ends)
      if (side.face == end && side != touching->side) return side;
    return Side{end, 0};
  };
  const Pair edges{Side{Face::edge_low, 0}, Side{Face::edge_high, 0}};
  const Pair sides{Side{Face::side_low, 0}, Side{Face::side_high, 0}};
  const Pair both_ends{first_of(Face::start), first_of(Face::finish)};
  Pair lines = edges, beside = sides;
  if (!is_end(touching->side.face)) {
    lines = is_edge(touching->side.face) ? sides : edges;
    beside = both_ends;
  }
  const auto line_of = [&](const Side& side) { return cut_line(structure, piece.frame, contact, other, side); };
  const auto along_me = [&](const Pair& pair) {
    const auto line = line_of(pair[0]);
    return line ? std::abs(line->along.x) : 1.0;
  };
  const bool swap = is_end(touching->side.face) ? along_me(beside) + 1e-9 < along_me(lines) : along_me(lines) > kAlong;
  if (swap) std::swap(lines, beside);
  std::array<std::optional<Line>, 2> bound{line_of(lines[0]), line_of(lines[1])};
  const std::array<std::optional<Line>, 2> flank{line_of(beside[0]), line_of(beside[1])};
  for (const auto& line : {bound[0], bound[1], flank[0], flank[1]})
    if (!line) return std::nullopt;
  for (const auto& line : bound)
    if (std::abs(s(line->along)) < 1e-3) return std::nullopt;

  Seat seat;
  seat.other = other;
  seat.joint = joint_id;
  seat.face = *face;
  const Vec3 normal = outward(*face);
  seat.depth_mm =
      dot(piece.blank().max, normal) > 0 ? dot(piece.blank().max - contact.point, normal) : -dot(contact.point, normal);
  seat.touching = touching->side;
  seat.let_in_mm = touching->let_in_mm;
  if (place_at(*bound[1], s.size / 2, s) < place_at(*bound[0], s.size / 2, s)) {
    std::swap(bound[0], bound[1]);
    std::swap(lines[0], lines[1]);
  }
  // Across from whichever edge the other's side lies nearest to, so that flush is 0.
  double least = std::numeric_limits<double>::infinity();
  bool low = true;
  std::array<double, 2> corner{};
  for (std::size_t i = 0; i < 2; ++i) corner[i] = s(meeting(*bound[0], *flank[i], s));
  for (std::size_t i = 0; i < 2; ++i)
    for (const bool from_low : {true, false}) {
      const double across = from_low ? corner[i] : s.size - corner[i];
      // The side that faces the edge is the one to measure: the other body lies beyond it, seen from there.
      const bool faces_it = from_low ? corner[i] <= corner[1 - i] : corner[i] >= corner[1 - i];
      // In the middle either edge will do: the low one, so that equal pieces are told alike however they lie.
      const bool as_near = std::abs(std::abs(across) - least) <= 1e-6 && from_low && !low;
      if (!faces_it || (std::abs(across) + 1e-6 >= least && !as_near)) continue;
      if (is_end(beside[i].face) && !from_low) continue;
      least = std::abs(across);
      low = from_low;
      seat.across_mm = across;
      seat.across = beside[i];
    }
  seat.wide_mm = std::abs(corner[1] - corner[0]);
  seat.from = s.edge ? (low ? Face::side_low : Face::side_high) : (low ? Face::edge_low : Face::edge_high);
  const auto told = [&](const Line& line, const Side& side) {
    const double lean = std::atan(line.along.x / s(line.along)) * 180 / std::acos(-1.0);
    return SeatLine{place_at(line, low ? 0 : s.size, s), low ? lean : -lean, side};
  };
  seat.near = told(*bound[0], lines[0]);
  seat.far = told(*bound[1], lines[1]);
  const Vec3 its_side =
      piece.frame.direction_to_local(theirs.direction_to_world(plane_of(structure, other, touching->side).normal));
  if (dot(its_side, contact.out) > -kParallel) {
    const Vec3 along = s(bound[0]->along) * (low ? 1 : -1) < 0 ? -bound[0]->along : bound[0]->along;
    seat.tilt_deg = std::atan2(dot(its_side, along), -dot(its_side, contact.out)) * 180 / std::acos(-1.0);
    seat.let_in_at_mm = contact.their_point.x;
  }
  return seat;
}

}  // namespace

SidePlane plane_of(const Structure& structure, Body body, Side side) {
  if (is_end(side.face) && body.kind == Body::Kind::piece) {
    int count = 0;
    for (const Machining& machining : structure[PieceId{body.index}].machining) {
      const auto* cut = std::get_if<EndCut>(&machining);
      if (cut == nullptr || (cut->end == End::start) != (side.face == Face::start)) continue;
      if (taper_of(structure[PieceId{body.index}], *cut)) continue;
      if (count++ == side.cut) return {cut->point, unit(cut->normal)};
    }
  }
  const Box blank = blank_of(structure, body);
  const Vec3 normal = outward(side.face);
  return {normal.x + normal.y + normal.z > 0 ? blank.max : blank.min, normal};
}

bool runs_across(const Seat& seat) { return is_end(seat.across.face); }

std::vector<Seat> seats_of(const Structure& structure, PieceId piece, const std::vector<JointId>& joints) {
  std::vector<Seat> seats;
  for (const JointId joint : joints)
    if (auto seat = seat_on(structure, piece, joint)) seats.push_back(*seat);
  return seats;
}

}  // namespace garthwright::marking
