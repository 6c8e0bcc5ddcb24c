// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <sstream>

#include "frame/assembly.h"
#include "frame/frames_for_tests.h"

/// A frame written for CalculiX (ccx), for the comparison and the benchmark.
namespace garthwright::frame::testing {

inline constexpr int kDigits = 11;  // ccx reads 20 characters of a number and drops the rest

struct Rectangle {
  double width, depth;
};

inline Rectangle rectangle_of(const Member& m) {
  const double depth = std::sqrt(12 * m.iz_mm4 / m.area_mm2);
  return {m.area_mm2 / depth, depth};
}

/// The frame as an input deck: rigid joints, fixed or pinned supports, forces on nodes, uniform loads on members.
inline std::string calculix_deck(const Frame& frame, int pieces = 12) {
  std::ostringstream out;
  out.precision(kDigits);
  std::vector<Vec3> nodes;
  std::ostringstream elements, sections, loads;
  elements.precision(kDigits), sections.precision(kDigits), loads.precision(kDigits);
  for (const Node& n : frame.nodes) nodes.push_back(n.at_mm);
  int element = 0;
  for (std::size_t m = 0; m < frame.members.size(); ++m) {
    const Member& member = frame.members[m];
    const Vec3 a = frame.nodes[member.ends[0]].at_mm, b = frame.nodes[member.ends[1]].at_mm;
    std::vector<std::size_t> line = {member.ends[0] + 1};
    for (int i = 1; i < 2 * pieces; ++i) {
      const double t = i / (2.0 * pieces);
      nodes.push_back({a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]), a[2] + t * (b[2] - a[2])});
      line.push_back(nodes.size());
    }
    line.push_back(member.ends[1] + 1);
    elements << "*ELEMENT,TYPE=B32R,ELSET=E" << m << "\n";
    for (int i = 0; i < pieces; ++i)
      elements << ++element << "," << line[2 * i] << "," << line[2 * i + 1] << "," << line[2 * i + 2] << "\n";
    // The first direction of a section is our y: up made square to the member.
    const Eigen::Vector3d x = Eigen::Vector3d(b[0] - a[0], b[1] - a[1], b[2] - a[2]).normalized();
    const Eigen::Vector3d up(member.up[0], member.up[1], member.up[2]);
    const Eigen::Vector3d y = (up - up.dot(x) * x).normalized();
    const Rectangle s = rectangle_of(member);
    sections << "*BEAM SECTION,ELSET=E" << m << ",MATERIAL=M,SECTION=RECT\n"
             << s.depth << "," << s.width << "\n"
             << y[0] << "," << y[1] << "," << y[2] << "\n";
  }
  for (const NodeLoad& load : frame.loads.on_nodes)
    for (int i = 0; i < 3; ++i)
      if (load.force_n[i] != 0) loads << "*CLOAD\n" << load.node + 1 << "," << i + 1 << "," << load.force_n[i] << "\n";
  for (const MemberLoad& load : frame.loads.on_members) {  // density 1: g is force per volume
    const Vec3& q = load.uniform_n_per_mm;
    const double size = std::hypot(q[0], q[1], q[2]);
    if (size > 0)
      loads << "*DLOAD\nE" << load.member << ",GRAV," << size / frame.members[load.member].area_mm2 << ","
            << q[0] / size << "," << q[1] / size << "," << q[2] / size << "\n";
  }
  out << "*NODE,NSET=NALL\n";
  for (std::size_t n = 0; n < nodes.size(); ++n)
    out << n + 1 << "," << nodes[n][0] << "," << nodes[n][1] << "," << nodes[n][2] << "\n";
  out << elements.str() << "*MATERIAL,NAME=M\n*ELASTIC\n" << kE << ",0\n*DENSITY\n1.\n" << sections.str();
  out << "*NSET,NSET=NOUT\n";
  for (std::size_t n = 0; n < frame.nodes.size(); ++n) out << n + 1 << ",\n";
  for (const Support& s : frame.supports)
    out << "*BOUNDARY\n" << s.node + 1 << (s.stiffness == kFixed ? ",1,6\n" : ",1,3\n");
  out << "*STEP\n*STATIC\n" << loads.str() << "*NODE PRINT,NSET=NOUT\nU\n*END STEP\n";
  return out.str();
}

