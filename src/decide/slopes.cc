// SPDX-License-Identifier: Apache-2.0
#include "decide/slopes.h"

#include <algorithm>

#include "base/two_threads.h"
#include "decide/in_time.h"

namespace garthwright::decide {
namespace {

constexpr int kRounds = 6;       // down to where no one change is cheaper
constexpr double kTrifle = 0.5;  // minor units

/// The first that can be had: the least of all numbers with the sections as they are, else anything on the way up.
std::optional<Combination> beginning(const Trials& trials) {
  const std::vector<Open>& opens = trials.opens();
  for (const double part : {0.0, 0.25, 0.5, 0.75, 1.0}) {
    Combination at;
    for (const Open& open : opens) {
      const double top = static_cast<double>(open.values.size() - 1);
      at.push_back(static_cast<std::uint16_t>(open.number() ? part * top : open.now ? *open.now : part * top));
    }
    if (trials.rough(at)) return at;
  }
  return std::nullopt;
}

}  // namespace

std::optional<Slopes> Slopes::measure(const Trials& trials, const std::function<bool()>& enough) {
  const std::vector<Open>& opens = trials.opens();
  std::optional<Combination> at = beginning(trials);
  if (!at) return std::nullopt;
  Slopes slopes;
  for (int round = 0; round < kRounds; ++round) {
    slopes.base_ = *trials.rough(*at);
    std::vector<std::pair<std::size_t, std::uint16_t>> looks;
    slopes.adds_.assign(opens.size(), {});
    for (std::size_t i = 0; i < opens.size(); ++i) {
      slopes.adds_[i].assign(opens[i].values.size(), 0);
      for (std::uint16_t value = 0; value < opens[i].values.size(); ++value)
        if (value != (*at)[i]) looks.emplace_back(i, value);
    }
    std::vector<std::optional<double>> found(looks.size());
    on_two_threads(looks.size(), [&](std::size_t k) {
      if (enough()) return;
      Combination other = *at;
      other[looks[k].first] = looks[k].second;
      found[k] = trials.rough(other);
    });
    if (enough()) return std::nullopt;
    double least = -kTrifle;
    std::optional<std::size_t> cheapest;
    for (std::size_t k = 0; k < looks.size(); ++k) {
      if (!found[k]) continue;  // refused here, it may be had beside others: nothing is claimed of it
      const double adds = *found[k] - slopes.base_;
      slopes.adds_[looks[k].first][looks[k].second] = std::max(0.0, adds);
      if (adds < least) least = adds, cheapest = k;
    }
    if (!cheapest) return slopes;
    // All that is cheaper at once where that can be had and is, else the cheapest change.
    Combination all = *at;
    std::vector<double> best(opens.size(), -kTrifle);
    for (std::size_t k = 0; k < looks.size(); ++k) {
      if (!found[k] || *found[k] - slopes.base_ >= best[looks[k].first]) continue;
      best[looks[k].first] = *found[k] - slopes.base_;
      all[looks[k].first] = looks[k].second;
    }
    const std::optional<double> together = trials.rough(all);
    if (together && *together < slopes.base_ + least) {
      at = all;
    } else {
      (*at)[looks[*cheapest].first] = looks[*cheapest].second;
    }
  }
  return std::nullopt;
}

std::int64_t Slopes::bound(const Combination& low, const Combination& high) const {
  double sum = base_;
  for (std::size_t i = 0; i < adds_.size(); ++i)
    sum += *std::min_element(adds_[i].begin() + low[i], adds_[i].begin() + high[i] + 1);
  return static_cast<std::int64_t>(sum);
}

}  // namespace garthwright::decide
