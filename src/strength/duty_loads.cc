// SPDX-License-Identifier: Apache-2.0
#include "strength/duty_loads.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <set>

#include "base/us_customary.h"
#include "strength/combinations.h"
#include "structure/swinging.h"

namespace garthwright::strength {
namespace {

constexpr double kGravity = 9.81, kMm3PerM3 = 1e9;
constexpr double kSteep = 0.7;    // a timber rises more than this part of its length
constexpr double kInLine = 60;    // mm: boards over one another, within
constexpr double kEncloses = 50;  // mm from the middle of all boards: they hold soil between them
constexpr double kTopRail = 60;   // mm below the highest edge of a guard: what people lean on

frame::Vec3 array(Vec3 v) { return {v.x, v.y, v.z}; }
PieceId id_of(std::size_t p) { return PieceId{static_cast<int>(p)}; }

/// A line load or a force on a piece: over its bars where it carries, else on those that hold it.
class Put {
 public:
  Put(const Structure& s, const Model& m) : s_(s), m_(m) {}

  /// Evenly over its length.
  void along(frame::Loads& loads, PieceId id, Vec3 per_mm) const {
    if (m_.carries[static_cast<std::size_t>(id.index)]) {
      for (const Bar& bar : m_.bars)
        if (bar.piece == id) loads.on_members.push_back({bar.member, array(per_mm)});
      return;
    }
    for (const double end : {0.0, 1.0}) at(loads, id, end, 0.5 * s_[id].length.value() * per_mm);
  }
  /// At a part of its length; what carries nothing hands it to the nearest of its holders' nodes.
  void at(frame::Loads& loads, PieceId id, double part, Vec3 force) const {
    const Piece& piece = s_[id];
    if (m_.carries[static_cast<std::size_t>(id.index)]) {
      loads.on_nodes.push_back({m_.node_at(id, part * piece.length.value()), array(force), {}});
      return;
    }
    const Vec3 place = middle_at(piece, part * piece.length.value());
    const std::vector<PieceId>& holders = m_.carried_piece[static_cast<std::size_t>(id.index)];
    if (holders.empty()) return;
    const auto away = [&](PieceId h) {
      const double along = std::clamp(s_[h].frame.to_local(place).x, 0.0, s_[h].length.value());
      return norm(middle_at(s_[h], along) - place);
    };
    const PieceId nearest =
        *std::min_element(holders.begin(), holders.end(), [&](PieceId a, PieceId b) { return away(a) < away(b); });
    const double along = std::clamp(s_[nearest].frame.to_local(place).x, 0.0, s_[nearest].length.value());
    loads.on_nodes.push_back({m_.node_at(nearest, along), array(force), {}});
  }

