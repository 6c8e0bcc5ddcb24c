// SPDX-License-Identifier: Apache-2.0
//
// The verifier accepts our orders and refuses every mutant of one: steps swapped where it matters, one left out, a
// cover moved forward, a batten behind the lift.
#include "sequence/verifier.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "sequence/jobs_for_tests.h"

namespace garthwright::sequence {
namespace {

using testing::example;

struct Built {
  std::unique_ptr<Structure> structure;
  std::unique_ptr<solid::Solids> solids;
  std::vector<Stage> stages;

  explicit Built(const std::string& name) : structure(example(name)) {
    solids = std::make_unique<solid::Solids>(*structure);
    stages = work_out(*structure, *solids).stages;
  }
  Verdict judge(const std::vector<Stage>& other) const { return verify(*structure, *solids, other, Rates{}, {2}); }
};

/// All steps as one stage, so that they can be moved about.
std::vector<Stage> as_one(const std::vector<Step>& steps) {
  Stage stage;
  stage.number = 1;
  stage.steps = steps;
  return {stage};
}

std::vector<Step> steps_of(const std::vector<Stage>& stages) {
  std::vector<Step> steps;
  for (const Step* s : all_steps(stages)) steps.push_back(*s);
  return steps;
}

template <class Kind>
std::size_t first(const std::vector<Step>& steps, std::size_t from = 0) {
  for (std::size_t i = from; i < steps.size(); ++i)
    if (std::holds_alternative<Kind>(steps[i])) return i;
  return steps.size();
}

std::size_t bring(const Built& b, const std::vector<Step>& steps, const std::string& who, Workplace to = kSite) {
  for (std::size_t i = 0; i < steps.size(); ++i) {
    const auto* s = std::get_if<Bring>(&steps[i]);
    if (s && s->to == to && describe(*b.structure, s->bodies.front()).starts_with(who)) return i;
  }
  ADD_FAILURE() << "nobody brings " << who;
  return 0;
}

void move(std::vector<Step>& steps, std::size_t from, std::size_t to) {
  const Step s = steps[from];
  steps.erase(steps.begin() + static_cast<long>(from));
  steps.insert(steps.begin() + static_cast<long>(to), s);
}

std::string said(const Verdict& v) { return std::string(name(v.fault)) + ": " + v.why; }

TEST(Mutants, OneStepLeftOutIsFoundWhicheverItIs) {
  for (const std::string& name : testing::example_names()) {
    const Built b(name);
    const std::vector<Step> steps = steps_of(b.stages);
    ASSERT_TRUE(b.judge(as_one(steps)).accepted()) << name << said(b.judge(as_one(steps)));
    for (std::size_t i = 0; i < steps.size(); ++i) {
      std::vector<Step> fewer = steps;
      fewer.erase(fewer.begin() + static_cast<long>(i));
      EXPECT_FALSE(b.judge(as_one(fewer)).accepted())
          << name << ": without step " << i << " of kind " << steps[i].index();
    }
  }
}

TEST(Mutants, AStepTwiceIsFound) {
  const Built b("arbor");
  const std::vector<Step> steps = steps_of(b.stages);
  for (std::size_t i = 0; i < steps.size(); ++i) {
    if (std::holds_alternative<Wait>(steps[i]) || std::holds_alternative<Plumb>(steps[i]) ||
        std::holds_alternative<Turn>(steps[i]))
      continue;  // does no harm
    std::vector<Step> more = steps;
    more.insert(more.begin() + static_cast<long>(i), steps[i]);
    EXPECT_FALSE(b.judge(as_one(more)).accepted()) << "step " << i << " of kind " << steps[i].index();
  }
}

TEST(Mutants, ACoverMovedForwardIsFound) {
  const Built b("arbor");
  std::vector<Step> steps = steps_of(b.stages);
  // The fascia beam covers the screws between the frame's long member and its cross members.
  const std::size_t frame = bring(b, steps, "front frame long member", kSite),
                    beam = bring(b, steps, "front fascia beam");
  move(steps, beam, frame);
  EXPECT_FALSE(b.judge(as_one(steps)).accepted());
}

TEST(Mutants, ABattenBehindTheLiftIsFound) {
  const Built b("arbor");
  std::vector<Step> steps = steps_of(b.stages);
  const std::size_t batten = first<Brace>(steps);
  const std::size_t lift = bring(b, steps, "left front post");
  ASSERT_LT(batten, lift);
  move(steps, batten, lift);
  const Verdict v = b.judge(as_one(steps));
  EXPECT_EQ(v.fault, Fault::racks) << said(v);
}

TEST(Mutants, WorkOnWetConcreteIsFound) {
  const Built b("pergola-wall");
  std::vector<Step> steps = steps_of(b.stages);
  Step& wait = steps[first<Wait>(steps)];
  std::get<Wait>(wait).hours = 1;
  const Verdict v = b.judge(as_one(steps));
  EXPECT_EQ(v.fault, Fault::wet_concrete) << said(v);
}

TEST(Mutants, ConcreteBeforePlumbingIsFound) {
  const Built b("pergola-wall");
  std::vector<Step> steps = steps_of(b.stages);
  move(steps, first<Plumb>(steps), first<Fill>(steps));
  const Verdict v = b.judge(as_one(steps));
  EXPECT_EQ(v.fault, Fault::wet_concrete) << said(v);
}

TEST(Mutants, APieceThatGoesInBeforeItIsSealedIsFound) {
  const Built b("arbor");
  std::vector<Step> steps = steps_of(b.stages);
  const std::size_t last = steps.size() - 1;
  move(steps, first<Prepare>(steps), last);
  EXPECT_EQ(b.judge(as_one(steps)).fault, Fault::not_sealed);
}

TEST(Mutants, APostWithoutItsHoleIsFound) {
  const Built b("arbor");
  std::vector<Step> steps = steps_of(b.stages);
  move(steps, first<Dig>(steps), steps.size() - 1);
  EXPECT_EQ(b.judge(as_one(steps)).fault, Fault::not_dug);
}

TEST(Mutants, StrutsThatGoTooEarlyAreFound) {
  const Built b("pergola-wall");
  std::vector<Step> steps = steps_of(b.stages);
  move(steps, first<Unprop>(steps), first<Fill>(steps));
  EXPECT_FALSE(b.judge(as_one(steps)).accepted());
}

TEST(Mutants, AnotherWayInIsFoundUnlessItIsFreeToo) {
  const Built b("arbor");
  const std::vector<Step> steps = steps_of(b.stages);
  int refused = 0;
  for (std::size_t i = 0; i < steps.size(); ++i) {
    if (!std::holds_alternative<Bring>(steps[i])) continue;
    std::vector<Step> other = steps;
    auto& s = std::get<Bring>(other[i]);
    s.way = -s.way;
    const Verdict v = b.judge(as_one(other));
    if (v.accepted()) continue;
    ++refused;
    EXPECT_EQ(v.fault, Fault::path_blocked) << said(v);
  }
  EXPECT_GT(refused, 20);
}

TEST(Mutants, ALiftForTooFewIsFound) {
  const Built b("arbor");
  std::vector<Step> steps = steps_of(b.stages);
  auto& lift = std::get<Bring>(steps[bring(b, steps, "left front post")]);
  ASSERT_EQ(lift.people, 2);
  lift.kg /= 2;
  EXPECT_EQ(b.judge(as_one(steps)).fault, Fault::too_heavy);
}

bool brings(const Stage& stage) { return !stage.motions.empty(); }
bool makes(const Stage& stage) { return stage.title.starts_with("Make"); }
bool fills(const Stage& stage) { return stage.title == "Fill the holes"; }
bool loads(const Stage& stage) { return stage.title.starts_with("Put up"); }

/// Whole stages in another order: refused wherever something depends on it.
TEST(Mutants, StagesSwappedWhereItMattersAreFound) {
  for (const std::string& name : testing::example_names()) {
    const Built b(name);
    int refused = 0;
    for (std::size_t i = 0; i + 1 < b.stages.size(); ++i) {
      for (std::size_t j = i + 1; j < b.stages.size(); ++j) {
        std::vector<Stage> other = b.stages;
        std::swap(other[i], other[j]);
        const bool accepted = b.judge(other).accepted();
        refused += !accepted;
        // Timber before it is cut, posts in holes already filled, a roof on wet concrete.
        const bool matters = (i == 0 && brings(b.stages[j])) || (fills(b.stages[i]) && loads(b.stages[j])) ||
                             (fills(b.stages[j]) && brings(b.stages[i]) && !loads(b.stages[i]) && !makes(b.stages[i]));
        if (matters) {
          EXPECT_FALSE(accepted) << name << ": " << b.stages[i].title << " / " << b.stages[j].title;
        }
      }
    }
    EXPECT_GE(refused, static_cast<int>(b.stages.size())) << name;
  }
}

}  // namespace
}  // namespace garthwright::sequence
