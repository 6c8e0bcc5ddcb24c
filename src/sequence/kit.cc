// SPDX-License-Identifier: Apache-2.0
#include "sequence/kit.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "solid/convex_parts.h"

namespace garthwright::sequence {
namespace {

namespace kernel = assembly;

struct Span {
  double from, to;
};

/// Ground with a square hole for each footing, as boxes: strips between the holes' edges in y, cut at the holes in x.
/// Where it falls, it is taken as low as at its lowest hole everywhere, so that nothing on the bank counts as buried.
std::vector<ConvexPart> ground(const Structure& structure, const Kit& kit) {
  constexpr double kFar = 1e5, kDeep = 5e3;
  struct Hole {
    double x0, x1, y0, y1;
  };
  std::vector<Hole> holes;
  std::set<double> levels{-kFar, kFar};
  double top = structure.footings.empty() ? 0 : structure.footings.front().centre.z;
  for (const Footing& f : structure.footings) {
    top = std::min(top, f.centre.z);
    const Box& post = kit.box[static_cast<std::size_t>(f.post.index)];
    const double r = f.diameter / 2 / std::sqrt(2.0);  // the square inside the round hole
    holes.push_back({std::min(f.centre.x - r, post.min.x), std::max(f.centre.x + r, post.max.x),
                     std::min(f.centre.y - r, post.min.y), std::max(f.centre.y + r, post.max.y)});
    levels.insert({holes.back().y0, holes.back().y1});
  }
  std::vector<ConvexPart> parts;
  for (auto y = levels.begin(); std::next(y) != levels.end(); ++y) {
    const double y0 = *y, y1 = *std::next(y);
    std::vector<Span> gaps;
    for (const Hole& h : holes)
      if (h.y0 < (y0 + y1) / 2 && h.y1 > (y0 + y1) / 2) gaps.push_back({h.x0, h.x1});
    std::sort(gaps.begin(), gaps.end(), [](Span a, Span b) { return a.from < b.from; });
    double from = -kFar;
    gaps.push_back({kFar, kFar});
    for (const Span& g : gaps) {
      if (auto part = kernel::make_box({from, y0, top - kDeep}, {g.from, y1, top})) parts.push_back(*part);
      from = std::max(from, g.to);
    }
  }
  return parts;
}

/// The wall behind what is fixed to it.
std::vector<ConvexPart> walls(const Structure& structure) {
  constexpr double kFar = 1e5, kThick = 500;
  std::vector<ConvexPart> parts;
  std::vector<std::pair<Vec3, double>> seen;
  for (const Joint& joint : structure.joints) {
    if (joint.kind != JointKind::on_wall) continue;
    const Vec3 n = joint.b.kind == Body::Kind::wall ? joint.normal : -joint.normal;
    const double level = dot(n, joint.point);
    if (std::any_of(seen.begin(), seen.end(),
                    [&](const auto& s) { return norm(s.first - n) < 1e-9 && std::abs(s.second - level) < 1; }))
      continue;
    seen.emplace_back(n, level);
    const Vec3 up{0, 0, 1}, along = unit(cross(up, n));
    const Vec3 corner = joint.point - kFar * along - Vec3{0, 0, kFar};
    if (auto part = kernel::make_oblique_box(corner, {2 * kFar * along, kThick * n, Vec3{0, 0, 2 * kFar}}))
      parts.push_back(*part);
  }
  return parts;
}

void add_rooms(std::vector<kernel::ToolRoom>& rooms, const Tool& tool, const Hold& hold) {
  const auto add = [&](double radius, double from, double to) {
    rooms.push_back({hold.head + from * hold.out, hold.out, radius, to - from});
  };
  add(tool.bit_radius, tool.bit_from, tool.bit_to);
  add(tool.body_radius, tool.bit_to, tool.body_to);
}

/// One of the places where a fixing takes a tool, and those that would do there, the handiest first.
struct Grip {
  Hold hold;
  std::vector<const Tool*> tools;
};

std::vector<Grip> grips(const Kit& kit, const Fixing& fixing, const std::vector<int>& chain, bool no_power) {
  std::vector<Grip> all;
  for (const Hold& hold : holds(fixing)) all.push_back({hold, tools_for(fixing.kind, no_power)});
  if (is_bolt(fixing.kind) && !chain.empty()) {
    const auto& last = kit.assembly.pieces[static_cast<std::size_t>(chain.back())].parts;
    all.push_back({{nut_place(fixing, last), fixing.direction}, nut_tools(no_power)});
  }
  return all;
}

/// Every choice of a tool for each place, so that the first of them that has room is the handiest everywhere.
std::vector<std::vector<const Tool*>> tool_sets(const std::vector<Grip>& grips) {
  std::vector<std::vector<const Tool*>> sets(1);
  for (const Grip& grip : grips) {
    std::vector<std::vector<const Tool*>> more;
    for (const auto& set : sets)
      for (const Tool* tool : grip.tools) {
        more.push_back(set);
        more.back().push_back(tool);
      }
    sets = std::move(more);
  }
  return sets;
}

/// The one that the work is told by: what is cramped takes longest.
const Tool* telling(const std::vector<const Tool*>& set) {
  const auto cramped = std::find_if(set.rbegin(), set.rend(), [](const Tool* tool) { return tool->cramped; });
  return cramped != set.rend() ? *cramped : set.front();
}

}  // namespace

int Kit::index(Body b) const {
  if (b.kind == Body::Kind::piece) return b.index;
  if (b.kind == Body::Kind::panel) return static_cast<int>(structure->pieces.size()) + b.index;
  return -1;
}

double Kit::length(int body) const {
  const Vec3 size = blank_of(*structure, bodies[static_cast<std::size_t>(body)]).size();
  return std::max({size.x, size.y, size.z});
}

Vec3 nut_place(const Fixing& fixing, const std::vector<ConvexPart>& last) {
  double far = 0;
  const Vec3 head = fixing.head, way = fixing.direction;
  for (const ConvexPart& part : last) {
    double from = -1e30, to = 1e30;
    for (const Plane& p : part.planes) {
      const double speed = dot(p.normal, way), room = p.offset - dot(p.normal, head);
      if (std::abs(speed) < 1e-12) {
        if (room < 0) to = -1e30;
      } else if (speed > 0) {
        to = std::min(to, room / speed);
      } else {
        from = std::max(from, room / speed);
      }
    }
    if (from < to) far = std::max(far, to);
  }
  return fixing.head + far * fixing.direction;
}

Kit make_kit(const Structure& structure, const solid::Solids& solids, bool no_power) {
  Kit kit;
  kit.structure = &structure;
  for (std::size_t i = 0; i < structure.pieces.size(); ++i) kit.bodies.push_back(body(PieceId{static_cast<int>(i)}));
  for (std::size_t i = 0; i < structure.panels.size(); ++i) kit.bodies.push_back(body(PanelId{static_cast<int>(i)}));
  const std::size_t n = kit.bodies.size();
  kit.footing.assign(n, -1);
  kit.on_wall.assign(n, 0);
  for (std::size_t i = 0; i < structure.footings.size(); ++i)
    kit.footing[static_cast<std::size_t>(structure.footings[i].post.index)] = static_cast<int>(i);
  for (const Joint& joint : structure.joints) {
    if (joint.kind != JointKind::on_wall) continue;
    for (const Body b : {joint.a, joint.b})
      if (const int i = kit.index(b); i >= 0) kit.on_wall[static_cast<std::size_t>(i)] = 1;
  }

  kit.assembly.touch = kTightFit;
  for (const Body b : kit.bodies) {
    kernel::Piece piece;
    piece.id = describe(structure, b);
    const Frame& frame = frame_of(structure, b);
    for (const ConvexPart& part : solids.parts(b)) piece.parts.push_back(placed(part, frame));
    kit.box.push_back(world_box(structure, b));
    if (b.kind == Body::Kind::piece) {
      const Piece& timber = structure[PieceId{b.index}];
      kit.kg.push_back(solids.measures(b).volume_mm3 / 1e9 * structure[timber.section].density_as_bought_kg_m3);
    } else {
      kit.kg.push_back(structure[PanelId{b.index}].mass_kg);
    }
    kit.assembly.pieces.push_back(std::move(piece));
  }
  for (auto& part : ground(structure, kit)) kit.assembly.site.obstacles.push_back(std::move(part));
  for (auto& part : walls(structure)) kit.assembly.site.obstacles.push_back(std::move(part));

  for (std::size_t f = 0; f < structure.fixings.size(); ++f) {
    const Fixing& fixing = structure.fixings[f];
    std::vector<int> chain;
    for (const Body b : fixing.through)
      if (const int i = kit.index(b); i >= 0) chain.push_back(i);
    PieceSet joined(static_cast<int>(n));
    for (const int i : chain) joined.insert(i);
    kit.fasteners_of.emplace_back();
    const std::vector<Grip> taken = grips(kit, fixing, chain, no_power);
    for (const std::vector<const Tool*>& set : tool_sets(taken)) {
      kernel::Fastener fastener;
      fastener.id = fmt::format("{} {}", fixing.item, f);
      fastener.joins = joined.members();
      for (std::size_t i = 0; i < set.size(); ++i) add_rooms(fastener.rooms, *set[i], taken[i].hold);
      kit.fasteners_of.back().push_back(static_cast<int>(kit.assembly.fasteners.size()));
      kit.tool_of.push_back(telling(set));
      kit.assembly.fasteners.push_back(std::move(fastener));
    }
    kit.joined.push_back(joined);
    kit.chain.push_back(std::move(chain));
  }
  return kit;
}

namespace {

/// The axes, then what the shapes suggest; few, as each costs a table.
kernel::Ways ways_for(const Kit& kit) {
  kernel::Ways ways = kernel::axis_ways();
  for (const kernel::Piece& piece : kit.assembly.pieces) {
    if (ways.size() >= 24) break;
    for (const ConvexPart& part : piece.parts) {
      if (part.is_aligned_box || part.edge_axes.size() > 6) continue;
      for (const Vec3& way : part.edge_axes)
        if (ways.size() < 24) kernel::add_way(ways, kernel::with_whole_components(way));
    }
  }
  return ways;
}

}  // namespace

Tables::Tables(const Kit& kit) : blocking(kit.assembly, ways_for(kit)), access(kit.assembly) {
  for (std::size_t f = 0; f < kit.assembly.fasteners.size(); ++f) {
    const int id = static_cast<int>(f);
    site_in_way.push_back(access.fit(id, access.joined(id), {0, 0, -1}, true) == kernel::Fit::site_in_way);
  }
}

}  // namespace garthwright::sequence
