// SPDX-License-Identifier: Apache-2.0
#include "assembly/turns.h"

#include <algorithm>
#include <array>
#include <deque>
#include <map>
#include <tuple>

#include "assembly/access.h"
#include "assembly/blocking.h"

namespace garthwright::assembly {
namespace {

constexpr int kUpright = 5;  // index of -z in axis_ways()

struct State {
  PieceSet placed, driven;
  int down;  ///< index into axis_ways()

  auto operator<=>(const State&) const = default;
};

class Search {
 public:
  Search(const Assembly& assembly, const Ways& ways, TurnsLimits limits)
      : assembly_(assembly), blocking_(assembly, ways), access_(assembly), most_states_(limits.states / 4) {
    fixed_ = PieceSet(piece_count());
    for (int i = 0; i < piece_count(); ++i) {
      if (assembly.pieces[i].fixed) fixed_.insert(i);
    }
    on_site_ = !fixed_.empty();
  }

  LeastTurns run(const TurnsQuestion& question) {
    const int last = attitude(question.final_down);
    for (int down = 0; down < 6; ++down) {
      if (question.first_down && attitude(*question.first_down) != down) continue;
      if (on_site_ && down != kUpright) continue;
      reach({fixed_, PieceSet(fastener_count()), down}, 0);
    }
    // Shortest first: placing and driving cost nothing and go to the front, turning costs one and goes to the back.
    while (!open_.empty()) {
      const auto [state, turns] = open_.front();
      open_.pop_front();
      if (least_.at(state) < turns) continue;
      if (state.down == last && state.placed.count() == piece_count() && state.driven.count() == fastener_count()) {
        return {turns, true};
      }
      if (static_cast<long>(least_.size()) > most_states_) return {std::nullopt, false};
      place_one(state, turns);
      turn(state, turns);
    }
    return {std::nullopt, true};
  }

 private:
  int piece_count() const { return static_cast<int>(assembly_.pieces.size()); }
  int fastener_count() const { return static_cast<int>(assembly_.fasteners.size()); }

  static int attitude(Vec3 down) {
    return static_cast<int>(std::find(axis_ways().begin(), axis_ways().end(), down) - axis_ways().begin());
  }

  /// Driving whatever fits never does harm: a fastener takes up no room.
  void drive_all(State& state) const {
    for (int f = 0; f < fastener_count(); ++f) {
      if (!state.driven.has(f) && access_.fit(f, state.placed, axis_ways()[state.down], on_site_) == Fit::fits) {
        state.driven.insert(f);
      }
    }
  }

  void reach(State state, int turns) {
    drive_all(state);
    const auto [known, is_new] = least_.try_emplace(state, turns);
    if (!is_new && known->second <= turns) return;
    known->second = turns;
    if (open_.empty() || turns <= open_.front().second) {
      open_.emplace_front(std::move(state), turns);
    } else {
      open_.emplace_back(std::move(state), turns);
    }
  }

  void place_one(const State& state, int turns) {
    const Vec3 down = axis_ways()[state.down];
    const double floor = access_.floor_level(state.placed, down);
    for (int i = 0; i < piece_count(); ++i) {
      if (state.placed.has(i)) continue;
      if (!state.placed.empty() && access_.reach(i, down) > floor + assembly_.touch) continue;
      if (!comes_from_side_or_above(i, state.placed, down)) continue;
      State next = state;
      next.placed.insert(i);
      reach(std::move(next), turns);
    }
  }

  bool comes_from_side_or_above(int piece, const PieceSet& placed, Vec3 down) const {
    const Ways& ways = blocking_.ways();
    for (int way = 0; way < static_cast<int>(ways.size()); ++way) {
      const bool out_is_level_or_up = dot(ways[way], down) <= 1e-9;
      if (out_is_level_or_up && blocking_.can_leave(way, piece, placed, on_site_)) return true;
    }
    return false;
  }

  void turn(const State& state, int turns) {
    if (on_site_) return;
    for (int down = 0; down < 6; ++down) {
      if (down == state.down) continue;
      State next = state;
      next.down = down;
      reach(std::move(next), turns + 1);
    }
  }

  const Assembly& assembly_;
  Blocking blocking_;
  Access access_;
  PieceSet fixed_;
  bool on_site_ = false;
  long most_states_;  ///< kept; about one in four is ever looked at, and each takes some 300 bytes
  std::map<State, int> least_;
  std::deque<std::pair<State, int>> open_;
};

}  // namespace

LeastTurns least_turns(const Assembly& assembly, const Ways& ways, const TurnsQuestion& question, TurnsLimits limits) {
  return Search(assembly, ways, limits).run(question);
}

}  // namespace garthwright::assembly
