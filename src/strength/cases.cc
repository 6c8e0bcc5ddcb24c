// SPDX-License-Identifier: Apache-2.0
#include "strength/cases.h"

#include <fmt/format.h>

#include <cmath>
#include <map>

namespace garthwright::strength {
namespace {

Vec3 vec(const frame::Vec3& v) { return {v[0], v[1], v[2]}; }

}  // namespace

Vec3 Solved::shift(const Case& c, frame::NodeIndex node) const {
  return vec(under(c).displacements[node].translation_mm);
}

double Solved::push(const Case& c, JointId joint) const {
  double sum = 0;
  for (const Pressed& p : model.pressed)
    if (p.joint == joint && !p.shoulder) sum += under(c).contacts[p.contact].push_n;
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

std::vector<FixingForce> fixing_forces(const Solved& s, const Case& c, JointId id) {
  std::vector<FixingForce> forces;
  const frame::Solution& under = s.under(c);
  for (const Crossing& crossing : s.model.crossings) {
    if (crossing.joint != id) continue;
    Vec3 force = vec(under.links[crossing.link]);
    if (crossing.tie)
      force = force + under.contacts[*crossing.tie].push_n * vec(s.model.frame.contacts[*crossing.tie].normal);
    forces.push_back({crossing.fixing, s.structure[id].a, s.structure[id].b, force});
  }
  return forces;
}

std::string words_of(const Structure& structure, const Loosened& loose) {
  const std::string what = describe(structure, loose.body);
  const double x = std::abs(loose.way.x), y = std::abs(loose.way.y), z = std::abs(loose.way.z);
  if (loose.turns) return what + " can turn where it is held";
  if (z > x && z > y) return what + (loose.way.z > 0 ? " lifts off" : " drops");
  return fmt::format("{} slides {}", what, x >= y ? "along the opening" : "from front to back");
}

namespace {

/// Every case by itself, each started from where the one before came to rest; what comes off goes to `loosened`.
class Solving {
 public:
  Solving(Solved& solved, const frame::Solver& solver) : s_(solved), series_(solver) {}

  Result<void> all(std::vector<Case>& cases) {
    std::vector<Case> stand;
    for (Case& c : cases) {
      const Result<bool> done = one(c);
      if (!done) return tl::make_unexpected(done.error());
      if (*done) stand.push_back(std::move(c));
    }
    cases = std::move(stand);
    return {};
  }

  /// False where something comes off.
  Result<bool> one(Case& c) {
    if (const auto at = known_.find(c.parts); at != known_.end()) {
      c.solution = at->second;
      return c.solution != kLoose;
    }
    std::size_t& known = known_[c.parts];
    auto solution = series_.solve(s_.loads(c));
    if (solution) {
      c.solution = known = s_.solutions.size();
      s_.solutions.push_back(std::move(*solution));
      return true;
    }
    if (!series_.tips()) return tl::make_unexpected(solution.error());
    const frame::Mechanism& way = *series_.tips();
    s_.loosened.push_back({c.when, s_.model.body_of[way.node], vec(way.direction), way.turns});
    known = kLoose;
    return false;
  }

 private:
  static constexpr std::size_t kLoose = static_cast<std::size_t>(-1);
  Solved& s_;
  frame::Series series_;
  std::map<std::vector<std::pair<std::size_t, double>>, std::size_t> known_;
};

}  // namespace

Result<Solved> solve(const Structure& structure, const Site& site, const std::vector<BaseSpring>& bases,
                     State::Kind only) {
  Solved s{structure, site, model_of(structure, {Slip::ultimate, true, bases, 1200, site.route == Site::Route::us}),
           {},        {},   {},
           {},        {},   {}};
  if (s.model.bases.empty() || s.model.bars.empty())
    return fail("nothing-to-stand-on", "it stands on nothing that is known here: no post in the ground, no wall",
                "give its posts holes, or ask an engineer how to anchor it");
  const auto solver = frame::Solver::make(s.model.frame, {.may_be_loose = true});
  if (!solver) return tl::make_unexpected(solver.error());
  const Site here = site_for(structure, site);
  Situations found = situations_of(SiteLoads(structure, s.model, here), here, only);
  s.actions = std::move(found.actions);
  s.roof = std::move(found.roof);
  Solving solving(s, *solver);
  // Under its own weight it must stand.
  Case weight;
  weight.parts = {{0, 1}};
  const Result<bool> stands = solving.one(weight);
  if (!stands) return tl::make_unexpected(stands.error());
  if (!*stands) {
    const Loosened& loose = s.loosened.front();
    return fail("mechanism", words_of(structure, loose), "add a brace or fixings there");
  }
  // Movements are reckoned with the fixings' stiffness in use, forces with two thirds of it (EN 1995-1-1 2.2.2).
  const auto in_use =
      frame::Solver::make(model_of(structure, {Slip::service, true, bases, 1200, site.route == Site::Route::us}).frame,
                          {.may_be_loose = true});
  if (!in_use) return tl::make_unexpected(in_use.error());
  Solving serving(s, *in_use);
  s.ultimate = std::move(found.ultimate);
  s.equilibrium = std::move(found.equilibrium);
  s.service = std::move(found.service);
  for (auto [by, cases] : {std::pair{&solving, &s.ultimate}, {&solving, &s.equilibrium}, {&serving, &s.service}})
    if (const Result<void> done = by->all(*cases); !done) return tl::make_unexpected(done.error());
  s.picture.when.state = overgrown();
  s.picture.parts = {{0, 1}, {1, 1}, {found.grown_wind, 1}};
  if (const Result<bool> drawn = serving.one(s.picture); !drawn || !*drawn) s.picture.solution = weight.solution;
  return s;
}

}  // namespace garthwright::strength
