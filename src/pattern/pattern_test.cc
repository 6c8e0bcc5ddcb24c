// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <cstdio>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <random>

#include "base/source_dir_for_tests.h"
#include "pattern/job.h"
#include "pattern/verbs.h"

namespace garthwright::pattern {
namespace {

using testing::HasSubstr;
namespace fs = std::filesystem;

const std::string kSource = source_dir();

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

  void share(const std::string& name, const std::string& text) const {
    fs::create_directories(folder_ / "shared");
    std::ofstream(folder_ / "shared" / (name + ".lua")) << text << "\n";
  }

  Result<Built> build(const std::string& choices = "", std::set<std::string>* read = nullptr) const {
    const Shelves shelves{{folder_.string()}, {kSource + "/catalogues"}};
    const Result<Job> job = parse_job(
        "format = 1\n[timber]\ncatalogue = 'harrow-lane'\n[[structure]]\npattern = 'own'\n"
        "[structure.choices]\n" +
            choices,
        "job.toml", shelves);
    if (!job) return tl::make_unexpected(job.error());
    int next = 0;
    return pattern::build(*job, job->orders.front(), shelves, 0, next, read);
  }
  std::string folder() const { return folder_.string(); }
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

const std::string kLap = std::string(kPost) +
                         "local r = place { name = 'rail', section = '4x2', runs = 'right', wide = 'up', length = 600, "
                         "at = { x = -250, y = -45, z = 1000 } } meet(r, p)\n"
                         "connect { bodies = { r, p }, kinds = { 'structural screw', 'screw' }, load = 700 }";

// 22 N/mm² by thumb: 6 mm bear 792 N, 5 mm 550 N.
TEST(Connect, TakesTheWeakestOfTheBestKindThatWillDoAndListsTheRest) {
  const Result<Built> built = OwnPattern(kLap).build();
  ASSERT_TRUE(built) << to_string(built.error().front());
  const Structure& s = built->structure;
  ASSERT_EQ(s.connections.size(), 1u);
  EXPECT_EQ(s.connections[0].name, "rail to post");
  EXPECT_EQ(s.connections[0].taken, "1 x structural screw 6");
  EXPECT_EQ(s.connections[0].candidates.front(), s.connections[0].taken);
  EXPECT_THAT(s.connections[0].candidates, testing::Contains("2 x structural screw 8"));
  ASSERT_EQ(s.fixings.size(), 1u);
  EXPECT_EQ(s.fixings[0].item, "structural screw 6x85");
  EXPECT_EQ(s.fixings[0].connection, 0);
}

TEST(Connect, IsAsTheJobSaysWhereItSays) {
  const OwnPattern lap(kLap);
  const Result<Built> built = lap.build("[structure.fixings]\n'rail to post' = '2 x bolt M10'\nrail = 'screw'\n");
  ASSERT_TRUE(built) << to_string(built.error().front());
  ASSERT_EQ(built->structure.fixings.size(), 2u);
  EXPECT_EQ(built->structure.fixings[0].item, "bolt M10x180");  // 45 + 95 mm of timber and 20 for the nut
  EXPECT_TRUE(built->structure.connections[0].given);
  EXPECT_THAT(lap.error("[structure.fixings]\n'rail to pots' = '2 x screw'\n"),
              testing::AllOf(HasSubstr("job.toml:8:"), HasSubstr("own has no joints called \"rail to pots\""),
                             HasSubstr("did you mean rail to post?")));
  EXPECT_THAT(lap.error("[structure.fixings]\nrail = '2 x bolt M11'\n"),
              testing::AllOf(HasSubstr("job.toml:8:"), HasSubstr("sells no fixing 'bolt M11'; did you mean bolt M1")));
  EXPECT_THAT(lap.error("[structure.fixings]\nrail = '1 x bolt M8x110'\n"),
              testing::AllOf(HasSubstr("job.toml:8:"), HasSubstr("no bolt M8x110 that suits"), HasSubstr("would do")));
}

// A ledger's hold in the wall is a joint like others: the shortest coach screw that goes 80 mm into it, or what the job
// says.
TEST(Connect, HoldsALedgerAsTheJobSays) {
  const OwnPattern ledger(
      "local l = place { name = 'ledger', section = '4x2', runs = 'right', wide = 'up', length = 2000 }\n"
      "on_wall(l, 'back', { every = 500 })");
  const Result<Built> built = ledger.build();
  ASSERT_TRUE(built) << to_string(built.error().front());
  const Structure& s = built->structure;
  ASSERT_EQ(s.connections.size(), 1u);
  EXPECT_EQ(s.connections[0].name, "ledger to wall");
  ASSERT_GE(s.fixings.size(), 5u);  // no farther apart than 500 of 2000 mm
  EXPECT_EQ(s.fixings[0].item, "coach screw M10x150");
  EXPECT_EQ(s.connections[0].candidates.front(), std::to_string(s.fixings.size()) + " x coach screw M10");
  EXPECT_GT(s.connections[0].candidates.size(), 1u);

  const Result<Built> given = ledger.build("[structure.fixings]\n'ledger to wall' = '9 x coach screw M10'\n");
  ASSERT_TRUE(given) << to_string(given.error().front());
  EXPECT_EQ(given->structure.fixings.size(), 9u);
  EXPECT_TRUE(given->structure.connections[0].given);
  EXPECT_THAT(ledger.error("[structure.fixings]\nledger = '2 x coach screw M8'\n"),
              testing::AllOf(HasSubstr("job.toml:8:"), HasSubstr("no coach screw M8 that reaches through")));
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

// Lua writes a table by its address, which is another in every run: the same pattern would give other bytes.
TEST(Sandbox, NothingIsNamedByItsAddress) {
  for (const char* attack : {"error(tostring({}))", "error(tostring(print_length))", "error(('%s'):format(c))",
                             "error(string.format('%d %s', 1, place))", "error(string.format('%p', {}))",
                             "error(string.format('%%%-20p', 'a'))", "local x = _G[{}]", "_G[{}] = 1"}) {
    const std::string said = OwnPattern(attack).error();
    EXPECT_THAT(said,
                testing::AnyOf(HasSubstr("has no text; give a number, a text or a length"), HasSubstr("has no %p"),
                               HasSubstr("there is no \"table\""), HasSubstr("\"table\" is not declared")))
        << attack;
    EXPECT_THAT(said, testing::Not(HasSubstr("0x"))) << attack;
  }
  EXPECT_THAT(
      OwnPattern("error(tostring(nil) .. tostring(true) .. tostring(2) .. string.format('%5.1f%%%s', 1, 'p'))").error(),
      HasSubstr("niltrue2  1.0%p"));
}

// What a pattern makes outside Lua is counted too; each of these took gigabytes or minutes, or ended the program.
TEST(Sandbox, OneBudgetHoldsForAllThatIsMade) {
  const std::string post =
      "local function post(i, more) local t = { name = 'post', section = '4x4', runs = 'up', "
      "wide = 'back', length = 2000, at = { x = 200 * i } } for k, v in pairs(more or {}) do "
      "t[k] = v end return place(t) end\n";
  const struct {
    const char *build, *says;
  } kAttacks[] = {
      {"local a = named('a', 1) for i = 1, 1e9 do a = derive('a', 1, 'a', a) end", "quantities in all"},
      {"local a = named('a', 1) for i = 1, 60 do a = a * a end local p = post(1) "
       "for i = 1, 1e9 do local b = a * a end",
       "too-much"},
      {"local a = named('a', 1) for i = 1, 1e9 do a = a + named('b' .. i, 1) end", "a sum of more than 50 quantities"},
      {"for i = 1, 1e9 do remark('x', 'so ' .. i) end", "too-much"},
      {"post(1, { group = 'g' }) for i = 1, 1e9 do assembly('g') end", "joints, fixings, cuts and remarks"},
      {"for i = 1, 1e9 do post(i % 1000) end", "more than 5000 timbers and panels"},
      {"for i = 1, 1e9 do post(i % 1000, { note = ('x'):format() .. ('%99s'):format('n') }) end", "too-much"},
      {"local s = 'x' for i = 1, 20 do s = s .. s end post(1, { name = s })", "is a text of 1048576 bytes"},
      {"local j = {} for i = 1, 100000 do j[i] = 1000 end post(1, { joins_at = j })", "a list of lengths"},
      {"local j = {} for i = 1, 51 do j[i] = 1000 end post(1, { joins_at = j })", "give 50 at most"},
      {"local a = post(1) local b = place { name = 'rail', section = '4x2', runs = 'right', wide = 'up', length = 900, "
       "at = { x = a.right, z = 500 } } meet(a, b) for i = 1, 1e9 do fix { through = { a, b }, count = 1000 } end",
       "too-much"},
      {"local a = post(1) local b = place { name = 'rail', section = '4x2', runs = 'right', wide = 'up', length = 900, "
       "at = { x = a.right, z = 500 } } meet(a, b) fix { through = { a, b }, every = 0.001 }",
       "give 10 mm or more"},
      {"local a = post(1) local b = place { name = 'rail', section = '4x2', runs = 'right', wide = 'up', length = 900, "
       "at = { x = a.right, z = 500 } } meet(a, b) for i = 1, 1e9 do fix { through = { a, b }, count = 2 } end",
       "the pattern runs"},  // too many steps, or under sanitizers too many seconds
      {"local t = {} for i = 1, 150000 do t['k' .. i] = i end for n = 1, 1e9 do for k in pairs(t) do end end", "o"},
  };
  for (const auto& attack : kAttacks) {
    const std::clock_t began = std::clock();  // processor time: a busy machine is nobody's fault
    const std::string said = OwnPattern(post + attack.build).error();
    EXPECT_THAT(said, testing::AllOf(HasSubstr(attack.says), testing::ContainsRegex("own.lua:[34]"))) << attack.build;
    EXPECT_LT(static_cast<double>(std::clock() - began) / CLOCKS_PER_SEC, 15) << attack.build;
  }
}

TEST(Sandbox, ThePageAboutPatternsHasTheSameFigures) {
  std::ifstream page(kSource + "/docs/patterns.md");
  const std::string text((std::istreambuf_iterator<char>(page)), {});
  const Limits limits;
  for (const auto& [figure, of] :
       std::vector<std::pair<std::int64_t, std::string>>{{limits.steps, "steps"},
                                                         {limits.traced, "quantities"},
                                                         {limits.bodies, "timbers and panels"},
                                                         {limits.parts, "joints"},
                                                         {static_cast<std::int64_t>(limits.memory_bytes >> 20), "MB"},
                                                         {limits.text_bytes, "bytes"},
                                                         {static_cast<std::int64_t>(kLongestText), "bytes"},
                                                         {static_cast<std::int64_t>(limits.seconds), "s"}})
    EXPECT_THAT(text, HasSubstr(fmt::format("{} {}", figure, of)));
}

TEST(Sandbox, EveryVerbRefusesANameItDoesNotKnow) {
  for (const Verb* verb : all_verbs()) {
    if (verb->table == 0) continue;
    std::string given;
    for (int i = 1; i < verb->table; ++i) given += "p, ";
    const OwnPattern pattern(std::string(kPost) + "\n" + verb->name + "(" + given + "{ nmae_of_none = 1 })");
    EXPECT_THAT(pattern.error(), HasSubstr(fmt::format("own.lua:5: error: {} has no 'nmae_of_none'", verb->name)));
  }
}

/// Each verb, each of its names, given a thing of no use to it.
TEST(Sandbox, EveryNameRefusesWhatItDoesNotTake) {
  for (const Verb* verb : all_verbs())
    for (const Name& name : verb->names) {
      std::string given;
      for (int i = 1; i < verb->table; ++i) given += "p, ";
      const OwnPattern pattern(std::string(kPost) + "\n" + verb->name + "(" + given + "{ " + name.name +
                               " = math.sin })");
      EXPECT_THAT(pattern.error(),
                  HasSubstr(fmt::format("own.lua:5: error: {} of {} is a function; give ", name.name, verb->name)));
    }
}

TEST(Sandbox, ThePageAboutPatternsNamesEveryVerbAndName) {
  std::ifstream page(kSource + "/docs/patterns.md");
  const std::string text((std::istreambuf_iterator<char>(page)), {});
  for (const Verb* verb : all_verbs()) {
    EXPECT_THAT(text, HasSubstr(verb->name));
    for (const Name& name : verb->names) EXPECT_THAT(text, HasSubstr(name.name)) << verb->name;
  }
}

template <class Word>
void expect_listed(const std::string& page, Word last) {
  for (int i = 0; i <= static_cast<int>(last); ++i)
    EXPECT_THAT(page, HasSubstr(fmt::format("`{}`", name(static_cast<Word>(i)))));
}

TEST(Shared, WhatPatternsHaveInCommonIsRunOnce) {
  const OwnPattern pattern(
      "local a, b = shared 'sizes', shared 'sizes' if a ~= b then error 'twice' end\n" +
      std::string("place { name = 'post', section = '4x4', runs = 'up', wide = 'right', length = a.high() }"));
  pattern.share("sizes", "local half = shared 'half' return { high = function() return half.of(1800) end }");
  pattern.share("half", "return { of = function(l) return l / 2 end }");
  const Result<Built> built = pattern.build();
  ASSERT_TRUE(built) << to_string(built.error().front());
  EXPECT_EQ(built->structure.pieces.at(0).length.value(), 900);
}

TEST(Shared, FaultsAreSaidWhereTheyAre) {
  const OwnPattern pattern("shared 'sizes'");
  EXPECT_THAT(pattern.error(), HasSubstr("own.lua:3: error: there is no shared file \"sizes\""));
  pattern.share("sizes", "return 7");
  EXPECT_THAT(pattern.error(), HasSubstr("sizes.lua hands out a number"));
  pattern.share("sizes", "return shared 'sizes'");
  EXPECT_THAT(pattern.error(), HasSubstr("sizes.lua:1: error: the shared files go round in a circle at \"sizes\""));
  pattern.share("sizes", "local t = {}\nt.x = nothing_known\nreturn t");
  EXPECT_THAT(pattern.error(), HasSubstr("sizes.lua:2: error: "));
  pattern.rewrite("shared '../own'");
  EXPECT_THAT(pattern.error(), HasSubstr("cannot be the name of a shared file"));
}

TEST(Shared, TheYardsMeasureIsNotThePrints) {
  const OwnPattern pattern("refuse('x', counts_in() .. ', printed ' .. print_length(named('n', 254)))");
  const auto says = [&](const std::string& yard, const std::string& units) {
    const Shelves shelves{{pattern.folder()}, {kSource + "/catalogues"}};
    const Result<Job> job = parse_job(
        "format = 1\nunits = '" + units + "'\n[timber]\ncatalogue = '" + yard + "'\n[[structure]]\npattern = 'own'\n",
        "job.toml", shelves);
    if (!job) return to_string(job.error().front());
    int next = 0;
    return to_string(pattern::build(*job, job->orders.front(), shelves, 0, next).error().front());
  };
  EXPECT_THAT(says("mill-creek", "mm"), HasSubstr("ft-in, printed 254 mm"));
  EXPECT_THAT(says("harrow-lane", "ft-in"), HasSubstr("mm, printed 10\""));
}

TEST(Duties, ThePageAboutPatternsListsEveryRoleJointAndDuty) {
  std::ifstream page(kSource + "/docs/patterns.md");
  const std::string text((std::istreambuf_iterator<char>(page)), {});
  expect_listed(text, Role::other);
  expect_listed(text, JointKind::on_shoe);
  expect_listed(text, kLastDuty);
  expect_listed(text, Show::underside);
}

TEST(Duties, AreWhatThePatternSays) {
  const OwnPattern pattern(
      "local function bar(more) local t = { name = 'bar', section = '4x2', runs = 'right', wide = 'up', length = 900 } "
      "for k, v in pairs(more) do t[k] = v end return place(t) end\n"
      "bar { role = 'rafter', duty = { 'roof', 'climber' } } bar { role = 'beam', duty = 'nothing', show = 'nothing' } "
      "bar { role = 'batten', carries = false } "
      "panel { name = 'p', width = 900, height = 900, thickness = 30, runs = 'right', at = { y = 500 } }");
  const Result<Built> built = pattern.build();
  ASSERT_TRUE(built) << to_string(built.error().front());
  const Structure& s = built->structure;
  EXPECT_EQ(s.pieces[0].duties, (Duties{Duty::roof, Duty::climber}));
  EXPECT_EQ(s.pieces[0].show, Show::middle);
  EXPECT_TRUE(s.pieces[1].duties.none());
  EXPECT_EQ(s.pieces[1].show, Show::nothing);
  EXPECT_FALSE(s.pieces[2].carries);
  EXPECT_EQ(s.panels[0].duties, Duties{Duty::screen});
}

TEST(Sandbox, WrongThingsAreRefusedWithTheirLine) {
  const struct {
    const char *build, *says;
  } kWrong[] = {
      {"place { name = 'a', section = { number = 0, width = 10, thickness = 10 }, runs = 'up', wide = 'back', length = "
       "9 }",
       "section of place is a table; give a section that a choice gave, or its trade name"},
      {"place { name = 'a', section = c.shape, runs = 'up', wide = 'back', length = 9 }",
       "section of place is an end shape"},
      {"shape(p, { ends = 'bothe', profile = c.shape })", "ends of shape is 'bothe'; did you mean both?"},
      {"shape(p, { profile = c.post })", "profile of shape is a section"},
      {"local q = place { name = 'b', section = '4x4', runs = 'up', wide = 'back', length = 2000, at = { x = 900 } }\n"
       "butt { name = 'r', section = '4x2', runs = 'right', wide = 'up', length = 9, between = { p, q } }",
       "butt has no 'length'"},
      {"place { name = 'a', section = '4x4', runs = 'up', wide = 'back', length = 9, between = { p, p } }",
       "place has no 'between'"},
      {"place { name = 'a', section = '4x4', runs = 'up', wide = 'back', length = 9, straight = 'no' }",
       "straight of place is 'no'; give true or false"},
      {"place { name = 'a', section = '4x4', runs = 'up', wide = 'back', length = 1e15 }",
       "length of place is 1e+15 mm; lengths go up to 1000 m"},
      {"place { name = 'a', section = '4x4', runs = 'up', wide = 'back', length = 9, at = { x = 0/0 } }",
       "not a finite number"},
      {"place { name = 'a', section = '4x4', runs = 'up', wide = 'back', length = 9, at = { q = 1 } }",
       "at of place has no 'q'"},
      {"place { name = 'a', section = '4x4', runs = 'upp', wide = 'back', length = 9 }",
       "runs of place is 'upp'; give a way"},
      {"place { name = 'a\\27[31m', section = '4x4', runs = 'up', wide = 'back', length = 9 }", "control characters"},
      {"place { name = '\\xff', section = '4x4', runs = 'up', wide = 'back', length = 9 }", "no UTF-8"},
      {"place { name = 'a', role = 'rafter', section = '4x2', runs = 'right', wide = 'up', length = 900 }",
       "a does not say what the rafter is for; give duty = \"roof\""},
      {"place { name = 'a', duty = 'roff', section = '4x2', runs = 'right', wide = 'up', length = 900 }",
       "duty of place is 'roff'; did you mean roof?"},
      {"place { name = 'a', duty = 'roof', carries = false, section = '4x2', runs = 'right', wide = 'up', length = 9 }",
       "a carries nothing, and its duty is to carry; leave out carries = false"},
      {"place { name = 'a', show = 'face', section = '4x2', runs = 'right', wide = 'up', length = 9 }",
       "show of place is 'face'; did you mean faces?"},
      {"halve(p, p)", "a piece cannot cross itself"},
      {"meet(p, p)", "a piece cannot be joined to itself"},
      {"meet(p)", "meet takes 2 to 3 things, not 1"},
      {"rest(p, { p }, 'why')", "a piece cannot rest on itself"},
      {"fix { through = { p, p } }", "two pieces or more, each once"},
      {"fix { through = { p } }", "two pieces or more, each once"},
      {"fix { through = { p, 7 } }", "through of fix is a table; give a list of pieces"},
      {"local b = named('a', 1e6) for i = 1, 60 do b = b * b end", "not a finite number"},
      {"taper(p, { face = 'up', along = 200, off = 20 })", "post has no long face that looks up; give the way"},
      {"taper(p, { face = 'left', along = 2001, off = 20 })", "a taper 2001 mm long of post, which is 2000 mm"},
      {"taper(p, { face = 'left', along = 200, off = 90 })",
       "leaves 5 of 95 mm at the end of post; leave 10 mm or more"},
      {"taper(p, { face = 'left', along = 200, off = 50 }) taper(p, { face = 'right', along = 90, off = 40 })",
       "leaves 5 of 95 mm at the end of post"},
      {"taper(p, { ends = 'top', face = 'left', along = 200, off = 20 })", "ends of taper is 'top'"},
      {"post_on_shoe(p, { diameter = 300, depth = 500 })", "post ends 0 mm above the ground; let it end 10 to 150 mm"},
      {"post_on_shoe(p, { diameter = 300, depth = 500, shoe = 'post sho 95 on a pin' })",
       "the yard sells no post shoe 'post sho 95 on a pin'; did you mean post shoe 95 on a pin"},
      {"local q = place { name = 'q', section = '6x6', runs = 'up', wide = 'back', length = 900, at = { z = 50 } }\n"
       "post_on_shoe(q, { diameter = 300, depth = 500 })",
       "the yard sells no post shoe for a post 145 mm wide; choose another post, or one of post shoe 95"},
      {"local q = place { name = 'q', section = '3x3', runs = 'up', wide = 'back', length = 900, at = { z = 50 } }\n"
       "post_on_shoe(q, { diameter = 300, depth = 500, upright = true })",
       "the yard sells no post shoe that holds it upright for a post 70 mm wide"},
      {"local q = place { name = 'q', section = '4x4', runs = 'up', wide = 'back', length = 900, at = { z = 50 } }\n"
       "post_on_shoe(q, { diameter = 100, depth = 500 })",
       "the pad of q is 100 mm wide and the post 134 from corner to corner; make the pad wider"},
      {"stand_loose({ p }, { on = 'grass' })", "on of stand_loose is 'grass'; known are ground, paving, deck"},
      {"local q = lay { name = 'q', section = '4x4', from = { x = 0, y = 0, z = 0 }, to = { x = 900, y = 0, z = 300 }, "
       "ends = 'square' }\n"
       "stand_loose({ q })",
       "q has no level face to stand on; let it lie level, or cut its end level"},
      {"longest_sold { number = 0 }", "longest_sold takes a section, not a table"},
      {"c.post.width = 3", "attempt to index"},
      {"local x = c.post.number", "a section has no 'number'"},
  };
  const std::string choices =
      "{ name = 'post', unit = 'section', role = 'post', help = 'p' }, { name = 'shape', unit = 'profile', default = "
      "'ogee', help = 's' }";
  for (const auto& wrong : kWrong) {
    const std::string said = OwnPattern(std::string(kPost) + wrong.build, choices).error();
    EXPECT_THAT(said, testing::AllOf(HasSubstr(wrong.says), testing::ContainsRegex("own.lua:[45]: error")))
        << wrong.build;
  }
}

// The line of a call that stands last in its function is the one below it on the stack.
TEST(Sandbox, WhatRunsTooLongNamesItsLine) {
  EXPECT_THAT(OwnPattern("\nwhile true do end").error(), HasSubstr("own.lua:4: error: the pattern runs too long"));
  EXPECT_THAT(OwnPattern("\nlocal t = {} for i = 1, 1e9 do t[i] = {} end").error(), HasSubstr("own.lua:4: error"));
  EXPECT_THAT(OwnPattern(std::string("local function f(p) return meet(p) end\n") + kPost + "f(p)").error(),
              HasSubstr("own.lua:"));
}

TEST(Sandbox, ErrorsNameThePatternsLine) {
  EXPECT_THAT(OwnPattern("local x = 1\nerror('broken')").error(), HasSubstr("own.lua:4: error: broken"));
  EXPECT_THAT(OwnPattern("local x = nil + 1").error(), HasSubstr("own.lua:3: error: attempt to perform arithmetic"));
  EXPECT_THAT(OwnPattern("this is not Lua").error(), HasSubstr("own.lua:3:"));
  EXPECT_THAT(OwnPattern("missspelt()").error(), HasSubstr("there is no \"missspelt\""));
  EXPECT_THAT(OwnPattern("x = 1").error(), HasSubstr("write local x"));
  EXPECT_THAT(OwnPattern("place { nme = 'post' }").error(), HasSubstr("place has no 'nme'; did you mean name?"));
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

TEST(Verbs, MirrorGivesBackTheSameNames) {
  const OwnPattern pattern(
      std::string(kPost) +
      "local rail = place { name = 'rail', section = '4x2', runs = 'right', wide = 'up', length = 300, "
      "at = { x = p.right, z = 900 } }\n"
      "local other = mirror({ post = p, rail = rail, same = p }, { across = 'right', at = 1000 })\n"
      "error(mm(other.post.right) .. ' ' .. mm(other.rail.width) .. ' ' .. mm(other.same.left))");
  EXPECT_THAT(pattern.error(), HasSubstr("2000.0 95.0 1905.0"));  // the post stood from 0 to 95
  EXPECT_THAT(OwnPattern(std::string(kPost) + "mirror({ post = 3 }, { across = 'right', at = 0 })").error(),
              HasSubstr("post of what is mirrored is a number; give a piece or a panel"));
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

/// What a run looked at is noted, also where it ends in a refusal, so that others that agree in it need not be run.
TEST(Choices, NoteWhatWasReadOfThem) {
  const OwnPattern pattern(
      "if c.a > 300 then refuse('a', 'too long', 'be shorter') end\nlocal q = c.b\n" + std::string(kPost),
      "{ name = 'a', unit = 'length', least = 1, most = 900, default = 100, help = 'a' },"
      "{ name = 'd', unit = 'length', least = 1, most = 900, default = 100, help = 'd' },"
      "{ name = 'b', unit = 'length', least = 1, most = 900, help = 'b',"
      "  default = function(c) return c.d * 2 end },"
      "{ name = 'c', unit = 'length', least = 1, most = 900, default = 100, help = 'c' }");
  std::set<std::string> read;
  ASSERT_TRUE(pattern.build("", &read));
  EXPECT_THAT(read, testing::UnorderedElementsAre("a", "b", "d"));
  ASSERT_FALSE(pattern.build("a = 400", &read));
  EXPECT_THAT(read, testing::UnorderedElementsAre("a", "d"));
  ASSERT_FALSE(pattern.build("c = 1000", &read));
  EXPECT_THAT(read, testing::UnorderedElementsAre("c", "d"));
}

TEST(Choices, WalkedTogetherAreAllRead) {
  const OwnPattern pattern(
      "local n = 0\nfor name, value in pairs(c) do n = n + 1 end\n"
      "if n ~= 2 then refuse('a', n .. ' choices', '') end\n" +
          std::string(kPost),
      "{ name = 'a', unit = 'length', least = 1, most = 900, default = 100, help = 'a' },"
      "{ name = 'b', unit = 'length', least = 1, most = 900, default = 100, help = 'b' }");
  std::set<std::string> read;
  ASSERT_TRUE(pattern.build("", &read));
  EXPECT_THAT(read, testing::UnorderedElementsAre("a", "b"));
}

TEST(Open, IsReadAsValuesARangeOrAll) {
  const auto order = [](const std::string& lines) {
    const Result<Job> job = parse_job(
        "format = 1\n[timber]\ncatalogue = 'harrow-lane'\n[[structure]]\n"
        "pattern = 'arbor'\n" +
            lines,
        "job.toml", {{kSource + "/patterns"}, {kSource + "/catalogues"}});
    return job ? Result<Order>(job->orders.front()) : tl::make_unexpected(job.error());
  };
  const auto error = [&](const std::string& lines) {
    const Result<Order> read = order(lines);
    return read ? std::string("no error") : to_string(read.error().front());
  };
  const Result<Order> read = order(
      "[structure.open]\npost = ['4x4', '6x6']\nin_ground = { from = 600, to = '80 cm', step = 50 }\nbrace_leg = "
      "true\n");
  ASSERT_TRUE(read);
  ASSERT_EQ(read->open.choices.size(), 3u);
  const auto named = [&](const std::string& name) {
    for (const OpenChoice& open : read->open.choices)
      if (open.name == name) return open;
    return OpenChoice{};
  };
  EXPECT_EQ(named("post").values, (std::vector<OpenChoice::Value>{"4x4", "6x6"}));
  EXPECT_EQ(named("in_ground").range->to, 800);
  EXPECT_TRUE(named("brace_leg").values.empty() && !named("brace_leg").range);
  const Result<Order> all = order("open = 'all but opening, height'\n");
  ASSERT_TRUE(all);
  EXPECT_TRUE(all->open.all);
  EXPECT_EQ(all->open.all_but, (std::vector<std::string>{"opening", "height"}));

  EXPECT_EQ(error("open = 'most'\n"),
            "job.toml:6:8: error: open is 'most'; write open = \"all\", open = \"all but opening, height\", or a table "
            "[structure.open] of choices [bad-open]");
  EXPECT_EQ(error("[structure.open]\npost = false\n"),
            "job.toml:7:8: error: post is open for neither a list, a range nor all; write [\"4x4\", \"6x6\"], { from = "
            "600, to = 1000, step = 100 } or true [wrong-type]");
  EXPECT_EQ(error("[structure.open]\nin_ground = { from = 900, to = 600 }\n"),
            "job.toml:7:32: error: in_ground is open from more to less; give the least first [bad-open]");
  EXPECT_EQ(error("[structure.open]\nin_ground = { from = 600, too = 900 }\n"),
            "job.toml:7:13: error: the range of in_ground has no to; add to = … [missing-key]");
}

TEST(Open, NamesChoicesThatThePatternHas) {
  const Shelves shelves{{kSource + "/patterns"}, {kSource + "/catalogues"}};
  const Result<Job> job = parse_job(
      "format = 1\n[timber]\ncatalogue = 'harrow-lane'\n[[structure]]\npattern = 'arbor'\n"
      "[structure.choices]\nopening = 1350\n[structure.open]\npots = true\n",
      "job.toml", shelves);
  ASSERT_TRUE(job);
  int next = 0;
  const Result<Built> built = pattern::build(*job, job->orders.front(), shelves, 0, next);
  ASSERT_FALSE(built);
  EXPECT_EQ(to_string(built.error().front()),
            "job.toml:9:8: error: arbor has no choice \"pots\"; did you mean post? [unknown-choice]");
}

}  // namespace
}  // namespace garthwright::pattern
