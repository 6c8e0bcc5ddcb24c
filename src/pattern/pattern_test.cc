// SPDX-License-Identifier: Apache-2.0
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <cstdio>
#include <filesystem>
#include <fstream>
#include <random>

#include "pattern/job.h"

namespace garthwright::pattern {
namespace {

using testing::HasSubstr;
namespace fs = std::filesystem;

const std::string kSource = GARTHWRIGHT_SOURCE_DIR;

/// A shelf of the test's own with one pattern on it.
class OwnPattern {
 public:
  explicit OwnPattern(const std::string& build, const std::string& choices = "") {
    static int number = 0;
    folder_ = fs::temp_directory_path() /
              ("garthwright-pattern-test-" + std::to_string(::getpid()) + "-" + std::to_string(number++));
    fs::create_directories(folder_);
    rewrite(build, choices);
  }
  ~OwnPattern() { fs::remove_all(folder_); }

  void rewrite(const std::string& build, const std::string& choices = "") const {
    std::ofstream(folder_ / "own.lua") << "local pattern = { name = 'own', title = 'Own', choices = {" + choices +
                                              "} }\n"
                                              "function pattern.build(c)\n" +
                                              build + "\nend\nreturn pattern\n";
  }

  Result<Built> build(const std::string& choices = "") const {
    const Shelves shelves{{folder_.string()}, {kSource + "/catalogues"}};
    const Result<Job> job = parse_job(
        "format = 1\n[timber]\ncatalogue = 'harrow-lane'\n[[structure]]\npattern = 'own'\n"
        "[structure.choices]\n" +
            choices,
        "job.toml", shelves);
    if (!job) return tl::make_unexpected(job.error());
    int next = 0;
    return pattern::build(*job, job->orders.front(), shelves, 0, next);
  }
  std::string error(const std::string& choices = "") const {
    const Result<Built> built = build(choices);
    return built ? "no error" : to_string(built.error().front());
  }

