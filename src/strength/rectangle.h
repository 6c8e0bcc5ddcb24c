// SPDX-License-Identifier: Apache-2.0
#pragma once

/// A solid rectangular section b wide and h deep, mm. y is the strong axis of the usual drawing: bending about it uses
/// the depth h. Source: Gere & Timoshenko, Mechanics of Materials; torsion: Timoshenko & Goodier, Theory of Elasticity,
/// art. 109.
namespace garthwright::strength {

struct Rectangle {
  double b = 0;
  double h = 0;

  double area() const { return b * h; }             ///< mm²
  double iy() const { return b * h * h * h / 12; }  ///< mm⁴
  double iz() const { return h * b * b * b / 12; }  ///< mm⁴
  double wy() const { return b * h * h / 6; }       ///< mm³
  double wz() const { return h * b * b / 6; }       ///< mm³
  double radius_y() const;                          ///< of gyration, mm
  double radius_z() const;
  double torsion_constant() const;       ///< mm⁴, Saint-Venant's series to round-off
  double torsion_stress_factor() const;  ///< α in τ = T / (α h b²), b the short side
};

}  // namespace garthwright::strength
