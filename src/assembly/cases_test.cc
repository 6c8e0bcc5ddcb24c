// SPDX-License-Identifier: Apache-2.0
#include "assembly/cases.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <map>
#include <nlohmann/json.hpp>
#include <set>

#include "assembly/access.h"
#include "assembly/blocking.h"
#include "assembly/planner.h"
#include "assembly/test_shapes.h"
#include "assembly/verifier.h"
#include "base/reference_for_tests.h"

namespace garthwright::assembly {
namespace {

using json = nlohmann::json;
using testing::Random;

// --- the reference cases as they stand -----------------------------------------------------------------------------

class ReferenceCases : public ::testing::Test {
 protected:
  void SetUp() override {
    text_ = reference::text("assembly/cases.json");
    file_ = json::parse(text_);
    const auto cases = read_cases(text_, "cases.json");
    ASSERT_TRUE(cases) << to_string(cases.error().front());
    cases_ = *cases;
    ASSERT_EQ(cases_.size(), 18u);
  }

  const json& given(const std::string& id) const {
    return *std::find_if(file_["cases"].begin(), file_["cases"].end(), [&](const json& c) { return c["id"] == id; });
  }

  std::string text_;
  json file_;
  std::vector<Case> cases_;
};

/// Whole numbers and names alike; numbers to what the file's own digits mean.
void expect_like(const json& expected, const json& answer, const std::string& where) {
  if (expected.is_number_float()) {
    EXPECT_NEAR(expected.get<double>(), answer.get<double>(), 0.006) << where;
  } else {
    EXPECT_EQ(expected, answer) << where;
  }
}

/// Every answer that `expect` knows, in the form of `expect`.
void expect_answers(const json& expected, const json& ask, const json& answer, const std::string& id) {
  if (expected.contains("first_removable")) {
    EXPECT_EQ(expected["first_removable"], answer["first_removable"]) << id;
  }
  const bool says_buildable = expected.contains("two_handed_buildable");
  if (ask.contains("plan")) {
    EXPECT_EQ(answer["plan"]["buildable"], says_buildable ? expected["two_handed_buildable"].get<bool>() : true) << id;
  }
  if (expected.contains("drivable")) {
    for (std::size_t i = 0; i < expected["drivable"].size(); ++i) {
      EXPECT_EQ(expected["drivable"][i]["is"], answer["drivable"][i]) << id << " drivable " << i;
    }
  }
  if (expected.contains("min_turns")) {
    for (std::size_t i = 0; i < ask["min_turns"].size(); ++i) {
      const json& question = ask["min_turns"][i];
      const json& known = question.contains("from") ? expected["min_turns_from"][question["from"].get<std::string>()]
                                                    : expected["min_turns"];
      EXPECT_EQ(known, answer["min_turns"][i]) << id << " min_turns " << i;
    }
  }
  if (expected.contains("states")) {
    const char* list = ask.contains("states") ? "states" : "mechanisms";
    for (std::size_t i = 0; i < expected["states"].size(); ++i) {
      for (const auto& [key, value] : expected["states"][i].items()) {
        const std::string where = id + " state " + std::to_string(i) + " " + key;
        if (key == "mechanisms") {
          expect_like(value, answer[list][i], where);
        } else if (key == "stable" || key == "persons" || key.find('_') != std::string::npos) {
          expect_like(value, answer[list][i][key], where);
        }
      }
    }
  }
  if (expected.contains("makespan")) {
    for (std::size_t i = 0; i < expected["makespan"].size(); ++i) {
      expect_like(expected["makespan"][i]["h"], answer["makespan"][i], id + " makespan");
    }
  }
}

TEST_F(ReferenceCases, AnswersEqualTheKnownOnes) {
  const auto text = answer_cases_json(text_, "cases.json");
  ASSERT_TRUE(text) << to_string(text.error().front());
  const json answers = json::parse(*text);
  for (const json& c : file_["cases"]) {
    const std::string id = c["id"];
    std::set<std::string> asked, answered;
    for (const auto& [key, value] : c["ask"].items()) asked.insert(key);
    for (const auto& [key, value] : answers[id].items()) answered.insert(key);
    EXPECT_EQ(asked, answered) << id;
    expect_answers(c["expect"], c["ask"], answers[id], id);
  }
}

TEST_F(ReferenceCases, AnswersAreTheSameBytesEachTime) {
  EXPECT_EQ(*answer_cases_json(text_, "cases.json"), *answer_cases_json(text_, "cases.json"));
}

TEST_F(ReferenceCases, SamplePlansAreJudgedAsTheirAuthorSays) {
  int judged = 0;
  for (const Case& c : cases_) {
    for (const SamplePlan& plan : c.plans) {
      const Verdict verdict = verify(c.assembly, plan.steps);
      EXPECT_EQ(verdict.accepted(), plan.valid) << c.id << ": " << plan.name << ": " << verdict.why;
      if (!plan.valid) {
        EXPECT_EQ(name(verdict.fault), plan.why) << c.id << ": " << plan.name;
      }
      ++judged;
    }
  }
  EXPECT_EQ(judged, 5);
}

TEST_F(ReferenceCases, TheImpossibleOneNamesThePiecesThatKeepEachOtherOut) {
  const auto answers = json::parse(*answer_cases_json(text_, "cases.json"));
  EXPECT_EQ(answers["G16"]["plan"], json::parse(R"({"buildable": false, "blocked": ["P1", "P2", "rail"]})"));
}

// --- counts of whole orders and partitions, as the file gives them -------------------------------------------------

/// Number of orders in which single pieces and fasteners can go in, the last-in leaving the whole first.
class OrderCount {
 public:
  explicit OrderCount(const Case& c)
      : case_(c),
        blocking_(c.assembly, c.directions),
        access_(c.assembly),
        n_(static_cast<int>(c.assembly.pieces.size())) {}

