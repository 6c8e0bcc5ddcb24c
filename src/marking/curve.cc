// SPDX-License-Identifier: Apache-2.0
#include "marking/curve.h"

#include <algorithm>
#include <cmath>

namespace garthwright::marking {
namespace {

constexpr double kPi = 3.14159265358979323846;
constexpr int kSamples = 240;  // of a cubic, where its curvature is read

Spot operator+(Spot a, Spot b) { return {a.x + b.x, a.y + b.y}; }
Spot operator-(Spot a, Spot b) { return {a.x - b.x, a.y - b.y}; }
Spot operator*(double s, Spot a) { return {s * a.x, s * a.y}; }
double cross(Spot a, Spot b) { return a.x * b.y - a.y * b.x; }
double dot(Spot a, Spot b) { return a.x * b.x + a.y * b.y; }
double length(Spot a) { return std::hypot(a.x, a.y); }

Spot end_of(const Stroke& s) { return {s.x, s.y}; }
Spot centre_of(const Stroke& s) { return {s.centre_x, s.centre_y}; }

struct Cubic {
  Spot p0, p1, p2, p3;
  Spot at(double t) const {
    const double u = 1 - t;
    return (u * u * u) * p0 + (3 * u * u * t) * p1 + (3 * u * t * t) * p2 + (t * t * t) * p3;
  }
  Spot first(double t) const {
    const double u = 1 - t;
    return (3 * u * u) * (p1 - p0) + (6 * u * t) * (p2 - p1) + (3 * t * t) * (p3 - p2);
  }
  Spot second(double t) const { return (6 * (1 - t)) * (p2 - 2 * p1 + p0) + (6 * t) * (p3 - 2 * p2 + p1); }
};

Cubic cubic_of(Spot from, const Stroke& s) { return {from, {s.c1x, s.c1y}, {s.c2x, s.c2y}, end_of(s)}; }

double radius_of(Spot from, const Stroke& arc) { return length(from - centre_of(arc)); }

double sweep(Spot from, const Stroke& arc) {
  const Spot a = from - centre_of(arc), b = end_of(arc) - centre_of(arc);
  double turn = std::atan2(b.y, b.x) - std::atan2(a.y, a.x);
  if (arc.clockwise && turn >= 0) turn -= 2 * kPi;
  if (!arc.clockwise && turn <= 0) turn += 2 * kPi;
  return turn;
}

void add_arc(std::vector<Spot>& out, Spot from, const Stroke& s, double tolerance) {
  const double radius = radius_of(from, s), turn = sweep(from, s);
  const double begin = std::atan2(from.y - s.centre_y, from.x - s.centre_x);
  // A chord of angle a stands off its arc by r (1 - cos a/2).
  const double step = 2 * std::acos(std::clamp(1 - tolerance / std::max(radius, tolerance), -1.0, 1.0));
  const int count = std::clamp(static_cast<int>(std::ceil(std::abs(turn) / std::max(step, 1e-3))), 1, 4000);
  for (int i = 1; i < count; ++i) {
    const double a = begin + turn * i / count;
    out.push_back({s.centre_x + radius * std::cos(a), s.centre_y + radius * std::sin(a)});
  }
  out.push_back(end_of(s));
}

void add_cubic(std::vector<Spot>& out, const Cubic& c, double tolerance) {
  const double bend = std::max(length(c.p0 - 2 * c.p1 + c.p2), length(c.p1 - 2 * c.p2 + c.p3));
  const int count = std::clamp(static_cast<int>(std::ceil(std::sqrt(0.75 * bend / tolerance))), 1, 2000);
  for (int i = 1; i <= count; ++i) out.push_back(c.at(static_cast<double>(i) / count));
}

/// Signed curvature at places along one smooth run of strokes, 1/mm, anticlockwise positive.
struct Reading {
  Spot at;
  double curvature = 0;
};

/// Each stroke with where it begins.
template <class Visit>
void each_stroke(const ShapedEnd& path, Visit visit) {
  Spot from{path.start_x, path.start_y};
  for (const Stroke& s : path.strokes) {
    visit(from, s);
    from = end_of(s);
  }
}

std::vector<Reading> readings(Spot from, const Stroke& s) {
  std::vector<Reading> out;
  if (s.kind == Stroke::Kind::arc) {
    const double k = (s.clockwise ? -1 : 1) / std::max(radius_of(from, s), 1e-9);
    out = {{from, k}, {end_of(s), k}};
  } else if (s.kind == Stroke::Kind::cubic) {
    const Cubic c = cubic_of(from, s);
    for (int i = 0; i <= kSamples; ++i) {
      const double t = static_cast<double>(i) / kSamples;
      const Spot d = c.first(t);
      const double speed = length(d);
      // Where a handle has no length the curve has no direction of its own there: read beside it.
      if (speed < 1e-6 * (length(c.p3 - c.p0) + 1e-9)) continue;
      out.push_back({c.at(t), cross(d, c.second(t)) / (speed * speed * speed)});
    }
  }
  return out;
}

Spot direction(Spot from, const Stroke& s, bool at_end) {
  if (s.kind == Stroke::Kind::arc) {
    const Spot r = (at_end ? end_of(s) : from) - centre_of(s);
    return s.clockwise ? Spot{r.y, -r.x} : Spot{-r.y, r.x};
  }
  if (s.kind == Stroke::Kind::line) return end_of(s) - from;
  const Cubic c = cubic_of(from, s);
  for (const double t : {0.0, 0.01, 0.05}) {
    const Spot d = c.first(at_end ? 1 - t : t);
    if (length(d) > 1e-6) return d;
  }
  return end_of(s) - from;
}

/// Peaks of |curvature| that stand a tenth of the greatest above the valleys beside them, beyond the first of each
/// stretch of one sign.
void find_bumps(const std::vector<Reading>& run, std::vector<Unfair>& out) {
  double greatest = 0;
  for (const Reading& r : run) greatest = std::max(greatest, std::abs(r.curvature));
  const double matters = greatest / 10;
  if (greatest < 1e-9) return;
  int peaks = 0;
  double sign = 0, high = 0, low = 0;
  bool rising = true;
  for (const Reading& r : run) {
    const double k = std::abs(r.curvature);
    if (r.curvature * sign < 0 && k > matters) {  // past an inflection: a new stretch
      peaks = 0, high = low = 0, rising = true;
      sign = r.curvature;
    }
    if (sign == 0 && k > matters) sign = r.curvature;
    if (rising) {
      high = std::max(high, k);
      if (k < high - matters) rising = false, low = k, ++peaks;
    } else {
      low = std::min(low, k);
      if (k > low + matters) {
        rising = true, high = k;
        if (peaks >= 1) out.push_back({Unfair::Kind::bump, r.at, 0});
      }
    }
  }
}

Stroke flattened(Spot from, const Stroke& arc, double radius) {
  const Spot chord = end_of(arc) - from;
  const double half = length(chord) / 2;
  if (half < 1e-9 || half >= radius) return arc;
  const double off = std::sqrt(radius * radius - half * half);
  // The centre of a shallow anticlockwise arc lies left of its chord.
  const Spot left = (1 / (2 * half)) * Spot{-chord.y, chord.x};
  const Spot centre = from + 0.5 * chord + (arc.clockwise ? -off : off) * left;
  Stroke out = arc;
  out.centre_x = centre.x, out.centre_y = centre.y;
  return out;
}

/// The place, pressed towards the line from a to b by the part (0: onto it).
Spot pressed(Spot p, Spot a, Spot b, double part) {
  const Spot along = b - a;
  const double squared = dot(along, along);
  if (squared < 1e-12) return p;
  const Spot foot = a + (dot(p - a, along) / squared) * along;
  return foot + part * (p - foot);
}

/// A run of cubics from `first` to `last`, pressed until nothing in it bends more than the radius.
void press_run(ShapedEnd& path, std::size_t first, std::size_t last, double radius) {
  const Spot a = first == 0 ? Spot{path.start_x, path.start_y} : end_of(path.strokes[first - 1]);
  const Spot b = end_of(path.strokes[last]);
  const auto with = [&](double part) {
    ShapedEnd out{path.end, path.profile, a.x, a.y, {}};
    for (std::size_t i = first; i <= last; ++i) {
      Stroke s = path.strokes[i];
      const Spot c1 = pressed({s.c1x, s.c1y}, a, b, part), c2 = pressed({s.c2x, s.c2y}, a, b, part),
                 to = pressed(end_of(s), a, b, part);
      s.c1x = c1.x, s.c1y = c1.y, s.c2x = c2.x, s.c2y = c2.y, s.x = to.x, s.y = to.y;
      out.strokes.push_back(s);
    }
    return out;
  };
  const auto follows = [&](double part) {
    const auto bend = tightest_bend(with(part));
    return !bend || bend->radius_mm >= radius;
  };
  if (follows(1)) return;
  double low = 0, high = 1;
  for (int i = 0; i < 40; ++i) (follows((low + high) / 2) ? low : high) = (low + high) / 2;
  const ShapedEnd out = with(low);
  std::copy(out.strokes.begin(), out.strokes.end(), path.strokes.begin() + static_cast<std::ptrdiff_t>(first));
}

}  // namespace

std::vector<Spot> points_along(const ShapedEnd& path, double tolerance) {
  std::vector<Spot> out{{path.start_x, path.start_y}};
  each_stroke(path, [&](Spot from, const Stroke& s) {
    if (s.kind == Stroke::Kind::arc) add_arc(out, from, s, tolerance);
    if (s.kind == Stroke::Kind::cubic) add_cubic(out, cubic_of(from, s), tolerance);
    if (s.kind == Stroke::Kind::line) out.push_back(end_of(s));
  });
  return out;
}

std::optional<Bend> tightest_bend(const ShapedEnd& path) {
  std::optional<Bend> tightest;
  each_stroke(path, [&](Spot from, const Stroke& s) {
    for (const Reading& r : readings(from, s)) {
      if (std::abs(r.curvature) < 1e-6) continue;  // a kilometre: straight
      const double radius = 1 / std::abs(r.curvature);
      if (!tightest || radius < tightest->radius_mm) tightest = Bend{radius, r.at};
    }
  });
  return tightest;
}

std::vector<Unfair> unfair_places(const ShapedEnd& path) {
  constexpr double kKink = 2 * kPi / 180;
  std::vector<Unfair> out;
  std::vector<Reading> run;
  const Stroke* before = nullptr;
  Spot before_from;
  each_stroke(path, [&](Spot from, const Stroke& s) {
    const bool smooth = s.kind != Stroke::Kind::line;
    bool joins = false;
    if (smooth && before != nullptr && before->kind != Stroke::Kind::line) {
      const Spot a = direction(before_from, *before, true), b = direction(from, s, false);
      const double turn = std::abs(std::atan2(cross(a, b), dot(a, b)));
      joins = turn <= kKink;
      if (!joins) out.push_back({Unfair::Kind::kink, from, turn * 180 / kPi});
    }
    if (!joins) {
      find_bumps(run, out);
      run.clear();
    }
    if (smooth) {
      const std::vector<Reading> more = readings(from, s);
      run.insert(run.end(), more.begin(), more.end());
    }
    before = &s;
    before_from = from;
  });
  find_bumps(run, out);
  return out;
}

ShapedEnd eased(const ShapedEnd& path, double least_radius_mm) {
  ShapedEnd out = path;
  Spot from{path.start_x, path.start_y};
  for (std::size_t i = 0; i < out.strokes.size(); ++i) {
    Stroke& s = out.strokes[i];
    if (s.kind == Stroke::Kind::arc && radius_of(from, s) < least_radius_mm) s = flattened(from, s, least_radius_mm);
    if (s.kind == Stroke::Kind::cubic) {
      std::size_t last = i;
      while (last + 1 < out.strokes.size() && out.strokes[last + 1].kind == Stroke::Kind::cubic) ++last;
      press_run(out, i, last, least_radius_mm);
      i = last;
    }
    from = end_of(out.strokes[i]);
  }
  return out;
}

double departure(const ShapedEnd& path, const ShapedEnd& other) {
  const std::vector<Spot> line = points_along(other, 0.01);
  double farthest = 0;
  for (const Spot p : points_along(path, 0.01)) {
    double nearest = 1e12;
    for (std::size_t i = 0; i + 1 < line.size(); ++i) {
      const Spot d = line[i + 1] - line[i];
      const double squared = dot(d, d);
      const double t = squared > 0 ? std::clamp(dot(p - line[i], d) / squared, 0.0, 1.0) : 0;
      nearest = std::min(nearest, length(p - line[i] - t * d));
    }
    farthest = std::max(farthest, nearest);
  }
  return farthest;
}

}  // namespace garthwright::marking
