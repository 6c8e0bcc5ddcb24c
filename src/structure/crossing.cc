// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>

#include "structure/joinery.h"

namespace garthwright {
namespace {

constexpr double kTouching = 0.01;  // mm

struct TracedBox {
  std::array<Traced, 3> min, max;
};

TracedBox shared_box(const Structure& structure, Body a, Body b) {
  TracedBox box;
  for (int i = 0; i < 3; ++i) {
    const Way high = static_cast<Way>(2 * i), low = opposite(high);
    const auto at = static_cast<std::size_t>(i);
    box.min[at] = max(face(structure, a, low), face(structure, b, low));
    box.max[at] = min(face(structure, a, high), face(structure, b, high));
  }
  return box;
}

/// Cuts the world box out of a straight-standing piece, `fit` mm wider along the piece.
void cut_out(Structure& structure, PieceId id, const TracedBox& world, Notch::Kind kind, Body against, Way opens,
             double fit) {
  Piece& piece = structure[id];
  const Way runs = *way_of(piece.frame.x);
  const auto along = static_cast<std::size_t>(axis(runs)), down = static_cast<std::size_t>(axis(opens));
  Notch notch;
  notch.kind = kind;
  notch.against = against;
  notch.opens_on = face_looking(piece.frame.direction_to_local(vector(opens)));
  notch.wide = world.max[along] - world.min[along] + fit;
  notch.deep = world.max[down] - world.min[down];
  const Traced start = face(structure, body(id), opposite(runs)), half = 0.5 * fit;
  notch.from = is_positive(runs) ? world.min[along] - start - half : start - world.max[along] - half;

  Vec3 low, high;
  for (int i = 0; i < 3; ++i) {
    low[i] = world.min[static_cast<std::size_t>(i)].value();
    high[i] = world.max[static_cast<std::size_t>(i)].value();
  }
  const Vec3 a = piece.frame.to_local(low), b = piece.frame.to_local(high);
  for (int i = 0; i < 3; ++i) {
    notch.region.min[i] = std::min(a[i], b[i]);
    notch.region.max[i] = std::max(a[i], b[i]);
  }
  notch.region.min.x -= 0.5 * fit;
  notch.region.max.x += 0.5 * fit;
  notch.region = intersection(notch.region, piece.blank());
  piece.machining.emplace_back(std::move(notch));
}

std::vector<Vec3> patch_of(const TracedBox& box, Way into, double level) {
  const int a = (axis(into) + 1) % 3, b = (axis(into) + 2) % 3;
  std::vector<Vec3> patch(4);
  for (int corner = 0; corner < 4; ++corner) {
    Vec3& p = patch[static_cast<std::size_t>(corner)];
    const auto& at_a = corner == 1 || corner == 2 ? box.max : box.min;
    const auto& at_b = corner >= 2 ? box.max : box.min;
    p[a] = at_a[static_cast<std::size_t>(a)].value();
    p[b] = at_b[static_cast<std::size_t>(b)].value();
    p[axis(into)] = level;
  }
  return patch;
}

}  // namespace

Result<JointId> cross(Structure& structure, const Crossing& crossing) {
  const Body coming = body(crossing.coming), standing = body(crossing.standing);
  const Way into = crossing.into;
  for (const Body b : {coming, standing})
    if (!way_of(frame_of(structure, b).x) || !way_of(frame_of(structure, b).y))
      return fail("askew", describe(structure, b) + " stands askew and cannot be halved by box notches",
                  "halve only timbers that lie along the axes");

  const TracedBox shared = shared_box(structure, coming, standing);
  const auto down = static_cast<std::size_t>(axis(into));
  for (std::size_t i = 0; i < 3; ++i)
    if (shared.max[i].value() - shared.min[i].value() < kTouching)
      return fail("no-crossing", describe(structure, coming) + " does not cross " + describe(structure, standing),
                  "let them share depth where they cross");
  // `coming` must reach no deeper than `standing` where they meet, or it would have to pass through it.
  const double coming_lead = face(structure, coming, into).value();
  const double standing_back = face(structure, standing, opposite(into)).value();
  const double lead = is_positive(into) ? shared.max[down].value() : shared.min[down].value();
  const double back = is_positive(into) ? shared.min[down].value() : shared.max[down].value();
  if (std::abs(coming_lead - lead) > kTouching || std::abs(standing_back - back) > kTouching)
    return fail("no-entry",
                fmt::format("{} cannot be let {} onto {}: it reaches through to the other side",
                            describe(structure, coming), name(into), describe(structure, standing)),
                "raise it, or notch only one of them");

  const Traced depth = shared.max[down] - shared.min[down];
  const Traced from_coming = crossing.share * depth;
  // The plane where the two halves come to rest on each other.
  const Traced rest = is_positive(into) ? shared.max[down] - from_coming : shared.min[down] + from_coming;
  const Notch::Kind kind = crossing.share > 0 && crossing.share < 1 ? Notch::Kind::halving : Notch::Kind::notch;
  if (crossing.share > 0) {
    TracedBox part = shared;
    (is_positive(into) ? part.min : part.max)[down] = rest;
    cut_out(structure, crossing.coming, part, kind, standing, into, crossing.fit_mm);
  }
  if (crossing.share < 1) {
    TracedBox part = shared;
    (is_positive(into) ? part.max : part.min)[down] = rest;
    cut_out(structure, crossing.standing, part, kind, coming, opposite(into), crossing.fit_mm);
  }

  Joint joint{kind == Notch::Kind::halving ? JointKind::halving : JointKind::notch,
              coming,
              standing,
              patch_of(shared, into, rest.value()),
              {},
              vector(into),
              false,
              {}};
  for (const Vec3& corner : joint.patch) joint.point = joint.point + 0.25 * corner;
  structure.joints.push_back(std::move(joint));
  return JointId{static_cast<int>(structure.joints.size()) - 1};
}

}  // namespace garthwright
