// SPDX-License-Identifier: Apache-2.0
#include "solid/closed_form.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace garthwright::solid {
namespace {

struct Sum {
  double volume = 0;
  Vec3 moment;

  void add(double sign, const ConvexPart& part) {
    volume += sign * garthwright::volume(part);
    moment = moment + sign * first_moment(part);
  }
};

int axis_of(Vec3 way) {
  for (int axis = 0; axis < 3; ++axis) {
    if (std::abs(way[axis]) > 1 - 1e-12) return axis;
  }
  return -1;
}

Box square_around(const Bore& bore) {
  const Vec3 end = bore.entry + bore.length * bore.way;
  Box box = enclosing({bore.entry, bore.entry}, {end, end});
  const int axis = axis_of(bore.way);
  for (int k = 0; k < 3; ++k) {
    if (k == axis) continue;
    box.min[k] = bore.entry[k] - bore.radius;
    box.max[k] = bore.entry[k] + bore.radius;
  }
  return box;
}

bool coaxial(const Bore& a, const Bore& b) {
  return std::abs(dot(a.way, b.way)) > 1 - 1e-12 && norm(cross(b.entry - a.entry, a.way)) < 1e-6;
}

// What a bore takes beyond the wider ones about the same axis: its stretches along the way of `bore`.
std::vector<Bore> beyond(const Bore& bore, const std::vector<Bore>& wider) {
  std::vector<Bore> rest{bore};
  for (const Bore& w : wider) {
    if (!coaxial(bore, w)) continue;
    const double at = dot(w.entry - bore.entry, bore.way), end = at + dot(w.way, bore.way) * w.length;
    const double low = std::min(at, end), high = std::max(at, end);
    std::vector<Bore> kept;
    for (const Bore& r : rest) {
      const double from = dot(r.entry - bore.entry, bore.way), to = from + r.length;
      const auto keep = [&](double a, double b) {
        if (b - a > 1e-9) kept.push_back({bore.entry + a * bore.way, bore.way, bore.radius, b - a});
      };
      keep(from, std::min(to, low));
      keep(std::max(from, high), to);
    }
    rest = std::move(kept);
  }
  return rest;
}

std::optional<Sum> bored_away(const Machined& machined) {
  std::vector<Bore> bores = machined.bores;
  std::stable_sort(bores.begin(), bores.end(), [](const Bore& a, const Bore& b) { return a.radius > b.radius; });
  for (std::size_t i = 0; i < bores.size(); ++i) {
    if (axis_of(bores[i].way) < 0) return std::nullopt;
    for (std::size_t j = 0; j < i; ++j) {
      if (!coaxial(bores[i], bores[j]) && overlaps(square_around(bores[i]), square_around(bores[j]), 0)) {
        return std::nullopt;
      }
    }
  }
  Sum away;
  for (std::size_t i = 0; i < bores.size(); ++i) {
    const std::vector<Bore> wider(bores.begin(), bores.begin() + static_cast<std::ptrdiff_t>(i));
    for (const Bore& stretch : beyond(bores[i], wider)) {
      const auto bore = clean(machined, stretch);
      if (!bore) return std::nullopt;
      const double volume = std::numbers::pi * stretch.radius * stretch.radius * bore->length;
      away.volume += volume;
      away.moment = away.moment + volume * bore->centre;
    }
  }
  return away;
}

}  // namespace

std::optional<CleanBore> clean(const Machined& machined, const Bore& bore) {
  const int axis = axis_of(bore.way);
  if (axis < 0) return std::nullopt;
  const Box square = square_around(bore);
  if (!(square.size()[axis] > 0)) return std::nullopt;
  const ConvexPart around = box_part(square);
  Sum timber;
  double line = 0;
  for (const ConvexPart& part : machined.parts) {
    if (!overlaps(part.box, square, 0)) continue;
    const auto shared = common(part, around);
    if (!shared) continue;
    timber.add(1, *shared);
    // How much of the bore's axis the part holds.
    double low = square.min[axis], high = square.max[axis];
    Vec3 on_axis = bore.entry;
    on_axis[axis] = 0;
    for (const Plane& plane : part.planes) {
      const double slope = plane.normal[axis], height = height_above(plane, on_axis);
      if (std::abs(slope) < 1e-12) {
        if (height > 1e-9) high = low;
      } else if (slope > 0) {
        high = std::min(high, -height / slope);
      } else {
        low = std::max(low, -height / slope);
      }
    }
    line += std::max(0.0, high - low);
  }
  const double full = 4 * bore.radius * bore.radius * line;
  if (std::abs(timber.volume - full) > 1e-6 * std::max(1.0, full)) return std::nullopt;
  if (timber.volume <= 0) return CleanBore{0, bore.entry};
  return CleanBore{line, (1 / timber.volume) * timber.moment};
}

std::optional<Measures> closed_form(const Machined& machined) {
  if (machined.parts.empty()) return Measures{};
  if (machined.curve_cut) return std::nullopt;
  const AreaMoments face = moments(machined.plate.outline);
  const double depth = machined.blank.size()[machined.through];
  Sum sum;
  sum.volume = face.area * depth;
  sum.moment = depth * machined.point({face.first_p, face.first_q}, 0);
  sum.moment[machined.through] = face.area * depth * machined.blank.centre()[machined.through];
  if (!machined.prism()) {
    for (const ConvexPolygon& polygon : machined.plate.convex) {
      if (!polygon.curved) sum.add(-1, extruded(machined, polygon));
    }
    for (const ConvexPart& part : machined.parts) {
      if (!part.curved) sum.add(1, part);
    }
  }
  const auto away = bored_away(machined);
  if (!away) return std::nullopt;
  sum.volume -= away->volume;
  sum.moment = sum.moment - away->moment;
  if (!(sum.volume > 0)) return Measures{};
  return Measures{sum.volume, (1 / sum.volume) * sum.moment};
}

}  // namespace garthwright::solid
