// SPDX-License-Identifier: Apache-2.0
#include "strength/en338.h"

#include <array>
#include <cmath>

namespace garthwright::strength {
namespace {

// clang-format off
constexpr std::array kClasses = {
    //             name   soft   fm  ft0   ft90  fc0 fc90  fv    E0     E05   E90  G    rho_k rho_mean
    StrengthClass{"C14", true,  14,  7.2, 0.4, 16, 2.0, 3.0,  7000,  4700, 230, 440, 290, 350},
    StrengthClass{"C16", true,  16,  8.5, 0.4, 17, 2.2, 3.2,  8000,  5400, 270, 500, 310, 370},
    StrengthClass{"C18", true,  18, 10.0, 0.4, 18, 2.2, 3.4,  9000,  6000, 300, 560, 320, 380},
    StrengthClass{"C20", true,  20, 11.5, 0.4, 19, 2.3, 3.6,  9500,  6400, 320, 590, 330, 400},
    StrengthClass{"C22", true,  22, 13.0, 0.4, 20, 2.4, 3.8, 10000,  6700, 330, 630, 340, 410},
    StrengthClass{"C24", true,  24, 14.5, 0.4, 21, 2.5, 4.0, 11000,  7400, 370, 690, 350, 420},
    StrengthClass{"C27", true,  27, 16.5, 0.4, 22, 2.5, 4.0, 11500,  7700, 380, 720, 360, 430},
    StrengthClass{"C30", true,  30, 19.0, 0.4, 24, 2.7, 4.0, 12000,  8000, 400, 750, 380, 460},
    StrengthClass{"C35", true,  35, 22.5, 0.4, 25, 2.7, 4.0, 13000,  8700, 430, 810, 390, 470},
    StrengthClass{"C40", true,  40, 26.0, 0.4, 27, 2.8, 4.0, 14000,  9400, 470, 880, 400, 480},
    StrengthClass{"D18", false, 18, 11.0, 0.6, 18, 4.8, 3.5,  9500,  8000, 630, 590, 475, 570},
    StrengthClass{"D24", false, 24, 14.0, 0.6, 21, 4.9, 3.7, 10000,  8400, 670, 630, 485, 580},
    StrengthClass{"D30", false, 30, 18.0, 0.6, 24, 5.3, 3.9, 11000,  9200, 730, 690, 530, 640},
    StrengthClass{"D35", false, 35, 21.0, 0.6, 25, 5.4, 4.1, 12000, 10100, 800, 750, 540, 650},
    StrengthClass{"D40", false, 40, 24.0, 0.6, 27, 5.5, 4.2, 13000, 10900, 870, 810, 550, 660},
};
// clang-format on

}  // namespace

std::span<const StrengthClass> strength_classes() { return kClasses; }

std::optional<StrengthClass> strength_class(std::string_view name) {
  for (const StrengthClass& c : kClasses)
    if (c.name == name) return c;
  return std::nullopt;
}

StrengthClass derived_softwood(double fm_k, double rho_k, double e0_mean) {
  StrengthClass c;
  c.fm_k = fm_k;
  c.rho_k = rho_k;
  c.e0_mean = e0_mean;
  c.ft_0_k = -3.07 + 0.73 * fm_k;
  c.fc_0_k = 4.3 * std::sqrt(fm_k);
  c.fc_90_k = 0.007 * rho_k;
  c.e0_05 = 0.67 * e0_mean;
  c.e90_mean = e0_mean / 30;
  c.g_mean = e0_mean / 16;
  c.rho_mean = 1.2 * rho_k;
  return c;
}

}  // namespace garthwright::strength
