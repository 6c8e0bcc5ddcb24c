// SPDX-License-Identifier: Apache-2.0
//
// Members through the check that a user gets: one timber under forces that are given, and the row of the report.
// Values: tests/reference/values/timber.json (its rows name their sources), sums by hand with its tables.
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>

#include "base/source_dir_for_tests.h"
#include "strength/checks.h"

namespace garthwright::strength {
namespace {

using nlohmann::json;

constexpr double kIn = 25.4, kLb = 4.44822, kPsi = 0.00689476;

json row(const std::string& id) {
  static const json all = [] {
    std::ifstream file(std::string(source_dir()) + "/tests/reference/values/timber.json");
    return json::parse(file);
  }();
  for (const json& r : all)
    if (r.at("id") == id) return r;
  throw std::runtime_error("no row " + id);
}

/// Forces at the finish of a bar that is held by what they make at its start: N, N, N·mm.
struct Tip {
  double axial = 0, across = 0, moment_edge = 0, moment_flat = 0;
};
struct Timber {
  double width = 95, thickness = 95, length = 2400;
  std::string grade = "C24";
  std::optional<Notch> notch{};
  std::optional<double> beside{};  ///< N, across the bar beside it, it itself lying where another timber crosses
  double along = 0, across = 0;    ///< parts of the way from the middle of its seat where it presses
};

/// A timber held at both ends, under one combination; wind is instantaneous where the test says so.
std::map<CheckKind, Check> judged(const Timber& t, const Tip& tip, const combinations::Combination& combination,
                                  const Site& site) {
  Structure s;
  s.name = "test";
  s.sections.resize(1);
  s.sections[0].strength_class = t.grade;
  Piece piece;
  piece.section = SectionId{0}, piece.mark = "A1", piece.name = "beam";
  piece.length = t.length, piece.width = t.width, piece.thickness = t.thickness;
  piece.frame = {{0, 0, 0}, {1, 0, 0}, {0, 0, 1}, {0, -1, 0}};  // its width upright
  if (t.notch) piece.machining.push_back(*t.notch);
  s.pieces.push_back(piece);
  Model model;
  model.carries = {true};
  model.joined = {true, true};
  model.stations = {{{0, 0}, {t.length, 1}}};
  model.bars = {{PieceId{0}, 0, 0, t.length}};
  if (t.beside) {
    model.bars.front().beside = {{1}};
    model.bars.push_back({PieceId{0}, 1, t.length, 2 * t.length});
  }
  if (t.notch) {  // it stands on a post with it, which bears all of the shear
    Piece post = piece;
    post.mark = "B1", post.name = "post", post.machining.clear();
    post.frame = {{0, 0, -t.length}, {0, 0, 1}, {1, 0, 0}, {0, 1, 0}};
    s.pieces.push_back(post);
    model.carries.push_back(true);
    model.stations.push_back({{0, 2}, {t.length, 3}});
    Joint joint;
    joint.kind = JointKind::notch, joint.a = body(PieceId{0}), joint.b = body(PieceId{1});
    joint.point = {0, 0, 0}, joint.normal = {0, 0, -1};
    const Box& seat = t.notch->region;
    joint.patch = {
        {seat.min.x, 0, 0}, {seat.max.x, 0, 0}, {seat.max.x, -t.thickness, 0}, {seat.min.x, -t.thickness, 0}};
    s.joints.push_back(joint);
    model.bearings = {{JointId{0}, joint.patch, joint.normal}};
    model.pressed = {{JointId{0}, 0, true, false, 0}};
    model.frame.contacts.push_back(
        {"C0",
         {0, 3},
         {(seat.min.x + seat.max.x + t.along * seat.size().x) / 2, -(1 + t.across) * t.thickness / 2, 0},
         {0, 0, -1},
         1e4,
         0});
  }
  frame::Solution solution;
  frame::MemberResult bar;
  bar.length_mm = t.length;
  bar.end[1].force_n = {tip.axial, tip.across, 0};
  bar.end[0].force_n = {-tip.axial, -tip.across, 0};
  bar.end[1].moment_nmm = {0, tip.moment_flat, tip.moment_edge};
  bar.end[0].moment_nmm = {0, -tip.moment_flat, -tip.moment_edge - tip.across * t.length};
  solution.members = {bar};
  if (t.beside) {
    frame::MemberResult next;
    next.length_mm = t.length;
    next.end[1].force_n = {0, *t.beside, 0}, next.end[0].force_n = {0, -*t.beside, 0};
    solution.members.push_back(next);
  }
  solution.contacts = {{std::abs(tip.across), 0}};
  Solved solved(s, site, std::make_shared<const Model>(std::move(model)));
  solved.solutions = {solution};
  Case c;
  c.combination = &combination;
  solved.ultimate = {c};
  solved.roof = {false, false};
  Checks checks;
  std::vector<double> used;
  check_members(solved, checks, used);
  check_notches(solved, checks);
  check_bearing(solved, checks);
  std::map<CheckKind, Check> rows;
  for (Check& check : checks) rows[check.kind] = check;
  return rows;
}

const combinations::Combination& wind() { return combinations::named(combinations::en1990_ultimate(), "wind leads"); }
Site instantaneous() {
  Site site;
  site.wind_is_instantaneous = true;
  return site;
}
Site american() {
  Site site;
  site.route = Site::Route::us;
  return site;
}

class Columns : public testing::TestWithParam<const char*> {};

// 6.3.2: kc, with kmod 0.9 of an instantaneous wind outdoors.
TEST_P(Columns, BearWhatTheReferenceSays) {
  const json r = row(GetParam()), in = r.at("inputs");
  const Timber t{in.at("h_mm"), in.at("b_mm"), in.at("lef_mm"), in.at("strength_class")};
  const double bears = 1000 * r.at("expected").at("NRd_kN").get<double>();
  EXPECT_NEAR(judged(t, {.axial = -bears / 2}, wind(), instantaneous()).at(CheckKind::bending).utilisation, 0.5, 1e-3);
}
INSTANTIATE_TEST_SUITE_P(Rows, Columns,
                         testing::Values("ec5_kc_c24_100x100_2400", "ec5_kc_c16_95x95_2100", "ec5_kc_c24_120x120_2700",
                                         "ec5_kc_c18_70x70_1800"));

// (6.23), (6.24) with kh of 95 mm.
TEST(Members, AreBentAndPressedAtOnce) {
  const json r = row("ec5_col_bend_95x95"), in = r.at("inputs");
  const auto use = [&](Tip tip) {
    return judged({95, 95, in.at("lef_mm")}, tip, wind(), instantaneous()).at(CheckKind::bending).utilisation;
  };
  const double n = -in.at("N_N").get<double>(), m = in.at("My_Nmm");
  EXPECT_NEAR(use({.axial = n, .moment_edge = m}), r.at("expected").at("util_6_23").get<double>(), 1e-3);
  EXPECT_NEAR(use({.axial = n, .moment_flat = m}), r.at("expected").at("util_6_23").get<double>(), 1e-3);
  // 6.2.3, tension, and (6.17) with km 0.7: by hand with ft,0 14.5 and fm 24, both with kh 1.0957.
  const double k = 0.9 / 1.3 * std::pow(150.0 / 95, 0.2);
  EXPECT_NEAR(use({.axial = 20000}), 20000 / (95.0 * 95) / (k * 14.5), 1e-4);
  const double w = std::pow(95, 3) / 6;
  EXPECT_NEAR(use({.moment_edge = m, .moment_flat = m / 2}), m / w * 1.35 / (k * 24), 1e-3);
}

// 6.3.3: a slender beam tips.
TEST(Members, TipSideways) {
  const json r = row("ec5_kcrit_45x220_4000"), in = r.at("inputs");
  const double m = 1e6, w = 45.0 * 220 * 220 / 6, fm = row("ec5_fdesign_c24_sc3_short").at("expected").at("fm_d_MPa");
  EXPECT_NEAR(judged({220, 45, in.at("L_mm")}, {.moment_edge = m}, wind(), {}).at(CheckKind::bending).utilisation,
              m / w / (r.at("expected").at("kcrit").get<double>() * fm), 1e-3);
}

TEST(Members, AreSheared) {  // 6.1.7, kcr 0.67
  const json r = row("ec5_shear_45x145"), in = r.at("inputs");
  EXPECT_NEAR(judged({145, 45, 10}, {.across = in.at("V_N")}, wind(), {}).at(CheckKind::shear).utilisation,
              r.at("expected").at("util").get<double>(), 1e-3);
}

// EN 1995-1-1 8.1.4 tells the shear on either side of a connection; within it forces go from face to face.
TEST(Members, AreShearedBesideACrossingAndNotWithinIt) {
  const double v = 4000, whole = judged({145, 45, 10}, {.across = v}, wind(), {}).at(CheckKind::shear).utilisation;
  const auto use = [&](double within, double beside) {
    return judged({145, 45, 10, "C24", {}, beside}, {.across = within}, wind(), {}).at(CheckKind::shear).utilisation;
  };
  EXPECT_NEAR(use(5 * v, v), whole, 1e-9);
  EXPECT_NEAR(use(v, 0), 0, 1e-9);
  EXPECT_NEAR(use(v / 2, v), whole, 1e-9);
}

Notch under(double wide, double deep, double thick) {
  Notch notch;
  notch.region = {{0, 0, 0}, {wide, deep, thick}}, notch.opens_on = Face::edge_low, notch.against = body(PieceId{1});
  return notch;
}

// 6.5.2: the reaction stands in the middle of the seat, 50 mm from the corner; 6.1.5 by hand: 30 mm more on the side
// that goes on, none beyond the end.
TEST(Members, SplitAtANotchAndBearOnIt) {
  const json r = row("ec5_notch_capacity_45x145");
  const auto rows = judged({145, 45, 3000, "C24", under(100, 45, 45)}, {.across = 1000}, wind(), {});
  EXPECT_NEAR(rows.at(CheckKind::notch).utilisation, 1000 / r.at("expected").at("VRd_with_kcr_N").get<double>(), 1e-3);
  const double fc = row("ec5_fdesign_c24_sc3_short").at("expected").at("fc90_d_MPa");
  EXPECT_NEAR(rows.at(CheckKind::bearing).utilisation, 1000 / (fc * 45 * 130), 1e-3);
}

// EN 1997-1 D.4 by analogy: what bears is the part of the seat that has the push in its middle; 6.1.5(1) goes on from
// there, 30 mm at most and no more than that part is long. By hand, of a seat of 100 x 45 mm at the beam's end.
TEST(Members, BearOnWhatIsPressedAlone) {
  const double fc = row("ec5_fdesign_c24_sc3_short").at("expected").at("fc90_d_MPa");
  const auto area = [&](double along, double across) {
    const Timber beam{145, 45, 3000, "C24", under(100, 45, 45), {}, along, across};
    return 1000 / fc / judged(beam, {.across = 1000}, wind(), {}).at(CheckKind::bearing).utilisation;
  };
  EXPECT_NEAR(area(0, 0), 130 * 45, 10);
  EXPECT_NEAR(area(0.5, 0), (30 + 50 + 30) * 45, 10);
  EXPECT_NEAR(area(-0.5, 0), (50 + 30) * 45, 10);
  EXPECT_NEAR(area(0, 0.5), 130 * 22.5, 10);
  EXPECT_NEAR(area(0.5, 0.5), 110 * 22.5, 10);
  // Not farther out than 0.85, and both ways alike: 15 mm, as much again to either side; 0.15 of the thickness.
  EXPECT_NEAR(area(0.94, 0), 3 * 15 * 45, 10);
  EXPECT_NEAR(area(0.94, 0.94), 3 * 15 * 0.15 * 45, 10);
}

// ---- American -------------------------------------------------------------------------------------------------------

const combinations::Combination& us_person() {
  return combinations::named(combinations::asce_asd(), "person");
}  // CD 1
const combinations::Combination& us_wind() { return combinations::named(combinations::asce_asd(), "5"); }  // 1.6

/// Bent on edge, short: Fb; pulled: Ft; sheared: Fv. With CF and CM as the rows nds_CF_4A and nds_CM_4A have them.
struct Graded {
  const char* reference;
  const char* grade;
  double thick, wide;  // in
  double cf_b, cf_t, cf_c, cm_b, cm_c, cm_v, cm_perp;
};
class Grades : public testing::TestWithParam<Graded> {};

TEST_P(Grades, AreThoseOfTheSupplement) {
  const Graded& g = GetParam();
  const json v = row(g.reference).at("expected");
  const auto psi = [&](const char* of) { return v.at(of).get<double>() * kPsi; };
  const double b = g.thick * kIn, d = g.wide * kIn, a = b * d;
  const Timber stub{d, b, 4 * b, g.grade};
  const auto use = [&](Tip tip, CheckKind kind = CheckKind::bending) {
    return judged(stub, tip, us_person(), american()).at(kind).utilisation;
  };
  const double m = 1e5, fb = psi("Fb_psi") * g.cf_b * g.cm_b;
  EXPECT_NEAR(use({.moment_edge = m}) * fb * b * d * d / 6 / m, 1, d > 2 * b ? 0.02 : 1e-3);  // CL of a stub: 0.99
  EXPECT_NEAR(use({.axial = 1000}), 1000 / a / (psi("Ft_psi") * g.cf_t), 1e-4);
  EXPECT_NEAR(use({.across = 1000}, CheckKind::shear), 1500 / a / (psi("Fv_psi") * g.cm_v), 1e-4);
  // Pressed: squared (3.9-3), and CP of a stub by hand, c 0.8, E with CM 0.9.
  const double fc = psi("Fc_psi") * g.cf_c * g.cm_c, e = psi("Emin_psi") * (g.cm_v < 1 ? 0.9 : 1);
  const auto cp = [&](double slender) {
    const double f = 0.822 * e / (slender * slender) / fc, half = (1 + f) / 1.6;
    return half - std::sqrt(half * half - f / 0.8);
  };
  const double n = 0.7 * fc * a;
  EXPECT_NEAR(use({.axial = -n}), std::pow(0.7 / cp(4), 2), 2e-3);
  // On a seat of 3.5 in: at the end, and away from it with Cb 1.107 (row nds_Cb_3_5).
  Timber seated = stub;
  seated.length = 2000, seated.notch = under(3.5 * kIn, d / 5, b);
  const double bears = psi("Fc_perp_psi") * g.cm_perp * b * 3.5 * kIn;
  const auto asked = [&] {
    return judged(seated, {.across = 1000}, us_person(), american()).at(CheckKind::bearing).utilisation;
  };
  EXPECT_NEAR(asked(), 1000 / bears, 1e-4);
  seated.notch->region.min.x += 500, seated.notch->region.max.x += 500;
  EXPECT_NEAR(asked(), 1000 / bears / row("nds_Cb_3_5").at("expected").at("Cb").get<double>(), 1e-3);
  seated.along = 0.5;  // 1.75 in are pressed: Cb (1.75 + 0.375) / 1.75
  EXPECT_NEAR(asked(), 1000 / bears * 2 / (2.125 / 1.75), 1e-3);
}
INSTANTIATE_TEST_SUITE_P(
    Rows, Grades,
    testing::Values(Graded{"nds_sp_no2_2_4", "SP No.2", 1.5, 3.5, 1, 1, 1, 1, 0.8, 0.97, 0.67},
                    Graded{"nds_sp_no2_6", "SP No.2", 1.5, 5.5, 1, 1, 1, 1, 0.8, 0.97, 0.67},
                    Graded{"nds_sp_no2_8", "SP No.2", 1.5, 7.25, 1, 1, 1, 1, 0.8, 0.97, 0.67},
                    Graded{"nds_sp_no2_10", "SP No.2", 1.5, 9.25, 1, 1, 1, 1, 0.8, 0.97, 0.67},
                    Graded{"nds_sp_no2_12", "SP No.2", 1.5, 11.25, 1, 1, 1, 1, 0.8, 0.97, 0.67},
                    Graded{"nds_dfl_no2", "DFL No.2", 1.5, 5.5, 1.3, 1.3, 1.1, 0.85, 0.8, 0.97, 0.67},
                    Graded{"nds_dfl_no1", "DFL No.1", 1.5, 9.25, 1.1, 1.1, 1.0, 1.0, 0.8, 0.97, 0.67},
                    Graded{"nds_spf_no2", "SPF No.2", 1.5, 3.5, 1.5, 1.5, 1.15, 0.85, 0.8, 0.97, 0.67},
                    Graded{"nds_hf_no2", "HF No.2", 1.5, 7.25, 1.2, 1.2, 1.05, 1.0, 0.8, 0.97, 0.67},
                    Graded{"nds_wc_no2", "WC No.2", 3.5, 3.5, 1.5, 1.5, 1.15, 1.0, 1.0, 0.97, 0.67},
                    Graded{"nds_dfl_no1_timber", "DFL No.1", 5.5, 5.5, 1, 1, 1, 0.85, 0.8, 0.97, 0.67},
                    Graded{"nds_dfl_no2_timber", "DFL No.2", 5.5, 5.5, 1, 1, 1, 1, 1, 0.97, 0.67},
                    Graded{"nds_sp_no2_timber", "SP No.2", 5.5, 5.5, 1, 1, 1, 1, 1, 1, 0.67}));

// 3.7.1 on a whole length: row nds_CP_4x4_sp_10ft has it dry, here wet: by hand.
TEST(AmericanMembers, BuckleAndAreBentAtOnce) {
  const json v = row("nds_sp_no2_2_4").at("expected");
  const double fc = 0.8 * 1.6 * v.at("Fc_psi").get<double>(), e = 0.9 * v.at("Emin_psi").get<double>();
  const double f_ce = 0.822 * e / std::pow(120 / 3.5, 2), ratio = f_ce / fc, half = (1 + ratio) / 1.6;
  const double cp = half - std::sqrt(half * half - ratio / 0.8), area = 3.5 * 3.5;
  const double p = 150 * area, m = 300 * std::pow(3.5, 3) / 6;  // 150 and 300 psi
  const double fb = 1.6 * v.at("Fb_psi").get<double>();         // CM 1, as Fb CF is below 1150 psi
  const auto use = [&](double moment) {
    return judged({3.5 * kIn, 3.5 * kIn, 120 * kIn, "SP No.2"}, {.axial = -p * kLb, .moment_edge = moment * kLb * kIn},
                  us_wind(), american())
        .at(CheckKind::bending)
        .utilisation;
  };
  EXPECT_NEAR(use(0), std::pow(150 / (cp * fc), 2), 1e-3);
  const double bent = use(m) - use(0);
  EXPECT_NEAR(bent * (1 - 150 / f_ce), 300 / fb, 1e-3);
}

// 3.3.3: row nds_CL_2x8_sp_6ft has it dry; here wet, by hand with the row's RB.
TEST(AmericanMembers, TipSideways) {
  const json r = row("nds_CL_2x8_sp_6ft");
  const double rb = r.at("expected").at("RB"), fb = 925, e = 0.9 * 510000, ratio = 1.2 * e / (rb * rb) / fb;
  const double half = (1 + ratio) / 1.9, cl = half - std::sqrt(half * half - ratio / 0.95);
  const double m = 500 * 1.5 * 7.25 * 7.25 / 6;
  EXPECT_NEAR(
      judged({7.25 * kIn, 1.5 * kIn, 72 * kIn, "SP No.2"}, {.moment_edge = m * kLb * kIn}, us_person(), american())
          .at(CheckKind::bending)
          .utilisation,
      500 / (cl * fb), 2e-3);
}

// 3.3.3 again, where the beam is short beside its depth: le = 2.06 lu below 7 d (Table 3.3.3), by hand.
TEST(AmericanMembers, ShortOnesTipToo) {
  const double lu = 36, d = 7.25, b = 1.5, fb = 925, rb2 = 2.06 * lu * d / (b * b);
  const double ratio = 1.2 * 0.9 * 510000 / rb2 / fb, half = (1 + ratio) / 1.9;
  const double cl = half - std::sqrt(half * half - ratio / 0.95), m = 500 * b * d * d / 6;
  EXPECT_NEAR(judged({d * kIn, b * kIn, lu * kIn, "SP No.2"}, {.moment_edge = m * kLb * kIn}, us_person(), american())
                  .at(CheckKind::bending)
                  .utilisation,
              500 / (cl * fb), 5e-4);
}

// 3.4.3.2.
TEST(AmericanMembers, SplitAtANotch) {
  const json r = row("nds_notch_2x8_dn5_25");
  EXPECT_NEAR(judged({7.25 * kIn, 1.5 * kIn, 3000, "SP No.2", under(3.5 * kIn, 2 * kIn, 1.5 * kIn)},
                     {.across = 100 * kLb}, us_person(), american())
                  .at(CheckKind::notch)
                  .utilisation,
              100 / r.at("expected").at("Vr_lb").get<double>(), 1e-3);
}

}  // namespace
}  // namespace garthwright::strength
