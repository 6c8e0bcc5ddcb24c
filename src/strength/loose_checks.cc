// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/us_customary.h"
#include "strength/checks.h"
#include "strength/duty_loads.h"
#include "strength/situations.h"

namespace garthwright::strength {
namespace {

constexpr double kGravity = 9.81, kPi = 3.14159265358979;
constexpr double kNothingHolds = 99;  // what is used of nothing
constexpr std::array<Vec3, 4> kWays{{{1, 0, 0}, {-1, 0, 0}, {0, 1, 0}, {0, -1, 0}}};
/// Timber on timber or stone, wet or dry: EN 12812:2008 Table B.1 has 0.4 at least; from memory.
constexpr double kOnFloor = 0.4;
/// EN 1997-1 6.5.3 (10): against ground that is not grown to it, of the angle of friction; (12): the most, of weight,
/// where water comes in between.
constexpr double kOfPhi = 2.0 / 3, kMostInClay = 0.4;
constexpr double kHalfInClayUs = 0.5;  // IBC 1806.3.2
/// EN 1997-1 Annex A, Design Approach 1: A1 with M1, A2 with M2; weight that holds is times 1 in both.
struct Factors {
  double wind = 1, tan_phi = 1, cu = 1;
};
constexpr std::array<Factors, 2> kDesignApproach1{{{1.5, 1, 1}, {1.3, 1.25, 1.4}}};
/// What floors are made for: EN 1991-1-1 Table 6.2, category A; IRC Table R301.5.
constexpr double kFloorKpa = kWalkKpa, kFloorPsf = kWalkPsf;

/// What loads do to the whole as it stands: push along a way, turn it over the edge of its feet that way, and by their
/// weight turn it back.
struct Turns {
  double pushes = 0, tips = 0, weighs = 0, rights = 0;
  void add(const Turns& o, double factor) {
    pushes += factor * o.pushes, tips += factor * o.tips, weighs += factor * o.weighs, rights += factor * o.rights;
  }
};

class Standing {
 public:
  explicit Standing(const Solved& s) : s_(s) {
    ground_ = 1e18;
    for (const Foot& f : s.structure.feet)
      for (const Vec3& corner : f.face) ground_ = std::min(ground_, corner.z);
  }

  Turns of(const frame::Loads& loads, Vec3 way) const {
    Turns sum;
    const frame::Frame& frame = s_.model.frame;
    const double edge = reach(way);
    const auto acts = [&](const frame::Vec3& f, Vec3 at) {
      const Vec3 force{f[0], f[1], f[2]};
      sum.pushes += dot(force, way);
      sum.tips += dot(force, way) * (at.z - ground_);
      sum.weighs -= force.z;
      sum.rights -= force.z * (edge - dot(at, way));
    };
    const auto node = [&](frame::NodeIndex n) {
      const frame::Vec3& at = frame.nodes[n].at_mm;
      return Vec3{at[0], at[1], at[2]};
    };
    for (const frame::NodeLoad& l : loads.on_nodes) acts(l.force_n, node(l.node));
    for (const frame::MemberLoad& l : loads.on_members) {
      const auto& ends = frame.members[l.member].ends;
      const Vec3 a = node(ends[0]), b = node(ends[1]);
      frame::Vec3 whole = l.uniform_n_per_mm;
      for (double& q : whole) q *= norm(b - a);
      acts(whole, 0.5 * (a + b));
    }
    return sum;
  }
  /// Of the rectangle around the feet.
  double footprint_m2() const {
    return (reach({1, 0, 0}) + reach({-1, 0, 0})) * (reach({0, 1, 0}) + reach({0, -1, 0})) / 1e6;
  }

