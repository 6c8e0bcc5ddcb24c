// SPDX-License-Identifier: Apache-2.0
#include "frame/assembly.h"

#include <algorithm>
#include <cmath>

namespace garthwright::frame {
namespace {

/// Below this part of the turning stiffness of the members around it, a node's own is none.
constexpr double kLoose = 1e-11;

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

Stiffness::Stiffness(const Frame& frame) : nodes_(frame.nodes.size()) {
  const auto tie = [&](const std::array<NodeIndex, 2>& nodes) {
    if (nodes[0] != nodes[1]) pairs_.push_back({std::min(nodes[0], nodes[1]), std::max(nodes[0], nodes[1])});
  };
  for (const Member& m : frame.members) tie(m.ends);
  for (const Link& l : frame.links) tie(l.nodes);
  for (const Contact& c : frame.contacts) tie(c.nodes);
  std::sort(pairs_.begin(), pairs_.end());
  pairs_.erase(std::unique(pairs_.begin(), pairs_.end()), pairs_.end());
  first_.assign(nodes_ + 1, pairs_.size());
  for (std::size_t pair = pairs_.size(); pair-- > 0;) first_[pairs_[pair][0]] = pair;
  for (NodeIndex node = nodes_; node-- > 0;) first_[node] = std::min(first_[node], first_[node + 1]);
  blocks_.assign(nodes_ + pairs_.size(), Block::Zero());
}

Block& Stiffness::between(NodeIndex low, NodeIndex high) {
  std::size_t pair = first_[low];
  while (pairs_[pair][1] != high) ++pair;  // a node has few neighbours
  return blocks_[nodes_ + pair];
}

void Stiffness::add_members(const Frame& frame, const std::vector<Axes>& axes, const std::vector<Matrix12>& local) {
  for (std::size_t m = 0; m < frame.members.size(); ++m) {
    const auto [a, b] = frame.members[m].ends;
    const Matrix12 global = to_global(axes[m], local[m]);
    own(a) += global.topLeftCorner<6, 6>();
    own(b) += global.bottomRightCorner<6, 6>();
    if (a < b)
      between(a, b) += global.bottomLeftCorner<6, 6>();
    else if (b < a)
      between(b, a) += global.topRightCorner<6, 6>();
    else
      own(a) += global.topRightCorner<6, 6>() + global.bottomLeftCorner<6, 6>();
  }
}

void Stiffness::add(const Row& row, double stiffness) {
  if (stiffness == 0) return;
  const auto [a, b] = row.nodes;
  const Eigen::Matrix<double, 6, 1> first = row.b.head<6>(), second = row.b.tail<6>();
  own(a).noalias() += first * (stiffness * first).transpose();
  own(b).noalias() += second * (stiffness * second).transpose();
  if (a < b)
    between(a, b).noalias() += second * (stiffness * first).transpose();
  else if (b < a)
    between(b, a).noalias() += first * (stiffness * second).transpose();
  else
    own(a).noalias() += first * (stiffness * second).transpose() + second * (stiffness * first).transpose();
}

void Stiffness::add_links(const Frame& frame) {
  for (const Link& link : frame.links)
    for (const auto& [row, stiffness] : rows_of(frame, link)) add(row, stiffness);
}

void Stiffness::add_supports(const Frame& frame) {
  for (const Support& support : frame.supports)
    for (int way = 0; way < 6; ++way)
      if (std::isfinite(support.stiffness[way])) own(support.node)(way, way) += support.stiffness[way];
}

Sparse Stiffness::over(const Unknowns& unknowns) const {
  // Blocks of each node's columns, from the lowest row on.
  struct Part {
    NodeIndex row;
    std::size_t block;
    bool flipped;
  };
  std::vector<std::vector<Part>> columns(nodes_);
  for (std::size_t pair = 0; pair < pairs_.size(); ++pair)
    columns[pairs_[pair][1]].push_back({pairs_[pair][0], nodes_ + pair, true});
  for (NodeIndex node = 0; node < nodes_; ++node) columns[node].push_back({node, node, false});
  for (std::size_t pair = 0; pair < pairs_.size(); ++pair)
    columns[pairs_[pair][0]].push_back({pairs_[pair][1], nodes_ + pair, false});
  Sparse k(unknowns.count, unknowns.count);
  std::size_t blocks = 0;
  for (const auto& column : columns) blocks += column.size();
  k.reserve(static_cast<Eigen::Index>(36 * blocks));
  for (NodeIndex node = 0; node < nodes_; ++node)
    for (int way = 0; way < 6; ++way) {
      const int at = unknowns.of_node[node][way];
      if (at < 0) continue;
      k.startVec(at);
      for (const Part& part : columns[node])
        for (int r = 0; r < 6; ++r)
          if (const int row = unknowns.of_node[part.row][r]; row >= 0)
            k.insertBack(row, at) = part.flipped ? blocks_[part.block](way, r) : blocks_[part.block](r, way);
    }
  k.finalize();
  return k;
}

std::vector<LooseTurn> hold_loose_turns(const Frame& frame, const Unknowns& unknowns, const std::vector<Axes>& axes,
                                        Stiffness& k, Stiffness* also) {
  const std::vector<double> around = turning_stiffness_around(frame, axes);
  std::vector<LooseTurn> loose;
  for (NodeIndex node = 0; node < frame.nodes.size(); ++node) {
    if (around[node] == 0) continue;  // no member here: a mechanism, found later
    std::vector<int> free;            // of the three turns
    for (int turn = 0; turn < 3; ++turn)
      if (unknowns.of_node[node][3 + turn] >= 0) free.push_back(turn);
    const int n = static_cast<int>(free.size());
    if (n == 0) continue;
    Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, 0, 3, 3> own(n, n);
    for (int i = 0; i < n; ++i)
      for (int j = 0; j < n; ++j) own(i, j) = k.own(node)(3 + free[i], 3 + free[j]);
    const Eigen::SelfAdjointEigenSolver<decltype(own)> modes(own);
    for (int mode = 0; mode < n && modes.eigenvalues()[mode] < kLoose * around[node]; ++mode) {
      LooseTurn turn{node, Eigen::Vector3d::Zero()};
      for (int i = 0; i < n; ++i) {
        turn.axis[free[i]] = modes.eigenvectors()(i, mode);
        for (int j = 0; j < n; ++j) {
          const double holds = around[node] * modes.eigenvectors()(i, mode) * modes.eigenvectors()(j, mode);
          k.own(node)(3 + free[i], 3 + free[j]) += holds;
          if (also != nullptr) also->own(node)(3 + free[i], 3 + free[j]) += holds;
        }
      }
      loose.push_back(turn);
    }
  }
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
