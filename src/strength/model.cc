// SPDX-License-Identifier: Apache-2.0
#include "strength/model.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "strength/ec5_connections.h"
#include "strength/en338.h"

namespace garthwright::strength {
namespace {

constexpr double kOneNode = 3;       // mm
constexpr double kStiffE = 2e5;      // links: a steel-like bar of 60 × 60
constexpr double kContact = 1e5;     // N/mm: timber on timber along a fixing, stiff beside any slip
constexpr double kPinnedTurn = 1e4;  // N·mm/rad: as good as nothing
constexpr double kHousedTurn = 2e8;  // N·mm/rad: cheeks of a halving keep the pieces square in its plane

using Array = frame::Vec3;
Array array(Vec3 v) { return {v.x, v.y, v.z}; }

double along(const Piece& piece, Vec3 world) {
  return std::clamp(piece.frame.to_local(world).x, 0.0, piece.length.value());
}

bool between_pieces(const Joint& j) { return j.a.kind == Body::Kind::piece && j.b.kind == Body::Kind::piece; }

/// Which timbers hang together by fixings and end in the ground or on a wall.
std::vector<bool> carrying(const Structure& s, const std::vector<std::vector<int>>& fixings,
                           const std::vector<bool>& left_out) {
  std::vector<bool> reached(s.pieces.size(), false);
  for (const Footing& f : s.footings) reached[static_cast<std::size_t>(f.post.index)] = true;
  for (const Joint& j : s.joints)
    if (j.b == kWall || j.b == kGround || j.a == kWall || j.a == kGround) {
      const Body b = j.a.kind == Body::Kind::piece ? j.a : j.b;
      if (b.kind == Body::Kind::piece) reached[static_cast<std::size_t>(b.index)] = true;
    }
  for (bool grew = true; grew;) {
    grew = false;
    for (std::size_t i = 0; i < s.joints.size(); ++i) {
      const Joint& j = s.joints[i];
      if (fixings[i].empty() || !between_pieces(j)) continue;
      const auto a = static_cast<std::size_t>(j.a.index), b = static_cast<std::size_t>(j.b.index);
      if (left_out[a] || left_out[b] || reached[a] == reached[b]) continue;
      reached[a] = reached[b] = true;
      grew = true;
    }
  }
  for (std::size_t p = 0; p < reached.size(); ++p) reached[p] = reached[p] && !left_out[p];
  return reached;
}

/// The carrying pieces that a loose body leans on: those it touches, else those its neighbours touch. Posts alone where
/// there are posts among them.
std::vector<PieceId> holders(const Structure& s, const std::vector<bool>& carries, Body start) {
  std::vector<Body> seen{start}, edge{start};
  std::vector<PieceId> found;
  while (found.empty() && !edge.empty()) {
    std::vector<Body> next;
    for (const Body from : edge)
      for (const Joint& j : s.joints) {
        const Body other = j.a == from ? j.b : j.b == from ? j.a : from;
        if (other == from || std::find(seen.begin(), seen.end(), other) != seen.end()) continue;
        if (other.kind != Body::Kind::piece && other.kind != Body::Kind::panel) continue;
        seen.push_back(other);
        if (other.kind == Body::Kind::piece && carries[static_cast<std::size_t>(other.index)])
          found.push_back(PieceId{other.index});
        else
          next.push_back(other);
      }
    edge = next;
  }
  std::vector<PieceId> posts;
  for (const PieceId p : found)
    if (s[p].role == Role::post) posts.push_back(p);
  return posts.empty() ? found : posts;
}

frame::Member stiff_bar(std::string id, frame::NodeIndex from, frame::NodeIndex to) {
  frame::Member bar;
  bar.id = std::move(id);
  bar.ends = {from, to};
  bar.area_mm2 = 3600;
  bar.iy_mm4 = bar.iz_mm4 = 60.0 * 60 * 60 * 60 / 12;
  bar.j_mm4 = 2e6;
  bar.e_mpa = kStiffE;
  bar.g_mpa = kStiffE / 2;
  return bar;
}

}  // namespace

Vec3 middle_at(const Piece& piece, double x) {
  return piece.frame.to_world({x, piece.width.value() / 2, piece.thickness.value() / 2});
}

Stiffness stiffness_of(const timber::Section& section) {
  if (const auto c = strength_class(section.strength_class)) return {c->e0_mean, c->g_mean, c->rho_mean, c->rho_k};
  // American grades: E of wet No.2 in the softest common species (spruce-pine-fir 1.4e6 psi × CM 0.9), the density as
  // the yard says; G = E/16.
  const double e = 1.4e6 * 0.9 * 0.00689476;
  const double rho = section.density_dry_kg_m3 > 0 ? section.density_dry_kg_m3 : 420;
  return {e, e / 16, rho, rho / 1.2};
}

frame::NodeIndex Model::node_at(PieceId piece, double x) const {
  const auto& list = stations[static_cast<std::size_t>(piece.index)];
  const auto* best = &list.front();
  for (const auto& s : list)
    if (std::abs(s.first - x) < std::abs(best->first - x)) best = &s;
  return best->second;
}

Model model_of(const Structure& s, const ModelOptions& options) {
  Model m;
  std::vector<std::vector<int>> fixings;
  for (const Joint& j : s.joints) fixings.push_back(fixings_of(s, j));
  std::vector<bool> left_out(s.pieces.size(), false);
  for (std::size_t p = 0; p < s.pieces.size(); ++p)
    left_out[p] = !options.with_braces && s.pieces[p].role == Role::brace;
  m.carries = carrying(s, fixings, left_out);

  // Stations along every carrying piece.
  std::vector<std::vector<double>> at(s.pieces.size());
  const auto station = [&](int piece, double x) { at[static_cast<std::size_t>(piece)].push_back(x); };
  std::vector<std::size_t> links;
  for (std::size_t i = 0; i < s.joints.size(); ++i) {
    const Joint& j = s.joints[i];
    if (!between_pieces(j) || fixings[i].empty()) continue;
    if (!m.carries[static_cast<std::size_t>(j.a.index)] || !m.carries[static_cast<std::size_t>(j.b.index)]) continue;
    links.push_back(i);
    station(j.a.index, along(s.pieces[static_cast<std::size_t>(j.a.index)], j.point));
    station(j.b.index, along(s.pieces[static_cast<std::size_t>(j.b.index)], j.point));
  }
  std::vector<double> ground(s.pieces.size(), -1);  // where a post leaves the ground, from its datum end
  std::vector<bool> rises(s.pieces.size(), true);
  for (const Footing& f : s.footings) {
    const Piece& post = s[f.post];
    const auto p = static_cast<std::size_t>(f.post.index);
    const double rise = post.frame.x.z;
    if (std::abs(rise) < 0.5) continue;
    rises[p] = rise > 0;
    ground[p] = std::clamp((f.centre.z - middle_at(post, 0).z) / rise, 0.0, post.length.value());
    station(f.post.index, ground[p]);
    station(f.post.index, std::clamp(ground[p] + options.person_height_mm / rise, 0.0, post.length.value()));
  }
  for (const Joint& j : s.joints)
    if ((j.b == kWall || j.b == kGround) && j.a.kind == Body::Kind::piece &&
        ground[static_cast<std::size_t>(j.a.index)] < 0)
      station(j.a.index, along(s.pieces[static_cast<std::size_t>(j.a.index)], j.point));
    else if ((j.a == kWall || j.a == kGround) && j.b.kind == Body::Kind::piece &&
             ground[static_cast<std::size_t>(j.b.index)] < 0)
      station(j.b.index, along(s.pieces[static_cast<std::size_t>(j.b.index)], j.point));

  m.stations.resize(s.pieces.size());
  for (std::size_t p = 0; p < s.pieces.size(); ++p) {
    if (!m.carries[p]) continue;
    const Piece& piece = s.pieces[p];
    std::vector<double>& x = at[p];
    x.push_back(0), x.push_back(piece.length.value());
    if (piece.role == Role::rafter || piece.role == Role::purlin) x.push_back(piece.length.value() / 2);
    if (ground[p] >= 0)  // nothing below the ground: the base stands for it
      std::erase_if(x, [&](double v) { return rises[p] ? v < ground[p] - 0.1 : v > ground[p] + 0.1; });
    std::sort(x.begin(), x.end());
    std::vector<double> kept;
    for (const double v : x)
      if (kept.empty() || v - kept.back() > kOneNode) kept.push_back(v);
    const timber::Section& section = s[piece.section];
    const Stiffness stiff = stiffness_of(section);
    const Rectangle r{std::min(piece.width.value(), piece.thickness.value()),
                      std::max(piece.width.value(), piece.thickness.value())};
    const double w = piece.width.value(), t = piece.thickness.value();
    for (std::size_t i = 0; i < kept.size(); ++i) {
      m.frame.nodes.push_back({fmt::format("{}@{:.0f}", describe(s, body(PieceId{static_cast<int>(p)})), kept[i]),
                               array(middle_at(piece, kept[i]))});
      m.stations[p].push_back({kept[i], m.frame.nodes.size() - 1});
      if (i == 0) continue;
      frame::Member bar;
      bar.id = fmt::format("P{}.{}", p, i);
      bar.ends = {m.frame.nodes.size() - 2, m.frame.nodes.size() - 1};
      bar.area_mm2 = w * t;
      bar.iz_mm4 = t * w * w * w / 12;  // bends in x–y: depth is the width, along the piece's y
      bar.iy_mm4 = w * t * t * t / 12;
      bar.j_mm4 = r.torsion_constant();
      bar.e_mpa = stiff.e;
      bar.g_mpa = stiff.g;
      bar.up = array(piece.frame.y);
      m.bars.push_back({PieceId{static_cast<int>(p)}, m.frame.members.size(), kept[i - 1], kept[i]});
      m.frame.members.push_back(bar);
    }
  }

  for (const std::size_t i : links) {
    const Joint& j = s.joints[i];
    const Piece &a = s.pieces[static_cast<std::size_t>(j.a.index)], &b = s.pieces[static_cast<std::size_t>(j.b.index)];
    const frame::NodeIndex na = m.node_at(PieceId{j.a.index}, along(a, j.point)),
                           nb = m.node_at(PieceId{j.b.index}, along(b, j.point));
    const Array pa = m.frame.nodes[na].at_mm, pb = m.frame.nodes[nb].at_mm;
    Vec3 d{pb[0] - pa[0], pb[1] - pa[1], pb[2] - pa[2]};
    frame::Member link = stiff_bar(fmt::format("J{}", i), na, nb);
    if (norm(d) < 1) {  // middles that cross: a stub of 1 mm along the joint's normal, the node moved by that much
      d = norm(j.normal) > 0 ? unit(j.normal) : Vec3{0, 0, 1};
      m.frame.nodes.push_back({link.id, {pa[0] + 5 * d.x, pa[1] + 5 * d.y, pa[2] + 5 * d.z}});
      frame::Member stub = link;
      stub.id += "s";
      stub.ends = {m.frame.nodes.size() - 1, nb};
      stub.up = std::abs(d.z) < 0.9 ? Array{0, 0, 1} : Array{1, 0, 0};
      m.frame.members.push_back(stub);
      link.ends[1] = m.frame.nodes.size() - 1;
    }
    const Vec3 x = unit(d), up = std::abs(x.z) < 0.9 ? Vec3{0, 0, 1} : Vec3{1, 0, 0};
    const Vec3 y = unit(up - dot(up, x) * x), z = cross(x, y);
    link.up = array(up);
    // Springs of the fixings: slip across them, contact along them; turning by their distances from their middle and,
    // about the axes in the face, by prying over half the face.
    const double rho = ec5::joint_density(stiffness_of(s[a.section]).rho_mean, stiffness_of(s[b.section]).rho_mean);
    Vec3 middle;
    for (const int f : fixings[i]) middle = middle + s.fixings[static_cast<std::size_t>(f)].head;
    middle = (1.0 / static_cast<double>(fixings[i].size())) * middle;
    double half_face = 20;
    for (const Vec3& c : j.patch) half_face = std::max(half_face, 0.5 * norm(c - j.point));
    frame::Vec6 k{};
    for (const int index : fixings[i]) {
      const Fixing& f = s.fixings[static_cast<std::size_t>(index)];
      const double slip =
          ec5::slip_modulus(rho, f.diameter,
                            f.kind == timber::FixingKind::nail     ? ec5::SlipKind::nail
                            : f.kind == timber::FixingKind::staple ? ec5::SlipKind::staple
                                                                   : ec5::SlipKind::bolt_screw_or_predrilled_nail);
      const Vec3 dir = unit(f.direction);
      const Vec3 r = (f.head - middle) - dot(f.head - middle, dir) * dir;
      const std::array<Vec3, 3> axes{x, y, z};
      for (std::size_t e = 0; e < 3; ++e) {
        const double c = dot(axes[e], dir);
        k[e] += slip * (1 - c * c) + kContact * c * c;
        const Vec3 swept = cross(axes[e], r);
        const double c_swept = dot(swept, dir);
        k[3 + e] += slip * (dot(swept, swept) - c_swept * c_swept) + slip * c_swept * c_swept +
                    slip * (1 - c * c) * half_face * half_face / 4;
      }
    }
    const bool housed = j.kind == JointKind::halving || j.kind == JointKind::notch || j.kind == JointKind::housing;
    for (std::size_t e = 0; e < 3; ++e) {
      if (housed)
        k[e] = std::max(k[e], kContact), k[3 + e] = std::max(k[3 + e], std::abs(dot(e == 0   ? x
                                                                                    : e == 1 ? y
                                                                                             : z,
                                                                                    unit(j.normal))) > 0.7
                                                                           ? kHousedTurn
                                                                           : 0);
      k[3 + e] = options.hold == JointHold::pinned ? kPinnedTurn : std::max(k[3 + e], kPinnedTurn);
    }
    link.joint[1] = k;
    m.links.push_back({JointId{static_cast<int>(i)}, m.frame.members.size(), fixings[i], {x, y, z}});
    m.frame.members.push_back(link);
  }

  for (std::size_t f = 0; f < s.footings.size(); ++f) {
    const PieceId post = s.footings[f].post;
    const double g = ground[static_cast<std::size_t>(post.index)];
    if (g < 0) continue;
    frame::Support support{m.node_at(post, g), frame::kAllRigid};
    double depth = 0;
    if (f < options.bases.size()) {
      const BaseSpring& b = options.bases[f];
      depth = b.depth_mm;
      frame::Node under = m.frame.nodes[support.node];
      under.id += " below";
      under.at_mm[2] -= depth;
      frame::Member stem = stiff_bar(fmt::format("G{}", f), support.node, m.frame.nodes.size());
      stem.up = {1, 0, 0};
      m.frame.nodes.push_back(under);
      m.frame.members.push_back(stem);
      support = {m.frame.nodes.size() - 1, {b.shift, b.shift, frame::kRigid, b.turn, b.turn, frame::kRigid}};
    }
    m.bases.push_back({static_cast<int>(f), m.frame.supports.size(), post, depth});
    m.frame.supports.push_back(support);
  }
  for (const Joint& j : s.joints) {
    const bool wall = j.a == kWall || j.b == kWall, earth = j.a == kGround || j.b == kGround;
    const Body b = j.a.kind == Body::Kind::piece ? j.a : j.b;
    if ((!wall && !earth) || b.kind != Body::Kind::piece) continue;
    const auto p = static_cast<std::size_t>(b.index);
    if (!m.carries[p] || ground[p] >= 0) continue;
    const frame::NodeIndex node = m.node_at(PieceId{b.index}, along(s.pieces[p], j.point));
    const bool twice = std::any_of(m.frame.supports.begin(), m.frame.supports.end(),
                                   [&](const frame::Support& o) { return o.node == node; });
    if (twice) continue;
    m.bases.push_back({-1, m.frame.supports.size(), PieceId{b.index}, 0});
    m.frame.supports.push_back(
        {node,
         wall ? frame::kAllRigid : frame::Vec6{frame::kRigid, frame::kRigid, frame::kRigid, 0, 0, frame::kRigid}});
  }

  m.joined.assign(m.frame.nodes.size(), false);
  for (const Link& link : m.links)
    for (const frame::NodeIndex node : m.frame.members[link.member].ends) m.joined[node] = true;
  for (std::size_t p = 0; p < s.panels.size(); ++p)
    m.carried_panel.push_back(holders(s, m.carries, body(PanelId{static_cast<int>(p)})));
  for (std::size_t p = 0; p < s.pieces.size(); ++p)
    m.carried_piece.push_back(m.carries[p] ? std::vector<PieceId>{}
                                           : holders(s, m.carries, body(PieceId{static_cast<int>(p)})));
  return m;
}

}  // namespace garthwright::strength
