// SPDX-License-Identifier: Apache-2.0
#include "strength/wall_fixings.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "strength/ec5_connections.h"
#include "strength/en338.h"

namespace garthwright::strength {
namespace {

constexpr std::array kKinds{
    WallKind{"unknown", 500, 1000, 2.5, "soft, old or unknown brick, lime mortar"},
    WallKind{"solid brick", 1500, 2500, 2.5, "solid clay brick in sound mortar"},
    WallKind{"hollow", 600, 1200, 2.5, "hollow or perforated block, resin in a sieve sleeve"},
    WallKind{"aerated", 600, 1000, 2.0, "aerated block"},
    WallKind{"concrete", 6000, 8000, 1.8, "uncracked concrete C20/25"},
    WallKind{"veneer", 0, 0, 2.5, "a brick skin that only hangs before the wall: nothing may hang on it"},
    WallKind{"timber frame", 0, 0, 1.3, "softwood studs of 310 kg/m³ behind 12 mm of sheathing"},
};
constexpr double kAllowable = 4;
constexpr double kStudDensity = 310, kSheathing = 12;  // kg/m³, mm

}  // namespace

std::span<const WallKind> wall_kinds() { return kKinds; }

const WallKind& wall_kind(std::string_view name) {
  const auto at = std::find_if(kKinds.begin(), kKinds.end(), [&](const WallKind& k) { return k.name == name; });
  return at == kKinds.end() ? kKinds.front() : *at;
}

PlaneStrength wall_strength(const Structure& s, const Site& site, const PlacedFixing& f, Vec3 force,
                            Duration duration) {
  const WallKind& wall = wall_kind(site.wall);
  const bool us = site.route == Site::Route::us;
  const FixingValues& v = f.values;
  const Layer& timber = f.seat.layers.front();
  const double k = kmod(site, duration) / ec5::gamma_m(ec5::Material::connection);

  // The timber's side: bearing on a dowel that the wall holds, and the head on its face.
  const double d = is_threaded(f.fixing->kind) ? v.shank : v.d;
  const Vec3 grain = s.pieces[static_cast<std::size_t>(timber.body.index)].frame.x;
  const Vec3 across = force - dot(force, f.seat.direction) * f.seat.direction;
  const double degrees =
      norm(across) > 0 ? std::acos(std::min(1.0, std::abs(dot(grain, across)) / norm(across))) * 180 / std::numbers::pi
                       : 90;
  ec5::Shear shear;
  shear.fh1 = ec5::bolt_embedment(d, density_k(s, timber.body), degrees);
  shear.t1 = timber.thick(), shear.d = d;
  shear.my = v.my > 0 ? v.my : ec5::yield_moment(ec5::screw_effective_diameter(v.root), v.fu, v.my_part);
  const auto c = strength_class(s[s.pieces[static_cast<std::size_t>(timber.body.index)].section].strength_class);
  const double head = ec5::washer_capacity(std::max(v.head, f.fixing->make.washer_mm), d + 1, c ? c->fc_90_k : 2.2);
  const double timber_lateral = shear.t1 > 0 ? k * ec5::thick_plate(shear).capacity() : 0, timber_pull = k * head;

  double lateral = wall.shear_n / (us ? kAllowable : wall.gamma), pull = wall.pull_n / (us ? kAllowable : wall.gamma);
  PlaneStrength r;
  if (wall.name == "timber frame") {
    const double in_stud = std::max(0.0, v.thread > 0 ? std::min(v.thread, f.seat.point - timber.to - kSheathing) : 0);
    pull = in_stud >= 6 * v.d
               ? k * ec5::declared_screw_withdrawal(v.fax > 0 ? v.fax : 8, v.d, in_stud, 90, kStudDensity, v.rho)
               : 0;
    const double root = ec5::screw_effective_diameter(v.root);
    ec5::Shear into = shear;
    into.d = root;
    into.fh1 = ec5::bolt_embedment(root, density_k(s, timber.body), 90);
    into.fh2 = ec5::bolt_embedment(root, kStudDensity, 90);
    into.t2 = in_stud;
    lateral = in_stud > 4 * root ? k * ec5::single_shear(into).capacity() : 0;
    r.why = "the screw does not reach far enough into the stud";
  }
  r.lateral = std::min(lateral, timber_lateral);
  r.axial = std::min(pull, timber_pull);
  r.mode = std::string(lateral <= timber_lateral ? "wall" : "timber") + ", " + (pull <= timber_pull ? "wall" : "head");
  if (wall.name == "veneer") r.why = "a brick skin that only hangs before the wall carries nothing";
  return r;
}

std::string wall_source(const Site& site) {
  return "wall: cautious values of our own for " + std::string(wall_kind(site.wall).what) +
         " (ask the anchor's maker); timber: EN 1995-1-1 (8.10), 8.5.2";
}

}  // namespace garthwright::strength
