// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include "structure/joinery.h"
#include "structure/profile.h"

namespace garthwright {

Result<void> shape_end(Structure& structure, PieceId id, End end, const Profile& profile, Way under) {
  if (profile.name == "square") return {};
  Piece& piece = structure[id];
  const Vec3 below = piece.frame.direction_to_local(vector(under));
  if (std::abs(below.y) < 0.5)
    return fail("bad-shape",
                fmt::format("the {} of {} is not one of its narrow edges", name(under), describe(structure, body(id))),
                "shape an end across the width of the timber");
  ShapedEnd shape = shaped_end(profile, end, piece.length.value(), piece.width.value(), below.y > 0);
  piece.machining.emplace_back(std::move(shape));
  return {};
}

}  // namespace garthwright
