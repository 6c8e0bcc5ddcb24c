// SPDX-License-Identifier: Apache-2.0
#include "plan/stands.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "plan/standing.h"
#include "strength/climbers.h"
#include "structure/check_words.h"
#include "structure/joint_index.h"

namespace garthwright {
namespace {

constexpr double kMetrePerSecondPerMph = 0.44704;
constexpr double kNear = 0.25;    // m/s: how near the wind is found
constexpr int kMostTries = 14;    // winds looked at in one state
constexpr double kPastIt = 1.01;  // a guess is put a little beyond, so that the next is on its other side
constexpr double kSlimPost = 70, kShallow = 600, kBuried = 0.2;  // mm, mm, of the post's length: common practice

/// What is used most of all that can give way in a state at a wind; what fails goes before what does not.
Check most_used(const Structure& structure, Site site, double wind, State::Kind state) {
  site.wind_m_s = wind;
  site.least_pressure = false;
  Check most;
  most.utilisation = 0;
  for (Check& c : what_gives(structure, site, state)) {
    if (c.kind == CheckKind::spacing || c.kind == CheckKind::loose_top) continue;  // remarks, whatever the wind
    if (std::pair{c.verdict == Verdict::fails, c.utilisation} >
        std::pair{most.verdict == Verdict::fails, most.utilisation})
      most = std::move(c);
  }
  return most;
}
bool fails(const Check& c) { return c.verdict == Verdict::fails; }

Stand in_state(const Structure& structure, const Site& site, State::Kind state) {
  Stand stand{{}, state, 0, site.wind_m_s, {}};
  if (Check still = most_used(structure, site, 0, state); fails(still)) {
    stand.first = std::move(still);
    return stand;
  }
  double holds = 0, gives = strongest_wind(site), next = std::min(site.wind_m_s, gives);
  for (int tries = 0; tries < kMostTries && gives - holds > kNear; ++tries) {
    Check most = most_used(structure, site, next, state);
    // Forces grow about as the square of the wind.
    const double guess = most.utilisation > 0 ? next * std::sqrt(1 / most.utilisation) : gives;
    if (fails(most)) {
      gives = next;
      stand.first = std::move(most);
    } else {
      holds = next;
    }
    const double beyond = guess * (holds == next ? kPastIt : 1 / kPastIt);
    const bool inside = beyond > holds + kNear / 4 && beyond < gives - kNear / 4;
    next = inside ? beyond : stand.first ? (holds + gives) / 2 : gives;
  }
  stand.gives_at_m_s = stand.first ? holds : gives;
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

std::string person_in_words(const State& state, const Structure& part) {
  if (state.person == State::Person::leans) return "someone leaning on a post";
  return fmt::format("someone hanging from the {} of a {}",
                     state.person == State::Person::hangs_from_middle ? "middle" : "end",
                     part[PieceId{state.on.index}].name);
}

std::string line_of(const std::vector<const Stand*>& stands, const Structure& part, const Site& site) {
  std::vector<std::string> winds, never;
  std::vector<std::pair<std::string, std::vector<std::string>>> first;  // what gives, and in which states
  for (const Stand* s : stands) {
    const std::string what = s->first ? words_of(*s->first, part).title : "";
    if (s->state == State::Kind::person) {
      if (s->first) never.push_back(fmt::format("with {} ({})", person_in_words(s->first->when.state, part), what));
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

std::vector<Stand> stands_of(const std::vector<Structure>& structures, const Site& site) {
  std::vector<Stand> all;
  for (std::size_t i = 0; i < structures.size(); ++i) {
    const bool grows = strength::climbers::climber(site_for(structures[i], site).climber).has_value();
    const std::size_t before = all.size();
    all.push_back(in_state(structures[i], site, State::Kind::bare));
    if (grows) all.push_back(in_state(structures[i], site, State::Kind::overgrown));
    if (site.snow_kpa > 0) all.push_back(in_state(structures[i], site, State::Kind::winter));
    Stand person{{}, State::Kind::person, 0, 0, {}};
    if (Check most = most_used(structures[i], site, 0, State::Kind::person); fails(most))
      person.first = std::move(most);
    all.push_back(std::move(person));
    for (std::size_t k = before; k < all.size(); ++k) {
      all[k].part = PartId{static_cast<int>(i)};
      if (all[k].first) all[k].first->part = all[k].part;
    }
  }
  return all;
}

std::vector<std::string> stand_lines(const std::vector<Stand>& stands, const std::vector<Structure>& structures,
                                     const Site& site) {
  std::vector<std::string> lines;
  for (std::size_t i = 0; i < structures.size(); ++i) {
    std::vector<const Stand*> of;
    for (const Stand& s : stands)
      if (s.part.index == static_cast<int>(i)) of.push_back(&s);
    if (!of.empty()) lines.push_back(line_of(of, structures[i], site));
  }
  return lines;
}

}  // namespace garthwright
