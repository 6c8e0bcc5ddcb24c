// SPDX-License-Identifier: Apache-2.0
//
// Gardens by chance: two to five parts, turned, on uneven ground, some sharing posts, set down without looking where
// the others stand. Nothing crashes, what stands in one place is told, and masses are the sums of the solids.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <random>

#include "base/source_dir_for_tests.h"
#include "plan/plan.h"
#include "solid/neighbours.h"
#include "structure/garden_frame.h"

namespace garthwright {
namespace {

const std::string kSource = source_dir();
const pattern::Shelves kShelves{{kSource + "/patterns", kSource + "/tests/patterns"}, {kSource + "/catalogues"}};

class Chance {
 public:
  explicit Chance(unsigned seed) : engine_(seed) {}
  int whole(int least, int most) {
    return least + static_cast<int>(engine_() % static_cast<unsigned>(most - least + 1));
  }
  bool yes(int percent) { return whole(1, 100) <= percent; }

 private:
  std::mt19937 engine_;
};

std::string choices_by_chance(Chance& chance, const std::string& pattern) {
  if (pattern == "raised_bed")
    return fmt::format("length = {}\nwidth = {}\ncourses = {}\n", chance.whole(700, 3000), chance.whole(600, 1500),
                       chance.whole(1, 4));
  if (pattern == "stub_fence")
    return fmt::format("bay = {}\nheight = {}\nboards = {}\n", chance.whole(600, 2500), chance.whole(500, 1800),
                       chance.whole(0, 5));
  if (pattern == "hung_gate")
    return fmt::format("width = {}\nfoot = {}\n", chance.whole(600, 1100), chance.whole(40, 150));
  return fmt::format("opening = {}\nbrace_leg = {}\n", chance.whole(900, 2000), chance.yes(50) ? 300 : 0);
}

std::string garden_by_chance(unsigned seed) {
  Chance chance(seed);
  std::string text = "format = 1\n[timber]\ncatalogue = \"harrow-lane\"\n";
  if (chance.yes(70)) {
    text += "[ground]\npoints = [";
    for (int i = 0; i < 6; ++i)
      text += fmt::format("{}[{}, {}, {}]", i == 0 ? "" : ", ", chance.whole(-4000, 9000), chance.whole(-4000, 9000),
                          chance.whole(-120, 120));
    text += "]\n";
  }
  static const char* const kPatterns[] = {"raised_bed", "stub_fence", "hung_gate", "arbor"};
  const int parts = chance.whole(2, 5);
  std::vector<std::pair<std::string, std::string>> posts;  // that may be shared: the part, and its post
  std::vector<int> turns;
  for (int i = 0; i < parts; ++i) {
    const std::string pattern = kPatterns[chance.whole(0, 3)], name = fmt::format("part {}", i + 1);
    const bool shares = pattern == "stub_fence" && !posts.empty() && chance.yes(60);
    text += fmt::format("[[structure]]\nname = \"{}\"\npattern = \"{}\"\n", name, pattern);
    if (shares) {
      const auto which = static_cast<std::size_t>(chance.whole(0, static_cast<int>(posts.size()) - 1));
      text += fmt::format("turn = {}\nshares = {{ \"left post\" = \"{}/{}\" }}\n",
                          (turns[which] + 90 * chance.whole(0, 3)) % 360, posts[which].first, posts[which].second);
    } else {
      const int turn = chance.yes(50) ? 90 * chance.whole(-1, 2) : chance.whole(-180, 180);
      text += fmt::format("at = [{}, {}]\nturn = {}\n", chance.whole(0, 6000), chance.whole(0, 6000), turn);
      if (pattern == "stub_fence" || pattern == "hung_gate" || pattern == "arbor") {
        posts.emplace_back(name, pattern == "arbor" ? "right front post" : "right post");
        turns.push_back(turn);
      }
    }
    text += "[structure.choices]\n" + choices_by_chance(chance, pattern);
  }
  return text;
}

bool inside(const solid::Block& block, Vec3 point, double deep) {
  return std::any_of(block.parts.begin(), block.parts.end(), [&](const ConvexPart& part) {
    return std::all_of(part.planes.begin(), part.planes.end(),
                       [&](const Plane& plane) { return height_above(plane, point) < -deep; });
  });
}

/// Points within a body, some in each of its parts.
std::vector<Vec3> points_of(const solid::Block& block) {
  std::vector<Vec3> points;
  for (const ConvexPart& part : block.parts) {
    Vec3 middle;
    for (const Vec3& v : part.vertices) middle = middle + (1.0 / static_cast<double>(part.vertices.size())) * v;
    points.push_back(middle);
    for (const Vec3& v : part.vertices)
      for (const double near : {0.3, 0.6, 0.9}) points.push_back(middle + near * (v - middle));
  }
  return points;
}

/// By points alone, which is no way the program looks for it: whether two bodies stand in one place.
bool stand_in_one_place(const solid::Block& a, const solid::Block& b) {
  if (!overlaps(a.box, b.box, 1)) return false;
  for (const auto& [one, other] : {std::pair{&a, &b}, std::pair{&b, &a}})
    for (const Vec3& p : points_of(*one))
      if (inside(*other, p, 1)) return true;
  return false;
}

bool told(const Diagnostics& found, const std::string& code, const std::string& a, const std::string& b) {
  return std::any_of(found.begin(), found.end(), [&](const Diagnostic& d) {
    return d.code == code && d.what.find(a) != std::string::npos && d.what.find(b) != std::string::npos;
  });
}

/// Each piece weighed by itself: its part's mass, and no piece counted twice, be it shared.
void expect_sums_of_solids(const Plan& plan, const std::vector<solid::Solids>& solids) {
  std::vector<double> of_rows(plan.garden.structures.size(), 0);
  std::vector<std::size_t> counted(plan.garden.structures.size(), 0);
  for (const PieceRow& row : plan.pieces) {
    of_rows[static_cast<std::size_t>(row.structure_index)] += row.quantity * row.mass_kg;
    counted[static_cast<std::size_t>(row.structure_index)] += static_cast<std::size_t>(row.quantity);
  }
  for (std::size_t i = 0; i < plan.garden.structures.size(); ++i) {
    const Structure& s = plan.garden.structures[i];
    double kg = 0;
    for (int p = 0; p < static_cast<int>(s.pieces.size()); ++p)
      kg += solids[i].measures(body(PieceId{p})).volume_mm3 / 1e9 * s[s[PieceId{p}].section].density_as_bought_kg_m3;
    EXPECT_NEAR(plan.wholes[i].timber_kg, kg, 1e-6 * kg) << s.name;
    EXPECT_NEAR(of_rows[i], kg, 1e-6 * kg) << s.name;
    EXPECT_EQ(counted[i], s.pieces.size()) << s.name;
  }
}

/// Looks at one garden; false where the job could not be built, with words that say so.
bool look_at(unsigned seed) {
  SCOPED_TRACE(fmt::format("garden {}", seed));
  const std::string text = garden_by_chance(seed);
  const Result<pattern::Job> job = pattern::parse_job(text, "garden.toml", kShelves);
  if (!job) {
    ADD_FAILURE() << to_string(job.error().front()) << '\n' << text;
    return false;
  }
  PlanOptions options;
  options.checks = false;
  std::vector<solid::Solids> solids;
  const Result<Plan> plan = make_plan(*job, kShelves, options, &solids);
  if (!plan) {
    EXPECT_TRUE(has_error(plan.error()));
    EXPECT_FALSE(plan.error().front().cure.empty()) << to_string(plan.error().front());
    return false;
  }
  expect_sums_of_solids(*plan, solids);
  const std::vector<Structure>& structures = plan->garden.structures;
  const Diagnostics& found = plan->diagnostics;
  for (std::size_t i = 0; i < structures.size(); ++i) {
    const auto here = solid::blocks_of(structures[i], solids[i], garden_frame(structures[i]), i);
    for (std::size_t a = 0; a < here.size(); ++a)
      for (std::size_t b = a + 1; b < here.size(); ++b)
        if (stand_in_one_place(here[a], here[b])) {
          EXPECT_TRUE(
              told(found, "clash", describe(structures[i], here[a].body), describe(structures[i], here[b].body)))
              << describe(structures[i], here[a].body) << " in " << describe(structures[i], here[b].body);
        }
    for (std::size_t k = i + 1; k < structures.size(); ++k) {
      const auto there = solid::blocks_of(structures[k], solids[k], garden_frame(structures[k]), k);
      bool in_one_place = false;
      for (const solid::Block& a : here)
        for (const solid::Block& b : there) in_one_place = in_one_place || stand_in_one_place(a, b);
      if (in_one_place) {
        EXPECT_TRUE(told(found, "parts-clash", structures[i].name, structures[k].name))
            << structures[i].name << " in " << structures[k].name << '\n'
            << text;
      }
    }
  }
  return true;
}

TEST(RandomGardens, WeighWhatTheirSolidsWeighAndStandInOnePlaceOnlyWhereItIsTold) {
  constexpr unsigned kGardens = 300;
  unsigned built = 0;
  for (unsigned i = 1; i <= kGardens; ++i) built += look_at(i) ? 1 : 0;
  EXPECT_GT(built, kGardens / 2);  // most can be built: the test looks at something
}

}  // namespace
}  // namespace garthwright
