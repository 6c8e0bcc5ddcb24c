// SPDX-License-Identifier: Apache-2.0
#include "assembly/planner.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <deque>
#include <map>
#include <set>
#include <tuple>

#include "assembly/test_shapes.h"
#include "assembly/verifier.h"

namespace garthwright::assembly {
namespace {

using testing::box;
using ::testing::ElementsAre;
using ::testing::IsEmpty;
using testing::piece;
using testing::Random;
using testing::screw;

void expect_buildable(const Assembly& a) {
  const PlanResult result = plan_assembly(a);
  EXPECT_TRUE(result.buildable);
  const Verdict verdict = verify(a, result.plan);
  EXPECT_TRUE(verdict.accepted()) << "step " << verdict.step << ": " << name(verdict.fault) << ": " << verdict.why;
}

// --- small cases by hand -------------------------------------------------------------------------------------------

TEST(Planner, OnePieceNeedsNoStep) {
  Assembly a;
  a.pieces = {piece("post", {box(0, 0, 0, 90, 90, 900)})};
  EXPECT_TRUE(plan_assembly(a).buildable);
  EXPECT_THAT(plan_assembly(a).plan, IsEmpty());
}

TEST(Planner, OnGroundTheFirstPieceIsSetDown) {
  Assembly a;
  a.site.ground = true;
  a.pieces = {piece("post", {box(0, 0, 0, 90, 90, 900)})};
  const PlanResult result = plan_assembly(a);
  ASSERT_EQ(result.plan.size(), 1u);
  EXPECT_EQ(std::get<Move>(result.plan[0]), (Move{{0}, {}, {0, 0, -1}, {}}));
  expect_buildable(a);
}

/// A bolt with a T head in a T slot that is open to one side only at its end: in along the slot, then up.
Assembly corner_path() {
  Assembly a;
  // A channel along x, closed above except for a shaft over its blind end; the key must go along the shaft and then
  // turn the corner.
  a.pieces = {piece("block",
                    {box(0, 0, 0, 100, 60, 20), box(0, 0, 20, 20, 60, 40), box(20, 0, 20, 100, 20, 40),
                     box(20, 40, 20, 100, 60, 40), box(80, 20, 20, 100, 40, 60), box(0, 0, 40, 60, 60, 60),
                     box(60, 0, 40, 100, 20, 60), box(60, 40, 40, 100, 60, 60)},
                    true),
              piece("key", {box(20, 20, 20, 40, 40, 40)})};
  return a;
}

TEST(Planner, TurnsACornerWhereOneShiftDoesNotDo) {
  const Assembly a = corner_path();
  const PlanResult result = plan_assembly(a);
  ASSERT_TRUE(result.buildable);
  ASSERT_EQ(result.plan.size(), 1u);
  const Move& move = std::get<Move>(result.plan[0]);
  ASSERT_EQ(move.path.size(), 2u);
  EXPECT_LT(move.path[0].z, 0);
  EXPECT_EQ(move.path[1], (Vec3{-40, 0, 0}));
  expect_buildable(a);
}

/// Two stub-tenoned rails between two posts that are set: neither goes in. The posts hold each of them on its own.
TEST(Planner, NamesOnlyThePiecesThatKeepEachOtherOut) {
  Assembly a;
  a.pieces = {piece("far", {box(500, 500, 0, 600, 600, 50)}),
              piece("P1",
                    {box(0, 0, 0, 100, 100, 400), box(100, 0, 0, 120, 30, 400), box(100, 70, 0, 120, 100, 400),
                     box(100, 30, 0, 120, 70, 100), box(100, 30, 200, 120, 70, 400)},
                    true),
              piece("P2",
                    {box(1000, 0, 0, 1100, 100, 400), box(980, 0, 0, 1000, 30, 400), box(980, 70, 0, 1000, 100, 400),
                     box(980, 30, 0, 1000, 70, 100), box(980, 30, 200, 1000, 70, 400)},
                    true),
              piece("rail", {box(100, 30, 100, 1000, 70, 200)})};
  const PlanResult result = plan_assembly(a);
  EXPECT_FALSE(result.buildable);
  EXPECT_TRUE(result.proved);
  EXPECT_THAT(result.blocked_pieces, ElementsAre(1, 2, 3));
  EXPECT_THAT(result.blocked_fasteners, IsEmpty());
}

TEST(Planner, GroundAndObstaclesHoldAPieceOnTheirOwn) {
  Assembly a;
  a.site.ground = true;
  a.site.obstacles = {box(-10, -10, 0, 0, 110, 60), box(100, -10, 0, 110, 110, 60), box(0, -10, 0, 100, 0, 60),
                      box(0, 100, 0, 100, 110, 60), box(0, 0, 50, 100, 100, 60)};
  a.pieces = {piece("shut in", {box(0, 0, 0, 100, 100, 50)})};
  const PlanResult result = plan_assembly(a);
  EXPECT_FALSE(result.buildable);
  EXPECT_THAT(result.blocked_pieces, ElementsAre(0));
}

/// A tray in a drawer in a shell open in front: the tray cannot reach the drawer once that is in.
TEST(Planner, BuildsASubAssemblyWhereOnlyThatWorks) {
  Assembly a;
  a.pieces = {
      piece("shell",
            {box(0, 0, 0, 20, 300, 140), box(20, 0, 0, 380, 300, 20), box(20, 0, 120, 380, 300, 140),
             box(380, 0, 0, 400, 300, 140), box(20, 280, 20, 380, 300, 120)},
            true),
      piece("drawer", {box(20, 0, 20, 380, 20, 120), box(20, 20, 20, 40, 280, 120), box(360, 20, 20, 380, 280, 120),
                       box(40, 20, 20, 360, 280, 30), box(40, 260, 30, 360, 280, 120)}),
      piece("tray", {box(40, 20, 30, 360, 260, 100)})};
  const PlanResult result = plan_assembly(a);
  ASSERT_TRUE(result.buildable);
  ASSERT_EQ(result.plan.size(), 2u);
  const Move& last = std::get<Move>(result.plan[1]);
  EXPECT_THAT(last.moving, ElementsAre(1, 2));
  EXPECT_THAT(last.onto, ElementsAre(0));
  expect_buildable(a);
}

TEST(Planner, SlidesAWedgeAlongItsSlope) {
  // A raked housing: in only along a slope of 1 : 3, neither up nor level.
  Assembly a;
  const auto prism = [](std::vector<std::array<double, 2>> polygon) { return *make_prism(1, 0, 50, polygon); };
  a.pieces = {piece("base",
                    {prism({{0, 0}, {300, 100}, {300, 0}}), prism({{0, 40}, {300, 140}, {0, 140}}),
                     *make_box({-60, -20, -20}, {0, 70, 140}), *make_box({0, -20, -20}, {300, 0, 160}),
                     *make_box({0, 50, -20}, {300, 70, 160})},
                    true),
              piece("tongue", {prism({{0, 0}, {300, 100}, {300, 140}, {0, 40}})})};
  const PlanResult result = plan_assembly(a);
  ASSERT_TRUE(result.buildable);
  const Move& move = std::get<Move>(result.plan[0]);
  ASSERT_EQ(move.path.size(), 1u);
  EXPECT_DOUBLE_EQ(move.path[0].x, 3 * move.path[0].z);
  EXPECT_EQ(move.path[0].y, 0);
  EXPECT_LT(move.path[0].x, 0);
  expect_buildable(a);
}

/// A lath 20 x 20 along x or y, lying at `across` on the other axis, halved at two crossings: over or under.
Piece woven_lath(const std::string& id, bool along_x, double across, bool over_first, bool over_second) {
  std::vector<ConvexPart> parts;
  const auto add = [&](double from, double to, double z0, double z1) {
    parts.push_back(along_x ? box(from, across, z0, to, across + 20, z1) : box(across, from, z0, across + 20, to, z1));
  };
  add(-40, 0, 0, 20);
  add(0, 20, over_first ? 10 : 0, over_first ? 20 : 10);
  add(20, 100, 0, 20);
  add(100, 120, over_second ? 10 : 0, over_second ? 20 : 10);
  add(120, 160, 0, 20);
  return piece(id, parts);
}

TEST(Planner, FourWovenLathsHoldEachOtherAndThreeDoNot) {
  Assembly a;
  a.pieces = {woven_lath("A", true, 0, true, false), woven_lath("B", true, 100, false, true),
              woven_lath("C", false, 0, false, true), woven_lath("D", false, 100, true, false)};
  const PlanResult result = plan_assembly(a);
  EXPECT_FALSE(result.buildable);
  EXPECT_TRUE(result.proved);
  EXPECT_THAT(result.blocked_pieces, ElementsAre(0, 1, 2, 3));
  a.pieces.pop_back();
  expect_buildable(a);
}

TEST(Planner, ADovetailSlidesAlongItsAxisOnly) {
  Assembly a;
  const auto prism = [](std::vector<std::array<double, 2>> polygon) { return *make_prism(0, 0, 200, polygon); };
  a.pieces = {piece("groove",
                    {prism({{0, 0}, {10, 0}, {30, 40}, {0, 40}}), prism({{110, 0}, {120, 0}, {120, 40}, {90, 40}}),
                     prism({{0, -20}, {120, -20}, {120, 0}, {0, 0}})},
                    true),
              piece("tail", {prism({{10, 0}, {110, 0}, {90, 40}, {30, 40}})})};
  const auto removable = first_removable(a, diagonal_ways());
  ASSERT_EQ(removable.size(), 1u);
  EXPECT_THAT(removable[0].ways, ElementsAre(Vec3{1, 0, 0}, Vec3{-1, 0, 0}));
  expect_buildable(a);
  a.site.obstacles = {box(-50, 0, 0, 0, 120, 40), box(200, 0, 0, 250, 120, 40)};
  EXPECT_THAT(plan_assembly(a).blocked_pieces, ElementsAre(0, 1));
}

TEST(Planner, APackedChestOfManyPiecesIsRefused) {
  // 6 x 6 x 5 cubes in a closed box, one place left empty: pieces can stir inside, none gets out.
  Assembly a;
  a.pieces = {piece("chest", {box(-10, -10, -10, 310, 310, 0), box(-10, -10, 250, 310, 310, 260),
                              box(-10, -10, 0, 0, 310, 250), box(300, -10, 0, 310, 310, 250),
                              box(0, -10, 0, 300, 0, 250), box(0, 300, 0, 300, 310, 250)},
                    true)};
  for (int i = 1; i < 6 * 6 * 5; ++i) {
    const double x = 50 * (i % 6), y = 50 * (i / 6 % 6), z = 50 * (i / 36);
    a.pieces.push_back(piece("c" + std::to_string(i), {box(x, y, z, x + 50, y + 50, z + 50)}));
  }
  const PlanResult result = plan_assembly(a);
  EXPECT_FALSE(result.buildable);
  // One cube in the closed chest is enough to make the point.
  EXPECT_EQ(result.blocked_pieces.size(), 2u);
}

// --- fasteners -----------------------------------------------------------------------------------------------------

TEST(Planner, DrivesAHiddenScrewBeforeItsCover) {
  Assembly a;
  a.pieces = {piece("rail", {box(0, 0, 0, 900, 90, 40)}), piece("board", {box(0, 0, 40, 900, 90, 60)}),
              piece("cover", {box(0, 0, 60, 900, 90, 80)})};
  a.fasteners = {screw("hidden", {0, 1}, {450, 45, 60}, {0, 0, 1}), screw("seen", {1, 2}, {450, 45, 80}, {0, 0, 1})};
  const PlanResult result = plan_assembly(a);
  ASSERT_EQ(result.plan.size(), 4u);
  EXPECT_EQ(std::get<Drive>(result.plan[1]).fastener, 0);
  EXPECT_EQ(std::get<Drive>(result.plan[3]).fastener, 1);
  expect_buildable(a);
}

TEST(Planner, BlamesAFastenerThatNoToolReaches) {
  Assembly a;
  a.pieces = {piece("rail", {box(0, 0, 0, 900, 90, 40)}), piece("board", {box(0, 0, 40, 900, 90, 60)}),
              piece("hook", {box(0, 0, 60, 900, 90, 70), box(0, 90, 0, 900, 100, 70)})};
  // Its head is 10 mm under the hook, which it joins itself.
  a.fasteners = {screw("deep", {0, 1, 2}, {450, 45, 50}, {0, 0, 1})};
  const PlanResult result = plan_assembly(a);
  EXPECT_FALSE(result.buildable);
  EXPECT_THAT(result.blocked_fasteners, ElementsAre(0));
  EXPECT_THAT(result.blocked_pieces, IsEmpty());
}

TEST(Planner, ADeepHoleTakesASlimDriverOnly) {
  Assembly a;
  // A rail with a counterbore 20 wide and 60 deep; the screw's head is at its bottom.
  a.pieces = {piece("rail", {box(0, 0, 10, 40, 90, 70), box(60, 0, 10, 100, 90, 70), box(40, 0, 10, 60, 35, 70),
                             box(40, 55, 10, 60, 90, 70), box(0, 0, 0, 100, 90, 10)}),
              piece("post", {box(0, 0, -500, 100, 90, 0)})};
  a.fasteners = {screw("sunk", {0, 1}, {50, 45, 10}, {0, 0, 1}, 10, 250)};
  expect_buildable(a);
  a.fasteners = {screw("sunk", {0, 1}, {50, 45, 10}, {0, 0, 1}, 10.5, 250)};
  EXPECT_THAT(plan_assembly(a).blocked_fasteners, ElementsAre(0));
}

TEST(Planner, ABoltNeedsRoomOnBothSides) {
  Assembly a;
  a.pieces = {piece("post", {box(0, 0, 0, 90, 90, 900)}), piece("beam", {box(90, 0, 700, 135, 90, 800)}),
              piece("wall", {box(-50, 0, 0, 0, 90, 900)})};
  a.fasteners = {{"bolt", {0, 1}, {{{135, 45, 750}, {1, 0, 0}, 20, 60}, {{0, 45, 750}, {-1, 0, 0}, 20, 60}}}};
  expect_buildable(a);
  const PlanResult result = plan_assembly(a);
  EXPECT_EQ(std::get<Drive>(result.plan[1]).fastener, 0);  // before the wall
  a.pieces[2].fixed = a.pieces[0].fixed = true;
  EXPECT_THAT(plan_assembly(a).blocked_fasteners, ElementsAre(0));
}

TEST(Planner, TurnsASubAssemblyOverForAScrewFromBelow) {
  Assembly a;
  a.site.ground = true;
  a.pieces = {piece("post", {box(0, 0, 0, 90, 90, 500)}, true), piece("seat", {box(0, 0, 500, 600, 90, 520)}),
              piece("back", {box(0, 70, 520, 600, 90, 900)})};
  // 60 mm of free height above ground would do for no driver; in the air it is free, but only clear of the post.
  a.fasteners = {screw("up", {1, 2}, {45, 80, 500}, {0, 0, -1})};
  const PlanResult result = plan_assembly(a);
  ASSERT_TRUE(result.buildable);
  expect_buildable(a);
}

// --- random puzzles against brute force ----------------------------------------------------------------------------

using Voxel = std::array<int, 3>;
constexpr double kVoxel = 20;  // mm

struct Puzzle {
  std::vector<std::vector<Voxel>> pieces;
  std::vector<bool> fixed;
  bool ground = false;
  struct Screw {
    std::vector<int> joins;
    Voxel head;
    Voxel out;
    int length;
  };
  std::vector<Screw> screws;
};

Assembly as_assembly(const Puzzle& puzzle) {
  Assembly a;
  a.site.ground = puzzle.ground;
  for (std::size_t i = 0; i < puzzle.pieces.size(); ++i) {
    std::vector<ConvexPart> parts;
    for (const Voxel& v : puzzle.pieces[i]) {
      parts.push_back(box(v[0] * kVoxel, v[1] * kVoxel, v[2] * kVoxel, (v[0] + 1) * kVoxel, (v[1] + 1) * kVoxel,
                          (v[2] + 1) * kVoxel));
    }
    a.pieces.push_back(piece("p" + std::to_string(i), parts, puzzle.fixed[i]));
  }
  for (std::size_t k = 0; k < puzzle.screws.size(); ++k) {
    const auto& s = puzzle.screws[k];
    // The head lies in the middle of the voxel's face where the tool stands.
    Vec3 head, out;
    for (int axis = 0; axis < 3; ++axis) {
      out[axis] = s.out[axis];
      head[axis] = (s.head[axis] + (s.out[axis] == 0 ? 0.5 : s.out[axis] > 0 ? 0 : 1)) * kVoxel;
    }
    a.fasteners.push_back(screw("s" + std::to_string(k), s.joins, head, out, 8, s.length * kVoxel));
  }
  return a;
}

/// Whether the puzzle can be built, by trying every subset, every unit step and every place of every screw.
class Oracle {
 public:
  explicit Oracle(const Puzzle& p) : p_(p), n_(static_cast<int>(p.pieces.size())) {
    for (int i = 0; i < n_; ++i) fixed_ |= p.fixed[i] << i;
  }

