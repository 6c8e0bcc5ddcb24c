// SPDX-License-Identifier: Apache-2.0
#include "decide/decide.h"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "decide/decide_json.h"

namespace garthwright::decide {
namespace {

using testing::HasSubstr;

const std::string kSource = GARTHWRIGHT_SOURCE_DIR;
const pattern::Shelves kShelves{{kSource + "/patterns"}, {kSource + "/catalogues"}};

std::string job_text(const std::string& structure, const std::string& site = "") {
  return fmt::format("format = 1\n[site]\n{}\n[timber]\ncatalogue = \"harrow-lane\"\n[[structure]]\n{}\n", site,
                     structure);
}

pattern::Job job(const std::string& text) {
  Result<pattern::Job> read = pattern::parse_job(text, "job.toml", kShelves);
  EXPECT_TRUE(read) << to_string(read.error().front());
  return *read;
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

/// Small enough to look at each: what is found is the least, and the proof covers every combination once.
TEST(Decide, FindsTheLeastOfAll) {
  for (const auto& [structure, site] : std::vector<std::pair<std::string, std::string>>{
           {"pattern = \"arbor\"\n[structure.choices]\nopening = 1200\n[structure.open]\npost = [\"4x4\", \"6x6\"]\n"
            "in_ground = { from = 600, to = 900, step = 150 }\nhole_diameter = { from = 250, to = 400, step = 75 }\n"
            "brace_leg = [0, 400]\n",
            "exposure = \"sheltered\"\nclimber = \"none\""},
           {"pattern = \"arbor\"\n[structure.choices]\nopening = 1000\nbrace_leg = 0\n[structure.open]\n"
            "rafters = { from = 2, to = 5 }\nin_ground = [700, 1000]\nheight = [1900, 2100]\n",
            "exposure = \"sheltered\"\nclimber = \"none\"\nsnow = 0"}}) {
    const pattern::Job read = job(job_text(structure, site));
    const Result<std::vector<Open>> opens = open_choices(read, kShelves);
    ASSERT_TRUE(opens);
    const Least least = of_all(read, *opens);
    const Result<Answer> answer = decide(read, kShelves, {.limit_s = 0});
    ASSERT_TRUE(answer);
    expect_whole(*answer);
    EXPECT_EQ(answer->combinations, least.combinations);
    ASSERT_EQ(answer->stands, least.total.has_value());
    if (least.total) {
      EXPECT_EQ(answer->total, *least.total);
    }
  }
}

TEST(Decide, SaysTheSameTwice) {
  const pattern::Job read =
      job(job_text("pattern = \"arbor\"\n[structure.choices]\nopening = 1200\n[structure.open]\n"
                   "post = [\"4x4\", \"6x6\"]\nin_ground = { from = 600, to = 800, step = 100 }\n",
                   "exposure = \"sheltered\""));
  const auto once = [&] {
    Answer answer = decide(read, kShelves, {.limit_s = 0}).value();
    answer.seconds = 0;
    return decide_json(answer);
  };
  EXPECT_EQ(once(), once());
}

TEST(Decide, SaysWhatIsWrongWithWhatIsOpen) {
  const auto error = [](const std::string& lines) {
    const Result<Answer> answer = decide(
        job(job_text("pattern = \"arbor\"\n[structure.choices]\nopening = 1200\n" + lines)), kShelves, {.limit_s = 5});
    return answer ? std::string("no error") : to_string(answer.error().front());
  };
  EXPECT_EQ(error(""),
            "job.toml: error: the job leaves no choice open; write [structure.open] with the choices to settle "
            "(docs/job-file.md), or ask for --advice [nothing-open]");
  EXPECT_THAT(error("[structure.open]\npost = [\"4x4\", \"4x5\"]\n"),
              HasSubstr("job.toml:10:8: error: post is open for '4x5'; did you mean 4x"));
  EXPECT_EQ(error("[structure.open]\nin_ground = [600, 100]\n"),
            "job.toml:10:13: error: in_ground is open for 100; give 200 mm to 1500 mm [bad-open]");
  EXPECT_EQ(error("[structure.open]\nin_ground = { from = 100, to = 600 }\n"),
            "job.toml:10:13: error: in_ground is open beyond what arbor takes; give 200 mm to 1500 mm [bad-open]");
  EXPECT_EQ(
      error("[structure.open]\npost = { from = 1, to = 2 }\n"),
      "job.toml:10:8: error: post is open from one value to another, and is no number; list its values [bad-open]");
  EXPECT_EQ(error("[structure.open]\nrafters = [2.5]\n"),
            "job.toml:10:11: error: rafters is open for 2.5; give 1 to 60 [bad-open]");
}

TEST(Decide, ReadsValuesInTheJobsOwnUnits) {
  const pattern::Job read = job(
      "format = 1\nunits = \"ft-in\"\n[timber]\ncatalogue = \"mill-creek\"\n[[structure]]\npattern = \"arbor\"\n"
      "[structure.choices]\nopening = '4 ft'\n[structure.open]\nin_ground = ['2 ft 6 in', '3 ft']\nrafters = [4, 5]\n");
  const Result<std::vector<Open>> opens = open_choices(read, kShelves);
  ASSERT_TRUE(opens) << to_string(opens.error().front());
  ASSERT_EQ(opens->size(), 2u);
  EXPECT_EQ(in_toml(opens->front(), opens->front().values.front(), read.style), "\"2' 6\\\"\"");
  EXPECT_EQ(in_toml(opens->back(), opens->back().values.front(), read.style), "4");
}

/// What no combination cures is said with its proof.
TEST(Decide, ProvesThatNoneStands) {
  const pattern::Job read =
      job(job_text("pattern = \"arbor\"\n[structure.choices]\nopening = 2400\nbrace_leg = 0\n"
                   "[structure.open]\npost = [\"4x4\"]\nin_ground = [300, 350]\n",
                   "exposure = \"coast\"\nclimber = \"wisteria\""));
  const Result<Answer> answer = decide(read, kShelves, {.limit_s = 0});
  ASSERT_TRUE(answer);
  EXPECT_FALSE(answer->stands);
  expect_whole(*answer);
  const auto json = nlohmann::json::parse(decide_json(*answer));
  EXPECT_EQ(json["verdict"], "none stands");
  EXPECT_TRUE(json["total_minor"].is_null());
  EXPECT_THAT(std::string(json["excluded"][0]["words"]), HasSubstr("most often fails"));
}

}  // namespace
}  // namespace garthwright::decide
