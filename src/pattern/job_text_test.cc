// SPDX-License-Identifier: Apache-2.0
#include "pattern/job_text.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace garthwright::pattern {
namespace {

using Values = std::vector<std::pair<std::string, std::string>>;

std::string set(const std::string& text, const std::string& name, const std::string& value, std::size_t number = 0) {
  Result<JobText> job = JobText::read(text, "job.toml");
  if (!job) return to_string(job.error().front());
  const Result<void> done = job->set_choice(number, name, value);
  return done ? job->text() : to_string(done.error().front());
}

std::string settle(const std::string& text, const Values& values) {
  Result<JobText> job = JobText::read(text, "job.toml");
  if (!job) return to_string(job.error().front());
  const Result<void> done = job->settle(0, values);
  return done ? job->text() : to_string(done.error().front());
}

TEST(JobText, ReplacesAValueAndNothingElse) {
  EXPECT_EQ(
      set("format = 1  # é\n[[structure]]\npattern = 'arbor'\n[structure.choices]\n  opening = 1350   # "
          "clear\nrafters=5",
          "opening", "1400"),
      "format = 1  # é\n[[structure]]\npattern = 'arbor'\n[structure.choices]\n  opening = 1400   # clear\nrafters=5");
}

TEST(JobText, AddsAChoiceBehindTheLastOfItsTable) {
  EXPECT_EQ(set("[[structure]]\npattern = 'arbor'\n[structure.choices]\n  opening = 1350  # clear\n\n# the end\n",
                "post", "'4x4'"),
            "[[structure]]\npattern = 'arbor'\n[structure.choices]\n  opening = 1350  # clear\n  post = '4x4'\n\n# the "
            "end\n");
  EXPECT_EQ(set("[[structure]]\npattern = 'arbor'\n[structure.choices]", "post", "'4x4'"),
            "[[structure]]\npattern = 'arbor'\n[structure.choices]\npost = '4x4'\n");
  EXPECT_EQ(set("[[structure]]\npattern = 'a'\n[[structure]]\npattern = 'b'\nat = [0,\n 1]\n", "post", "'4x4'", 1),
            "[[structure]]\npattern = 'a'\n[[structure]]\npattern = 'b'\nat = [0,\n 1]\n\n[structure.choices]\npost = "
            "'4x4'\n");
}

TEST(JobText, KnowsTheOtherWaysToWriteATable) {
  EXPECT_EQ(set("[[structure]]\npattern = 'a'\nchoices = { opening = 1350 }  # so\n", "post", "'4x4'"),
            "[[structure]]\npattern = 'a'\nchoices = { opening = 1350, post = '4x4' }  # so\n");
  EXPECT_EQ(set("[[structure]]\nchoices.opening = 1350\npattern = 'a'\n", "post", "'4x4'"),
            "[[structure]]\nchoices.opening = 1350\nchoices.post = '4x4'\npattern = 'a'\n");
  EXPECT_EQ(set("structure = [{ pattern = 'a' }]\n", "post", "'4x4'"),
            "structure = [{ pattern = 'a', choices = { post = '4x4' } }]\n");
  EXPECT_EQ(set("[[structure]]\r\npattern = 'a'\r\n", "post", "'4x4'"),
            "[[structure]]\r\npattern = 'a'\r\n\r\n[structure.choices]\r\npost = '4x4'\r\n");
}

TEST(JobText, SaysWhatItCannotDo) {
  EXPECT_EQ(set("[[structure]]\npattern = 'a'\n", "post", "'4x4'", 3),
            "job.toml: error: the job has no such structure; change it by hand [cannot-edit]");
  EXPECT_EQ(set("[[structure]]\nchoices = 3\n", "post", "'4x4'"),
            "job.toml: error: choices is no table; change it by hand [cannot-edit]");
  EXPECT_THAT(set("[[structure]]\n", "post", "4x4"), testing::HasSubstr("not TOML"));
}

/// The open table goes; what was said of a choice goes with it, what was said between stays.
TEST(JobText, SettlesWhatWasOpen) {
  EXPECT_EQ(
      settle("[[structure]]\npattern = 'arbor'\n\n[structure.open]  # for decide\npost = ['4x4',  # thin\n  '6x6']\n"
             "in_ground = { from = 600, to = 800, step = 100 }  # rock below\n\n# sizes\n[structure.choices]\n"
             "opening = 1350\npost = '4x4'  # from the yard\n",
             {{"post", "'6x6'"}, {"in_ground", "700"}}),
      "[[structure]]\npattern = 'arbor'\n\n# for decide\n# thin\n\n# sizes\n[structure.choices]\n"
      "opening = 1350\npost = '6x6'  # from the yard\nin_ground = 700  # rock below\n");
  EXPECT_EQ(settle("[[structure]]\npattern = 'arbor'\nopen = \"all but opening\"  # the rest\n[structure.choices]\n"
                   "opening = 1350\n",
                   {{"post", "'6x6'"}}),
            "[[structure]]\npattern = 'arbor'\n# the rest\n[structure.choices]\nopening = 1350\npost = '6x6'\n");
  EXPECT_EQ(
      settle("[[structure]]\npattern = 'arbor'\n\n[structure.open]\npost = true\n\n[structure.choices]\nopening = 1\n",
             {{"post", "'6x6'"}}),
      "[[structure]]\npattern = 'arbor'\n\n[structure.choices]\nopening = 1\npost = '6x6'\n");
  EXPECT_EQ(
      settle("[[structure]]\npattern = 'arbor'\n[structure.choices]\nopening = 1\n[structure.open]\npost = true\n",
             {{"post", "'6x6'"}}),
      "[[structure]]\npattern = 'arbor'\n[structure.choices]\nopening = 1\npost = '6x6'\n");
  EXPECT_EQ(settle("[[structure]]\npattern = 'arbor'\nopen.post = true # all\n", {{"post", "'6x6'"}}),
            "[[structure]]\npattern = 'arbor'\n\n[structure.choices]\npost = '6x6'  # all\n");
}

TEST(JobText, SetsHowAJointIsFixed) {
  Result<JobText> job =
      JobText::read("[[structure]]\npattern = 'a'\n[structure.choices]\nopening = 1  # clear\n", "job.toml");
  ASSERT_TRUE(job && job->set_fixing(0, "rafter to beam", "'2 x bolt M10'"));
  ASSERT_TRUE(job->set_fixing(0, "brace", "'bolt M12'"));
  EXPECT_EQ(
      job->text(),
      "[[structure]]\npattern = 'a'\n\n[structure.fixings]\n\"rafter to beam\" = '2 x bolt M10'\nbrace = 'bolt M12'\n"
      "[structure.choices]\nopening = 1  # clear\n");
}

TEST(JobText, SetsTheSite) {
  Result<JobText> job = JobText::read("format = 1\n[[structure]]\npattern = 'a'\n", "job.toml");
  ASSERT_TRUE(job && job->set_site("exposure", "'sheltered'"));
  EXPECT_EQ(job->text(), "format = 1\n[site]\nexposure = 'sheltered'\n\n[[structure]]\npattern = 'a'\n");
  ASSERT_TRUE(job->set_site("exposure", "'average'"));
  EXPECT_EQ(job->text(), "format = 1\n[site]\nexposure = 'average'\n\n[[structure]]\npattern = 'a'\n");
}

TEST(JobText, QuotesText) {
  EXPECT_EQ(toml_text("4x4"), "\"4x4\"");
  EXPECT_EQ(toml_text("7' 6\""), "\"7' 6\\\"\"");
  EXPECT_EQ(toml_text("6\""), "'6\"'");
}

}  // namespace
}  // namespace garthwright::pattern