/// A frame with links as a deck of ccx's six-way bars (U1): each spring's movement is a node of its own, tied to the
/// two nodes by *EQUATION over the rigid offsets (rank one), with a spring to the ground on it. Contacts that `pushes`
/// says are shut get their spring, all others only their movement. U1 of ccx 2.20 bends rightly along the first
/// direction of its section only (a chain of two bars shows it against PL³/3EI), so that each bar is two of half the
/// area, one for each way; a bar's torsion must be that of Iy + Iz. Numbers of those nodes, in the order of
/// `movements`.
struct MeetingDeck {
  std::string text;
  std::vector<std::size_t> link_nodes, contact_nodes;  // three to a link, one to a contact
};

inline MeetingDeck meeting_deck(const Frame& frame, const std::vector<char>& pushes) {
  std::ostringstream nodes, elements, sections, rest, loads, holds;
  for (std::ostringstream* out : {&nodes, &elements, &sections, &rest, &loads, &holds}) out->precision(kDigits);
  MeetingDeck deck;
  std::size_t next = frame.nodes.size(), element = 0;
  for (std::size_t n = 0; n < frame.nodes.size(); ++n) {
    const Vec3& at = frame.nodes[n].at_mm;
    nodes << n + 1 << "," << at[0] << "," << at[1] << "," << at[2] << "\n";
  }
  for (std::size_t m = 0; m < frame.members.size(); ++m) {
    const Member& member = frame.members[m];
    const Axes axes = axes_of(frame, member);
    for (int way : {1, 2}) {  // bends along its y, along its z
      const std::string set = fmt::format("E{}W{}", m, way);
      elements << "*ELEMENT,TYPE=U1,ELSET=" << set << "\n"
               << ++element << "," << member.ends[0] + 1 << "," << member.ends[1] + 1 << "\n";
      sections << "*BEAM SECTION,ELSET=" << set << ",MATERIAL=M,SECTION=GENERAL\n"
               << member.area_mm2 / 2 << "," << (way == 1 ? member.iz_mm4 : member.iy_mm4) << ",0,0.001,1000000.\n"
               << axes.rows(way, 0) << "," << axes.rows(way, 1) << "," << axes.rows(way, 2) << "\n";
    }
  }
  const auto movement = [&](const Row& row, double k) {
    std::ostringstream terms;
    terms.precision(kDigits);
    int count = 1;
    const std::size_t node = ++next;
    for (int end : {0, 1})
      for (int way = 0; way < 6; ++way) {
        const double b = row.b[6 * end + way];
        if (std::abs(b) < 1e-12) continue;
        terms << (count % 4 == 0 ? "\n" : ",") << row.nodes[end] + 1 << "," << way + 1 << "," << b;
        ++count;
      }
    nodes << node << ",0,0,0\n";
    holds << node << ",2,3\n";
    rest << "*EQUATION\n" << count << "\n" << node << ",1,-1." << terms.str() << "\n";
    ++element;
    rest << "*ELEMENT,TYPE=SPRING1,ELSET=S" << element << "\n"
         << element << "," << node << "\n*SPRING,ELSET=S" << element << "\n1\n"
         << fmt::format("{:.6f}\n", std::max(k, 1e-6));  // with a point, or ccx does not read it
    return node;
  };
  for (const Link& link : frame.links)
    for (const auto& [row, k] : rows_of(frame, link)) deck.link_nodes.push_back(movement(row, k));
  for (std::size_t c = 0; c < frame.contacts.size(); ++c)
    deck.contact_nodes.push_back(movement(row_of(frame, frame.contacts[c]), pushes[c] ? frame.contacts[c].k_n_mm : 0));
  for (const Support& s : frame.supports)
    for (int way = 0; way < 6; ++way)
      if (std::isinf(s.stiffness[way])) {
        holds << s.node + 1 << "," << way + 1 << "," << way + 1 << "\n";
      } else if (s.stiffness[way] > 0) {
        Row row;
        row.nodes = {s.node, s.node};
        row.b[way] = 1;
        movement(row, s.stiffness[way]);
      }
  for (const NodeLoad& load : frame.loads.on_nodes)
    for (int i = 0; i < 3; ++i)
      if (load.force_n[i] != 0) loads << "*CLOAD\n" << load.node + 1 << "," << i + 1 << "," << load.force_n[i] << "\n";
  deck.text = "*NODE,NSET=NALL\n" + nodes.str() + "*USER ELEMENT,TYPE=U1,NODES=2,INTEGRATION POINTS=2,MAXDOF=6\n" +
              elements.str() + fmt::format("*MATERIAL,NAME=M\n*ELASTIC\n{},0.3\n", kE) + sections.str() + rest.str() +
              "*BOUNDARY\n" + holds.str() + "*STEP\n*STATIC\n" + loads.str() + "*NODE PRINT,NSET=NALL\nU\n*END STEP\n";
  return deck;
}

}  // namespace garthwright::frame::testing