  bool buildable() { return build((1 << n_) - 1, fixed_ || p_.ground, 0); }

  /// Some part of `mask` leaves the rest; a piece on its own leaves the site.
  bool partable(int mask, bool on_site) {
    for (int moving = (mask - 1) & mask; moving > 0; moving = (moving - 1) & mask) {
      if (!(moving & fixed_) && separable(moving, mask & ~moving, on_site)) return true;
    }
    const bool alone = (mask & (mask - 1)) == 0;
    return alone && !(mask & fixed_) && separable(mask, 0, true);
  }

 private:
  bool build(int mask, bool on_site, int driven_later) {
    for (int f = 0; f < static_cast<int>(p_.screws.size()); ++f) {
      if (drivable(f, mask, on_site)) driven_later |= 1 << f;
    }
    const auto [known, is_new] = known_.try_emplace({mask, on_site, driven_later}, false);
    if (!is_new) return known->second;
    return known_[{mask, on_site, driven_later}] = try_build(mask, on_site, driven_later);
  }

  bool try_build(int mask, bool on_site, int driven_later) {
    const bool leaf = on_site ? (mask & ~fixed_) == 0 : (mask & (mask - 1)) == 0;
    if (leaf) {
      for (int f = 0; f < static_cast<int>(p_.screws.size()); ++f) {
        if ((joined(f) & ~mask) == 0 && !(driven_later >> f & 1)) return false;
      }
      return true;
    }
    for (int moving = mask; moving > 0; moving = (moving - 1) & mask) {
      const int staying = mask & ~moving;
      if ((moving & fixed_) || (!on_site && staying == 0)) continue;
      bool held = false;
      for (int f = 0; f < static_cast<int>(p_.screws.size()); ++f) {
        const int j = joined(f);
        held |= (j & ~mask) == 0 && (j & moving) && (j & staying) && !(driven_later >> f & 1);
      }
      if (held || !separable(moving, staying, on_site)) continue;
      if (build(moving, false, driven_later) && build(staying, on_site, driven_later)) return true;
    }
    return false;
  }

