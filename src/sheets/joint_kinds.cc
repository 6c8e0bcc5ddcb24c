// SPDX-License-Identifier: Apache-2.0
#include "sheets/joint_kinds.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <set>
#include <utility>

namespace garthwright::sheets {

namespace {

std::string called(const Structure& s, Body b) {
  return b.kind == Body::Kind::piece   ? s[PieceId{b.index}].name
         : b.kind == Body::Kind::panel ? "panel"
                                       : describe(s, b);
}

/// How much of a joint must agree for it to be told once: who meets whom, how, and by what it is fixed.
std::string sort_of(const Structure& s, const JointPlace& place) {
  std::string key(name(s[place.joint].kind));
  for (const Body b : place.bodies) key += "|" + called(s, b);
  std::map<std::string, int> items;
  for (const int f : place.fixings) ++items[s.fixings[static_cast<std::size_t>(f)].item];
  for (const auto& [item, count] : items) key += "|" + std::to_string(count) + item;
  return key;
}

}  // namespace

std::string roman(int number) {
  constexpr std::array<std::pair<int, const char*>, 13> kFigures{{{1000, "M"},
                                                                  {900, "CM"},
                                                                  {500, "D"},
                                                                  {400, "CD"},
                                                                  {100, "C"},
                                                                  {90, "XC"},
                                                                  {50, "L"},
                                                                  {40, "XL"},
                                                                  {10, "X"},
                                                                  {9, "IX"},
                                                                  {5, "V"},
                                                                  {4, "IV"},
                                                                  {1, "I"}}};
  std::string out;
  for (const auto& [value, figure] : kFigures)
    for (; number >= value; number -= value) out += figure;
  return out;
}

std::vector<JointSort> joint_sorts(const Structure& s, int first) {
  std::vector<JointSort> sorts;
  std::map<std::string, std::size_t> known;
  std::set<int> told;
  for (std::size_t j = 0; j < s.joints.size(); ++j) {
    // What goes through three bodies is a joint of its own beside what goes through two of them.
    std::map<std::vector<Body>, std::vector<int>> by_bodies;
    for (const int f : fixings_of(s, s.joints[j]))
      if (told.insert(f).second) by_bodies[s.fixings[static_cast<std::size_t>(f)].through].push_back(f);
    for (auto& [bodies, fixings] : by_bodies) {
      JointPlace place{JointId{static_cast<int>(j)}, bodies, std::move(fixings)};
      const auto [found, fresh] = known.try_emplace(sort_of(s, place), sorts.size());
      if (fresh) sorts.push_back({roman(first + static_cast<int>(sorts.size())), {}});
      sorts[found->second].places.push_back(std::move(place));
    }
  }
  return sorts;
}

}  // namespace garthwright::sheets
