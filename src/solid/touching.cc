// SPDX-License-Identifier: Apache-2.0
#include "solid/touching.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "base/patience.h"

namespace garthwright::solid {
namespace {

int longest_way(const std::vector<Standing>& bodies) {
  Box all = bodies.front().box;
  for (const Standing& s : bodies) all = enclosing(all, s.box);
  const Vec3 size = all.size();
  return size.x >= size.y && size.x >= size.z ? 0 : size.y >= size.z ? 1 : 2;
}

// Pairs of bodies whose boxes come within `slack`, each (first, second) with first < second, in order.
std::vector<std::pair<std::size_t, std::size_t>> near_pairs(const std::vector<Standing>& bodies, double slack) {
  std::vector<std::pair<std::size_t, std::size_t>> pairs;
  if (bodies.empty()) return pairs;
  const int way = longest_way(bodies);
  std::vector<std::size_t> order;
  for (std::size_t i = 0; i < bodies.size(); ++i) {
    if (!bodies[i].parts.empty()) order.push_back(i);
  }
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return bodies[a].box.min[way] < bodies[b].box.min[way]; });
  std::vector<std::size_t> open;
  for (std::size_t i : order) {
    std::erase_if(open, [&](std::size_t j) { return bodies[j].box.max[way] < bodies[i].box.min[way] - slack; });
    for (std::size_t j : open) {
      if (overlaps(bodies[i].box, bodies[j].box, -slack)) pairs.emplace_back(std::min(i, j), std::max(i, j));
    }
    open.push_back(i);
  }
  std::sort(pairs.begin(), pairs.end());
  return pairs;
}

// The faces of two bodies that lie against each other in one plane.
struct Flush {
  Plane plane;
  FaceOverlap overlap;
};

void add_flush(std::vector<Flush>& all, const Plane& plane, const FaceOverlap& overlap, double slack) {
  for (Flush& f : all) {
    if (dot(f.plane.normal, plane.normal) > 1 - 1e-9 && std::abs(f.plane.offset - plane.offset) <= 2 * slack) {
      f.overlap.area += overlap.area;
      f.overlap.moment = f.overlap.moment + overlap.moment;
      return;
    }
  }
  all.push_back({plane, overlap});
}

void meet(const Standing& a, const Standing& b, double slack, double least_area, Meetings& out) {
  std::vector<Flush> flush;
  double shared = 0;
  std::vector<const ConvexPart*> near_b;
  for (const ConvexPart& part : b.parts) {
    if (overlaps(part.box, a.box, -slack)) near_b.push_back(&part);
  }
  for (const ConvexPart& pa : a.parts) {
    if (!overlaps(pa.box, b.box, -slack)) continue;
    for (const ConvexPart* pb : near_b) {
      if (!overlaps(pa.box, pb->box, -slack)) continue;
      const double depth = penetration(pa, *pb, slack);
      if (depth < -slack) continue;
      if (depth > slack) {
        if (const auto part = common(pa, *pb)) shared += volume(*part);
        continue;
      }
      for (std::size_t f = 0; f < pa.faces.size(); ++f) {
        for (std::size_t g = 0; g < pb->faces.size(); ++g) {
          const auto overlap = face_overlap(pa, static_cast<int>(f), *pb, static_cast<int>(g), slack);
          if (overlap) add_flush(flush, pa.planes[f], *overlap, slack);
        }
      }
    }
  }
  if (shared > 0) out.clashes.push_back({a.body, b.body, shared});
  std::stable_sort(flush.begin(), flush.end(),
                   [](const Flush& x, const Flush& y) { return x.overlap.area > y.overlap.area + 1e-6; });
  for (const Flush& f : flush) {
    if (f.overlap.area < least_area) continue;
    out.contacts.push_back({a.body, b.body, f.overlap.area, (1 / f.overlap.area) * f.overlap.moment, f.plane.normal});
  }
}

}  // namespace

Meetings meetings(const std::vector<Standing>& bodies, double slack, double least_area) {
  Meetings all;
  for (const auto& [a, b] : near_pairs(bodies, slack)) {
    look_at_the_clock();
    meet(bodies[a], bodies[b], slack, least_area, all);
  }
  return all;
}

}  // namespace garthwright::solid
