// SPDX-License-Identifier: Apache-2.0
//
// Verbs that say how bodies meet: each other, the ground, a wall.
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

#include "base/near.h"
#include "base/quoted.h"
#include "pattern/verbs.h"
#include "structure/edging.h"
#include "structure/joinery.h"

namespace garthwright::pattern {
namespace {

JointKind kind_of(const Call& call) {
  std::vector<std::string> known;
  for (int i = 0; i <= static_cast<int>(JointKind::on_wall); ++i) known.emplace_back(name(static_cast<JointKind>(i)));
  return static_cast<JointKind>(call.word("the kind", call.text_at(3, "the kind", "face"), known));
}

struct Two {
  Body a, b;
};
Two two_of(const Call& call) {
  const Two two{call.body_at(1, "the first piece"), call.body_at(2, "the second piece")};
  if (two.a == two.b) call.wrong("a piece cannot be joined to itself", "give two pieces");
  return two;
}

/// meet(a, b [, kind]): they touch, and will be fixed.
int meet(Call& call) {
  const JointKind kind = kind_of(call);
  const Two two = two_of(call);
  call.done(join(call.structure(), kind, two.a, two.b));
  return 0;
}

/// try_meet(a, b [, kind]): as meet, but says false where they do not touch.
int try_meet(Call& call) {
  const JointKind kind = kind_of(call);
  const Two two = two_of(call);
  lua_pushboolean(call.lua(), join(call.structure(), kind, two.a, two.b).has_value());
  return 1;
}

/// As is_fixed(), while fixings are being set.
bool is_fixed_so_far(const Call& call, const Joint& joint) {
  const std::vector<int>& in_a = call.bench_().fixings_set.of(call.structure(), joint.a);
  return std::any_of(in_a.begin(), in_a.end(), [&](int i) {
    const std::vector<Body>& through = call.structure().fixings[static_cast<std::size_t>(i)].through;
    return std::find(through.begin(), through.end(), joint.b) != through.end();
  });
}

/// rest(a, list, why): a touches each of them (or none, where they do not reach) and is held elsewhere.
int rest(Call& call) {
  Structure& structure = call.structure();
  const std::string why = call.text_at(3, "the reason");
  const Body a = call.body_at(1, "the piece that rests");
  for (const Body b : call.bodies_at(2, "what it rests on")) {
    if (a == b) call.wrong("a piece cannot rest on itself");
    JointId id = call.bench_().joints_made.between(structure, a, b);
    if (!id) {
      const Result<JointId> joint = join(structure, JointKind::face, a, b);
      if (!joint) continue;
      id = *joint;
    }
    if (is_fixed_so_far(call, structure[id])) continue;
    call.box().spend(Good::text, static_cast<std::int64_t>(why.size()));
    structure[id].bare = true;
    structure[id].why_bare = why;
  }
  return 0;
}

int cross_by(const Call& call, double usual_share) {
  Crossing crossing{call.piece_at(1, "what comes in"), call.piece_at(2, "what stands"), call.way("into", Way::down),
                    call.number("share", usual_share, 0, 1), call.bench_().job->saw.fit_mm};
  if (crossing.coming == crossing.standing) call.wrong("a piece cannot cross itself", "give two pieces");
  call.done(cross(call.structure(), crossing));
  call.box().spend(Good::parts, 2);  // a cut in each
  return 0;
}
/// halve(coming, standing [, {into=, share=}])
int halve(Call& call) { return cross_by(call, 0.5); }
/// notch(coming, standing [, {into=, share=}]): only the coming one is cut unless share says otherwise
int notch(Call& call) { return cross_by(call, 1.0); }

/// birds_mouth(rafter, plate): only the rafter is cut
int birds_mouth_one(Call& call) {
  const PieceId rafter = call.piece_at(1, "the rafter"), plate = call.piece_at(2, "the plate");
  if (rafter == plate) call.wrong("a piece cannot lie on itself", "give two pieces");
  call.done(birds_mouth(call.structure(), rafter, plate));
  call.box().spend(Good::parts, 1);
  return 0;
}

PostHole hole_of(const Call& call, PieceId post) {
  const Bench& bench = call.bench_();
  const Vec3 middle = world_box(call.structure(), body(post)).centre();
  // Who follows the ground has made the post for the ground that is there.
  const double ground = bench.asked_ground && bench.ground ? bench.ground(middle.x, middle.y).value() : 0;
  return {call.length("diameter").value(), call.length("depth").value(), call.mm("gravel", 0), ground};
}

int post_in_ground(Call& call) {
  const PieceId post = call.piece_at(1, "the post");
  call.done(stand_in_ground(call.structure(), post, hole_of(call, post), call.text("fill", "postmix")));
  return 0;
}

/// The shoe named, else the narrowest sold that the post's foot fits on: of those that hold a post upright, or turn
/// freely.
const timber::FixingItem& shoe_of(const Call& call, const Piece& post) {
  const double foot = std::max(post.width.value(), post.thickness.value());
  const bool upright = call.flag("upright");
  constexpr double kLoose = 8, kTight = 1;  // mm that a post may be thinner, and packed out, or thicker than its shoe
  const timber::FixingItem* best = nullptr;
  std::vector<std::string> sold;
  for (const timber::FixingItem& item : call.bench_().job->yard.fixings) {
    if (item.kind != timber::FixingKind::post_shoe) continue;
    sold.push_back(item.name);
    if (call.has("shoe") && item.name == call.text("shoe")) return item;
    if (upright != (item.make.moment_nmm > 0)) continue;
    const double play = item.make.width_mm - foot;
    if (play > -kTight && play < kLoose && (best == nullptr || item.make.width_mm < best->make.width_mm)) best = &item;
  }
  if (call.has("shoe")) {
    const std::string wanted = call.text("shoe");
    call.wrong(fmt::format("the yard sells no post shoe {}", quoted(wanted)), suggest(wanted, sold));
  }
  if (best == nullptr)
    call.wrong(fmt::format("the yard sells no post shoe{} for a post {:g} mm wide",
                           upright ? " that holds it upright" : "", foot),
               sold.empty() ? "stand it in the ground, or add a shoe to the catalogue"
                            : fmt::format("choose another post, or one of {}", fmt::join(sold, ", ")));
  return *best;
}

/// post_on_shoe(post, {diameter=, depth=, gravel=, fill=, shoe=, upright=}): clear of the ground on a shoe in a pad.
int post_on_shoe(Call& call) {
  const PieceId post = call.piece_at(1, "the post");
  const timber::FixingItem& shoe = shoe_of(call, call.structure()[post]);
  call.box().spend(Good::parts, 2);
  call.done(stand_on_shoe(call.structure(), post, hole_of(call, post), call.text("fill", "concrete"), shoe));
  return 0;
}

/// stand_loose(pieces [, {on=, soil=}]): nothing holds them but the weight on them
int stand_loose_all(Call& call) {
  std::vector<std::string> floors;
  for (const Floor floor : {Floor::ground, Floor::paving, Floor::deck}) floors.emplace_back(name(floor));
  const auto on = static_cast<Floor>(call.word("on", call.text("on", "ground"), floors));
  Structure& structure = call.structure();
  for (const Body b : call.bodies_at(1, "what stands loose")) {
    if (b.kind != Body::Kind::piece) call.wrong("only timbers stand loose");
    call.done(stand_loose(structure, PieceId{b.index}, on));
  }
  structure.soil_kg_m3 = call.number("soil", structure.soil_kg_m3, 0, 3000);
  return 0;
}

const Names kCrossing{{"into", Takes::way}, {"share", Takes::number}};

const Names kHole{
    {"diameter", Takes::length}, {"depth", Takes::length}, {"gravel", Takes::length}, {"fill", Takes::text}};

const std::vector<Verb> kVerbs{
    {"meet", meet, 2, 3},
    {"try_meet", try_meet, 2, 3},
    {"rest", rest, 3, 3},
    {"halve", halve, 2, 3, 3, kCrossing},
    {"notch", notch, 2, 3, 3, kCrossing},
    {"birds_mouth", birds_mouth_one, 2, 2},
    {"post_in_ground", post_in_ground, 2, 2, 2, kHole},
    {"stand_loose", stand_loose_all, 1, 2, 2, {{"on", Takes::text}, {"soil", Takes::number}}},
    {"post_on_shoe", post_on_shoe, 2, 2, 2, kHole + Names{{"shoe", Takes::text}, {"upright", Takes::yes_no}}}};

}  // namespace

std::span<const Verb> joining_verbs() { return kVerbs; }

}  // namespace garthwright::pattern
