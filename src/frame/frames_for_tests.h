// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <fmt/format.h>

#include <Eigen/Dense>
#include <cmath>
#include <random>

#include "frame/frame.h"

/// Small frames that the tests share.
namespace garthwright::frame::testing {

inline constexpr double kE = 11000, kG = 690;

/// A solid rectangle b wide (along z) and h deep (along the member's y). j is chosen so that G J = E/2 · 4 Iy
/// Iz/(Iy+Iz), what a solid element of that shape has when Poisson's ratio is zero.
inline Member bar(std::string id, NodeIndex a, NodeIndex b, double width, double depth, Vec3 up = {0, 0, 1}) {
  Member m;
  m.id = std::move(id);
  m.ends = {a, b};
  m.area_mm2 = width * depth;
  m.iz_mm4 = width * std::pow(depth, 3) / 12;
  m.iy_mm4 = depth * std::pow(width, 3) / 12;
  m.e_mpa = kE;
  m.g_mpa = kG;
  m.j_mm4 = kE / 2 * 4 * m.iy_mm4 * m.iz_mm4 / (m.iy_mm4 + m.iz_mm4) / kG;
  m.up = up;
  return m;
}

inline constexpr Vec6 kFixed = kAllRigid;
inline constexpr Vec6 kPinned = {kRigid, kRigid, kRigid, 0, 0, 0};
/// Held against all but turning about y: the supports of a beam that bends in the x–z plane.
inline constexpr Vec6 kHinge = {kRigid, kRigid, kRigid, kRigid, 0, kRigid};
inline constexpr Vec6 kRoller = {0, kRigid, kRigid, kRigid, 0, kRigid};

/// A bar along x with `up` = z, cut into pieces.
inline Frame straight(double length, int pieces, double width, double depth) {
  Frame frame;
  for (int i = 0; i <= pieces; ++i) frame.nodes.push_back({fmt::format("N{}", i), {length * i / pieces, 0, 0}});
  for (int i = 0; i < pieces; ++i) frame.members.push_back(bar(fmt::format("M{}", i), i, i + 1, width, depth));
  return frame;
}

inline Vec3 turned(const Eigen::Matrix3d& r, const Vec3& v) {
  const Eigen::Vector3d w = r * Eigen::Vector3d(v[0], v[1], v[2]);
  return {w[0], w[1], w[2]};
}

/// The whole frame turned about the origin. Supports must hold all ways or all shifts alike, for theirs are global
/// axes.
inline Frame turned(const Eigen::Matrix3d& r, Frame frame) {
  for (Node& node : frame.nodes) node.at_mm = turned(r, node.at_mm);
  for (Member& member : frame.members) {
    member.up = turned(r, member.up);
    for (Vec3& offset : member.offset_mm) offset = turned(r, offset);
  }
  for (Link& link : frame.links) link.at_mm = turned(r, link.at_mm), link.axis = turned(r, link.axis);
  for (Contact& contact : frame.contacts)
    contact.at_mm = turned(r, contact.at_mm), contact.normal = turned(r, contact.normal);
  for (NodeLoad& load : frame.loads.on_nodes) {
    load.force_n = turned(r, load.force_n);
    load.moment_nmm = turned(r, load.moment_nmm);
  }
  for (MemberLoad& load : frame.loads.on_members) load.uniform_n_per_mm = turned(r, load.uniform_n_per_mm);
  return frame;
}

inline Eigen::Matrix3d some_turn(std::mt19937& random) {
  std::normal_distribution<double> normal;
  Eigen::Quaterniond q(normal(random), normal(random), normal(random), normal(random));
  return q.normalized().toRotationMatrix();
}

/// A random frame that stands: nodes scattered in a box, a random tree of members plus a few more, some joints released
/// or sprung in bending at one end, one to three nodes held fast, loads everywhere.
inline Frame scattered(std::mt19937& random, bool with_joints) {
  const auto between = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  const auto index = [&](std::size_t count) {
    return std::uniform_int_distribution<std::size_t>(0, count - 1)(random);
  };
  Frame frame;
  const std::size_t nodes = 3 + index(7);
  for (std::size_t n = 0; n < nodes; ++n) {
    Vec3 at;
    bool apart = false;
    while (!apart) {
      at = {between(0, 3000), between(0, 3000), between(0, 3000)};
      apart = true;
      for (const Node& other : frame.nodes)
        if (std::hypot(at[0] - other.at_mm[0], at[1] - other.at_mm[1], at[2] - other.at_mm[2]) < 600) apart = false;
    }
    frame.nodes.push_back({fmt::format("N{}", n), at});
  }
  const auto join = [&](NodeIndex a, NodeIndex b, bool joint) {
    Member m = bar(fmt::format("M{}", frame.members.size()), a, b, between(25, 60), between(25, 60),
                   {between(-1, 1), between(-1, 1), between(-1, 1)});
    if (with_joints && joint) {
      m.joint[index(2)][4 + index(2)] = index(2) ? 0.0 : between(1e6, 1e9);
      m.joint[index(2)][index(3)] = between(1e2, 1e5);
    }
    frame.members.push_back(m);
  };
  for (std::size_t n = 1; n < nodes; ++n) join(index(n), n, false);
  for (std::size_t extra = 0; extra < nodes / 2; ++extra) {
    const NodeIndex a = index(nodes), b = index(nodes);
    if (a != b) join(a, b, true);
  }
  frame.supports.push_back({0, kFixed});
  if (index(2)) frame.supports.push_back({nodes - 1, kPinned});
  if (with_joints && index(2)) frame.supports.push_back({nodes / 2, {50, 80, 20, 1e6, 2e6, 1e5}});
  for (NodeIndex n = 0; n < nodes; ++n)
    frame.loads.on_nodes.push_back({n,
                                    {between(-300, 300), between(-300, 300), between(-300, 300)},
                                    {between(-5e4, 5e4), between(-5e4, 5e4), between(-5e4, 5e4)}});
  for (MemberIndex m = 0; m < frame.members.size(); ++m)
    frame.loads.on_members.push_back({m, {between(-0.3, 0.3), between(-0.3, 0.3), between(-0.3, 0.3)}});
  return frame;
}

}  // namespace garthwright::frame::testing