  long run() {
    PieceSet all = PieceSet::all(n_), fasteners = PieceSet::all(static_cast<int>(case_.assembly.fasteners.size()));
    return count(all, fasteners);
  }

 private:
  long count(const PieceSet& present, const PieceSet& driven) {
    const auto [known, is_new] = known_.try_emplace({present, driven}, 0);
    if (!is_new) return known->second;
    long orders = 0;
    bool anything_left = false;
    for (int i : present.members()) {
      if (case_.assembly.pieces[i].fixed) continue;
      anything_left = true;
      if (!holds(i, driven) && leaves(i, present)) {
        PieceSet rest = present;
        rest.erase(i);
        orders += count(rest, driven);
      }
    }
    for (int f : driven.members()) {
      anything_left = true;
      if (access_.fit(f, present, {0, 0, -1}, true) != Fit::fits) continue;
      PieceSet rest = driven;
      rest.erase(f);
      orders += count(present, rest);
    }
    if (!anything_left) orders = 1;
    return known_[{present, driven}] = orders;
  }

  bool holds(int piece, const PieceSet& driven) const {
    const auto list = driven.members();
    return std::any_of(list.begin(), list.end(), [&](int f) { return access_.joined(f).has(piece); });
  }
  bool leaves(int piece, const PieceSet& present) const {
    if (present.count() == 1) return true;
    for (int way = 0; way < static_cast<int>(blocking_.ways().size()); ++way) {
      if (blocking_.can_leave(way, piece, present, true)) return true;
    }
    return false;
  }

