// SPDX-License-Identifier: Apache-2.0
//
// What the studies know of the garden: wind, snow, soil, frost and what will grow. Read from a job's [site]; what the
// job does not say has the default that stands here.
#pragma once

#include <string>

#include "base/length.h"

namespace garthwright {

struct Site {
  enum class Route { en, us };  ///< EN 1990–1995 with EN 338, or ASCE 7-16, IBC and the NDS
  Route route = Route::en;
  double wind_m_s = 24;                 ///< EN: v_b, ten minutes' mean; US: three-second gust V at strength level
  std::string terrain = "II";           ///< EN: 0, I, II, III, IV
  std::string exposure = "C";           ///< US: B, C, D
  double snow_kpa = 0.6;                ///< on the ground: s_k or p_g
  std::string soil = "sand";            ///< ground::plain_soils
  double frost_mm = 450;                ///< depth that freezes
  std::string climber = "honeysuckle";  ///< strength::climbers, or "none"
  double climber_years = 0;             ///< for information: strength is always checked for a grown plant too
  double moisture_percent = 20;         ///< in service, mean over the year
  bool sheltered_snow = true;           ///< beside a house or trees: Ce = 1.2
  LengthStyle print;                    ///< how lengths are written in what is said
  std::string assumed;                  ///< "wind_speed 24 m/s, soil sand": what the job did not say
};

}  // namespace garthwright
