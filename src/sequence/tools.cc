// SPDX-License-Identifier: Apache-2.0
#include "sequence/tools.h"

#include <array>

namespace garthwright::sequence {
namespace {

// Sizes of common tools (common practice, no source): a drill driver with its bit, a right-angle head, a socket on a
// ratchet, a ring spanner's end. A long bit begins to fill the room 8 mm off the head, so that a screw in a slanted
// face is reached too.
constexpr Tool kDriver{"driver", 6, 8, 60, 30, 260, false};
constexpr Tool kLongBit{"driver with a long bit", 6, 8, 160, 30, 360, false};
constexpr Tool kRightAngle{"right-angle driver", 6, 8, 32, 25, 112, true};
constexpr Tool kSlim{"long screwdriver, by hand", 6, 8, 150, 17, 260, true};
constexpr Tool kScrewdriver{"screwdriver", 6, 8, 110, 25, 230, false};
constexpr Tool kStubby{"stubby screwdriver", 6, 8, 30, 25, 100, true};
constexpr Tool kSocketDriver{"socket on a driver", 13, 2, 60, 30, 260, false};
constexpr Tool kRatchet{"ratchet", 13, 2, 60, 40, 95, false};
constexpr Tool kSpanner{"ring spanner", 13, 2, 12, 20, 30, true};
constexpr Tool kHammer{"hammer", 12, 2, 30, 50, 300, false};
constexpr Tool kStapler{"stapler", 12, 2, 30, 45, 160, false};
constexpr Tool kDrillAndHammer{"drill and hammer", 8, 2, 160, 30, 360, false};
constexpr Tool kTap{"hammer, drilled from the nut's side", 12, 2, 30, 30, 120, true};

constexpr double kHoleOnLeg = 0.7;  // of a bracket's leg, from its fold; our own

}  // namespace

std::vector<const Tool*> tools_for(timber::FixingKind kind, bool no_power) {
  switch (kind) {
    case timber::FixingKind::angle_bracket:  // screwed on through its holes
    case timber::FixingKind::screw:
      if (no_power) return {&kScrewdriver, &kStubby, &kSlim};
      return {&kDriver, &kLongBit, &kRightAngle, &kSlim};
    case timber::FixingKind::coach_screw:
      if (no_power) return {&kRatchet, &kSpanner};
      return {&kSocketDriver, &kRatchet, &kSpanner};
    case timber::FixingKind::coach_bolt:
    case timber::FixingKind::bolt:
      return {&kDrillAndHammer, &kTap};
    case timber::FixingKind::nail:
    case timber::FixingKind::strap:
    case timber::FixingKind::hanger:
    case timber::FixingKind::post_shoe:
      return {&kHammer};
    case timber::FixingKind::hinge:
    case timber::FixingKind::latch:
    case timber::FixingKind::gate_bolt:
      return {&kDriver, &kScrewdriver};
    case timber::FixingKind::staple:
      return {&kStapler, &kHammer};
  }
  return {};
}

std::vector<const Tool*> nut_tools(bool no_power) {
  if (no_power) return {&kRatchet, &kSpanner};
  return {&kSocketDriver, &kRatchet, &kSpanner};
}

std::vector<Hold> holds(const Fixing& f) {
  if (norm(f.leg) <= 0) return {{f.head, -f.direction}};
  const double out = kHoleOnLeg * f.length;
  return {{f.head + out * f.leg, f.direction}, {f.head + out * f.direction, f.leg}};
}

bool driven_from(const Fixing& f, Vec3 below) {
  for (const Hold& hold : holds(f))
    if (dot(hold.out, below) > 0.5) return true;
  return false;
}

const Tool* tool_named(std::string_view name) {
  static constexpr std::array kAll{&kDriver,  &kLongBit,        &kRightAngle, &kSlim,    &kScrewdriver,
                                   &kStubby,  &kSocketDriver,   &kRatchet,    &kSpanner, &kHammer,
                                   &kStapler, &kDrillAndHammer, &kTap};
  for (const Tool* tool : kAll)
    if (tool->name == name) return tool;
  return nullptr;
}

}  // namespace garthwright::sequence
