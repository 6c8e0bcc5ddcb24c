// SPDX-License-Identifier: Apache-2.0
// Published values of loads, one by one: wind, snow, combinations, people, climbers.
#include "base/published_values_for_tests.h"
#include "strength/climbers.h"
#include "strength/combinations.h"
#include "strength/snow.h"
#include "strength/wind_asce.h"
#include "strength/wind_en.h"

namespace garthwright::strength {
namespace {

using garthwright::testing::Answer;
using garthwright::testing::Published;
using garthwright::testing::Values;

constexpr double kGravity = 9.80665;

wind_en::Terrain terrain(const Published& o) {
  const std::map<std::string, wind_en::Terrain> names = {{"0", wind_en::Terrain::sea},
                                                         {"I", wind_en::Terrain::open},
                                                         {"II", wind_en::Terrain::farmland},
                                                         {"III", wind_en::Terrain::suburb},
                                                         {"IV", wind_en::Terrain::town}};
  return names.at(o.text("terrain_category"));
}

void add_wall(Values& v, const std::array<double, 4>& wall, double q_p = 0) {
  for (int zone = 0; zone < 4; ++zone) {
    v[std::string("c_p_net_") + "ABCD"[zone] + "_nd"] = wall[zone];
    v[std::string("w_") + "ABCD"[zone] + "_Pa"] = wall[zone] * q_p;
  }
}

Answer wind_en_values(const Published& o) {
  if (o.wants("c_p_net_A_nd")) {
    Values v;
    double q_p = 0, l_over_h = o.in("l_over_h_nd", 3);
    if (o.has("v_b0_m_s")) {
      const double v_b = o.in("v_b0_m_s") * wind_en::probability_factor(o.in("return_period_years"));
      q_p = wind_en::peak_pressure(v_b, terrain(o), o.in("z_m"));
      l_over_h = o.in("wall_length_m") / o.in("wall_height_m");
    }
    add_wall(v, wind_en::wall(l_over_h, o.in("solidity_nd", 1), o.in("return_corner_over_h_nd", 0)), q_p);
    return v;
  }
  if (o.wants("z0_m")) {
    const wind_en::Roughness r = wind_en::roughness(terrain(o));
    return Values{{"z0_m", r.z0}, {"zmin_m", r.z_min}};
  }
  if (o.wants("k_r_nd")) return Values{{"k_r_nd", wind_en::terrain_factor(o.in("z0_m"))}};
  if (o.wants("q_b_kPa") || o.wants("q_b_Pa")) {
    const double q = wind_en::basic_pressure(o.in("v_b_m_s"), o.in("rho_kg_m3", wind_en::kAirDensity));
    return Values{{"q_b_kPa", q / 1000}, {"q_b_Pa", q}};
  }
  if (o.wants("c_e_nd")) {
    const wind_en::Exposure e = wind_en::exposure(terrain(o), o.in("z_m"));
    Values v = {{"c_r_nd", e.c_r}, {"I_v_nd", e.i_v}, {"c_e_nd", e.c_e}};
    if (o.has("v_b_m_s"))
      v["q_p_kPa"] = wind_en::peak_pressure(o.in("v_b_m_s"), terrain(o), o.in("z_m"), o.in("rho_kg_m3", 1.25)) / 1000;
    return v;
  }
  if (o.wants("c_prob_nd"))
    return Values{
        {"c_prob_nd", wind_en::probability_factor(o.in("return_period_years"), o.in("K_nd", 0.2), o.in("n_nd", 0.5))}};
  if (o.wants("A_to_m")) {
    const auto ends = wind_en::wall_zone_ends(o.in("h_m"));
    return Values{{"A_to_m", ends[0]}, {"B_to_m", ends[1]}, {"C_to_m", ends[2]}};
  }
  if (o.wants("solidity_limit_nd")) return Values{{"solidity_limit_nd", wind_en::kWallSolidity}};
  if (o.starts("en_signboard")) return Values{{"c_f_nd", wind_en::kSignboard}};
  if (o.has("d_over_b_nd")) return Values{{"c_f0_nd", wind_en::rectangle_coefficient(o.in("d_over_b_nd"))}};
  if (o.wants("gross_coefficient_nd"))
    return Values{{"gross_coefficient_nd", wind_en::lattice_gross(o.in("c_f0_nd"), o.in("solidity_nd"))}};
  if (o.wants("c_f0_nd")) return Values{{"c_f0_nd", wind_en::kSharpEdged}};
  if (o.wants("psi_at_lambda1_nd"))
    return Values{{"psi_at_lambda1_nd", wind_en::end_effect(1)},
                  {"psi_at_lambda10_nd", wind_en::end_effect(10)},
                  {"psi_at_lambda70_nd", wind_en::end_effect(70)}};
  if (o.wants("psi_lambda_nd")) {
    const double l = wind_en::bar_slenderness(o.in("l_m"), o.in("b_m"));
    return Values{{"lambda_nd", l}, {"psi_lambda_nd", wind_en::end_effect(l)}};
  }
  if (o.starts("lattice_cf")) return Values{{"c_f_nd", wind_en::lattice(o.in("solidity_nd"))}};
  if (o.wants("F_kN"))
    return Values{{"F_kN", o.in("q_p_kPa") *
                               wind_en::lattice_gross(o.in("c_f0_nd"), o.in("solidity_nd"), o.in("psi_lambda_nd", 1)) *
                               o.in("width_m") * o.in("height_m")}};
  if (o.wants("A_max_nd")) {
    const wind_en::CanopyZones z = wind_en::flat_canopy_zones();
    Values v;
    for (int i = 0; i < 3; ++i) {
      const std::string zone(1, "ABC"[i]);
      v[zone + "_max_nd"] = z.down[i], v[zone + "_min_phi0_nd"] = z.up_open[i],
               v[zone + "_min_phi1_nd"] = z.up_blocked[i];
    }
    return v;
  }
  if (o.wants("c_f_max_nd")) {
    const wind_en::Canopy c =
        o.starts("en_t77") ? wind_en::duopitch(o.in("pitch_deg")) : wind_en::monopitch(o.in("pitch_deg"));
    return Values{{"c_f_max_nd", c.down},
                  {"c_f_min_phi0_nd", c.up(0)},
                  {"c_f_min_phi1_nd", c.up(1)},
                  {"c_f_min_nd", c.up(o.in("blockage_nd", 0))}};
  }
  return Answer::none("no formula for it here");
}

Answer wind_asce_values(const Published& o) {
  using namespace wind_asce;
  if (o.wants("Kz_nd")) {
    const Edition edition = o.starts("asce722") ? Edition::asce_7_22 : Edition::asce_7_16;
    const ExposureCategory e = static_cast<ExposureCategory>(o.text("exposure")[0] - 'B');
    return Values{{"Kz_nd", kz(edition, e, o.has("z_m") ? o.in("z_m") / 0.3048 : o.in("z_ft"))}};
  }
  if (o.wants("q_Pa")) {
    const double k = ke(o.in("ground_elevation_m"));
    return Values{{"Ke_nd", k},
                  {"q_Pa", pressure_pa(o.in("V_m_s"), o.in("Kz_nd"), o.in("Kzt_nd", 1), o.in("Kd_nd", kKd), k)}};
  }
  if (o.wants("q_psf")) {
    const double q =
        pressure_psf(o.in("V_mph"), o.in("Kz_nd"), o.in("Kzt_nd", 1), o.in("Kd_nd", kKd), o.in("Ke_nd", 1));
    return Values{{"q_psf", q}, {"q_kPa", q * 0.0478803}};
  }
  if (o.wants("V_asd_mph")) return Values{{"V_asd_mph", asd_speed(o.in("V_ult_mph"))}};
  if (o.wants("Cf_nd")) {
    const std::map<std::string, double> bands = {{"lt0.1", 0.05}, {"0.1_0.29", 0.2}, {"0.3_0.7", 0.5}};
    return Values{{"Cf_nd", open_flat(bands.at(o.text("solidity_band")))}};
  }
  if (o.wants("Cf_le2.5_a_nd"))
    return Values{{"Cf_le2.5_a_nd", open_round(0.05, 0.1, 25)}, {"Cf_le2.5_b_nd", open_round(0.2, 0.1, 25)},
                  {"Cf_le2.5_c_nd", open_round(0.5, 0.1, 25)},  {"Cf_gt2.5_a_nd", open_round(0.05, 1, 25)},
                  {"Cf_gt2.5_b_nd", open_round(0.2, 1, 25)},    {"Cf_gt2.5_c_nd", open_round(0.5, 1, 25)}};
  if (o.wants("P_psf"))
    return Values{{"P_psf", std::max(o.in("q_h_psf") * o.in("G_nd") * open_flat(o.in("solidity_nd")), kLeastPsf)}};
  if (o.wants("p_min_psf")) return Values{{"p_min_psf", kLeastPsf}};
  if (o.wants("G_nd")) return Values{{"G_nd", kGust}};
  if (o.wants("Cf_0_to_s_nd")) {
    const auto c = wall_case_c(o.in("B_over_s_nd"));
    return Values{{"Cf_0_to_s_nd", c[0]}, {"Cf_s_to_2s_nd", c[1]}, {"Cf_2s_to_3s_nd", c[2]}};
  }
  if (o.has("s_over_h_nd")) {
    Values v;  // "Cf_at_B_over_s_0.05_nd"
    const std::string prefix = "Cf_at_B_over_s_";
    for (const auto& [key, _] : o.expected.items())
      if (key.rfind(prefix, 0) == 0) v[key] = wall(std::stod(key.substr(prefix.size())), o.in("s_over_h_nd"));
    return v;
  }
  if (o.wants("factor_nd")) return Values{{"factor_nd", opening_factor(o.in("solidity_nd"))}};
  if (o.wants("gross_open_nd")) {
    const double s = o.in("solidity_nd");
    return Values{{"gross_open_nd", open_flat(s) * s}, {"gross_solid_nd", wall(0.5, 1) * opening_factor(s)}};
  }
  if (o.wants("CNW_A_clear_nd")) {
    const FreeRoof c = flat_free_roof(false), b = flat_free_roof(true);
    return Values{{"CNW_A_clear_nd", c.windward_a},      {"CNL_A_clear_nd", c.leeward_a},
                  {"CNW_B_clear_nd", c.windward_b},      {"CNL_B_clear_nd", c.leeward_b},
                  {"CNW_A_obstructed_nd", b.windward_a}, {"CNL_A_obstructed_nd", b.leeward_a},
                  {"CNW_B_obstructed_nd", b.windward_b}, {"CNL_B_obstructed_nd", b.leeward_b}};
  }
  if (o.wants("p_psf")) return Values{{"p_psf", free_roof_pressure(o.in("q_h_psf"), o.in("CN_nd"), o.in("G_nd"))}};
  return Answer::none("no formula for it here");
}

Answer snow_values(const Published& o) {
  using namespace snow;
  if (o.wants("mu1_nd")) return Values{{"mu1_nd", mu1(o.in("pitch_deg"))}};
  if (o.wants("s_kPa")) return Values{{"s_kPa", on_roof(o.in("mu1_nd"), o.in("Ce_nd"), o.in("Ct_nd"), o.in("sk_kPa"))}};
  if (o.wants("windswept_nd"))
    return Values{{"windswept_nd", exposure(Topography::windswept)},
                  {"normal_nd", exposure(Topography::normal)},
                  {"sheltered_nd", exposure(Topography::sheltered)}};
  if (o.wants("pf_psf"))
    return Values{{"pf_psf", flat_roof(o.in("Ce_nd"), o.in("Ct_nd"), o.in("Is_nd"), o.in("pg_psf"))}};
  if (o.wants("I_nd"))
    return Values{{"I_nd", importance(RiskCategory::one)},
                  {"II_nd", importance(RiskCategory::two)},
                  {"III_nd", importance(RiskCategory::three)},
                  {"IV_nd", importance(RiskCategory::four)}};
  if (o.wants("live_if_dead_le_3psf_psf"))
    return Values{{"live_psf", kPatioLiveAmended}, {"live_if_dead_le_3psf_psf", kPatioLiveAmendedLight}};
  if (o.wants("live_psf"))
    return Values{{"live_psf", kPatioLive},
                  {"live_kPa", kPatioLiveKpa},
                  {"max_height_ft", kPatioGreatestHeightFt},
                  {"open_percent_min", kPatioLeastOpenPercent}};
  if (o.wants("Lr_psf")) return Values{{"Lr_psf", roof_live(o.in("area_ft2"))}};
  if (o.wants("q_k_kPa")) return Values{{"q_k_kPa", kRoofHArea}, {"Q_k_kN", kRoofHPoint}};
  return Answer::none("weight of snow is not needed: ground snow loads are given as loads");
}

Answer combination_values(const Published& o) {
  using namespace combinations;
  const auto factors = [](const PartialFactors& f) {
    return Values{{"gamma_G_inf_nd", f.g_favourable}, {"gamma_G_sup_nd", f.g_unfavourable}, {"gamma_Q_nd", f.q}};
  };
  const auto psi = [](const Psi& p) { return Values{{"psi0_nd", p.psi0}, {"psi1_nd", p.psi1}, {"psi2_nd", p.psi2}}; };
  if (o.wants("gamma_Q_nd"))
    return factors(o.id.find("equ") != std::string::npos ? kEqu : o.id.back() == 'C' ? kGeoC : kStr);
  if (o.wants("psi0_nd"))
    return psi(o.id.find("wind") != std::string::npos ? kWindPsi
               : o.has("altitude_m")                  ? snow_psi(o.in("altitude_m"))
                                                      : kRoofHPsi);
  if (o.wants("E_d_kN")) {
    const Combination& c =
        named(en1990_ultimate(), o.id.find("snow_lead") != std::string::npos ? "snow leads" : "wind leads");
    return Values{{"E_d_kN", c.sum(o.in("G_kN"), o.in("S_kN"), o.in("W_kN"))}};
  }
  if (o.wants("E_str_kN")) {
    const double g = o.in("G_kN"), up = o.in("W_up_kN");
    return Values{{"E_str_kN", named(en1990_ultimate(), "uplift").sum(g, 0, 0, -up)},
                  {"E_equ_kN", named(en1990_equilibrium(), "uplift, equilibrium").sum(g, 0, 0, -up)}};
  }
  if (o.wants("RC1_nd"))
    return Values{
        {"RC1_nd", k_fi(Reliability::rc1)}, {"RC2_nd", k_fi(Reliability::rc2)}, {"RC3_nd", k_fi(Reliability::rc3)}};
  if (o.wants("companion_nd"))
    return Values{{"wind_factor_nd", named(asce_asd(), "5").wind},
                  {"uplift_dead_factor_nd", named(asce_asd(), "7").dead},
                  {"companion_nd", named(asce_asd(), "6 snow").snow}};
  if (o.wants("snow_lead_nd"))
    return Values{{"dead_nd", named(asce_lrfd(), "4 snow").dead},
                  {"snow_lead_nd", named(asce_lrfd(), "3 snow").snow},
                  {"wind_nd", named(asce_lrfd(), "4 snow").wind},
                  {"uplift_dead_nd", named(asce_lrfd(), "5").dead}};
  if (o.wants("net_lb")) {
    const Combination& c = o.starts("asce_asd") ? named(asce_asd(), "7") : named(asce_lrfd(), "5");
    return Values{{"net_lb", c.sum(o.in("D_lb"), 0, 0, -o.in("W_up_lb"))}};
  }
  if (o.wants("infill_kPa") || o.wants("q_min_kN_m"))
    return Answer::none("guards get the one value of EN 1991-1-1 for dwellings: no public barriers here");
  if (o.wants("q_kN_m")) return Values{{"q_kN_m", kLineA}};
  if (o.wants("line_lb_ft"))
    return Answer(Values{{"point_lb", kGuardPointLb}}, {{"line_lb_ft", "not asked of one dwelling's guards (IRC)"}});
  if (o.wants("M_ground_kNm")) return Values{{"M_ground_kNm", kPersonKn * kPersonHeightM}};
  return Answer::none("design working lives are not used: the wind is that of 50 years for all");
}

Answer climber_values(const Published& o) {
  using namespace climbers;
  if (o.has("species")) {
    const std::optional<Weight> w = weight(o.text("species"));
    if (!w) return Answer::none("species not in our table");
    return Values{{"height_m", w->height_m},
                  {"stem_diameter_cm", w->stem_diameter_cm},
                  {"wood_unpruned_kg_plant", w->wood_kg},
                  {"total_unpruned_kg_plant", w->total_kg},
                  {"pruned_2m_wide_kg_m2", w->pruned_2m_kg_m2},
                  {"pruned_1m_wide_kg_m2", w->pruned_1m_kg_m2},
                  {"pruned_narrow_kg_m_height", w->pruned_narrow_kg_m},
                  {"load_class_nd", static_cast<double>(w->load_class)}};
  }
  if (o.wants("height_min_m")) {
    const std::optional<Height> h = height(o.text("kind"));
    if (!h) return Answer::none("kind not in our table");
    return Values{{"height_min_m", h->from_m}, {"height_max_m", h->to_m}};
  }
  if (o.has("kind")) {
    const std::optional<Climber> c = climber(o.text("kind"));
    if (!c) return Answer::none("kind not in our table");
    return Values{{"wet_mass_kg_m2", c->wet_mass_kg_m2},
                  {"years_to_mature", c->years_to_mature},
                  {"spread_m2", c->spread_m2},
                  {"solidity_summer_nd", c->solidity_summer},
                  {"solidity_winter_nd", c->solidity_winter}};
  }
  if (o.wants("min_kg_m2")) return Values{{"min_kg_m2", kLightest}, {"max_kg_m2", kHeaviest}};
  if (o.wants("evergreen_nd")) return Values{{"deciduous_nd", kWetDeciduous}, {"evergreen_nd", kWetEvergreen}};
  if (o.wants("typical_min_kg_m2"))
    return Values{{"typical_min_kg_m2", kTypicalLeast}, {"typical_max_kg_m2", kTypicalMost}};
  if (o.wants("solidity_nd")) return Values{{"solidity_nd", kOvergrownSolidity}};
  if (o.wants("min_kg_L")) return Values{{"min_kg_L", kMediumLeast}, {"max_kg_L", kMediumMost}};
  if (o.wants("slow_ft_per_year"))
    return Values{{"slow_ft_per_year", kSlowFtPerYear},
                  {"medium_max_ft_per_year", kFastFtPerYear},
                  {"fast_min_ft_per_year", kFastFtPerYear}};
  return Answer::none("a statement, not a number that is computed");
}

/// A small arbor from end to end, by hand with our formulas.
Answer arbor_sanity(const Published& o) {
  if (o.wants("q_p_II_kPa")) {
    const double v = o.in("v_b_m_s"), z = o.in("z_m");
    return Values{{"q_p_II_kPa", wind_en::peak_pressure(v, wind_en::Terrain::farmland, z) / 1000},
                  {"q_p_III_kPa", wind_en::peak_pressure(v, wind_en::Terrain::suburb, z) / 1000}};
  }
  if (o.starts("arbor_en_side_bare")) {
    const double s = o.in("solidity_nd");
    return Values{
        {"F_kN", o.in("q_p_kPa") * wind_en::lattice_gross(o.in("c_f_nd"), s) * o.in("width_m") * o.in("height_m")}};
  }
  if (o.starts("arbor_en_total")) {
    const double total = 2 * o.in("F_panel_kN"), post = total / o.in("posts");
    const double wind = combinations::named(combinations::en1990_ultimate(), "wind leads").wind;
    return Values{{"F_char_kN", total},
                  {"F_design_kN", wind * total},
                  {"F_post_char_kN", post},
                  {"M_post_char_kNm", post * o.in("arm_m")}};
  }
  if (o.starts("arbor_en_overturn")) {
    const auto& c = combinations::named(combinations::en1990_equilibrium(), "uplift, equilibrium");
    return Values{{"M_stab_kNm", c.dead * o.in("G_kN") * o.in("half_base_m")},
                  {"M_dest_kNm", c.wind * o.in("F_char_kN") * o.in("arm_m")}};
  }
  if (o.starts("arbor_asce")) {
    const double cf = o.in("Cf_nd") * o.in("solidity_nd", 1);
    const double f = o.in("q_h_psf") * o.in("G_nd") * cf * o.in("A_ft2");
    return Values{{"F_lb", f}, {"F_asd_lb", combinations::named(combinations::asce_asd(), "5").wind * f}};
  }
  if (o.wants("G_kN")) {
    const double mass = o.in("m_kg_m2") * (2 * o.in("side_m2") + o.in("roof_m2"));
    return Values{{"mass_kg", mass}, {"G_kN", mass * kGravity / 1000}};
  }
  if (o.starts("arbor_timber_mass")) {
    const double volume =
        4 * 0.09 * 0.09 * 2.85 + 2 * 0.035 * 0.14 * 1.3 + 5 * 0.035 * 0.09 * 1.0 + 2 * 0.3 * 0.8 * 1.9 * 0.018;
    return Values{{"mass_kg", volume * o.in("density_kg_m3")}};
  }
  return Answer::none("not set up in the test");
}

std::optional<Answer> compute(const Published& o) {
  static const std::map<std::string, Answer (*)(const Published&)> kTopics = {
      {"1_wind_EN1991_1_4", wind_en_values}, {"2_wind_ASCE7", wind_asce_values},
      {"3_snow_and_roof_live", snow_values}, {"4_combinations_and_persons", combination_values},
      {"7_climbers", climber_values},        {"10_arbor_sanity", arbor_sanity},
  };
  if (o.topic == "8_manual_lifting") return Answer::none("lifting by people: of the build order, not of strength");
  const auto it = kTopics.find(o.topic);
  if (it == kTopics.end()) return std::nullopt;  // the room ground has the rest
  return it->second(o);
}

TEST(Published, Loads) { garthwright::testing::check_published("loads.json", compute); }

}  // namespace
}  // namespace garthwright::strength
