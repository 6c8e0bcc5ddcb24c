// SPDX-License-Identifier: Apache-2.0
#include "structure/profile.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/near.h"

namespace garthwright {
namespace {

// Strokes in the unit square, drawn from the nose (0, 1) to the underside (1, 0).
Stroke line(double u, double v) {
  Stroke s;
  s.x = u, s.y = v;
  return s;
}
Stroke arc(double u, double v, double centre_u, double centre_v, bool clockwise) {
  Stroke s = line(u, v);
  s.kind = Stroke::Kind::arc;
  s.centre_x = centre_u, s.centre_y = centre_v, s.clockwise = clockwise;
  return s;
}
Stroke cubic(std::array<double, 2> c1, std::array<double, 2> c2, std::array<double, 2> to) {
  Stroke s = line(to[0], to[1]);
  s.kind = Stroke::Kind::cubic;
  s.c1x = c1[0], s.c1y = c1[1], s.c2x = c2[0], s.c2y = c2[1];
  return s;
}

/// Quadrants struck with compasses; the ogee is the quick cyma recta of two quadrants, hollow at the tip.
std::vector<Stroke> unit_strokes(const Profile& profile) {
  if (profile.name == "bevel") return {line(1, 0)};
  if (profile.name == "quarter round") return {arc(1, 0, 1, 1, false)};
  if (profile.name == "cove") return {arc(1, 0, 0, 0, true)};
  if (profile.name == "ogee") return {arc(0.5, 0.5, 0, 0.5, true), arc(1, 0, 1, 0.5, false)};
  std::vector<Stroke> strokes;
  for (std::size_t i = 1; i + 2 < profile.points.size(); i += 3)
    strokes.push_back(cubic(profile.points[i], profile.points[i + 1], profile.points[i + 2]));
  return strokes;
}

}  // namespace

const std::vector<std::string>& profile_names() {
  static const std::vector<std::string> kNames{"square", "bevel", "quarter round", "cove", "ogee"};
  return kNames;
}

Result<Profile> named_profile(std::string_view name) {
  const auto& known = profile_names();
  if (std::find(known.begin(), known.end(), name) == known.end())
    return fail("unknown-profile", fmt::format("there is no end shape \"{}\"", name), suggest(name, known));
  return Profile{std::string(name), {}};
}

Result<Profile> free_profile(std::vector<std::array<double, 2>> points) {
  const std::string wanted =
      "give 4, 7, 10 … points x, y from [0, 1] at the tip to [1, 0] at the underside, all from 0 to 1";
  if (points.size() < 4 || points.size() % 3 != 1 || points.size() > 301)
    return fail("bad-curve", fmt::format("a drawn end shape has {} points", points.size()), wanted);
  for (const auto& [u, v] : points)
    if (!(u >= 0 && u <= 1 && v >= 0 && v <= 1))
      return fail("bad-curve", fmt::format("the point [{:g}, {:g}] lies outside the section", u, v), wanted);
  if (points.front() != std::array<double, 2>{0, 1} || points.back() != std::array<double, 2>{1, 0})
    return fail("bad-curve", "a drawn end shape does not run from the tip to the underside", wanted);
  return Profile{"free", std::move(points)};
}

double nose_height(double width_mm) { return std::min(0.5 * width_mm, std::max(20.0, 0.25 * width_mm)); }

ShapedEnd shaped_end(const Profile& profile, End end, double length_mm, double width_mm, bool under_high) {
  const double size = width_mm - nose_height(width_mm);
  const bool at_finish = end == End::finish;
  const auto x = [&](double u) { return at_finish ? length_mm - u * size : u * size; };
  const auto y = [&](double v) { return under_high ? width_mm - v * size : v * size; };

  // From the far edge down the end of the timber to the nose, then along the shape to the underside.
  ShapedEnd shape{end, profile.name, x(0), under_high ? 0 : width_mm, {}};
  shape.strokes.push_back(line(x(0), y(1)));
  for (Stroke s : unit_strokes(profile)) {
    s.x = x(s.x), s.y = y(s.y);
    s.centre_x = x(s.centre_x), s.centre_y = y(s.centre_y);
    s.c1x = x(s.c1x), s.c1y = y(s.c1y), s.c2x = x(s.c2x), s.c2y = y(s.c2y);
    if (at_finish != under_high) s.clockwise = !s.clockwise;
    shape.strokes.push_back(s);
  }
  return under_high ? shape : walked_back(shape);
}

ShapedEnd walked_back(const ShapedEnd& shape) {
  if (shape.strokes.empty()) return shape;
  ShapedEnd back{shape.end, shape.profile, shape.strokes.back().x, shape.strokes.back().y, {}};
  for (std::size_t i = shape.strokes.size(); i-- > 0;) {
    Stroke s = shape.strokes[i];
    s.x = i == 0 ? shape.start_x : shape.strokes[i - 1].x;
    s.y = i == 0 ? shape.start_y : shape.strokes[i - 1].y;
    std::swap(s.c1x, s.c2x);
    std::swap(s.c1y, s.c2y);
    s.clockwise = !s.clockwise;
    back.strokes.push_back(s);
  }
  return back;
}

}  // namespace garthwright
