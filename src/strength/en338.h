// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <span>
#include <string_view>

/// Strength classes of sawn timber, EN 338:2016 Tables 1 and 3 (edgewise bending). The table is from memory of the
/// standard; softwoods are held to the equations of EN 384:2016 it was made by. N/mm² and kg/m³.
namespace garthwright::strength {

struct StrengthClass {
  std::string_view name;
  bool softwood = true;
  double fm_k = 0;
  double ft_0_k = 0;
  double ft_90_k = 0;
  double fc_0_k = 0;
  double fc_90_k = 0;
  double fv_k = 0;
  double e0_mean = 0;
  double e0_05 = 0;
  double e90_mean = 0;
  double g_mean = 0;
  double rho_k = 0;
  double rho_mean = 0;
};

std::span<const StrengthClass> strength_classes();
std::optional<StrengthClass> strength_class(std::string_view name);

/// What EN 384:2016 clause 5 derives for softwood from its three graded properties, before rounding.
StrengthClass derived_softwood(double fm_k, double rho_k, double e0_mean);

}  // namespace garthwright::strength