  const Case& case_;
  Blocking blocking_;
  Access access_;
  int n_;
  std::map<std::pair<PieceSet, PieceSet>, long> known_;
};

TEST_F(ReferenceCases, AsManyOrdersAsTheFileCounts) {
  int compared = 0;
  for (const Case& c : cases_) {
    const json& expected = given(c.id)["expect"];
    for (const char* key : {"linear_orders", "mixed_orders"}) {
      if (!expected.contains(key)) continue;
      EXPECT_EQ(OrderCount(c).run(), expected[key].get<long>()) << c.id;
      ++compared;
    }
  }
  EXPECT_EQ(compared, 11);
}

/// The moving halves of all straight partings: without the first fixed piece, else without the first.
std::map<std::vector<std::string>, std::vector<std::string>> partitions(const Case& c) {
  const Blocking blocking(c.assembly, c.directions);
  const int n = static_cast<int>(c.assembly.pieces.size());
  int anchor = 0;
  for (int i = n - 1; i >= 0; --i) {
    if (c.assembly.pieces[i].fixed) anchor = i;
  }
  std::map<std::vector<std::string>, std::vector<std::string>> found;
  for (int mask = 1; mask < 1 << n; ++mask) {
    if (mask >> anchor & 1) continue;
    PieceSet moving(n);
    for (int i = 0; i < n; ++i) {
      if (mask >> i & 1) moving.insert(i);
    }
    std::vector<std::string> ids, ways;
    for (int i : moving.members()) ids.push_back(c.assembly.pieces[i].id);
    for (int way = 0; way < static_cast<int>(c.directions.size()); ++way) {
      const auto list = moving.members();
      const bool free = std::all_of(list.begin(), list.end(),
                                    [&](int i) { return blocking.can_leave(way, i, PieceSet::all(n) - moving, true); });
      if (free) ways.push_back(*name_of(c.directions[way]));
    }
    std::sort(ids.begin(), ids.end());
    std::sort(ways.begin(), ways.end());
    if (!ways.empty()) found[ids] = ways;
  }
  return found;
}

TEST_F(ReferenceCases, PartitionsAreThoseOfTheFile) {
  int compared = 0;
  for (const Case& c : cases_) {
    const json& expected = given(c.id)["expect"];
    for (const char* key : {"partitions", "partitions_connected"}) {
      if (!expected.contains(key)) continue;
      const auto found = partitions(c);
      if (std::string(key) == "partitions") {
        EXPECT_EQ(found.size(), expected[key].size()) << c.id;
      }
      for (const json& p : expected[key]) {
        const auto ids = p[0].get<std::vector<std::string>>();
        ASSERT_TRUE(found.contains(ids)) << c.id << " " << p;
        EXPECT_EQ(found.at(ids), p[1].get<std::vector<std::string>>()) << c.id << " " << p;
        ++compared;
      }
    }
  }
  EXPECT_EQ(compared, 10);
}

// --- the same cases renamed, turned, mirrored and moved ------------------------------------------------------------

/// A symmetry of the axes: where each goes and whether it is reversed, then a shift.
struct Symmetry {
  std::array<int, 3> to{0, 1, 2};
  std::array<int, 3> sign{1, 1, 1};
  std::array<double, 3> shift{0, 0, 0};

