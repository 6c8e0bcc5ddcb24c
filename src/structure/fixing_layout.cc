// SPDX-License-Identifier: Apache-2.0
#include "structure/fixing_layout.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <map>
#include <mutex>

#include "base/digest.h"
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
constexpr double kTouching = 0.01;       // mm

/// Coordinates that a layout is reckoned in are whole steps of 2^-27 mm: what is the same but for the rounding of where
/// in the structure it lies is the same to the last bit, and so is the layout.
double snapped(double value) {
  constexpr double kSteps = 134217728;  // to a millimetre
  return std::nearbyint(value * kSteps) / kSteps + 0.0;
}
Vec3 snapped(Vec3 v) { return {snapped(v.x), snapped(v.y), snapped(v.z)}; }

/// The patch with its longest edge as first axis.
struct PatchAxes {
  struct Edge {
    Vec3 corner, inward;
  };
  std::vector<Edge> edges;
  Vec3 along, across, middle;
  double a0 = 0, a1 = 0, b0 = 0, b1 = 0;

  double wide() const { return a1 - a0; }
  double high() const { return b1 - b0; }
  /// No place on it is farther from its middle.
  double reach() const { return std::hypot(std::max(-a0, a1), std::max(-b0, b1)); }
};

/// Its edges and how far it goes, once its axes are known.
void measure(const Polygon& patch, Vec3 normal, PatchAxes& f) {
  for (std::size_t i = 0; i < patch.size(); ++i) {
    Vec3 inward = cross(normal, patch[(i + 1) % patch.size()] - patch[i]);
    if (norm(inward) < 1e-9) continue;
    inward = unit(inward);
    if (dot(f.middle - patch[i], inward) < 0) inward = -inward;
    f.edges.push_back({patch[i], inward});
  }
  for (const Vec3& corner : patch) {
    const double a = dot(corner - f.middle, f.along), b = dot(corner - f.middle, f.across);
    f.a0 = std::min(f.a0, a), f.a1 = std::max(f.a1, a);
    f.b0 = std::min(f.b0, b), f.b1 = std::max(f.b1, b);
  }
}

PatchAxes face_of(const Polygon& patch, Vec3 normal) {
  PatchAxes f;
  f.middle = centroid(patch);
  for (std::size_t i = 0; i < patch.size(); ++i) {
    const Vec3 edge = patch[(i + 1) % patch.size()] - patch[i];
    if (norm(edge) > norm(f.along) + 1e-6) f.along = edge;
  }
  f.along = unit(f.along);
  f.across = unit(cross(normal, f.along));
  measure(patch, normal, f);
  return f;
}

