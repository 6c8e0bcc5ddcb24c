// SPDX-License-Identifier: Apache-2.0
#include "solid/machined.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace garthwright::solid {
namespace {

constexpr double kFlush = 1e-6;  // mm: a cut that comes this near a face goes through it
constexpr double kMargin = 1.0;  // mm that open cuts reach past the blank, so that no two faces coincide
constexpr double kRadiusSlack = 0.01;

bool finite(Vec3 v) { return std::isfinite(v.x) && std::isfinite(v.y) && std::isfinite(v.z); }

class Bench {
 public:
  Bench(const Piece& piece, const std::string& who) : piece_(piece), who_(who) { made_.blank = piece.blank(); }
  Machined run();

 private:
  void say(const char* code, std::string what, std::string cure) {
    made_.diagnostics.push_back({Severity::error, code, std::move(what), std::move(cure), {{}, 0, 0, who_}});
  }
  void take(const EndCut& cut);
  void take(const ShapedEnd& end);
  void take(const Notch& notch);
  void take(const Hole& hole);
  bool runs_through(const Box& notch, int axis) const {
    return notch.min[axis] <= made_.blank.min[axis] + kFlush && notch.max[axis] >= made_.blank.max[axis] - kFlush;
  }
  void take_dip(const Notch& notch, const Box& inside);
  int choose_axis() const;
  void saw_plate();
  void cut_parts();

