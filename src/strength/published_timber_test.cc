// SPDX-License-Identifier: Apache-2.0
// Published values of timber engineering, one by one: EN 338, EN 1995-1-1, NDS, statics, wood physics.
#include <numbers>

#include "base/published_values_for_tests.h"
#include "frame/along.h"
#include "frame/stability.h"
#include "strength/ec5_connections.h"
#include "strength/ec5_members.h"
#include "strength/en338.h"
#include "strength/moisture_movement.h"
#include "strength/nds_connections.h"
#include "strength/nds_members.h"
#include "strength/nds_values.h"
#include "strength/rectangle.h"

namespace garthwright::strength {
namespace {

using garthwright::testing::Answer;
using garthwright::testing::Published;
using garthwright::testing::Values;

// ---- EN 338 ---------------------------------------------------------------------------------------------------------

Answer en338(const Published& o) {
  if (o.wants("ft_0_k_unrounded_MPa")) {
    const StrengthClass c = derived_softwood(o.in("fm_k_MPa"), o.in("rho_k_kg_m3"), o.in("E0_mean_MPa"));
    return Values{{"ft_0_k_unrounded_MPa", c.ft_0_k},      {"fc_0_k_unrounded_MPa", c.fc_0_k},
                  {"fc_90_k_unrounded_MPa", c.fc_90_k},    {"E0_05_unrounded_MPa", c.e0_05},
                  {"E90_unrounded_MPa", c.e90_mean},       {"G_unrounded_MPa", c.g_mean},
                  {"rho_mean_unrounded_kg_m3", c.rho_mean}};
  }
  if (o.id == "en338_mean_density") {
    Values v;
    for (const StrengthClass& c : strength_classes()) v[std::string(c.name) + "_kg_m3"] = c.rho_mean;
    return {v, {{"C27_kg_m3", "450 is of the 2003 edition; 2016 has 430"}}};
  }
  if (o.id == "pk_c24_to_c30_E05") {
    Values v;
    for (const StrengthClass& c : strength_classes()) {
      v[std::string(c.name) + "_fc0k_MPa"] = c.fc_0_k;
      v[std::string(c.name) + "_E005_MPa"] = c.e0_05;
    }
    return {v, {{"C30_fc0k_MPa", "23 is of the 2003 edition; 2016 has 24"}}};
  }
  if (o.id == "en338_kvh_c18_c30") {
    Values v;
    for (const StrengthClass& c : strength_classes()) {
      const std::string n(c.name);
      v[n + "_fc_0_k_MPa"] = c.fc_0_k, v[n + "_E0_05_MPa"] = c.e0_05, v[n + "_G_mean_MPa"] = c.g_mean;
    }
    const std::string old = "value of the 2009 edition; ours is 2016";
    return {v, {{"C18_ft_0_k_MPa", old}, {"C30_ft_0_k_MPa", old}, {"C30_fc_0_k_MPa", old}}};
  }
  const std::string name = o.text("strength_class").substr(0, 3);
  const std::optional<StrengthClass> c = strength_class(name);
  if (!c) return Answer::none("strength class not in our table");
  const Values v = {{"fm_k_MPa", c->fm_k},       {"ft_0_k_MPa", c->ft_0_k},   {"ft_90_k_MPa", c->ft_90_k},
                    {"fc_0_k_MPa", c->fc_0_k},   {"fc_90_k_MPa", c->fc_90_k}, {"fv_k_MPa", c->fv_k},
                    {"E0_mean_MPa", c->e0_mean}, {"E0_05_MPa", c->e0_05},     {"E90_mean_MPa", c->e90_mean},
                    {"G_mean_MPa", c->g_mean},   {"rho_k_kg_m3", c->rho_k},   {"rho_mean_kg_m3", c->rho_mean}};
  if (!o.text("edition").empty()) {
    const std::string old = "value of an old edition; ours is EN 338:2016";
    return {v, {{"ft_0_k_MPa", old}, {"ft_90_k_MPa", old}, {"fv_k_MPa", old}}};
  }
  if (o.starts("en338_kvh")) return {v, {{"ft_0_k_MPa", "value of the 2009 edition; ours is EN 338:2016"}}};
  return v;
}

// ---- EN 1995-1-1, members -------------------------------------------------------------------------------------------

Answer ec5_factors(const Published& o) {
  using enum ec5::Duration;
  if (o.wants("SC1_perm")) {
    Values v;
    const std::array<const char*, 5> names = {"perm", "long", "medium", "short", "inst"};
    for (int s = 1; s <= 3; ++s)
      for (int d = 0; d < 5; ++d)
        v["SC" + std::to_string(s) + "_" + names[d]] =
            ec5::kmod(static_cast<ec5::ServiceClass>(s), static_cast<ec5::Duration>(d));
    return v;
  }
  if (o.wants("SC1"))
    return Values{{"SC1", ec5::kdef(ec5::ServiceClass::one)},
                  {"SC2", ec5::kdef(ec5::ServiceClass::two)},
                  {"SC3", ec5::kdef(ec5::ServiceClass::three)}};
  if (o.wants("lvl_ply_osb"))
    return Values{{"solid", ec5::gamma_m(ec5::Material::solid)},
                  {"connections", ec5::gamma_m(ec5::Material::connection)},
                  {"glulam", ec5::gamma_m(ec5::Material::glulam)},
                  {"lvl_ply_osb", ec5::gamma_m(ec5::Material::plate_material)},
                  {"plates", ec5::gamma_m(ec5::Material::punched_plate)},
                  {"accidental", ec5::kGammaMAccidental}};
  if (o.id == "ec5_kcr")
    return {{{"solid", ec5::kKcrSolid}, {"glulam", ec5::kKcrSolid}},
            {{"other_EN13986_EN14374", "no panel or LVL members here"}}};
  if (o.wants("kh")) return Values{{"kh", ec5::kh(o.in("h_mm"), o.in("rho_k_kg_m3", 350))}};
  if (o.wants("ksys")) return Values{{"ksys", ec5::kKsys}};
  if (o.wants("fm_d_MPa")) {
    const StrengthClass c = strength_class(o.text("strength_class")).value();
    const auto d = [&](double k) { return ec5::design(k, o.in("kmod"), o.in("gammaM")); };
    return Values{{"fm_d_MPa", d(c.fm_k)},
                  {"fv_d_MPa", d(c.fv_k)},
                  {"fc0_d_MPa", d(c.fc_0_k)},
                  {"fc90_d_MPa", d(c.fc_90_k)},
                  {"ft0_d_MPa", d(c.ft_0_k)}};
  }
  return Answer::none("no formula for it here");
}

Answer ec5_buckling(const Published& o) {
  const double betac = o.in("betac", 0.2);
  if (o.has("lambda")) {
    const ec5::Slenderness s = ec5::slenderness(o.in("lambda"), o.in("fc0k_MPa"), o.in("E005_MPa"), betac);
    return Values{{"lambda_rel", s.lambda_rel}, {"k", s.k}, {"kc", s.kc}};
  }
  const Rectangle r{o.in("b_mm"), o.in("h_mm")};
  const ec5::Slenderness s =
      ec5::slenderness_of(o.in("lef_mm"), std::min(r.b, r.h), o.in("fc0k_MPa"), o.in("E005_MPa"), betac);
  return Values{{"lambda", s.lambda},
                {"lambda_rel", s.lambda_rel},
                {"k", s.k},
                {"kc", s.kc},
                {"NRd_kN", s.kc * ec5::design(o.in("fc0k_MPa"), o.in("kmod"), o.in("gammaM")) * r.area() / 1000}};
}

Answer ec5_combined(const Published& o) {
  if (o.wants("util"))
    return Values{{"util", ec5::stocky_compression_bending(o.in("sigma_c_MPa"), o.in("fc0d_MPa"),
                                                           {o.in("sigma_m_MPa"), o.in("fmd_MPa"), 0, 1})}};
  const Rectangle r{o.in("b_mm"), o.in("h_mm")};
  const auto d = [&](double k) { return ec5::design(k, o.in("kmod"), o.in("gammaM")); };
  const auto kc = [&](double size) {
    return ec5::slenderness_of(o.in("lef_mm"), size, o.in("fc0k_MPa"), o.in("E005_MPa")).kc;
  };
  const double sigma_c = o.in("N_N") / r.area(), sigma_m = o.in("My_Nmm") / r.wy();
  const double fmd = d(o.in("fmk_MPa")) * ec5::kh(r.h);
  const ec5::Combined c =
      ec5::compression_bending(sigma_c, d(o.in("fc0k_MPa")), kc(r.h), kc(r.b), {sigma_m, fmd, 0, 1});
  return Values{{"kc", std::min(kc(r.h), kc(r.b))}, {"sigma_c_MPa", sigma_c}, {"sigma_m_MPa", sigma_m},
                {"fmd_with_kh_MPa", fmd},           {"util_6_23", c.eq_6_23}, {"util_6_24", c.eq_6_24}};
}

Answer ec5_ltb(const Published& o) {
  if (!o.has("L_mm")) return Answer::none("kcrit is only implied by two printed stresses; its inputs are not given");
  const double b = o.in("b_mm"), h = o.in("h_mm");
  const double lef = ec5::beam_effective_length(o.in("L_mm"), h, ec5::BeamLoad::uniform, ec5::LoadedEdge::compression);
  const double crit = ec5::critical_bending_stress(b, h, lef, o.in("E005_MPa"));
  const double rel = ec5::relative_bending_slenderness(o.in("fmk_MPa"), crit);
  return Values{{"lef_mm", lef}, {"sigma_m_crit_MPa", crit}, {"lambda_rel_m", rel}, {"kcrit", ec5::kcrit(rel)}};
}

Answer ec5_shear(const Published& o) {
  if (o.wants("kshape_2004"))
    return Values{{"kshape_2004", ec5::kshape({o.in("b_mm"), o.in("h_mm")}, ec5::TorsionText::original_2004)},
                  {"kshape_A2_2014", ec5::kshape({o.in("b_mm"), o.in("h_mm")}, ec5::TorsionText::amended_2014)}};
  const double tau = ec5::shear_stress(o.in("V_N"), o.in("b_mm"), o.in("h_mm"), o.in("kcr"));
  const double fvd = ec5::design(o.in("fvk_MPa"), o.in("kmod"), o.in("gammaM"));
  return Values{{"tau_MPa", tau}, {"fv_d_MPa", fvd}, {"util", tau / fvd}};
}

Answer ec5_notch(const Published& o) {
  const double h = o.in("h_mm"), hef = o.in("hef_mm");
  const double kv = ec5::kv(h, hef, o.in("x_mm"), o.in("notch_slope_i", 0), o.in("kn", 5));
  Values v = {{"alpha", hef / h}, {"kv", kv}};
  if (o.has("fvk_MPa")) {
    const double fvd = ec5::design(o.in("fvk_MPa"), o.in("kmod"), o.in("gammaM"));
    v["VRd_without_kcr_N"] = ec5::notched_shear_capacity(o.in("b_mm"), hef, kv, fvd, 1);
    v["VRd_with_kcr_N"] = ec5::notched_shear_capacity(o.in("b_mm"), hef, kv, fvd, o.in("kcr"));
  }
  return v;
}

Answer ec5_bearing(const Published& o) {
  using enum ec5::BearingOn;
  if (o.wants("default"))
    return Values{{"continuous_support_solid", ec5::kc90(continuous, false, 100, 1000, 145)},
                  {"continuous_support_glulam", ec5::kc90(continuous, true, 100, 1000, 145)},
                  {"discrete_support_solid", ec5::kc90(discrete, false, 100, 1000, 145)},
                  {"discrete_support_glulam_l_le_400", ec5::kc90(discrete, true, 100, 1000, 145)},
                  {"default", ec5::kc90(discrete, false, 100, 200, 145)}};
  if (o.wants("fc_alpha_d_MPa"))
    return Values{{"fc_alpha_d_MPa",
                   ec5::compression_at_angle(o.in("alpha_deg"), o.in("fc0d_MPa"), o.in("fc90d_MPa"), o.in("kc90"))}};
  const double lef = ec5::bearing_length(o.in("l_mm"), o.in("overhang_a_mm"), 1e9);
  return Values{{"lef_mm", lef},
                {"FRd_N", o.in("b_mm") * lef *
                              ec5::compression_at_angle(
                                  90, 1, ec5::design(o.in("fc90k_MPa"), o.in("kmod"), o.in("gammaM")), o.in("kc90"))}};
}

Answer ec5_deflection(const Published& o) {
  if (o.wants("winst_span_over_min")) {
    const ec5::SagLimits b = ec5::kSagOfBeam, c = ec5::kSagOfCantilever;
    return Values{{"winst_span_over_min", b.winst_min},       {"winst_span_over_max", b.winst_max},
                  {"wnetfin_span_over_min", b.wnetfin_min},   {"wnetfin_span_over_max", b.wnetfin_max},
                  {"wfin_span_over_min", b.wfin_min},         {"wfin_span_over_max", b.wfin_max},
                  {"cantilever_winst_over_min", c.winst_min}, {"cantilever_winst_over_max", c.winst_max}};
  }
  const Rectangle r{o.in("b_mm"), o.in("h_mm")};
  const double l = o.in("L_mm");
  if (o.wants("w_shear_mm")) {
    const double shear = ec5::uniform_shear_sag(o.in("q_N_per_mm"), l, o.in("Gmean_MPa"), r.area());
    return Values{{"w_shear_mm", shear},
                  {"ratio_to_bending", shear / ec5::uniform_sag(o.in("q_N_per_mm"), l, 11000, r.iy())}};
  }
  const double e = o.in("E0mean_MPa"), kdef = o.in("kdef");
  const double g = ec5::uniform_sag(o.in("g_N_per_mm"), l, e, r.iy());
  const double q = ec5::uniform_sag(o.in("q_N_per_mm"), l, e, r.iy());
  return Values{{"I_mm4", r.iy()},
                {"w_inst_G_mm", g},
                {"w_inst_Q_mm", q},
                {"w_inst_mm", g + q},
                {"w_fin_psi2_0_mm", ec5::final_permanent(g, kdef) + ec5::final_variable(q, 0, kdef)},
                {"w_fin_psi2_0_3_mm", ec5::final_permanent(g, kdef) + ec5::final_variable(q, 0.3, kdef)}};
}

// ---- EN 1995-1-1, connections ---------------------------------------------------------------------------------------

Answer ec5_embedment(const Published& o) {
  const double rho = o.in("rho_k_kg_m3");
  if (o.has("d_root_mm")) {
    const double d = ec5::screw_effective_diameter(o.in("d_root_mm"));
    return Values{{"d_ef_mm", d},
                  {"fh_k_no_predrill_MPa", ec5::nail_embedment(d, rho, false)},
                  {"My_Rk_formula_Nmm", ec5::yield_moment(d, o.in("fu_MPa"))}};
  }
  const double d = o.in("d_mm");
  if (o.has("predrilled")) return Values{{"fh_k_MPa", ec5::nail_embedment(d, rho, o.inputs["predrilled"])}};
  const ec5::Wood wood = o.text("wood") == "hardwood" ? ec5::Wood::hardwood
                         : o.text("wood") == "lvl"    ? ec5::Wood::lvl
                                                      : ec5::Wood::softwood;
  Values v = {{"k90", ec5::k90(d, wood)}};
  for (const auto& [key, _] : o.expected.items())
    if (key.rfind("fh_", 0) == 0) v[key] = ec5::bolt_embedment(d, rho, std::stod(key.substr(3)), wood);
  return v;
}

Answer ec5_yield_moment(const Published& o) {
  return Values{{"My_Rk_Nmm", ec5::yield_moment(o.in("d_mm"), o.in("fu_MPa"), o.in("coefficient", 0.3))}};
}

ec5::Shear shear_of(const Published& o) {
  ec5::Shear s;
  s.fh1 = o.in("fh1_k_MPa", o.in("fh_k_MPa", 0));
  s.fh2 = o.in("fh2_k_MPa", 0);
  s.t1 = o.in("t1_mm", 0), s.t2 = o.in("t2_mm", 0);
  s.d = o.in("d_mm");
  s.my = o.in("My_Rk_Nmm");
  s.fax = o.in("Fax_Rk_N", 0);
  s.rope_limit = o.in("rope_limit_fraction", 0);
  return s;
}

Answer ec5_johansen_single(const Published& o) {
  const ec5::Modes<6> m = ec5::single_shear(shear_of(o));
  Values v = {{"governing_mode_index", m.governing + 1.0},
              {"Fv_Rk_N", m.capacity()},
              {"Fv_Rk_no_rope_N", m.capacity_without_rope()}};
  for (int i = 0; i < 6; ++i) v[std::string("mode_") + "abcdef"[i] + "_no_rope_N"] = m.johansen[i];
  return v;
}

Answer ec5_johansen_double(const Published& o) {
  const ec5::Modes<4> m = ec5::double_shear(shear_of(o));
  Values v = {{"governing_mode_index", m.governing + 1.0},
              {"Fv_Rk_per_plane_N", m.capacity()},
              {"Fv_Rk_per_fastener_N", 2 * m.capacity()},
              {"Fv_Rk_per_plane_no_rope_N", m.capacity_without_rope()}};
  for (int i = 0; i < 4; ++i) v[std::string("mode_") + "ghjk"[i] + "_no_rope_N"] = m.johansen[i];
  return v;
}

Answer ec5_steel_timber(const Published& o) {
  if (o.wants("F1ax_Rk_N")) {
    const double f1 = ec5::bolt_tension(o.in("fu_MPa"), o.in("As_mm2"), 1);  // the source leaves 0.9 out
    const double f2 = ec5::washer_capacity(ec5::plate_as_washer(o.in("steel_plate_mm"), o.in("d_mm")), o.in("hole_mm"),
                                           o.in("fc90k_MPa"));
    return Values{{"F1ax_Rk_N", f1}, {"F2ax_Rk_N", f2}, {"Fax_Rk_N", std::min(f1, f2)}};
  }
  if (o.wants("Fv_Rk_mode_m_with_uncapped_rope_N")) {
    ec5::Shear s = shear_of(o);
    s.t2 = 1000;
    s.fh2 = ec5::bolt_embedment(s.d, o.in("rho_k_kg_m3"), o.in("alpha_deg_reconstructed"));
    s.rope_limit = 1;
    return Values{{"Fv_Rk_mode_m_with_uncapped_rope_N", ec5::thick_plates_outside(s).with_rope[1]}};
  }
  const ec5::Shear s = shear_of(o);
  if (o.inputs["thick_plate"].get<bool>()) {
    const ec5::Modes<3> m = ec5::thick_plate(s);
    return Values{{"mode_c_no_rope_N", m.johansen[0]},
                  {"mode_d_no_rope_N", m.johansen[1]},
                  {"mode_e_no_rope_N", m.johansen[2]},
                  {"Fv_Rk_N", ec5::plate_capacity(s, o.in("plate_mm"))},
                  {"governing_mode_index", m.governing + 3.0}};
  }
  const ec5::Modes<2> m = ec5::thin_plate(s);
  return Values{{"mode_a_no_rope_N", m.johansen[0]},
                {"mode_b_no_rope_N", m.johansen[1]},
                {"Fv_Rk_N", ec5::plate_capacity(s, o.in("plate_mm"))},
                {"governing_mode_index", m.governing + 1.0}};
}

Answer ec5_rope_effect(const Published& o) {
  if (o.wants("round_nail")) {
    using enum ec5::Fastener;
    return Values{{"round_nail", ec5::rope_limit(round_nail)},
                  {"square_grooved_nail", ec5::rope_limit(square_nail)},
                  {"other_nail", ec5::rope_limit(other_nail)},
                  {"screw", ec5::rope_limit(screw)},
                  {"bolt", ec5::rope_limit(bolt)},
                  {"dowel", ec5::rope_limit(dowel)}};
  }
  const double axial = o.in("Fax_over_FaxRd"), lateral = o.in("Fv_over_FvRd");
  return Values{{"util_smooth_nail", ec5::axial_and_lateral(axial, lateral, true)},
                {"util_screw", ec5::axial_and_lateral(axial, lateral, false)}};
}

Answer ec5_withdrawal(const Published& o) {
  if (o.wants("nef")) return Values{{"nef", ec5::axial_group(o.in("n"))}};
  const double rho = o.in("rho_k_kg_m3");
  if (o.wants("fhead_k_MPa"))
    return Values{
        {"fax_k_MPa", ec5::smooth_nail_withdrawal_strength(rho)},
        {"fhead_k_MPa", ec5::smooth_nail_head_strength(rho)},
        {"Fax_Rk_N", ec5::smooth_nail_withdrawal(o.in("d_mm"), o.in("dh_mm"), o.in("tpen_mm"), o.in("t_mm"), rho)}};
  if (o.wants("Fax_head_Rk_N"))
    return Values{
        {"Fax_head_Rk_N", ec5::axial_group(o.in("n", 1)) *
                              ec5::head_pull_through(o.in("fhead_k_MPa"), o.in("dh_mm"), rho, o.in("rho_a_kg_m3"))}};
  if (o.wants("kd"))
    return Values{{"fax_k_MPa", ec5::screw_withdrawal_strength(o.in("d_mm"), o.in("lef_mm"), rho)},
                  {"kd", ec5::screw_kd(o.in("d_mm"))},
                  {"Fax_Rk_N", ec5::axial_group(o.in("n", 1)) *
                                   ec5::screw_withdrawal(o.in("d_mm"), o.in("lef_mm"), rho, o.in("alpha_deg"))}};
  return Answer::none("superseded formula of 2004; ours is A1:2008");
}

Answer ec5_nef(const Published& o) {
  if (o.has("a1_over_d"))
    return Values{{"kef", ec5::nail_kef(o.in("a1_over_d"))},
                  {"nef", ec5::nails_effective(o.in("n"), o.in("a1_over_d"))}};
  return Values{{"nef", ec5::bolts_effective(o.in("n"), o.in("a1_mm"), o.in("d_mm"), o.in("alpha_deg", 0))}};
}

Answer ec5_splitting(const Published& o) {
  const double f = ec5::splitting_capacity(o.in("b_mm"), o.in("h_mm"), o.in("he_mm"), o.in("w", 1));
  return Values{{"F90_Rk_N", f}, {"F90_Rd_kmod0_7_N", ec5::design(f, 0.7, 1.3)}};
}

Answer ec5_slip(const Published& o) {
  if (o.wants("timber_hole_max_mm")) {
    const ec5::BoltHole h = ec5::bolt_hole(o.in("d_mm"));
    return Values{{"timber_hole_max_mm", h.in_timber},
                  {"steel_hole_max_mm", h.in_steel},
                  {"washer_min_dia_mm", h.washer},
                  {"washer_min_t_mm", h.washer_thickness}};
  }
  const double rho = ec5::joint_density(o.in("rho_m1_kg_m3"), o.in("rho_m2_kg_m3"));
  const ec5::SlipKind kind = o.text("type") == "nail_no_pre" ? ec5::SlipKind::nail
                             : o.text("type") == "staple"    ? ec5::SlipKind::staple
                                                             : ec5::SlipKind::bolt_screw_or_predrilled_nail;
  const double k = ec5::slip_modulus(rho, o.in("d_mm"), kind);
  return Values{{"rho_m_kg_m3", rho}, {"Kser_N_per_mm", k}, {"Ku_N_per_mm", ec5::ultimate_slip_modulus(k)}};
}

Answer ec5_spacing(const Published& o) {
  const double d = o.in("d_mm");
  if (o.wants("a1CG_mm")) {
    const ec5::AxialSpacing a = ec5::axial_screw_spacing(d);
    return Values{{"a1_mm", a.a1}, {"a2_mm", a.a2}, {"a1CG_mm", a.end}, {"a2CG_mm", a.edge}};
  }
  if (o.starts("lvl_handbook")) return Answer::none("LVL: no such members here");
  const ec5::Spacing s = o.has("predrilled")
                             ? ec5::nail_spacing(d, o.in("alpha_deg"), o.inputs["predrilled"], o.in("rho_k_kg_m3", 350))
                             : ec5::bolt_spacing(d, o.in("alpha_deg"));
  return Values{{"a1_mm", s.a1},   {"a2_mm", s.a2},   {"a3t_mm", s.a3t},
                {"a3c_mm", s.a3c}, {"a4t_mm", s.a4t}, {"a4c_mm", s.a4c}};
}

// ---- NDS ------------------------------------------------------------------------------------------------------------

Answer nds_reference_values(const Published& o) {
  if (o.wants("southern_pine") || o.wants("southern_pine_pcf")) {
    Values v;
    const std::map<std::string, std::string> names = {
        {"southern_pine", "Southern Pine"},          {"douglas_fir_larch", "Douglas Fir-Larch"},
        {"spruce_pine_fir", "Spruce-Pine-Fir"},      {"hem_fir", "Hem-Fir"},
        {"western_cedars", "Western Cedars"},        {"redwood_close_grain", "Redwood close grain"},
        {"redwood_open_grain", "Redwood open grain"}};
    for (const auto& [key, name] : names) {
      v[key] = nds::specific_gravity(name).value();
      if (const auto pcf = nds::unit_weight_pcf(name)) v[key + "_pcf"] = *pcf;
    }
    return v;
  }
  const std::string what = o.text("species_grade");
  if (what.find("INTERIM") != std::string::npos) return Answer::none("interim values of 2012, superseded in 2013");
  const bool timber = what.find("Posts & Timbers") != std::string::npos || what.find("5x5") != std::string::npos;
  std::optional<nds::ReferenceValues> found;
  for (const nds::ReferenceValues& r : nds::reference_values()) {
    if (what.rfind(std::string(r.species) + " " + std::string(r.grade), 0) != 0) continue;
    if ((r.table == nds::Table::timbers_4d) != timber) continue;
    double width = r.from_width_in;  // "…, 8 in wide (2x8)"
    if (const auto at = what.find("(2x"); at != std::string::npos) width = std::stod(what.substr(at + 3));
    if (width >= r.from_width_in && width <= r.to_width_in) found = r;
  }
  if (!found) return Answer::none("species, grade or size not in our table");
  return Values{{"Fb_psi", found->fb},           {"Ft_psi", found->ft}, {"Fv_psi", found->fv},
                {"Fc_perp_psi", found->fc_perp}, {"Fc_psi", found->fc}, {"E_psi", found->e},
                {"Emin_psi", found->e_min}};
}

Answer nds_factors(const Published& o) {
  using enum nds::Property;
  if (o.wants("Fb_2_4in"))
    return Values{{"Fb_2_4in", nds::size_factor(fb, 4)},
                  {"Fb_5in", nds::size_factor(fb, 5)},
                  {"Fb_6in", nds::size_factor(fb, 6)},
                  {"Fb_8in", nds::size_factor(fb, 8)},
                  {"Fb_8in_4thick", nds::size_factor(fb, 8, 4)},
                  {"Fb_10in", nds::size_factor(fb, 10)},
                  {"Fb_10in_4thick", nds::size_factor(fb, 10, 4)},
                  {"Fb_12in", nds::size_factor(fb, 12)},
                  {"Fb_12in_4thick", nds::size_factor(fb, 12, 4)},
                  {"Fb_14in", nds::size_factor(fb, 14)},
                  {"Fc_2_4in", nds::size_factor(fc, 4)},
                  {"Fc_5_6in", nds::size_factor(fc, 6)},
                  {"Fc_8in", nds::size_factor(fc, 8)},
                  {"Fc_10_12in", nds::size_factor(fc, 12)},
                  {"Fc_14in", nds::size_factor(fc, 14)},
                  {"Ft_2_4in", nds::size_factor(ft, 4)},
                  {"Ft_6in", nds::size_factor(ft, 6)},
                  {"Ft_8in", nds::size_factor(ft, 8)},
                  {"Ft_10in", nds::size_factor(ft, 10)},
                  {"Ft_12in", nds::size_factor(ft, 12)}};
  if (o.wants("Fb_if_FbCF_le_1150"))
    return Values{{"Fb", nds::wet_service_factor(fb)},
                  {"Fb_if_FbCF_le_1150", nds::wet_service_factor(fb, 1150)},
                  {"Ft", nds::wet_service_factor(ft)},
                  {"Fv", nds::wet_service_factor(fv)},
                  {"Fc_perp", nds::wet_service_factor(fc_perp)},
                  {"Fc", nds::wet_service_factor(fc)},
                  {"Fc_if_FcCF_le_750", nds::wet_service_factor(fc, 750)},
                  {"E_Emin", nds::wet_service_factor(e)}};
  if (o.wants("permanent"))
    return Values{{"permanent", nds::duration_factor(nds::Load::permanent)},
                  {"ten_years", nds::duration_factor(nds::Load::occupancy)},
                  {"two_months_snow", nds::duration_factor(nds::Load::snow)},
                  {"seven_days", nds::duration_factor(nds::Load::construction)},
                  {"ten_min_wind_eq", nds::duration_factor(nds::Load::wind)},
                  {"impact", nds::duration_factor(nds::Load::impact)}};
  if (o.wants("Cr"))
    return Values{{"Cr", nds::kRepetitive},
                  {"Cfu_4in_2thick", nds::flat_use_factor(4, 2)},
                  {"Cfu_5in_2thick", nds::flat_use_factor(5, 2)},
                  {"Cfu_6in_2thick", nds::flat_use_factor(6, 2)},
                  {"Cfu_8in_2thick", nds::flat_use_factor(8, 2)},
                  {"Cfu_10in_2thick", nds::flat_use_factor(10, 2)},
                  {"Cfu_4in_4thick", nds::flat_use_factor(4, 4)},
                  {"Cfu_6in_4thick", nds::flat_use_factor(6, 4)}};
  if (o.wants("lateral_dry_dry"))
    return Values{{"lateral_dry_dry", nds::lateral_wet_factor(nds::WetUse::dry)},
                  {"lateral_wet_fab_dry_service", nds::lateral_wet_factor(nds::WetUse::fabricated_wet_used_dry)},
                  {"lateral_wet_service", nds::lateral_wet_factor(nds::WetUse::wet)},
                  {"lag_wood_screw_withdrawal_wet_service", nds::kThreadWithdrawalWet},
                  {"nail_withdrawal_wet_to_wet", nds::nail_withdrawal_wet_factor(false)},
                  {"nail_withdrawal_wet_to_dry", nds::nail_withdrawal_wet_factor(true)},
                  {"nail_withdrawal_dry_to_wet", nds::nail_withdrawal_wet_factor(true)}};
  if (o.wants("KF_Fb")) {
    const nds::Lrfd l = nds::kLrfd;
    return Values{
        {"KF_Fb", l.kf_fb},          {"KF_Ft", l.kf_ft},      {"KF_Fv", l.kf_fv},           {"KF_Fc", l.kf_fc},
        {"KF_Fcperp", l.kf_fc_perp}, {"KF_Emin", l.kf_e_min}, {"KF_conn", l.kf_connection}, {"phi_b", l.phi_b},
        {"phi_t", l.phi_t},          {"phi_v", l.phi_v},      {"phi_c", l.phi_c},           {"phi_s", l.phi_s},
        {"phi_z", l.phi_z}};
  }
  if (o.starts("nds_Ci"))
    return Values{{"E_Emin", nds::incising_factor(e)}, {"Fb", nds::incising_factor(fb)},
                  {"Ft", nds::incising_factor(ft)},    {"Fc", nds::incising_factor(fc)},
                  {"Fv", nds::incising_factor(fv)},    {"Fc_perp", nds::incising_factor(fc_perp)}};
  return Answer::none("no table of it here");
}

Answer nds_column(const Published& o) {
  using enum nds::EndHold;
  if (o.wants("pin_pin"))
    return Values{
        {"fix_fix_theory", nds::ke_theory(fixed_fixed)},     {"fix_fix_design", nds::ke_design(fixed_fixed)},
        {"fix_pin_theory", nds::ke_theory(fixed_pinned)},    {"fix_pin_design", nds::ke_design(fixed_pinned)},
        {"fix_slide_theory", nds::ke_theory(fixed_sliding)}, {"fix_slide_design", nds::ke_design(fixed_sliding)},
        {"pin_pin", nds::ke_design(pinned_pinned)},          {"fix_free_theory", nds::ke_theory(fixed_free)},
        {"fix_free_design", nds::ke_design(fixed_free)},     {"pin_slide_theory", nds::ke_theory(pinned_sliding)},
        {"pin_slide_design", nds::ke_design(pinned_sliding)}};
  if (o.wants("util"))
    return Values{{"util", nds::compression_bending(o.in("fc_psi"), o.in("Fc_prime_psi"), o.in("fb_psi"),
                                                    o.in("Fb_prime_psi"), o.in("FcE_psi"))}};
  const nds::Column c =
      nds::column(o.in("Fc_star_psi"), o.in("Emin_prime_psi"), o.in("le_in"), o.in("d_in"), o.in("c", 0.8));
  return Values{{"le_over_d", c.le_over_d},
                {"FcE_psi", c.f_ce},
                {"CP", c.cp},
                {"Fc_prime_psi", c.fc_prime},
                {"P_lb", c.fc_prime * o.in("d_in") * o.in("width_in")}};
}

Answer nds_beam(const Published& o) {
  if (o.wants("S_in3")) {
    const Rectangle r{o.in("b_in"), o.in("d_in")};
    return Values{{"A_in2", r.area()}, {"S_in3", r.wy()}, {"I_in4", r.iy()}};
  }
  if (o.wants("CM_applicable")) {
    const double cm = nds::wet_service_factor(nds::Property::fb, o.in("Fb_psi"));
    const double fb = o.in("Fb_psi") * o.in("CD") * cm * o.in("Cr");
    const std::map<char, double> dressed = {{'4', 3.5}, {'6', 5.5}, {'8', 7.25}, {'1', 9.25}};  // "…_2x8_…"
    const Rectangle section{1.5, dressed.at(o.id.at(o.id.find("2x") + 2))};
    return Values{{"CM_applicable", cm}, {"Fb_prime_psi", fb}, {"M_prime_lb_ft", fb * section.wy() / 12}};
  }
  if (o.has("FbE_psi")) return Values{{"CL", nds::stability_factor(o.in("FbE_psi"), o.in("Fb_star_psi"))}};
  const nds::Beam b = nds::beam(o.in("Fb_star_psi"), o.in("Emin_prime_psi"), o.in("lu_in"), o.in("b_in"), o.in("d_in"));
  return Values{{"le_in", b.le}, {"RB", b.rb}, {"FbE_psi", b.f_be}, {"CL", b.cl}};
}

Answer nds_notch(const Published& o) {
  const double fv = o.in("Fv_prime_psi"), b = o.in("b_in"), d = o.in("d_in");
  return Values{{"Vr_lb", nds::notched_shear(fv, b, d, o.in("dn_in"))}, {"Vr_unnotched_lb", nds::shear(fv, b, d)}};
}

Answer nds_bearing(const Published& o) {
  if (o.wants("Cb")) return Values{{"Cb", nds::bearing_factor(o.in("lb_in"))}};
  return Values{
      {"F_theta_psi", nds::bearing_at_angle(o.in("theta_deg"), o.in("Fc_star_psi"), o.in("Fcperp_prime_psi"))}};
}

Answer nds_dowel(const Published& o) {
  if (o.wants("Fyb_ksi")) return Values{{"Fyb_ksi", nds::nail_yield_regression(o.in("D_in")) / 1000}};
  if (o.wants("Ctn_lateral"))
    return Values{{"Ctn_lateral", nds::kToeNailLateral},
                  {"Ctn_withdrawal", nds::kToeNailWithdrawal},
                  {"Ceg_lateral", nds::kEndGrainLateral},
                  {"Ceg_nail_withdrawal", nds::kEndGrainNail},
                  {"Ceg_lag_withdrawal", nds::kEndGrainLag}};
  const double g = o.in("G");
  return Values{{"Fe_par_table_psi", nds::nearest_50(nds::bearing_along(g))},
                {"Fe_perp_half_in_table_psi", nds::nearest_50(nds::bearing_across(g, 0.5))},
                {"Fe_perp_5_8_in_table_psi", nds::nearest_50(nds::bearing_across(g, 0.625))},
                {"Fe_nail_table_psi", nds::nearest_50(nds::bearing_small(g))}};
}

Answer nds_dowel_lateral(const Published& o) {
  nds::Dowel w;
  if (o.wants("penetration_ratio")) {  // a 16d common nail through a gap of sheathing
    w.d = w.nominal_d = 0.162;
    w.ls = o.in("side_in"), w.lm = 3.5 - w.ls;
    w.fem = w.fes = nds::nearest_50(nds::bearing_small(o.in("G")));
    w.fyb = nds::nail_yield_step(w.d);
    const double z = std::round(nds::single_shear(w).z());
    const double p = 3.5 - w.ls - o.in("gap_sheathing_in"), ratio = nds::penetration_factor(p, w.d);
    return Values{{"Z_table_lb", z},  {"p_full_in", 10 * w.d},      {"p_min_in", 6 * w.d},
                  {"p_actual_in", p}, {"penetration_ratio", ratio}, {"Z_prime_lb", z * o.in("CD") * ratio}};
  }
  w.d = o.in("D_in"), w.nominal_d = o.in("nominal_D_in", w.d);
  w.lm = o.in("lm_in"), w.ls = o.in("ls_in");
  w.fem = o.in("Fem_psi"), w.fes = o.in("Fes_psi"), w.fyb = o.in("Fyb_psi");
  w.degrees = o.in("theta_deg", 0);
  const bool twice = o.has("double_shear") && o.inputs["double_shear"].get<bool>();
  const nds::Yield y = twice ? nds::double_shear(w) : nds::single_shear(w);
  Values v = {{"Z_lb", y.z()}, {"Z_table_lb", y.z()}, {"governing_mode_index", y.governing + 1.0}};
  const std::array<const char*, 6> names = {"Im", "Is", "II", "IIIm", "IIIs", "IV"};
  for (int i = 0; i < 6; ++i) v[std::string("Z_") + names[i] + "_lb"] = y.modes[i];
  return v;
}

Answer nds_withdrawal(const Published& o) {
  if (o.wants("p_ultimate_N"))
    return Answer::none("an ultimate load, 5.7 times the design value: not used as a capacity");
  if (o.wants("Z_alpha_lb"))
    return Values{{"Z_alpha_lb", nds::lag_combined(o.in("Wp_lb"), o.in("Z_lb"), o.in("alpha_deg"))}};
  const double d = o.in("D_in");
  if (o.wants("W_total_lb")) {
    const double thread = o.in("T_in") - o.in("E_in");
    return Values{{"thread_in", thread}, {"W_total_lb", thread * nds::lag_withdrawal(o.in("G"), d)}};
  }
  if (o.wants("W_lb_per_in")) {
    const bool screw = o.id.find("woodscrew") != std::string::npos;
    return Values{
        {"W_lb_per_in", screw ? nds::wood_screw_withdrawal(o.in("G"), d) : nds::nail_withdrawal(o.in("G"), d)}};
  }
  Values v;  // "W_G0_55_lb_per_in"
  for (const auto& [key, _] : o.expected.items())
    if (key.rfind("W_G0_", 0) == 0) v[key] = nds::lag_withdrawal(std::stod("0." + key.substr(5, 2)), d);
  return v;
}

Answer nds_geometry(const Published& o) {
  if (o.wants("Cg"))
    return Values{{"Cg", nds::group_action(o.in("n"), o.in("s_in"), o.in("D_in"), o.in("Am_in2"), o.in("As_in2"),
                                           o.in("Em_psi"), o.in("Es_psi"))}};
  if (o.wants("spacing_in")) return Values{{"spacing_in", nds::between_rows_across(o.in("l_in"), o.in("D_in"))}};
  const nds::BoltGeometry g = nds::bolt_geometry(o.in("D_in"), 3);
  return Values{{"end_tension_full_in", g.end_tension_full},  {"end_tension_min_in", g.end_tension_min},
                {"end_comp_full_in", g.end_compression_full}, {"edge_par_in", g.edge_along},
                {"edge_perp_loaded_in", g.edge_loaded},       {"edge_perp_unloaded_in", g.edge_unloaded},
                {"row_spacing_full_in", g.row_spacing_full},  {"row_spacing_min_in", g.row_spacing_min},
                {"between_rows_par_in", g.between_rows_along}};
}

// ---- statics --------------------------------------------------------------------------------------------------------

Answer section_properties(const Published& o) {
  const Rectangle r{o.in("b_mm"), o.in("h_mm")};
  return Values{{"A_mm2", r.area()}, {"Iy_mm4", r.iy()},      {"Iz_mm4", r.iz()},     {"Wy_mm3", r.wy()},
                {"Wz_mm3", r.wz()},  {"iy_mm", r.radius_y()}, {"iz_mm", r.radius_z()}};
}

Answer torsion(const Published& o) {
  if (o.wants("beta_1")) {
    Values v;
    for (const auto& [key, _] : o.expected.items()) {
      std::string ratio = key.substr(key.find('_') + 1);
      if (const auto at = ratio.find('_'); at != std::string::npos) ratio[at] = '.';
      const Rectangle r{1, std::stod(ratio)};
      v[key] = key[0] == 'b' ? r.torsion_constant() / r.h : r.torsion_stress_factor();
    }
    return v;
  }
  const Rectangle r{o.in("b_mm"), o.in("h_mm")};
  return {{{"J_mm4", r.torsion_constant()},
           {"J_over_hb3", r.torsion_constant() / (r.h * r.b * r.b * r.b)},
           {"alpha_tau", r.torsion_stress_factor()}},
          {{"J_roark_approx_mm4", "an approximation to the series that we sum"}}};
}

/// Frames in the x–z plane for the frame solver: the published beams and portals are solved, not put into formulas.
struct Plane {
  frame::Frame frame;
  double e, i, area = 1e8;

