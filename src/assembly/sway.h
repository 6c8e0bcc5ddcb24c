// SPDX-License-Identifier: Apache-2.0
#pragma once

/// Does a frame with screwed corners rack? A quick figure for frames that have no brace yet.

namespace garthwright::assembly {

/// A portal: feet held, members rigid, each of its two corners a pair of screw groups `spacing` apart.
struct ScrewedPortal {
  double density_kg_m3 = 0;  ///< mean density of the timber, ρm
  double screw_mm = 0;       ///< d
  double spacing_mm = 0;
  double height_mm = 0;
  double screws = 0;  ///< per corner
  double push_n = 0;  ///< sideways, at the top
};

/// Slip of one screw and shear plane, N/mm: ρm^1.5 d / 23, EN 1995-1-1 table 7.1 (formula from memory).
double slip_modulus(double density_kg_m3, double screw_mm);

/// How far the top goes, mm: push h² / (2 k) with k = screws × Kser × (spacing/2)² for each of the two corners.
double sway(const ScrewedPortal& portal);

}  // namespace garthwright::assembly
