// SPDX-License-Identifier: Apache-2.0
//
// What the timber of a section may bear in one combination: EN 1995-1-1 with EN 338 in service class 3, or NDS
// allowable stresses, wet. N/mm².
#pragma once

#include <optional>

#include "strength/combinations.h"
#include "strength/ec5_members.h"
#include "structure/site.h"
#include "timber/yard.h"

namespace garthwright::strength {

/// The shortest action's duration: a class for EN 1995-1-1 Table 3.1, a factor for NDS Table 2.3.2.
struct Duration {
  ec5::Duration en = ec5::Duration::short_term;
  double cd = 1.6;
  bool wind = false;  ///< wind is the shortest of them: countries differ in how long it lasts
  auto operator<=>(const Duration&) const = default;
};
Duration duration_of(const combinations::Combination& c);
/// EN 1995-1-1 Table 3.1, outdoors (service class 3): wind 0.9 where the site's country counts it as instantaneous
/// (2.3.1.2, national choice), else 0.7.
double kmod(const Site& site, Duration duration);

/// A bar to be held against buckling: sizes of the whole section, and the length that is free to bow each way.
struct Free {
  double width = 0, thickness = 0, bows_edge = 0, bows_flat = 0;
};

struct DesignValues {
  double fb_edge = 0, fb_flat = 0, ft = 0, fc = 0, fv = 0, fc_across = 0;
  double kc_edge = 1, kc_flat = 1;  ///< buckling that bends the width, the thickness
  double k_tip = 1;                 ///< lateral buckling of a bar bent on edge: kcrit (6.34), CL (3.3-6)
  double f_ce_edge = 1e9, f_ce_flat = 1e9, f_be = 1e9;  ///< NDS only
  double kcr = 1;                                       ///< part of the width that is not cracked, in shear
};

/// Nothing where the grade is not known.
std::optional<DesignValues> design_values(const Site& site, const timber::Section& section, const Free& free,
                                          Duration duration);

/// Specific gravity of its species, oven-dry (NDS Table 12.3.3A); nothing for a species that is not listed.
std::optional<double> specific_gravity_of(const timber::Section& section);

/// Stresses at one place of a bar: bending on edge and on the flat, axial (tension above zero), shear; N/mm².
struct Stresses {
  double edge = 0, flat = 0, axial = 0, shear = 0;
};
/// EN: 6.2.3, 6.3.2 (6.23), (6.24), 6.3.3; NDS: 3.9.1, 3.9.2 (3.9-3).
double bending_use(const Site& site, const DesignValues& values, const Stresses& stresses);

}  // namespace garthwright::strength