  frame::NodeIndex node(double x, double z = 0) {
    frame.nodes.push_back({"N" + std::to_string(frame.nodes.size()), {x, 0, z}});
    return frame.nodes.size() - 1;
  }
  frame::MemberIndex member(frame::NodeIndex a, frame::NodeIndex b, double own_i = 0) {
    frame::Member m;
    m.id = "M" + std::to_string(frame.members.size());
    m.ends = {a, b};
    m.area_mm2 = area;
    m.iy_mm4 = m.iz_mm4 = own_i > 0 ? own_i : i;
    m.j_mm4 = 2 * m.iz_mm4;
    m.e_mpa = e, m.g_mpa = e / 16;
    m.up = {0, 1, 0};
    frame.members.push_back(m);
    return frame.members.size() - 1;
  }
  void hold(frame::NodeIndex n, bool x, bool z, bool turn) {
    const auto k = [](bool held) { return held ? frame::kRigid : 0; };
    frame.supports.push_back({n, {k(x), frame::kRigid, k(z), frame::kRigid, k(turn), frame::kRigid}});
  }
  void push(frame::NodeIndex n, double x, double z) { frame.loads.on_nodes.push_back({n, {x, 0, z}, {}}); }
  void load(double q) {
    for (frame::MemberIndex m = 0; m < frame.members.size(); ++m) frame.loads.on_members.push_back({m, {0, 0, -q}});
  }
  frame::Solution solve() const { return frame::solve(frame).value(); }
};

double down(const frame::Solution& s, frame::NodeIndex n) { return -s.displacements[n].translation_mm[2]; }
double bending(const frame::Solution& s, std::size_t m, int end) {
  return std::abs(s.members[m].end[end].moment_nmm[1]);
}
/// Sagging moment at x of a member, positive where it stretches the underside.
double sagging(const frame::Solution& s, std::size_t m, double x) {
  return -frame::forces_along(s.members[m], x).moment_y_nmm;
}

Answer beams(const Published& o) {
  Plane p;
  p.e = o.in("E_MPa"), p.i = o.in("I_mm4");
  const double force = o.in("P_N", 0), q = o.in("w_N_per_mm", 0);
  if (o.starts("beam_cantilever")) {
    const double l = o.in("L_mm");
    p.node(0), p.node(l), p.member(0, 1), p.hold(0, true, true, true);
    p.load(q), p.push(1, 0, -force);
    const frame::Solution s = p.solve();
    return Values{{"M_Nmm", bending(s, 0, 0)},
                  {"defl_mm", down(s, 1)},
                  {"rot_rad", std::abs(s.displacements[1].rotation_rad[1])}};
  }
  if (o.starts("beam_simple") || o.starts("beam_fixed")) {
    const bool fixed = o.starts("beam_fixed");
    const double l = o.in("L_mm"), a = o.in("a_mm", l / 2);
    p.node(0), p.node(a), p.node(l), p.member(0, 1), p.member(1, 2);
    p.hold(0, true, true, fixed), p.hold(2, fixed, true, fixed);
    p.load(q), p.push(1, 0, -force);
    const frame::Solution s = p.solve();
    double most = 0, at = 0;
    for (std::size_t m : {0, 1})
      for (int i = 0; i <= 2000; ++i) {
        const double x = s.members[m].length_mm * i / 2000;
        const double w = std::abs(frame::shift_along(p.frame.members[m], s.members[m], x)[2]);
        if (w > most) most = w, at = m == 0 ? x : a + x;
      }
    return Values{{"M_Nmm", bending(s, 0, 1)},     {"M_end_Nmm", bending(s, 0, 0)},
                  {"M_mid_Nmm", bending(s, 0, 1)}, {"defl_mm", down(s, 1)},
                  {"defl_max_mm", most},           {"x_from_longer_side_end_mm", a < l / 2 ? l - at : at}};
  }
  if (o.starts("beam_two_equal") || o.starts("beam_three_equal")) {
    const double l = o.in("L_each_mm");
    const int spans = o.starts("beam_two") ? 2 : 3;
    for (int i = 0; i <= spans; ++i) p.node(l * i), p.hold(i, i == 0, true, false);
    for (int i = 0; i < spans; ++i) p.member(i, i + 1);
    p.load(q);
    const frame::Solution s = p.solve();
    double sag = 0;
    for (int i = 0; i <= 2000; ++i)
      sag = std::max(sag, std::abs(frame::shift_along(p.frame.members[0], s.members[0], l * i / 2000)[2]));
    double end_span = 0;
    for (double x : frame::places_of_greatest_moment(s.members[0])) end_span = std::max(end_span, sagging(s, 0, x));
    return Values{{"M_support_Nmm", bending(s, 0, 1)},
                  {"R_end_N", s.reactions[0].force_n[2]},
                  {"R_mid_N", s.reactions[1].force_n[2]},
                  {"R_inner_N", s.reactions[1].force_n[2]},
                  {"M_end_span_Nmm", end_span},
                  {"M_mid_span_Nmm", spans == 3 ? sagging(s, 1, l / 2) : 0},
                  {"defl_max_mm", sag}};
  }
  const double c = o.in("overhang_mm", 0);
  if (o.starts("beam_double_overhang")) {
    const double l = o.in("L_between_supports_mm");
    p.node(-c), p.node(0), p.node(l / 2), p.node(l), p.node(l + c);
    for (int i = 0; i < 4; ++i) p.member(i, i + 1);
    p.hold(1, true, true, false), p.hold(3, false, true, false), p.load(q);
    const frame::Solution s = p.solve();
    return Values{{"M_support_Nmm", sagging(s, 1, 0)},
                  {"M_mid_Nmm", sagging(s, 2, 0)},
                  {"R_N", s.reactions[0].force_n[2]},
                  {"tip_defl_mm", down(s, 4)},
                  {"mid_defl_mm", down(s, 2)}};
  }
  if (o.starts("beam_single_overhang")) {
    const double l = o.in("L_mm");
    p.node(0), p.node(l), p.node(l + c), p.member(0, 1), p.member(1, 2);
    p.hold(0, true, true, false), p.hold(1, false, true, false), p.push(2, 0, -force);
    const frame::Solution s = p.solve();
    return Values{{"M_Nmm", bending(s, 0, 1)},
                  {"R_far_N", s.reactions[0].force_n[2]},
                  {"R_near_N", s.reactions[1].force_n[2]},
                  {"tip_defl_mm", down(s, 2)}};
  }
  return Answer::none("this beam is not set up in the test");
}

Answer frames(const Published& o) {
  Plane p;
  p.e = o.in("E_MPa", 11000), p.i = o.in("Ic_mm4", 6787552);
  if (o.starts("portal")) {
    const bool fixed = o.starts("portal_fixed");
    const double h = o.in("h_mm"), l = o.in("L_mm"), ib = o.in("Ib_mm4");
    p.area = 1e9;
    p.node(0), p.node(0, h), p.node(l, h), p.node(l);
    p.member(0, 1), p.member(1, 2, ib), p.member(2, 3);
    for (frame::Member& m : p.frame.members) m.up = {0, 1, 0};
    p.hold(0, true, true, fixed), p.hold(3, true, true, fixed), p.push(1, o.in("H_N"), 0);
    const frame::Solution s = p.solve();
    return Values{{"k", ib / p.i * h / l},
                  {"M_base_Nmm", bending(s, 0, 0)},
                  {"M_knee_Nmm", bending(s, 0, 1)},
                  {"V_N", std::abs(s.reactions[0].force_n[2])},
                  {"sway_mm", s.displacements[1].translation_mm[0]}};
  }
  if (o.starts("cantilever_post")) {
    const double h = o.in("h_mm"), k = o.in("ktheta_Nmm_per_rad"), force = o.in("P_N");
    p.node(0), p.node(0, h), p.member(0, 1), p.push(1, force, 0);
    const double r = frame::kRigid;
    p.frame.supports = {{0, {r, r, r, r, k, r}}};
    const frame::Solution s = p.solve();
    const double turning = std::abs(s.displacements[0].rotation_rad[1]) * h;
    const double total = s.displacements[1].translation_mm[0];
    return Values{{"sway_bending_mm", total - turning}, {"sway_rotation_mm", turning}, {"sway_total_mm", total}};
  }
  if (o.starts("knee_braced")) {
    const double h = o.in("h_mm"), l = o.in("L_mm"), a = o.in("brace_leg_mm"), force = o.in("H_N");
    p.area = 1e7;
    for (double side : {0.0, 1.0}) {  // foot, brace point, top; brace point of the beam
      const double x = side * l, in = side == 0 ? a : -a;
      p.node(x), p.node(x, h - a), p.node(x, h), p.node(x + in, h);
    }
    const double wood = 2e7;
    p.member(0, 1), p.member(1, 2), p.member(4, 5), p.member(5, 6);    // posts
    p.member(2, 3, wood), p.member(3, 7, wood), p.member(7, 6, wood);  // beam
    p.member(1, 3), p.member(5, 7);                                    // braces
    for (std::size_t m : {1, 3}) p.frame.members[m].joint[1][4] = 0;   // posts pinned to the beam
    for (std::size_t m : {7, 8})
      for (int end : {0, 1}) p.frame.members[m].joint[end][4] = 0;
    p.hold(0, true, true, false), p.hold(4, true, true, false);
    p.push(2, force / 2, 0), p.push(6, force / 2, 0);
    const frame::Solution s = p.solve();
    return Values{{"base_shear_each_N", std::abs(s.reactions[0].force_n[0])},
                  {"V_base_N", std::abs(s.reactions[0].force_n[2])},
                  {"brace_axial_N", std::abs(s.members[7].end[0].force_n[0])},
                  {"post_M_at_brace_Nmm", bending(s, 0, 1)},
                  {"top_pin_shear_on_post_N", std::abs(s.members[1].end[1].force_n[2])},
                  {"beam_M_at_brace_Nmm", bending(s, 4, 1)}};
  }
  if (o.starts("king_post")) {
    const double span = o.in("span_mm"), rise = o.in("rise_mm");
    p.area = 5000;
    p.node(0), p.node(span), p.node(span / 2, rise), p.node(span / 2);
    p.member(0, 2), p.member(1, 2), p.member(0, 3), p.member(3, 1), p.member(2, 3);
    for (frame::Member& m : p.frame.members)
      for (int end : {0, 1}) m.joint[end][4] = 0;
    p.hold(0, true, true, false), p.hold(1, false, true, false), p.push(2, 0, -o.in("P_apex_N"));
    const frame::Solution s = p.solve();
    return Values{{"rafter_N", s.members[0].end[1].force_n[0]},
                  {"tie_N", s.members[2].end[1].force_n[0]},
                  {"reaction_N", s.reactions[0].force_n[2]}};
  }
  if (o.starts("gate_brace")) {
    // Hinges at the foot and at hinge height of the hanging stile; the brace runs up from the foot to the latch top.
    const double w = o.in("width_mm"), h = o.in("height_mm"), weight = o.in("W_N");
    p.area = 5000;
    p.node(0), p.node(0, h), p.node(w, h), p.node(w, 0);
    p.member(0, 1), p.member(1, 2), p.member(2, 3), p.member(3, 0), p.member(0, 2);
    for (frame::Member& m : p.frame.members)
      for (int end : {0, 1}) m.joint[end][4] = 0;
    p.hold(0, true, true, false), p.hold(1, true, false, false);
    p.push(2, 0, -weight / 2), p.push(1, 0, -weight / 2);
    const frame::Solution s = p.solve();
    // The hinges' pull does not depend on where the gate's own bars run: weight at half the width over their spacing.
    return Values{{"hinge_horizontal_N", std::abs(s.reactions[0].force_n[0]) * h / o.in("hinge_spacing_mm")},
                  {"brace_axial_N_latch_half_weight", std::abs(s.members[4].end[0].force_n[0])}};
  }
  return Answer::none("this frame is not set up in the test");
}

Answer euler(const Published& o) {
  // A strut of the given effective length between pins.
  Plane p;
  p.e = o.in("E_MPa"), p.i = o.in("I_mm4");
  const double l = o.in("L_mm"), k = o.in("K");
  const bool cantilever = k == 2, propped = k < 1 && k > 0.6;
  p.node(0), p.node(l), p.member(0, 1);
  p.frame.members[0].iz_mm4 *= 100;
  p.hold(0, true, true, cantilever || propped || k <= 0.6);
  p.hold(1, false, !cantilever, k <= 0.6);
  p.push(1, -1, 0);
  frame::Options options;
  options.pieces_per_member = 8;
  const frame::Solver solver = frame::Solver::make(p.frame, options).value();
  return Values{{"Ncr_kN", frame::critical_load(solver, p.frame.loads).value().critical_factor / 1000}};
}

// ---- wood physics ---------------------------------------------------------------------------------------------------

Answer emc(const Published&) { return Answer::none("how moist wood gets in what air: the job says how moist it is"); }

Answer shrinkage(const Published& o) {
  if (o.wants("b_mm"))
    return Values{{"b_mm", moisture::size_at(o.in("b_ref_mm"), o.in("MC_percent"), o.in("MC_ref_percent"))}};
  if (o.wants("percent_per_percent_MC")) {
    const std::string along = "along the grain wood is held not to move";
    return {{{"percent_per_percent_MC", moisture::kPercentPerPercent}},
            {{"longitudinal_min_percent", along}, {"longitudinal_max_percent", along}}};
  }
  return Answer::none("by species: boards here move by the one figure of EN 336");
}

Answer density(const Published&) { return Answer::none("densities are the catalogue's as it gives them"); }

Answer moisture_strength(const Published&) {
  return Answer::none(
      "mean values of clear wood or an empirical method before 1991: not for design, not computed here");
}

std::optional<Answer> compute(const Published& o) {
  static const std::map<std::string, Answer (*)(const Published&)> kTopics = {
      {"en338_strength_classes", en338},
      {"ec5_factors", ec5_factors},
      {"ec5_buckling", ec5_buckling},
      {"ec5_combined", ec5_combined},
      {"ec5_ltb", ec5_ltb},
      {"ec5_shear", ec5_shear},
      {"ec5_notch", ec5_notch},
      {"ec5_bearing", ec5_bearing},
      {"ec5_deflection", ec5_deflection},
      {"ec5_embedment", ec5_embedment},
      {"ec5_yield_moment", ec5_yield_moment},
      {"ec5_johansen_single", ec5_johansen_single},
      {"ec5_johansen_double", ec5_johansen_double},
      {"ec5_steel_timber", ec5_steel_timber},
      {"ec5_rope_effect", ec5_rope_effect},
      {"ec5_withdrawal", ec5_withdrawal},
      {"ec5_nef", ec5_nef},
      {"ec5_splitting", ec5_splitting},
      {"ec5_slip", ec5_slip},
      {"ec5_spacing", ec5_spacing},
      {"nds_reference_values", nds_reference_values},
      {"nds_factors", nds_factors},
      {"nds_column", nds_column},
      {"nds_beam", nds_beam},
      {"nds_notch", nds_notch},
      {"nds_bearing", nds_bearing},
      {"nds_dowel", nds_dowel},
      {"nds_dowel_lateral", nds_dowel_lateral},
      {"nds_withdrawal", nds_withdrawal},
      {"nds_geometry", nds_geometry},
      {"section_properties", section_properties},
      {"torsion", torsion},
      {"beams", beams},
      {"frames", frames},
      {"euler", euler},
      {"emc", emc},
      {"shrinkage", shrinkage},
      {"density", density},
      {"moisture_strength", moisture_strength},
  };
  if (o.topic == "foundation") return std::nullopt;  // the room ground has these
  const auto it = kTopics.find(o.topic);
  return it == kTopics.end() ? Answer::none("topic " + o.topic + " is not computed here") : it->second(o);
}

TEST(Published, Timber) { garthwright::testing::check_published("timber.json", compute); }

}  // namespace
}  // namespace garthwright::strength