  int joined(int f) const {
    int mask = 0;
    for (int i : p_.screws[f].joins) mask |= 1 << i;
    return mask;
  }

  bool drivable(int f, int mask, bool on_site) const {
    if (joined(f) & ~mask) return false;
    const auto& s = p_.screws[f];
    Voxel lowest{99, 99, 99}, highest{-99, -99, -99};
    std::set<Voxel> tool;
    for (int k = 0; k < s.length; ++k) {
      tool.insert({s.head[0] + k * s.out[0], s.head[1] + k * s.out[1], s.head[2] + k * s.out[2]});
    }
    for (int i = 0; i < n_; ++i) {
      if (!(mask >> i & 1)) continue;
      for (const Voxel& v : p_.pieces[i]) {
        if (tool.contains(v)) return false;
        for (int k = 0; k < 3; ++k) {
          lowest[k] = std::min(lowest[k], v[k]);
          highest[k] = std::max(highest[k], v[k]);
        }
      }
    }
    for (int axis = 0; axis < 3; ++axis) {
      for (int side : {-1, 1}) {
        if (on_site && !(axis == 2 && side == -1)) continue;
        bool fits = true;
        for (const Voxel& v : tool) {
          fits &= side < 0 ? v[axis] >= lowest[axis] : v[axis] <= highest[axis];
          if (on_site && p_.ground) fits &= v[2] >= 0;
        }
        if (fits) return true;
      }
    }
    return false;
  }

