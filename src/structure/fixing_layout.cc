// SPDX-License-Identifier: Apache-2.0
#include "structure/fixing_layout.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "structure/touch.h"

namespace garthwright {
namespace {

constexpr double kEdge = 25;      // mm from the edge of the patch, where it is wide enough; common practice, no source
constexpr int kFewEnough = 16;    // fixings in a row that are kept clear of those already there
constexpr double kTwoRows = 60;   // mm: a patch so wide takes four and more in two rows
constexpr double kBetter = 0.02;  // of what is wanted: less is not worth leaving the usual places for
constexpr double kIntoEndGrain = 0.866;  // cosine of 30°
constexpr double kQuarterInch = 6.34;    // mm
constexpr double kEndBolt = 80;          // mm: Table 8.4
constexpr double kRounding = 1e-6;       // mm

/// The patch with its longest edge as first axis.
struct PatchAxes {
  struct Edge {
    Vec3 corner, inward;
  };
  std::vector<Edge> edges;
  Vec3 along, across, middle;
  double a0 = 0, a1 = 0, b0 = 0, b1 = 0;
};
PatchAxes face_of(const Polygon& patch, Vec3 normal) {
  PatchAxes f;
  f.middle = centroid(patch);
  for (std::size_t i = 0; i < patch.size(); ++i) {
    const Vec3 edge = patch[(i + 1) % patch.size()] - patch[i];
    if (norm(edge) > norm(f.along) + 1e-6) f.along = edge;
    Vec3 inward = cross(normal, edge);
    if (norm(inward) < 1e-9) continue;
    inward = unit(inward);
    if (dot(f.middle - patch[i], inward) < 0) inward = -inward;
    f.edges.push_back({patch[i], inward});
  }
  f.along = unit(f.along);
  f.across = unit(cross(normal, f.along));
  for (const Vec3& corner : patch) {
    const double a = dot(corner - f.middle, f.along), b = dot(corner - f.middle, f.across);
    f.a0 = std::min(f.a0, a), f.a1 = std::max(f.a1, a);
    f.b0 = std::min(f.b0, b), f.b1 = std::max(f.b1, b);
  }
  return f;
}

/// How far a point in the patch's plane lies from its nearest edge; below 0 outside.
double distance_inside(const PatchAxes& f, Vec3 point) {
  double nearest = std::numeric_limits<double>::infinity();
  for (const PatchAxes::Edge& edge : f.edges) nearest = std::min(nearest, dot(point - edge.corner, edge.inward));
  return nearest;
}

/// Rows on it: columns along the first axis, margins from the ends of both, mm; `shift` moves a single row sideways.
struct Rows {
  int columns = 1, rows = 1;
  double margin_a = 0, margin_b = 0, shift_a = 0, shift_b = 0;
  bool mirrored = false;  ///< two rows in steps begin on the other side
};

void places(const PatchAxes& f, int count, const Rows& r, std::vector<Vec3>& points) {
  const auto place = [](double low, double high, double edge, int i, int n) {
    return n == 1 ? 0.5 * (low + high) : low + edge + (high - low - 2 * edge) * i / (n - 1);
  };
  const double margin = std::min(kEdge, 0.24 * (f.b1 - f.b0));
  points.clear();
  for (int i = 0; i < count; ++i) {
    const int row = r.columns == 1 ? i : r.rows > 1 ? (r.mirrored ? 1 - i % 2 : i % 2) : 0;
    const int column = i * r.columns / count;
    Vec3 point = f.middle + (place(f.a0, f.a1, r.margin_a, column, r.columns) + r.shift_a) * f.along +
                 (place(f.b0, f.b1, r.margin_b, row, r.rows) + r.shift_b) * f.across;
    // A patch that is no rectangle is narrower than its extent: come in until the edge is far enough off.
    for (int step = 0; step < 40 && distance_inside(f, point) < margin - kRounding; ++step)
      point = point + 0.1 * (f.middle - point);
    points.push_back(point);
  }
}

/// One timber of the chain, for asking many points.
struct Timber {
  Vec3 grain, side;
  double depth = 0;  ///< of its middle, along the fixing from the patch
  bool end_grain = false;
  Vec3 along;  ///< what its far distances are taken along: its grain; into end grain, square to `side`
  double most_along = 0, most_across = 0;  ///< no line that way is longer in it
  WayOut out;
  WayOut::Four ways{};  ///< along it, then to the sides, both ways
};

/// No line along a unit vector is longer in the body: the blank's sides end it.
double longest_in(const Structure& s, Body body, Vec3 way) {
  const Vec3 size = blank_of(s, body).size(), local = frame_of(s, body).direction_to_local(way);
  double longest = std::numeric_limits<double>::infinity();
  for (int axis = 0; axis < 3; ++axis)
    if (std::abs(local[axis]) > 1e-12) longest = std::min(longest, size[axis] / std::abs(local[axis]));
  return longest;
}

/// More than this no layout meets: a fixing halves its timber at best.
double most_met(const std::vector<Timber>& timbers, const Room& room) {
  double most = 1;
  for (const Timber& t : timbers)
    most = std::min({most, t.most_along / 2 / (t.end_grain ? room.edge : room.end), t.most_across / 2 / room.edge});
  return most;
}

std::vector<Timber> timbers_of(const Structure& s, const std::vector<Body>& chain, Vec3 middle, Vec3 direction) {
  std::vector<Timber> timbers;
  double at = 0;
  for (std::size_t i = 0; i < chain.size(); ++i) {
    WayOut out(s, chain[i]);
    const Vec3 from = middle + at * direction;
    const double thick = std::max(0.0, i == 0 ? out(from, -direction) : out(from, direction));
    const Vec3 grain = frame_of(s, chain[i]).x;
    const Vec3 side = cross(direction, grain);
    const bool end_grain = std::abs(dot(grain, direction)) > kIntoEndGrain;
    if (chain[i].kind == Body::Kind::piece) {
      Timber t{grain,
               end_grain ? frame_of(s, chain[i]).y : unit(side),
               i == 0 ? -0.5 * thick : at + 0.5 * thick,
               end_grain,
               grain,
               0,
               0,
               std::move(out)};
      if (end_grain) t.along = cross(direction, t.side);
      t.most_along = longest_in(s, chain[i], t.along), t.most_across = longest_in(s, chain[i], t.side);
      t.ways = t.out.four({-1.0 * t.along, t.along, -1.0 * t.side, t.side});
      timbers.push_back(std::move(t));
    }
    if (i > 0) at += thick;
  }
  return timbers;
}

/// A fixing that is in one of the timbers already.
struct There {
  Vec3 head, direction;
  double length = 0, diameter = 0;
  std::size_t timber = 0;  ///< of those asked about
};

std::vector<There> there_already(const Structure& s, FixingsByBody& set, const std::vector<Body>& chain) {
  std::vector<There> there;
  std::size_t timber = 0;
  for (const Body b : chain) {
    if (b.kind != Body::Kind::piece) continue;
    for (const int i : set.of(s, b)) {
      const Fixing& f = s.fixings[static_cast<std::size_t>(i)];
      if (!is_connector(f.kind)) there.push_back({f.head, unit(f.direction), f.length, f.diameter, timber});
    }
    ++timber;
  }
  return there;
}

constexpr double kCrossing = 3;  // mm of timber between two fixings that cross; our own

/// How the room to those that are there is met: beside them as to the next of their own kind, across them clear of
/// them. Where that is no more than `least`, how much less does not matter.
double clear_of(const std::vector<There>& there, const std::vector<Timber>& timbers, Vec3 direction,
                const std::vector<Vec3>& points, const Room& room, double least) {
  double worst = 1;
  for (const There& f : there) {
    if (worst <= least) return worst;
    const Timber& t = timbers[f.timber];
    const bool beside = std::abs(dot(f.direction, direction)) > 0.9;
    for (const Vec3& point : points) {
      const Vec3 p = point + t.depth * direction, gap = p - f.head;
      if (beside) {
        const double along = std::abs(dot(gap, t.grain)) / room.along,
                     across = std::abs(dot(gap, t.side)) / room.across;
        if (!t.end_grain) worst = std::min(worst, std::max(along, across));
        continue;
      }
      const Vec3 square = cross(direction, f.direction);
      if (norm(square) < 1e-6) continue;
      const double apart = std::abs(dot(gap, unit(square))), reach = dot(gap, f.direction);
      const double wanted = f.diameter / 2 + room.across / 8 + kCrossing;  // half of its own: four diameters across
      if (reach > -wanted && reach < f.length + wanted) worst = std::min(worst, apart / wanted);
    }
  }
  return worst;
}

/// The worst distance beside what is wanted, 1 where all are met.
double met(const std::vector<Timber>& timbers, const std::vector<There>& there, Vec3 direction,
           const std::vector<Vec3>& points, const Room& room, double least) {
  double worst = clear_of(there, timbers, direction, points, room, least);
  if (worst <= least) return worst;
  for (const Timber& t : timbers) {
    const double first = t.end_grain ? room.edge : room.end;
    for (std::size_t i = 0; i < points.size(); ++i) {
      const std::array<double, 4> out = t.out(points[i] + t.depth * direction, t.ways);
      worst = std::min({worst, out[0] / first, out[1] / first, out[2] / room.edge, out[3] / room.edge});
      for (std::size_t j = i + 1; j < points.size(); ++j) {
        const double along = std::abs(dot(points[j] - points[i], t.along)) / (t.end_grain ? room.across : room.along);
        const double across = std::abs(dot(points[j] - points[i], t.side)) / room.across;
        worst = std::min(worst, std::max(along, across));
      }
      if (worst <= least) return worst;
    }
  }
  return worst;
}

}  // namespace

Room room_of(const timber::FixingItem& item, bool us) {
  const double d = item.diameter_mm;
  if (us && d >= kQuarterInch) return {7 * d, 4 * d, 4 * d, 1.5 * d};
  const double root = item.make.root_mm > 0 ? item.make.root_mm : 0.7 * d;
  const bool as_bolt = is_bolt(item.kind) || (is_threaded(item.kind) && 1.1 * root > 6);  // 8.7.1
  if (as_bolt) {
    const double ef = is_bolt(item.kind) ? d : 1.1 * root;
    // Screws are pulled too: Table 8.6 counts in their outer diameter.
    const bool pulled = is_threaded(item.kind);
    return {std::max({7 * ef, kEndBolt, pulled ? 10 * d : 0}), 4 * (pulled ? d : ef), 5 * ef, 4 * ef};
  }
  const bool thin = d < 5;
  if (item.pilot_mm > 0) return {12 * d, (thin ? 5 : 7) * d, 5 * d, 4 * d};
  return {15 * d, (thin ? 7 : 10) * d, (thin ? 10 : 12) * d, 5 * d};
}

Layout lay_out(const Structure& s, FixingsByBody& set, const std::vector<Body>& chain, const Polygon& patch,
               Vec3 direction, int count, double every, const Room& room) {
  const PatchAxes f = face_of(patch, direction);
  const double wide = f.a1 - f.a0, high = f.b1 - f.b0;
  if (every > 0) count = std::max(count, static_cast<int>(std::ceil((wide - 2 * kEdge) / every)) + 1);
  const bool two_rows = count >= 4 && high >= kTwoRows;
  const double usual_a = std::min(kEdge, 0.25 * wide), usual_b = std::min(kEdge, 0.25 * high);
  const Rows usual{two_rows ? (count + 1) / 2 : count, two_rows ? 2 : 1, usual_a, usual_b};
  std::vector<Vec3> best, points;
  places(f, count, usual, best);
  const std::vector<Timber> timbers = timbers_of(s, chain, f.middle, direction);
  // A long row is where it is: it would be asked too often.
  const std::vector<There> there = count <= kFewEnough ? there_already(s, set, chain) : std::vector<There>{};
  double score = met(timbers, there, direction, best, room, -1);
  // Looked through in one order, the usual places first, and left only for what is clearly better.
  const double enough = most_met(timbers, room) + 1e-9 - kBetter;  // 1e-9: rounding
  const auto look = [&](const Rows& rows) {
    if (score >= 1 || score >= enough) return;
    places(f, count, rows, points);
    const double at = met(timbers, there, direction, points, room, score + kBetter);
    if (at > score + kBetter) std::swap(best, points), score = at;
  };
  constexpr double kMargins[] = {0.1, 0.18, 0.25, 0.32, 0.4};  // of the extent
  constexpr double kShifts[] = {0, -0.08, 0.08, -0.15, 0.15, -0.3, 0.3};
  for (const double shift : kShifts) {
    if (count == 1) {
      for (const double other : kShifts) look({1, 1, 0, 0, other * wide, shift * high});
      continue;
    }
    for (const double margin : kMargins) {
      look({count, 1, margin * wide, 0, 0, shift * high});
      if (count <= 3) look({1, count, 0, margin * high, shift * wide, 0});
    }
  }
  if (count > 1 && count <= 8)
    for (const double a : kMargins)
      for (const double b : kMargins)
        for (const bool mirrored : {false, true})
          look({count == 2 ? 2 : (count + 1) / 2, 2, a * wide, b * high, 0, 0, mirrored});
  return {std::move(best), score};
}

}  // namespace garthwright
