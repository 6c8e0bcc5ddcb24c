// SPDX-License-Identifier: Apache-2.0
//
// What one fixing bears in one plane between two timbers under its own force: sideways by the yield modes, along itself
// by thread, head and steel, and both at once. EN 1995-1-1 section 8 in service class 3, or NDS chapter 12, wet.
#pragma once

#include <string>
#include <vector>

#include "strength/design_values.h"
#include "strength/fixing_seat.h"
#include "strength/fixing_values.h"

namespace garthwright::strength {

/// What the joint as a whole lets each fixing keep.
struct JointShare {
  int fixings = 1;                       ///< in the joint
  int pulled = 1;                        ///< of them, along themselves: n^0.9 of screws (8.41)
  double geometry = 1;                   ///< C_delta of NDS 12.5.1: the worst fixing's holds for all
  double group = 1;                      ///< C_g of NDS 11.3.6
  bool middle_pulled_both_ways = false;  ///< the fixing's other plane loads the same inner timber alike: (8.7)
};

/// Design values (EN) or adjusted allowable loads (NDS), N.
struct PlaneStrength {
  double lateral = 0, axial = 0;
  std::string mode;  ///< "f", "head", …: what governs sideways and along
  std::string why;   ///< why it bears nothing, where it does not
};

/// A fixing with what does not change between cases.
struct PlacedFixing {
  const Fixing* fixing = nullptr;
  Seat seat;
  FixingValues values;
};
PlacedFixing placed(const Structure& structure, const Fixing& fixing);

/// `force` on the body on the point's side, world, N; only its direction counts.
PlaneStrength plane_strength(const Structure& structure, const Site& site, const PlacedFixing& fixing, int plane,
                             Vec3 force, Duration duration, const JointShare& share);

/// The clauses, and whose values.
std::string source_of(const Site& site, const PlacedFixing& fixing);

/// What a force asks of a fixing: across itself, and pulled along itself (a push is the timbers' own).
struct Asked {
  double across = 0, pull = 0;
};
Asked asked_of(const PlacedFixing& fixing, Vec3 force_on_point);

/// Share of the strength that is used, 99 where nothing may be counted on and more than a trifle (20 N) is asked. EN:
/// (8.27) smooth nails, (8.28) others; NDS 12.4: by the angle of the resultant.
double plane_use(const Site& site, const Fixing& fixing, const PlaneStrength& strength, Asked asked);

/// Characteristic density of a piece (EN), specific gravity (NDS).
double density_k(const Structure& structure, Body piece);
double gravity_of(const Structure& structure, Body piece);
/// Compression across the grain: characteristic, N/mm² (EN); wet, without a factor for duration, psi (NDS).
double fc_across(const Structure& structure, Body piece);
double fc_across_psi(const Structure& structure, const Site& site, Body piece);

/// What of a maker's declared value may be counted on. EN: a characteristic one, kmod of service class 3 and γM of
/// connections (2.4.3); NDS: an allowable one for lasting loads, CD.
double part_of_declared(const Site& site, Duration duration);

inline constexpr double kNoStrength = 99;
inline constexpr double kTrifle = 20;  ///< N: our own

}  // namespace garthwright::strength