  const Piece& piece_;
  const std::string& who_;
  std::vector<Plane> cuts_;
  std::vector<Box> notches_;
  std::vector<SawPath> paths_;
  std::vector<Dip> dips_;
  Machined made_;
};

void Bench::take(const EndCut& cut) {
  if (!finite(cut.point) || !finite(cut.normal) || norm(cut.normal) < 1e-9) {
    say("bad-cut", "an end cut has no direction", "give the plane a point and a normal towards the waste");
    return;
  }
  const Vec3 normal = unit(cut.normal);
  cuts_.push_back({normal, dot(normal, cut.point)});
}

OutlineEdge straight(Point2 from, Point2 to) {
  OutlineEdge e;
  e.from = from;
  e.to = to;
  return e;
}

// Angles so that the arc turns the way it says, by at most a whole turn.
OutlineEdge arc(Point2 from, Point2 to, Point2 centre, bool clockwise) {
  OutlineEdge e = straight(from, to);
  e.kind = OutlineEdge::Kind::arc;
  e.centre = centre;
  e.radius = norm(from - centre);
  e.from_angle = std::atan2(from.q - centre.q, from.p - centre.p);
  e.to_angle = std::atan2(to.q - centre.q, to.p - centre.p);
  if (clockwise && e.to_angle > e.from_angle) e.to_angle -= 2 * std::numbers::pi;
  if (!clockwise && e.to_angle < e.from_angle) e.to_angle += 2 * std::numbers::pi;
  return e;
}

void Bench::take(const ShapedEnd& end) {
  SawPath path;
  path.towards_high_p = end.end == End::finish;
  Point2 at{end.start_x, end.start_y};
  for (const Stroke& s : end.strokes) {
    const Point2 to{s.x, s.y}, centre{s.centre_x, s.centre_y};
    OutlineEdge edge = straight(at, to);
    if (s.kind == Stroke::Kind::arc) {
      const double off = std::abs(norm(at - centre) - norm(to - centre));
      if (!(off <= kRadiusSlack) || norm(at - centre) < kFlush) {
        say("bad-shape",
            fmt::format("an arc of shaped end {} begins {:.3f} mm and ends {:.3f} mm from its centre", end.profile,
                        norm(at - centre), norm(to - centre)),
            "both must be its radius");
        return;
      }
      if (norm(to - at) > kFlush) edge = arc(at, to, centre, s.clockwise);
    }
    if (s.kind == Stroke::Kind::cubic) {
      edge.kind = OutlineEdge::Kind::cubic;
      edge.handle1 = {s.c1x, s.c1y};
      edge.handle2 = {s.c2x, s.c2y};
    }
    const bool sound = std::isfinite(at.p + at.q + to.p + to.q + s.c1x + s.c1y + s.c2x + s.c2y);
    if (!sound) {
      say("bad-shape", fmt::format("shaped end {} has a point that is no number", end.profile),
          "give it finite points");
      return;
    }
    if (norm(to - at) > kFlush) path.strokes.push_back(edge);
    at = to;
  }
  const double width = made_.blank.max.y;
  const double first = path.strokes.empty() ? 0 : path.strokes.front().from.q, last = at.q;
  if (path.strokes.empty() || std::min(first, last) > 0.01 || std::max(first, last) < width - 0.01) {
    say("bad-shape",
        fmt::format("the path of shaped end {} runs from {:.2f} mm to {:.2f} mm across a timber {:.2f} mm wide",
                    end.profile, first, last, width),
        "run it from one edge to the other");
    if (path.strokes.empty()) return;
  }
  double nearest = at.p, farthest = at.p;
  for (const OutlineEdge& e : path.strokes) {
    nearest = std::min(nearest, e.from.p);
    farthest = std::max(farthest, e.from.p);
  }
  if (path.towards_high_p ? nearest < -kFlush : farthest > made_.blank.max.x + kFlush) {
    say("bad-shape", fmt::format("shaped end {} is longer than the timber", end.profile), "make it shorter");
  }
  paths_.push_back(std::move(path));
}

void Bench::take(const Notch& notch) {
  if (!finite(notch.region.min) || !finite(notch.region.max)) {
    say("bad-notch", "a notch has a side that is no number", "give it finite sides");
    return;
  }
  const Box inside = intersection(notch.region, made_.blank);
  const Vec3 size = inside.size();
  if (size.x <= kFlush || size.y <= kFlush || size.z <= kFlush) {
    say("bad-notch",
        fmt::format("a notch from {:.2f} mm to {:.2f} mm takes nothing off the timber", notch.region.min.x,
                    notch.region.max.x),
        "let it reach into the timber, with length, width and depth above zero");
    return;
  }
  if (is_through_thickness(notch)) return take_dip(notch, inside);
  notches_.push_back(inside);
}

void Bench::take_dip(const Notch& notch, const Box& inside) {
  Dip dip;
  dip.at_high_q = notch.opens_on == Face::edge_high;
  const double edge = dip.at_high_q ? made_.blank.max.y : 0, depth = dip.at_high_q ? inside.min.y : inside.max.y;
  const Point2 from{notch.region.min.x, edge}, to{notch.region.max.x, edge};
  if (notch.kind == Notch::Kind::hollow) {
    const double radius = radius_of(notch);
    const Point2 centre{(from.p + to.p) / 2, depth + (dip.at_high_q ? radius : -radius)};
    dip.strokes.push_back(arc(from, to, centre, !dip.at_high_q));
  } else {
    const Point2 corner{notch.corner, depth};
    dip.strokes = {straight(from, corner), straight(corner, to)};
  }
  dips_.push_back(std::move(dip));
}

void Bench::take(const Hole& hole) {
  if (!is_modelled(hole.kind)) return;
  const bool sound = finite(hole.entry) && finite(hole.direction) && std::abs(norm(hole.direction) - 1) < 1e-6 &&
                     std::isfinite(hole.diameter) && hole.diameter > 0 && hole.diameter < 1e4 &&
                     (hole.through || (std::isfinite(hole.depth) && hole.depth > 0));
  if (!sound) {
    say("bad-hole", fmt::format("a hole of {:.2f} mm has no direction, size or depth", hole.diameter),
        "give it a unit direction and a diameter and depth above zero");
    return;
  }
  Bore bore{hole.entry, hole.direction, hole.diameter / 2, std::min(hole.depth, 1e5)};
  if (hole.through) {
    // To the far corner of the blank and a diameter more, for a hole that leaves it askew.
    bore.length = 0;
    for (int corner = 0; corner < 8; ++corner) {
      const Vec3 c{corner & 1 ? made_.blank.max.x : 0, corner & 2 ? made_.blank.max.y : 0,
                   corner & 4 ? made_.blank.max.z : 0};
      bore.length = std::max(bore.length, dot(c - hole.entry, hole.direction));
    }
    bore.length += hole.diameter;
  }
  made_.bores.push_back(bore);
}

int Bench::choose_axis() const {
  if (!paths_.empty() || !dips_.empty()) return 2;
  int best = 2, most = -1;
  for (int axis : {2, 1, 0}) {
    int count = 0;
    for (const Box& notch : notches_) count += runs_through(notch, axis) ? 1 : 0;
    for (const Plane& cut : cuts_) count += std::abs(cut.normal[axis]) < 1e-12 ? 1 : 0;
    if (count > most) {
      most = count;
      best = axis;
    }
  }
  return best;
}

// An open side of a notch reaches past the blank.
Box opened(Box notch, const Box& blank) {
  for (int axis = 0; axis < 3; ++axis) {
    if (notch.min[axis] <= blank.min[axis] + kFlush) notch.min[axis] = blank.min[axis] - kMargin;
    if (notch.max[axis] >= blank.max[axis] - kFlush) notch.max[axis] = blank.max[axis] + kMargin;
  }
  return notch;
}

void Bench::saw_plate() {
  made_.through = choose_axis();
  const int p = made_.p_axis(), q = made_.q_axis(), d = made_.through;
  Plate plate{made_.blank.max[p], made_.blank.max[q], {}, {}, std::move(paths_), std::move(dips_)};
  for (const Box& notch : notches_) {
    const Box open = opened(notch, made_.blank);
    if (runs_through(notch, d)) {
      plate.notches.push_back({{open.min[p], open.min[q]}, {open.max[p], open.max[q]}});
    } else {
      made_.notches.push_back(open);
    }
  }
  for (const Plane& cut : cuts_) {
    if (std::abs(cut.normal[d]) < 1e-12) {
      const Vec3 point = cut.offset * cut.normal;
      plate.cuts.push_back({{point[p], point[q]}, {cut.normal[p], cut.normal[q]}});
    } else {
      made_.cuts.push_back(cut);
    }
  }
  made_.plate = saw(plate, kChord);
}

void Bench::cut_parts() {
  for (const ConvexPolygon& polygon : made_.plate.convex) made_.parts.push_back(extruded(made_, polygon));
  for (const Box& notch : made_.notches) {
    const std::vector<Plane> waste = planes_of(notch);
    std::vector<ConvexPart> kept;
    for (ConvexPart& part : made_.parts) {
      if (!overlaps(part.box, notch, 0)) {
        kept.push_back(std::move(part));
        continue;
      }
      std::vector<ConvexPart> rest = without(part, waste);
      const bool whole = rest.size() == 1 && std::abs(volume(rest.front()) - volume(part)) < 1e-6;
      made_.curve_cut = made_.curve_cut || (part.curved && !whole);
      for (ConvexPart& one : rest) kept.push_back(std::move(one));
    }
    made_.parts = std::move(kept);
  }
  for (const Plane& cut : made_.cuts) {
    std::vector<ConvexPart> kept;
    for (const ConvexPart& part : made_.parts) {
      auto rest = clipped(part, cut);
      const bool whole = rest && std::abs(volume(*rest) - volume(part)) < 1e-6;
      made_.curve_cut = made_.curve_cut || (part.curved && !whole);
      if (rest) kept.push_back(std::move(*rest));
    }
    made_.parts = std::move(kept);
  }
}

Machined Bench::run() {
  const Vec3 size = made_.blank.size();
  if (!finite(size) || size.x <= 2 * kFlush || size.y <= 2 * kFlush || size.z <= 2 * kFlush ||
      std::max({size.x, size.y, size.z}) > 1e6) {
    say("no-size", fmt::format("its blank is {:g} x {:g} x {:g} mm", size.x, size.y, size.z),
        "every side must be above zero, and below a kilometre");
    return std::move(made_);
  }
  for (const Machining& m : piece_.machining) {
    std::visit([&](const auto& one) { take(one); }, m);
  }
  saw_plate();
  cut_parts();
  made_.bodies = count_bodies(made_.parts);
  if (made_.parts.empty()) {
    say("nothing-left", "its machining leaves no timber", "look at its end cuts and notches");
  } else if (made_.bodies > 1) {
    say("cut-apart", fmt::format("its machining cuts it into {} separate bodies", made_.bodies),
        "no notch may be as deep as the timber");
  }
  return std::move(made_);
}

}  // namespace