  bool separable(int moving, int staying, bool on_site) {
    const auto [known, is_new] = separable_.try_emplace({moving, staying, on_site}, false);
    if (!is_new) return known->second;
    return separable_[{moving, staying, on_site}] = walk_out(moving, staying, on_site && p_.ground);
  }

  bool walk_out(int moving, int staying, bool ground) const {
    std::set<Voxel> still;
    std::vector<Voxel> walker;
    for (int i = 0; i < n_; ++i) {
      for (const Voxel& v : p_.pieces[i]) {
        if (moving >> i & 1) walker.push_back(v);
        if (staying >> i & 1) still.insert(v);
      }
    }
    constexpr int far = 8;
    std::set<Voxel> seen{{0, 0, 0}};
    std::deque<Voxel> open{{0, 0, 0}};
    const auto free = [&](const Voxel& at) {
      for (const Voxel& w : walker) {
        const Voxel v{w[0] + at[0], w[1] + at[1], w[2] + at[2]};
        if (still.contains(v) || (ground && v[2] < 0)) return false;
      }
      return true;
    };
    if (!free({0, 0, 0})) return false;
    while (!open.empty()) {
      const Voxel at = open.front();
      open.pop_front();
      if (std::max({std::abs(at[0]), std::abs(at[1]), std::abs(at[2])}) >= far) return true;
      for (int k = 0; k < 6; ++k) {
        Voxel next = at;
        next[k / 2] += k % 2 ? 1 : -1;
        if (!seen.contains(next) && free(next)) {
          seen.insert(next);
          open.push_back(next);
        }
      }
    }
    return false;
  }

