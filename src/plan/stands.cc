// SPDX-License-Identifier: Apache-2.0
#include "plan/stands.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/us_customary.h"
#include "plan/standing.h"
#include "strength/climbers.h"
#include "structure/check_words.h"
#include "structure/joint_index.h"

namespace garthwright {
namespace {

constexpr double kNear = 0.25;    // m/s: how near the wind is found
constexpr int kMostTries = 20;    // winds looked at in one situation, and situations
constexpr double kPastIt = 1.01;  // a guess is put a little beyond, so that the next is on its other side
constexpr double kSlimPost = 70, kShallow = 600, kBuried = 0.2;  // mm, mm, of the post's length: common practice

bool fails(const Check& c) { return c.verdict == Verdict::fails; }

/// A structure in one state of its garden, in whatever wind.
struct InState {
  WhatGives& gives;
  Site site;
  State::Kind state;

  /// What is used most of all that can give way at a wind, in one situation or in all; what fails goes before what does
  /// not.
  Check most_used(double wind, const std::optional<Situation>& situation = {}) {
    site.wind_m_s = wind;
    site.least_pressure = false;
    Check most;
    most.utilisation = 0;
    for (Check& c : gives.under(site, {state, situation})) {
      if (c.kind == CheckKind::spacing || c.kind == CheckKind::loose_top) continue;  // remarks, whatever the wind
      if (std::pair{fails(c), c.utilisation} > std::pair{fails(most), most.utilisation}) most = std::move(c);
    }
    return most;
  }
};

/// A wind that holds, and a stronger one at which something gives.
struct Between {
  double holds = 0, gives = 0;
  Check what;  ///< at `gives`
};

/// Narrows it down in one situation alone, which costs a few solutions where all cost dozens.
void narrow(InState& in, Between& between, double use_where_it_holds) {
  const Situation situation = between.what.when;
  double use_low = use_where_it_holds, use_high = between.what.utilisation;
  for (int tries = 0; between.gives - between.holds > kNear && tries < kMostTries; ++tries) {
    const double low = between.holds * between.holds, high = between.gives * between.gives;
    // Forces grow about as the square of the wind; every other time the bracket is halved whatever they do.
    double at = std::sqrt((low + high) / 2);
    if (tries % 2 == 0 && use_low < 1 && use_high > 1 && use_high < 20)
      at = std::sqrt(low + (1 - use_low) / (use_high - use_low) * (high - low)) + (tries % 4 == 0 ? 1 : -1) * kNear / 3;
    at = std::clamp(at, between.holds + kNear / 4, between.gives - kNear / 4);
    Check most = in.most_used(at, situation);
    if (fails(most))
      between.gives = at, use_high = most.utilisation, between.what = std::move(most);
    else
      between.holds = at, use_low = most.utilisation;
  }
}

Stand in_state(WhatGives& what, const Site& site, State::Kind state) {
  InState in{what, site, state};
  Stand stand{{}, state, 0, site.wind_m_s, {}};
  const double strongest = strongest_wind(site);
  Check most = in.most_used(0);
  if (fails(most)) {
    stand.first = std::move(most);
    return stand;
  }
  double holds = 0, next = std::min(site.wind_m_s, strongest);
  for (;;) {
    const double use = most.utilisation;
    most = in.most_used(next);
    if (fails(most)) {
      // Its own limit first; then all are asked there, and what gives before it is looked for in its place.
      Between between{holds, next, std::move(most)};
      double use_low = use;
      for (int tries = 0; tries < kMostTries && between.gives - holds > kNear; ++tries) {
        between.holds = holds;
        narrow(in, between, use_low);
        Check all = in.most_used(between.holds);
        if (!fails(all)) {
          holds = between.holds, use_low = all.utilisation;
        } else {
          between.gives = between.holds;
          between.what = std::move(all);
        }
      }
      stand.first = std::move(between.what);
      stand.gives_at_m_s = holds;
      return stand;
    }
    holds = next;
    if (holds >= strongest) break;
    const double guess = most.utilisation > 0 ? holds * std::sqrt(1 / most.utilisation) * kPastIt : strongest;
    next = std::clamp(guess, std::min(holds + 1, strongest), strongest);
  }
  stand.gives_at_m_s = strongest;
  return stand;
}

std::string speed(double m_s, const Site& site) {
  return site.route == Site::Route::us ? fmt::format("{:.0f} mph", std::floor(m_s / kMetrePerSecondPerMph + 1e-6))
                                       : fmt::format("{:.0f} m/s", std::floor(m_s + 1e-6));
}

const char* in_words(State::Kind state) {
  return state == State::Kind::bare ? "bare" : state == State::Kind::overgrown ? "overgrown" : "in winter";
}

std::string listed(const std::vector<std::string>& words) {
  std::string all;
  for (std::size_t i = 0; i < words.size(); ++i)
    all += (i == 0 ? "" : i + 1 == words.size() ? " and " : ", ") + words[i];
  return all;
}

std::string line_of(const std::vector<const Stand*>& stands, const Structure& part, const Site& site) {
  std::vector<std::string> winds, never;
  std::vector<std::pair<std::string, std::vector<std::string>>> first;  // what gives, and in which states
  for (const Stand* s : stands) {
    const std::string what = s->first ? words_of(*s->first, part).title : "";
    if (s->state == State::Kind::person) {
      if (s->first)
        never.push_back(fmt::format("with {} ({})", "someone " + does(s->first->when.state, part, true), what));
      continue;
    }
    const std::string state = in_words(s->state);
    if (s->first && s->gives_at_m_s <= 0) {
      never.push_back(fmt::format("{} without any wind ({})", state, what));
      continue;
    }
    winds.push_back(fmt::format("{}{} {}", s->first ? "" : "over ", speed(s->gives_at_m_s, site), state));
    if (s->enough()) continue;
    const auto same = std::find_if(first.begin(), first.end(), [&](const auto& f) { return f.first == what; });
    if (same == first.end())
      first.push_back({what, {state}});
    else
      same->second.push_back(state);
  }
  std::string line = part.name + ": ";
  if (!winds.empty())
    line += fmt::format("stands to {}; your garden asks {}", listed(winds), speed(site.wind_m_s, site));
  for (const auto& [what, states] : first)
    line += first.size() == 1 ? "; first gives: " + what : fmt::format("; {} first gives: {}", listed(states), what);
  if (!never.empty()) line += fmt::format("{}fails {}", winds.empty() ? "" : "; ", listed(never));
  const bool short_of = std::any_of(stands.begin(), stands.end(), [](const Stand* s) { return !s->enough(); });
  if (short_of && customary(part))
    line +=
        "; customary: its posts and holes are as the trade makes them and many such stand; by the code it is short of "
        "what is named here";
  return line;
}

}  // namespace

double strongest_wind(const Site& site) { return site.route == Site::Route::us ? 220 * kMetrePerSecondPerMph : 60; }

bool customary(const Structure& s) {
  for (const Footing& f : s.footings) {
    if (!f.shoe.empty()) return false;
    const Piece& post = s[f.post];
    const double in_ground = f.depth - f.gravel;
    if (std::min(post.width.value(), post.thickness.value()) < kSlimPost || in_ground < kShallow ||
        in_ground < kBuried * post.length.value())
      return false;
  }
  const JointIndex index(s);
  for (std::size_t i = 0; i < s.joints.size(); ++i) {
    const Joint& j = s.joints[i];
    const bool timbers = j.a.kind == Body::Kind::piece && j.b.kind == Body::Kind::piece;
    if (timbers && !j.bare && !index.is_fixed(JointId{static_cast<int>(i)})) return false;
  }
  return !s.footings.empty();
}

std::vector<Stand> stands_of(const Garden& garden, const Site& site) {
  std::vector<Stand> all;
  for (std::size_t i = 0; i < garden.structures.size(); ++i) {
    const bool grows = strength::climbers::climber(site_for(garden.structures[i], site).climber).has_value();
    const std::size_t before = all.size();
    WhatGives what(garden.structures[i], site);
    all.push_back(in_state(what, site, State::Kind::bare));
    if (grows) all.push_back(in_state(what, site, State::Kind::overgrown));
    if (site.snow_kpa > 0) all.push_back(in_state(what, site, State::Kind::winter));
    Stand person{{}, State::Kind::person, 0, 0, {}};
    if (Check most = InState{what, site, State::Kind::person}.most_used(0); fails(most)) person.first = std::move(most);
    all.push_back(std::move(person));
    for (std::size_t k = before; k < all.size(); ++k) {
      all[k].part = PartId{static_cast<int>(i)};
      if (all[k].first) all[k].first->part = all[k].part;
    }
  }
  return all;
}

std::vector<std::string> stand_lines(const std::vector<Stand>& stands, const Garden& garden, const Site& site) {
  std::vector<std::string> lines;
  for (std::size_t i = 0; i < garden.structures.size(); ++i) {
    std::vector<const Stand*> of;
    for (const Stand& s : stands)
      if (s.part.index == static_cast<int>(i)) of.push_back(&s);
    if (!of.empty()) lines.push_back(line_of(of, garden.structures[i], site));
  }
  return lines;
}

}  // namespace garthwright
