// SPDX-License-Identifier: Apache-2.0
#include "strength/model.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <numbers>

#include "base/us_customary.h"
#include "strength/crushing.h"
#include "strength/ec5_connections.h"
#include "strength/ec5_members.h"
#include "strength/en338.h"
#include "strength/nds_members.h"
#include "strength/slip_moduli.h"
#include "structure/joint_index.h"
#include "structure/polygon.h"

namespace garthwright::strength {
namespace {

constexpr double kOneNode = 8;  // mm: places that loads and the ground need, from the next node; shorter bars blur all
// A post in its collar of concrete goes as one stiff body in the ground (ground/elastic_posts.h, RigidPost): below the
// surface it is a bar of EI 2 × 10^14 N·mm², some 600 times the stoutest post's.
constexpr double kStiffE = 2e5, kStiffI = 1e9;
constexpr double kStrip = 200;  // mm: a long face presses at places so far apart
/// Part of its stiffness along itself that a fixing in end grain keeps: no strength may be counted on there (EN
/// 1995-1-1 8.3.1.2(4), 8.7.2(2)), and what it holds before it lets go must not unload the others.
constexpr double kEndGrain = 0.01;
constexpr double kScrewsOfBracket = 0.3;   // of a bracket's width, to either side of its middle: where its screws hold
constexpr double kBesideOneAnother = 0.9;  // cosine between grains from which timbers run together and do not cross
/// What the ground and a floor give under a loose foot, N/mm³: a small plate on sand 20 to 60 MN/m³ (Terzaghi 1955,
/// from memory); by how much, decides little here. It is kept from sliding by so little that feet tie no frame together
/// (N/mm at each place, our own); whether it slides is a check of its own.
constexpr double kGroundGives = 0.03, kFloorGives = 1, kKeepsPlace = 5;
/// How far out a face that opens presses: parts of the way from its middle to its edge. A quarter of the bed in every
/// corner is no even bed, which turns three times as far, but timber is none either: pressed at an edge it bears by
/// what lies round about. In solid timbers (tests/joint_in_solid.py: a beam on a post's face, a rafter on a beam, one
/// screw) an opened face presses 0.91 to 0.97 of the way out and an even bed 0.71 to 0.85: by corners at the very edge
/// a screw is pulled 3 to 9 % too little, by an even bed 11 to 29 % too much. A rafter's seat turns 6 % farther than so
/// reckoned, by an even bed 2.3 times as far; a beam's tall face 1.3 to 1.6 times as far: what turns and not loads such
/// a joint, a leaning post, pries it less than is said here.
constexpr double kRocksOn = 0.94;
/// Where timbers lie on each other what lies about such a place is soon crushed, and what lies within takes over. So
/// four fifths of a face's stiffness stand at its rim and the rest farther in (our own: an open face then presses 0.89
/// of the way out while nothing is crushed, see above). A corner bears nine tenths of what the bearing's check grants a
/// push that stands there (kPressesWithin): what hardens is the rest. Faces pressed sideways, whose bearing is not
/// judged, are not crushed here: they pry as hard as they can.
constexpr double kOfRim = 0.8, kCore = 0.44, kRim = 1 - kPressesWithin, kOfCorner = 0.9 * 4 * kRim * kRim;
/// Part of its stiffness that crushed wood has left: pressed across its grain it hardens and never breaks (Blass and
/// Görlacher 2004, from memory, for the shape; the number is our own).
constexpr double kCrushed = 0.05;
constexpr double kPressedAcross = 0.7;  // cosine to the grain below which a face is pressed across it
constexpr double kOpenGap = 20;         // mm: a shoulder that far from the other timber is none

using Array = frame::Vec3;
Array array(Vec3 v) { return {v.x, v.y, v.z}; }

double along(const Piece& piece, Vec3 world) {
  return std::clamp(piece.frame.to_local(world).x, 0.0, piece.length.value());
}

bool between_pieces(const Joint& j) { return j.a.kind == Body::Kind::piece && j.b.kind == Body::Kind::piece; }

/// Which timbers hang together by fixings and end in the ground or on a wall.
std::vector<bool> carrying(const Structure& s, const std::vector<std::vector<int>>& fixings,
                           const std::vector<bool>& left_out) {
  std::vector<bool> reached(s.pieces.size(), false);
  for (const Footing& f : s.footings) reached[static_cast<std::size_t>(f.post.index)] = true;
  for (const Foot& f : s.feet) reached[static_cast<std::size_t>(f.piece.index)] = true;
  for (const Joint& j : s.joints)
    if (j.b == kWall || j.b == kGround || j.a == kWall || j.a == kGround) {
      const Body b = j.a.kind == Body::Kind::piece ? j.a : j.b;
      if (b.kind == Body::Kind::piece) reached[static_cast<std::size_t>(b.index)] = true;
    }
  for (bool grew = true; grew;) {
    grew = false;
    for (std::size_t i = 0; i < s.joints.size(); ++i) {
      const Joint& j = s.joints[i];
      if (fixings[i].empty() || !between_pieces(j)) continue;
      const auto a = static_cast<std::size_t>(j.a.index), b = static_cast<std::size_t>(j.b.index);
      if (left_out[a] || left_out[b] || reached[a] == reached[b]) continue;
      reached[a] = reached[b] = true;
      grew = true;
    }
  }
  for (std::size_t p = 0; p < reached.size(); ++p) reached[p] = reached[p] && !left_out[p];
  return reached;
}

/// The carrying pieces that a loose body leans on: those it touches, else those its neighbours touch. Posts alone where
/// there are posts among them.
std::vector<PieceId> holders(const Structure& s, const std::vector<bool>& carries, Body start) {
  std::vector<Body> seen{start}, edge{start};
  std::vector<PieceId> found;
  while (found.empty() && !edge.empty()) {
    std::vector<Body> next;
    for (const Body from : edge)
      for (const Joint& j : s.joints) {
        const Body other = j.a == from ? j.b : j.b == from ? j.a : from;
        if (other == from || std::find(seen.begin(), seen.end(), other) != seen.end()) continue;
        if (other.kind != Body::Kind::piece && other.kind != Body::Kind::panel) continue;
        seen.push_back(other);
        if (other.kind == Body::Kind::piece && carries[static_cast<std::size_t>(other.index)])
          found.push_back(PieceId{other.index});
        else
          next.push_back(other);
      }
    edge = next;
  }
  std::vector<PieceId> posts;
  for (const PieceId p : found)
    if (is_founded(s, p)) posts.push_back(p);
  return posts.empty() ? found : posts;
}

frame::Member stiff_bar(std::string id, frame::NodeIndex from, frame::NodeIndex to) {
  frame::Member bar;
  bar.id = std::move(id);
  bar.ends = {from, to};
  bar.area_mm2 = 3600;
  bar.iy_mm4 = bar.iz_mm4 = kStiffI;
  bar.j_mm4 = 2 * kStiffI;
  bar.e_mpa = kStiffE;
  bar.g_mpa = kStiffE / 2;
  return bar;
}

/// Slip of one fixing that reaches `beyond` into the other body, N/mm, across and along itself: slip_moduli.h. What has
/// no strength in end grain has next to no stiffness there, or it would draw forces that it may not carry.
struct FixingSlip {
  double across = 0, in_use = 0, along = 0;
};
FixingSlip slip_of(const Fixing& f, const Stiffness& one, const Stiffness& other, double beyond, bool end_grain,
                   const ModelOptions& options) {
  if (beyond <= 0) return {};  // it does not reach the other timber
  const SlipModuli moduli = slip_moduli(f, one.rho_mean, other.rho_mean, beyond);
  FixingSlip k{moduli.k_u, moduli.k_ser, moduli.along_soft};
  if (!end_grain) return k;
  const Holds holds = holds_in_end_grain(f, options.us_route);
  if (!holds.across) k.across *= kEndGrain, k.in_use *= kEndGrain;
  if (!holds.along) k.along *= kEndGrain;
  return k;
}

/// Where a fixing crosses the face of a joint, or is nearest to its middle where it runs along the face.
Vec3 crossing_of(const Fixing& f, const Joint& j) {
  const Vec3 d = unit(f.direction);
  const double steep = dot(d, j.normal);
  const double t = std::abs(steep) > 0.3 ? dot(j.point - f.head, j.normal) / steep : dot(j.point - f.head, d);
  return f.head + std::clamp(t, 0.0, f.length) * d;
}

/// What a face gives under pressure along n, N/mm for each mm²: the timber from it to the piece's middle, E / t, by
/// Hankinson between along and across the grain.
double give(const Stiffness& stiff, const Piece& piece, Vec3 at, Vec3 n) {
  const Vec3 local = piece.frame.to_local(at), dir = piece.frame.direction_to_local(n);
  const double c2 = dir.x * dir.x, e = 1 / (c2 / stiff.e + (1 - c2) / stiff.e_across);
  const double t =
      std::abs(dir.y * (local.y - piece.width.value() / 2) + dir.z * (local.z - piece.thickness.value() / 2));
  const double least = std::min(piece.width.value(), piece.thickness.value()) / 2;
  return std::max(t, least) / e;
}

/// Places over a convex face that share its pressure, each with its part of the area: at the corners, and for a long
/// face at the ends of lines across it.
struct Place {
  Vec3 middle, corner;  ///< of the face or of the line, and outermost
  double area = 0;
  Vec3 out(double part) const { return middle + part * (corner - middle); }
};
std::vector<Place> places_over(const std::vector<Vec3>& face, Vec3 normal) {
  double whole = 0;
  Vec3 longest;
  for (std::size_t i = 0; i < face.size(); ++i) {
    const Vec3 edge = face[(i + 1) % face.size()] - face[i];
    if (norm(edge) > norm(longest)) longest = edge;
    if (i > 0 && i + 1 < face.size()) whole += 0.5 * norm(cross(face[i] - face[0], face[i + 1] - face[0]));
  }
  std::vector<Place> places;
  if (whole < 1) return places;
  const Vec3 u = unit(longest), v = cross(normal, u);
  double low = 1e18, high = -1e18;
  for (const Vec3& c : face) low = std::min(low, dot(c, u)), high = std::max(high, dot(c, u));
  const int strips = static_cast<int>(std::ceil((high - low) / kStrip));
  if (strips < 2) {
    const Vec3 middle = centroid(face);
    for (const Vec3& c : face) places.push_back({middle, c, whole / static_cast<double>(face.size())});
    return places;
  }
  std::vector<std::array<double, 3>> cuts;  // along u, from and to along v
  for (int i = 0; i <= strips; ++i) {
    const double at = low + (high - low) * (0.01 + 0.98 * i / strips);
    double from = 1e18, to = -1e18;
    for (std::size_t k = 0; k < face.size(); ++k) {
      const Vec3 &a = face[k], &b = face[(k + 1) % face.size()];
      const double ua = dot(a, u), ub = dot(b, u);
      if ((ua - at) * (ub - at) > 0 || ua == ub) continue;
      const double w = dot(a, v) + (dot(b, v) - dot(a, v)) * (at - ua) / (ub - ua);
      from = std::min(from, w), to = std::max(to, w);
    }
    if (to > from) cuts.push_back({at, from, to});
  }
  double widths = 0;
  for (std::size_t i = 0; i < cuts.size(); ++i)
    widths += (i == 0 || i + 1 == cuts.size() ? 0.5 : 1) * (cuts[i][2] - cuts[i][1]);
  const double out = dot(face[0], normal);
  for (std::size_t i = 0; i < cuts.size(); ++i) {
    const Vec3 on_line = cuts[i][0] * u + out * normal;
    const Vec3 middle = on_line + (cuts[i][1] + cuts[i][2]) / 2 * v;
    const double part = (i == 0 || i + 1 == cuts.size() ? 0.5 : 1) * (cuts[i][2] - cuts[i][1]) / widths;
    for (const double w : {cuts[i][1], cuts[i][2]}) places.push_back({middle, on_line + w * v, whole * part / 2});
  }
  return places;
}

/// What a piece bears at a face's rim before it is crushed there, with what reaches beyond it along the grain (EN
/// 1995-1-1 6.1.5(1), C_b of the NDS), as a part of what it bears on the same area in the middle.
double spread(const Piece& piece, const std::vector<Vec3>& face, Vec3 rim_at, Vec3 n, bool us_route) {
  if (std::abs(dot(piece.frame.x, n)) >= kPressedAcross) return 1;
  double low = 1e18, high = -1e18;
  for (const Vec3& c : face) {
    const double x = piece.frame.to_local(c).x;
    low = std::min(low, x), high = std::max(high, x);
  }
  const double rim = kRim * (high - low), x = along(piece, rim_at);
  if (rim <= 0) return 1;
  const double after = piece.length.value() - x;
  return us_route ? nds::bearing_factor(rim / kMillimetresPerInch, std::min(x, after) / kMillimetresPerInch)
                  : ec5::bearing_length(rim, x, after) / rim;
}

/// A part of a timber's length.
struct Stretch {
  double from = 0, to = 0;
  double middle() const { return (from + to) / 2; }
  bool holds(const Stretch& other) const { return from <= other.from && other.to <= to; }
};

/// A face of a notch other than its floor, on which the timber in it bears sideways.
struct Shoulder {
  std::vector<Vec3> face;  ///< world
  Vec3 normal;             ///< into the notch
  double gap = 0;
};
/// The heel of a bird's mouth: that of its two cuts which runs more along the depth; the seat is the joint's own patch.
Shoulder heel_of(const Piece& piece, const Notch& notch) {
  const bool low = notch.opens_on == Face::edge_low;
  const double edge = low ? 0 : piece.width.value(), deep = low ? notch.region.max.y : notch.region.min.y;
  const double before = notch.corner - notch.region.min.x, beyond = notch.region.max.x - notch.corner;
  const Vec3 corner{notch.corner, deep, 0}, out{before < beyond ? notch.region.min.x : notch.region.max.x, edge, 0};
  const Vec3 up{0, 0, piece.thickness.value()};
  const Vec3 along = unit(corner - out), inward = {before < beyond ? 1.0 : -1.0, 0, 0};
  Shoulder heel{{}, piece.frame.direction_to_world(unit(inward - dot(inward, along) * along))};
  for (const Vec3& local : {out, corner, corner + up, out + up}) heel.face.push_back(piece.frame.to_world(local));
  return heel;
}

std::vector<Shoulder> shoulders_of(const Piece& piece, const Notch& notch, const Piece& other) {
  if (notch.kind == Notch::Kind::birds_mouth) return {heel_of(piece, notch)};
  std::vector<Shoulder> shoulders;
  const Box blank = piece.blank();
  const Vec3 floor = outward(notch.opens_on);
  for (int axis = 0; axis < 3; ++axis) {
    if (floor[axis] != 0) continue;
    const Vec3 along = axis == 0 ? piece.frame.x : axis == 1 ? piece.frame.y : piece.frame.z;
    // How wide the other stands in the notch: known where it crosses square; where it runs askew it fits.
    double gap = 0;
    if (std::abs(dot(along, other.frame.x)) < 0.05)
      gap = (notch.region.size()[axis] - std::abs(dot(along, other.frame.y)) * other.width.value() -
             std::abs(dot(along, other.frame.z)) * other.thickness.value()) /
            2;
    if (gap > kOpenGap) continue;
    for (const bool low : {true, false}) {
      const double at = low ? notch.region.min[axis] : notch.region.max[axis];
      if (low ? at < blank.min[axis] + 1 : at > blank.max[axis] - 1) continue;  // it opens there
      Shoulder shoulder{{}, low ? along : -along, std::max(0.0, gap)};
      const int a = (axis + 1) % 3, b = (axis + 2) % 3;
      for (int corner = 0; corner < 4; ++corner) {
        Vec3 local;
        local[axis] = at;
        local[a] = corner == 0 || corner == 3 ? notch.region.min[a] : notch.region.max[a];
        local[b] = corner < 2 ? notch.region.min[b] : notch.region.max[b];
        shoulder.face.push_back(piece.frame.to_world(local));
      }
      shoulders.push_back(std::move(shoulder));
    }
  }
  return shoulders;
}

}  // namespace

Vec3 middle_at(const Piece& piece, double x) {
  return piece.frame.to_world({x, piece.width.value() / 2, piece.thickness.value() / 2});
}

Stiffness stiffness_of(const timber::Section& section) {
  if (const auto c = strength_class(section.strength_class))
    return {c->e0_mean, c->e90_mean, c->g_mean, c->rho_mean, c->rho_k};
  // American grades: E of wet No.2 in the softest common species (spruce-pine-fir 1.4e6 psi × CM 0.9), the density as
  // the yard says; G = E/16; across the grain E/30, as EN 384:2016 has for softwood.
  const double e = 1.4e6 * 0.9 * 0.00689476;
  const double rho = section.density_dry_kg_m3 > 0 ? section.density_dry_kg_m3 : 420;
  return {e, e / 30, e / 16, rho, rho / 1.2};
}

frame::NodeIndex Model::node_at(PieceId piece, double x) const {
  const auto& list = stations[static_cast<std::size_t>(piece.index)];
  const auto* best = &list.front();
  for (const auto& s : list)
    if (std::abs(s.first - x) < std::abs(best->first - x)) best = &s;
  return best->second;
}

frame::Frame Model::in_use() const {
  frame::Frame moving = frame;
  for (std::size_t link = 0; link < moving.links.size(); ++link) moving.links[link].k_across_n_mm = across_in_use[link];
  return moving;
}

Model model_of(const Structure& s, const ModelOptions& options) {
  Model m;
  const JointIndex index(s);
  std::vector<std::vector<int>> fixings;
  for (std::size_t i = 0; i < s.joints.size(); ++i) fixings.push_back(index.fixings_of(JointId{static_cast<int>(i)}));
  std::vector<bool> left_out(s.pieces.size(), false);
  for (std::size_t p = 0; p < s.pieces.size(); ++p)
    left_out[p] = !s.pieces[p].carries || (!options.with_braces && s.pieces[p].duties.has(Duty::brace));
  m.carries = carrying(s, fixings, left_out);
  const auto carries = [&](Body b) {
    return b.kind == Body::Kind::piece && m.carries[static_cast<std::size_t>(b.index)];
  };
  std::vector<Stiffness> stiff;
  std::vector<Crushing> crushing;
  for (const Piece& piece : s.pieces) {
    stiff.push_back(stiffness_of(s[piece.section]));
    crushing.push_back(crushing_of(s[piece.section], options.us_route));
  }

  // What meets where, before there are nodes: fixings in the faces they cross, and places that press.
  struct Meeting {
    JointId joint;
    Body first, second;
    Vec3 at, direction;
    double along = 0, across = 0, in_use = 0;   ///< of a fixing
    double press = 0, gap = 0, crushes_at = 0;  ///< of a contact
    int fixing = -1;
    bool ties = false, shoulder = false;
    std::size_t bearing = 0;  ///< of a contact
  };
  std::vector<Meeting> meetings;
  for (std::size_t i = 0; i < s.joints.size(); ++i) {
    const Joint& j = s.joints[i];
    const JointId id{static_cast<int>(i)};
    const bool wall = j.b == kWall && carries(j.a);
    if (!wall && !(carries(j.a) && carries(j.b))) continue;
    const auto side = [&](Body b) { return static_cast<std::size_t>(b.index); };
    const auto press = [&](const Place& place, Body first, Body second, Vec3 normal, double gap, bool shoulder) {
      const Vec3 rim = place.out(kRocksOn);
      double gives = 0, at_rim = std::numeric_limits<double>::infinity(), in_core = at_rim;  // mm³/N, N/mm²
      for (const Body b : {first, second}) {
        if (b.kind != Body::Kind::piece) continue;
        const Piece& piece = s.pieces[side(b)];
        const double cosine = std::min(1.0, std::abs(dot(piece.frame.x, normal)));
        const double bears = crushing[side(b)].at(std::acos(cosine) * 180 / std::numbers::pi);
        gives += give(stiff[side(b)], piece, rim, normal);
        at_rim = std::min(at_rim, bears * spread(piece, m.bearings.back().face, rim, normal, options.us_route));
        in_core = std::min(in_core, bears);
      }
      const auto add = [&](Vec3 at, double stiff_area, double crushes_at) {
        meetings.push_back({id, first, second, at, normal, 0, 0, 0, stiff_area / gives, gap, crushes_at, -1, false,
                            shoulder, m.bearings.size() - 1});
      };
      if (std::abs(normal.z) < kLies) return add(rim, place.area, std::numeric_limits<double>::infinity());
      add(rim, kOfRim * place.area, at_rim * kOfCorner * place.area);
      add(place.out(kCore), (1 - kOfRim) * place.area, in_core * (1 - kOfCorner) * place.area);
    };
    const std::vector<Place> on_face = places_over(j.patch, j.normal);
    if (!on_face.empty()) m.bearings.push_back({id, j.patch, j.normal});
    for (const Place& place : on_face) press(place, j.a, j.b, j.normal, 0, false);
    if (!wall)
      for (const auto& [notched, in] : {std::pair{j.a, j.b}, std::pair{j.b, j.a}})
        for (const Machining& machining : s.pieces[side(notched)].machining)
          if (const Notch* notch = std::get_if<Notch>(&machining); notch != nullptr && notch->against == in)
            for (const Shoulder& shoulder : shoulders_of(s.pieces[side(notched)], *notch, s.pieces[side(in)])) {
              m.bearings.push_back({id, shoulder.face, shoulder.normal});
              for (const Place& place : places_over(shoulder.face, shoulder.normal))
                press(place, notched, in, shoulder.normal, shoulder.gap, true);
            }
    for (const int index : fixings[i]) {
      const Fixing& f = s.fixings[static_cast<std::size_t>(index)];
      // Only between timbers that follow one another on it; what carries nothing between them is packing.
      std::vector<Body> chain;
      for (const Body b : f.through)
        if (b == kWall || carries(b)) chain.push_back(b);
      const auto first = std::find(chain.begin(), chain.end(), j.a),
                 second = std::find(chain.begin(), chain.end(), j.b);
      if (first == chain.end() || second == chain.end() || std::abs(second - first) != 1) continue;
      // A bent part slips along its fold, and gives where a leg is bent off its face: either way across the fold.
      const bool bent = norm(f.leg) > 0;
      const Vec3 at = bent ? f.head : crossing_of(f, j);
      const Vec3 direction = unit(bent ? cross(f.leg, f.direction) : f.direction);
      const double beyond = bent ? f.length : f.length - dot(at - f.head, direction);
      const Stiffness& one = stiff[side(j.a)];
      const bool end_grain = into_end_grain(s, f, j.a) || into_end_grain(s, f, j.b);
      FixingSlip k = slip_of(f, one, wall ? one : stiff[side(j.b)], beyond, end_grain, options);
      if (bent) k.in_use = k.along, std::swap(k.along, k.across);
      // Pulled apart along the fixing, from the body on the head's side.
      const bool head_at_a = first < second;
      const bool ties =
          !bent && !end_grain && !on_face.empty() && k.along > 0 && std::abs(dot(direction, j.normal)) > 0.3;
      Meeting link{id, j.a,   j.b,  at,   head_at_a ? direction : -direction, k.along, k.across, k.in_use, 0, 0,
                   0,  index, ties, false};
      if (!bent) {
        meetings.push_back(link);
        continue;
      }
      link.along /= 2, link.across /= 2, link.in_use /= 2;
      for (const double side : {-kScrewsOfBracket, kScrewsOfBracket}) {
        link.at = at + side * f.make.width_mm * direction;
        meetings.push_back(link);
      }
    }
  }

  // Stations along every carrying piece: one for all that meet within its depth of each other, and one wherever a load
  // or the ground needs it.
  std::vector<std::vector<double>> met(s.pieces.size()), wanted(s.pieces.size());
  std::vector<std::vector<Stretch>> crossed(s.pieces.size());  // where timbers lie that cross it
  std::map<std::pair<int, int>, std::size_t> crossed_by;       // piece and joint
  for (const Meeting& meeting : meetings)
    for (const auto& [b, other] : {std::pair{meeting.first, meeting.second}, {meeting.second, meeting.first}}) {
      if (b.kind != Body::Kind::piece) continue;
      const Piece& piece = s.pieces[static_cast<std::size_t>(b.index)];
      const double at = along(piece, meeting.at);
      met[static_cast<std::size_t>(b.index)].push_back(at);
      if (other.kind != Body::Kind::piece ||
          std::abs(dot(piece.frame.x, s.pieces[static_cast<std::size_t>(other.index)].frame.x)) > kBesideOneAnother)
        continue;
      std::vector<Stretch>& of = crossed[static_cast<std::size_t>(b.index)];
      const auto [found, is_new] = crossed_by.try_emplace({b.index, meeting.joint.index}, of.size());
      if (is_new) of.push_back({at, at});
      Stretch& stretch = of[found->second];
      stretch = {std::min(stretch.from, at), std::max(stretch.to, at)};
    }
  const auto under_foot = [](const Foot& f) { return places_over(f.face, {0, 0, -1}); };
  for (const Foot& f : s.feet)
    for (const Place& place : under_foot(f))
      met[static_cast<std::size_t>(f.piece.index)].push_back(along(s[f.piece], place.out(kRocksOn)));
  std::vector<double> ground(s.pieces.size(), -1);  // where a post leaves the ground, from its datum end
  std::vector<bool> rises(s.pieces.size(), true);
  for (const Footing& f : s.footings) {
    const Piece& post = s[f.post];
    const auto p = static_cast<std::size_t>(f.post.index);
    const double rise = post.frame.x.z;
    if (std::abs(rise) < 0.5) continue;
    rises[p] = rise > 0;
    ground[p] = std::clamp((f.centre.z - middle_at(post, 0).z) / rise, 0.0, post.length.value());
    wanted[p].push_back(ground[p]);
    wanted[p].push_back(std::clamp(ground[p] + options.person_height_mm / rise, 0.0, post.length.value()));
  }
  for (const Swing& swing : s.swings) {  // a leaf pulls at its hinges
    if (!carries(swing.on)) continue;
    const Piece& post = s[PieceId{swing.on.index}];
    for (const double level : swing.levels)
      wanted[static_cast<std::size_t>(swing.on.index)].push_back(along(post, {swing.axis.x, swing.axis.y, level}));
  }
  const auto stands = [&](const Joint& j) -> std::optional<PieceId> {
    const Body b = j.a == kGround ? j.b : j.b == kGround ? j.a : kWall;
    if (!carries(b) || ground[static_cast<std::size_t>(b.index)] >= 0) return std::nullopt;
    return PieceId{b.index};
  };
  for (const Joint& j : s.joints)
    if (const auto id = stands(j)) wanted[static_cast<std::size_t>(id->index)].push_back(along(s[*id], j.point));

  m.stations.resize(s.pieces.size());
  std::vector<std::vector<Stretch>> clusters(s.pieces.size());  // of meetings that share a station
  for (std::size_t p = 0; p < s.pieces.size(); ++p) {
    if (!m.carries[p]) continue;
    const Piece& piece = s.pieces[p];
    const double w = piece.width.value(), t = piece.thickness.value();
    std::vector<double>&x = met[p], kept;
    std::sort(x.begin(), x.end());
    for (std::size_t i = 0; i < x.size();) {
      std::size_t last = i;
      while (last + 1 < x.size() && x[last + 1] - x[i] <= std::max(w, t) + 1) ++last;
      clusters[p].push_back({x[i], x[last]});
      kept.push_back(clusters[p].back().middle());
      i = last + 1;
    }
    // What meets at a station or between its neighbours' meetings: what a bar beside it begins and ends with.
    const auto around = [&](double station) {
      for (const Stretch& c : clusters[p])
        if (c.middle() == station) return c;
      return Stretch{station, station};
    };
    for (const Duty duty : {Duty::roof, Duty::seat, Duty::walk, Duty::guard})
      if (piece.duties.has(duty)) wanted[p].push_back(piece.length.value() / 2);
    for (const double end : {0.0, piece.length.value()}) wanted[p].push_back(end);
    for (const double at : wanted[p])
      if (std::none_of(kept.begin(), kept.end(), [&](double k) { return std::abs(k - at) <= kOneNode; }))
        kept.push_back(at);
    if (ground[p] >= 0)  // nothing below the ground: the base stands for it
      std::erase_if(
          kept, [&](double v) { return rises[p] ? v < ground[p] - kOneNode - 0.1 : v > ground[p] + kOneNode + 0.1; });
    std::sort(kept.begin(), kept.end());
    const Rectangle r{std::min(w, t), std::max(w, t)};
    std::vector<Stretch> ends;  // of each bar: between what meets at its ends
    for (std::size_t i = 0; i < kept.size(); ++i) {
      m.frame.nodes.push_back({fmt::format("{}@{:.0f}", describe(s, body(PieceId{static_cast<int>(p)})), kept[i]),
                               array(middle_at(piece, kept[i]))});
      m.body_of.push_back(body(PieceId{static_cast<int>(p)}));
      m.stations[p].push_back({kept[i], m.frame.nodes.size() - 1});
      if (i == 0) continue;
      frame::Member bar;
      bar.id = fmt::format("P{}.{}", p, i);
      bar.ends = {m.frame.nodes.size() - 2, m.frame.nodes.size() - 1};
      bar.area_mm2 = w * t;
      bar.iz_mm4 = t * w * w * w / 12;  // bends in x–y: depth is the width, along the piece's y
      bar.iy_mm4 = w * t * t * t / 12;
      bar.j_mm4 = r.torsion_constant();
      bar.e_mpa = stiff[p].e;
      bar.g_mpa = stiff[p].g;
      bar.up = array(piece.frame.y);
      const double leaves = around(kept[i - 1]).to, arrives = around(kept[i]).from;
      ends.push_back({std::min(leaves, arrives), std::max(leaves, arrives)});
      m.bars.push_back({PieceId{static_cast<int>(p)}, m.frame.members.size(), kept[i - 1], kept[i], std::nullopt});
      m.frame.members.push_back(bar);
    }
    // A bar that lies in a crossing, and the next ones that do not.
    const std::size_t first = m.bars.size() - ends.size();
    for (std::size_t i = 0; i < ends.size(); ++i)
      for (const Stretch& crossing : crossed[p]) {
        if (!crossing.holds(ends[i])) continue;
        std::size_t before = i, after = i + 1;
        while (before > 0 && crossing.holds(ends[before - 1])) --before;
        while (after < ends.size() && crossing.holds(ends[after])) ++after;
        std::vector<std::size_t> beside;
        if (before > 0) beside.push_back(first + before - 1);
        if (after < ends.size()) beside.push_back(first + after);
        if (!beside.empty()) m.bars[first + i].beside = beside;
      }
  }
  m.joined.assign(m.frame.nodes.size(), false);

  // One node for the wall behind each joint.
  std::map<int, frame::NodeIndex> wall_behind;
  const auto node_of = [&](Body b, const Meeting& meeting) {
    if (b.kind == Body::Kind::piece) {
      double at = along(s.pieces[static_cast<std::size_t>(b.index)], meeting.at);
      for (const Stretch& c : clusters[static_cast<std::size_t>(b.index)])
        if (c.from <= at && at <= c.to) at = c.middle();
      const frame::NodeIndex node = m.node_at(PieceId{b.index}, at);
      m.joined[node] = true;
      return node;
    }
    const auto [at, is_new] = wall_behind.try_emplace(meeting.joint.index, m.frame.nodes.size());
    if (is_new) {
      const Joint& j = s[meeting.joint];
      m.frame.nodes.push_back({fmt::format("wall at J{}", meeting.joint.index), array(j.point)});
      m.body_of.push_back(kWall);
      m.joined.push_back(true);
      m.bases.push_back({-1, m.frame.supports.size(), PieceId{j.a.index}, 0});
      m.frame.supports.push_back({at->second, frame::kAllRigid});
    }
    return at->second;
  };
  for (const Meeting& meeting : meetings) {
    const std::array<frame::NodeIndex, 2> nodes{node_of(meeting.first, meeting), node_of(meeting.second, meeting)};
    if (meeting.fixing < 0) {
      m.pressed.push_back({meeting.joint, m.frame.contacts.size(), meeting.second == s[meeting.joint].b,
                           meeting.shoulder, meeting.bearing});
      m.frame.contacts.push_back({fmt::format("C{}", m.frame.contacts.size()), nodes, array(meeting.at),
                                  array(meeting.direction), meeting.press, meeting.gap, meeting.crushes_at,
                                  kCrushed * meeting.press});
      continue;
    }
    Crossing crossing{meeting.joint, meeting.fixing, m.frame.links.size(), std::nullopt};
    const bool again = !m.crossings.empty() && m.crossings.back().fixing == meeting.fixing &&
                       m.crossings.back().joint == meeting.joint;
    m.frame.links.push_back({fmt::format("F{}.J{}{}", meeting.fixing, meeting.joint.index, again ? ".2" : ""), nodes,
                             array(meeting.at), array(meeting.direction), meeting.ties ? 0 : meeting.along,
                             meeting.across});
    m.across_in_use.push_back(meeting.in_use);
    if (meeting.ties) {
      crossing.tie = m.frame.contacts.size();
      m.frame.contacts.push_back({fmt::format("T{}.J{}", meeting.fixing, meeting.joint.index), nodes, array(meeting.at),
                                  array(-meeting.direction), meeting.along, 0});
    }
    m.crossings.push_back(crossing);
  }

  for (std::size_t f = 0; f < s.feet.size(); ++f) {
    const Foot& foot = s.feet[f];
    if (!m.carries[static_cast<std::size_t>(foot.piece.index)]) continue;
    const frame::NodeIndex below = m.frame.nodes.size();
    m.frame.nodes.push_back({fmt::format("below foot {}", f), array(centroid(foot.face))});
    m.body_of.push_back(kGround);
    m.joined.push_back(true);
    m.bases.push_back({-1, m.frame.supports.size(), foot.piece, 0});
    m.stood_on.push_back({static_cast<int>(f), m.frame.supports.size()});
    m.frame.supports.push_back({below, frame::kAllRigid});
    const double gives = foot.on == Floor::ground ? kGroundGives : kFloorGives;
    for (const Place& place : under_foot(foot)) {
      const Vec3 edge = place.out(kRocksOn);
      const std::array<frame::NodeIndex, 2> nodes{below, m.node_at(foot.piece, along(s[foot.piece], edge))};
      m.joined[nodes[1]] = true;
      const frame::Vec3 at = array(edge), up{0, 0, 1};
      m.stood_on.back().area_mm2 += place.area;
      m.frame.contacts.push_back({fmt::format("C{}", m.frame.contacts.size()), nodes, at, up, place.area * gives, 0});
      m.frame.links.push_back({fmt::format("G{}", m.frame.links.size()), nodes, at, up, 0, kKeepsPlace});
      m.across_in_use.push_back(kKeepsPlace);
    }
  }

  for (std::size_t f = 0; f < s.footings.size(); ++f) {
    const PieceId post = s.footings[f].post;
    const double g = ground[static_cast<std::size_t>(post.index)];
    if (g < 0) continue;
    const bool on_shoe = !s.footings[f].shoe.empty();
    const double turn = s.footings[f].shoe_make.turn_nmm;  // 0: on a pin
    frame::Support support{m.node_at(post, g), frame::kAllRigid};
    if (on_shoe) support.stiffness = {frame::kRigid, frame::kRigid, frame::kRigid, turn, turn, frame::kRigid};
    double depth = 0;
    if (f < options.bases.size()) {
      const BaseSpring& b = options.bases[f];
      depth = b.depth_mm;
      frame::Node under = m.frame.nodes[support.node];
      under.id += " below";
      under.at_mm[2] = (on_shoe ? s.footings[f].centre.z : under.at_mm[2]) - depth;
      frame::Member stem = stiff_bar(fmt::format("G{}", f), support.node, m.frame.nodes.size());
      stem.up = {1, 0, 0};
      if (on_shoe) stem.joint[0][4] = stem.joint[0][5] = turn;  // the shoe turns
      m.frame.nodes.push_back(under);
      m.body_of.push_back(body(post));
      m.joined.push_back(false);
      m.frame.members.push_back(stem);
      support = {m.frame.nodes.size() - 1, {b.shift, b.shift, frame::kRigid, b.turn, b.turn, frame::kRigid}};
    }
    m.bases.push_back({static_cast<int>(f), m.frame.supports.size(), post, depth});
    m.frame.supports.push_back(support);
  }
  for (const Joint& j : s.joints) {
    const auto id = stands(j);
    if (!id) continue;
    const frame::NodeIndex node = m.node_at(*id, along(s[*id], j.point));
    const bool twice = std::any_of(m.frame.supports.begin(), m.frame.supports.end(),
                                   [&](const frame::Support& o) { return o.node == node; });
    if (twice) continue;
    m.bases.push_back({-1, m.frame.supports.size(), *id, 0});
    m.frame.supports.push_back({node, {frame::kRigid, frame::kRigid, frame::kRigid, 0, 0, frame::kRigid}});
  }

  for (std::size_t p = 0; p < s.panels.size(); ++p)
    m.carried_panel.push_back(holders(s, m.carries, body(PanelId{static_cast<int>(p)})));
  for (std::size_t p = 0; p < s.pieces.size(); ++p)
    m.carried_piece.push_back(m.carries[p] ? std::vector<PieceId>{}
                                           : holders(s, m.carries, body(PieceId{static_cast<int>(p)})));
  return m;
}

}  // namespace garthwright::strength
