// SPDX-License-Identifier: Apache-2.0
#include "frame/assembly.h"

#include <cmath>

namespace garthwright::frame {
namespace {

using Triplets = std::vector<Eigen::Triplet<double>>;

/// Below this part of the turning stiffness of the members around it, a node's own is none.
constexpr double kLoose = 1e-11;

void add_row(const Unknowns& unknowns, const Row& row, double stiffness, Triplets& triplets) {
  if (stiffness == 0) return;
  const std::array<int, 12> at = places(unknowns, row.nodes);
  for (int j = 0; j < 12; ++j)
    for (int i = 0; i < 12; ++i)
      if (at[i] >= 0 && at[j] >= 0) triplets.emplace_back(at[i], at[j], stiffness * row.b[i] * row.b[j]);
}

/// How stiffly the members at each node would resist its turning if every joint were rigid.
std::vector<double> turning_stiffness_around(const Frame& frame, const std::vector<Axes>& axes) {
  std::vector<double> around(frame.nodes.size(), 0);
  for (std::size_t m = 0; m < frame.members.size(); ++m) {
    const Member& member = frame.members[m];
    const double bending = 4 * member.e_mpa * std::max(member.iy_mm4, member.iz_mm4);
    for (NodeIndex node : member.ends)
      around[node] = std::max(around[node], std::max(bending, member.g_mpa * member.j_mm4) / axes[m].length);
  }
  return around;
}

}  // namespace

Unknowns number_unknowns(const Frame& frame) {
  Unknowns unknowns;
  unknowns.of_node.assign(frame.nodes.size(), {0, 0, 0, 0, 0, 0});
  for (const Support& support : frame.supports)
    for (int way = 0; way < 6; ++way)
      if (std::isinf(support.stiffness[way])) unknowns.of_node[support.node][way] = -1;
  for (auto& node : unknowns.of_node)
    for (int& at : node)
      if (at == 0) at = unknowns.count++;
  return unknowns;
}

std::vector<Axes> axes_of_members(const Frame& frame) {
  std::vector<Axes> axes;
  axes.reserve(frame.members.size());
  for (const Member& member : frame.members) axes.push_back(axes_of(frame, member));
  return axes;
}

std::vector<Element> elements_of(const Frame& frame, const std::vector<Axes>& axes) {
  std::vector<Element> elements;
  elements.reserve(frame.members.size());
  for (std::size_t m = 0; m < frame.members.size(); ++m)
    elements.emplace_back(bar_stiffness(frame.members[m], axes[m].length), frame.members[m].joint);
  return elements;
}

Sparse assemble(const Frame& frame, const Unknowns& unknowns, const std::vector<Axes>& axes,
                const std::vector<Matrix12>& local) {
  Triplets triplets;
  triplets.reserve(144 * frame.members.size());
  for (std::size_t m = 0; m < frame.members.size(); ++m) {
    const std::array<int, 12> at = places(unknowns, frame.members[m].ends);
    const Matrix12 global = to_global(axes[m], local[m]);
    for (int j = 0; j < 12; ++j)
      for (int i = 0; i < 12; ++i)
        if (at[i] >= 0 && at[j] >= 0) triplets.emplace_back(at[i], at[j], global(i, j));
  }
  Sparse k(unknowns.count, unknowns.count);
  k.setFromTriplets(triplets.begin(), triplets.end());
  return k;
}

Row row_between(const Frame& frame, const std::array<NodeIndex, 2>& nodes, const Vec3& at,
                const Eigen::Vector3d& direction) {
  Row row{nodes, {}};
  for (int end : {0, 1}) {
    const Vec3& node = frame.nodes[nodes[end]].at_mm;
    const Eigen::Vector3d arm(at[0] - node[0], at[1] - node[1], at[2] - node[2]);
    const double sign = end == 0 ? -1 : 1;
    row.b.segment<3>(6 * end) = sign * direction;
    row.b.segment<3>(6 * end + 3) = sign * arm.cross(direction);
  }
  return row;
}

std::array<std::pair<Row, double>, 3> rows_of(const Frame& frame, const Link& link) {
  const Eigen::Vector3d along = Eigen::Vector3d(link.axis[0], link.axis[1], link.axis[2]).normalized();
  const Eigen::Vector3d across = along.unitOrthogonal();
  return {{{row_between(frame, link.nodes, link.at_mm, along), link.k_along_n_mm},
           {row_between(frame, link.nodes, link.at_mm, across), link.k_across_n_mm},
           {row_between(frame, link.nodes, link.at_mm, along.cross(across)), link.k_across_n_mm}}};
}

Row row_of(const Frame& frame, const Contact& contact) {
  const Vec3& n = contact.normal;
  return row_between(frame, contact.nodes, contact.at_mm, Eigen::Vector3d(n[0], n[1], n[2]).normalized());
}

std::array<int, 12> places(const Unknowns& unknowns, const std::array<NodeIndex, 2>& nodes) {
  std::array<int, 12> at{};
  for (int end : {0, 1})
    for (int way = 0; way < 6; ++way) at[6 * end + way] = unknowns.of_node[nodes[end]][way];
  return at;
}

void add_contacts(const Frame& frame, const Unknowns& unknowns, Sparse& k) {
  Triplets triplets;
  for (const Contact& contact : frame.contacts) add_row(unknowns, row_of(frame, contact), contact.k_n_mm, triplets);
  Sparse closed(k.rows(), k.cols());
  closed.setFromTriplets(triplets.begin(), triplets.end());
  k += closed;
}

void add_springs(const Frame& frame, const Unknowns& unknowns, Sparse& k) {
  Triplets triplets;
  for (const Support& support : frame.supports)
    for (int way = 0; way < 6; ++way)
      if (const int at = unknowns.of_node[support.node][way]; at >= 0 && support.stiffness[way] > 0)
        triplets.emplace_back(at, at, support.stiffness[way]);
  for (const Link& link : frame.links)
    for (const auto& [row, stiffness] : rows_of(frame, link)) add_row(unknowns, row, stiffness, triplets);
  Sparse springs(k.rows(), k.cols());
  springs.setFromTriplets(triplets.begin(), triplets.end());
  k += springs;
}

std::vector<LooseTurn> hold_loose_turns(const Frame& frame, const Unknowns& unknowns, const std::vector<Axes>& axes,
                                        Sparse& k, Sparse* also) {
  const std::vector<double> around = turning_stiffness_around(frame, axes);
  std::vector<LooseTurn> loose;
  Triplets holds;
  for (NodeIndex node = 0; node < frame.nodes.size(); ++node) {
    if (around[node] == 0) continue;  // no member here: a mechanism, found later
    std::vector<int> free;            // of the three turns
    for (int turn = 0; turn < 3; ++turn)
      if (unknowns.of_node[node][3 + turn] >= 0) free.push_back(turn);
    const int n = static_cast<int>(free.size());
    Eigen::MatrixXd own(n, n);
    for (int i = 0; i < n; ++i)
      for (int j = 0; j < n; ++j)
        own(i, j) = k.coeff(unknowns.of_node[node][3 + free[i]], unknowns.of_node[node][3 + free[j]]);
    if (n == 0) continue;
    const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> modes(own);
    for (int mode = 0; mode < n && modes.eigenvalues()[mode] < kLoose * around[node]; ++mode) {
      LooseTurn turn{node, Eigen::Vector3d::Zero()};
      for (int i = 0; i < n; ++i) {
        turn.axis[free[i]] = modes.eigenvectors()(i, mode);
        for (int j = 0; j < n; ++j)
          holds.emplace_back(unknowns.of_node[node][3 + free[i]], unknowns.of_node[node][3 + free[j]],
                             around[node] * modes.eigenvectors()(i, mode) * modes.eigenvectors()(j, mode));
      }
      loose.push_back(turn);
    }
  }
  Sparse held(k.rows(), k.cols());
  held.setFromTriplets(holds.begin(), holds.end());
  k += held;
  if (also != nullptr) *also += held;
  return loose;
}

bool Factors::compute(const Sparse& k, double hold) {
  scale_ = k.diagonal();
  for (double& s : scale_) s = s > 0 ? 1 / std::sqrt(s) : 1;
  Sparse scaled = scale_.asDiagonal() * k * scale_.asDiagonal();
  if (hold > 0) {
    Sparse identity(k.rows(), k.cols());
    identity.setIdentity();
    scaled += hold * identity;
  }
  ldlt_.compute(scaled);
  return ldlt_.info() == Eigen::Success;
}

Eigen::VectorXd Factors::solve(const Eigen::VectorXd& rhs) const {
  return scale_.cwiseProduct(ldlt_.solve(scale_.cwiseProduct(rhs)));
}

Eigen::VectorXd Factors::motion_of_pivot(Eigen::Index at) const {
  Eigen::VectorXd unit = Eigen::VectorXd::Unit(scale_.size(), at);
  ldlt_.matrixU().solveInPlace(unit);
  return scale_.cwiseProduct(ldlt_.permutationPinv() * unit);
}

}  // namespace garthwright::frame
