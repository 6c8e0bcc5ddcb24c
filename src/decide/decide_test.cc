// SPDX-License-Identifier: Apache-2.0
#include "decide/decide.h"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <nlohmann/json.hpp>

#include "base/source_dir_for_tests.h"
#include "decide/decide_json.h"
#include "decide/frame_key.h"
#include "plan/standing.h"

namespace garthwright::decide {
namespace {

using testing::HasSubstr;

const std::string kSource = source_dir();
const pattern::Shelves kShelves{{kSource + "/patterns", kSource + "/tests/patterns"}, {kSource + "/catalogues"}};

pattern::Job job(const std::string& structures) {
  const Result<pattern::Job> read = pattern::parse_job(
      "format = 1\n[site]\nexposure = \"sheltered\"\nclimber = \"none\"\n[timber]\ncatalogue = \"harrow-lane\"\n" +
          structures,
      "job.toml", kShelves);
  EXPECT_TRUE(read) << to_string(read.error().front());
  return read.value_or(pattern::Job{});
}

/// The least that stands, by planning every combination whole.
struct Least {
  std::optional<Money> total;
  std::uint64_t combinations = 0;
};
Least of_all(const pattern::Job& job, const std::vector<Open>& opens) {
  Least least;
  Combination at(opens.size(), 0);
  for (bool more = true; more;) {
    ++least.combinations;
    PlanOptions options;
    options.order = sequence::Options{};
    const Result<Plan> plan = make_plan(with(job, opens, at), kShelves, options);
    if (plan && stands(*plan) && (!least.total || plan->purchase.total < *least.total))
      least.total = plan->purchase.total;
    more = false;
    for (std::size_t i = opens.size(); i-- > 0 && !more;) {
      more = ++at[i] < opens[i].values.size();
      if (!more) at[i] = 0;
    }
  }
  return least;
}

void expect_whole(const Answer& answer) {
  EXPECT_TRUE(answer.proven);
  EXPECT_EQ(answer.counts.sum(), answer.combinations);
}

const char* const kMasts =
    "[[structure]]\npattern = \"masts\"\n[structure.open]\npost = [\"4x4\", \"5x5\", \"6x6\"]\n"
    "in_ground = { from = 400, to = 1000, step = 100 }\nhole = { from = 200, to = 400, step = 50 }\nstakes = true\n";

/// Small enough to look at each: what is found is the least, and the proof covers every combination once.
TEST(Decide, FindsTheLeastOfAll) {
  for (const std::string& structures :
       {std::string(kMasts),
        // two parts, which fail each by itself
        std::string("[[structure]]\nname = \"a\"\npattern = \"masts\"\n[structure.open]\nin_ground = [500, 800, 1000]\n"
                    "hole = [250, 350]\n[[structure]]\nname = \"b\"\npattern = \"masts\"\nat = [0, 3000]\n"
                    "[structure.open]\nmasts = { from = 2, to = 4 }\nin_ground = [600, 900]\n"),
        // heights between that need less than their neighbours
        std::string(
            "[[structure]]\npattern = \"masts\"\n[structure.choices]\nquirk = true\nstakes = true\n[structure.open]\n"
            "height = { from = 1600, to = 2000, step = 100 }\nin_ground = [500, 800, 1100]\n")}) {
    const pattern::Job read = job(structures);
    const Result<std::vector<Open>> opens = open_choices(read, kShelves);
    ASSERT_TRUE(opens);
    const Least least = of_all(read, *opens);
    const Result<Answer> answer = decide(read, kShelves, {.limit_s = 0});
    ASSERT_TRUE(answer);
    expect_whole(*answer);
    EXPECT_EQ(answer->combinations, least.combinations);
    ASSERT_TRUE(answer->stands && least.total) << structures;
    EXPECT_EQ(answer->total, *least.total);
  }
}

/// To the last count, whichever of its two threads was first.
TEST(Decide, SaysTheSameTwice) {
  const pattern::Job read = job(kMasts);
  const auto once = [&] {
    Answer answer = decide(read, kShelves, {.limit_s = 0}).value();
    answer.seconds = 0;
    return decide_json(answer);
  };
  EXPECT_EQ(once(), once());
}

/// The largest value that can be had for the money; what has less counts as not asked for.
TEST(Decide, FindsTheMostForTheMoney) {
  const pattern::Job read =
      job("[[structure]]\npattern = \"masts\"\n[structure.open]\nheight = { from = 1500, to = 2500, step = 250 }\n"
          "in_ground = [500, 800, 1100]\n");
  const Answer least = decide(read, kShelves, {.limit_s = 0}).value();
  ASSERT_TRUE(least.stands);
  const Answer most = decide(read, kShelves, {.limit_s = 0, .most = MostFor{least.total, "height"}}).value();
  expect_whole(most);
  EXPECT_LE(most.total, least.total);
  const Answer rich = decide(read, kShelves, {.limit_s = 0, .most = MostFor{{1'000'000}, "height"}}).value();
  expect_whole(rich);
  EXPECT_EQ(rich.choices.front().value, "2500");
  const Answer poor = decide(read, kShelves, {.limit_s = 0, .most = MostFor{{100}, "height"}}).value();
  expect_whole(poor);
  EXPECT_FALSE(poor.stands);
}

/// Where one kind of joint alone is open to forces, its fixings are the cheapest of all that the yard has for it and
/// with which everything stands: each is planned by hand beside.
TEST(Decide, GivesJointsTheCheapestFixingsThatCarry) {
  const pattern::Job read = job("[[structure]]\npattern = \"perch\"\n[structure.open]\nin_ground = [1000]\n");
  PlanOptions options;
  options.order = sequence::Options{};
  const Result<Plan> first = make_plan(read, kShelves, options);
  ASSERT_TRUE(first) << to_string(first.error().front());
  ASSERT_EQ(first->garden.structures.front().connections.size(), 1u);
  const Connection& joint = first->garden.structures.front().connections.front();
  std::optional<Money> least;
  std::string cheapest;
  for (const std::string& text : joint.candidates) {
    pattern::Job by_hand = read;
    by_hand.orders.front().fixings.push_back({joint.name, text, {}});
    const Result<Plan> plan = make_plan(by_hand, kShelves, options);
    if (!plan || !stands(*plan) || (least && *least <= plan->purchase.total)) continue;
    least = plan->purchase.total;
    cheapest = text;
  }
  ASSERT_TRUE(least);
  const Answer answer = decide(read, kShelves, {.limit_s = 0}).value();
  expect_whole(answer);
  ASSERT_TRUE(answer.stands);
  EXPECT_EQ(answer.total, *least) << cheapest;
  EXPECT_TRUE(stands(*first) || !answer.fixings.empty());

  // What a person chose stands, though it is too weak.
  pattern::Job by_hand = read;
  by_hand.orders.front().fixings.push_back({joint.name, joint.candidates.front(), {}});
  EXPECT_EQ(decide(by_hand, kShelves, {.limit_s = 0})->stands, stands(*first));
}

TEST(Decide, EndsInTime) {
  const pattern::Job read = job(
      "[[structure]]\npattern = \"arbor\"\nopen = \"all but opening, height\"\n[structure.choices]\nopening = 1200\n");
  const Result<Answer> answer = decide(read, kShelves, {.limit_s = 0.2});
  ASSERT_TRUE(answer) << to_string(answer.error().front());
  EXPECT_FALSE(answer->proven);
  EXPECT_LT(answer->counts.sum(), answer->combinations);
  const std::atomic<bool> stop{true};
  EXPECT_EQ(decide(read, kShelves, {.limit_s = 0, .cancel = &stop}).error().front().code, "cancelled");
}

/// The job's text settled as found says the same plan.
TEST(Decide, WritesWhatItFound) {
  const std::string text =
      "format = 1\n[site]\nexposure = \"sheltered\"\nclimber = \"none\"\n[timber]\ncatalogue = \"harrow-lane\"\n" +
      std::string(kMasts);
  const Answer answer = decide(job(kMasts), kShelves, {.limit_s = 0}).value();
  const Result<std::string> settled = settled_text(text, "job.toml", answer);
  ASSERT_TRUE(settled);
  const Result<pattern::Job> read = pattern::parse_job(*settled, "job.toml", kShelves);
  ASSERT_TRUE(read);
  EXPECT_FALSE(read->orders.front().open.any());
  PlanOptions options;
  options.order = sequence::Options{};
  const Result<Plan> plan = make_plan(*read, kShelves, options);
  ASSERT_TRUE(plan);
  EXPECT_TRUE(stands(*plan));
  EXPECT_EQ(plan->purchase.total, answer.total);
}

TEST(Decide, SaysWhatIsWrongWithWhatIsOpen) {
  const auto error = [](const std::string& lines) {
    const Result<Answer> answer =
        decide(job("[[structure]]\npattern = \"arbor\"\n[structure.choices]\nopening = 1200\n" + lines), kShelves,
               {.limit_s = 5});
    return answer ? std::string("no error") : to_string(answer.error().front());
  };
  EXPECT_EQ(error(""),
            "job.toml: error: the job leaves no choice open; write [structure.open] with the choices to settle "
            "(docs/job-file.md), or ask for --advice [nothing-open]");
  EXPECT_THAT(error("[structure.open]\npost = [\"4x4\", \"4x5\"]\n"),
              HasSubstr("job.toml:12:8: error: post is open for '4x5'; did you mean 4x"));
  EXPECT_EQ(error("[structure.open]\nin_ground = [600, 100]\n"),
            "job.toml:12:13: error: in_ground is open for 100; give 200 mm to 1500 mm [bad-open]");
  EXPECT_EQ(error("[structure.open]\nin_ground = { from = 100, to = 600 }\n"),
            "job.toml:12:13: error: in_ground is open beyond what arbor takes; give 200 mm to 1500 mm [bad-open]");
  EXPECT_EQ(
      error("[structure.open]\npost = { from = 1, to = 2 }\n"),
      "job.toml:12:8: error: post is open from one value to another, and is no number; list its values [bad-open]");
  EXPECT_EQ(error("[structure.open]\nrafters = [2.5]\n"),
            "job.toml:12:11: error: rafters is open for 2.5; give 1 to 60 [bad-open]");
}

TEST(Decide, ReadsValuesInTheJobsOwnUnits) {
  const Result<pattern::Job> read = pattern::parse_job(
      "format = 1\nunits = \"ft-in\"\n[timber]\ncatalogue = \"mill-creek\"\n[[structure]]\npattern = \"arbor\"\n"
      "[structure.choices]\nopening = '4 ft'\n[structure.open]\nin_ground = ['2 ft 6 in', '3 ft']\nrafters = [4, 5]\n",
      "job.toml", kShelves);
  ASSERT_TRUE(read);
  const Result<std::vector<Open>> opens = open_choices(*read, kShelves);
  ASSERT_TRUE(opens) << to_string(opens.error().front());
  ASSERT_EQ(opens->size(), 2u);
  EXPECT_EQ(in_toml(opens->front(), opens->front().values.front(), read->style), "\"2' 6\\\"\"");
  EXPECT_EQ(in_toml(opens->back(), opens->back().values.front(), read->style), "4");
}

/// How wide the holes are says nothing of the forces, which are what their key is of: the same posts ask the same of
/// holes of any width, and stand in the wider.
TEST(Decide, KnowsForcesWhateverTheHolesAreWide) {
  const auto built = [](const std::string& choices) {
    const pattern::Job read = job("[[structure]]\npattern = \"masts\"\n[structure.choices]\n" + choices);
    int letter = 0;
    return std::move(pattern::build(read, read.orders.front(), kShelves, 0, letter)->structure);
  };
  const auto asked = [](const Structure& structure) {
    WhatGives what(structure, Site{});
    what.all(Site{});
    std::vector<std::array<double, 3>> forces;
    for (const ground::PostLoad& load : what.asked_of_holes())
      forces.push_back({load.sideways_n, load.moment_nmm, load.down_n});
    return forces;
  };
  const Structure narrow = built("in_ground = 700\nhole = 250\n"), wide = built("in_ground = 700\nhole = 450\n"),
                  deep = built("in_ground = 800\nhole = 250\n");
  EXPECT_EQ(frame_key(narrow), frame_key(wide));
  EXPECT_FALSE(asked(narrow).empty());
  EXPECT_EQ(asked(narrow), asked(wide));
  EXPECT_NE(frame_key(narrow), frame_key(deep));
  EXPECT_NE(asked(narrow), asked(deep));
}

/// What no combination cures is said with its proof, and what fails or is refused most often.
TEST(Decide, ProvesThatNoneStands) {
  const Answer falls = decide(job("[[structure]]\npattern = \"masts\"\n[structure.choices]\nheight = 2200\nhole = 250\n"
                                  "[structure.open]\nin_ground = [450, 460]\nstakes = true\n"),
                              kShelves, {.limit_s = 0})
                           .value();
  EXPECT_FALSE(falls.stands);
  expect_whole(falls);
  EXPECT_EQ(falls.counts.tried, 4u);
  EXPECT_EQ(falls.most_often, "posts in the ground, sideways");
  const auto json = nlohmann::json::parse(decide_json(falls));
  EXPECT_EQ(json["verdict"], "none stands");
  EXPECT_TRUE(json["total_minor"].is_null());
  EXPECT_TRUE(json["lower_bound_minor"].is_null());

  // No force is asked for what frost lifts, and no frame made.
  const Answer frozen = decide(job("[[structure]]\npattern = \"masts\"\n[structure.choices]\nheight = 1500\n"
                                   "[structure.open]\nin_ground = [300, 350]\nstakes = true\n"),
                               kShelves, {.limit_s = 0})
                            .value();
  EXPECT_FALSE(frozen.stands);
  expect_whole(frozen);
  EXPECT_EQ(frozen.counts.shape, 4u);

  // Of posts that are too weak for the wind, the width of their holes need not be tried.
  const Answer weak = decide(job("[[structure]]\npattern = \"masts\"\n[structure.choices]\nheight = 2200\n"
                                 "in_ground = 450\n[structure.open]\nhole = { from = 200, to = 280, step = 10 }\n"),
                             kShelves, {.limit_s = 0})
                          .value();
  EXPECT_FALSE(weak.stands);
  expect_whole(weak);
  EXPECT_GE(weak.counts.alike, 1u);

  // A refusal takes with it all that agree in what was read: one run for the stakes and the posts in number.
  const Answer refused = decide(job("[[structure]]\npattern = \"masts\"\n[structure.choices]\nheight = 3000\n"
                                    "[structure.open]\nin_ground = [400, 500]\nstakes = true\nmasts = [1, 2, 3]\n"),
                                kShelves, {.limit_s = 0})
                             .value();
  EXPECT_FALSE(refused.stands);
  expect_whole(refused);
  EXPECT_EQ(refused.counts.refused, 12u);
  EXPECT_EQ(refused.plans, 0);
  EXPECT_EQ(refused.most_often, "less than a fifth stands in the ground");
}

}  // namespace
}  // namespace garthwright::decide
