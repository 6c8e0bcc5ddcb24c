// SPDX-License-Identifier: Apache-2.0
#pragma once

/// Wind on what has grown. Leaves and twigs turn into the wind, so that their force grows nearer to its speed than to
/// its square. Coefficients stand on the silhouette in still air, speeds are of the gust, m/s.
///
/// Known: crowns of young hardwoods standing free, on their still-air frontal area: 0.15 to 0.22 at 20 m/s (Vollsinger,
/// Mitchell, Byrne, Novak & Rudnicki, Can. J. For. Res. 35, 2005); hedges as a barrier at 4 to 7 m/s: 1.3 in leaf, 0.9
/// bare (Gonzales, Casada, Hagen, Tatarko, Maghirang & Barden, Trans. ASABE 61, 2018). For climbers tied to laths there
/// is no published drag (Arnold, Gosztonyi & Luible, J. Facade Design & Engineering 9(2), 2021). What lies between is a
/// proposal of our own, about twice the free crowns.
namespace garthwright::strength::foliage {

inline constexpr double kHedgeInLeaf = 1.3, kHedgeBare = 0.9;          ///< published, 4–7 m/s
inline constexpr double kCrownLeast = 0.15, kCrownMost = 0.22;         ///< published, 20 m/s
inline constexpr double kStill = 1.2, kTurnsAt = 8, kLeastDrag = 0.4;  ///< our own: 1.2 · 8 / v, within 0.4 and 1.2

double drag(double gust_m_s);

/// On the GROSS area of a panel: the bare laths' coefficient and, on what the plant fills between them, its drag; never
/// less than the laths alone, never more than the closed surface that the whole would be.
double on_panel(double bare, double lath_solidity, double whole_solidity, double closed, double gust_m_s);

/// What counts as closed of a surface when the wind has turned the leaves: timbers whole, foliage as much less as its
/// drag is less than in still air. For lift on a roof and for what blocks the air under one.
double solidity_in_wind(double timber_solidity, double whole_solidity, double gust_m_s);

}  // namespace garthwright::strength::foliage