Vec3 Machined::point(Point2 at, double depth) const {
  Vec3 v;
  v[p_axis()] = at.p;
  v[q_axis()] = at.q;
  v[through] = depth;
  return v;
}

Machined machined(const Piece& piece, const std::string& who) { return Bench(piece, who).run(); }

Machined uncut(const Box& blank, const std::string& who) {
  Piece plain;
  plain.length = blank.size().x;
  plain.width = blank.size().y;
  plain.thickness = blank.size().z;
  return machined(plain, who);
}

bool is_modelled(Hole::Kind kind) {
  return kind == Hole::Kind::bolt || kind == Hole::Kind::counterbore || kind == Hole::Kind::drain;
}

ConvexPart extruded(const Machined& made, const ConvexPolygon& polygon) {
  const int n = static_cast<int>(polygon.points.size());
  std::vector<Vec3> vertices;
  for (double depth : {made.blank.min[made.through], made.blank.max[made.through]}) {
    for (const Point2& point : polygon.points) vertices.push_back(made.point(point, depth));
  }
  std::vector<int> bottom, top;
  std::vector<std::vector<int>> faces;
  for (int k = 0; k < n; ++k) {
    const int next = (k + 1) % n;
    bottom.push_back(n - 1 - k);
    top.push_back(n + k);
    faces.push_back({k, next, n + next, n + k});
  }
  faces.push_back(std::move(bottom));
  faces.push_back(std::move(top));
  return convex_part(std::move(vertices), std::move(faces), polygon.curved);
}

std::vector<Plane> planes_of(const Box& box) {
  return {{{1, 0, 0}, box.max.x},   {{-1, 0, 0}, -box.min.x}, {{0, 1, 0}, box.max.y},
          {{0, -1, 0}, -box.min.y}, {{0, 0, 1}, box.max.z},   {{0, 0, -1}, -box.min.z}};
}

}  // namespace garthwright::solid
