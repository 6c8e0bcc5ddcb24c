// SPDX-License-Identifier: Apache-2.0
//
// What the studies know of the garden: wind, snow, soil, frost and what will grow. Read from a job's [site]; what the
// job does not say has the default that stands here.
#pragma once

#include <string>

#include "base/length.h"
#include "structure/structure.h"

namespace garthwright {

/// What the ground gives to what stands loose on it; as given, sand.
struct GroundUnderfoot {
  double phi_deg = 32, cu_kpa = 0;           ///< EN 1997-1: sand by the first, clay by the second
  double friction = 0.25, cohesion_kpa = 0;  ///< IBC Table 1806.2
  double bears_kpa = 95.8;                   ///< presumed; 0 where none may be
};

struct Site {
  enum class Route { en, us };  ///< EN 1990–1995 with EN 338, or ASCE 7-16, IBC and the NDS
  Route route = Route::en;
  double wind_m_s = 24;               ///< EN: v_b, ten minutes' mean; US: three-second gust V at strength level
  std::string exposure = "average";   ///< as the job says it: sheltered, average, open, coast, or a code's own letter
  std::string terrain = "III";        ///< EN 1991-1-4 Table 4.1 for it: 0, I, II, III, IV
  std::string exposure_letter = "B";  ///< ASCE 7 26.7.3 for it: B, C, D
  bool least_pressure = true;  ///< ASCE 7 29.7 has 16 psf at least; off where one asks what wind a thing stands to
  double snow_kpa = 0.6;       ///< on the ground: s_k or p_g
  std::string soil = "sand";   ///< ground::plain_soils
  double clay_kpa = 0;         ///< undrained shear strength that was measured in it; 0: none was
  GroundUnderfoot underfoot;   ///< of that soil
  double frost_mm = 450;       ///< depth that freezes
  std::string climber = "honeysuckle";  ///< strength::climbers, or "none"
  bool closed_foliage = false;          ///< clipped evergreen, or ice: a closed surface to the wind
  double climber_years = 0;             ///< for information: strength is always checked for a grown plant too
  double moisture_percent = 20;         ///< in service, mean over the year
  bool sheltered_snow = true;           ///< beside a house or trees: Ce = 1.2
  std::string wall = "unknown";         ///< what a ledger is fixed to: strength::wall_kinds
  /// The house whose wall a structure leans on: eaves above the ground, from the eaves to the ridge (level), pitch; 0
  /// where nothing can slide onto it.
  double house_eaves_mm = 5000, house_run_mm = 4000, house_pitch_deg = 35;
  bool low_consequence = false;  ///< EN 1990 Annex B: RC1, loads of ultimate states times 0.9; ASCE 7: category I
  std::vector<timber::FixingItem> hinges;  ///< that the yard sells: what is bought by the piece has its name alone
  std::string country;                     ///< "GB"; empty when not said
  bool wind_is_instantaneous = false;      ///< EN 1995-1-1 2.3.1.2: kmod of wind 0.9, else short-term, 0.7
  LengthStyle print;                       ///< how lengths are written in what is said
  std::string assumed;                     ///< "wind_speed 24 m/s, soil sand": what the job did not say
};

/// "soft clay of 30 kPa, as measured"; "sand".
std::string soil_words(const Site& site);

/// What of the site is not in the job, or is there by the user's own measuring; a sentence each, or nothing.
std::string taken_words(const Site& site);

/// The site as it is for one structure: with the climber of its own, and none where nothing carries one.
Site site_for(const Structure& structure, Site site);

}  // namespace garthwright
