// SPDX-License-Identifier: Apache-2.0
// Published values of posts in the ground, and concrete, one by one.
#include "base/published_values_for_tests.h"
#include "ground/broms.h"
#include "ground/concrete_bags.h"
#include "ground/elastic_posts.h"
#include "ground/ibc_posts.h"
#include "ground/soil.h"

namespace garthwright::ground {
namespace {

using garthwright::testing::Answer;
using garthwright::testing::Published;
using garthwright::testing::Values;

constexpr double kFtPerM = 3.280839895;

/// The unconstrained and constrained formulas in whichever units the object has.
Answer ibc_post(const Published& o) {
  if (o.has("P_kN"))
    return Values{{"d_m", ibc::unconstrained(o.in("P_kN"), o.in("h_m"), o.in("b_m"), o.in("lateral_kPa_per_m"),
                                             ibc::kGreatestDepthM)
                              .depth}};
  if (o.wants("A_ft") && !o.has("h_ft"))
    return Values{{"A_ft", ibc::unconstrained_pass(o.in("P_lb"), 1, o.in("b_ft"), o.in("S1_psf")).a}};
  const double p = o.in("P_lb"), h = o.in("h_ft"), b = o.in("b_ft");
  if (o.wants("d_required_ft"))
    return Values{{"d_required_ft", ibc::unconstrained_pass(p, h, b, o.in("S1_psf")).depth}};
  const double q = o.in("lateral_psf_per_ft", o.in("S_psf_per_ft", 0)) * o.in("isolated_factor_nd", 1);
  if (o.wants("S3_kPa") || o.id.find("_constrained") != std::string::npos)
    return Answer::none("a post held at the ground by a slab: none is reckoned so");
  const ibc::Post post = ibc::unconstrained(p, h, b, q, ibc::kGreatestDepthFt);
  return Values{{"d_ft", post.depth}, {"A_ft", post.a}, {"A", post.a}, {"S1_psf", post.s1}};
}

Answer broms_post(const Published& o) {
  if (o.wants("beta_per_in") || o.wants("eta_per_in"))
    return Answer::none("whether a pole is short: garden posts are, not computed");
  if (o.wants("My_kip_ft")) return Values{{"My_kip_ft", o.in("fb_psi") * o.in("S_in3") / 12000}};
  if (o.has("phi_deg")) {
    const broms::Short s = broms::in_sand(o.in("gamma_kN_m3"), o.in("phi_deg"), o.in("b_m"), o.in("L_m"), o.in("e_m"));
    return Values{{"Kp_nd", broms::rankine_passive(o.in("phi_deg"))},
                  {"P_ult_kN", s.force_kn},
                  {"f_m", s.f_m},
                  {"M_max_kNm", s.moment_knm}};
  }
  const broms::Short s = broms::in_clay(o.in("cu_kPa"), o.in("b_m", o.in("D_m", 0)), o.in("L_m"), o.in("e_m"));
  return Values{{"P_ult_kN", s.force_kn}, {"Hu_kN", s.force_kn}, {"f_m", s.f_m}, {"M_max_kNm", s.moment_knm}};
}

Answer foundation(const Published& o) {
  if (o.starts("ibc_")) return ibc_post(o);
  if (o.starts("broms_")) return broms_post(o);
  if (o.has("EI_Nmm2")) return Answer::none("a beam that bends on its bed: posts in holes are rigid");
  const double h = o.in("H_N"), e = o.in("e_mm"), l = o.in("L_embed_mm");
  const bool even = o.has("kprime_N_per_mm2");
  const RigidPost r =
      even ? rigid_post_even(h, e, l, o.in("kprime_N_per_mm2")) : rigid_post_rising(h, e, l, o.in("n_N_per_mm3"));
  const double k = o.in("kprime_N_per_mm2", 0);
  return Values{{"u0_mm", r.shift_mm},
                {"theta_rad", r.turn_rad},
                {"pivot_depth_mm", r.pivot_mm},
                {"p0_N_per_mm", k * r.shift_mm},
                {"p_toe_N_per_mm", k * (r.shift_mm - r.turn_rad * l)}};
}

Answer embedded_posts(const Published& o) {
  if (o.starts("ibc_1806_2")) {
    const std::optional<Presumptive> p = presumptive(o.id.back() - '0');
    if (!p) return Answer::none("no such class in our table");
    return Values{{"vertical_psf", p->vertical_psf},
                  {"lateral_psf_per_ft", p->lateral_psf_per_ft},
                  {"friction_nd", p->friction},
                  {"cohesion_psf", p->cohesion_psf}};
  }
  if (o.wants("kPa_per_psf")) return Values{{"kPa_per_psf", kKpaPerPsf}, {"kPa_m_per_psf_ft", kKpaPerMPerPsfPerFt}};
  if (o.wants("design_psf_per_ft"))
    return Values{{"design_psf_per_ft", isolated_pole_lateral(o.in("table_psf_per_ft"))}};
  if (o.wants("SF_max_nd")) return Values{{"SF_small_move_ok_nd", ibc::kSafety}, {"SF_max_nd", ibc::kSafetyMost}};
  if (o.wants("min_spacing_over_footing_nd"))
    return {{{"min_spacing_over_footing_nd", ibc::kIsolatedFootings}},
            {{"min_spacing_over_post_width_nd", "posts here stand in footings: not used"}}};
  if (o.starts("post_bearing")) return Values{{"p_kPa", bearing_pressure(o.in("N_kN"), o.in("D_m"))}};
  if (o.starts("post_")) return ibc_post(o);
  if (o.starts("broms_")) return broms_post(o);
  if (o.has("consistency")) {
    const std::map<std::string, Consistency> names = {{"very_soft", Consistency::very_soft},
                                                      {"soft", Consistency::soft},
                                                      {"firm", Consistency::firm},
                                                      {"stiff", Consistency::stiff},
                                                      {"very_stiff", Consistency::very_stiff}};
    const Range r = undrained_strength(names.at(o.text("consistency")));
    return Values{{"cu_min_kPa", r.from}, {"cu_max_kPa", r.to}};
  }
  if (o.has("soil")) {
    const std::optional<Granular> g = granular(o.text("soil"));
    if (!g) return Answer::none("no such soil in our table");
    return Values{{"gamma_kN_m3", g->gamma_kn_m3}, {"phi_deg", g->phi_deg}};
  }
  if (o.starts("frost")) return Answer::none("the job is asked how deep frost goes: no table");
  if (o.starts("bearing_us_mh")) return Answer::none("bearing of manufactured homes: Table 1806.2 is used");
  if (o.starts("bearing_chicago")) {
    const CityBearing c = kCityBearing;
    return Values{{"clay_very_soft_psf", c.clay_very_soft},
                  {"clay_soft_psf", c.clay_soft},
                  {"clay_stiff_psf", c.clay_stiff},
                  {"sand_compact_clean_psf", c.sand_compact_clean},
                  {"gravel_psf", c.gravel},
                  {"filled_ground_or_loam_psf", c.filled_ground_or_loam},
                  {"organic_psf", c.organic}};
  }
  return Answer::none("a fencer's rule of thumb, not a check: not computed");
}

Answer concrete(const Published& o) {
  if (o.wants("V_gross_m3")) {
    const double depth = o.in("L_mm") / 1000, post = o.in("post_mm") / 1000;
    if (!o.has("D_mm")) return Answer::none("holes here are round");
    const HoleVolume v = round_hole(o.in("D_mm") / 1000, depth, post);
    return Values{{"V_gross_m3", v.gross},
                  {"V_net_m3", v.net},
                  {"bags_20kg", static_cast<double>(bags(v.net, o.in("yield_20kg_bag_m3")))}};
  }
  if (o.wants("V_gross_ft3")) {
    const HoleVolume v = round_hole(o.in("D_in") / 12, o.in("L_in") / 12, o.in("post_in") / 12);
    const std::string yields = "what a bag yields is the catalogue's";
    return {{{"V_gross_ft3", v.gross}, {"V_net_ft3", v.net}},
            {{"bags_40lb", yields}, {"bags_50lb", yields}, {"bags_60lb", yields}, {"bags_80lb", yields}}};
  }
  return Answer::none("not needed for holes and bags: not computed");
}

std::optional<Answer> compute(const Published& o) {
  if (o.topic == "foundation") return foundation(o);
  if (o.topic == "5_embedded_posts") return embedded_posts(o);
  if (o.topic == "6_concrete") return concrete(o);
  if (o.topic == "9_raised_bed_soil")
    return Answer::none("soil on boards is asked of whole beds, in strength/duty_loads_test.cc");
  return std::nullopt;  // another room's
}

TEST(Published, Foundations) { garthwright::testing::check_published("timber.json", compute); }
TEST(Published, GroundAndConcrete) { garthwright::testing::check_published("loads.json", compute); }

}  // namespace
}  // namespace garthwright::ground
