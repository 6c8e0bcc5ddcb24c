// SPDX-License-Identifier: Apache-2.0
#include "sheets/scale.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <span>

namespace garthwright::sheets {

namespace {

struct Named {
  double reduction;
  const char* words;
};

constexpr std::array<Named, 14> kMetric{{{1, "full size"},
                                         {2, "1 : 2"},
                                         {5, "1 : 5"},
                                         {10, "1 : 10"},
                                         {20, "1 : 20"},
                                         {25, "1 : 25"},
                                         {50, "1 : 50"},
                                         {75, "1 : 75"},
                                         {100, "1 : 100"},
                                         {200, "1 : 200"},
                                         {500, "1 : 500"},
                                         {1000, "1 : 1000"},
                                         {2000, "1 : 2000"},
                                         {5000, "1 : 5000"}}};

constexpr std::array<Named, 13> kFeetAndInches{{{1, "full size"},
                                                {2, "6\" = 1' 0\""},
                                                {4, "3\" = 1' 0\""},
                                                {8, "1 1/2\" = 1' 0\""},
                                                {12, "1\" = 1' 0\""},
                                                {16, "3/4\" = 1' 0\""},
                                                {24, "1/2\" = 1' 0\""},
                                                {32, "3/8\" = 1' 0\""},
                                                {48, "1/4\" = 1' 0\""},
                                                {64, "3/16\" = 1' 0\""},
                                                {96, "1/8\" = 1' 0\""},
                                                {192, "1/16\" = 1' 0\""},
                                                {384, "1/32\" = 1' 0\""}}};

}  // namespace

std::vector<Scale> scales(Units units) {
  std::vector<Scale> out;
  const auto add = [&](std::span<const Named> known) {
    for (const Named& s : known) out.push_back({s.reduction, s.words});
  };
  units == Units::mm ? add(kMetric) : add(kFeetAndInches);
  return out;
}

Scale scale_for(Units units, double width, double height, double room_width, double room_height) {
  for (const Scale& s : scales(units)) {
    if (width / s.reduction <= room_width && height / s.reduction <= room_height) return s;
  }
  // Beyond any rule: what just fits, and said to be so.
  return {std::max({width / room_width, height / room_height, 1.0}), "not to scale"};
}

}  // namespace garthwright::sheets
