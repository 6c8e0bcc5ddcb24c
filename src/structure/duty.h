// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <cstdint>
#include <initializer_list>
#include <string_view>

namespace garthwright {

/// What a body is there for, as its pattern says. Studies ask this and never a name or a role.
enum class Duty {
  roof,     ///< catches wind, snow and leaves from above, as the uppermost layer
  beam,     ///< carries what lies on it across an opening: its sag is looked at, and a person hangs from its ends
  brace,    ///< holds a corner square: the frame is also looked at before it is in
  screen,   ///< stands across the wind
  soil,     ///< holds back earth
  seat,     ///< is sat on
  walk,     ///< is walked on
  guard,    ///< is leaned on, and keeps people from falling
  leaf,     ///< swings on hinges
  climber,  ///< a plant grows over it
};
inline constexpr Duty kLastDuty = Duty::climber;

/// "roof": as a pattern writes it.
constexpr std::string_view name(Duty duty) {
  constexpr std::array<std::string_view, 10> kNames{"roof", "beam", "brace", "screen", "soil",
                                                    "seat", "walk", "guard", "leaf",   "climber"};
  return kNames[static_cast<std::size_t>(duty)];
}

/// None, one or several of them.
class Duties {
 public:
  constexpr Duties() = default;
  constexpr Duties(std::initializer_list<Duty> all) {
    for (const Duty duty : all) add(duty);
  }
  constexpr void add(Duty duty) { bits_ = static_cast<std::uint16_t>(bits_ | bit(duty)); }
  constexpr void remove(Duty duty) { bits_ = static_cast<std::uint16_t>(bits_ & ~bit(duty)); }
  constexpr bool has(Duty duty) const { return (bits_ & bit(duty)) != 0; }
  constexpr bool none() const { return bits_ == 0; }
  constexpr bool operator==(const Duties&) const = default;

 private:
  static constexpr unsigned bit(Duty duty) { return 1u << static_cast<unsigned>(duty); }
  std::uint16_t bits_ = 0;
};

}  // namespace garthwright
