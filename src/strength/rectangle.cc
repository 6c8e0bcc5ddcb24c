// SPDX-License-Identifier: Apache-2.0
#include "strength/rectangle.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace garthwright::strength {
namespace {

constexpr double kPi = std::numbers::pi;
constexpr int kTerms = 40;  // odd terms fall as n⁻⁵ and n⁻²

}  // namespace

double Rectangle::radius_y() const { return h / std::sqrt(12.0); }
double Rectangle::radius_z() const { return b / std::sqrt(12.0); }

double Rectangle::torsion_constant() const {
  const double narrow = std::min(b, h), wide = std::max(b, h);
  double sum = 0;
  for (int n = 1; n < 2 * kTerms; n += 2) sum += std::tanh(n * kPi * wide / (2 * narrow)) / std::pow(n, 5);
  return wide * std::pow(narrow, 3) * (1.0 / 3 - 64 * narrow / (std::pow(kPi, 5) * wide) * sum);
}

double Rectangle::torsion_stress_factor() const {
  const double narrow = std::min(b, h), wide = std::max(b, h);
  double sum = 0;  // τmax = G θ' b (1 - 8/π² Σ 1 / (n² cosh(nπh/2b)))
  for (int n = 1; n < 2 * kTerms; n += 2) sum += 1 / (n * n * std::cosh(n * kPi * wide / (2 * narrow)));
  return torsion_constant() / (wide * std::pow(narrow, 3)) / (1 - 8 / (kPi * kPi) * sum);
}

}  // namespace garthwright::strength
