// SPDX-License-Identifier: Apache-2.0
// Published values of foliage in the wind and of fences, one by one.
#include <algorithm>
#include <array>

#include "base/published_values_for_tests.h"
#include "strength/ec5_members.h"
#include "strength/en338.h"
#include "strength/foliage.h"
#include "strength/wind_asce.h"
#include "strength/wind_en.h"

namespace garthwright::strength {
namespace {

using garthwright::testing::Answer;
using garthwright::testing::Published;
using garthwright::testing::Values;

std::optional<Answer> foliage_of(const Published& o) {
  if (o.wants("cd_least_nd")) return Values{{"cd_least_nd", foliage::kCrownLeast}, {"cd_most_nd", foliage::kCrownMost}};
  if (o.wants("cd_leaf_on_nd"))
    return Answer(Values{{"cd_leaf_on_nd", foliage::kHedgeInLeaf}, {"cd_leaf_off_nd", foliage::kHedgeBare}},
                  {{"porosity_leaf_on_nd", "not used"}, {"porosity_leaf_off_nd", "not used"}});
  if (o.wants("cd_nd")) return Values{{"cd_nd", foliage::drag(o.in("gust_m_s"))}};
  return Answer::none("drag is taken on the silhouette in still air: how it shrinks is not used");
}

std::optional<Answer> fence_of(const Published& o) {
  if (o.topic != "11_fence_wind") return std::nullopt;
  if (o.wants("c_p_net_A_nd")) {
    const std::array<double, 4> c =
        wind_en::wall(o.in("length_over_height_nd", 3), o.in("solidity_nd", 1), o.in("return_over_height_nd", 0));
    return Values{{"c_p_net_A_nd", c[0]}, {"c_p_net_B_nd", c[1]}, {"c_p_net_C_nd", c[2]}, {"c_p_net_D_nd", c[3]}};
  }
  if (o.wants("zone_A_m")) {
    const std::array<double, 3> ends = wind_en::wall_zone_ends(o.in("height_m"));
    const double l = o.in("length_m");
    const auto within = [&](double from, double to) { return std::max(0.0, std::min(to, l) - std::min(from, l)); };
    return Values{{"zone_A_m", within(0, ends[0])},
                  {"zone_B_m", within(ends[0], ends[1])},
                  {"zone_C_m", within(ends[1], ends[2])},
                  {"zone_D_m", within(ends[2], l)}};
  }
  if (o.wants("c_e_nd")) {
    const auto terrain = o.text("terrain_category") == "III" ? wind_en::Terrain::suburb : wind_en::Terrain::farmland;
    return Values{{"c_e_nd", wind_en::exposure(terrain, o.in("z_m")).c_e},
                  {"q_p_kPa", wind_en::peak_pressure(o.in("v_b_m_s"), terrain, o.in("z_m")) / 1000}};
  }
  if (o.wants("M_Rd_kNm")) {
    const auto c = strength_class(o.text("strength_class"));
    const double b = o.in("b_mm"), kh = ec5::kh(b, c->rho_k);
    return Values{{"k_h_nd", kh},
                  {"M_Rd_kNm", ec5::kmod(ec5::ServiceClass::three, ec5::Duration::instantaneous) * kh * c->fm_k /
                                   ec5::gamma_m(ec5::Material::solid) * b * b * b / 6 / 1e6}};
  }
  if (o.wants("factor_nd")) return Values{{"factor_nd", wind_asce::opening_factor(o.in("solidity_nd"))}};
  return Answer::none("of a whole fence: asked of one in duty_loads_test.cc");
}

TEST(PublishedYard, EveryValueOfFoliageIsMet) { testing::check_published("foliage.json", foliage_of); }
TEST(PublishedYard, EveryValueOfFencesInTheWindIsMet) { testing::check_published("yard.json", fence_of); }

}  // namespace
}  // namespace garthwright::strength
