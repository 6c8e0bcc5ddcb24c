// SPDX-License-Identifier: Apache-2.0
#include "strength/study.h"

#include <fmt/format.h>
#include <gmock/gmock.h>

#include <map>

#include "pattern/job.h"
#include "strength/cases.h"
#include "strength/checks.h"
#include "strength/site_loads.h"
#include "structure/check_words.h"

namespace garthwright::strength {
namespace {

using testing::AnyOf;
using testing::HasSubstr;

const std::string kSource = GARTHWRIGHT_SOURCE_DIR;

Structure built(const std::string& pattern, const std::string& choices, const std::string& yard = "harrow-lane") {
  const pattern::Shelves shelves{{kSource + "/patterns"}, {kSource + "/catalogues"}};
  const auto job = pattern::parse_job(
      fmt::format(
          "format = 1\n[timber]\ncatalogue = \"{}\"\n[[structure]]\npattern = \"{}\"\n[structure.choices]\n{}\n", yard,
          pattern, choices),
      "test.toml", shelves);
  if (!job) throw std::runtime_error(to_string(job.error().front()));
  int letter = 0;
  auto made = pattern::build(*job, job->orders.front(), shelves, 0, letter);
  if (!made) throw std::runtime_error(to_string(made.error().front()));
  return std::move(made->structure);
}

/// Sand, as it is under most of the tests here.
std::vector<BaseSpring> ground_under(const Structure& s) { return {s.footings.size(), BaseSpring{400, 4e7, 430}}; }

/// Rows of one structure by their ids within it: "A1/bending".
std::map<std::string, Check> by_id(const Report& report, const Structure& s) {
  std::map<std::string, Check> rows;
  for (const Check& c : report.checks) rows[words_of(c, s).id.substr(s.name.size() + 1)] = c;
  return rows;
}
std::map<std::string, Check> checked(const Structure& s, const Site& site = {}) {
  return by_id(study({s}, site, {ground_under(s)}), s);
}

// ---- forces ---------------------------------------------------------------------------------------------------------

TEST(Cases, WhatTheGroundGivesBackIsWhatIsPutOn) {
  for (const char* pattern : {"arbor", "pergola"}) {
    const Structure s =
        built(pattern, pattern == std::string("arbor") ? "opening = 1350" : "length = 4000\ndepth = 3000");
    const Site site;
    const auto solved = solve(s, site, ground_under(s));
    ASSERT_TRUE(solved);
    for (const Case& c : solved->ultimate) {
      Vec3 on, back;
      double size = 0;
      const frame::Loads loads = solved->loads(c);
      for (const frame::NodeLoad& l : loads.on_nodes) on = on + Vec3{l.force_n[0], l.force_n[1], l.force_n[2]};
      for (const frame::MemberLoad& l : loads.on_members) {
        const double length = solved->unit[0].members[l.member].length_mm;
        const auto& q = l.uniform_n_per_mm;
        on = on + length * Vec3{q[0], q[1], q[2]};
        size += length * (std::abs(q[0]) + std::abs(q[1]) + std::abs(q[2]));
      }
      for (std::size_t i = 0; i < solved->model.frame.supports.size(); ++i) {
        const auto f = solved->reaction(c, i).force_n;
        back = back + Vec3{f[0], f[1], f[2]};
      }
      EXPECT_LT(norm(on + back), 1e-7 * (size + 1)) << words_of(c.when, s);
    }
  }
}

// One trellis side of 1.0 × 1.83 m, grown shut, in 24 m/s over farmland: q_p = 0.52 kPa at 2.3 m (EN 1991-1-4 (4.8)),
// coefficient 1.8 (signboards, 7.4.3): 1.71 kN; posts and rails beside it add their own. By hand.
TEST(SiteLoads, AnOvergrownSideCatchesTheWindOfASolidPanel) {
  const Structure s = built("arbor", "opening = 1100\npanel_width = 1000\npanel_height = 1830\nheight = 2100");
  const Site site;
  const Model model = model_of(s, {});
  const SiteLoads loads(s, model, site);
  const auto along_x = [&](double plant, double coverage) {
    double sum = 0;
    const frame::Loads l = loads.wind({1, 0, 0}, plant, coverage);
    for (const frame::NodeLoad& n : l.on_nodes) sum += n.force_n[0];
    for (const frame::MemberLoad& m : l.on_members) {
      const auto& a = model.frame.nodes[model.frame.members[m.member].ends[0]].at_mm;
      const auto& b = model.frame.nodes[model.frame.members[m.member].ends[1]].at_mm;
      sum += m.uniform_n_per_mm[0] * std::hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
    }
    return sum;
  };
  const double pressure = wind_pressure(site, loads.top());
  EXPECT_NEAR(pressure, 0.52e-3, 0.02e-3);
  const double bare = along_x(0, 0), grown = along_x(1, 1);
  const double panels = 2 * 1000 * 1830 * pressure;
  // What the plant adds: two sides closed instead of open lattice, and the foliage's edge over the roof.
  EXPECT_GT(grown - bare, panels * (1.8 - 1.0));
  EXPECT_LT(grown - bare, panels * 1.8 + 300 * 1600 * pressure * 2);
}

// ---- sense ----------------------------------------------------------------------------------------------------------

struct Choices {
  const char* pattern;
  const char* text;
  const char* yard;
};
const std::vector<Choices> kSome{{"arbor", "opening = 1200", "harrow-lane"},
                                 {"arbor", "opening = 1900\nrafters = 3\nbrace_leg = 300", "harrow-lane"},
                                 {"arbor", "opening = \"4 ft\"", "mill-creek"},
                                 {"pergola", "length = 4500\ndepth = 3000", "harrow-lane"},
                                 {"pergola", "length = 3000\ndepth = 2400\nagainst = \"wall\"", "harrow-lane"}};

Site site_of(const Choices& choices) {
  Site site;
  if (choices.yard == std::string("mill-creek")) site.route = Site::Route::us, site.wind_m_s = 40;
  return site;
}

TEST(Study, MoreWindNeverLowersWhatIsUsed) {
  for (const Choices& choices : kSome) {
    const Structure s = built(choices.pattern, choices.text, choices.yard);
    Site site = site_of(choices);
    const auto calm = checked(s, site);
    site.wind_m_s *= 1.3;
    const auto windy = checked(s, site);
    ASSERT_EQ(calm.size(), windy.size());
    for (const auto& [id, row] : calm) EXPECT_GE(windy.at(id).utilisation, row.utilisation * (1 - 1e-9)) << id;
  }
}

TEST(Study, AThickerPostNeverBendsMore) {
  for (const char* pattern : {"arbor", "pergola"}) {
    const std::string size = pattern == std::string("arbor") ? "opening = 1350\n" : "length = 4000\ndepth = 3000\n";
    const auto thin = checked(built(pattern, size + "post = \"4x4\"")),
               thick = checked(built(pattern, size + "post = \"6x6\""));
    for (const char* id : {"racking", "racking-across"})
      EXPECT_LT(thick.at(id).demand, thin.at(id).demand) << pattern << id;
    EXPECT_LT(thick.at("A1/bending").utilisation, thin.at("A1/bending").utilisation);
  }
}

TEST(Study, BracesStopTheRacking) {
  const auto rows = checked(built("arbor", "opening = 1350"));
  const Check& racking = rows.at("racking");
  EXPECT_LT(racking.demand, 0.6 * racking.capacity);  // with braces beside without
  EXPECT_THAT(racking.plain, HasSubstr("until the braces are in"));
  EXPECT_THAT(checked(built("arbor", "opening = 1350\nbrace_leg = 0")).at("racking").plain, HasSubstr("no braces"));
}

TEST(Study, MoreScrewsCarryMore) {
  Structure s = built("arbor", "opening = 1350");
  const auto before = checked(s);
  // Each fixing of a brace once more, beside itself.
  const std::size_t had = s.fixings.size();
  for (std::size_t i = 0; i < had; ++i)
    for (const Body b : s.fixings[i].through)
      if (b.kind == Body::Kind::piece && s.pieces[static_cast<std::size_t>(b.index)].role == Role::brace) {
        Fixing more = s.fixings[i];
        more.head.z += 15;
        s.fixings.push_back(more);
        break;
      }
  ASSERT_GT(s.fixings.size(), had);
  EXPECT_LT(checked(s).at("A1-E1/joint").utilisation, before.at("A1-E1/joint").utilisation);
}

// ---- what cannot be checked is not passed ---------------------------------------------------------------------------

TEST(Study, NothingToStandOnIsNoPass) {
  Structure s = built("arbor", "opening = 1350");
  s.footings.clear();
  std::erase_if(s.joints, [](const Joint& j) { return j.a == kGround || j.b == kGround; });
  const Report report = study({s}, {}, {{}});
  ASSERT_EQ(report.checks.size(), 1U);
  EXPECT_EQ(report.checks[0].verdict, Verdict::attention);  // neither a pass nor a failure
  EXPECT_THAT(report.checks[0].plain, HasSubstr("stands on nothing"));
}

TEST(Study, AMechanismIsNamedInWords) {
  frame::Frame f;
  f.nodes = {{"left post A1@0", {0, 0, 0}}, {"left post A1@2000", {0, 0, 2000}}};
  f.members = {{"post", {0, 1}, 9025, 6.8e6, 6.8e6, 1.1e7, 11000, 690, {1, 0, 0}}};
  f.supports = {{0, {frame::kRigid, frame::kRigid, frame::kRigid, frame::kRigid, 0, frame::kRigid}}};
  const auto way = frame::find_mechanism(f);
  ASSERT_TRUE(way);
  EXPECT_THAT(words_of(f, *way), AnyOf(HasSubstr("left post A1 racks along the opening"), HasSubstr("can turn")));
}

TEST(Study, AGradeThatIsNotKnownIsSaid) {
  Structure s = built("arbor", "opening = 1350");
  for (timber::Section& section : s.sections) section.strength_class = "Z99";
  const auto rows = checked(s);
  ASSERT_TRUE(rows.contains("Z99/grade"));
  EXPECT_NE(rows.at("Z99/grade").verdict, Verdict::ok);
  EXPECT_FALSE(rows.contains("A1/bending"));
}

TEST(Study, EveryRowSaysWhereItIsFrom) {
  for (const Choices& choices : kSome) {
    const Structure s = built(choices.pattern, choices.text, choices.yard);
    for (const auto& [id, c] : checked(s, site_of(choices))) {
      EXPECT_FALSE(c.source.empty()) << id;
      EXPECT_FALSE(c.plain.empty()) << id;
      EXPECT_FALSE(words_of(c, s).when.empty()) << id;
      EXPECT_TRUE(std::isfinite(c.utilisation) && std::isfinite(c.capacity)) << id;
    }
  }
}

// ---- movement -------------------------------------------------------------------------------------------------------

// EN 336:2013 4.3: 45 mm at 28 % is 45 × (1 - 0.0025 × 12) = 43.65 at 16 %.
TEST(Movement, ANotchLoosensAsItsTimberDries) {
  Site site;
  site.moisture_percent = 16;
  const auto rows = checked(built("arbor", "opening = 1350"), site);
  const Check& moves = rows.at("H1-J1/moves");
  EXPECT_NEAR(moves.demand, 45 * 0.0025 * 12, 0.35);
  EXPECT_THAT(moves.plain, HasSubstr("Loosens"));
}

}  // namespace
}  // namespace garthwright::strength
