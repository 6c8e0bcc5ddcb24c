// SPDX-License-Identifier: Apache-2.0
#include "assembly/tilt.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <unordered_set>
#include <utility>

#include "assembly/motion.h"

namespace garthwright::assembly {
namespace {

constexpr double kGrain = 1e-6;    // mm; the search itself allows no more overlap than this
constexpr double kStandOff = 100;  // mm between the panel and everything else at the end

struct Point {
  double y = 0, z = 0;
};

/// Least and greatest value along an axis.
struct Span {
  double lo = 0, hi = 0;
};

double radians(double deg) { return deg * std::numbers::pi / 180; }

/// The panel in its own frame: origin at the middle of the top edge.
struct Panel {
  Point top;  ///< at rest
  double half_width, height, radius;

  explicit Panel(const Rectangle& r)
      : top{(r.y0 + r.y1) / 2, r.z1},
        half_width((r.y1 - r.y0) / 2),
        height(r.z1 - r.z0),
        radius(std::hypot(half_width, height)) {}
};

/// A panel in a pose: its frame in the section.
struct Placed {
  Point top, along, up;  ///< unit vectors of the panel's own y and z

  Placed(const Panel& panel, const Pose& pose) : top{panel.top.y + pose.dy, panel.top.z + pose.dz} {
    // Quarter turns stay exact.
    const double quarter = pose.deg / 90;
    double c = std::cos(radians(pose.deg)), s = std::sin(radians(pose.deg));
    if (quarter == std::round(quarter)) c = std::round(c), s = std::round(s);
    along = {c, s};
    up = {-s, c};
  }
};

constexpr int kAxes = 4;  // y, z, and the panel's own two

/// Gaps between the panel and a rectangle along the separating axes, each to one side and to the other; apart when one
/// of them is >= 0. (The sides are kept apart: the greater of the two is no smooth function of the pose.)
std::array<double, 2 * kAxes> gaps(const Panel& panel, const Placed& at, const Rectangle& r) {
  const double w = panel.half_width, h = panel.height;
  const auto panel_span = [&](double origin, double along, double up) {
    const double reach = std::abs(along) * w;
    return Span{origin - reach + std::min(0.0, -up * h), origin + reach + std::max(0.0, -up * h)};
  };
  const auto still_span = [&](Point axis) {
    const double y0 = (r.y0 - at.top.y) * axis.y, y1 = (r.y1 - at.top.y) * axis.y;
    const double z0 = (r.z0 - at.top.z) * axis.z, z1 = (r.z1 - at.top.z) * axis.z;
    return Span{std::min(y0, y1) + std::min(z0, z1), std::max(y0, y1) + std::max(z0, z1)};
  };
  const std::pair<Span, Span> spans[kAxes] = {{panel_span(at.top.y, at.along.y, at.up.y), {r.y0, r.y1}},
                                              {panel_span(at.top.z, at.along.z, at.up.z), {r.z0, r.z1}},
                                              {{-w, w}, still_span(at.along)},
                                              {{-h, 0}, still_span(at.up)}};
  std::array<double, 2 * kAxes> gaps;
  for (int k = 0; k < kAxes; ++k) {
    gaps[2 * k] = spans[k].first.lo - spans[k].second.hi;
    gaps[2 * k + 1] = spans[k].second.lo - spans[k].first.hi;
  }
  return gaps;
}

Pose between(const Pose& a, const Pose& b, double t) {
  return {a.dy + t * (b.dy - a.dy), a.dz + t * (b.dz - a.dz), a.deg + t * (b.deg - a.deg)};
}

class Mover {
 public:
  explicit Mover(const Section& section) : section_(section), panel_(section.panel) {}

  const Panel& panel() const { return panel_; }

  /// No overlap anywhere on a straight leg.
  bool leg_is_clear(const Pose& a, const Pose& b) const {
    return std::all_of(section_.still.begin(), section_.still.end(),
                       [&](const Rectangle& r) { return passes(r, a, b, 0); });
  }

  /// Whether the panel, as turned, can slide off along a direction without end.
  bool slides_off(const Pose& pose, Point way) const {
    const Placed at(panel_, pose);
    const std::array<Point, kAxes> axes{Point{1, 0}, Point{0, 1}, at.along, at.up};
    return std::all_of(section_.still.begin(), section_.still.end(), [&](const Rectangle& r) {
      // Apart for good along some axis: apart now and not closing in.
      const Span panel[kAxes] = {span(at, axes[0]), span(at, axes[1]), span(at, axes[2]), span(at, axes[3])};
      double from = 0, to = 1e300;
      for (int k = 0; k < kAxes; ++k) {
        const Span still = span(r, axes[k]);
        const double speed = way.y * axes[k].y + way.z * axes[k].z;
        const double lo = still.lo - panel[k].hi + kGrain, hi = still.hi - panel[k].lo - kGrain;
        if (std::abs(speed) < 1e-12) {
          if (lo >= 0 || hi <= 0) return true;
          continue;
        }
        from = std::max(from, (speed > 0 ? lo : hi) / speed);
        to = std::min(to, (speed > 0 ? hi : lo) / speed);
      }
      return from >= to;
    });
  }

