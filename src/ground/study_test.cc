// SPDX-License-Identifier: Apache-2.0
#include "ground/study.h"

#include <gmock/gmock.h>

#include <algorithm>
#include <fstream>
#include <nlohmann/json.hpp>

#include "base/source_dir_for_tests.h"
#include "ground/broms.h"

namespace garthwright::ground {
namespace {

using testing::HasSubstr;

/// One 95 × 95 post in a hole.
Structure post_in(double depth, double diameter, double gravel = 0) {
  Structure s;
  s.name = "post";
  s.sections.resize(1);
  Piece post;
  post.section = SectionId{0};
  post.width = 95, post.thickness = 95, post.length = 3000;
  s.pieces.push_back(post);
  s.footings.push_back({PieceId{0}, {0, 0, 0}, diameter, depth, gravel, "postmix"});
  return s;
}

const Check& row(const std::vector<Check>& checks, CheckKind kind) {
  const auto found = std::find_if(checks.begin(), checks.end(), [&](const Check& c) { return c.kind == kind; });
  if (found == checks.end()) throw std::runtime_error("no row " + std::string(name(kind)));
  return *found;
}

PostLoad load(const State& state, double sideways_n, double arm_m, double down_n = 300) {
  return {0, false, {state, "wind leads", ""}, sideways_n, sideways_n * arm_m * 1000, down_n};
}

Site on(Site::Route route) {
  Site site;
  site.route = route;
  return site;
}

// A hole 0.6 m deep and 0.3 m wide in sand, pushed at 1.05 m. United States: 0.25 kN by IBC 1807.3 with the doubled
// pressure. Europe, by hand (18 kN/m³, 32°): Kp 3.255, ½ γ b L³ Kp / (e + L) = 1.150 kN; over 1.5: 0.767; with tan φ
// over 1.25, 26.6°: Kp 2.618, 0.925 kN, over 1.3: 0.712, which governs. A bare arbor asks 0.22 kN of each post, one
// overgrown as a closed surface 0.79 kN (by hand from EN 1991-1-4 with 24 m/s over farmland).
TEST(Holes, ACommonHoleCarriesABareArborAndNotAClosedOne) {
  EXPECT_NEAR(0.25, ibc_capacity_kn(on(Site::Route::us), 0.3, 0.6, 1.05), 0.01);
  EXPECT_NEAR(1.06, broms::in_sand(18, 30, 0.3, 0.6, 1.05).force_kn, 0.01);
  const Site en = on(Site::Route::en);
  EXPECT_NEAR(0.1 / 0.712, sideways_use(en, load(overgrown(), 100, 1.05), 0.3, 0.6), 1e-3);
  const Structure s = post_in(600, 300);
  for (const Site& site : {en, on(Site::Route::us)}) {
    const std::vector<Check> bare = study(s, site, {load(kBare, 220, 1.05)});
    EXPECT_NE(Verdict::fails, row(bare, CheckKind::sideways).verdict);
    const std::vector<Check> grown =
        study(s, site, {load(kBare, 220, 1.05), load(overgrown(2), 720, 1.05), load(overgrown(), 790, 1.05)});
    const Check& fails = row(grown, CheckKind::sideways);
    EXPECT_EQ(Verdict::fails, fails.verdict);
    EXPECT_THAT(fails.plain, HasSubstr("from year 2 of growth"));
    EXPECT_THAT(fails.plain, HasSubstr("dig "));
    EXPECT_THAT(fails.plain, HasSubstr("lighter climber"));
  }
}

// Each route by its own code, never by both.
TEST(Holes, AreJudgedByOneCode) {
  const Structure s = post_in(600, 300);
  const PostLoad wind = load(kBare, 200, 1.05);
  EXPECT_THAT(row(study(s, on(Site::Route::us), {wind}), CheckKind::sideways).source, HasSubstr("IBC 1807.3.2.1"));
  EXPECT_THAT(row(study(s, on(Site::Route::en), {wind}), CheckKind::sideways).source, HasSubstr("EN 1997-1"));
  for (const Site& site : {on(Site::Route::us), on(Site::Route::en)}) {
    int sideways = 0;
    for (const Check& c : study(s, site, {wind})) sideways += c.kind == CheckKind::sideways ? 1 : 0;
    EXPECT_EQ(1, sideways);
  }
  Site low = on(Site::Route::en);
  low.low_consequence = true;
  EXPECT_NEAR(sideways_use(low, wind, 0.3, 0.6), 0.9 * sideways_use(on(Site::Route::en), wind, 0.3, 0.6), 1e-12);
}

TEST(Holes, ADeeperOrWiderHoleNeverHoldsLess) {
  for (const Site::Route route : {Site::Route::en, Site::Route::us})
    for (const char* soil : {"sand", "gravel", "loose sand", "stiff clay", "firm clay"}) {
      Site site = on(route);
      site.soil = soil;
      // Broms leaves out the top 1.5 b of clay: there a wider hole may hold less. A law of the formula, not of the
      // ground.
      const bool wider = wider_holds_more(site);
      EXPECT_EQ(wider, route == Site::Route::us || std::string(soil).find("clay") == std::string::npos);
      for (double wide = 0.2; wide <= 0.6; wide += 0.1)
        for (double deep = 0.3; deep <= 1.5; deep += 0.05) {
          for (const double arm : {0.3, 1.0, 2.1}) {
            const PostLoad wind = load(overgrown(), 300, arm);
            const double use = sideways_use(site, wind, wide, deep);
            EXPECT_LE(sideways_use(site, wind, wide, deep + 0.05), use + 1e-12) << soil << wide << ' ' << deep;
            if (!wider) continue;
            EXPECT_LE(sideways_use(site, wind, wide + 0.05, deep), use + 1e-12) << soil << wide << ' ' << deep;
          }
          const double hold = holds_down(site, wide * wide * deep, wide, deep).sum();
          EXPECT_GE(holds_down(site, wide * wide * (deep + 0.05), wide, deep + 0.05).sum(), hold) << soil;
          EXPECT_GE(holds_down(site, (wide + 0.05) * (wide + 0.05) * deep, wide + 0.05, deep).sum(), hold) << soil;
          EXPECT_LE(pressed(site, 2000, wide + 0.05, deep).use(), pressed(site, 2000, wide, deep).use()) << soil;
        }
    }
}

// Advice is held to its word: the hole that is named passes, one step less does not.
TEST(Holes, TheDepthThatIsNamedIsTheLeastThatPasses) {
  for (const Site& site : {on(Site::Route::en), on(Site::Route::us)}) {
    const PostLoad wind = load(overgrown(), 900, 1.2);
    const Check& fails = row(study(post_in(600, 350), site, {wind}), CheckKind::sideways);
    const std::size_t at = fails.plain.find("dig ");
    ASSERT_NE(std::string::npos, at) << fails.plain;
    const double depth = std::stod(fails.plain.substr(at + 4));
    EXPECT_EQ(Verdict::fails, row(study(post_in(depth - 50, 350), site, {wind}), CheckKind::sideways).verdict);
    EXPECT_NE(Verdict::fails, row(study(post_in(depth, 350), site, {wind}), CheckKind::sideways).verdict);
  }
}

// By hand, 0.3 m wide and 0.7 m deep in sand: 0.9 × 23 kN/m³ × (π/4 × 0.3² - 0.095²) × 0.7 m; and (1 - sin 32°) × tan
// 32° / 1.25 × 18 × π × 0.3 × (0.7² - 0.3²) / 2.
TEST(Holes, UpliftCountsConcreteAndTheGroundAlongIt) {
  const Site site;
  PostLoad lift = load(overgrown(), 100, 1, -5000);
  lift.equilibrium = true;
  const Check& fails = row(study(post_in(700, 300), site, {lift}), CheckKind::uplift);
  EXPECT_EQ(Verdict::fails, fails.verdict);
  EXPECT_NEAR(5, fails.demand, 1e-9);
  const double weight = 0.9 * 23 * (3.14159265 / 4 * 0.09 - 0.095 * 0.095) * 0.7;
  const double friction = (1 - 0.5299192642) * 0.6248693519 / 1.25 * 18 * 3.14159265 * 0.3 * (0.49 - 0.09) / 2;
  EXPECT_NEAR(weight + friction, fails.capacity, 1e-5);
  EXPECT_THAT(fails.plain, HasSubstr("holds enough"));
  // Clay: 0.45 × 40 kPa / 1.4 × π × 0.3 × 0.4.
  Site clay;
  clay.soil = "firm clay";
  EXPECT_NEAR(0.45 * 40 / 1.4 * 3.14159265 * 0.3 * 0.4, holds_down(clay, 0, 0.3, 0.7).friction_kn, 1e-6);
  // United States: 0.6 of the concrete, a third of the friction.
  const HoldsDown us = holds_down(on(Site::Route::us), 0.03, 0.3, 0.7);
  EXPECT_NEAR(0.6 * 23 * 0.03, us.weight_kn, 1e-9);
  EXPECT_NEAR(friction * 1.25 / 3, us.friction_kn, 1e-5);
}

nlohmann::json reference(const std::string& id) {
  std::ifstream file(std::string(source_dir()) + "/tests/reference/values/loads.json");
  for (const nlohmann::json& r : nlohmann::json::parse(file))
    if (r.at("id") == id) return r;
  throw std::runtime_error("no row " + id);
}

// IBC Table 1806.2 through the rows of a report: what the ground may be pressed with, and, pushed sideways, the depth
// that the code's own equation finds for a force is used up by just that force.
TEST(Holes, AreHeldToThePresumedPressures) {
  Site site = on(Site::Route::us);
  for (const auto& [soil, id] : {std::pair{"gravel", "ibc_1806_2_class3"},
                                 {"sand", "ibc_1806_2_class4"},
                                 {"dense sand", "ibc_1806_2_class4"},
                                 {"loose sand", "ibc_1806_2_class4"},
                                 {"stiff clay", "ibc_1806_2_class5"},
                                 {"firm clay", "ibc_1806_2_class5"}}) {
    site.soil = soil;
    const nlohmann::json want = reference(id).at("expected");
    const double vertical = want.at("vertical_psf").get<double>() * 0.04788;
    const Check& pressed = row(study(post_in(800, 300), site, {load(kBare, 10, 1, 20000)}), CheckKind::pressure);
    EXPECT_NEAR(pressed.capacity, vertical, 0.01) << soil;
    EXPECT_NEAR(pressed.utilisation, (20 / (3.14159265 / 4 * 0.09) + 23 * 0.8) / vertical, 1e-3) << soil;
    const double q = want.at("lateral_psf_per_ft").get<double>() * 2 * 0.157087;
    const double p =
        q * 0.3 * std::pow(0.8, 3) / (7.02 * (0.8 + 1.09 * 1.2));  // d³ - k d - 1.09 k h = 0, k = 7.02 P / q b
    EXPECT_NEAR(row(study(post_in(800, 300), site, {load(kBare, 1000 * p, 1.2)}), CheckKind::sideways).utilisation, 1,
                1e-3)
        << soil;
  }
  const nlohmann::json pole = reference("post_arbor_SI"), in = pole.at("inputs");
  site.soil = "sand";
  EXPECT_NEAR(sideways_use(site, load(kBare, 1000 * in.at("P_kN").get<double>(), in.at("h_m")), in.at("b_m"),
                           pole.at("expected").at("d_m")),
              1, 2e-3);
}

// Short piles with the ground's strength divided (EN 1997-1 Table A.4 set M2), the load times 1.3: clay by the
// reference's own row scaled to it (a force is in proportion to cu), sands by hand from Kp = tan²(45 + φ'/2).
TEST(Holes, AreShortPilesByTheEuropeanRoute) {
  Site site = on(Site::Route::en);
  for (const char* id : {"broms_clay_cu50_b300_L750", "broms_clay_cu75_b250_L600", "broms_clay_cu100_b300_L1200"}) {
    const nlohmann::json r = reference(id), in = r.at("inputs");
    const double b = in.at("b_m"), l = in.at("L_m"), e = in.at("e_m");
    for (const auto& [soil, cu] : {std::pair{"stiff clay", 75.0}, {"firm clay", 40.0}}) {
      site.soil = soil;
      const double at_the_end = r.at("expected").at("P_ult_kN").get<double>() * cu / in.at("cu_kPa").get<double>();
      EXPECT_NEAR(sideways_use(site, load(kBare, 1000 * at_the_end / (1.3 * 1.4), e), b, l), 1, 2e-3) << id << soil;
    }
  }
  for (const auto& [soil, gamma, phi] : {std::tuple{"sand", 18.0, 32.0},
                                         {"loose sand", 17.0, 28.0},
                                         {"dense sand", 20.0, 36.0},
                                         {"gravel", 20.0, 36.0}}) {
    site.soil = soil;
    const double weaker = std::atan(std::tan(phi * 3.14159265 / 180) / 1.25);
    const double kp = std::pow(std::tan(3.14159265 / 4 + weaker / 2), 2);
    const double p = 0.5 * gamma * 0.3 * std::pow(0.7, 3) * kp / (1.0 + 0.7);
    EXPECT_NEAR(sideways_use(site, load(kBare, 1000 * p / 1.3, 1.0), 0.3, 0.7), 1, 1e-4) << soil;
  }
}

TEST(Holes, SizesAreLookedAt) {
  const Site site;
  const PostLoad little = load(kBare, 10, 1);
  const std::vector<Check> usual = study(post_in(600, 300), site, {little});
  EXPECT_EQ(Verdict::ok, row(usual, CheckKind::hole_width).verdict);
  // 95 × √2 + 2 × 40 = 214.
  const Check& narrow = row(study(post_in(600, 200), site, {little}), CheckKind::hole_width);
  EXPECT_EQ(Verdict::attention, narrow.verdict);
  EXPECT_NEAR(narrow.demand, 214.35, 0.01);
  // 95 × √2 = 134.4: it does not go in at all.
  EXPECT_EQ(Verdict::attention, row(study(post_in(600, 135), site, {little}), CheckKind::hole_width).verdict);
  const Check tight = row(study(post_in(600, 130), site, {little}), CheckKind::hole_width);
  EXPECT_EQ(Verdict::fails, tight.verdict);
  EXPECT_EQ("A hole 130 mm wide does not take the post, whose corners are 134.4 mm apart: dig at least 220 mm.",
            tight.plain);
  Structure two = post_in(600, 300);
  two.pieces.push_back(two.pieces[0]);
  two.footings.push_back({PieceId{1}, {800, 0, 0}, 300, 600, 0, "postmix"});
  EXPECT_EQ(Verdict::attention, row(study(two, site, {little}), CheckKind::holes_apart).verdict);
  two.footings[1].centre.x = 900;
  for (const Check& c : study(two, site, {little})) EXPECT_NE(c.kind, CheckKind::holes_apart);
  EXPECT_EQ(Verdict::attention, row(study(post_in(1600, 300), site, {little}), CheckKind::hole_depth).verdict);
}

// A hole 0.9 m deep and 0.3 m wide in soft clay of 30 kPa, by hand. Broms: D = 0.9 - 1.5 × 0.3 = 0.45 m, f² + (4 × 1.05
// + 6 × 0.3 + 2 D) f - D² = 0, f = 0.029223 m, 9 × 30 × 0.3 f = 2.367 kN; over 1.5: 1.578. With 30 / 1.4: 1.691 kN,
// over 1.3: 1.301, which governs. Under the foot of 0.070686 m², 5 kN and 23 × 0.9 kPa of concrete: 1.5 × 70.74 + 1.35
// × 20.7 of (π + 2) × 30 × 1.2 + 17 × 0.9 = 200.4 kPa; 1.3 × 70.74 + 20.7 of (π + 2) × 30 / 1.4 × 1.2 + 15.3 = 147.5,
// which governs.
TEST(Holes, StandInSoftClayWhoseStrengthWasMeasured) {
  Site site = on(Site::Route::en);
  site.soil = "soft clay";
  site.clay_kpa = 30;
  PostLoad lift = load(overgrown(), 10, 1, -1000);
  lift.equilibrium = true;
  const std::vector<Check> en = study(post_in(900, 300), site, {load(kBare, 1000, 1.05, 5000), lift});
  const Check& sideways = row(en, CheckKind::sideways);
  EXPECT_NEAR(sideways.utilisation, 1.3 / 1.69082, 1e-5);
  EXPECT_THAT(sideways.plain, HasSubstr("in soft clay of 30 kPa, as measured holds"));
  const Check& foot = row(en, CheckKind::pressure);
  EXPECT_NEAR(foot.utilisation, (1.3 * 5 / 0.0706858 + 20.7) / 147.5124, 1e-4);
  EXPECT_NEAR(foot.capacity, 147.5124, 1e-3);
  EXPECT_THAT(foot.source, HasSubstr("EN 1997-1 D.3"));
  const double weight = 0.9 * 23 * (0.0706858 - 0.095 * 0.095) * 0.9;
  EXPECT_NEAR(row(en, CheckKind::uplift).capacity, weight + 0.45 * 30 / 1.4 * 3.14159265 * 0.3 * 0.6, 1e-4);

  // United States, 600 psf: 30 kPa bear (π + 2) × 1.2 × 30 / 3 = 61.7 kPa, less than the table's 1500 psf; sideways the
  // table gives less (0.479 kN) than Broms over 2.5, and at 15 kPa more than Broms' 1.1836 kN over 2.5.
  site.route = Site::Route::us;
  const std::vector<Check> us = study(post_in(900, 300), site, {load(kBare, 400, 1.05, 3000)});
  EXPECT_NEAR(row(us, CheckKind::pressure).utilisation, (3 / 0.0706858 + 20.7) / 61.6991, 1e-4);
  EXPECT_NEAR(row(us, CheckKind::sideways).utilisation, 0.4 / 0.478735, 1e-4);
  site.clay_kpa = 15;
  EXPECT_NEAR(sideways_use(site, load(kBare, 400, 1.05), 0.3, 0.9), 0.4 * 2.5 / 1.183574, 1e-4);

  // More strength is never less of anything.
  for (const Site::Route route : {Site::Route::en, Site::Route::us}) {
    Site weak = site, strong = site;
    weak.route = strong.route = route;
    strong.clay_kpa = weak.clay_kpa + 5;
    EXPECT_LE(sideways_use(strong, load(kBare, 400, 1.05), 0.3, 0.9),
              sideways_use(weak, load(kBare, 400, 1.05), 0.3, 0.9));
    EXPECT_LT(pressed(strong, 3000, 0.3, 0.9).use(), pressed(weak, 3000, 0.3, 0.9).use());
  }
}

TEST(Holes, SoftClayOfUnknownStrengthSaysWhatToMeasure) {
  Site site;
  site.soil = "soft clay";
  const std::vector<Check> checks = study(post_in(900, 300), site, {load(kBare, 10, 1)});
  ASSERT_EQ(1U, checks.size());
  EXPECT_EQ(Verdict::fails, checks[0].verdict);
  EXPECT_THAT(checks[0].plain, HasSubstr("hand vane"));
  EXPECT_THAT(checks[0].plain, HasSubstr("clay_strength = 30 for 30 kPa"));
  site.route = Site::Route::us;
  EXPECT_THAT(study(post_in(900, 300), site, {})[0].plain, HasSubstr("clay_strength = 600 for 600 psf"));
}

/// What asks for no force is told without any: decide makes no frame for a hole that frost goes under.
TEST(Holes, SizesAndFrostAreLookedAtWithoutLoads) {
  Site site;
  site.frost_mm = 900;
  EXPECT_EQ(Verdict::fails, row(study(post_in(600, 300), site, {}), CheckKind::frost).verdict);
}

TEST(Holes, BadGroundAndShallowHolesAreNoPass) {
  Site site;
  site.soil = "peat";
  const std::vector<Check> peat = study(post_in(900, 300), site, {load(kBare, 10, 1)});
  ASSERT_EQ(1U, peat.size());
  EXPECT_EQ(Verdict::fails, peat[0].verdict);
  site.soil = "sand";
  site.frost_mm = 900;
  EXPECT_EQ(Verdict::fails, row(study(post_in(600, 300), site, {load(kBare, 10, 1)}), CheckKind::frost).verdict);
}

}  // namespace
}  // namespace garthwright::ground
