// SPDX-License-Identifier: Apache-2.0
#include "assembly/verifier.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

#include "assembly/cases.h"
#include "assembly/planner.h"
#include "assembly/test_shapes.h"
#include "base/reference_for_tests.h"

namespace garthwright::assembly {
namespace {

using testing::box;
using testing::piece;
using testing::screw;

/// A post, a rail against it, a screw through the post into the rail, and a neighbour 60 mm off.
Assembly rail_between_posts() {
  Assembly a;
  a.site.ground = true;
  a.pieces = {piece("post", {box(0, 0, 0, 90, 90, 1000)}, true), piece("rail", {box(90, 25, 400, 690, 65, 490)}),
              piece("neighbour", {box(-150, 0, 0, -60, 90, 1000)})};
  a.fasteners = {screw("s", {0, 1}, {0, 45, 445}, {-1, 0, 0})};
  return a;
}

const Move kRail{{1}, {0}, {-1, 0, 0}, {}};
const Move kNeighbour{{2}, {0, 1}, {0, 0, -1}, {}};
const Drive kScrew{0};

void expect_fault(const Assembly& a, const Plan& plan, Fault fault, int step, const std::string& why) {
  const Verdict v = verify(a, plan);
  EXPECT_EQ(v.fault, fault) << name(v.fault);
  EXPECT_EQ(v.step, step);
  EXPECT_EQ(v.why, why);
}

TEST(Verifier, AcceptsAPlanAndNamesTheFirstWrongStep) {
  const Assembly a = rail_between_posts();
  EXPECT_TRUE(verify(a, {kRail, kScrew, kNeighbour}).accepted());
  expect_fault(a, {kRail, kNeighbour, kScrew}, Fault::driver_does_not_fit, 2, "s: neighbour is in the way of the tool");
  expect_fault(a, {kScrew, kRail, kNeighbour}, Fault::pieces_apart, 0, "s: rail is not there yet");
  expect_fault(a, {kRail, kScrew, kScrew, kNeighbour}, Fault::driven_twice, 2, "s");
  expect_fault(a, {kRail, kNeighbour}, Fault::fastener_forgotten, 2, "s");
  expect_fault(a, {kRail, kScrew}, Fault::left_apart, 2, "neighbour is not joined to post");
  expect_fault(a, {kRail, kScrew, kNeighbour, kNeighbour}, Fault::not_a_group, 3,
               "what moves is not exactly one whole group");
  expect_fault(a, {Move{{1}, {2}, {-1, 0, 0}, {}}, Move{{1}, {0}, {0, 0, -1}, {}}}, Fault::not_a_group, 1,
               "what moves is not exactly one whole group");
  expect_fault(a, {Move{{0}, {1}, {1, 0, 0}, {}}}, Fault::fixed_moves, 0, "post is fixed");
  expect_fault(a, {Move{{1}, {0}, {1, 0, 0}, {}}}, Fault::collides, 0, "rail runs into post");
  expect_fault(a, {Move{{2}, {0}, {0, 0, 1}, {}}}, Fault::collides, 0, "neighbour runs into the ground");
  expect_fault(a, {Move{{7}, {0}, {0, 0, 1}, {}}}, Fault::not_a_step, 0, "no such piece");
  expect_fault(a, {Move{{1}, {0}, {0, 0, 0}, {}}}, Fault::not_a_step, 0, "a shift without length");
}

TEST(Verifier, FollowsAPathLegByLeg) {
  Assembly a;
  a.pieces = {piece("U",
                    {box(0, 0, 0, 100, 100, 20), box(0, 0, 20, 20, 100, 100), box(80, 0, 20, 100, 100, 100),
                     box(20, 0, 60, 50, 100, 100)},
                    true),
              piece("block", {box(20, 0, 20, 50, 100, 60)})};
  const auto by = [](std::vector<Vec3> path) { return Plan{Move{{1}, {0}, {}, std::move(path)}}; };
  EXPECT_TRUE(verify(a, by({{0, 0, -40}, {-30, 0, 0}})).accepted());
  EXPECT_TRUE(verify(a, by({{0, 0, -40.0004}, {-30, 0, 0}})).accepted()) << "within the tolerance";
  expect_fault(a, by({{0, 0, -40}, {-29.9, 0, 0}}), Fault::collides, 0, "block runs into U");
  expect_fault(a, by({{0, 0, -39.9}, {-30, 0, 0}, {0, 0, -0.1}}), Fault::collides, 0, "block runs into U");
  expect_fault(a, by({{-30, 0, 0}, {0, 0, -40}}), Fault::collides, 0, "block runs into U");
}

TEST(Verifier, OnTheSiteEverythingThereStandsInTheWay) {
  Assembly a;
  a.pieces = {piece("left", {box(0, 0, 0, 50, 50, 500)}), piece("right", {box(100, 0, 0, 150, 50, 500)}),
              piece("between", {box(50, 0, 400, 100, 50, 450)})};
  const Move left{{0}, {}, {0, 0, -1}, {}}, right{{1}, {}, {0, 0, -1}, {}};
  expect_fault(a, {left, right, Move{{2}, {0}, {-1, 0, 0}, {}}}, Fault::collides, 2, "between runs into right");
  EXPECT_EQ(verify(a, {left, right, Move{{2}, {0}, {0, 0, -1}, {}}}).fault, Fault::left_apart);
  EXPECT_TRUE(verify(a, {left, Move{{2}, {0}, {-1, 0, 0}, {}}, Move{{1}, {0, 2}, {-1, 0, 0}, {}}}).accepted());
}

TEST(Verifier, AToolBelowTheFloorDoesNotFitUnlessTurnedOver) {
  Assembly a;
  a.pieces = {piece("board", {box(0, 0, 60, 600, 400, 80)}), piece("wall", {box(0, 0, 80, 600, 20, 380)})};
  a.fasteners = {screw("u", {0, 1}, {300, 10, 60}, {0, 0, -1})};
  const Move wall{{1}, {0}, {0, 0, -1}, {}};
  expect_fault(a, {wall, Drive{0}}, Fault::driver_does_not_fit, 1, "u: the tool does not clear the floor");
  EXPECT_TRUE(verify(a, {wall, Drive{0, {0, 0, 1}}}).accepted());
}

// --- mutants of our own plans --------------------------------------------------------------------------------------

/// The pieces of every group after the first `steps` steps are what the next steps name; a mutant that still names
/// whole groups and still goes clear of everything is another right plan, so each kind of mutant says what must be
/// wrong.
class Mutants : public ::testing::Test {
 protected:
  void SetUp() override {
    cases_ = *read_cases(reference::text("assembly/cases.json"), "cases.json");
    std::erase_if(cases_, [](const Case& c) { return !c.ask.plan; });
    ASSERT_GE(cases_.size(), 10u);
  }
  std::vector<Case> cases_;
};

TEST_F(Mutants, AStepLeftOutIsFound) {
  for (const Case& c : cases_) {
    const Plan plan = plan_assembly(c.assembly).plan;
    for (std::size_t k = 0; k < plan.size(); ++k) {
      Plan mutant = plan;
      mutant.erase(mutant.begin() + k);
      EXPECT_FALSE(verify(c.assembly, mutant).accepted()) << c.id << " without step " << k;
    }
  }
}

TEST_F(Mutants, StepsInAnotherOrderAreFound) {
  for (const Case& c : cases_) {
    const Plan plan = plan_assembly(c.assembly).plan;
    for (std::size_t i = 0; i < plan.size(); ++i) {
      for (std::size_t j = 0; j < i; ++j) {
        Plan mutant = plan;
        std::swap(mutant[i], mutant[j]);
        // Two screws that follow each other may as well be driven the other way round.
        const bool only_drives = std::all_of(plan.begin() + j, plan.begin() + i + 1,
                                             [](const Step& s) { return std::holds_alternative<Drive>(s); });
        EXPECT_EQ(verify(c.assembly, mutant).accepted(), only_drives) << c.id << " steps " << i << " and " << j;
      }
    }
  }
}

TEST_F(Mutants, AStepTwiceIsFound) {
  for (const Case& c : cases_) {
    const Plan plan = plan_assembly(c.assembly).plan;
    for (std::size_t k = 0; k < plan.size(); ++k) {
      Plan mutant = plan;
      mutant.insert(mutant.begin() + k, plan[k]);
      EXPECT_FALSE(verify(c.assembly, mutant).accepted()) << c.id << " step " << k << " twice";
    }
  }
}

TEST_F(Mutants, AWayThatIsNotOneOfTheWaysOutIsFound) {
  for (const Case& c : cases_) {
    const Plan plan = plan_assembly(c.assembly).plan;
    if (plan.empty()) continue;
    const Move* last = nullptr;
    std::size_t at = 0;
    for (std::size_t k = 0; k < plan.size(); ++k) {
      if (const Move* move = std::get_if<Move>(&plan[k])) last = move, at = k;
    }
    if (last->moving.size() != 1) continue;
    // The reference file's own ways out of the finished whole, found by other means, decide which ways in are right.
    for (const Vec3& out : c.directions) {
      Plan mutant(plan.begin(), plan.begin() + at + 1);
      std::get<Move>(mutant[at]) = {last->moving, last->onto, -out, {}};
      for (const Step& s : plan) {
        if (!std::holds_alternative<Drive>(s)) continue;
        if (std::find(mutant.begin(), mutant.end(), s) == mutant.end()) mutant.push_back(s);
      }
      bool is_way_out = false;
      for (const Removable& r : first_removable(c.assembly, c.directions)) {
        if (r.piece == last->moving[0]) is_way_out = std::find(r.ways.begin(), r.ways.end(), out) != r.ways.end();
      }
      EXPECT_EQ(verify(c.assembly, mutant).accepted(), is_way_out) << c.id << " " << *name_of(out);
    }
  }
}

TEST_F(Mutants, APieceThatIsMovedIntoAnotherIsFound) {
  for (const Case& c : cases_) {
    const Plan plan = plan_assembly(c.assembly).plan;
    for (const Step& step : plan) {
      const Move* move = std::get_if<Move>(&step);
      if (!move) continue;
      // The target 1 mm bigger on every side than it is, as if the mover were too long for its place.
      Case mutant = c;
      for (int i : move->moving) {
        for (ConvexPart& part : mutant.assembly.pieces[i].parts) {
          part = *make_hull([&] {
            std::vector<Vec3> corners = part.vertices;
            const Vec3 middle = centroid(part);
            for (Vec3& v : corners) {
              const Vec3 d = v - middle;
              v += Vec3{d.x > 0 ? 1.0 : -1.0, d.y > 0 ? 1.0 : -1.0, d.z > 0 ? 1.0 : -1.0};
            }
            return corners;
          }());
        }
      }
      EXPECT_EQ(verify(mutant.assembly, plan).fault, Fault::collides) << c.id;
    }
  }
}

}  // namespace
}  // namespace garthwright::assembly