  Span span(const Placed& at, Point axis) const {
    const double origin = at.top.y * axis.y + at.top.z * axis.z;
    const double along = std::abs(at.along.y * axis.y + at.along.z * axis.z) * panel_.half_width;
    const double down = -(at.up.y * axis.y + at.up.z * axis.z) * panel_.height;
    return {origin - along + std::min(0.0, down), origin + along + std::max(0.0, down)};
  }

 private:
  static Span span(const Rectangle& r, Point axis) {
    const double y0 = r.y0 * axis.y, y1 = r.y1 * axis.y, z0 = r.z0 * axis.z, z1 = r.z1 * axis.z;
    return {std::min(y0, y1) + std::min(z0, z1), std::max(y0, y1) + std::max(z0, z1)};
  }

  /// Along one axis, to one side, a gap is the least of a few smooth functions of time, none bending more than `bend`;
  /// so between two instants it is at least the lesser of its two values there, less bend / 8.
  bool passes(const Rectangle& r, const Pose& a, const Pose& b, int depth) const {
    const Placed from(panel_, a), to(panel_, b);
    const auto ga = gaps(panel_, from, r), gb = gaps(panel_, to, r);
    const double turn = std::abs(radians(b.deg - a.deg));
    const double shift = std::hypot(b.dy - a.dy, b.dz - a.dz);
    const double reach = std::max(farthest(r, from.top), farthest(r, to.top));
    const double bend_still = panel_.radius * turn * turn;
    const double bend_turned = reach * turn * turn + 2 * turn * shift;
    double best_a = -1e300, best_b = -1e300;
    for (int k = 0; k < 2 * kAxes; ++k) {
      const double bend = (k < 4 ? bend_still : bend_turned) / 8;
      if (std::min(ga[k], gb[k]) - bend >= -kGrain) return true;
      best_a = std::max(best_a, ga[k]);
      best_b = std::max(best_b, gb[k]);
    }
    if (best_a < -kGrain || best_b < -kGrain) return false;
    constexpr int deepest = 16;
    if (depth == deepest) return false;
    const Pose middle = between(a, b, 0.5);
    return passes(r, a, middle, depth + 1) && passes(r, middle, b, depth + 1);
  }

  static double farthest(const Rectangle& r, Point p) {
    return std::hypot(std::max(std::abs(r.y0 - p.y), std::abs(r.y1 - p.y)),
                      std::max(std::abs(r.z0 - p.z), std::abs(r.z1 - p.z)));
  }