/// The patch seen in its own frame, snapped.
PatchAxes seen_in(const Polygon& patch, const Frame& frame) {
  Polygon seen;
  for (const Vec3& corner : patch) {
    const Vec3 local = frame.to_local(corner);
    seen.push_back(snapped({local.x, local.y, 0}));
  }
  PatchAxes f;
  f.along = {1, 0, 0}, f.across = {0, 1, 0};
  measure(seen, {0, 0, 1}, f);
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

/// One timber of the chain, in the patch's frame, for asking many points.
struct Timber {
  Vec3 grain, side;
  double depth = 0;  ///< of its middle, along the fixing from the patch
  bool end_grain = false;
  Vec3 along;  ///< what its far distances are taken along: its grain; into end grain, square to `side`
  double most_along = 0, most_across = 0;  ///< no line that way is longer in it
  /// A side of the timber, and how fast it comes nearer along it and to the sides, both ways.
  struct Side {
    WayOut::Side plane;
    std::array<double, 4> rates;
  };
  std::vector<Side> sides;

  /// How far the timber goes from a point, along it and to the sides, both ways; below 0 outside.
  std::array<double, 4> out(Vec3 point) const {
    constexpr double kFar = std::numeric_limits<double>::infinity();
    std::array<double, 4> nearest{kFar, kFar, kFar, kFar};
    for (const Side& s : sides) {
      const double height = dot(point, s.plane.normal) - s.plane.offset;
      if (height > kTouching) return {-1, -1, -1, -1};
      const double away = std::max(0.0, -height);
      for (std::size_t k = 0; k < 4; ++k)
        if (s.rates[k] > 1e-12) nearest[k] = std::min(nearest[k], away / s.rates[k]);
    }
    return nearest;
  }
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

/// Sides so far off that no distance on the patch is short because of them are left out.
std::vector<Timber> timbers_of(const Structure& s, const std::vector<Body>& chain, const Frame& frame, double reach,
                               const Room& room) {
  std::vector<Timber> timbers;
  const Vec3 direction = frame.z;
  double at = 0;
  for (std::size_t i = 0; i < chain.size(); ++i) {
    const WayOut out(s, chain[i]);
    const Vec3 from = frame.origin + at * direction;
    const double thick = std::max(0.0, i == 0 ? out(from, -direction) : out(from, direction));
    if (chain[i].kind == Body::Kind::piece) {
      const Vec3 grain = frame_of(s, chain[i]).x, side = cross(direction, grain);
      Timber t;
      t.end_grain = std::abs(dot(grain, direction)) > kIntoEndGrain;
      const Vec3 sideways = t.end_grain ? frame_of(s, chain[i]).y : unit(side);
      const Vec3 along = t.end_grain ? cross(direction, sideways) : grain;
      t.grain = snapped(frame.direction_to_local(grain));
      t.side = snapped(frame.direction_to_local(sideways));
      t.along = snapped(frame.direction_to_local(along));
      t.depth = snapped(i == 0 ? -0.5 * thick : at + 0.5 * thick);
      t.most_along = snapped(longest_in(s, chain[i], along));
      t.most_across = snapped(longest_in(s, chain[i], sideways));
      const double matters = reach + std::abs(t.depth) + std::max(room.end, room.edge);
      for (const WayOut::Side& plane : out.seen_from(frame)) {
        if (plane.offset >= matters) continue;
        Timber::Side one{{snapped(plane.normal), snapped(plane.offset)}, {}};
        const double a = dot(t.along, one.plane.normal), b = dot(t.side, one.plane.normal);
        one.rates = {-a, a, -b, b};
        t.sides.push_back(one);
      }
      timbers.push_back(std::move(t));
    }
    if (i > 0) at += thick;
  }
  return timbers;
}

constexpr double kCrossing = 3;  // mm of timber between two fixings that cross; our own

/// A fixing that is in one of the timbers already, in the patch's frame.
struct There {
  Vec3 head, direction;
  double length = 0;
  std::size_t timber = 0;  ///< of those asked about
  bool beside = false;     ///< it runs the same way; else across
  Vec3 square;             ///< to both, of one that runs across
  double wanted = 0;       ///< from such a one
};

/// Those that may be too near to some place on the patch.
std::vector<There> there_already(const Structure& s, FixingsByBody& set, const std::vector<Body>& chain,
                                 const Frame& frame, const std::vector<Timber>& timbers, double reach,
                                 const Room& room) {
  std::vector<There> there;
  std::size_t timber = 0;
  for (const Body b : chain) {
    if (b.kind != Body::Kind::piece) continue;
    const Timber& t = timbers[timber];
    for (const int i : set.of(s, b)) {
      const Fixing& f = s.fixings[static_cast<std::size_t>(i)];
      if (is_connector(f.kind)) continue;
      There one;
      one.head = snapped(frame.to_local(f.head));
      one.direction = snapped(frame.direction_to_local(unit(f.direction)));
      one.length = f.length, one.timber = timber;
      one.beside = std::abs(one.direction.z) > 0.9;
      const Vec3 gap = Vec3{0, 0, t.depth} - one.head;  // from the patch's middle
      if (one.beside) {
        if (t.end_grain || std::abs(dot(gap, t.grain)) >= room.along + reach ||
            std::abs(dot(gap, t.side)) >= room.across + reach)
          continue;
      } else {
        const Vec3 square = cross({0, 0, 1}, one.direction);
        if (norm(square) < 1e-6) continue;
        one.square = unit(square);
        one.wanted = f.diameter / 2 + room.across / 8 + kCrossing;  // half of its own: four diameters across
        const double along = dot(gap, one.direction);
        if (std::abs(dot(gap, one.square)) >= one.wanted + reach || along + reach <= -one.wanted ||
            along - reach >= f.length + one.wanted)
          continue;
      }
      there.push_back(one);
    }
    ++timber;
  }
  return there;
}

/// How the room to those that are there is met: beside them as to the next of their own kind, across them clear of
/// them. Where that is no more than `least`, how much less does not matter.
double clear_of(const std::vector<There>& there, const std::vector<Timber>& timbers, const std::vector<Vec3>& points,
                const Room& room, double least) {
  double worst = 1;
  for (const There& f : there) {
    if (worst <= least) return worst;
    const Timber& t = timbers[f.timber];
    for (const Vec3& point : points) {
      const Vec3 gap = point + Vec3{0, 0, t.depth} - f.head;
      if (f.beside) {
        const double along = std::abs(dot(gap, t.grain)) / room.along,
                     across = std::abs(dot(gap, t.side)) / room.across;
        worst = std::min(worst, std::max(along, across));
        continue;
      }
      const double apart = std::abs(dot(gap, f.square)), reach = dot(gap, f.direction);
      if (reach > -f.wanted && reach < f.length + f.wanted) worst = std::min(worst, apart / f.wanted);
    }
  }
  return worst;
}

/// The worst distance beside what is wanted, 1 where all are met.
double met(const std::vector<Timber>& timbers, const std::vector<There>& there, const std::vector<Vec3>& points,
           const Room& room, double least) {
  double worst = clear_of(there, timbers, points, room, least);
  if (worst <= least) return worst;
  for (const Timber& t : timbers) {
    const double first = t.end_grain ? room.edge : room.end;
    for (std::size_t i = 0; i < points.size(); ++i) {
      const std::array<double, 4> out = t.out(points[i] + Vec3{0, 0, t.depth});
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

namespace {

/// All that a layout follows from, in the patch's frame.
struct Setting {
  PatchAxes face;
  std::vector<Timber> timbers;
  std::vector<There> there;
  Room room;
  int count = 1;
};

/// The rows that are taken, as parts of the patch, and how far their distances are met.
struct Taken {
  Rows rows;  ///< margins and shifts beyond the usual ones are parts of the patch's extent
  bool usual = true;
  double met = 1;
};

/// Rows in mm of a patch so wide and high.
Rows usual_rows(int count, double wide, double high) {
  const bool two_rows = count >= 4 && high >= kTwoRows;
  return {two_rows ? (count + 1) / 2 : count, two_rows ? 2 : 1, std::min(kEdge, 0.25 * wide),
          std::min(kEdge, 0.25 * high)};
}
Rows in_mm(Rows parts, double wide, double high) {
  parts.margin_a *= wide, parts.shift_a *= wide;
  parts.margin_b *= high, parts.shift_b *= high;
  return parts;
}

Taken best_rows(const Setting& setting) {
  const PatchAxes& f = setting.face;
  const Room& room = setting.room;
  const int count = setting.count;
  std::vector<Vec3> points;
  places(f, count, usual_rows(count, f.wide(), f.high()), points);
  Taken best;
  best.met = met(setting.timbers, setting.there, points, room, -1);
  // Looked through in one order, the usual places first, and left only for what is clearly better.
  const double enough = most_met(setting.timbers, room) + 1e-9 - kBetter;  // 1e-9: rounding
  const auto look = [&](const Rows& parts) {
    if (best.met >= 1 || best.met >= enough) return;
    places(f, count, in_mm(parts, f.wide(), f.high()), points);
    const double at = met(setting.timbers, setting.there, points, room, best.met + kBetter);
    if (at > best.met + kBetter) best = {parts, false, at};
  };
  constexpr double kMargins[] = {0.1, 0.18, 0.25, 0.32, 0.4};
  constexpr double kShifts[] = {0, -0.08, 0.08, -0.15, 0.15, -0.3, 0.3};
  for (const double shift : kShifts) {
    if (count == 1) {
      for (const double other : kShifts) look({1, 1, 0, 0, other, shift});
      continue;
    }
    for (const double margin : kMargins) {
      look({count, 1, margin, 0, 0, shift});
      if (count <= 3) look({1, count, 0, margin, shift, 0});
    }
  }
  if (count > 1 && count <= 8)
    for (const double a : kMargins)
      for (const double b : kMargins)
        for (const bool mirrored : {false, true}) look({count == 2 ? 2 : (count + 1) / 2, 2, a, b, 0, 0, mirrored});
  return best;
}

DigestKey key_of(const Setting& setting) {
  Digest digest;
  const Room& r = setting.room;
  digest << setting.count << r.end << r.edge << r.along << r.across << setting.face.edges.size();
  for (const PatchAxes::Edge& edge : setting.face.edges) digest << edge.corner;
  digest << setting.timbers.size();
  for (const Timber& t : setting.timbers) {
    digest << t.grain << t.side << t.along << t.depth << t.end_grain << t.sides.size();
    for (const Timber::Side& side : t.sides) digest << side.plane.normal << side.plane.offset;
  }
  digest << most_met(setting.timbers, setting.room) << setting.there.size();
  for (const There& f : setting.there) digest << f.head << f.direction << f.length << f.timber << f.wanted;
  return digest.key();
}

/// Layouts by what they follow from: most joints of a structure are like others, and most stay as they are when a
/// choice is changed. Threads share it.
class KnownLayouts {
 public:
  Taken of(const Setting& setting) {
    const DigestKey key = key_of(setting);
    {
      const std::lock_guard lock(mutex_);
      if (const auto at = known_.find(key); at != known_.end()) return at->second;
    }
    const Taken made = best_rows(setting);
    const std::lock_guard lock(mutex_);
    if (known_.size() >= kMost) known_.clear();
    known_.emplace(key, made);
    return made;
  }

 private:
  static constexpr std::size_t kMost = 20'000;  // some MB
  std::mutex mutex_;
  std::map<DigestKey, Taken> known_;
};

KnownLayouts& known_layouts() {
  static KnownLayouts known;
  return known;
}

}  // namespace

Layout lay_out(const Structure& s, FixingsByBody& set, const std::vector<Body>& chain, const Polygon& patch,
               Vec3 direction, int count, double every, const Room& room) {
  const PatchAxes f = face_of(patch, direction);
  if (every > 0) count = std::max(count, static_cast<int>(std::ceil((f.wide() - 2 * kEdge) / every)) + 1);
  const Frame frame{f.middle, f.along, f.across, direction};
  Setting setting{seen_in(patch, frame), {}, {}, room, count};
  const double reach = setting.face.reach();
  setting.timbers = timbers_of(s, chain, frame, reach, room);
  // A long row is where it is: it would be asked too often.
  if (count <= kFewEnough) setting.there = there_already(s, set, chain, frame, setting.timbers, reach, room);
  const Taken taken = known_layouts().of(setting);
  Layout layout{{}, taken.met};
  places(f, count, taken.usual ? usual_rows(count, f.wide(), f.high()) : in_mm(taken.rows, f.wide(), f.high()),
         layout.places);
  return layout;
}

}  // namespace garthwright