  Vec3 of_way(Vec3 v) const {
    Vec3 w;
    for (int k = 0; k < 3; ++k) w[to[k]] = sign[k] * v[k];
    return w;
  }
  Vec3 of_point(Vec3 v) const { return of_way(v) + Vec3{shift[0], shift[1], shift[2]}; }
};

Symmetry random_symmetry(Random& random, bool upright) {
  Symmetry s;
  do {
    random.shuffle(s.to);
    for (int& sign : s.sign) sign = random.below(2) ? 1 : -1;
  } while (upright && (s.to[2] != 2 || s.sign[2] != 1));
  for (double& d : s.shift) d = random.below(400001) / 1000.0 - 200;
  if (upright) s.shift[2] = 0;
  return s;
}

json way_json(const Symmetry& s, const json& name) {
  const Vec3 w = s.of_way(*way_named(name.get<std::string>()));
  return *name_of(w);
}

json point_json(const Symmetry& s, const json& p) {
  const Vec3 v = s.of_point({p[0], p[1], p[2]});
  return {v.x, v.y, v.z};
}

json part_json(const Symmetry& s, const json& part) {
  if (part.contains("box")) {
    const json& b = part["box"];
    const Vec3 p = s.of_point({b[0], b[1], b[2]}), q = s.of_point({b[3], b[4], b[5]});
    return {{"box",
             {std::min(p.x, q.x), std::min(p.y, q.y), std::min(p.z, q.z), std::max(p.x, q.x), std::max(p.y, q.y),
              std::max(p.z, q.z)}}};
  }
  const json& prism = part["prism"];
  const int axis = prism["axis"].get<std::string>()[0] - 'x';
  const int u = axis == 0 ? 1 : 0, v = axis == 2 ? 1 : 2;
  const int new_axis = s.to[axis];
  const int new_u = new_axis == 0 ? 1 : 0, new_v = new_axis == 2 ? 1 : 2;
  json polygon = json::array();
  double from = 0, to = 0;
  for (const json& corner : prism["poly"]) {
    Vec3 lo, hi;
    lo[axis] = prism["range"][0], hi[axis] = prism["range"][1];
    lo[u] = hi[u] = corner[0];
    lo[v] = hi[v] = corner[1];
    const Vec3 a = s.of_point(lo), b = s.of_point(hi);
    from = std::min(a[new_axis], b[new_axis]);
    to = std::max(a[new_axis], b[new_axis]);
    polygon.push_back({a[new_u], a[new_v]});
  }
  // The sense of turning may have changed; the format wants counter-clockwise.
  double area = 0;
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    const json &p = polygon[i], &q = polygon[(i + 1) % polygon.size()];
    area += p[0].get<double>() * q[1].get<double>() - p[1].get<double>() * q[0].get<double>();
  }
  if (area < 0) std::reverse(polygon.begin(), polygon.end());
  return {{"prism",
           {{"axis", std::string(1, static_cast<char>('x' + new_axis))}, {"range", {from, to}}, {"poly", polygon}}}};
}

using Names = std::map<std::string, std::string>;

json renamed(const Names& names, const json& ids) {
  json list = json::array();
  for (const json& id : ids) list.push_back(names.at(id));
  return list;
}

/// The case as a stranger would hand it in: other names, other order, turned, and without its answers.
json disguised(const json& given, const Symmetry& s, Random& random, Names& names) {
  json c = given;
  for (const char* key : {"expect", "plans", "why", "title"}) c.erase(key);
  std::vector<int> numbers(100);
  for (int i = 0; i < 100; ++i) numbers[i] = i;
  random.shuffle(numbers);
  int used = 0;
  for (const char* list : {"pieces", "fasteners"}) {
    if (!c.contains(list)) continue;
    for (json& item : c[list]) {
      const std::string id = "n" + std::to_string(numbers[used++]);
      names[item["id"]] = id;
      item["id"] = id;
    }
  }
  const auto turn_down = [&](json& q) { q["down"] = way_json(s, q.contains("down") ? q["down"] : json("-z")); };
  if (c.contains("pieces")) {
    for (json& p : c["pieces"]) {
      for (json& part : p["parts"]) part = part_json(s, part);
      random.shuffle(p["parts"]);
    }
    random.shuffle(c["pieces"]);
  }
  if (c.contains("fasteners")) {
    for (json& f : c["fasteners"]) {
      f["joins"] = renamed(names, f["joins"]);
      f["head"] = point_json(s, f["head"]);
      f["out"] = way_json(s, f["out"]);
    }
    random.shuffle(c["fasteners"]);
  }
  json& ask = c["ask"];
  if (ask.contains("drivable")) {
    for (json& q : ask["drivable"]) {
      q["f"] = names.at(q["f"]);
      q["with"] = renamed(names, q["with"]);
      turn_down(q);
    }
  }
  if (ask.contains("states")) {
    for (json& q : ask["states"]) {
      q["placed"] = renamed(names, q["placed"]);
      turn_down(q);
    }
  }
  if (ask.contains("min_turns")) {
    for (json& q : ask["min_turns"]) {
      if (q.contains("from")) q["from"] = way_json(s, q["from"]);
    }
  }
  if (c.contains("final_down")) c["final_down"] = way_json(s, c["final_down"]);
  // The sample plans in the same disguise: not for the answers, but to be judged.
  if (given.contains("plans")) {
    c["plans"] = given["plans"];
    for (json& plan : c["plans"]) {
      for (json& step : plan["steps"]) {
        if (step.contains("drive")) {
          step["drive"] = names.at(step["drive"]);
          turn_down(step);
          continue;
        }
        step["move"] = renamed(names, step["move"]);
        step["to"] = renamed(names, step["to"]);
        step["dir"] = way_json(s, step["dir"]);
      }
    }
  }
  return c;
}

TEST_F(ReferenceCases, AnswersFollowRenamingTurningMirroringAndMoving) {
  Random random(20260);
  for (const json& given : file_["cases"]) {
    for (int round = 0; round < 25; ++round) {
      const bool upright = given.value("ground", false);
      const Symmetry s = random_symmetry(random, upright);
      Names names;
      const json c = disguised(given, s, random, names);
      const std::string text = json{{"cases", {c}}}.dump();
      const auto answers = answer_cases_json(text, "disguised.json");
      ASSERT_TRUE(answers) << to_string(answers.error().front()) << text;
      const json answer = json::parse(*answers)[given["id"].get<std::string>()];

      json expected = given["expect"];
      if (expected.contains("first_removable")) {
        json turned = json::object();
        for (const auto& [id, ways] : expected["first_removable"].items()) {
          std::vector<std::string> list;
          for (const json& way : ways) list.push_back(way_json(s, way));
          std::sort(list.begin(), list.end());
          turned[names.at(id)] = list;
        }
        expected["first_removable"] = turned;
      }
      if (expected.contains("min_turns_from")) {
        json turned = json::object();
        for (const auto& [way, turns] : expected["min_turns_from"].items()) {
          turned[way_json(s, way).get<std::string>()] = turns;
        }
        expected["min_turns_from"] = turned;
      }
      expect_answers(expected, c["ask"], answer, c["id"]);
      const Case read = read_cases(text, "disguised.json")->front();
      for (const SamplePlan& plan : read.plans) {
        const Verdict verdict = verify(read.assembly, plan.steps);
        EXPECT_EQ(verdict.accepted(), plan.valid) << c["id"] << ": " << plan.name << ": " << verdict.why;
      }
      if (answer.contains("plan") && !answer["plan"]["buildable"]) {
        EXPECT_GE(answer["plan"]["blocked"].size(), 2u);
      }
    }
  }
}

// --- wrong input ---------------------------------------------------------------------------------------------------

std::string first_error(const std::string& text) {
  const auto answers = answer_cases_json(text, "wrong.json");
  return answers ? "accepted" : to_string(answers.error().front());
}

TEST(WrongCases, AreNamedWithCaseAndKey) {
  using ::testing::HasSubstr;
  EXPECT_THAT(first_error("{\"cases\": [\n  {,}]}"), HasSubstr("wrong.json:2:4"));
  EXPECT_THAT(first_error("[]"), HasSubstr("file: is of type array, not an object"));
  EXPECT_THAT(first_error("{}"), HasSubstr("no 'cases'"));
  EXPECT_THAT(first_error(R"({"cases": [{"ask": {}}]})"), HasSubstr("case number 1: no 'id'"));
  EXPECT_THAT(first_error(R"({"cases": [{"id": "A"}]})"), HasSubstr("case A: no 'ask'"));
  EXPECT_THAT(first_error(R"({"cases": [{"id": "A", "ask": {"speed": true}}]})"), HasSubstr("case A.ask.speed"));
  EXPECT_THAT(first_error(R"({"cases": [{"id": "A", "ask": {"plan": true}}]})"), HasSubstr("case A: no 'pieces'"));
  const auto with_part = [](const std::string& part) {
    return R"({"cases": [{"id": "A", "ask": {"plan": true}, "pieces": [{"id": "p", "parts": [)" + part + "]}]}]}";
  };
  EXPECT_EQ(first_error(with_part(R"({"box": [0, 0, 0, 1, 1]})")),
            "wrong.json: error: case A.pieces[0].parts[0].box: has 5 numbers; give [x0, y0, z0, x1, y1, z1] "
            "[wrong-length]");
  EXPECT_THAT(first_error(with_part(R"({"box": [0, 0, 0, 1, 0, 1]})")), HasSubstr("the box has no volume"));
  EXPECT_THAT(first_error(with_part(R"({"box": [0, 0, 0, 1, "1", 1]})")), HasSubstr("box[4]: is of type string"));
  EXPECT_THAT(first_error(with_part(R"({"box": [0, 0, 0, 1, 1e9, 1]})")), HasSubstr("out-of-range"));
  EXPECT_THAT(first_error(with_part(R"({"box": [0, 0, 0, 1, 1e999, 1]})")), HasSubstr("bad-json"));
  EXPECT_THAT(
      first_error(with_part(R"({"prism": {"axis": "y", "range": [0, 1], "poly": [[0, 0], [9, 0], [1, 1], [0, 9]]}})")),
      HasSubstr("not a convex polygon"));
  EXPECT_THAT(first_error(R"({"cases": [{"id": "A", "ask": {"makespan": [{"workers": 1}]}, "tasks": [
                  {"id": "a", "h": 1, "after": [["b", 0]]}, {"id": "b", "h": 1, "after": [["a", 0]]}]}]})"),
              HasSubstr("waits for itself"));
  EXPECT_THAT(first_error(R"({"cases": [{"id": "A", "ask": {"sway": true}, "rho_m": 400, "d": 5, "spacing": 100,
                  "h": 2000, "screws": 2, "push": 100, "limit": "h / hundred"}]})"),
              HasSubstr("case A.limit"));
}

}  // namespace
}  // namespace garthwright::assembly
