// SPDX-License-Identifier: Apache-2.0
#include "structure/sloping.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/near.h"
#include "base/quoted.h"

namespace garthwright {
namespace {

/// Everything that is measured from the datum end moves by so much along the piece.
void shift(Machining& machining, const Traced& longer, bool finish_only) {
  const double by = longer.value();
  if (EndCut* cut = std::get_if<EndCut>(&machining)) {
    if (!finish_only || cut->end == End::finish) cut->point.x += by;
  } else if (ShapedEnd* shaped = std::get_if<ShapedEnd>(&machining)) {
    if (finish_only && shaped->end != End::finish) return;
    shaped->start_x += by;
    for (Stroke& s : shaped->strokes) s.x += by, s.centre_x += by, s.c1x += by, s.c2x += by;
  } else if (Notch* notch = std::get_if<Notch>(&machining)) {
    if (finish_only) return;
    notch->region.min.x += by, notch->region.max.x += by;
    notch->from = notch->from + longer;
  } else if (Hole* hole = std::get_if<Hole>(&machining)) {
    if (!finish_only) hole->entry.x += by;
  }
}

void lengthen_below(Piece& post, const Traced& by) {
  const bool starts_below = post.frame.x.z > 0;
  post.length = post.length + by;
  post.corner[2] = post.corner[2] - by;
  if (starts_below) post.frame.origin = post.frame.origin - by.value() * post.frame.x;
  for (Machining& machining : post.machining) shift(machining, by, !starts_below);
}

/// The ground at a footing's post is not at 0.
Result<void> lower_ground(Structure& s, Footing& footing, const Traced& level, const Place& where,
                          Diagnostics& remarks) {
  Piece& post = s[footing.post];
  if (post.length.value() - level.value() < 2 * footing.depth)
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