 private:
  fs::path folder_;
};

const char* const kPost =
    "local p = place { name = 'post', section = '4x4', runs = 'up', wide = 'back', length = 2000 }\n";

TEST(Sandbox, HasNoWayOut) {
  for (const char* name : {"io", "os", "require", "load", "loadfile", "dofile", "debug", "package", "pcall", "xpcall",
                           "coroutine", "collectgarbage", "setmetatable", "getmetatable", "rawset", "print"}) {
    EXPECT_THAT(OwnPattern(std::string("local x = ") + name).error(),
                HasSubstr(std::string("there is no \"") + name + "\""));
  }
  EXPECT_THAT(OwnPattern("local s = ('x'):rep(1e9)").error(), HasSubstr("rep"));
  EXPECT_THAT(OwnPattern("math.random()").error(), HasSubstr("random"));
}

/// What a file was compiled to is kept: the second time it must say the same, and a changed file must be read.
TEST(Sandbox, RunsAFileAgainAsItIsNow) {
  const OwnPattern pattern("\n\nerror('first')");
  const std::string once = pattern.error();
  EXPECT_THAT(once, testing::AllOf(HasSubstr("own.lua:5"), HasSubstr("first")));
  EXPECT_EQ(pattern.error(), once);
  pattern.rewrite("error('second')");
  EXPECT_THAT(pattern.error(), testing::AllOf(HasSubstr("own.lua:3"), HasSubstr("second")));
  pattern.rewrite("return return");
  const std::string broken = pattern.error();
  EXPECT_THAT(broken, HasSubstr("own.lua:3"));
  EXPECT_EQ(pattern.error(), broken);
}

TEST(Sandbox, StopsWhatNeverEnds) {
  EXPECT_THAT(OwnPattern("while true do end").error(), HasSubstr("runs too long"));
  EXPECT_THAT(OwnPattern("local function f() return f() end f()").error(), HasSubstr("runs too long"));
  EXPECT_THAT(OwnPattern("local function f() return 1 + f() end f()").error(),
              testing::AnyOf(HasSubstr("stack overflow"), HasSubstr("no-memory")));
  EXPECT_THAT(OwnPattern("local t = {} for i = 1, 1e9 do t[i] = {} end").error(), HasSubstr("no-memory"));
  EXPECT_THAT(OwnPattern("local s = 'x' for i = 1, 1e9 do s = s .. s end").error(), HasSubstr("no-memory"));
}

TEST(Sandbox, ErrorsNameThePatternsLine) {
  EXPECT_THAT(OwnPattern("local x = 1\nerror('broken')").error(), HasSubstr("own.lua:4: error: broken"));
  EXPECT_THAT(OwnPattern("local x = nil + 1").error(), HasSubstr("own.lua:3: error: attempt to perform arithmetic"));
  EXPECT_THAT(OwnPattern("this is not Lua").error(), HasSubstr("own.lua:3:"));
  EXPECT_THAT(OwnPattern("missspelt()").error(), HasSubstr("there is no \"missspelt\""));
  EXPECT_THAT(OwnPattern("x = 1").error(), HasSubstr("write local x"));
  EXPECT_THAT(OwnPattern("place { nme = 'post' }").error(), HasSubstr("place has no \"nme\"; did you mean name?"));
  EXPECT_THAT(OwnPattern("local x = 1").error(), HasSubstr("builds nothing"));
}

TEST(Sandbox, PairsWalksInSortedOrder) {
  const OwnPattern pattern(std::string("local t = { c = 3, a = 1, b = 2, [2] = 'y', [1] = 'x' }\nlocal s = ''\n") +
                           "for k, v in pairs(t) do s = s .. k .. v .. ' ' end\nerror(s)");
  EXPECT_THAT(pattern.error(), HasSubstr("1x 2y a1 b2 c3"));
}

TEST(Lengths, RememberTheirSums) {
  const OwnPattern pattern(
      "place { name = 'post', section = '4x4', runs = 'up', wide = 'back', length = 2 * c.a - c.b / 4 + '1 in' }",
      "{ name = 'a', unit = 'length', least = 0, most = 5000, help = 'a' }, { name = 'b', unit = 'length', least = 0, "
      "most = 5000, help = 'b' }");
  const Result<Built> built = pattern.build("a = 1000\nb = '2 ft'");
  ASSERT_TRUE(built) << to_string(built.error().front());
  const Traced& length = built->structure.pieces[0].length;
  EXPECT_NEAR(length.value(), 2000 - 152.4 + 25.4, 1e-9);
  EXPECT_EQ(length.sum(), "2 × a 1000 − 1/4 × b 609.6 + 25.4");
}

TEST(Verbs, RefusalPointsAtTheJob) {
  const OwnPattern pattern("refuse('a', 'a is too small', 'give more')",
                           "{ name = 'a', unit = 'length', least = 0, most = 10, help = 'a' }");
  EXPECT_EQ(pattern.error("a = 5"), "job.toml:7:5: error: a is too small; give more [cannot-build]");
}

TEST(Verbs, FailWithThePiecesNames) {
  EXPECT_THAT(
      OwnPattern(std::string(kPost) + "local q = place { name = 'beam', section = '6x2', runs = 'right', wide = 'up', "
                                      "length = 900, at = { x = 500 } }\nmeet(p, q)")
          .error(),
      HasSubstr("post does not touch beam"));
  EXPECT_THAT(OwnPattern("place { name = 'post', section = '4x4', runs = 'up', wide = 'down', length = 900 }").error(),
              HasSubstr("same axis"));
  EXPECT_THAT(OwnPattern("place { name = 'post', section = '9x9', runs = 'up', wide = 'back', length = 900 }").error(),
              HasSubstr("sells no section"));
}

// No byte sequence as a job or a pattern crashes anything.
TEST(Bytes, AnyBytesAreAnswered) {
  std::ifstream file(kSource + "/patterns/arbor.lua", std::ios::binary);
  const std::string lua((std::istreambuf_iterator<char>(file)), {});
  const std::string job =
      "format = 1\ntitle = 'x'\n[saw]\nkerf = 3\n[timber]\ncatalogue = 'harrow-lane'\n[[structure]]\npattern = "
      "'arbor'\n"
      "at = [1, 2]\n[structure.choices]\nopening = 1350\nbeam_end = [[0, 1], [0.3, 1], [0.7, 0], [1, 0]]\n";
  std::mt19937 random(1);
  const auto mutated = [&](std::string bytes) {
    for (int i = 0; i < 1 + static_cast<int>(random() % 6); ++i) {
      const std::size_t at = random() % bytes.size();
      switch (random() % 3) {
        case 0:
          bytes[at] = static_cast<char>(random() % 256);
          break;
        case 1:
          bytes.erase(at, random() % 20);
          break;
        default:
          bytes.insert(at, bytes.substr(random() % bytes.size(), random() % 20));
      }
      if (bytes.empty()) bytes = "x";
    }
    return bytes;
  };
  const fs::path folder = fs::temp_directory_path() / ("garthwright-bytes-test-" + std::to_string(::getpid()));
  fs::create_directories(folder);
  const Shelves shelves{{folder.string()}, {kSource + "/catalogues"}};
  for (int i = 0; i < 300; ++i) {
    std::ofstream(folder / "arbor.lua", std::ios::binary) << (i % 2 == 0 ? lua : mutated(lua));
    const Result<Job> read = parse_job(i % 2 == 0 ? mutated(job) : job, "job.toml", shelves);
    if (!read) {
      EXPECT_TRUE(has_error(read.error()));
      continue;
    }
    for (const Order& order : read->orders) {
      int next = 0;
      const Result<Built> built = build(*read, order, shelves, 0, next);
      if (!built) {
        EXPECT_TRUE(has_error(built.error()));
      }
    }
  }
  fs::remove_all(folder);
}

// A post over a hollow of 120 mm is 120 mm longer, goes as deep below its own ground, and ends where the others end.
TEST(Levels, PostsFollowTheGroundAndTheTopStaysLevel) {
  const std::string text =
      "format = 1\n[timber]\ncatalogue = \"harrow-lane\"\n[[structure]]\npattern = \"arbor\"\n"
      "levels = { \"left back\" = -120, \"right front\" = \"4 cm\" }\n[structure.choices]\nopening = 1350\n";
  const Shelves shelves{{kSource + "/patterns"}, {kSource + "/catalogues"}};
  const auto structure_of = [&](const std::string& job) {
    const Result<Job> read = parse_job(job, "job.toml", shelves);
    EXPECT_TRUE(read);
    int next = 0;
    return build(*read, read->orders.front(), shelves, 0, next)->structure;
  };
  const Structure level = structure_of(
      "format = 1\n[timber]\ncatalogue = \"harrow-lane\"\n[[structure]]\n"
      "pattern = \"arbor\"\n[structure.choices]\nopening = 1350\n");
  const Structure sloped = structure_of(text);
  ASSERT_EQ(level.footings.size(), sloped.footings.size());
  for (std::size_t i = 0; i < level.footings.size(); ++i) {
    const Piece &before = level[level.footings[i].post], &after = sloped[sloped.footings[i].post];
    const double fall = after.where == "left back" ? 120 : after.where == "right front" ? -40 : 0;
    EXPECT_NEAR(after.length.value(), before.length.value() + fall, 1e-9) << after.where;
    const Box was = world_box(before.frame, before.blank()), is = world_box(after.frame, after.blank());
    EXPECT_NEAR(is.max.z, was.max.z, 1e-9) << after.where;
    EXPECT_NEAR(is.min.z, was.min.z - fall, 1e-9) << after.where;
    EXPECT_NEAR(sloped.footings[i].centre.z, -fall, 1e-9) << after.where;
  }
  const Result<Job> wrong = parse_job(
      "format = 1\n[timber]\ncatalogue = \"harrow-lane\"\n[[structure]]\npattern = \"arbor\"\n"
      "levels = { \"left bck\" = -120 }\n[structure.choices]\nopening = 1350\n",
      "job.toml", shelves);
  ASSERT_TRUE(wrong);
  int next = 0;
  const Result<Built> built = build(*wrong, wrong->orders.front(), shelves, 0, next);
  ASSERT_FALSE(built);
  EXPECT_EQ("unknown-post", built.error().front().code);
  EXPECT_THAT(built.error().front().cure, testing::HasSubstr("left back"));
}

TEST(Patterns, AllDescribeTheirChoices) {
  Diagnostics problems;
  const std::vector<PatternInfo> infos = list_patterns({{kSource + "/patterns"}, {}}, nullptr, {}, problems);
  EXPECT_TRUE(problems.empty());
  ASSERT_GE(infos.size(), 2u);
  for (const PatternInfo& info : infos) {
    EXPECT_FALSE(info.title.empty()) << info.name;
    EXPECT_FALSE(info.choices.empty()) << info.name;
  }
}

}  // namespace
}  // namespace garthwright::pattern
