// SPDX-License-Identifier: Apache-2.0
#include "structure/sloping.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/near.h"
#include "base/quoted.h"
#include "structure/stretching.h"

namespace garthwright {
namespace {

constexpr double kLeastAbove = 100;  // mm of a post above the ground: less holds nothing up

/// The ground at a footing's post is not at 0.
Result<void> lower_ground(Structure& s, Footing& footing, const Traced& level, const Place& where,
                          Diagnostics& remarks) {
  Piece& post = s[footing.post];
  if (world_box(post.frame, post.blank()).max.z - level.value() < kLeastAbove)
    return fail("no-post-left",
                fmt::format("ground {:.0f} mm up leaves too little of the {} post", level.value(), post.where),
                "raise the structure, or dig the ground away there", where);
  lengthen_below(post, -level);
  footing.centre.z += level.value();
  const Vec3 at = footing.centre;
  for (const Piece& piece : s.pieces) {
    if (piece.ground_contact || &piece == &post) continue;
    const Box box = world_box(piece.frame, piece.blank());
    const bool near =
        at.x > box.min.x - 100 && at.x < box.max.x + 100 && at.y > box.min.y - 100 && at.y < box.max.y + 100;
    if (near && box.min.z < at.z)
      remarks.push_back(
          {Severity::warning, "ground-reaches",
           fmt::format("the ground at the {} post reaches the {} {}", post.where, piece.where, piece.name),
           "raise the structure, or dig the ground away there", where});
  }
  return {};
}

}  // namespace

Result<void> stand_on_slope(Structure& s, const std::vector<GroundLevel>& levels, const GroundAt& ground,
                            Diagnostics& remarks, const Place& where) {
  std::vector<std::string> posts;
  for (const Footing& f : s.footings) posts.push_back(s[f.post].where);
  for (const GroundLevel& given : levels)
    if (std::find(posts.begin(), posts.end(), given.post) == posts.end())
      return fail("unknown-post", fmt::format("no post in the ground is called {}", quoted(given.post)),
                  suggest(given.post, posts), given.where);
  for (Footing& footing : s.footings) {
    const auto given = std::find_if(levels.begin(), levels.end(),
                                    [&](const GroundLevel& l) { return l.post == s[footing.post].where; });
    if (given == levels.end() && !ground) continue;
    const Traced level = given != levels.end() ? given->level : ground(footing.centre.x, footing.centre.y);
    if (level.plain() && level.value() == 0) continue;
    const Result<void> lowered = lower_ground(s, footing, level, given != levels.end() ? given->where : where, remarks);
    if (!lowered) return lowered;
  }
  return {};
}

}  // namespace garthwright
