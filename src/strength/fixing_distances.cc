// SPDX-License-Identifier: Apache-2.0
#include "strength/fixing_distances.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/us_customary.h"
#include "strength/ec5_connections.h"
#include "strength/nds_connections.h"
#include "structure/touch.h"

namespace garthwright::strength {
namespace {

constexpr double kDegrees = 180 / std::numbers::pi;

ec5::Spacing wanted_at(const Structure& s, const PlacedFixing& f, Body b, double degrees) {
  const double d = spacing_diameter(f);
  return by_bolt_rules(f) ? ec5::bolt_spacing(d, degrees)
                          : ec5::nail_spacing(d, degrees, f.fixing->pilot > 0, density_k(s, b));
}

bool by_nds(const Site& site, const PlacedFixing& f) {
  return site.route == Site::Route::us && f.values.d >= kMillimetresPerInch / 4 - 1e-6;
}

/// The part of a force that goes one way, and the angle between the two.
struct Towards {
  double part = 0, degrees = 180;
};
Towards towards(Vec3 force, Vec3 way) {
  const double size = norm(force);
  if (size <= 0) return {};
  const double part = std::clamp(dot(force, way) / size, -1.0, 1.0);
  return {part, std::acos(part) * kDegrees};
}

void keep(Distance& worst, double actual, double wanted, Distance::To to, bool loaded, Body in) {
  const Distance d{std::max(0.0, actual), wanted, to, loaded, in};
  if (d.use() > worst.use()) worst = d;
}

}  // namespace

std::string words_of(const Structure& s, const Distance& d) {
  const Piece& p = s.pieces[static_cast<std::size_t>(d.in.index)];
  if (d.to == Distance::To::next) return fmt::format("next fixing in {} {}", p.name, p.mark);
  return fmt::format("{}{} of {} {}", d.loaded ? "loaded " : "", d.to == Distance::To::end ? "end" : "edge", p.name,
                     p.mark);
}

bool by_bolt_rules(const PlacedFixing& f) {
  if (is_bolt(f.fixing->kind)) return true;
  return is_threaded(f.fixing->kind) && !ec5::follows_nail_rules(ec5::screw_effective_diameter(f.values.root));
}

double spacing_diameter(const PlacedFixing& f) {
  return is_threaded(f.fixing->kind) && by_bolt_rules(f) ? ec5::screw_effective_diameter(f.values.root) : f.values.d;
}

Around around(const Structure& s, const PlacedFixing& f, std::size_t layer) {
  const Layer& l = f.seat.layers[layer];
  Around a;
  a.body = l.body;
  a.end_grain = l.end_grain;
  a.depth = l.thick();
  a.at = f.seat.head + 0.5 * (l.from + l.to) * f.seat.direction;
  if (l.body.kind != Body::Kind::piece || l.end_grain) return a;
  const Frame& frame = s.pieces[static_cast<std::size_t>(l.body.index)].frame;
  a.grain = frame.x;
  const Vec3 across = cross(f.seat.direction, a.grain);
  a.side = unit(norm(across) > 1e-6 ? across : frame.y);
  a.end = {way_out(s, l.body, a.at, -a.grain), way_out(s, l.body, a.at, a.grain)};
  a.edge = {way_out(s, l.body, a.at, -a.side), way_out(s, l.body, a.at, a.side)};
  return a;
}

Distance to_borders(const Structure& s, const Site& site, const PlacedFixing& f, const Around& a, const OnTimber& on) {
  Distance worst;
  if (a.body.kind != Body::Kind::piece || a.end_grain) return worst;
  const nds::BoltGeometry g = nds::bolt_geometry(f.values.d / kMillimetresPerInch, 6);
  for (std::size_t i = 0; i < 2; ++i) {
    const Towards end = towards(on.across, (i == 0 ? -1.0 : 1.0) * a.grain);
    const bool loaded_end = on.loaded && end.part > 0.02;
    double wanted;
    if (by_nds(site, f))
      wanted = kMillimetresPerInch * (loaded_end && end.part > 0.5 ? g.end_tension_min : g.end_compression_min);
    else
      wanted = loaded_end ? wanted_at(s, f, a.body, end.degrees).a3t
                          : wanted_at(s, f, a.body, on.loaded ? end.degrees : 180).a3c;
    if (on.pulled && is_threaded(f.fixing->kind) && by_bolt_rules(f) && !by_nds(site, f))
      wanted = std::max(wanted, ec5::axial_screw_spacing(f.values.d).end);
    keep(worst, a.end[i], wanted, Distance::To::end, loaded_end, a.body);

    const Towards edge = towards(on.across, (i == 0 ? -1.0 : 1.0) * a.side);
    const bool loaded_edge = on.loaded && edge.part > 0.02;
    if (by_nds(site, f))
      wanted = kMillimetresPerInch * (loaded_edge && edge.part > 0.5 ? g.edge_loaded : g.edge_unloaded);
    else
      wanted =
          loaded_edge ? wanted_at(s, f, a.body, std::asin(edge.part) * kDegrees).a4t : wanted_at(s, f, a.body, 0).a4c;
    if (on.pulled && is_threaded(f.fixing->kind) && by_bolt_rules(f) && !by_nds(site, f))
      wanted = std::max(wanted, ec5::axial_screw_spacing(f.values.d).edge);
    keep(worst, a.edge[i], wanted, Distance::To::edge, loaded_edge, a.body);
  }
  return worst;
}

Distance to_next(const Structure& s, const Site& site, const PlacedFixing& f, const Around& a, const PlacedFixing& g,
                 const Around& b, const OnTimber& on) {
  Distance worst;
  if (a.body.kind != Body::Kind::piece || a.end_grain || b.end_grain) return worst;
  const PlacedFixing& big = f.values.d >= g.values.d ? f : g;
  const double along = std::abs(dot(b.at - a.at, a.grain)), across = std::abs(dot(b.at - a.at, a.side));
  double a1, a2;
  if (by_nds(site, big)) {
    const nds::BoltGeometry geometry = nds::bolt_geometry(big.values.d / kMillimetresPerInch, 6);
    a1 = kMillimetresPerInch * geometry.row_spacing_min, a2 = kMillimetresPerInch * geometry.between_rows_along;
  } else {
    const double size = norm(on.across);
    const double degrees =
        size > 0 ? std::acos(std::min(1.0, std::abs(dot(on.across, a.grain)) / size)) * kDegrees : 90;
    const ec5::Spacing wanted = wanted_at(s, big, a.body, on.loaded ? degrees : 90);
    a1 = wanted.a1, a2 = wanted.a2;
  }
  // Far enough along or across the grain is enough; else the nearer of the two ways is what is short.
  if (along / a1 >= across / a2)
    keep(worst, along, a1, Distance::To::next, false, a.body);
  else
    keep(worst, across, a2, Distance::To::next, false, a.body);
  return worst;
}

double geometry_of_borders(const PlacedFixing& f, const Around& a, const OnTimber& on) {
  if (a.body.kind != Body::Kind::piece || a.end_grain) return 1;
  const nds::BoltGeometry g = nds::bolt_geometry(f.values.d / kMillimetresPerInch, 6);
  double factor = 1;
  for (std::size_t i = 0; i < 2; ++i) {
    const double pull = on.loaded ? std::max(0.0, towards(on.across, (i == 0 ? -1.0 : 1.0) * a.grain).part) : 0;
    // Straight between across and towards the end, softwood.
    const double full = g.end_across_full + (g.end_tension_full - g.end_across_full) * pull;
    const double least = g.end_across_min + (g.end_tension_min - g.end_across_min) * pull;
    factor = std::min(factor, nds::geometry_factor(a.end[i] / kMillimetresPerInch + 1e-6, least, full));
  }
  return factor;
}

double geometry_of_next(const PlacedFixing& f, const Around& a, const Around& b) {
  if (a.body.kind != Body::Kind::piece || a.end_grain) return 1;
  const nds::BoltGeometry g = nds::bolt_geometry(f.values.d / kMillimetresPerInch, 6);
  const double along = std::abs(dot(b.at - a.at, a.grain)) / kMillimetresPerInch;
  const double across = std::abs(dot(b.at - a.at, a.side)) / kMillimetresPerInch;
  if (across >= g.between_rows_along) return 1;
  return nds::geometry_factor(along + 1e-6, g.row_spacing_min, g.row_spacing_full);
}

}  // namespace garthwright::strength
