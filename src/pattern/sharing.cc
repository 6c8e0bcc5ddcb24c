// SPDX-License-Identifier: Apache-2.0
#include "pattern/sharing.h"

#include <fmt/format.h>

#include <algorithm>

#include "structure/stretching.h"

namespace garthwright::pattern {
namespace {

constexpr double kSame = 1e-6;  // mm
constexpr double kWider = 0.5;  // mm that a section may be larger than the post it is asked of

double extent(const Placing& placing, int axis_) {
  if (axis(placing.runs) == axis_) return placing.length.value();
  return axis(placing.wide) == axis_ ? placing.width.value() : placing.thickness.value();
}

Footing* footing_of(Structure& structure, PieceId post) {
  const auto found = std::find_if(structure.footings.begin(), structure.footings.end(),
                                  [post](const Footing& f) { return f.post == post; });
  return found == structure.footings.end() ? nullptr : &*found;
}

/// Widest and deepest; what lies under the post is as thick as the most asked.
void grow_hole(Structure& host, PieceId post, const Footing& asked, double up) {
  Footing* hole = footing_of(host, post);
  const Box box = world_box(host, body(post));
  const double foot = box.min.z;
  if (hole == nullptr) {
    const double ground = asked.centre.z + up;
    const double gravel = asked.gravel;
    host[post].ground_contact = true;
    const Vec3 at{box.centre().x, box.centre().y, foot};
    host.joints.push_back({JointKind::in_ground, body(post), kGround, {}, at, {0, 0, -1}, false, {}});
    host.footings.push_back({post, {at.x, at.y, ground}, asked.diameter, ground - foot + gravel, gravel, asked.fill});
    return;
  }
  hole->diameter = std::max(hole->diameter, asked.diameter);
  if (!hole->shoe.empty()) return;  // what it stands on is the host's to say
  hole->gravel = std::max(hole->gravel, asked.gravel);
  const double bottom =
      std::min({hole->centre.z - hole->depth, asked.centre.z + up - asked.depth, foot - hole->gravel});
  hole->depth = hole->centre.z - bottom;
}

}  // namespace

Traced asked_by(const std::string& by, const char* what, const Traced& level, double up) {
  const double value = level.value() + up;
  const std::string sum = up == 0 ? level.sum() : fmt::format("{} + {:g} of higher ground", level.sum(), up);
  return Traced::step(fmt::format("{} asked by {}", what, by), value, sum, {level});
}

std::string full_name(const std::string& where, const std::string& name) {
  return where.empty() ? name : where + " " + name;
}

LentPost* lent_post(std::vector<LentPost>& lent, const Placing& placing) {
  const std::string name = full_name(placing.where, placing.name);
  const auto found = std::find_if(lent.begin(), lent.end(), [&](const LentPost& p) { return p.called == name; });
  return found == lent.end() ? nullptr : &*found;
}

Result<PieceId> take(Structure& guest, LentPost& post, const Placing& placing) {
  if (post.taken) return fail("shared-twice", fmt::format("{} is placed twice", post.called), "place it once");
  if (axis(placing.runs) != 2)
    return fail("not-upright", fmt::format("{} is shared and does not stand upright", post.called),
                "share posts that stand");
  const Box real = world_box(post.piece.frame, post.piece.blank());
  for (const int across : {0, 1}) {
    const double wanted = extent(placing, across), there = real.size()[across];
    if (wanted <= there + kWider) continue;
    return fail("post-too-thin",
                fmt::format("{} is to be {} across, and the {} of {}, which it shares, is {} ({})", post.called,
                            format_length(wanted), post.real, post.host, format_length(there), post.section),
                fmt::format("choose a larger section for {} of {}, or a smaller one here",
                            post.choice.empty() ? "that post" : post.choice, post.host));
  }
  post.asked = {placing.low[2] + placing.length, placing.low[2], {}};
  Piece piece = post.piece;
  piece.name = placing.name;
  piece.where = placing.where;
  piece.group = placing.group;
  piece.ground_contact = false;
  std::erase_if(piece.machining, [](const Machining& m) {
    return !std::holds_alternative<EndCut>(m) && !std::holds_alternative<ShapedEnd>(m);
  });
  const auto found = std::find_if(guest.sections.begin(), guest.sections.end(),
                                  [&](const timber::Section& s) { return s.name == post.section; });
  if (found == guest.sections.end()) return fail("no-section", post.section + " is not known here", "");
  piece.section = SectionId{static_cast<int>(found - guest.sections.begin())};
  lengthen_below(piece, piece.corner[2] - post.asked.foot);
  const Traced top = piece.corner[2] + piece.length;
  if (post.asked.top.value() > top.value()) lengthen_above(piece, post.asked.top - top);
  guest.pieces.push_back(std::move(piece));
  post.taken = PieceId{static_cast<int>(guest.pieces.size()) - 1};
  return post.taken;
}

void note_asked(const Structure& guest, LentPost& post) {
  if (!post.taken) return;
  post.asked.foot = guest[post.taken].corner[2];
  for (const Footing& footing : guest.footings)
    if (footing.post == post.taken) post.asked.hole = footing;
}

void grow(Structure& host, PieceId id, const PostAsked& asked, double up, const std::string& by) {
  Piece& post = host[id];
  const Traced top = post.corner[2] + post.length;
  if (asked.top.value() + up > top.value() + kSame) lengthen_above(post, asked_by(by, "top", asked.top, up) - top);
  const Footing* own = footing_of(host, id);
  const bool on_shoe = own != nullptr && !own->shoe.empty();
  if (!on_shoe && asked.foot.value() + up < post.corner[2].value() - kSame)
    lengthen_below(post, post.corner[2] + asked_by(by, "depth", -asked.foot, -up));
  if (asked.hole) grow_hole(host, id, *asked.hole, up);
}

}  // namespace garthwright::pattern
