// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <vector>

#include "structure/polygon.h"
#include "structure/structure.h"

namespace garthwright {

/// Where two bodies touch: the largest common area of two of their flat faces that lie against each other (within
/// 0.01 mm). Faces are those of the uncut timber, shortened by its end cuts; notches are not looked at, so a joint that
/// only meets inside a notch is `cross`'s business.
struct Touch {
  Polygon patch;
  Vec3 normal;  ///< from the first body to the second
};

std::optional<Touch> touch(const Structure& structure, Body a, Body b);

/// The flat faces of a body as above, with their outward normals, in world coordinates.
struct FlatFace {
  Polygon outline;
  Vec3 normal;
};
std::vector<FlatFace> flat_faces(const Structure& structure, Body body);
/// One of them: a side as WayOut::seen_from() counts them; none where its ends' cuts leave nothing of it.
std::optional<FlatFace> flat_face(const Structure& structure, Body body, std::size_t side);

/// How far a line from `point` along `direction` (unit) runs before it leaves the body (uncut, end cuts kept); below 0
/// when the point lies outside.
double way_out(const Structure& structure, Body body, Vec3 point, Vec3 direction);

/// The same of one body, asked often.
class WayOut {
 public:
  WayOut(const Structure& structure, Body body);
  double operator()(Vec3 point, Vec3 direction) const;

  /// A side of the body in a frame: where its plane lies along its outward normal.
  struct Side {
    Vec3 normal;
    double offset = 0;
  };
  std::vector<Side> seen_from(const Frame& frame) const;

 private:
  struct Plane {
    Vec3 point, normal;
  };
  Frame frame_;
  std::vector<Plane> sides_;
};

}  // namespace garthwright
