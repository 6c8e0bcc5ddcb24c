// SPDX-License-Identifier: Apache-2.0
#include "frame/stability.h"

#include <fmt/format.h>

#include <cmath>

#include "frame/solver_parts.h"

namespace garthwright::frame {
namespace {

using Vector6 = Eigen::Matrix<double, 6, 1>;

double mean_tension(const MemberResult& r) { return (r.end[1].force_n[0] - r.end[0].force_n[0]) / 2; }

Sparse geometric(const Solver::Parts& parts, const Solution& solution) {
  std::vector<Matrix12> local;
  local.reserve(parts.elements.size());
  for (std::size_t m = 0; m < parts.elements.size(); ++m) {
    const Matrix12 map = parts.elements[m].bar_from_nodes();
    local.push_back(map.transpose() * geometric_stiffness(mean_tension(solution.members[m]), parts.axes[m].length) *
                    map);
  }
  Stiffness k(parts.frame);
  k.add_members(parts.frame, parts.axes, local);
  return k.over(parts.unknowns);
}

/// A start that favours nothing and is always the same.
Eigen::VectorXd scattered(Eigen::Index size) {
  Eigen::VectorXd v(size);
  std::uint64_t state = 0x9e3779b97f4a7c15u;
  for (double& x : v) {
    state ^= state << 13, state ^= state >> 7, state ^= state << 17;
    x = static_cast<double>(state >> 11) / 9007199254740992.0 - 0.5;
  }
  return v;
}

struct Largest {
  double value = 0;
  Eigen::VectorXd vector;
  bool converged = false;
};

/// Largest eigenvalue of K⁻¹G by Lanczos in the inner product of K, every vector kept orthogonal to all before.
/// Golub & Van Loan, Matrix Computations, 4th ed., 10.3.
Largest largest_eigenvalue(const Sparse& k, const Factors& factors, const Sparse& g) {
  const int most = static_cast<int>(std::min<Eigen::Index>(k.rows(), 160));
  std::vector<Eigen::VectorXd> basis, weighted;  // v and K v
  std::vector<double> diagonal, off;
  Eigen::VectorXd v = factors.solve(g * scattered(k.rows()));
  Largest result;
  double norm = std::sqrt(std::max(0.0, v.dot(k * v)));
  if (norm == 0) return {0, {}, true};
  v /= norm;
  for (int step = 0; step < most; ++step) {
    basis.push_back(v);
    weighted.push_back(k * v);
    Eigen::VectorXd w = factors.solve(g * v);
    diagonal.push_back(w.dot(weighted.back()));
    for (int twice = 0; twice < 2; ++twice)
      for (std::size_t i = 0; i < basis.size(); ++i) w -= w.dot(weighted[i]) * basis[i];
    norm = std::sqrt(std::max(0.0, w.dot(k * w)));
    off.push_back(norm);

    const int n = step + 1;
    Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> ritz;
    Eigen::VectorXd d = Eigen::Map<Eigen::VectorXd>(diagonal.data(), n);
    Eigen::VectorXd e = Eigen::Map<Eigen::VectorXd>(off.data(), std::max(n - 1, 0));
    ritz.computeFromTridiagonal(d, e);
    result.value = ritz.eigenvalues()[n - 1];
    const Eigen::VectorXd shares = ritz.eigenvectors().col(n - 1);
    const double size = ritz.eigenvalues().cwiseAbs().maxCoeff();
    const double rest = norm * std::abs(shares[n - 1]);
    result.converged = rest <= 1e-8 * std::abs(result.value) || norm <= 1e-13 * size;
    if (result.converged || n == most) {
      result.converged = result.converged || n == k.rows();
      result.vector = Eigen::VectorXd::Zero(k.rows());
      for (int i = 0; i < n; ++i) result.vector += shares[i] * basis[i];
      return result;
    }
    v = w / norm;
  }
  return result;
}

std::vector<Motion> scaled_mode(const Solver::Parts& parts, const Eigen::VectorXd& x, std::size_t nodes) {
  std::vector<Vector6> motion = spread(parts.unknowns, x);
  double most = 0;
  for (const Vector6& m : motion) most = std::max(most, m.head<3>().norm());
  std::vector<Motion> mode;
  for (std::size_t n = 0; n < nodes && most > 0; ++n)
    mode.push_back({{motion[n][0] / most, motion[n][1] / most, motion[n][2] / most},
                    {motion[n][3] / most, motion[n][4] / most, motion[n][5] / most}});
  return mode;
}

/// Of a frame without contacts, under its linear solution; the mode of the first `nodes`.
Buckling buckling(const Solver& solver, const Solution& linear, std::size_t nodes) {
  const Solver::Parts& parts = solver.parts();
  if (parts.unknowns.count == 0) return {};
  const Sparse softening = -geometric(parts, linear);
  const Largest largest = largest_eigenvalue(parts.stiffness, parts.factors, softening);
  Buckling buckling;
  buckling.converged = largest.converged;
  if (largest.value > 1e-14) {
    buckling.critical_factor = 1 / largest.value;
    buckling.mode = scaled_mode(parts, largest.vector, nodes);
  }
  return buckling;
}

Vector12 node_motion(const Solver::Parts& parts, std::size_t m, const std::vector<Vector6>& nodes) {
  Vector12 global;
  global << nodes[parts.frame.members[m].ends[0]], nodes[parts.frame.members[m].ends[1]];
  return to_local(parts.axes[m], global);
}

}  // namespace

Frame cut(const Frame& frame, int pieces) {
  Frame fine;
  fine.nodes = frame.nodes;
  fine.supports = frame.supports;
  fine.loads = cut(frame.loads, pieces);
  fine.links = frame.links;
  fine.contacts = frame.contacts;
  for (const Member& member : frame.members) {
    Vec3 a = frame.nodes[member.ends[0]].at_mm, b = frame.nodes[member.ends[1]].at_mm;
    for (int i = 0; i < 3; ++i) a[i] += member.offset_mm[0][i], b[i] += member.offset_mm[1][i];
    NodeIndex from = member.ends[0];
    for (int piece = 0; piece < pieces; ++piece) {
      Member part = member;
      const bool first = piece == 0, last = piece == pieces - 1;
      NodeIndex to = member.ends[1];
      if (!last) {
        const double t = static_cast<double>(piece + 1) / pieces;
        Vec3 at;
        for (int i = 0; i < 3; ++i) at[i] = a[i] + (b[i] - a[i]) * t;
        to = fine.nodes.size();
        fine.nodes.push_back({fmt::format("{}/{}", member.id, piece + 1), at});
      }
      part.id = fmt::format("{}/{}", member.id, piece + 1);
      part.ends = {from, to};
      if (!first) part.joint[0] = kAllRigid, part.offset_mm[0] = {};
      if (!last) part.joint[1] = kAllRigid, part.offset_mm[1] = {};
      fine.members.push_back(part);
      from = to;
    }
  }
  return fine;
}

Loads cut(const Loads& loads, int pieces) {
  Loads fine;
  fine.on_nodes = loads.on_nodes;
  fine.crushing = loads.crushing;
  for (const MemberLoad& load : loads.on_members)
    for (int piece = 0; piece < pieces; ++piece)
      fine.on_members.push_back({load.member * pieces + piece, load.uniform_n_per_mm});
  return fine;
}

Result<Buckling> critical_load(const Solver& solver, const Loads& loads) {
  if (Diagnostics faults = check_loads(solver.frame(), loads); has_error(faults))
    return tl::unexpected(std::move(faults));
  const int pieces = std::max(1, solver.options().pieces_per_member);
  const Result<Solver> fine =
      pieces == 1 ? Result<Solver>(solver) : Solver::make(cut(solver.frame(), pieces), solver.options());
  if (!fine) return tl::unexpected(fine.error());
  const Result<Solution> linear = fine->solve(cut(loads, pieces));
  if (!linear) return tl::unexpected(linear.error());
  const std::size_t nodes = solver.frame().nodes.size();
  if (fine->frame().contacts.empty()) return buckling(*fine, *linear, nodes);
  const Result<Solver> tangent = Solver::make(as_pressed(fine->frame(), *linear), solver.options());
  if (!tangent) return tl::unexpected(tangent.error());
  return buckling(*tangent, *linear, nodes);
}

Result<Buckling> critical_load(const Frame& frame, const Solution& under, const Options& options) {
  const Result<Solver> tangent = Solver::make(as_pressed(frame, under), options);
  if (!tangent) return tl::unexpected(tangent.error());
  return buckling(*tangent, under, frame.nodes.size());
}

Result<Solution> solve_p_delta(const Solver& solver, const Loads& loads) {
  if (!solver.frame().contacts.empty())
    return fail("has-contacts", "sway that adds to itself is not reckoned for frames with contacts",
                "solve it, and look at its critical load");
  Result<Solution> solution = solver.solve(loads);
  if (!solution) return solution;
  const Solver::Parts& parts = solver.parts();
  const Frame& frame = parts.frame;
  if (parts.unknowns.count == 0) return solution;
  const std::vector<Vector6> applied = loads_on_nodes(frame, loads);
  const std::vector<Vec3> uniform = uniform_in_members(frame, parts.axes, loads);
  double change = 0;
  for (int round = 0; round < parts.options.p_delta_rounds; ++round) {
    // Every member with its axial force, joints folded in anew: exact where they release a sway.
    std::vector<Element> elements;
    std::vector<Matrix12> local;
    double most = 0;
    for (std::size_t m = 0; m < parts.elements.size(); ++m) {
      const double l = parts.axes[m].length, tension = mean_tension(solution->members[m]);
      most = std::max(most, std::abs(tension));
      elements.emplace_back(bar_stiffness(frame.members[m], l) + geometric_stiffness(tension, l),
                            frame.members[m].joint);
      local.push_back(elements.back().stiffness());
    }
    Stiffness sum(frame);
    sum.add_members(frame, parts.axes, local);
    sum.add_links(frame);
    sum.add_supports(frame);
    hold_loose_turns(frame, parts.unknowns, parts.axes, sum);
    const Sparse k = sum.over(parts.unknowns);
    Factors factors;
    if (!factors.compute(k) || factors.pivots().minCoeff() <= 0)
      return fail("unstable", "the frame buckles under this load before it comes to rest",
                  "brace it, or make the members in compression thicker");
    Eigen::VectorXd rhs = Eigen::VectorXd::Zero(parts.unknowns.count);
    std::vector<Vector6> on_nodes = applied;
    std::vector<Vector12> held;
    for (std::size_t m = 0; m < elements.size(); ++m) {
      held.push_back(held_end_forces(uniform[m], parts.axes[m].length));
      const Vector12 global = to_global(parts.axes[m], elements[m].through_joints(held[m]));
      on_nodes[frame.members[m].ends[0]] -= global.head<6>();
      on_nodes[frame.members[m].ends[1]] -= global.tail<6>();
    }
    for (std::size_t n = 0; n < on_nodes.size(); ++n)
      for (int way = 0; way < 6; ++way)
        if (const int at = parts.unknowns.of_node[n][way]; at >= 0) rhs[at] = on_nodes[n][way];
    Eigen::VectorXd x = factors.solve(rhs);
    x += factors.solve(rhs - k * x);
    const std::vector<Vector6> nodes = spread(parts.unknowns, x);

    Solution next = *solution;
    std::vector<Vector6> rest = applied;
    change = 0;
    for (std::size_t n = 0; n < nodes.size(); ++n)
      for (int i = 0; i < 3; ++i) {
        next.displacements[n].translation_mm[i] = nodes[n][i];
        next.displacements[n].rotation_rad[i] = nodes[n][3 + i];
      }
    for (std::size_t m = 0; m < elements.size(); ++m) {
      const Vector12 motion = node_motion(parts, m, nodes);
      const Vector12 f = elements[m].stiffness() * motion + elements[m].through_joints(held[m]);
      const Vector12 bar = elements[m].bar_motion(motion, held[m]);
      for (int end : {0, 1})
        for (int i = 0; i < 3; ++i) {
          next.members[m].end[end].force_n[i] = f[6 * end + i];
          next.members[m].end[end].moment_nmm[i] = f[6 * end + 3 + i];
          next.members[m].motion[end].translation_mm[i] = bar[6 * end + i];
          next.members[m].motion[end].rotation_rad[i] = bar[6 * end + 3 + i];
        }
      change = std::max(change, std::abs(mean_tension(next.members[m]) - mean_tension(solution->members[m])));
      const Vector12 global = to_global(parts.axes[m], f);
      rest[frame.members[m].ends[0]] -= global.head<6>();
      rest[frame.members[m].ends[1]] -= global.tail<6>();
    }
    less_connections(parts, nodes, loads.crushing, rest);
    next.links = link_forces(parts, nodes);
    for (std::size_t s = 0; s < frame.supports.size(); ++s)
      for (int way = 0; way < 6; ++way) {
        const double stiffness = frame.supports[s].stiffness[way];
        const NodeIndex node = frame.supports[s].node;
        const double r = std::isinf(stiffness) ? -rest[node][way] : -stiffness * nodes[node][way];
        (way < 3 ? next.reactions[s].force_n : next.reactions[s].moment_nmm)[way % 3] = r;
      }
    *solution = std::move(next);
    if (change <= parts.options.p_delta_change * std::max(most, 1e-12)) return solution;
  }
  return fail("not-converged",
              fmt::format("the sway had not settled after {} rounds (axial forces still change by {:.3g} N)",
                          parts.options.p_delta_rounds, change),
              "the frame is close to buckling: brace it or make it stiffer");
}

}  // namespace garthwright::frame