 private:
  double reach(Vec3 way) const {
    double most = -1e18;
    for (const Foot& f : s_.structure.feet)
      for (const Vec3& corner : f.face) most = std::max(most, dot(corner, way));
    return most;
  }
  const Solved& s_;
  double ground_ = 0;
};

/// One wind as its code takes it for what may tip over, with what weighs against it, all without factors.
struct Blown {
  const Case* when = nullptr;
  double wind_factor = 1, weight_factor = 1;
  Turns wind, empty, filled;
};

/// Of a board of soil: its broad side, and whether it lies flat.
Vec3 broad_of(const Piece& p) { return p.width.value() >= p.thickness.value() ? p.frame.z : p.frame.y; }
bool is_floor(const Piece& p) { return p.duties.has(Duty::soil) && std::abs(broad_of(p).z) > 0.7; }

/// How much more soil stands within the boards than over the floor's own boards, whose gaps it bridges: the plan within
/// their inner faces at the floor's level, over the floor's. 1 where they do not enclose it.
double bridged(const Structure& s) {
  double floor = 0, level = 0;
  Box all{{1e18, 1e18, 1e18}, {-1e18, -1e18, -1e18}};
  for (const Piece& p : s.pieces) {
    if (!p.duties.has(Duty::soil)) continue;
    const Box box = world_box(p.frame, p.blank());
    all = enclosing(all, box);
    if (!is_floor(p)) continue;
    floor += p.length.value() * p.width.value();
    level = box.max.z;
  }
  if (floor <= 0) return 1;
  std::array<double, 4> reach{1e18, 1e18, 1e18, 1e18};
  for (const Piece& p : s.pieces) {
    if (!p.duties.has(Duty::soil) || is_floor(p)) continue;
    const Vec3 centre = world_box(p.frame, p.blank()).centre(), from_middle = centre - all.centre();
    for (std::size_t k = 0; k < kWays.size(); ++k) {
      Vec3 out = broad_of(p);
      if (dot(out, kWays[k]) < 0) out = -out;
      if (dot(out, kWays[k]) < 0.7 || dot(from_middle, kWays[k]) < 0) continue;
      const Vec3 inner = centre - 0.5 * std::min(p.width.value(), p.thickness.value()) * out;
      reach[k] =
          std::min(reach[k], (dot(out, inner) - out.z * level - dot(out, all.centre()) + out.z * all.centre().z) /
                                 dot(out, kWays[k]));
    }
  }
  const double within = (reach[0] + reach[1]) * (reach[2] + reach[3]);
  return within < 1e12 ? std::max(1.0, within / floor) : 1;
}

std::vector<Blown> blown(const Solved& s, const Standing& standing) {
  std::vector<Blown> all;
  // Only what weighs: its push on the boards holds itself in balance.
  frame::Loads soil = s.actions[kSoil];
  const double more = bridged(s.structure);
  std::vector<bool> under(s.model.frame.members.size(), false);
  for (const Bar& bar : s.model.bars) under[bar.member] = is_floor(s.structure[bar.piece]);
  for (frame::MemberLoad& l : soil.on_members) {
    l.uniform_n_per_mm[0] = l.uniform_n_per_mm[1] = 0;
    if (under[l.member]) l.uniform_n_per_mm[2] *= more;
  }
  for (frame::NodeLoad& l : soil.on_nodes) l.force_n[0] = l.force_n[1] = 0;
  const double dry = s.structure.soil_kg_m3 * kGravity / 1000 / kSoilKnM3;
  for (const Case& c : s.equilibrium) {
    if (c.combination->wind == 0) continue;
    for (const Vec3 way : kWays) {
      Blown b{&c, 0, c.combination->dead, {}, {}, {}};
      for (const auto& [index, factor] : c.parts) {
        if (index < kLasting) continue;
        b.wind_factor = factor;
        b.wind.add(standing.of(s.actions[index], way), 1);
      }
      if (b.wind.pushes <= 0) continue;
      b.empty = standing.of(s.actions[kDead], way);
      b.filled = b.empty;
      b.filled.add(standing.of(soil, way), dry);
      all.push_back(b);
    }
  }
  return all;
}

double used(double demand, double capacity) {
  return capacity > 0 ? std::min(kNothingHolds, demand / capacity) : kNothingHolds;
}

void check_tipping(const Solved& s, const std::vector<Blown>& winds, Checks& checks) {
  const Blown* worst = nullptr;
  double most = -1, empty = 0;
  for (const Blown& b : winds) {
    const double demand = b.wind_factor * b.wind.tips;
    empty = std::max(empty, used(demand, b.weight_factor * b.empty.rights));
    if (const double u = used(demand, b.weight_factor * b.filled.rights); u > most) most = u, worst = &b;
  }
  if (worst == nullptr) return;
  Check c = new_check(CheckKind::tips);
  c.when = worst->when->when;
  c.demand = worst->wind_factor * worst->wind.tips / 1e6;
  c.capacity = worst->weight_factor * worst->filled.rights / 1e6;
  c.unit = "kNm";
  c.utilisation = most;
  c.verdict = verdict_of(most);
  c.source = s.us() ? "ASCE 7-16 2.4.1 (7): 0.6 of the weight" : "EN 1990 6.4.2, Table A1.2(A): 0.9 and 1.5, EQU";
  const bool holds_soil = s.structure.soil_kg_m3 > 0;
  c.plain = fmt::format("Wind turns it over its edge with {:.2f} kNm; {} turns it back with {:.2f}.{}{}", c.demand,
                        holds_soil ? "its weight with its soil, dry," : "its weight", c.capacity,
                        most > 1 ? " Make it wider or heavier, or tie it down." : "",
                        holds_soil && empty > 1 && most <= 1
                            ? " Empty it may blow over: fill it, or bring it in. What grows in it is not counted."
                        : holds_soil ? " What grows in it is not counted."
                                     : "");
  checks.push_back(std::move(c));
}

/// What friction gives against one wind, N, and what of it the wind uses.
struct Grip {
  double demand = 0, capacity = 0, used = 0;
};
Grip grip_of(const Solved& s, const Blown& b, double area_m2) {
  const GroundUnderfoot& ground = s.site.underfoot;
  const bool on_ground = s.structure.feet.front().on == Floor::ground;
  const double pushes = b.wind.pushes, weighs = b.filled.weighs;
  const auto grip = [](double demand, double capacity) { return Grip{demand, capacity, used(demand, capacity)}; };
  if (!on_ground) return grip(b.wind_factor * pushes, kOnFloor * b.weight_factor * weighs);
  if (s.us())
    return grip(b.wind_factor * pushes, ground.friction > 0 ? ground.friction * b.weight_factor * weighs
                                                            : std::min(ground.cohesion_kpa * 1000 * area_m2,
                                                                       kHalfInClayUs * b.weight_factor * weighs));
  Grip worst;
  const double k_fi = s.site.low_consequence ? 0.9 : 1;
  for (const Factors& f : kDesignApproach1) {
    const double angle = kOfPhi * std::atan(std::tan(ground.phi_deg * kPi / 180) / f.tan_phi);
    const double capacity = ground.phi_deg > 0 ? std::tan(angle) * weighs
                                               : std::min(ground.cu_kpa * 1000 / f.cu * area_m2, kMostInClay * weighs);
    if (const Grip g = grip(k_fi * f.wind * pushes, capacity); g.used > worst.used) worst = g;
  }
  return worst;
}

void check_sliding(const Solved& s, const std::vector<Blown>& winds, Checks& checks) {
  double area_m2 = 0;
  for (const StoodOn& on : s.model.stood_on) area_m2 += on.area_mm2 / 1e6;
  const Blown* worst = nullptr;
  Grip most;
  for (const Blown& b : winds)
    if (const Grip g = grip_of(s, b, area_m2); worst == nullptr || g.used > most.used) most = g, worst = &b;
  if (worst == nullptr) return;
  Check c = new_check(CheckKind::slides);
  c.when = worst->when->when;
  c.demand = most.demand / 1000, c.capacity = most.capacity / 1000, c.unit = "kN";
  c.utilisation = most.used;
  c.verdict = verdict_of(most.used);
  const Floor on = s.structure.feet.front().on;
  c.source = on != Floor::ground ? "friction 0.4, EN 12812 Table B.1, from memory; EN 1990 Table A1.2(A)"
             : s.us()            ? "IBC 1806.3.2, Table 1806.2"
                                 : "EN 1997-1 6.5.3, Annex A, Design Approach 1, both combinations";
  c.plain = fmt::format("Wind pushes it with {:.2f} kN; under its weight {} holds it with {:.2f}.{}", c.demand,
                        on == Floor::ground ? s.site.soil : std::string("the ") + std::string(name(on)), c.capacity,
                        most.used > 1 ? " Make it heavier, or fix it to what it stands on." : "");
  checks.push_back(std::move(c));
}

void check_sinking(const Solved& s, const Standing& standing, Checks& checks) {
  const Floor on = s.structure.feet.front().on;
  if (on == Floor::paving) return;
  Check c = new_check(CheckKind::sinks);
  c.unit = "kPa";
  for (const Case& k : s.service) {
    if (k.when.state.growing() || k.combination->person > 0) continue;
    double all = 0;
    for (const StoodOn& foot : s.model.stood_on) {
      const double down = s.reaction(k, foot.support).force_n[2];
      all += down;
      const double kpa = down / foot.area_mm2 * 1000;
      if (on == Floor::ground && kpa > c.demand) c.demand = kpa, c.when = k.when;
    }
    if (const double kpa = all / 1000 / standing.footprint_m2(); on == Floor::deck && kpa > c.demand)
      c.demand = kpa, c.when = k.when;
  }
  if (on == Floor::ground) {
    c.capacity = s.site.underfoot.bears_kpa;
    c.source = "IBC Table 1806.2; of fill and soft ground 500 psf, Chicago Municipal Code 13-132-060(a)";
  } else {
    c.capacity = s.us() ? kFloorPsf * kPaPerPsf / 1000 : kFloorKpa;
    c.source = s.us() ? "IRC Table R301.5, 40 psf" : "EN 1991-1-1 Table 6.2, category A";
  }
  c.utilisation = used(c.demand, c.capacity);
  c.verdict = verdict_of(c.utilisation);
  c.plain = on == Floor::ground
                ? fmt::format("Wet through it presses {} with {:.0f} of {:.0f} kPa under the foot that bears most.{}",
                              s.site.soil, c.demand, c.capacity,
                              c.utilisation > 1 ? " It sinks in: set its feet on flags." : "")
                : fmt::format("Wet through it presses the floor with {:.1f} kPa; floors are made for {:.1f}.{}",
                              c.demand, c.capacity,
                              c.utilisation > 1 ? " Stand it on the ground, or ask what the floor's beams bear." : "");
  checks.push_back(std::move(c));
}

}  // namespace

void check_stands_loose(const Solved& s, Checks& checks) {
  if (s.model.stood_on.empty() || s.model.stood_on.size() < s.model.bases.size()) return;
  const Standing standing(s);
  const std::vector<Blown> winds = blown(s, standing);
  check_tipping(s, winds, checks);
  check_sliding(s, winds, checks);
  check_sinking(s, standing, checks);
}

}  // namespace garthwright::strength
