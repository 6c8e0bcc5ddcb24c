// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "frame/solver_parts.h"

namespace garthwright::frame {
namespace {

bool finite(const Vec3& v) {
  return std::all_of(v.begin(), v.end(), [](double x) { return std::isfinite(x); });
}

void complain(Diagnostics& faults, std::string code, std::string what, std::string cure, std::string piece) {
  faults.push_back({Severity::error, std::move(code), std::move(what), std::move(cure), Place{"", 0, 0, piece}});
}

double size_of(const Frame& frame) {
  double size = 0;
  for (const Node& node : frame.nodes)
    for (double x : node.at_mm) size = std::max(size, std::abs(x));
  return size;
}

void check_section(const Member& member, Diagnostics& faults) {
  const std::array<std::pair<const char*, double>, 6> quantities = {{{"area_mm2", member.area_mm2},
                                                                     {"iy_mm4", member.iy_mm4},
                                                                     {"iz_mm4", member.iz_mm4},
                                                                     {"j_mm4", member.j_mm4},
                                                                     {"e_mpa", member.e_mpa},
                                                                     {"g_mpa", member.g_mpa}}};
  for (const auto& [name, value] : quantities)
    if (!(value > 0) || !std::isfinite(value))
      complain(faults, "not-above-zero", fmt::format("{} of member '{}' is {}", name, member.id, value),
               "give a number above zero", member.id);
}

void check_joints(const Member& member, Diagnostics& faults) {
  for (int end : {0, 1})
    for (double s : member.joint[end])
      if (std::isnan(s) || s < 0)
        complain(
            faults, "bad-spring",
            fmt::format("a spring at the {} end of member '{}' is {}", end == 0 ? "first" : "second", member.id, s),
            "give zero (released), a stiffness above zero, or null (rigid)", member.id);
}

void check_line(const Frame& frame, const Member& member, double size, Diagnostics& faults) {
  for (NodeIndex node : member.ends)
    if (node >= frame.nodes.size()) {
      complain(faults, "unknown-node",
               fmt::format("member '{}' runs to node number {}, which does not exist", member.id, node),
               fmt::format("there are {} nodes", frame.nodes.size()), member.id);
      return;
    }
  const Node& a = frame.nodes[member.ends[0]];
  const Node& b = frame.nodes[member.ends[1]];
  const auto& offset = member.offset_mm;
  if (!finite(offset[0]) || !finite(offset[1])) {
    complain(faults, "not-finite", fmt::format("an offset of member '{}' is not a finite number", member.id),
             "give finite numbers", member.id);
    return;
  }
  Eigen::Vector3d along;
  for (int i = 0; i < 3; ++i) along[i] = b.at_mm[i] + offset[1][i] - a.at_mm[i] - offset[0][i];
  if (!finite(a.at_mm) || !finite(b.at_mm)) return;  // said of the node
  if (!(along.norm() > 1e-12 * size) || member.ends[0] == member.ends[1]) {
    complain(faults, "no-length",
             fmt::format("member '{}' has no length: nodes '{}' and '{}' are in one place", member.id, a.id, b.id),
             "join two nodes that stand apart", member.id);
    return;
  }
  const Eigen::Vector3d up(member.up[0], member.up[1], member.up[2]);
  if (!finite(member.up) || up.norm() == 0)
    complain(faults, "bad-up", fmt::format("up of member '{}' has no direction", member.id),
             "give a vector that is not along the member", member.id);
  else if (along.normalized().cross(up.normalized()).norm() < 1e-9)
    complain(faults, "bad-up", fmt::format("up of member '{}' is along the member", member.id),
             "give a vector that stands across it; its y axis is taken from there", member.id);
}

void check_support(const Frame& frame, std::size_t at, std::vector<char>& seen, Diagnostics& faults) {
  const Support& support = frame.supports[at];
  if (support.node >= frame.nodes.size()) {
    complain(faults, "unknown-node",
             fmt::format("support number {} stands at node number {}, which does not exist", at + 1, support.node),
             fmt::format("there are {} nodes", frame.nodes.size()), "");
    return;
  }
  const std::string& id = frame.nodes[support.node].id;
  if (seen[support.node])
    complain(faults, "two-supports", fmt::format("node '{}' has two supports", id), "give it one", id);
  seen[support.node] = 1;
  for (double s : support.stiffness)
    if (std::isnan(s) || s < 0)
      complain(faults, "bad-spring", fmt::format("a spring of the support at node '{}' is {}", id, s),
               "give zero (free) or a stiffness above zero", id);
}

/// What links and contacts have in common: two nodes, a place, a direction, stiffnesses.
void check_meeting(const Frame& frame, const std::string& what, const std::array<NodeIndex, 2>& nodes, const Vec3& at,
                   const Vec3& direction, std::initializer_list<double> stiffnesses, Diagnostics& faults) {
  for (NodeIndex node : nodes)
    if (node >= frame.nodes.size())
      complain(faults, "unknown-node", fmt::format("{} is on node number {}, which does not exist", what, node),
               fmt::format("there are {} nodes", frame.nodes.size()), "");
  if (nodes[0] == nodes[1])
    complain(faults, "one-node", fmt::format("{} has the same node on both sides", what), "name two nodes", "");
  if (!finite(at)) complain(faults, "not-finite", fmt::format("the place of {} is not a finite number", what), "", "");
  if (!finite(direction) || !(std::hypot(direction[0], direction[1], direction[2]) > 0))
    complain(faults, "no-direction", fmt::format("{} has no direction", what), "give a vector with a length", "");
  for (double k : stiffnesses)
    if (!(k >= 0) || !std::isfinite(k))
      complain(faults, "bad-spring", fmt::format("a stiffness of {} is {}", what, k),
               "give N/mm: zero or above, and finite", "");
}

}  // namespace

Diagnostics check_loads(const Frame& frame, const Loads& loads) {
  Diagnostics faults;
  if (!(loads.crushing > 0) || !std::isfinite(loads.crushing))
    complain(faults, "not-finite", "what is pressed is crushed by no force", "give a number above zero", "");
  for (const NodeLoad& load : loads.on_nodes) {
    if (load.node >= frame.nodes.size())
      complain(faults, "unknown-node", fmt::format("a load is on node number {}, which does not exist", load.node),
               fmt::format("there are {} nodes", frame.nodes.size()), "");
    else if (!finite(load.force_n) || !finite(load.moment_nmm))
      complain(faults, "not-finite",
               fmt::format("a load on node '{}' is not a finite number", frame.nodes[load.node].id),
               "give finite numbers", frame.nodes[load.node].id);
  }
  for (const MemberLoad& load : loads.on_members) {
    if (load.member >= frame.members.size())
      complain(faults, "unknown-member",
               fmt::format("a load is on member number {}, which does not exist", load.member),
               fmt::format("there are {} members", frame.members.size()), "");
    else if (!finite(load.uniform_n_per_mm))
      complain(faults, "not-finite",
               fmt::format("a load on member '{}' is not a finite number", frame.members[load.member].id),
               "give finite numbers", frame.members[load.member].id);
  }
  return faults;
}

Diagnostics check(const Frame& frame) {
  Diagnostics faults;
  if (frame.nodes.empty()) complain(faults, "empty", "the frame has no nodes", "give at least two", "");
  if (frame.members.empty()) complain(faults, "empty", "the frame has no members", "give at least one", "");
  for (const Node& node : frame.nodes)
    if (!finite(node.at_mm))
      complain(faults, "not-finite", fmt::format("the place of node '{}' is not a finite number", node.id),
               "give finite numbers", node.id);
  const double size = size_of(frame);
  for (const Member& member : frame.members) {
    check_line(frame, member, size, faults);
    check_section(member, faults);
    check_joints(member, faults);
  }
  std::vector<char> seen(frame.nodes.size(), 0);
  for (std::size_t at = 0; at < frame.supports.size(); ++at) check_support(frame, at, seen, faults);
  for (const Link& link : frame.links)
    check_meeting(frame, fmt::format("link '{}'", link.id), link.nodes, link.at_mm, link.axis,
                  {link.k_along_n_mm, link.k_across_n_mm}, faults);
  for (const Contact& contact : frame.contacts) {
    const std::string what = fmt::format("contact '{}'", contact.id);
    check_meeting(frame, what, contact.nodes, contact.at_mm, contact.normal, {contact.k_n_mm}, faults);
    if (contact.k_n_mm == 0) complain(faults, "bad-spring", what + " gives way to nothing", "give N/mm above zero", "");
    if (!(contact.crushes_at_n > 0) || !(contact.crushed_n_mm >= 0 && contact.crushed_n_mm <= contact.k_n_mm))
      complain(faults, "bad-spring", what + " is crushed by no force or is stiffer for it",
               "give the push that crushes it, and N/mm of it crushed from 0 to its own", "");
    if (!std::isfinite(contact.gap_mm)) complain(faults, "not-finite", "the gap of " + what + " is no number", "", "");
  }
  const Diagnostics in_loads = check_loads(frame, frame.loads);
  faults.insert(faults.end(), in_loads.begin(), in_loads.end());
  return faults;
}

}  // namespace garthwright::frame
