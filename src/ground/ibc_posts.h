// SPDX-License-Identifier: Apache-2.0
#pragma once

/// Posts set in the ground against a sideways force, IBC 2018/2021 1807.3. Both formulas are the same in any consistent
/// units: P force, h height of P above the ground, b diameter of a round footing or diagonal of a square one, q the
/// allowable lateral pressure per length of depth (Table 1806.2, doubled or not), results lengths. Loads are allowable
/// stress ones. Depths beyond 12 ft (3.66 m) get no more pressure.
namespace garthwright::ground::ibc {

inline constexpr double kGreatestDepthFt = 12, kGreatestDepthM = 3.6576;

/// 1807.3.2.1 (18-1) as one pass: A = 2.34 P / (S1 b), d = A/2 (1 + √(1 + 4.36 h/A)), with S1 given.
struct Pass {
  double a = 0, depth = 0;
};
Pass unconstrained_pass(double p, double h, double b, double s1);

/// The least depth: S1 = q d/3 put in makes d³ - k d - 1.09 k h = 0, k = 7.02 P / (q b), with one positive root. A
/// one-pass answer with S1 at the depth dug is a sound check but not this. Above the greatest depth S1 stays what it is
/// there.
struct Post {
  double depth = 0, a = 0, s1 = 0;
};
Post unconstrained(double p, double h, double b, double q, double greatest_depth = 1e9);

/// What force the formula allows on a post of given depth.
double unconstrained_capacity(double depth, double h, double b, double q);

/// ASAE EP486: least distance of posts that count as isolated, in diameters of the footing.
inline constexpr double kIsolatedFootings = 3;
/// EP486 3.4.2: safety on raw soil strength where a little movement does no harm, and the most asked.
inline constexpr double kSafety = 2.5, kSafetyMost = 3;

}  // namespace garthwright::ground::ibc
