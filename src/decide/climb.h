// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <functional>
#include <unordered_map>

#include "decide/search.h"

namespace garthwright::decide {

/// What is known of combinations that were looked at, by their numbers.
class Known {
 public:
  struct Look {
    bool refused = false;
    Money total;
    Shortfall shortfall;
  };
  const Look* find(std::uint64_t number) const {
    const auto at = looks_.find(number);
    return at == looks_.end() ? nullptr : &at->second;
  }
  void keep(std::uint64_t number, const Look& look) {
    looks_[number] = look;
    reckoned_ += !look.refused;
  }
  /// How many were reckoned, and not refused.
  std::int64_t reckoned() const { return reckoned_; }

 private:
  std::unordered_map<std::uint64_t, Look> looks_;
  std::int64_t reckoned_ = 0;
};

/// Looks for something that stands, from the job as it is and from other beginnings; then for cheaper neighbours of it.
/// Hands out each that stands (its whole plan was made) and is cheaper than the last. `enough` ends it.
void climb(const Trials& trials, const SearchOptions& options, const std::function<bool()>& enough, Known& known,
           const std::function<void(const Combination&, const Fixed&)>& found);

}  // namespace garthwright::decide
