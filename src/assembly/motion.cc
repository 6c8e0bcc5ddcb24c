// SPDX-License-Identifier: Apache-2.0
#include "assembly/motion.h"

#include <algorithm>
#include <array>
#include <cstdint>
#include <limits>
#include <set>

#include "assembly/separation.h"

namespace garthwright::assembly {
namespace {

constexpr double kInfinity = std::numeric_limits<double>::infinity();
constexpr double kFarOff = 1e6;  // mm; faces further away than this are the rim of the ground block

using Key = std::array<std::int64_t, 3>;

/// Places are told apart, and kept, to a micrometre.
Key key_of(Vec3 p) { return {std::llround(p.x * 1e3), std::llround(p.y * 1e3), std::llround(p.z * 1e3)}; }
Vec3 to_micrometre(Vec3 p) {
  const Key k = key_of(p);
  return {k[0] / 1e3, k[1] / 1e3, k[2] / 1e3};
}

struct Obstacle {
  Difference slabs;
  bool is_box;
};

bool box_within(const Difference& a, const Difference& b) {
  for (int k = 0; k < 3; ++k) {
    if (a[k].lo < b[k].lo || a[k].hi > b[k].hi) return false;
  }
  return true;
}

/// All pairs as obstacles for one moving point, boxes inside other boxes left out.
std::vector<Obstacle> obstacles_of(const std::vector<const ConvexPart*>& moving,
                                   const std::vector<const ConvexPart*>& still) {
  std::vector<Obstacle> all;
  for (const ConvexPart* m : moving) {
    for (const ConvexPart* s : still) {
      Obstacle o{difference(*m, *s), m->is_aligned_box && s->is_aligned_box};
      const bool hidden = o.is_box && std::any_of(all.begin(), all.end(), [&](const Obstacle& other) {
                            return other.is_box && box_within(o.slabs, other.slabs);
                          });
      if (!hidden) all.push_back(std::move(o));
    }
  }
  return all;
}

/// Breadth-first over places where the moving point may stop: wherever it crosses the face of an obstacle.
class Search {
 public:
  Search(std::vector<Obstacle> obstacles, const Ways& ways, double touch, MotionLimits limits)
      : obstacles_(std::move(obstacles)), ways_(ways), touch_(touch), cuts_left_(limits.cuts) {
    // Building and thinning the list of obstacles is work too.
    cuts_left_ -= 16 * static_cast<long>(obstacles_.size());
  }

  MotionSearch run() {
    const long at_first = cuts_left_;
    MotionSearch found = search();
    found.cuts = at_first - cuts_left_;
    return found;
  }

 private:
  MotionSearch search() {
    places_.push_back({{}, -1});
    seen_.insert(key_of({}));
    for (std::size_t at = 0; at < places_.size(); ++at) {
      for (const Vec3& way : ways_) {
        if (cuts_left_ < 0) return {std::nullopt, false, 0};
        if (leaves_along(way, at)) return {trace(at, way), true, 0};
      }
      for (const Vec3& way : ways_) add_stops(way, at);
    }
    return {std::nullopt, true, 0};
  }

  struct Place {
    Vec3 at;
    int from;
  };

  /// How far the point may go along `way`, in multiples of it.
  double free_run(Vec3 way, Vec3 from) {
    double run = kInfinity;
    cuts_left_ -= static_cast<long>(obstacles_.size());
    for (const Obstacle& o : obstacles_) {
      const auto s = clash(o.slabs, from, way, touch_);
      if (s && s->to > 0) run = std::min(run, std::max(s->from, 0.0));
      if (run == 0) break;
    }
    return run;
  }

  bool leaves_along(Vec3 way, std::size_t at) { return free_run(way, places_[at].at) == kInfinity; }

  void add_stops(Vec3 way, std::size_t at) {
    const Vec3 from = places_[at].at;
    const double run = free_run(way, from);
    if (run <= 0) return;
    const double least = 0.5 * touch_ / norm(way);
    std::vector<double> stops;
    for (const Obstacle& o : obstacles_) {
      for (const Slab& slab : o.slabs) {
        const double speed = dot(slab.axis, way);
        if (std::abs(speed) < 1e-9 * norm(way)) continue;
        for (double face : {slab.lo, slab.hi}) {
          const double t = (face - dot(slab.axis, from)) / speed;
          // `run` ends where the shrunk obstacle begins, a touch beyond the face itself.
          if (t > least && t <= run && std::abs(face) < kFarOff) stops.push_back(t);
        }
      }
    }
    std::sort(stops.begin(), stops.end());
    for (double t : stops) {
      const Vec3 place = to_micrometre(from + t * way);
      if (seen_.insert(key_of(place)).second) places_.push_back({place, static_cast<int>(at)});
    }
  }

  WayOut trace(std::size_t at, Vec3 exit) const {
    WayOut out{{}, exit};
    for (int i = static_cast<int>(at); places_[i].from >= 0; i = places_[i].from) {
      out.shifts.push_back(to_micrometre(places_[i].at - places_[places_[i].from].at));
    }
    std::reverse(out.shifts.begin(), out.shifts.end());
    return out;
  }

  std::vector<Obstacle> obstacles_;
  const Ways& ways_;
  double touch_;
  long cuts_left_;
  std::vector<Place> places_;
  std::set<Key> seen_;
};

}  // namespace

MotionSearch find_way_out(const std::vector<const ConvexPart*>& moving, const std::vector<const ConvexPart*>& still,
                          const Ways& ways, double touch, MotionLimits limits) {
  return Search(obstacles_of(moving, still), ways, touch, limits).run();
}

}  // namespace garthwright::assembly
