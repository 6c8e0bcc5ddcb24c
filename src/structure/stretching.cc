// SPDX-License-Identifier: Apache-2.0
#include "structure/stretching.h"

namespace garthwright {
namespace {

/// Everything that is measured from the datum end moves by so much along the piece; or what belongs to the finish end
/// alone.
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
    notch->corner += by;
    notch->from = notch->from + longer;
  } else if (Hole* hole = std::get_if<Hole>(&machining)) {
    if (!finish_only) hole->entry.x += by;
  }
}

/// At the end that is the datum all that is measured from it moves; at the other, what is cut at that end.
void lengthen(Piece& post, const Traced& by, bool at_datum) {
  post.length = post.length + by;
  if (at_datum) post.frame.origin = post.frame.origin - by.value() * post.frame.x;
  for (Machining& machining : post.machining) {
    // An end cut at the datum end stays at that end.
    const EndCut* cut = std::get_if<EndCut>(&machining);
    const ShapedEnd* shaped = std::get_if<ShapedEnd>(&machining);
    const bool of_start = (cut && cut->end == End::start) || (shaped && shaped->end == End::start);
    if (at_datum && of_start) continue;
    shift(machining, by, !at_datum);
  }
}

}  // namespace

void lengthen_below(Piece& post, const Traced& by) {
  post.corner[2] = post.corner[2] - by;
  lengthen(post, by, post.frame.x.z > 0);
}

void lengthen_above(Piece& post, const Traced& by) { lengthen(post, by, post.frame.x.z < 0); }

}  // namespace garthwright
