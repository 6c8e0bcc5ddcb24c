// SPDX-License-Identifier: Apache-2.0
#include "plan/climber_wires.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "base/us_customary.h"
#include "structure/duty.h"

namespace garthwright {
namespace {

constexpr double kMPerFoot = kMmPerFoot / 1000;
constexpr double kOff = 40;         // mm off the timber
constexpr double kFirst = 300;      // mm above the ground: the lowest eye
constexpr double kEyesUp = 600;     // mm: an eye as often on a post
constexpr double kEyesOver = 1800;  // mm: and over a roof
constexpr int kWiresUp = 2;         // on a post, on two of its faces
constexpr double kParallel = 0.98;

constexpr std::array kSupports{Support{"clematis", "holds thin things with its leaves' stalks", 200, 2},
                               Support{"honeysuckle", "twines", 300, 2},
                               Support{"climbing_rose", "leans, and has to be tied in", 400, 2.5},
                               Support{"grape_vine", "holds by tendrils, and has to be tied in", 300, 2.5},
                               Support{"ivy", "clings by itself", 0, 0},
                               Support{"virginia_creeper", "clings by itself", 0, 0},
                               Support{"wisteria", "twines, and thickens until it bursts thin wires", 450, 3},
                               Support{"hops_or_annual", "twines", 300, 2},
                               Support{"jasmine", "twines", 300, 2}};

int eyes_on(double length_mm, double every_mm) { return static_cast<int>(std::ceil(length_mm / every_mm - 1e-9)) + 1; }

}  // namespace

const Support* support_of(std::string_view climber) {
  const auto found =
      std::find_if(kSupports.begin(), kSupports.end(), [&](const Support& s) { return s.kind == climber; });
  return found == kSupports.end() ? nullptr : &*found;
}

Wires wires_for(const Structure& s, const Support& support) {
  Wires wires;
  if (support.apart_mm <= 0) return wires;
  for (const Footing& footing : s.footings) {
    const double up = world_box(s, body(footing.post)).max.z - footing.centre.z - kFirst;
    if (up < kEyesUp || s[footing.post].duties.has(Duty::seat)) continue;
    ++wires.posts;
    wires.length_m += kWiresUp * up / 1000;
    wires.eyes += kWiresUp * eyes_on(up, kEyesUp);
  }
  std::vector<std::pair<double, double>> across;  // where it lies, how long it is
  Vec3 along;
  for (const Piece& piece : s.pieces) {
    if (!piece.duties.has(Duty::roof) || !piece.duties.has(Duty::climber)) continue;
    if (across.empty()) along = piece.frame.x;
    if (std::abs(dot(piece.frame.x, along)) < kParallel) continue;
    const Vec3 side = unit(cross(Vec3{0, 0, 1}, along));
    across.emplace_back(dot(piece.frame.to_world({0, 0, 0}), side), piece.length.value());
  }
  std::sort(across.begin(), across.end());
  for (std::size_t i = 1; i < across.size(); ++i) {
    const double gap = across[i].first - across[i - 1].first, length = std::min(across[i].second, across[i - 1].second);
    const int between = std::max(0, static_cast<int>(std::ceil(gap / support.apart_mm - 1e-9)) - 1);
    wires.gap_mm = std::max(wires.gap_mm, gap);
    wires.roof += between;
    wires.length_m += between * length / 1000;
    wires.eyes += between * eyes_on(length, kEyesOver);
  }
  return wires;
}

Diagnostics climber_wires(const Garden& garden, const Site& site, bool site_says) {
  Diagnostics found;
  for (const Structure& structure : garden.structures) {
    if (structure.climber.empty() && !site_says) continue;
    const std::string climber = site_for(structure, site).climber;
    const Support* support = support_of(climber);
    if (support == nullptr) continue;
    std::string plant = climber;
    std::replace(plant.begin(), plant.end(), '_', ' ');
    const Wires wires = wires_for(structure, *support);
    const std::string what = fmt::format("{}: {} {}", structure.name, plant, support->holds_on);
    if (wires.eyes == 0) {
      found.push_back({Severity::warning,
                       "climber-wires",
                       what + "; it asks no wires here",
                       support->apart_mm > 0 ? "the laths take it" : "keep it off roofs, gutters and open joints",
                       {}});
      continue;
    }
    // Round figures in either system: nobody sets an eye to a sixteenth.
    const bool metric = site.print.units == Units::mm;
    const auto about = [&](double mm) {
      return metric ? fmt::format("{:.0f} mm", mm) : fmt::format("{:.0f} in", mm / kMillimetresPerInch);
    };
    std::string over;
    if (wires.roof > 0)
      over = fmt::format(", and {} over the roof, whose timbers lie {} apart where it asks {}", wires.roof,
                         about(wires.gap_mm), about(support->apart_mm));
    const double length_m = 1.1 * wires.length_m;
    const std::string length = metric ? fmt::format("{:.0f} m", std::ceil(length_m))
                                      : fmt::format("{:.0f} ft", std::ceil(length_m / kMPerFoot));
    const std::string wire = metric ? fmt::format("{:g} mm", support->wire_mm)
                                    : fmt::format("{:.2f} in", support->wire_mm / kMillimetresPerInch);
    found.push_back({Severity::warning,
                     "climber-wires",
                     fmt::format("{}: {} upright wires on each of {} posts from {} above the ground, an eye every {}{}",
                                 what, kWiresUp, wires.posts, about(kFirst), about(kEyesUp), over),
                     fmt::format("about {} of stainless or galvanised wire of {} and {} screw eyes that hold it {} off "
                                 "the timber: in no yard's "
                                 "price list here",
                                 length, wire, wires.eyes, about(kOff)),
                     {}});
  }
  return found;
}

}  // namespace garthwright
