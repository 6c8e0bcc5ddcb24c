// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <vector>

#include "decide/trial.h"

namespace garthwright::decide {

/// What each value of each choice adds at least to the cheapest beginning, by rough prices: a bound for any box before
/// its sections are settled. Taken for granted is that what is dearer beside the cheapest is no cheaper beside the
/// dear: a longer rafter adds as much or more where rafters are stouter or more.
class Slopes {
 public:
  /// Looks at each value of each choice a few times; `enough` ends it, and then nothing is claimed.
  static std::optional<Slopes> measure(const Trials& trials, const std::function<bool()>& enough);

  /// Of all combinations from `low` to `high`, minor units.
  std::int64_t bound(const Combination& low, const Combination& high) const;

 private:
  double base_ = 0;
  std::vector<std::vector<double>> adds_;  // by choice and value; 0 or more
};

}  // namespace garthwright::decide
