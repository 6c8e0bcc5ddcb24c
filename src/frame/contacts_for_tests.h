// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "frame/assembly.h"
#include "frame/frames_for_tests.h"

/// Frames with links and contacts that the tests share.
namespace garthwright::frame::testing {

inline Eigen::Vector3d vec(const Vec3& v) { return {v[0], v[1], v[2]}; }
inline Vec3 arr(const Eigen::Vector3d& v) { return {v[0], v[1], v[2]}; }

/// A timber along a straight line with nodes at the given places; returns its nodes.
inline std::vector<NodeIndex> timber(Frame& frame, Eigen::Vector3d from, Eigen::Vector3d way,
                                     const std::vector<double>& places, double width, double depth, Vec3 up) {
  std::vector<NodeIndex> nodes;
  for (double at : places) {
    frame.nodes.push_back({fmt::format("N{}", frame.nodes.size()), arr(from + at * way)});
    nodes.push_back(frame.nodes.size() - 1);
    if (nodes.size() < 2) continue;
    Member m = bar(fmt::format("M{}", frame.members.size()), nodes[nodes.size() - 2], nodes.back(), width, depth, up);
    m.j_mm4 = m.iy_mm4 + m.iz_mm4;
    m.g_mpa = m.e_mpa / 2.6;
    frame.members.push_back(m);
  }
  return nodes;
}

/// Two timbers that meet in one face: fixings along its normal, scattered over it, and its four corners pressing.
inline void meet(Frame& frame, std::mt19937& random, NodeIndex a, NodeIndex b, Eigen::Vector3d centre,
                 Eigen::Vector3d normal, Eigen::Vector3d u, double half_u, double half_v, int fixings) {
  const auto between = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  const Eigen::Vector3d v = normal.cross(u);
  for (int f = 0; f < fixings; ++f)
    frame.links.push_back({fmt::format("L{}", frame.links.size()),
                           {a, b},
                           arr(centre + 0.8 * half_u * between(-1, 1) * u + 0.8 * half_v * between(-1, 1) * v),
                           arr(normal),
                           between(500, 4000),
                           between(300, 2500)});
  for (double su : {-1.0, 1.0})
    for (double sv : {-1.0, 1.0})
      frame.contacts.push_back({fmt::format("C{}", frame.contacts.size()),
                                {a, b},
                                arr(centre + su * half_u * u + sv * half_v * v),
                                arr(normal),
                                between(800, 4000),
                                0});
}

/// A garden frame fixing by fixing: posts held fast, a beam on their outer faces, rafters on the beams, some of them
/// notched over it; forces on every node.
inline Frame lapped(std::mt19937& random) {
  const auto between = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  const auto whole = [&](int low, int high) { return std::uniform_int_distribution<int>(low, high)(random); };
  Frame frame;
  const Eigen::Vector3d x(1, 0, 0), y(0, 1, 0), z(0, 0, 1);
  const int bays = whole(1, 2), rafters = whole(2, 4);
  const double bay = between(1200, 2000), deep = between(1000, 2000), high = between(1800, 2300);
  const double post = between(70, 120), thick = between(35, 60), tall = between(70, 145);
  std::array<std::vector<NodeIndex>, 2> beams;
  std::vector<double> along = {-150};
  for (int b = 0; b <= bays; ++b) along.push_back(b * bay);
  std::vector<std::size_t> at_post, at_rafter;
  for (int r = 0; r < rafters; ++r) along.push_back(-60 + (bays * bay + 120) * (r + 0.37) / rafters);
  along.push_back(bays * bay + 150);
  std::sort(along.begin(), along.end());
  const double top = high - tall / 2;
  for (int row : {0, 1}) {
    const double out = (row == 0 ? -1 : 1) * (post + thick) / 2;
    beams[row] = timber(frame, {0, row * deep + out, top}, x, along, thick, tall, {0, 0, 1});
    for (int b = 0; b <= bays; ++b) {
      const auto up = timber(frame, {b * bay, row * deep, 0}, z, {0, top, high}, post, post, {1, 0, 0});
      frame.supports.push_back({up.front(), {kRigid, kRigid, kRigid, between(1e8, 2e9), between(1e8, 2e9), kRigid}});
      const auto beam = beams[row][std::lower_bound(along.begin(), along.end(), b * bay) - along.begin()];
      const Eigen::Vector3d outward = row == 0 ? Eigen::Vector3d(-y) : y;
      meet(frame, random, up[1], beam, Eigen::Vector3d(b * bay, row * deep, top) + outward * post / 2, outward, x,
           post / 2, tall / 2, whole(2, 4));
    }
  }
  const double rafter_tall = between(60, 120), end = between(100, 300);
  for (int r = 0; r < rafters; ++r) {
    const double at = -60 + (bays * bay + 120) * (r + 0.37) / rafters;
    const double out = (post + thick) / 2;
    const auto over = timber(frame, {at, 0, high + rafter_tall / 2}, y,
                             {-out - end, -out, deep / 2, deep + out, deep + out + end}, thick, rafter_tall, {0, 0, 1});
    const std::size_t node = std::lower_bound(along.begin(), along.end(), at) - along.begin();
    for (int row : {0, 1})
      meet(frame, random, beams[row][node], over[row == 0 ? 1 : 3], {at, row == 0 ? -out : deep + out, high}, z, x,
           thick / 2, thick / 2, whole(1, 2));
  }
  for (NodeIndex n = 0; n < frame.nodes.size(); ++n)
    if (whole(0, 2) > 0)
      frame.loads.on_nodes.push_back({n, {between(-300, 300), between(-300, 300), between(-400, 300)}, {}});
  return frame;
}

/// The same under its own weight, its fixings holding only when they are pulled, some of them missing and some a
/// hundredth as stiff as others, as in end grain.
inline Frame poorly_fixed(unsigned seed) {
  std::mt19937 random(seed);
  Frame frame = lapped(random);
  const auto chance = [&] { return std::uniform_real_distribution<double>(0, 1)(random); };
  frame.loads = {};
  for (MemberIndex m = 0; m < frame.members.size(); ++m)
    frame.loads.on_members.push_back({m, {0, 0, -5e-6 * frame.members[m].area_mm2}});
  std::vector<Link> fixings;
  const double missing = 0.5 * chance(), weak = 0.5 * chance();
  for (Link link : frame.links) {
    if (chance() < missing) continue;
    const double part = chance() < weak ? 0.01 : 1;
    link.k_across_n_mm *= part, link.k_along_n_mm *= part;
    if (seed % 3 == 1) link.k_across_n_mm = 1500, link.k_along_n_mm = 3000;
    if (chance() < 0.7) {
      const Vec3 back{-link.axis[0], -link.axis[1], -link.axis[2]};
      frame.contacts.push_back({"T" + link.id, link.nodes, link.at_mm, back, link.k_along_n_mm, 0});
      link.k_along_n_mm = 0;
    }
    fixings.push_back(link);
  }
  frame.links = std::move(fixings);
  if (seed % 3 == 2)
    for (Contact& c : frame.contacts) c.k_n_mm = c.id[0] == 'T' ? 2000 : 20000;
  return frame;
}

}  // namespace garthwright::frame::testing
