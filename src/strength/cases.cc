// SPDX-License-Identifier: Apache-2.0
#include "strength/cases.h"

#include <fmt/format.h>

#include <cmath>

namespace garthwright::strength {
namespace {

Vec3 vec(const frame::Vec3& v) { return {v[0], v[1], v[2]}; }

void add(frame::Vec3& to, const frame::Vec3& v, double factor) {
  for (std::size_t i = 0; i < 3; ++i) to[i] += factor * v[i];
}
void add(frame::Wrench& to, const frame::Wrench& w, double factor) {
  add(to.force_n, w.force_n, factor);
  add(to.moment_nmm, w.moment_nmm, factor);
}

}  // namespace

frame::MemberResult Solved::bar(const Case& c, frame::MemberIndex member) const {
  frame::MemberResult sum;
  sum.length_mm = unit.front().members[member].length_mm;
  for (const auto& [index, factor] : c.parts) {
    const frame::MemberResult& r = unit[index].members[member];
    add(sum.uniform_n_per_mm, r.uniform_n_per_mm, factor);
    for (std::size_t e = 0; e < 2; ++e) {
      add(sum.end[e], r.end[e], factor);
      add(sum.motion[e].translation_mm, r.motion[e].translation_mm, factor);
      add(sum.motion[e].rotation_rad, r.motion[e].rotation_rad, factor);
    }
  }
  return sum;
}

Vec3 Solved::shift(const Case& c, frame::NodeIndex node) const {
  Vec3 sum;
  for (const auto& [index, factor] : c.parts) sum = sum + factor * vec(unit[index].displacements[node].translation_mm);
  return sum;
}

Vec3 Solved::force_on(const Case& c, const Link& link) const {
  Vec3 sum;
  for (const auto& [index, factor] : c.parts) sum = sum + factor * vec(unit[index].members[link.member].end[1].force_n);
  return sum.x * link.axes[0] + sum.y * link.axes[1] + sum.z * link.axes[2];
}

frame::Wrench Solved::reaction(const Case& c, std::size_t support) const {
  frame::Wrench sum;
  for (const auto& [index, factor] : c.parts) add(sum, unit[index].reactions[support], factor);
  return sum;
}

frame::Loads Solved::loads(const Case& c) const {
  frame::Loads sum;
  for (const auto& [index, factor] : c.parts) {
    for (frame::NodeLoad l : actions[index].on_nodes) {
      for (double& f : l.force_n) f *= factor;
      for (double& m : l.moment_nmm) m *= factor;
      sum.on_nodes.push_back(l);
    }
    for (frame::MemberLoad l : actions[index].on_members) {
      for (double& q : l.uniform_n_per_mm) q *= factor;
      sum.on_members.push_back(l);
    }
  }
  return sum;
}

std::string words_of(const frame::Frame& frame, const frame::Mechanism& m) {
  std::string where = frame.nodes[m.node].id;
  where = where.substr(0, where.find('@'));
  const double x = std::abs(m.direction[0]), y = std::abs(m.direction[1]), z = std::abs(m.direction[2]);
  if (m.turns) return where + " can turn where it is held";
  if (z > x && z > y) return where + " can move up and down";
  return fmt::format("{} racks {}", where, x >= y ? "along the opening" : "from front to back");
}

Result<Solved> solve(const Structure& structure, const Site& site, const std::vector<BaseSpring>& bases,
                     State::Kind only) {
  Solved s{structure, site, model_of(structure, {JointHold::by_fixings, true, bases, 1200}), {}, {}, {}, {}, {}, 0};
  if (s.model.bases.empty() || s.model.bars.empty())
    return fail("nothing-to-stand-on", "it stands on nothing that is known here: no post in the ground, no wall",
                "give its posts holes, or ask an engineer how to anchor it");
  const auto solver = frame::Solver::make(s.model.frame);
  if (!solver) {
    const auto way = frame::find_mechanism(s.model.frame);
    return fail("mechanism", way ? words_of(s.model.frame, *way) : solver.error().front().what,
                "add a brace or fixings there");
  }
  Situations found = situations_of(SiteLoads(structure, s.model, site), site, only);
  for (const frame::Loads& l : found.actions) {
    auto solution = solver->solve(l);
    if (!solution) return tl::make_unexpected(solution.error());
    s.unit.push_back(std::move(*solution));
  }
  s.actions = std::move(found.actions);
  s.ultimate = std::move(found.ultimate);
  s.equilibrium = std::move(found.equilibrium);
  s.service = std::move(found.service);
  s.grown_wind = found.grown_wind;
  s.roof = std::move(found.roof);
  return s;
}

}  // namespace garthwright::strength
