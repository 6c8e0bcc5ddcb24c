// SPDX-License-Identifier: Apache-2.0
//
// Verbs that ask the yard and the ground, and tell the person.
#include <algorithm>
#include <array>
#include <cmath>
#include <functional>

#include "pattern/lengths.h"
#include "pattern/verbs.h"

namespace garthwright::pattern {
namespace {

/// longest_sold(section): the longest length of it the yard sells, less what squaring its end takes.
int longest_sold(Call& call) {
  const SectionInHand* section = as_section(call.lua(), 1);
  if (!section) call.wrong("longest_sold takes a section, not " + kind_at(call.lua(), 1), "give one of a choice");
  double longest = 0;
  for (const timber::YardLength& length : call.structure()[section->id].lengths)
    longest = std::max(longest, length.length_mm);
  push(call.lua(), longest - call.bench_().job->saw.trim_mm);
  return 1;
}

/// refuse(choice, what [, cure]): the choices cannot be built; points at the job's line.
int refuse(Call& call) {
  const std::string choice = call.text_at(1, "the choice"), what = call.text_at(2, "what is wrong"),
                    cure = call.text_at(3, "the cure", "");
  raise(call.lua(), {Severity::error, "cannot-build", what, cure, call.bench_().place_of(choice)});
}

/// remark(choice, what [, cure]): worth knowing; the plan is made all the same.
int remark(Call& call) {
  const std::string choice = call.text_at(1, "the choice"), what = call.text_at(2, "what is worth knowing"),
                    cure = call.text_at(3, "the cure", "");
  call.box().spend(Good::parts, 1);
  call.bench_().remarks.push_back({Severity::warning, "pattern-remark", what, cure, call.bench_().place_of(choice)});
  return 0;
}

/// print_length(length): as the job prints lengths.
int print_length(Call& call) {
  const std::string text = format_length(to_length(call.lua(), 1, "the length").value(), call.bench_().job->style);
  lua_pushlstring(call.lua(), text.data(), text.size());
  return 1;
}

/// ground_at(x, y): the level of the ground there, from the structure's zero. Who asks follows the ground by himself.
int ground_at(Call& call) {
  Bench& bench = call.bench_();
  const Traced x = to_length(call.lua(), 1, "x"), y = to_length(call.lua(), 2, "y");
  bench.asked_ground = true;
  push(call.lua(), bench.ground ? bench.ground(x.value(), y.value()) : Traced(0));
  return 1;
}

struct Along {
  Traced x, y, level;
};

/// The breaks of the ground between two places of a straight line, found by halving until each part is straight.
void breaks(const std::function<Along(double)>& at, double from, double to, const Along& first, const Along& last,
            int depth, std::vector<Along>& found) {
  constexpr int kDeepest = 40;
  constexpr double kStraight = 1e-7;  // mm
  if (depth == kDeepest) return found.push_back(last);
  bool straight = true;
  for (const double part : {0.5, 0.23, 0.71}) {
    const double expected = first.level.value() + part * (last.level.value() - first.level.value());
    straight = straight && std::abs(at(from + part * (to - from)).level.value() - expected) < kStraight;
  }
  if (straight) return found.push_back(last);
  const double middle = (from + to) / 2;
  const Along half = at(middle);
  breaks(at, from, middle, first, half, depth + 1, found);
  breaks(at, middle, to, half, last, depth + 1, found);
}

/// ground_profile(x1, y1, x2, y2): a list of {x, y, level} along the line, from its first point to its last, between
/// which the ground is straight.
int ground_profile(Call& call) {
  Bench& bench = call.bench_();
  std::array<Traced, 4> ends;
  for (int i = 0; i < 4; ++i) ends[static_cast<std::size_t>(i)] = to_length(call.lua(), i + 1, "the line");
  bench.asked_ground = true;
  const auto at = [&](double part) {
    const Traced x = ends[0] + part * (ends[2] - ends[0]), y = ends[1] + part * (ends[3] - ends[1]);
    call.box().spend(Good::steps, 20);
    return Along{x, y, bench.ground ? bench.ground(x.value(), y.value()) : Traced(0)};
  };
  std::vector<Along> points{at(0)};
  breaks(at, 0, 1, points[0], at(1), 0, points);
  // Halving closes in on a break from both sides: of points that lie on one line with their neighbours the middle goes.
  std::vector<Along> kept;
  for (const Along& point : points) {
    const auto off = [&](const Along& a, const Along& b, const Along& c) {
      const double ab = std::hypot(b.x.value() - a.x.value(), b.y.value() - a.y.value()),
                   ac = std::hypot(c.x.value() - a.x.value(), c.y.value() - a.y.value());
      return ac < 1e-9 ? 0.0
                       : std::abs(a.level.value() + ab / ac * (c.level.value() - a.level.value()) - b.level.value());
    };
    while (kept.size() > 1 && off(kept[kept.size() - 2], kept.back(), point) < 1e-5) kept.pop_back();
    kept.push_back(point);
  }
  lua_createtable(call.lua(), static_cast<int>(kept.size()), 0);
  for (std::size_t i = 0; i < kept.size(); ++i) {
    lua_createtable(call.lua(), 0, 3);
    push(call.lua(), kept[i].x);
    lua_setfield(call.lua(), -2, "x");
    push(call.lua(), kept[i].y);
    lua_setfield(call.lua(), -2, "y");
    push(call.lua(), kept[i].level);
    lua_setfield(call.lua(), -2, "level");
    lua_rawseti(call.lua(), -2, static_cast<lua_Integer>(i) + 1);
  }
  return 1;
}

const std::vector<Verb> kVerbs{
    {"longest_sold", longest_sold, 1, 1}, {"refuse", refuse, 2, 3},       {"remark", remark, 2, 3},
    {"print_length", print_length, 1, 1}, {"ground_at", ground_at, 2, 2}, {"ground_profile", ground_profile, 4, 4}};

}  // namespace

std::span<const Verb> telling_verbs() { return kVerbs; }

}  // namespace garthwright::pattern
