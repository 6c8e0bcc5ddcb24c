// SPDX-License-Identifier: Apache-2.0
// A country's words and customs: the pieces are called so, joints may be named either way, nothing else changes.
#include "pattern/country.h"

#include <gmock/gmock.h>

#include <filesystem>
#include <set>

#include "pattern/patterns_for_tests.h"

namespace garthwright::pattern {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::Not;

std::vector<Built> built_in(const std::string& country, const std::string& pattern, const std::string& choices,
                            const std::string& fixings = "") {
  const std::string site = country.empty() ? "" : "[site]\ncountry = '" + country + "'";
  const std::string more = fixings.empty() ? "" : "\n[structure.fixings]\n" + fixings;
  const Result<Job> job = testing::job_of(pattern, choices + more, site);
  if (!job) throw std::runtime_error(to_string(job.error().front()));
  Result<std::vector<Built>> all = build_all(*job, testing::shelves());
  if (!all) throw std::runtime_error(to_string(all.error().front()));
  return *std::move(all);
}

std::multiset<std::string> names(const Built& built) {
  std::multiset<std::string> all;
  for (const Piece& piece : built.structure.pieces) all.insert(piece.name);
  return all;
}

TEST(Country, AmericansHangPicketsOnCrossRails) {
  const auto plain = names(built_in("", "gate", "kind = 'picket'").front());
  const auto american = names(built_in("US", "gate", "kind = 'picket'").front());
  EXPECT_EQ(plain.count("pale"), american.count("picket"));
  EXPECT_EQ(plain.count("ledge"), american.count("cross rail"));
  EXPECT_EQ(plain.count("post"), american.count("post"));
  EXPECT_THAT(american, Not(Contains("pale")));
  EXPECT_EQ(plain.size(), american.size());
}

TEST(Country, JointsMayBeNamedInEitherWords) {
  for (const char* name : {"pale to ledge", "picket to cross rail"}) {
    const Built gate =
        std::move(built_in("US", "gate", "kind = 'picket'", std::string("'") + name + "' = '2 x screw 4x40'").front());
    for (const Connection& c : gate.structure.connections) {
      EXPECT_NE(c.name, "pale to ledge");
      if (c.name == "picket to cross rail") {
        EXPECT_TRUE(c.given);
        EXPECT_EQ(c.taken, "2 x screw 4x40");
      }
    }
  }
}

TEST(Country, SaysWhomToAskAboveACustomaryHeightAndNotBelow) {
  const auto asked = [](const std::string& country, int height) {
    std::string all;
    const std::vector<Built> fence = built_in(country, "fence", "height = " + std::to_string(height));
    for (const Diagnostic& d : fence.front().remarks)
      if (d.code == "ask-locally") all += d.what + " " + d.cure + "\n";
    return all;
  };
  EXPECT_EQ(asked("", 1900), "");
  EXPECT_EQ(asked("GB", 900), "");
  EXPECT_THAT(asked("GB", 1500), HasSubstr("beside a road with vehicles over 1 m"));
  EXPECT_THAT(asked("GB", 1500), Not(HasSubstr("over 2 m")));
  EXPECT_THAT(asked("GB", 2100), HasSubstr("over 2 m usually wants leave ask the planning department"));
  EXPECT_THAT(asked("IE", 1500), HasSubstr("over 1.2 m usually wants leave"));
}

TEST(Country, WordsCanBeTakenBack) {
  // A joint that is named in the country's words has to mean one of the patterns': no two share a word, none is
  // another's, and posts, which jobs name, keep theirs.
  for (const auto& file : std::filesystem::directory_iterator(testing::shelves().patterns.front())) {
    if (file.path().extension() != ".toml") continue;
    const Result<Job> job = testing::job_of("fence", "", "[site]\ncountry = '" + file.path().stem().string() + "'");
    ASSERT_TRUE(job);
    const auto country = country_of(*job, testing::shelves());
    ASSERT_TRUE(country && *country) << file.path();
    std::set<std::string> seen;
    for (const auto& [ours, theirs] : (*country)->words) EXPECT_TRUE(seen.insert(ours).second) << ours;
    for (const auto& [ours, theirs] : (*country)->words) EXPECT_TRUE(seen.insert(theirs).second) << theirs;
    EXPECT_THAT(seen, Not(Contains("post")));
    EXPECT_FALSE((*country)->ask.empty());
  }
}

}  // namespace
}  // namespace garthwright::pattern
