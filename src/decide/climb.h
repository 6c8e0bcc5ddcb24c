// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <functional>
#include <unordered_map>

#include "base/patience.h"
#include "decide/search.h"

namespace garthwright::decide {

/// What is known of combinations that were looked at, by their numbers.
class Known {
 public:
  struct Look {
    bool refused = false;
    Money total;
    Shortfall shortfall;
    Situation when{};  ///< in which it was seen to fail, where no more than that was looked at
  };
  const Look* find(std::uint64_t number) const {
    const auto at = looks_.find(number);
    return at == looks_.end() ? nullptr : &at->second;
  }
  void keep(std::uint64_t number, const Look& look) {
    looks_[number] = look;
    reckoned_ += !look.refused;
    if (look.refused || look.shortfall.stands() || (nearest_ > 0 && look.shortfall.much >= nearest_)) return;
    nearest_ = look.shortfall.much;
    nearest_fails_ = look.shortfall.worst;
  }
  /// What is worst of the one nearest to standing of those that do not.
  const std::string& nearest_fails() const { return nearest_fails_; }
  /// How many were reckoned, and not refused.
  std::int64_t reckoned() const { return reckoned_; }

 private:
  std::unordered_map<std::uint64_t, Look> looks_;
  std::int64_t reckoned_ = 0;
  double nearest_ = 0;
  std::string nearest_fails_;
};

/// Looks for something that stands, from the job as it is and from other beginnings, the most promising first; then for
/// cheaper neighbours of it. Hands out each that stands (its whole plan was made) and is cheaper than the last.
/// `enough` ends it between two looks, `patience` in the middle of one.
void climb(const Trials& trials, const SearchOptions& options, const std::function<bool()>& enough,
           const Patience& patience, Known& known, Kept& kept,
           const std::function<void(const Combination&, const Fixed&)>& found);

}  // namespace garthwright::decide
