// SPDX-License-Identifier: Apache-2.0
#include "strength/cases.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "strength/crushing.h"

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
  if (c.combination != nullptr) sum.crushing = crushing_in(site, duration_of(*c.combination));
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

FixingForce fixing_force(const Solved& s, const Case& c, const Crossing& crossing) {
  const frame::Solution& under = s.under(c);
  Vec3 force = vec(under.links[crossing.link]);
  if (crossing.tie)
    force = force + under.contacts[*crossing.tie].push_n * vec(s.model.frame.contacts[*crossing.tie].normal);
  const Joint& joint = s.structure[crossing.joint];
  return {crossing.fixing, joint.a, joint.b, force};
}

std::string words_of(const Structure& structure, const Loosened& loose) {
  const std::string what = describe(structure, loose.body);
  const double x = std::abs(loose.way.x), y = std::abs(loose.way.y), z = std::abs(loose.way.z);
  if (loose.turns) return what + " can turn where it is held";
  if (z > x && z > y) return what + (loose.way.z > 0 ? " lifts off" : " drops");
  return fmt::format("{} slides {}", what, x >= y ? "along the opening" : "from front to back");
}

namespace {

/// Every case by itself; what comes off goes to `loosened`.
class Solving {
 public:
  /// `in_use`: nothing has its factors, what wood is crushed by neither.
  Solving(Solved& solved, frame::Series& series, bool in_use) : s_(solved), series_(series), in_use_(in_use) {
    for (const frame::Loads& action : s_.actions) nothing_.push_back(is_nothing(action));
  }

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
    std::vector<std::pair<std::size_t, double>> acting = c.parts;
    std::erase_if(acting, [&](const auto& part) { return nothing_[part.first]; });
    frame::Loads loads = s_.loads(c);
    if (in_use_) loads.crushing = 1;
    const auto [known, is_new] = known_.try_emplace({std::move(acting), loads.crushing});
    if (!is_new) {
      c.solution = known->second;
      return c.solution != kLoose;
    }
    auto solution = series_.solve(loads);
    if (solution) {
      c.solution = known->second = s_.solutions.size();
      s_.solutions.push_back(std::move(*solution));
      return true;
    }
    if (!series_.tips()) return tl::make_unexpected(solution.error());
    const frame::Mechanism& way = *series_.tips();
    s_.loosened.push_back({c.when, s_.model.body_of[way.node], vec(way.direction), way.turns});
    known->second = kLoose;
    return false;
  }

 private:
  static constexpr std::size_t kLoose = static_cast<std::size_t>(-1);
  static bool is_nothing(const frame::Loads& loads) {
    return loads.on_nodes.empty() && std::all_of(loads.on_members.begin(), loads.on_members.end(),
                                                 [](const auto& l) { return l.uniform_n_per_mm == frame::Vec3{}; });
  }
  Solved& s_;
  frame::Series& series_;
  bool in_use_;
  std::vector<bool> nothing_;                                                                    ///< of each action
  std::map<std::pair<std::vector<std::pair<std::size_t, double>>, double>, std::size_t> known_;  ///< by `crushing`
};

}  // namespace

struct Carcass::Parts {
  const Structure& structure;
  std::shared_ptr<const Model> model;
  frame::Series series, in_use;
  frame::Solution weight;  ///< its own alone
};

Carcass::Carcass(std::unique_ptr<Parts> parts) : parts_(std::move(parts)) {}
Carcass::Carcass(Carcass&&) noexcept = default;
Carcass& Carcass::operator=(Carcass&&) noexcept = default;
Carcass::~Carcass() = default;

Result<Carcass> Carcass::make(const Structure& structure, const Site& site, const std::vector<BaseSpring>& bases) {
  auto model = std::make_shared<const Model>(model_of(structure, {true, bases, 1200, site.route == Site::Route::us}));
  if (model->bases.empty() || model->bars.empty())
    return fail("nothing-to-stand-on", "it stands on nothing that is known here: no post in the ground, no wall",
                "give its posts holes, or ask an engineer how to anchor it");
  const auto solver = frame::Solver::make(model->frame, {.may_be_loose = true});
  if (!solver) return tl::make_unexpected(solver.error());
  // Movements are reckoned with the fixings' stiffness in use, forces with two thirds of it (EN 1995-1-1 2.2.2).
  const auto in_use = frame::Solver::make(model->in_use(), {.may_be_loose = true});
  if (!in_use) return tl::make_unexpected(in_use.error());
  auto parts =
      std::make_unique<Parts>(Parts{structure, std::move(model), frame::Series(*solver), frame::Series(*in_use), {}});
  // Under its own weight it must stand.
  Solved weighed(structure, site, parts->model);
  weighed.actions = {SiteLoads(structure, *parts->model, site).dead()};
  Case weight;
  weight.parts = {{0, 1}};
  const Result<bool> stands = Solving(weighed, parts->series, false).one(weight);
  if (!stands && stands.error().front().code == "not-settled")
    return fail("mechanism",
                "under its own weight alone nothing was found that it comes to rest on: something drops or slides",
                "look for a piece that no fixing holds, and add one there");
  if (!stands) return tl::make_unexpected(stands.error());
  if (!*stands) {
    const Loosened& loose = weighed.loosened.front();
    return fail("mechanism", words_of(structure, loose), "add a brace or fixings there");
  }
  parts->weight = std::move(weighed.solutions.front());
  return Carcass(std::move(parts));
}

Result<Solved> Carcass::solve(const Site& site, const Asking& asking) {
  const Structure& structure = parts_->structure;
  Solved s(structure, site, parts_->model);
  const Site here = site_for(structure, site);
  Situations found = situations_of(SiteLoads(structure, s.model, here), here, asking.state);
  if (asking.situation)
    for (auto* cases : {&found.ultimate, &found.equilibrium, &found.service})
      std::erase_if(*cases, [&](const Case& c) { return c.when != *asking.situation; });
  s.actions = std::move(found.actions);
  s.roof = std::move(found.roof);
  s.ultimate = std::move(found.ultimate);
  s.equilibrium = std::move(found.equilibrium);
  s.service = std::move(found.service);
  s.solutions.push_back(parts_->weight);
  Solving solving(s, parts_->series, false), serving(s, parts_->in_use, true);
  for (auto [by, cases] : {std::pair{&solving, &s.ultimate}, {&solving, &s.equilibrium}, {&serving, &s.service}})
    if (const Result<void> done = by->all(*cases); !done) return tl::make_unexpected(done.error());
  if (asking.state != State::Kind::any) return s;
  s.picture.when.state = overgrown();
  s.picture.parts = {{0, 1}, {1, 1}, {found.grown_wind, 1}};
  s.weight_in_use.parts = {{0, 1}};
  const std::size_t loose = s.loosened.size();
  for (Case* c : {&s.picture, &s.weight_in_use})
    if (const Result<bool> drawn = serving.one(*c); !drawn || !*drawn) c->solution = 0;
  s.loosened.resize(loose);  // what came off was said by the cases with their factors
  return s;
}

Result<Solved> solve(const Structure& structure, const Site& site, const std::vector<BaseSpring>& bases) {
  auto carcass = Carcass::make(structure, site, bases);
  if (!carcass) return tl::make_unexpected(carcass.error());
  return carcass->solve(site);
}

}  // namespace garthwright::strength
