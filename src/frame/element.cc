// SPDX-License-Identifier: Apache-2.0
#include "frame/element.h"

#include <cmath>

namespace garthwright::frame {
namespace {

Eigen::Vector3d vector(const Vec3& v) { return {v[0], v[1], v[2]}; }

/// What is left of a stiffness when its whole was taken away is noise, not stiffness.
constexpr double kNoise = 1e-12;

/// Places the 4 × 4 of one bending plane; `turn` is +1 where a positive rotation lifts the bar (x–y), -1 in x–z.
void add_bending(Matrix12& k, const Eigen::Matrix4d& plane, int shift, int rotation, double turn) {
  const std::array<int, 4> at = {shift, rotation, shift + 6, rotation + 6};
  const std::array<double, 4> sign = {1, turn, 1, turn};
  for (int i = 0; i < 4; ++i)
    for (int j = 0; j < 4; ++j) k(at[i], at[j]) += sign[i] * sign[j] * plane(i, j);
}

void add_series(Matrix12& k, int way, double stiffness) {
  k(way, way) += stiffness;
  k(way + 6, way + 6) += stiffness;
  k(way, way + 6) -= stiffness;
  k(way + 6, way) -= stiffness;
}

}  // namespace

Axes axes_of(const Frame& frame, const Member& member) {
  Axes axes;
  axes.offset = {vector(member.offset_mm[0]), vector(member.offset_mm[1])};
  const Eigen::Vector3d along = vector(frame.nodes[member.ends[1]].at_mm) + axes.offset[1] -
                                vector(frame.nodes[member.ends[0]].at_mm) - axes.offset[0];
  axes.length = along.norm();
  const Eigen::Vector3d x = along / axes.length;
  const Eigen::Vector3d up = vector(member.up).normalized();
  const Eigen::Vector3d z = x.cross(up).normalized();
  axes.rows.row(0) = x;
  axes.rows.row(1) = z.cross(x);
  axes.rows.row(2) = z;
  return axes;
}

Vector12 to_local(const Axes& axes, const Vector12& global) {
  Vector12 local;
  for (int end : {0, 1}) {
    const Eigen::Vector3d turn = global.segment<3>(6 * end + 3);
    local.segment<3>(6 * end) = axes.rows * (global.segment<3>(6 * end) + turn.cross(axes.offset[end]));
    local.segment<3>(6 * end + 3) = axes.rows * turn;
  }
  return local;
}

Vector12 to_global(const Axes& axes, const Vector12& local) {
  Vector12 global;
  for (int end : {0, 1}) {
    const Eigen::Vector3d force = axes.rows.transpose() * local.segment<3>(6 * end);
    global.segment<3>(6 * end) = force;
    global.segment<3>(6 * end + 3) =
        axes.rows.transpose() * local.segment<3>(6 * end + 3) + axes.offset[end].cross(force);
  }
  return global;
}

Matrix12 to_global(const Axes& axes, const Matrix12& local) {
  Matrix12 global;
  for (int i = 0; i < 12; i += 3)
    for (int j = 0; j < 12; j += 3)
      global.block<3, 3>(i, j) = axes.rows.transpose() * local.block<3, 3>(i, j) * axes.rows;
  for (int end : {0, 1}) {
    const Eigen::Vector3d& o = axes.offset[end];
    if (o.isZero()) continue;
    Eigen::Matrix3d cross;  // o × …
    cross << 0, -o[2], o[1], o[2], 0, -o[0], -o[1], o[0], 0;
    const int shift = 6 * end, turn = shift + 3;
    global.middleRows<3>(turn) += cross * global.middleRows<3>(shift);
    global.middleCols<3>(turn) += global.middleCols<3>(shift) * cross.transpose();
  }
  return global;
}

Matrix12 bar_stiffness(const Member& m, double l) {
  Eigen::Matrix4d unit;
  unit << 12, 6 * l, -12, 6 * l,            //
      6 * l, 4 * l * l, -6 * l, 2 * l * l,  //
      -12, -6 * l, 12, -6 * l,              //
      6 * l, 2 * l * l, -6 * l, 4 * l * l;
  unit /= l * l * l;
  Matrix12 k = Matrix12::Zero();
  add_series(k, 0, m.e_mpa * m.area_mm2 / l);
  add_series(k, 3, m.g_mpa * m.j_mm4 / l);
  add_bending(k, m.e_mpa * m.iz_mm4 * unit, 1, 5, 1);
  add_bending(k, m.e_mpa * m.iy_mm4 * unit, 2, 4, -1);
  return k;
}

Matrix12 geometric_stiffness(double tension, double l) {
  Eigen::Matrix4d unit;
  unit << 36, 3 * l, -36, 3 * l,         //
      3 * l, 4 * l * l, -3 * l, -l * l,  //
      -36, -3 * l, 36, -3 * l,           //
      3 * l, -l * l, -3 * l, 4 * l * l;
  unit *= tension / (30 * l);
  Matrix12 k = Matrix12::Zero();
  add_bending(k, unit, 1, 5, 1);
  add_bending(k, unit, 2, 4, -1);
  return k;
}

Vector12 held_end_forces(const Vec3& q, double l) {
  Vector12 f = Vector12::Zero();
  for (int end : {0, 6})
    for (int way : {0, 1, 2}) f[end + way] = -q[way] * l / 2;
  const double turn = l * l / 12;
  f[5] = -q[1] * turn;
  f[11] = q[1] * turn;
  f[4] = q[2] * turn;
  f[10] = -q[2] * turn;
  return f;
}

Element::Element(const Matrix12& bar, const std::array<Vec6, 2>& joint) : stiffness_(bar) {
  Matrix12& k = stiffness_;
  for (int way = 0; way < 12; ++way) {
    const double spring = joint[way / 6][way % 6];
    if (std::isinf(spring)) continue;
    const Vector12 row = k.row(way);
    const bool nothing_left = std::abs(row[way]) <= kNoise * std::abs(bar(way, way));
    const double pivot = nothing_left ? 0 : row[way] + spring;
    eliminations_.push_back({way, spring, pivot, row});
    if (pivot == 0) {
      k.row(way).setZero();
      k.col(way).setZero();
      continue;
    }
    k.noalias() -= row * row.transpose() / pivot;
    const double share = spring / pivot;
    k.row(way) = row.transpose() * share;
    k.col(way) = row * share;
    k(way, way) = row[way] * share;
    if (spring > 0) continue;
    for (int i = 0; i < 12; ++i)
      if (std::abs(k(i, i)) <= kNoise * std::abs(bar(i, i))) {
        k.row(i).setZero();
        k.col(i).setZero();
      }
  }
}

Vector12 Element::through_joints(Vector12 f) const {
  for (const Elimination& e : eliminations_) {
    const double own = f[e.way];
    if (e.pivot == 0) {
      f[e.way] = 0;
      continue;
    }
    f -= e.row * (own / e.pivot);
    f[e.way] = own * e.spring / e.pivot;
  }
  return f;
}

Vector12 Element::bar_motion(const Vector12& nodes, const Vector12& held) const {
  std::vector<double> own(eliminations_.size());
  Vector12 f = held;
  for (std::size_t n = 0; n < eliminations_.size(); ++n) {
    const Elimination& e = eliminations_[n];
    own[n] = f[e.way];
    if (e.pivot != 0) f -= e.row * (own[n] / e.pivot);
    f[e.way] = e.pivot == 0 ? 0 : own[n] * e.spring / e.pivot;
  }
  Vector12 x = nodes;
  for (std::size_t n = eliminations_.size(); n-- > 0;) {
    const Elimination& e = eliminations_[n];
    if (e.pivot == 0) continue;  // free of everything: let it stay with its node
    const double others = e.row.dot(x) - e.row[e.way] * x[e.way];
    x[e.way] = (e.spring * nodes[e.way] - others - own[n]) / e.pivot;
  }
  return x;
}

Matrix12 Element::bar_from_nodes() const {
  Matrix12 map;
  for (int way = 0; way < 12; ++way) map.col(way) = bar_motion(Vector12::Unit(way), Vector12::Zero());
  return map;
}

int Element::loose(const Vector12& held) const {
  Vector12 f = held;
  const double scale = held.cwiseAbs().maxCoeff();
  for (const Elimination& e : eliminations_) {
    const double own = f[e.way];
    if (e.pivot == 0) {
      if (std::abs(own) > 1e-9 * scale) return e.way;
      f[e.way] = 0;
      continue;
    }
    f -= e.row * (own / e.pivot);
    f[e.way] = own * e.spring / e.pivot;
  }
  return -1;
}

}  // namespace garthwright::frame
