// SPDX-License-Identifier: Apache-2.0
#include "structure/sloping.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/near.h"
#include "base/quoted.h"

namespace garthwright {
namespace {

/// Everything that is measured from the datum end moves by so much along the piece.
void shift(Machining& machining, double by, bool finish_only) {
  if (EndCut* cut = std::get_if<EndCut>(&machining)) {
    if (!finish_only || cut->end == End::finish) cut->point.x += by;
  } else if (ShapedEnd* shaped = std::get_if<ShapedEnd>(&machining)) {
    if (finish_only && shaped->end != End::finish) return;
    shaped->start_x += by;
    for (Stroke& s : shaped->strokes) s.x += by, s.centre_x += by, s.c1x += by, s.c2x += by;
  } else if (Notch* notch = std::get_if<Notch>(&machining)) {
    if (finish_only) return;
    notch->region.min.x += by, notch->region.max.x += by;
    notch->from = notch->from + Traced::named("fall of the ground", by, "levels");
  } else if (Hole* hole = std::get_if<Hole>(&machining)) {
    if (!finish_only) hole->entry.x += by;
  }
}

void lengthen_below(Piece& post, double by, const std::string& name) {
  const bool starts_below = post.frame.x.z > 0;
  post.length = post.length + Traced::named(name, by, "levels");
  post.corner[2] = post.corner[2] - Traced::named(name, by, "levels");
  if (starts_below) post.frame.origin = post.frame.origin - by * post.frame.x;
  for (Machining& machining : post.machining) shift(machining, by, !starts_below);
}

}  // namespace

Result<void> stand_on_slope(Structure& s, const std::vector<GroundLevel>& levels, Diagnostics& remarks) {
  std::vector<std::string> posts;
  for (const Footing& f : s.footings) posts.push_back(s[f.post].where);
  for (const GroundLevel& given : levels) {
    const auto footing = std::find_if(s.footings.begin(), s.footings.end(),
                                      [&](const Footing& f) { return s[f.post].where == given.post; });
    if (footing == s.footings.end())
      return fail("unknown-post", fmt::format("no post in the ground is called {}", quoted(given.post)),
                  suggest(given.post, posts), given.where);
    Piece& post = s[footing->post];
    if (post.length.value() - given.level < 2 * footing->depth)
      return fail("no-post-left",
                  fmt::format("ground {:.0f} mm up leaves too little of the {} post", given.level, given.post),
                  "raise the structure, or dig the ground away there", given.where);
    lengthen_below(post, -given.level, fmt::format("fall of the ground at {}", given.post));
    footing->centre.z += given.level;
    const Vec3 at = footing->centre;
    for (const Piece& piece : s.pieces) {
      if (piece.ground_contact || &piece == &post) continue;
      const Box box = world_box(piece.frame, piece.blank());
      const bool near =
          at.x > box.min.x - 100 && at.x < box.max.x + 100 && at.y > box.min.y - 100 && at.y < box.max.y + 100;
      if (near && box.min.z < at.z)
        remarks.push_back(
            {Severity::warning, "ground-reaches",
             fmt::format("the ground at the {} post reaches the {} {}", given.post, piece.where, piece.name),
             "raise the structure, or dig the ground away there", given.where});
    }
  }
  return {};
}

}  // namespace garthwright