 private:
  const Structure& s_;
  const Model& m_;
};

/// Level and square to a piece's broad side.
Vec3 face_of(const Piece& piece) {
  const Vec3 broad = piece.width.value() >= piece.thickness.value() ? piece.frame.z : piece.frame.y;
  const Vec3 other = piece.width.value() >= piece.thickness.value() ? piece.frame.y : piece.frame.z;
  const Vec3 level = std::abs(broad.z) < kSteep ? broad : other;
  return unit({level.x, level.y, 0});
}

std::vector<PieceId> pieces_for(const Structure& s, Duty duty) {
  std::vector<PieceId> found;
  for (std::size_t p = 0; p < s.pieces.size(); ++p)
    if (s.pieces[p].duties.has(duty)) found.push_back(id_of(p));
  return found;
}

Vec3 outwards(const Structure& s, PieceId board, const Box& all) {
  const Vec3 n = face_of(s[board]), middle = world_box(s, body(board)).centre();
  const double from_middle = dot(middle - all.centre(), n);
  if (std::abs(from_middle) > kEncloses) return from_middle > 0 ? n : -n;
  for (const Joint& j : s.joints) {
    const Body other = j.a == body(board) ? j.b : j.b == body(board) ? j.a : kGround;
    if (other.kind != Body::Kind::piece || !is_founded(s, PieceId{other.index})) continue;
    const double to_post = dot(world_box(s, other).centre() - middle, n);
    if (std::abs(to_post) > 1) return to_post > 0 ? n : -n;
  }
  return n;
}

/// It lies flat, its broad side up.
bool is_floor(const Piece& piece) {
  const Vec3 broad = piece.width.value() >= piece.thickness.value() ? piece.frame.z : piece.frame.y;
  return std::abs(broad.z) > kSteep;
}

/// How high a board stands, whatever its rake.
double height_of(const Piece& piece) {
  return std::abs(piece.frame.y.z) * piece.width.value() + std::abs(piece.frame.z.z) * piece.thickness.value();
}

/// How far a board that leans outwards reaches out over its height: so much of the soil stands on it.
double leans_over(const Piece& piece, Vec3 out) {
  const bool wide = piece.width.value() >= piece.thickness.value();
  const Vec3 up_it = wide ? piece.frame.y : piece.frame.z;
  const double rise = up_it.z > 0 ? 1 : -1;
  return std::max(0.0, rise * dot(up_it, out)) * std::max(piece.width.value(), piece.thickness.value());
}

/// In one stack: in line, and beside one another over most of the board's length.
bool stacked(const Structure& s, PieceId board, PieceId other) {
  const Vec3 n = face_of(s[board]), along{-n.y, n.x, 0};
  const Box a = world_box(s, body(board)), b = world_box(s, body(other));
  if (std::abs(dot(b.centre() - a.centre(), n)) > kInLine) return false;
  const auto half = [&](const Box& box) {
    return 0.5 * (std::abs(along.x) * box.size().x + std::abs(along.y) * box.size().y);
  };
  const double apart = std::abs(dot(b.centre() - a.centre(), along));
  return half(a) + half(b) - apart > half(a);
}

/// Forces on a post at its hinges: the leaf's weight, or one that rides on it, at a distance.
void couple(frame::Loads& loads, const Model& m, const Structure& s, const Swing& swing, Vec3 way, double moment_nmm) {
  if (swing.on.kind != Body::Kind::piece || swing.levels.size() < 2) return;
  const PieceId post{swing.on.index};
  if (!m.carries[static_cast<std::size_t>(post.index)]) return;
  const double apart = swing.levels.back() - swing.levels.front();
  if (apart <= 0) return;
  const auto pull = [&](double z, double force) {
    const Piece& piece = s[post];
    const double along = std::clamp((z - middle_at(piece, 0).z) / piece.frame.x.z, 0.0, piece.length.value());
    loads.on_nodes.push_back({m.node_at(post, along), array(force * way), {}});
  };
  pull(swing.levels.back(), moment_nmm / apart);
  pull(swing.levels.front(), -moment_nmm / apart);
}

struct Leaf {
  double weight_n = 0, width = 0;  ///< width: of its far edge from the axis
  Vec3 way, centre;                ///< from the axis to the leaf, level, shut
};
Leaf leaf_of(const Structure& s, const Swing& swing) {
  Leaf leaf;
  Vec3 sum;
  for (const Body b : swing.leaf) {
    const Box box = world_box(s, b);
    double weight = 0;
    if (b.kind == Body::Kind::piece) {
      const Piece& piece = s[PieceId{b.index}];
      weight = piece.blank().volume() / kMm3PerM3 * s[piece.section].density_as_bought_kg_m3 * kGravity;
    } else if (b.kind == Body::Kind::panel) {
      weight = s.panels[static_cast<std::size_t>(b.index)].mass_kg * kGravity;
    }
    leaf.weight_n += weight;
    sum = sum + weight * box.centre();
  }
  if (leaf.weight_n <= 0) return leaf;
  leaf.centre = (1 / leaf.weight_n) * sum;
  const Vec3 out = leaf.centre - swing.axis;
  const double level = std::hypot(out.x, out.y);
  if (level < 1) return leaf;
  leaf.way = {out.x / level, out.y / level, 0};
  for (const Body b : swing.leaf) {
    const Box box = world_box(s, b);
    for (const double x : {box.min.x, box.max.x})
      for (const double y : {box.min.y, box.max.y})
        leaf.width = std::max(leaf.width, dot(Vec3{x, y, 0} - Vec3{swing.axis.x, swing.axis.y, 0}, leaf.way));
  }
  return leaf;
}
double lever(const Leaf& leaf, const Swing& swing) { return dot(leaf.centre - swing.axis, leaf.way); }

/// Where a person is put on a piece, as parts of its length: the middle, and with the whole of what is stood on at
/// either end.
std::array<double, 3> stands_at(const Piece& piece) {
  const double end = std::min(0.5, kStandsOn / 2 / piece.length.value());
  return {0.5, end, 1 - end};
}

Vec3 turned_by(Vec3 v, double degrees) {
  const double a = degrees * 3.14159265358979 / 180;
  return {std::cos(a) * v.x - std::sin(a) * v.y, std::sin(a) * v.x + std::cos(a) * v.y, 0};
}

}  // namespace

frame::Loads soil_push(const Structure& s, const Model& m, bool weight, double at_top_kpa) {
  frame::Loads loads;
  const std::vector<PieceId> boards = pieces_for(s, Duty::soil);
  if (boards.empty()) return loads;
  Box all = world_box(s, body(boards.front()));
  for (const PieceId b : boards) all = enclosing(all, world_box(s, body(b)));
  const Put put(s, m);
  for (const PieceId board : boards) {
    const double middle = world_box(s, body(board)).centre().z, height = height_of(s[board]);
    double top = middle + height / 2;  // of the boards over it
    for (const PieceId other : boards)
      if (stacked(s, board, other)) top = std::max(top, world_box(s, body(other)).centre().z + height_of(s[other]) / 2);
    const double depth_m = (top - middle) / 1000;
    if (is_floor(s[board])) {  // a box's floor bears all that lies on it, to the rim
      const double kpa = (weight ? kSoilKnM3 * (all.max.z - middle - height / 2) / 1000 : 0) + at_top_kpa;
      put.along(loads, board, {0, 0, -kpa * 1e-3 * s[board].width.value()});
      continue;
    }
    const Vec3 out = outwards(s, board, all);
    const double above = (weight ? kSoilKnM3 * depth_m : 0) + at_top_kpa, kpa = kAtRest * above;
    put.along(loads, board, kpa * 1e-3 * height * out - above * 1e-3 * leans_over(s[board], out) * Vec3{0, 0, 1});
  }
  return loads;
}

frame::Loads leaf_couples(const Structure& s, const Model& m) {
  frame::Loads loads;
  for (const Swing& swing : s.swings) {
    const Leaf leaf = leaf_of(s, swing);
    couple(loads, m, s, swing, leaf.way, leaf.weight_n * lever(leaf, swing));
  }
  return loads;
}

HingeLoad hinge_load(const Structure& s, const Swing& swing) {
  const Leaf leaf = leaf_of(s, swing);
  const double apart = swing.levels.empty() ? 0 : swing.levels.back() - swing.levels.front();
  if (leaf.weight_n <= 0 || apart <= 0) return {};
  const double rider = kRiderKg * kGravity;
  return {leaf.weight_n, rider, leaf.weight_n * lever(leaf, swing) / apart, rider * leaf.width / apart};
}

std::vector<Use> uses(const Structure& s, const Model& m, const Site& site) {
  std::vector<Use> all;
  const bool us = site.route == Site::Route::us;
  const Put put(s, m);
  const auto state = [](State::Person does, Body on) { return State{State::Kind::person, 0, does, on}; };
  const auto one_of_each = [&](Duty duty) {
    std::vector<PieceId> found;
    std::set<std::string> seen;
    for (const PieceId id : pieces_for(s, duty))
      if (std::abs(s[id].frame.x.z) < kSteep && seen.insert(s[id].mark + s[id].name).second) found.push_back(id);
    return found;
  };

  if (const std::vector<PieceId> boards = pieces_for(s, Duty::soil); !boards.empty())
    all.push_back({state(State::Person::beside, body(boards.front())), soil_push(s, m, false, kBesideSoilKpa)});

  for (const PieceId id : one_of_each(Duty::seat)) {
    // The next slat takes half, where there is one.
    const Box box = world_box(s, body(id));
    PieceId next;
    for (const PieceId other : pieces_for(s, Duty::seat)) {
      const Box o = world_box(s, body(other));
      if (other == id || std::abs(o.max.z - box.max.z) > kSharedGap || next) continue;
      const double dx = std::max(o.min.x - box.max.x, box.min.x - o.max.x),
                   dy = std::max(o.min.y - box.max.y, box.min.y - o.max.y);
      if (std::max(dx, dy) < kSharedGap && std::abs(dot(s[other].frame.x, s[id].frame.x)) > 0.98) next = other;
    }
    for (const double part : {0.5, 0.0, 1.0}) {
      Use use{state(State::Person::sits, body(id)), {}};
      put.at(use.loads, id, part, {0, 0, -kSitsN / (next ? 2 : 1)});
      if (next) put.at(use.loads, next, part, {0, 0, -kSitsN / 2});
      all.push_back(std::move(use));
    }
  }

  const double walker = us ? kWalkLb * kNewtonPerPound : kWalkN,
               crowd_kpa = us ? kWalkPsf * kPaPerPsf / 1000 : kWalkKpa;
  for (const PieceId id : one_of_each(Duty::walk))
    for (const double part : stands_at(s[id])) {
      Use use{state(State::Person::stands, body(id)), {}};
      put.at(use.loads, id, part, {0, 0, -walker});
      all.push_back(std::move(use));
    }
  if (const std::vector<PieceId> floor = pieces_for(s, Duty::walk); !floor.empty()) {
    Use crowd{state(State::Person::stands, body(floor.front())), {}};
    for (const PieceId id : floor) {
      const Box box = world_box(s, body(id));
      put.along(crowd.loads, id,
                {0, 0, -crowd_kpa * 1e-3 * box.size().x * box.size().y / std::max(1.0, s[id].length.value())});
    }
    all.push_back(std::move(crowd));
  }

  // Guards: the top rail, pushed both ways. EN 1991-1-1 Table 6.12, category A: 0.5 kN/m; IRC Table R301.5: 200 lb at
  // any point of it.
  double highest = -1e9;
  for (const PieceId id : pieces_for(s, Duty::guard)) highest = std::max(highest, world_box(s, body(id)).max.z);
  for (const PieceId id : one_of_each(Duty::guard)) {
    const Piece& piece = s[id];
    if (world_box(s, body(id)).max.z < highest - kTopRail) continue;
    for (const double sign : {1.0, -1.0}) {
      const Vec3 way = sign * unit(cross(Vec3{0, 0, 1}, piece.frame.x));
      if (!us) {
        Use use{state(State::Person::leans_on_guard, body(id)), {}};
        put.along(use.loads, id, combinations::kLineA * way);  // kN/m = N/mm
        all.push_back(std::move(use));
        continue;
      }
      for (const double part : {0.5, 0.0, 1.0}) {
        Use use{state(State::Person::leans_on_guard, body(id)), {}};
        put.at(use.loads, id, part, combinations::kGuardPointLb * kNewtonPerPound * way);
        all.push_back(std::move(use));
      }
    }
  }

  // A child, or a man with a barrow, hangs on the far end of a leaf, shut and open.
  for (const Swing& swing : s.swings) {
    const Leaf leaf = leaf_of(s, swing);
    if (leaf.weight_n <= 0 || swing.on.kind != Body::Kind::piece) continue;
    const double own = leaf.weight_n * lever(leaf, swing), rider = kRiderKg * kGravity;
    for (const double open : {0.0, swing.opens_deg / 2, swing.opens_deg}) {
      Use use{state(State::Person::rides, swing.on), {}};
      const Vec3 way = turned_by(leaf.way, open);
      couple(use.loads, m, s, swing, way, own + rider * leaf.width);
      couple(use.loads, m, s, swing, leaf.way, -own);  // shut, as it is in the weight
      put.at(use.loads, PieceId{swing.on.index}, 0.5, {0, 0, -rider});
      all.push_back(std::move(use));
    }
  }
  return all;
}

}  // namespace garthwright::strength