  const Section& section_;
  Panel panel_;
};

/// A pose on a lattice of shifts and angles.
struct Cell {
  int y = 0, z = 0, turn = 0;
  bool operator==(const Cell&) const = default;
};

struct CellHash {
  std::size_t operator()(const Cell& c) const {
    std::uint64_t h = static_cast<std::uint32_t>(c.y);
    for (int v : {c.z, c.turn}) h = (h * 0x9E3779B97F4A7C15ull) ^ static_cast<std::uint32_t>(v);
    return h ^ (h >> 29);
  }
};

/// The greatest of 1, 2, 5 × 10^k that is not above x: angles with few digits.
double round_number_below(double x) {
  const double decade = std::pow(10, std::floor(std::log10(x)));
  for (double m : {5.0, 2.0}) {
    if (m * decade <= x) return m * decade;
  }
  return decade;
}

struct Exit {
  std::vector<Pose> path;
  Point way;
};

/// Breadth-first over the lattice until the panel can slide off.
std::optional<Exit> lattice_search(const Mover& mover, double step, long& poses_left) {
  const double step_deg = std::min(5.0, round_number_below(step / mover.panel().radius * 180 / std::numbers::pi));
  const int half_turn = static_cast<int>(180 / step_deg);
  const auto pose = [&](Cell c) { return Pose{c.y * step, c.z * step, c.turn * step_deg}; };
  struct Entry {
    Cell cell;
    int from;
  };
  std::vector<Entry> open{{{}, -1}};
  std::unordered_set<Cell, CellHash> seen{{}};
  long level_left = std::min(poses_left, 120'000L);
  for (std::size_t at = 0; at < open.size() && level_left > 0; ++at, --level_left, --poses_left) {
    const Cell c = open[at].cell;
    const Placed placed(mover.panel(), pose(c));
    const Point ways[] = {{0, 1},       {-1, 0},
                          {1, 0},       {0, -1},
                          placed.up,    {-placed.up.y, -placed.up.z},
                          placed.along, {-placed.along.y, -placed.along.z}};
    for (const Point& way : ways) {
      if (!mover.slides_off(pose(c), way)) continue;
      Exit exit{{}, way};
      for (int i = static_cast<int>(at); i >= 0; i = open[i].from) exit.path.push_back(pose(open[i].cell));
      std::reverse(exit.path.begin(), exit.path.end());
      return exit;
    }
    for (int k = 0; k < 27; ++k) {
      const Cell next{c.y + k % 3 - 1, c.z + k / 3 % 3 - 1, c.turn + k / 9 - 1};
      if (next == c || std::abs(next.turn) > half_turn || seen.contains(next)) continue;
      if (!mover.leg_is_clear(pose(c), pose(next))) continue;
      seen.insert(next);
      open.push_back({next, static_cast<int>(at)});
    }
  }
  return std::nullopt;
}

/// Fewer, longer legs: from each pose straight to the farthest later one that can be reached.
std::vector<Pose> straightened(const Mover& mover, const std::vector<Pose>& path) {
  std::vector<Pose> legs{path.front()};
  for (std::size_t at = 0; at + 1 < path.size();) {
    std::size_t next = at + 1;
    for (std::size_t far = path.size() - 1; far > next; --far) {
      if (mover.leg_is_clear(path[at], path[far])) {
        next = far;
        break;
      }
    }
    legs.push_back(path[next]);
    at = next;
  }
  return legs;
}

double to_micrometre(double mm) { return std::round(mm * 1e3) / 1e3; }

/// Slides the panel off along `way` until it is clear of everything seen along y or along z, then along the other axis
/// until it is clear of everything both ways: from there nothing stands on any side of it.
void append_departure(const Section& section, const Mover& mover, std::vector<Pose>& path, Point way) {
  Rectangle all = section.still.empty() ? section.panel : section.still[0];
  for (const Rectangle& r : section.still) {
    all = {std::min(all.y0, r.y0), std::min(all.z0, r.z0), std::max(all.y1, r.y1), std::max(all.z1, r.z1)};
  }
  Pose last = path.back();
  const Placed at(mover.panel(), last);
  const Span y = mover.span(at, {1, 0}), z = mover.span(at, {0, 1});
  const auto travel = [](Span panel, double lo, double hi, double towards) {
    return towards > 0 ? hi + kStandOff - panel.lo : panel.hi - lo + kStandOff;
  };
  const double by_y = std::abs(way.y) > 1e-6 ? travel(y, all.y0, all.y1, way.y) / std::abs(way.y) : 1e300;
  const double by_z = std::abs(way.z) > 1e-6 ? travel(z, all.z0, all.z1, way.z) / std::abs(way.z) : 1e300;
  const double distance = std::max(0.0, std::ceil(std::min(by_y, by_z)));
  last.dy = to_micrometre(last.dy + distance * way.y);
  last.dz = to_micrometre(last.dz + distance * way.z);
  if (distance > 0) path.push_back(last);

  const Placed off(mover.panel(), last);
  const Span y_off = mover.span(off, {1, 0}), z_off = mover.span(off, {0, 1});
  if (by_y <= by_z) {
    last.dz = to_micrometre(last.dz + std::max(0.0, travel(z_off, all.z0, all.z1, 1)));
  } else {
    last.dy = to_micrometre(last.dy + std::max(0.0, travel(y_off, all.y0, all.y1, 1)));
  }
  path.push_back(last);
}

/// A way by shifts alone, exact.
std::optional<Exit> shifts_alone(const Section& section) {
  const auto slice = [](const Rectangle& r) { return *make_box({0, r.y0, r.z0}, {1, r.y1, r.z1}); };
  const ConvexPart panel = slice(section.panel);
  std::vector<ConvexPart> still;
  for (const Rectangle& r : section.still) still.push_back(slice(r));
  std::vector<const ConvexPart*> around;
  for (const ConvexPart& part : still) around.push_back(&part);
  const Ways ways{{0, 0, 1}, {0, 0, -1}, {0, 1, 0}, {0, -1, 0}};
  const MotionSearch found = find_way_out({&panel}, around, ways, kTouch);
  if (!found.way_out) return std::nullopt;
  Exit exit{{{}}, {found.way_out->exit.y, found.way_out->exit.z}};
  for (const Vec3& s : found.way_out->shifts) {
    exit.path.push_back({exit.path.back().dy + s.y, exit.path.back().dz + s.z, 0});
  }
  return exit;
}

}  // namespace

TiltResult tilt_out(const Section& section, TiltLimits limits) {
  const Mover mover(section);
  TiltResult result;
  std::optional<Exit> exit = shifts_alone(section);
  result.by_shifts_alone = exit.has_value();
  long poses_left = limits.poses;
  for (double step = 8; !exit && step > 0.1; step /= 2) exit = lattice_search(mover, step, poses_left);
  if (!exit) return result;

  std::vector<Pose> path = result.by_shifts_alone ? exit->path : straightened(mover, exit->path);
  append_departure(section, mover, path, exit->way);
  if (!fault_in_way_out(section, path)) result.way_out = std::move(path);
  return result;
}

}  // namespace garthwright::assembly
