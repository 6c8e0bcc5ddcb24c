// SPDX-License-Identifier: Apache-2.0
#include "sequence/units.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "assembly/sway.h"
#include "base/patience.h"
#include "sequence/words.h"

namespace garthwright::sequence {
namespace {

constexpr double kLongPiece = 2000;   // mm; from here on a piece goes up one end at a time
constexpr double kTwoHanders = 3000;  // mm; longer things take two people where there are two

int people_for(double kg, double hands_mm, const Rates& rates, int most = kMostInTeam) {
  const double one = guideline_kg(rates.person, hands_mm);
  for (int n = 1; n <= most; ++n)
    if (kg <= n * one * team_share(n) + 1e-9) return n;
  return most + 1;
}

/// What hangs together with the first post, or where there is none with the first of the bodies.
std::vector<int> held_together(const Kit& kit, const Unit& unit) {
  const auto post = std::find_if(unit.bodies.begin(), unit.bodies.end(),
                                 [&](int b) { return kit.footing[static_cast<std::size_t>(b)] >= 0; });
  std::vector<int> reached{post == unit.bodies.end() ? unit.bodies.front() : *post};
  PieceSet seen(kit.count());
  seen.insert(reached.front());
  for (std::size_t k = 0; k < reached.size(); ++k) {
    for (const int f : unit.fixings) {
      const auto& chain = kit.chain[static_cast<std::size_t>(f)];
      if (std::find(chain.begin(), chain.end(), reached[k]) == chain.end()) continue;
      for (const int b : chain) {
        if (seen.has(b)) continue;
        seen.insert(b);
        reached.push_back(b);
      }
    }
  }
  std::sort(reached.begin(), reached.end());
  return reached;
}

/// Posts whose holes lie on one line turn about it when they are walked up; others are lifted clear of the ground.
bool turns_about_its_feet(const Kit& kit, const std::vector<int>& bodies) {
  constexpr double kOffLine = 50;  // mm
  std::vector<Vec3> feet;
  for (const int b : bodies)
    if (const int f = kit.footing[static_cast<std::size_t>(b)]; f >= 0)
      feet.push_back(kit.structure->footings[static_cast<std::size_t>(f)].centre);
  Vec3 far;
  for (const Vec3& foot : feet)
    if (norm(foot - feet.front()) > norm(far)) far = foot - feet.front();
  return std::all_of(feet.begin(), feet.end(), [&](const Vec3& foot) {
    return norm(far) < kOffLine || norm(cross(foot - feet.front(), far)) / norm(far) < kOffLine;
  });
}

/// A leaf is walked on to packers beside its post, one lower corner after the other. One that hangs higher is lifted.
bool stands_on_packers(const Kit& kit, const std::vector<int>& bodies, const Box& box) {
  constexpr double kLow = 300;  // mm over the ground at one of the posts
  const auto in_leaf = [&](const Swing& swing) {
    return std::all_of(bodies.begin(), bodies.end(), [&](int b) {
      const Body body = kit.bodies[static_cast<std::size_t>(b)];
      return std::find(swing.leaf.begin(), swing.leaf.end(), body) != swing.leaf.end();
    });
  };
  const Structure& structure = *kit.structure;
  return bodies.size() > 1 && std::any_of(structure.swings.begin(), structure.swings.end(), in_leaf) &&
         std::any_of(structure.footings.begin(), structure.footings.end(),
                     [&](const Footing& hole) { return box.min.z - hole.centre.z <= kLow; });
}

/// The two sides a frame can lie on: across its thinnest extent. A box may stand as it will, or lie on any side.
std::vector<Vec3> lying(const Kit& kit, const std::vector<int>& bodies, bool flat) {
  Box box = kit.box[static_cast<std::size_t>(bodies.front())];
  for (const int b : bodies) box = enclosing(box, kit.box[static_cast<std::size_t>(b)]);
  const Vec3 size = box.size();
  const int thin = size.x <= size.y && size.x <= size.z ? 0 : size.y <= size.z ? 1 : 2;
  Vec3 low{}, high{};
  low[thin] = -1;
  high[thin] = 1;
  if (flat) return {low, high};
  std::vector<Vec3> all{{0, 0, -1}, {0, 0, 1}, {0, -1, 0}, {0, 1, 0}, {-1, 0, 0}, {1, 0, 0}};
  std::stable_partition(all.begin(), all.end(), [&](Vec3 side) { return side == low || side == high; });
  return all;
}

/// Pieces of one name, section and length, whatever their handedness: such units are made side by side.
std::string kind_of(const Kit& kit, const Unit& unit) {
  std::map<std::string, int> parts;
  for (const int b : unit.bodies) {
    const Body body = kit.bodies[static_cast<std::size_t>(b)];
    if (body.kind == Body::Kind::piece) {
      const Piece& p = (*kit.structure)[PieceId{body.index}];
      ++parts[fmt::format("{} {:.3f} {:.3f} {:.3f}", p.name, p.length.value(), p.width.value(), p.thickness.value())];
    } else {
      const Panel& p = (*kit.structure)[PanelId{body.index}];
      ++parts[fmt::format("panel {} {:.3f} {:.3f}", p.item, p.width.value(), p.height.value())];
    }
  }
  std::string kind;
  for (const auto& [part, count] : parts) kind += fmt::format("{} x {};", count, part);
  return kind + fmt::format("{} fixings", unit.fixings.size());
}

/// `held`, when given, becomes what hangs together where not all do.
std::optional<Unit> make_on(const Kit& kit, const Tables& tables, const std::string& name,
                            const std::vector<int>& bodies, Vec3 down, std::vector<int>* held = nullptr) {
  Unit unit;
  unit.name = name;
  unit.set = PieceSet(kit.count());
  for (const int b : bodies)
    if (!unit.set.has(b)) unit.set.insert(b);
  unit.bodies = unit.set.members();
  if (unit.bodies.size() < 2) return std::nullopt;
  unit.down = down;
  unit.problem.on_site = false;
  unit.problem.down = down;
  for (const int b : unit.bodies) {
    Item item;
    item.bodies = {b};
    item.set = PieceSet(kit.count());
    item.set.insert(b);
    unit.problem.items.push_back(std::move(item));
  }
  // What cannot be driven lying is left for the site.
  for (std::size_t f = 0; f < kit.joined.size(); ++f) {
    if (!kit.joined[f].within(unit.set) || kit.chain[f].size() < 2) continue;
    const bool from_below = driven_from(kit.structure->fixings[f], down);
    const bool ever = std::any_of(kit.fasteners_of[f].begin(), kit.fasteners_of[f].end(), [&](int fastener) {
      return tables.has_room(fastener, from_below ? unit.set : kit.joined[f], false);
    });
    if (ever) unit.problem.fixings.push_back(static_cast<int>(f));
  }
  unit.order = find_order(kit, tables, unit.problem);
  if (!unit.order.found()) return std::nullopt;
  unit.fixings = unit.problem.fixings;
  unit.turned = std::find(unit.order.late.begin(), unit.order.late.end(), 1) != unit.order.late.end();
  Unit lying = unit;  // it is turned over on what was driven before
  lying.fixings.clear();
  for (std::size_t f = 0; f < unit.fixings.size(); ++f)
    if (unit.order.late[f] == 0) lying.fixings.push_back(unit.fixings[f]);
  if (const std::vector<int> together = held_together(kit, lying); together.size() != unit.bodies.size()) {
    if (held != nullptr) *held = together;
    return std::nullopt;
  }
  unit.box = kit.box[static_cast<std::size_t>(unit.bodies.front())];
  for (const int b : unit.bodies) {
    unit.kg += kit.kg[static_cast<std::size_t>(b)];
    unit.box = enclosing(unit.box, kit.box[static_cast<std::size_t>(b)]);
    unit.standing = unit.standing || kit.footing[static_cast<std::size_t>(b)] >= 0;
  }
  const Racking r = racking(kit, unit.bodies, unit.fixings);
  unit.sway_mm = r.sway_mm;
  unit.racks = r.racks();
  unit.kind = kind_of(kit, unit);
  return unit;
}

}  // namespace

Racking racking(const Kit& kit, const std::vector<int>& bodies, const std::vector<int>& fixings) {
  const Structure& structure = *kit.structure;
  Racking out;
  Box box = kit.box[static_cast<std::size_t>(bodies.front())];
  for (const int b : bodies) box = enclosing(box, kit.box[static_cast<std::size_t>(b)]);
  const Vec3 size = box.size();
  out.height_mm = std::max({size.x, size.y, size.z});

  std::map<std::pair<int, int>, std::vector<int>> corners;  // fixings by the pair of timbers they join
  std::map<int, int> brace_ends;
  for (const int f : fixings) {
    const auto& chain = kit.chain[static_cast<std::size_t>(f)];
    for (std::size_t k = 0; k + 1 < chain.size(); ++k) {
      const Body a = kit.bodies[static_cast<std::size_t>(chain[k])],
                 b = kit.bodies[static_cast<std::size_t>(chain[k + 1])];
      if (a.kind != Body::Kind::piece || b.kind != Body::Kind::piece) continue;
      corners[std::minmax(chain[k], chain[k + 1])].push_back(f);
    }
  }
  double stiffness = 0;
  for (const auto& [pair, joint] : corners) {
    const Piece& a = structure[PieceId{pair.first}];
    const Piece& b = structure[PieceId{pair.second}];
    for (const int i : {pair.first, pair.second})
      if (structure[PieceId{i}].duties.has(Duty::brace)) ++brace_ends[i];
    if (std::abs(dot(a.frame.x, b.frame.x)) > 0.3) continue;
    out.frame = true;
    const double density = std::sqrt(structure[a.section].density_dry_kg_m3 * structure[b.section].density_dry_kg_m3);
    const Vec3 axis = structure.fixings[static_cast<std::size_t>(joint.front())].direction;
    Vec3 middle;
    for (const int f : joint)
      middle = middle + (1.0 / static_cast<double>(joint.size())) * structure.fixings[static_cast<std::size_t>(f)].head;
    for (const int f : joint) {
      const Fixing& fixing = structure.fixings[static_cast<std::size_t>(f)];
      Vec3 arm = fixing.head - middle;
      arm = arm - dot(arm, axis) * axis;
      stiffness += assembly::slip_modulus(density, fixing.diameter) * dot(arm, arm);
    }
  }
  out.braced = std::any_of(brace_ends.begin(), brace_ends.end(), [](const auto& e) { return e.second >= 2; });
  constexpr double kLoose = 1e9;  // mm: a hinge
  out.sway_mm = stiffness > 0 ? std::min(kLoose, kPush * out.height_mm * out.height_mm / stiffness) : kLoose;
  return out;
}

Lift lift_to_trestles(const Kit& kit, int body, const Rates& rates) {
  Lift lift;
  lift.kg = kit.kg[static_cast<std::size_t>(body)];
  lift.share = kit.length(body) >= kLongPiece ? 0.5 : 1;
  lift.hands_mm = kTrestle;
  lift.people = people_for(lift.kg * lift.share, lift.hands_mm, rates);
  return lift;
}

Lift lift_to_site(const Kit& kit, const std::vector<int>& bodies, const Rates& rates, int at_hand, int most) {
  Lift lift;
  Box box = kit.box[static_cast<std::size_t>(bodies.front())];
  bool in_hole = false;
  for (const int b : bodies) {
    lift.kg += kit.kg[static_cast<std::size_t>(b)];
    box = enclosing(box, kit.box[static_cast<std::size_t>(b)]);
    in_hole = in_hole || kit.footing[static_cast<std::size_t>(b)] >= 0;
  }
  const Vec3 size = box.size();
  const double longest = std::max({size.x, size.y, size.z}), level = std::max(size.x, size.y);
  if (in_hole) {  // walked up about its foot at the rim of the hole, then let down
    lift.share = turns_about_its_feet(kit, bodies) ? 0.5 : 1;
    lift.hands_mm = 1000;
  } else {
    // A long level timber goes up one end at a time, the other on what carries it or on a temporary rest.
    const bool long_one = bodies.size() == 1 && level >= kLongPiece;
    lift.share = long_one || stands_on_packers(kit, bodies, box) ? 0.5 : 1;
    const double held = bodies.size() > 1 ? std::max(box.centre().z, std::min(box.max.z, kKnuckles)) : box.centre().z;
    lift.hands_mm = hands_over_platform(rates, held);
  }
  lift.people = people_for(lift.kg * lift.share, lift.hands_mm, rates, most);
  if (at_hand >= 2 && (bodies.size() > 1 || longest > kTwoHanders)) lift.people = std::max(lift.people, 2);
  return lift;
}

std::vector<Unit> find_units(const Kit& kit, const Tables& tables, const Rates& rates, const UnitLimits& limits) {
  std::vector<Unit> units;
  PieceSet taken(kit.count());
  for (const garthwright::Assembly& assembly : kit.structure->assemblies) {
    look_at_the_clock();
    std::optional<Unit> best;
    std::vector<int> bodies;
    for (const Body b : assembly.bodies)
      if (const int i = kit.index(b); i >= 0) bodies.push_back(i);
    if (bodies.size() < 2) continue;
    if (std::any_of(bodies.begin(), bodies.end(), [&](int b) { return taken.has(b); })) continue;
    const Lift whole = lift_to_site(kit, bodies, rates, limits.people);
    if (whole.people > limits.people) continue;  // nobody could lift it: no need to look further
    for (const Vec3& down : lying(kit, bodies, assembly.flat)) {
      std::optional<Unit> unit = make_on(kit, tables, assembly.name, bodies, down);
      if (!unit) continue;
      if (limits.carry_kg > 0 && unit->kg > limits.carry_kg) continue;
      const Vec3 size = unit->box.size();
      if (limits.carry_mm > 0 && std::max({size.x, size.y, size.z}) > limits.carry_mm) continue;
      if (!passes(size, limits.through)) continue;
      if (std::any_of(unit->bodies.begin(), unit->bodies.end(),
                      [&](int b) { return lift_to_trestles(kit, b, rates).people > limits.people; }))
        continue;
      if (!best || unit->fixings.size() > best->fixings.size() ||
          (unit->fixings.size() == best->fixings.size() && !unit->turned && best->turned))
        best = std::move(unit);
    }
    if (!best) continue;
    taken |= best->set;
    units.push_back(std::move(*best));
  }
  return units;
}

std::optional<Unit> find_whole(const Kit& kit, const Tables& tables, const Rates& rates, const UnitLimits& limits,
                               std::string& why_not) {
  constexpr double kWorthIt = 0.6;  // of the mass; with less it is no longer made whole (our own)
  std::vector<int> all;
  double kg = 0;
  for (int b = 0; b < kit.count(); ++b) {
    if (kit.on_wall[static_cast<std::size_t>(b)] != 0) {
      why_not = "it is fixed to a wall";
      return std::nullopt;
    }
    all.push_back(b);
    kg += kit.kg[static_cast<std::size_t>(b)];
  }
  if (all.size() < 2) {
    why_not = "it is one piece";
    return std::nullopt;
  }
  const std::string called = "whole " + kit.structure->name;
  const Vec3 top_down{0, 0, 1};
  std::optional<Unit> unit;
  std::vector<int> bodies = all;
  for (bool more = true; more && !unit;) {
    look_at_the_clock();
    double part = 0;
    for (const int b : bodies) part += kit.kg[static_cast<std::size_t>(b)];
    if (part < kWorthIt * kg || bodies.size() < 2) {
      why_not = "upside down too little of it holds together before it is turned over";
      return std::nullopt;
    }
    if (lift_to_site(kit, bodies, rates, limits.people, kMostCarriers).people > kMostCarriers) {
      why_not = fmt::format("it weighs {}: by the guideline figures more than {} people carry it",
                            mass_told(part, limits.style), kMostCarriers);
      return std::nullopt;
    }
    std::vector<int> held;
    unit = make_on(kit, tables, called, bodies, top_down, &held);
    // What stands loose may lie on any side while it is made.
    if (!unit && std::none_of(kit.footing.begin(), kit.footing.end(), [](int f) { return f >= 0; }))
      for (const Vec3& down : lying(kit, bodies, false))
        if (!unit) unit = make_on(kit, tables, called, bodies, down);
    more = !held.empty() && held.size() < bodies.size();
    bodies = held;
  }
  if (!unit) {
    why_not = "it does not go together upside down";
    return std::nullopt;
  }
  const Vec3 size = unit->box.size();
  if (limits.carry_kg > 0 && unit->kg > limits.carry_kg) {
    why_not = fmt::format("it weighs {}, more than may be carried in", mass_told(unit->kg, limits.style));
    return std::nullopt;
  }
  if (limits.carry_mm > 0 && std::max({size.x, size.y, size.z}) > limits.carry_mm) {
    why_not = "it is longer than may be carried in";
    return std::nullopt;
  }
  if (!passes(size, limits.through)) {
    why_not = "it does not go through the opening that was given";
    return std::nullopt;
  }
  unit->whole = true;
  return unit;
}

}  // namespace garthwright::sequence