  const Puzzle& p_;
  int n_;
  int fixed_ = 0;
  std::map<std::tuple<int, bool, int>, bool> known_;
  std::map<std::tuple<int, int, bool>, bool> separable_;
};

/// A block of voxels dealt out to pieces that grow into each other.
Puzzle random_puzzle(Random& random, int size, int count, int fixed, bool ground, int screws) {
  Puzzle p;
  p.pieces.resize(count);
  p.fixed.assign(count, false);
  for (int i = 0; i < fixed; ++i) p.fixed[i] = true;
  p.ground = ground;
  std::map<Voxel, int> owner;
  const auto random_voxel = [&] { return Voxel{random.below(size), random.below(size), random.below(size)}; };
  for (int i = 0; i < count; ++i) {
    Voxel v;
    do v = random_voxel();
    while (owner.contains(v));
    owner[v] = i;
  }
  // Grow by random steps; some voxels stay empty, which makes for winding ways.
  const int wanted = size * size * size * (50 + random.below(45)) / 100;
  for (int tries = 0; static_cast<int>(owner.size()) < wanted && tries < 4000; ++tries) {
    const Voxel v = random_voxel();
    if (owner.contains(v)) continue;
    Voxel from = v;
    from[random.below(3)] += random.below(2) ? 1 : -1;
    if (owner.contains(from)) owner[v] = owner[from];
  }
  for (const auto& [v, i] : owner) p.pieces[i].push_back(v);
  for (int k = 0; k < screws; ++k) {
    Voxel head = random_voxel(), out{0, 0, 0};
    out[random.below(3)] = random.below(2) ? 1 : -1;
    std::set<int> joins{random.below(count), random.below(count)};
    p.screws.push_back({{joins.begin(), joins.end()}, head, out, 1 + random.below(3)});
  }
  return p;
}

/// A solid block with winding burrows. The innermost voxels of a burrow are a piece, the next ones perhaps a plug or
/// two, the rest is the way out, if it gets that far.
Puzzle random_burrows(Random& random, int size, bool fixed, bool ground) {
  Puzzle p;
  p.pieces.resize(1);
  p.fixed = {fixed};
  p.ground = ground;
  std::map<Voxel, int> owner;
  for (int i = 0; i < size * size * size; ++i) owner[{i % size, i / size % size, i / size / size}] = 0;
  for (int burrow = 1 + random.below(2); burrow > 0; --burrow) {
    Voxel at{1 + random.below(size - 2), 1 + random.below(size - 2), 1 + random.below(size - 2)};
    int piece = static_cast<int>(p.pieces.size());
    int axis = random.below(3), sign = 1;
    for (int step = 0; step < 2 + random.below(9); ++step) {
      if (owner.contains(at) && owner[at] == 0) {
        if (piece >= static_cast<int>(p.pieces.size())) {
          p.pieces.emplace_back();
          p.fixed.push_back(false);
        }
        piece < 0 ? static_cast<void>(owner.erase(at)) : static_cast<void>(owner[at] = piece);
      }
      if (piece >= 0) piece = random.below(6) ? -1 : random.below(2) ? piece : static_cast<int>(p.pieces.size());
      if (random.below(3) == 0) axis = (axis + 1 + random.below(2)) % 3, sign = random.below(2) ? 1 : -1;
      at[axis] += sign;
    }
  }
  for (const auto& [v, i] : owner) p.pieces[i].push_back(v);
  for (std::size_t i = p.pieces.size(); i-- > 0;) {
    if (!p.pieces[i].empty()) continue;
    p.pieces.erase(p.pieces.begin() + i);
    p.fixed.erase(p.fixed.begin() + i);
  }
  return p;
}

void compare_with_oracle(const Puzzle& puzzle, int& buildable, int& winding) {
  const Assembly a = as_assembly(puzzle);
  Oracle oracle(puzzle);
  const PlanResult result = plan_assembly(a);
  ASSERT_EQ(result.buildable, oracle.buildable());
  if (result.buildable) {
    ++buildable;
    const Verdict verdict = verify(a, result.plan);
    ASSERT_TRUE(verdict.accepted()) << verdict.step << ": " << name(verdict.fault) << ": " << verdict.why;
    for (const Step& step : result.plan) {
      if (const Move* move = std::get_if<Move>(&step)) winding += move->path.size() > 1;
    }
    return;
  }
  EXPECT_TRUE(result.proved);
  if (!result.blocked_pieces.empty()) {
    int mask = 0;
    bool any_fixed = false;
    for (int i : result.blocked_pieces) mask |= 1 << i, any_fixed |= puzzle.fixed[i];
    const bool on_site = any_fixed || puzzle.ground;
    EXPECT_GE(result.blocked_pieces.size(), on_site ? 1u : 2u);
    EXPECT_FALSE(oracle.partable(mask, on_site)) << "the pieces named can be parted";
  } else {
    EXPECT_THAT(result.blocked_fasteners, ::testing::Not(IsEmpty()));
  }
}

TEST(PlannerAgainstBruteForce, PiecesGrownIntoEachOther) {
  Random random(1);
  int buildable = 0, winding = 0;
  for (int round = 0; round < 300; ++round) {
    SCOPED_TRACE(round);
    const Puzzle p =
        random_puzzle(random, 3 + random.below(2), 2 + random.below(4), random.below(3) == 0, random.below(3) == 0, 0);
    compare_with_oracle(p, buildable, winding);
    if (HasFatalFailure()) return;
  }
}

TEST(PlannerAgainstBruteForce, PiecesInBurrows) {
  Random random(3);
  int buildable = 0, winding = 0;
  const int rounds = 400;
  for (int round = 0; round < rounds; ++round) {
    SCOPED_TRACE(round);
    compare_with_oracle(random_burrows(random, 4 + random.below(2), random.below(2), random.below(3) == 0), buildable,
                        winding);
    if (HasFatalFailure()) return;
  }
  // The sample must hold both answers and ways of several shifts, or it would prove little.
  EXPECT_GT(buildable, rounds / 10);
  EXPECT_LT(buildable, rounds * 9 / 10);
  EXPECT_GT(winding, 20);
}

TEST(PlannerAgainstBruteForce, PiecesAndScrews) {
  Random random(2);
  int buildable = 0, winding = 0;
  const int rounds = 400;
  for (int round = 0; round < rounds; ++round) {
    SCOPED_TRACE(round);
    const Puzzle p =
        random_puzzle(random, 3, 2 + random.below(4), random.below(3) == 0, random.below(3) == 0, 1 + random.below(3));
    compare_with_oracle(p, buildable, winding);
    if (HasFatalFailure()) return;
  }
  EXPECT_GT(buildable, rounds / 10);
  EXPECT_LT(buildable, rounds * 9 / 10);
}

}  // namespace
}  // namespace garthwright::assembly
