// SPDX-License-Identifier: Apache-2.0
#include "structure/touch.h"

#include <limits>
#include <utility>

namespace garthwright {
namespace {

constexpr double kTouching = 0.01;  // mm
constexpr double kLeastArea = 1.0;  // mm²

struct HalfSpace {
  Vec3 point, normal;  // local; material lies against the normal
};

/// The six sides of the blank and the end cuts, in the body's coordinates.
std::vector<HalfSpace> bounds(const Structure& structure, Body body) {
  const Box box = blank_of(structure, body);
  std::vector<HalfSpace> sides;
  sides.reserve(8);  // with an end cut at each end
  sides.assign({{box.min, {-1, 0, 0}},
                {box.max, {1, 0, 0}},
                {box.min, {0, -1, 0}},
                {box.max, {0, 1, 0}},
                {box.min, {0, 0, -1}},
                {box.max, {0, 0, 1}}});
  if (body.kind == Body::Kind::piece)
    for (const Machining& machining : structure[PieceId{body.index}].machining)
      if (const auto* cut = std::get_if<EndCut>(&machining)) sides.push_back({cut->point, unit(cut->normal)});
  return sides;
}

/// A square on the plane, far larger than any timber, to be clipped by the other sides.
Polygon wide_square(const HalfSpace& side) {
  constexpr double kFar = 1e6;
  const Vec3 n = side.normal;
  const Vec3 across = std::abs(n.x) < 0.6 ? Vec3{1, 0, 0} : Vec3{0, 1, 0};
  const Vec3 u = unit(cross(across, n)), v = cross(n, u);
  const Vec3 p = side.point;
  return {p - kFar * u - kFar * v, p + kFar * u - kFar * v, p + kFar * u + kFar * v, p - kFar * u + kFar * v};
}

/// The outline of one side in world coordinates, as far as the others leave it.
Polygon outline_of(const std::vector<HalfSpace>& sides, std::size_t i, const Frame& frame) {
  Polygon outline = wide_square(sides[i]), kept;
  for (std::size_t j = 0; j < sides.size() && !outline.empty(); ++j) {
    if (j == i) continue;
    clip_into(outline, sides[j].point, sides[j].normal, kept);
    std::swap(outline, kept);
  }
  for (Vec3& corner : outline) corner = frame.to_world(corner);
  return outline;
}

/// The sides of a body in the world, their outlines made only when asked for: of two bodies' sides few lie together.
class Sides {
 public:
  Sides(const Structure& structure, Body body) : frame_(frame_of(structure, body)), local_(bounds(structure, body)) {
    world_.reserve(local_.size());
    for (const HalfSpace& side : local_)
      world_.push_back({frame_.to_world(side.point), frame_.direction_to_world(side.normal)});
    outlines_.resize(local_.size());
  }

  const std::vector<HalfSpace>& planes() const { return world_; }
  const Polygon& outline(std::size_t i) {
    if (!outlines_[i]) outlines_[i] = outline_of(local_, i, frame_);
    return *outlines_[i];
  }

 private:
  const Frame& frame_;
  std::vector<HalfSpace> local_, world_;
  std::vector<std::optional<Polygon>> outlines_;
};

}  // namespace

std::vector<FlatFace> flat_faces(const Structure& structure, Body body) {
  const Frame& frame = frame_of(structure, body);
  const std::vector<HalfSpace> sides = bounds(structure, body);
  std::vector<FlatFace> faces;
  for (std::size_t i = 0; i < sides.size(); ++i) {
    Polygon outline = outline_of(sides, i, frame);
    if (area(outline) >= kLeastArea) faces.push_back({std::move(outline), frame.direction_to_world(sides[i].normal)});
  }
  return faces;
}

std::optional<FlatFace> flat_face(const Structure& structure, Body body, std::size_t side) {
  const Frame& frame = frame_of(structure, body);
  const std::vector<HalfSpace> sides = bounds(structure, body);
  Polygon outline = outline_of(sides, side, frame);
  if (area(outline) < kLeastArea) return std::nullopt;
  return FlatFace{std::move(outline), frame.direction_to_world(sides[side].normal)};
}

std::optional<Touch> touch(const Structure& structure, Body a, Body b) {
  const Box box_a = world_box(structure, a), box_b = world_box(structure, b);
  const Vec3 gap = intersection(box_a, box_b).size();
  if (gap.x < -kTouching || gap.y < -kTouching || gap.z < -kTouching) return std::nullopt;
  std::optional<Touch> best;
  double best_area = kLeastArea;
  Sides sides_a(structure, a), sides_b(structure, b);
  for (std::size_t i = 0; i < sides_a.planes().size(); ++i) {
    const HalfSpace& plane_a = sides_a.planes()[i];
    for (std::size_t j = 0; j < sides_b.planes().size(); ++j) {
      const HalfSpace& plane_b = sides_b.planes()[j];
      if (dot(plane_a.normal, plane_b.normal) > -1 + 1e-9) continue;
      if (std::abs(dot(plane_b.point - plane_a.point, plane_a.normal)) > kTouching) continue;
      const Polygon &face_a = sides_a.outline(i), &face_b = sides_b.outline(j);
      if (area(face_a) < kLeastArea || area(face_b) < kLeastArea) continue;
      Polygon patch = common(face_a, face_b, plane_a.normal);
      const double patch_area = area(patch);
      if (patch_area <= best_area) continue;
      best_area = patch_area;
      best = Touch{std::move(patch), plane_a.normal};
    }
  }
  return best;
}

WayOut::WayOut(const Structure& structure, Body body) : frame_(frame_of(structure, body)) {
  for (const HalfSpace& side : bounds(structure, body)) sides_.push_back({side.point, side.normal});
}

double WayOut::operator()(Vec3 point, Vec3 direction) const {
  const Vec3 p = frame_.to_local(point), d = frame_.direction_to_local(direction);
  double nearest = std::numeric_limits<double>::infinity();
  for (const Plane& side : sides_) {
    const double height = dot(p - side.point, side.normal), rate = dot(d, side.normal);
    if (height > kTouching) return -1;
    if (rate > 1e-12) nearest = std::min(nearest, std::max(0.0, -height) / rate);
  }
  return nearest;
}

std::vector<WayOut::Side> WayOut::seen_from(const Frame& frame) const {
  std::vector<Side> seen;
  seen.reserve(sides_.size());
  for (const Plane& side : sides_) {
    const Vec3 normal = frame.direction_to_local(frame_.direction_to_world(side.normal));
    seen.push_back({normal, dot(frame.to_local(frame_.to_world(side.point)), normal)});
  }
  return seen;
}

double way_out(const Structure& structure, Body body, Vec3 point, Vec3 direction) {
  return WayOut(structure, body)(point, direction);
}

}  // namespace garthwright
