// SPDX-License-Identifier: Apache-2.0
//
// Verbs that say how bodies meet: each other, the ground, a wall.
#include <fmt/format.h>

#include "pattern/verbs.h"
#include "structure/joinery.h"

namespace garthwright::pattern {
namespace {

constexpr double kClosest = 10;  // mm between two fixings in a wall: nearer, and their number has no end

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

/// rest(a, list, why): a touches each of them (or none, where they do not reach) and is held elsewhere.
int rest(Call& call) {
  Structure& structure = call.structure();
  const std::string why = call.text_at(3, "the reason");
  const Body a = call.body_at(1, "the piece that rests");
  for (const Body b : call.bodies_at(2, "what it rests on")) {
    if (a == b) call.wrong("a piece cannot rest on itself");
    JointId id = joint_between(structure, a, b);
    if (!id) {
      const Result<JointId> joint = join(structure, JointKind::face, a, b);
      if (!joint) continue;
      id = *joint;
    }
    if (is_fixed(structure, structure[id])) continue;
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

int post_in_ground(Call& call) {
  const PieceId post = call.piece_at(1, "the post");
  const Bench& bench = call.bench_();
  const Vec3 middle = world_box(call.structure(), body(post)).centre();
  // Who follows the ground has made the post for the ground that is there.
  const double ground = bench.asked_ground && bench.ground ? bench.ground(middle.x, middle.y).value() : 0;
  call.done(
      stand_in_ground(call.structure(), post,
                      {call.length("diameter").value(), call.length("depth").value(), call.mm("gravel", 0), ground},
                      call.text("fill", "postmix")));
  return 0;
}

/// on_wall(piece, way [, {every=, least=}]): against the wall that lies that way, held by coach screws into plugs.
int on_wall(Call& call) {
  const Body piece = call.body_at(1, "the ledger");
  const std::string word = call.text_at(2, "the way to the wall");
  const std::optional<Way> way = way_named(word);
  if (!way) call.wrong("on_wall needs the way to the wall", "give right, left, back or front");
  const double every = call.mm("every", 600);
  if (every < kClosest) call.wrong(fmt::format("every of on_wall is {:g} mm", every), "give 10 mm or more");
  call.done(fasten_to_wall(call.structure(), call.bench_().fixings_set, piece, *way, every, call.mm("least", 8),
                           call.mm("above", 0), call.bench_().job->yard.fixings));
  return 0;
}

const Names kCrossing{{"into", Takes::way}, {"share", Takes::number}};

const std::vector<Verb> kVerbs{
    {"meet", meet, 2, 3},
    {"try_meet", try_meet, 2, 3},
    {"rest", rest, 3, 3},
    {"halve", halve, 2, 3, 3, kCrossing},
    {"notch", notch, 2, 3, 3, kCrossing},
    {"post_in_ground",
     post_in_ground,
     2,
     2,
     2,
     {{"diameter", Takes::length}, {"depth", Takes::length}, {"gravel", Takes::length}, {"fill", Takes::text}}},
    {"on_wall", on_wall, 2, 3, 3, {{"every", Takes::length}, {"least", Takes::length}, {"above", Takes::length}}}};

}  // namespace

std::span<const Verb> joining_verbs() { return kVerbs; }

}  // namespace garthwright::pattern
