// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "frame/pressing.h"
#include "frame/solver_parts.h"

namespace garthwright::frame {
namespace {

using Vector6 = Eigen::Matrix<double, 6, 1>;

Vec3 array(const Eigen::Ref<const Eigen::Vector3d>& v) { return {v[0], v[1], v[2]}; }

double moved(const Row& row, const std::vector<Vector6>& nodes) {
  return row.b.head<6>().dot(nodes[row.nodes[0]]) + row.b.tail<6>().dot(nodes[row.nodes[1]]);
}

constexpr double kHeld = 1e-9;  ///< of its own stiffness, where a way of moving may be loose

/// Strain energy of a motion against what its members would store if no two of its terms cancelled: round-off for a
/// mechanism, of the order of one where something really bends.
double energy_left(const Solver::Parts& parts, const Eigen::VectorXd& x) {
  const Sparse& k = parts.stiffness;
  double energy = 0, size = 0;
  for (int column = 0; column < k.outerSize(); ++column)
    for (Sparse::InnerIterator it(k, column); it; ++it) {
      const double term = it.value() * x[it.row()] * x[column];
      energy += term;
      size += std::abs(term);
    }
  return size > 0 ? std::abs(energy) / size : 0;
}

/// Lets the clearest axis component be positive, so that a way of moving has one name.
Eigen::Vector3d pointing_up(Eigen::Vector3d v) {
  v.normalize();
  int main = 0;
  v.cwiseAbs().maxCoeff(&main);
  return v[main] < 0 ? Eigen::Vector3d(-v) : v;
}

Mechanism describe(const Solver::Parts& parts, const Eigen::VectorXd& x, bool one_way = false) {
  std::vector<Vector6> motion = spread(parts.unknowns, x);
  const double arm = std::max(extent(parts.frame), 1.0);
  double shift = 0, turn = 0;
  NodeIndex shifting = 0, turning = 0;
  for (NodeIndex n = 0; n < motion.size(); ++n) {
    // A later node must move clearly more to be named: equal ones are told apart by their order, not by round-off.
    if (motion[n].head<3>().norm() > shift * (1 + 1e-6)) shift = motion[n].head<3>().norm(), shifting = n;
    if (motion[n].tail<3>().norm() > turn * (1 + 1e-6)) turn = motion[n].tail<3>().norm(), turning = n;
  }
  Mechanism mechanism;
  mechanism.turns = shift < 1e-6 * turn * arm;
  mechanism.node = mechanism.turns ? turning : shifting;
  const Vector6& most = motion[mechanism.node];
  const Eigen::Vector3d way = mechanism.turns ? most.tail<3>() : most.head<3>();
  mechanism.direction = array(one_way ? way.normalized() : pointing_up(way));
  const double size = mechanism.turns ? turn : shift;
  for (const Vector6& m : motion) mechanism.mode.push_back({array(m.head<3>() / size), array(m.tail<3>() / size)});
  return mechanism;
}

/// Looks at every pivot small enough to be suspect. The first shift that is found is named; a turn only where nothing
/// shifts.
std::optional<Mechanism> mechanism_among(const Solver::Parts& parts, const Factors& factors) {
  constexpr double kSuspect = 1e-7;
  const Eigen::VectorXd pivots = factors.pivots();
  std::optional<Mechanism> turn;
  for (Eigen::Index at = 0; at < pivots.size(); ++at) {
    if (pivots[at] > kSuspect) continue;
    const Eigen::VectorXd x = factors.motion_of_pivot(at);
    if (!x.allFinite() || energy_left(parts, x) >= parts.options.mechanism_energy) continue;
    Mechanism found = describe(parts, x);
    if (!found.turns) return found;
    if (!turn) turn = std::move(found);
  }
  return turn;
}

/// Factorises, or says what moves. A pivot that is exactly zero stops the factorisation; a hair of stiffness everywhere
/// then lets it run on, only to find the motion.
std::optional<Mechanism> factorise(Solver::Parts& parts) {
  if (parts.unknowns.count == 0) return std::nullopt;
  if (parts.factors.compute(parts.stiffness)) return mechanism_among(parts, parts.factors);
  Factors factors;
  factors.compute(parts.stiffness, 1e-13);
  std::optional<Mechanism> found = mechanism_among(parts, factors);
  if (!found) {
    Eigen::Index weakest = 0;
    factors.pivots().minCoeff(&weakest);
    found = describe(parts, factors.motion_of_pivot(weakest));
  }
  return found;
}

/// `whole`: the matrix with all contacts closed is wanted, not only its diagonal.
std::shared_ptr<Solver::Parts> prepare(Frame frame, const Options& options, bool whole) {
  auto parts = std::make_shared<Solver::Parts>();
  parts->frame = std::move(frame);
  parts->options = options;
  parts->unknowns = number_unknowns(parts->frame);
  parts->axes = axes_of_members(parts->frame);
  parts->elements = elements_of(parts->frame, parts->axes);
  std::vector<Matrix12> local;
  local.reserve(parts->elements.size());
  for (const Element& element : parts->elements) local.push_back(element.stiffness());
  Stiffness k(parts->frame);
  k.add_members(parts->frame, parts->axes, local);
  for (const Link& link : parts->frame.links) {
    parts->links.push_back(rows_of(parts->frame, link));
    for (const auto& [row, stiffness] : parts->links.back()) k.add(row, stiffness);
  }
  k.add_supports(parts->frame);
  for (const Contact& contact : parts->frame.contacts) parts->contacts.push_back(row_of(parts->frame, contact));
  if (!parts->contacts.empty()) parts->open_blocks = k;
  for (std::size_t c = 0; c < parts->contacts.size(); ++c) k.add(parts->contacts[c], parts->frame.contacts[c].k_n_mm);
  parts->loose_turns = hold_loose_turns(parts->frame, parts->unknowns, parts->axes, k,
                                        parts->open_blocks ? &*parts->open_blocks : nullptr);
  if (whole) parts->stiffness = k.over(parts->unknowns);
  parts->diagonal.resize(parts->unknowns.count);
  for (NodeIndex n = 0; n < parts->frame.nodes.size(); ++n)
    for (int way = 0; way < 6; ++way)
      if (const int at = parts->unknowns.of_node[n][way]; at >= 0) parts->diagonal[at] = k.own(n)(way, way);
  return parts;
}

Vector12 end_motion(const Solver::Parts& parts, std::size_t m, const std::vector<Vector6>& nodes) {
  Vector12 global;
  global << nodes[parts.frame.members[m].ends[0]], nodes[parts.frame.members[m].ends[1]];
  return to_local(parts.axes[m], global);
}

void less_supports(const Solver::Parts& parts, const std::vector<Vector6>& nodes, std::vector<Vector6>& rest) {
  for (const Support& support : parts.frame.supports)
    for (int way = 0; way < 6; ++way)
      if (std::isfinite(support.stiffness[way]))
        rest[support.node][way] -= support.stiffness[way] * nodes[support.node][way];
}

/// End forces of a member. Shears and the near axial force follow from the far ones by the member's own equilibrium,
/// which round-off in large shifts would otherwise disturb.
Vector12 end_forces(const Solver::Parts& parts, std::size_t m, const Vector12& motion, const Vec3& uniform) {
  const double l = parts.axes[m].length;
  const Element& element = parts.elements[m];
  Vector12 f = element.stiffness() * motion + element.through_joints(held_end_forces(uniform, l));
  f[0] = -f[6] - uniform[0] * l;
  f[3] = -f[9];
  const double in_xy = (f[5] + f[11]) / l, in_xz = (f[4] + f[10]) / l;
  f[1] = in_xy - uniform[1] * l / 2;
  f[7] = -in_xy - uniform[1] * l / 2;
  f[2] = -in_xz - uniform[2] * l / 2;
  f[8] = in_xz - uniform[2] * l / 2;
  return f;
}

/// What the nodes are still short of: loads less the forces that members, links, contacts and sprung supports take.
std::vector<Vector6> out_of_balance(const Solver::Parts& parts, const std::vector<Vector6>& applied,
                                    const std::vector<Vec3>& uniform, double crushing,
                                    const std::vector<Vector6>& nodes) {
  std::vector<Vector6> rest = applied;
  for (std::size_t m = 0; m < parts.elements.size(); ++m) {
    const Vector12 global = to_global(parts.axes[m], end_forces(parts, m, end_motion(parts, m, nodes), uniform[m]));
    rest[parts.frame.members[m].ends[0]] -= global.head<6>();
    rest[parts.frame.members[m].ends[1]] -= global.tail<6>();
  }
  less_connections(parts, nodes, crushing, rest);
  less_supports(parts, nodes, rest);
  return rest;
}

/// Loads as they come to the nodes, those on members with them.
std::vector<Vector6> come_to_nodes(const Solver::Parts& parts, std::vector<Vector6> load,
                                   const std::vector<Vec3>& uniform) {
  for (std::size_t m = 0; m < uniform.size(); ++m) {
    if (uniform[m] == Vec3{}) continue;
    const Vector12 held =
        to_global(parts.axes[m], parts.elements[m].through_joints(held_end_forces(uniform[m], parts.axes[m].length)));
    load[parts.frame.members[m].ends[0]] -= held.head<6>();
    load[parts.frame.members[m].ends[1]] -= held.tail<6>();
  }
  return load;
}

Eigen::VectorXd gather(const Unknowns& unknowns, const std::vector<Vector6>& nodes) {
  Eigen::VectorXd x(unknowns.count);
  for (std::size_t n = 0; n < nodes.size(); ++n)
    for (int way = 0; way < 6; ++way)
      if (unknowns.of_node[n][way] >= 0) x[unknowns.of_node[n][way]] = nodes[n][way];
  return x;
}

/// The solution, and what it leaves out of balance at each node.
std::pair<Solution, std::vector<Vector6>> report(const Solver::Parts& parts, const std::vector<Vector6>& applied,
                                                 const std::vector<Vec3>& uniform, double crushing,
                                                 const std::vector<Vector6>& nodes) {
  Solution solution;
  solution.displacements.reserve(nodes.size());
  solution.members.reserve(parts.elements.size());
  solution.contacts.reserve(parts.contacts.size());
  for (const Vector6& node : nodes) solution.displacements.push_back({array(node.head<3>()), array(node.tail<3>())});
  std::vector<Vector6> held = applied;  // becomes what the ground must give, with the sign of the load
  for (std::size_t m = 0; m < parts.elements.size(); ++m) {
    const Vector12 motion = end_motion(parts, m, nodes);
    const Vector12 f = end_forces(parts, m, motion, uniform[m]);
    const double l = parts.axes[m].length;
    const Vector12 bar = parts.elements[m].bar_motion(motion, held_end_forces(uniform[m], l));
    MemberResult result;
    for (int end : {0, 1}) {
      result.end[end] = {array(f.segment<3>(6 * end)), array(f.segment<3>(6 * end + 3))};
      result.motion[end] = {array(bar.segment<3>(6 * end)), array(bar.segment<3>(6 * end + 3))};
    }
    result.uniform_n_per_mm = uniform[m];
    result.length_mm = l;
    solution.members.push_back(result);
    const Vector12 global = to_global(parts.axes[m], f);
    held[parts.frame.members[m].ends[0]] -= global.head<6>();
    held[parts.frame.members[m].ends[1]] -= global.tail<6>();
  }
  less_connections(parts, nodes, crushing, held);
  solution.links = link_forces(parts, nodes);
  for (std::size_t c = 0; c < parts.contacts.size(); ++c) {
    const Contact& contact = parts.frame.contacts[c];
    const double open = contact.gap_mm + moved(parts.contacts[c], nodes), push = push_of(contact, -open, crushing);
    solution.contacts.push_back({push, push > 0 ? 0 : open, push > crushing * contact.crushes_at_n});
  }
  for (const Support& support : parts.frame.supports) {
    Vector6 reaction;
    for (int way = 0; way < 6; ++way) {
      const double s = support.stiffness[way];
      reaction[way] = std::isinf(s) ? -held[support.node][way] : s > 0 ? -s * nodes[support.node][way] : 0.0;
    }
    solution.reactions.push_back({array(reaction.head<3>()), array(reaction.tail<3>())});
  }
  less_supports(parts, nodes, held);
  return {std::move(solution), std::move(held)};
}

/// Said anew from the numbers that are handed out.
Proof prove(const Solver::Parts& parts, const std::vector<Vector6>& load, const std::vector<Vector6>& rest,
            const Solution& solution) {
  Proof proof;
  for (std::size_t c = 0; c < solution.contacts.size(); ++c) {
    const Touch& touch = solution.contacts[c];
    if (c == 0) proof.least_push_n = touch.push_n, proof.least_gap_mm = touch.gap_mm;
    proof.least_push_n = std::min(proof.least_push_n, touch.push_n);
    proof.least_gap_mm = std::min(proof.least_gap_mm, touch.gap_mm);
    proof.most_push_times_gap_nmm = std::max(proof.most_push_times_gap_nmm, touch.push_n * touch.gap_mm);
  }
  const double arm = std::max(extent(parts.frame), 1.0);
  const auto greatest = [&](const std::vector<Vector6>& of, bool free_only) {
    double most = 0;
    for (NodeIndex n = 0; n < of.size(); ++n)
      for (int way = 0; way < 6; ++way)
        if (!free_only || parts.unknowns.of_node[n][way] >= 0)
          most = std::max(most, std::abs(of[n][way]) / (way < 3 ? 1 : arm));
    return most;
  };
  const double size = greatest(load, false);
  if (size > 0) proof.out_of_balance = greatest(rest, true) / size;
  return proof;
}

bool all_finite(const Solution& solution) {
  const auto finite = [](const Vec3& v) { return std::isfinite(v[0] + v[1] + v[2]); };
  for (const Motion& m : solution.displacements)
    if (!finite(m.translation_mm) || !finite(m.rotation_rad)) return false;
  for (const MemberResult& m : solution.members)
    for (const Wrench& w : m.end)
      if (!finite(w.force_n) || !finite(w.moment_nmm)) return false;
  for (const Wrench& w : solution.reactions)
    if (!finite(w.force_n) || !finite(w.moment_nmm)) return false;
  return true;
}

}  // namespace

double push_of(const Contact& contact, double come_in, double crushing) {
  const double push = contact.k_n_mm * std::max(0.0, come_in), most = crushing * contact.crushes_at_n;
  return push <= most ? push : most + contact.crushed_n_mm / contact.k_n_mm * (push - most);
}

double extent(const Frame& frame) {
  double extent = 0;
  for (int axis = 0; axis < 3; ++axis) {
    double low = frame.nodes[0].at_mm[axis], high = low;
    for (const Node& node : frame.nodes) {
      low = std::min(low, node.at_mm[axis]);
      high = std::max(high, node.at_mm[axis]);
    }
    extent = std::max(extent, high - low);
  }
  return extent;
}

void less_connections(const Solver::Parts& parts, const std::vector<Vector6>& nodes, double crushing,
                      std::vector<Vector6>& rest) {
  const auto give = [&](const Row& row, double force) {
    rest[row.nodes[0]] += force * row.b.head<6>();
    rest[row.nodes[1]] += force * row.b.tail<6>();
  };
  for (const auto& link : parts.links)
    for (const auto& [row, k] : link) give(row, -k * moved(row, nodes));
  for (std::size_t c = 0; c < parts.contacts.size(); ++c) {
    const Contact& contact = parts.frame.contacts[c];
    give(parts.contacts[c], push_of(contact, -contact.gap_mm - moved(parts.contacts[c], nodes), crushing));
  }
}

std::vector<Vec3> link_forces(const Solver::Parts& parts, const std::vector<Vector6>& nodes) {
  std::vector<Vec3> forces;
  for (const auto& link : parts.links) {
    Eigen::Vector3d force = Eigen::Vector3d::Zero();
    for (const auto& [row, k] : link) force -= k * moved(row, nodes) * row.b.segment<3>(6);
    forces.push_back(array(force));
  }
  return forces;
}

std::vector<Vec3> uniform_in_members(const Frame& frame, const std::vector<Axes>& axes, const Loads& loads) {
  std::vector<Vec3> uniform(frame.members.size(), Vec3{0, 0, 0});
  for (const MemberLoad& load : loads.on_members) {
    const Vec3& q = load.uniform_n_per_mm;
    const Eigen::Vector3d local = axes[load.member].rows * Eigen::Vector3d(q[0], q[1], q[2]);
    for (int axis = 0; axis < 3; ++axis) uniform[load.member][axis] += local[axis];
  }
  return uniform;
}

std::vector<Vector6> loads_on_nodes(const Frame& frame, const Loads& loads) {
  std::vector<Vector6> applied(frame.nodes.size(), Vector6::Zero());
  for (const NodeLoad& load : loads.on_nodes)
    for (int axis = 0; axis < 3; ++axis) {
      applied[load.node][axis] += load.force_n[axis];
      applied[load.node][3 + axis] += load.moment_nmm[axis];
    }
  return applied;
}

std::vector<Vector6> spread(const Unknowns& unknowns, const Eigen::VectorXd& x) {
  std::vector<Vector6> nodes(unknowns.of_node.size(), Vector6::Zero());
  for (std::size_t n = 0; n < nodes.size(); ++n)
    for (int way = 0; way < 6; ++way)
      if (unknowns.of_node[n][way] >= 0) nodes[n][way] = x[unknowns.of_node[n][way]];
  return nodes;
}

Diagnostics check_held(const Solver::Parts& parts, const Loads& loads) {
  Diagnostics faults;
  const auto fault = [&](std::string what, const std::string& piece) {
    faults.push_back({Severity::error, "mechanism", std::move(what), "hold it with a support, or undo a release",
                      Place{"", 0, 0, piece}});
  };
  const std::vector<Vector6> applied = loads_on_nodes(parts.frame, loads);
  for (const LooseTurn& loose : parts.loose_turns) {
    const Eigen::Vector3d moment = applied[loose.node].tail<3>();
    if (std::abs(moment.dot(loose.axis)) <= 1e-9 * moment.norm()) continue;
    const std::string& id = parts.frame.nodes[loose.node].id;
    Mechanism way;
    way.turns = true;
    way.direction = array(pointing_up(loose.axis));
    fault(fmt::format("the frame is a mechanism: node '{}' {}, and a moment is on it", id, way_of_moving(way)), id);
  }
  const std::vector<Vec3> uniform = uniform_in_members(parts.frame, parts.axes, loads);
  constexpr std::array<const char*, 6> kWays = {"slide along its own length", "slide along its own y",
                                                "slide along its own z",      "turn about its own length",
                                                "turn about its own y",       "turn about its own z"};
  for (std::size_t m = 0; m < parts.elements.size(); ++m) {
    const int way = parts.elements[m].loose(held_end_forces(uniform[m], parts.axes[m].length));
    if (way < 0) continue;
    const Member& member = parts.frame.members[m];
    fault(fmt::format("the frame is a mechanism: member '{}' can {}, past nodes '{}' and '{}', and is loaded that way",
                      member.id, kWays[way % 6], parts.frame.nodes[member.ends[0]].id,
                      parts.frame.nodes[member.ends[1]].id),
          member.id);
  }
  return faults;
}

std::string way_of_moving(const Mechanism& mechanism) {
  const Vec3& d = mechanism.direction;
  std::string line = fmt::format("({:.2f}, {:.2f}, {:.2f})", d[0] + 0.0, d[1] + 0.0, d[2] + 0.0);
  for (int axis = 0; axis < 3; ++axis)
    if (std::abs(d[axis]) > 0.9999) line = std::string(1, "xyz"[axis]);
  return fmt::format("can {} {}", mechanism.turns ? "turn about" : "move along", line);
}

std::optional<Mechanism> find_mechanism(const Frame& frame, const Options& options) {
  return factorise(*prepare(frame, options, true));
}

Result<Solver> Solver::make(Frame frame, const Options& options) {
  if (Diagnostics faults = check(frame); has_error(faults)) return tl::unexpected(std::move(faults));
  const bool whole = frame.contacts.empty() || !options.may_be_loose;
  std::shared_ptr<Parts> parts = prepare(std::move(frame), options, whole);
  if (options.may_be_loose) {
    if (parts->contacts.empty() && parts->unknowns.count > 0) parts->factors.compute(parts->stiffness, kHeld);
    return Solver(std::move(parts));
  }
  if (const std::optional<Mechanism> mechanism = factorise(*parts)) {
    const std::string& id = parts->frame.nodes[mechanism->node].id;
    return fail("mechanism",
                fmt::format("the frame is a mechanism: node '{}' {} without resistance", id, way_of_moving(*mechanism)),
                "brace it, hold it with a support, or undo a release", Place{"", 0, 0, id});
  }
  return Solver(std::move(parts));
}

const Frame& Solver::frame() const { return parts_->frame; }
const Options& Solver::options() const { return parts_->options; }

struct Series::State {
  explicit State(const Solver& s) : solver(s) {
    if (!solver.parts().contacts.empty()) pressing.emplace(solver.parts());
  }
  Solver solver;
  std::optional<Pressing> pressing;
  std::optional<Mechanism> tips;
};

Series::Series(const Solver& solver) : state_(std::make_unique<State>(solver)) {}
Series::Series(Series&&) noexcept = default;
Series& Series::operator=(Series&&) noexcept = default;
Series::~Series() = default;
const std::optional<Mechanism>& Series::tips() const { return state_->tips; }

Result<Solution> Series::solve(const Loads& loads) {
  const Solver::Parts& parts = state_->solver.parts();
  state_->tips.reset();
  if (Diagnostics faults = check_loads(parts.frame, loads); has_error(faults)) return tl::unexpected(std::move(faults));
  if (Diagnostics faults = check_held(parts, loads); has_error(faults)) return tl::unexpected(std::move(faults));
  const std::vector<Vector6> applied = loads_on_nodes(parts.frame, loads);
  const std::vector<Vec3> uniform = uniform_in_members(parts.frame, parts.axes, loads);
  const std::vector<Vector6> load = come_to_nodes(parts, applied, uniform);
  const auto rest = [&](const Eigen::VectorXd& x) {
    return gather(parts.unknowns, out_of_balance(parts, applied, uniform, loads.crushing, spread(parts.unknowns, x)));
  };
  Eigen::VectorXd x = Eigen::VectorXd::Zero(parts.unknowns.count);
  int steps = 0;
  if (state_->pressing && parts.unknowns.count > 0) {
    Pressing::Found found = state_->pressing->find(gather(parts.unknowns, load), loads.crushing);
    if (found.comes_off) {
      state_->tips = describe(parts, *found.comes_off, true);
      const std::string& id = parts.frame.nodes[state_->tips->node].id;
      return fail(
          "tips",
          fmt::format("something only rests and its load takes it off: node '{}' {}", id, way_of_moving(*state_->tips)),
          "tie it down, or link it to what it rests on", Place{"", 0, 0, id});
    }
    if (!found.settled)
      return fail("not-settled", "the contacts had not come to rest when the solver gave up",
                  "check that all stiffnesses are of one order: N/mm");
    x = std::move(found.x);
    steps = found.steps;
  }
  // Correcting the displacements by what is out of balance brings the nodes to rest within round-off.
  const int rounds = parts.unknowns.count == 0 ? 0 : state_->pressing ? 1 : 3;
  for (int round = 0; round < rounds; ++round)
    x += state_->pressing ? state_->pressing->correct(rest(x)) : parts.factors.solve(rest(x));
  const std::vector<Vector6> nodes = spread(parts.unknowns, x);
  auto [solution, left] = report(parts, applied, uniform, loads.crushing, nodes);
  if (!all_finite(solution))
    return fail("not-finite", "the frame's numbers are too far apart to compute with",
                "check the units: mm, N and N/mm²");
  solution.proof = prove(parts, load, left, solution);
  solution.proof.steps = steps;
  return solution;
}

Result<Solution> Solver::solve(const Loads& loads) const { return Series(*this).solve(loads); }

std::optional<Mechanism> Solver::tips(const Loads& loads) const {
  Series run(*this);
  (void)run.solve(loads);
  return run.tips();
}

Frame as_pressed(const Frame& frame, const Solution& solution) {
  Frame linear = frame;
  linear.contacts.clear();
  for (std::size_t c = 0; c < frame.contacts.size(); ++c) {
    const Contact& contact = frame.contacts[c];
    const Touch& touch = solution.contacts[c];
    if (touch.push_n > 0)
      linear.links.push_back({contact.id, contact.nodes, contact.at_mm, contact.normal,
                              touch.crushed ? contact.crushed_n_mm : contact.k_n_mm, 0});
  }
  return linear;
}

Result<Solution> solve(const Frame& frame, const Options& options) {
  return Solver::make(frame, options).and_then([&](const Solver& solver) { return solver.solve(frame.loads); });
}

}  // namespace garthwright::frame
