// SPDX-License-Identifier: Apache-2.0
#pragma once

/// Exact integer pricing: given whole-number prices of rows, the most that one bar of each kind can be worth, and
/// patterns worth having.

#include <cstdint>
#include <span>
#include <utility>
#include <vector>

#include "cutting/knapsack_table.h"
#include "cutting/model.h"
#include "cutting/work.h"

namespace garthwright::cutting {

/// Prices of rows with what they prove: no pattern of bar k is worth more than worth[k]. Whoever uses n_k bars of each
/// kind to meet all demands has  sum n_k worth[k] >= sum price[i] demand[i].
struct Prices {
  std::vector<std::int64_t> price;  ///< by row
  std::vector<std::int64_t> worth;  ///< by bar
  bool exact = true;                ///< every worth is attained by a pattern
};

class Pricer {
 public:
  /// Items of a pair in `apart` are never in one pattern; (j, j): at most one of item j is.
  explicit Pricer(const Model& model, std::vector<std::pair<int, int>> apart = {})
      : model_(model), apart_(std::move(apart)) {}

  struct Offer {
    Prices prices;
    std::vector<Pattern> patterns;  ///< worth more than `threshold` of their bar, the best of each bar among them
  };

  /// Patterns of bars with limit > 0 within `demand`. `diverse`: also the best that hold each item.
  Offer offer(std::vector<std::int64_t> price, std::span<const std::int64_t> demand,
              std::span<const std::int64_t> limit, std::span<const std::int64_t> threshold, bool diverse, Work& work);

 private:
  void offer_by_search(int family, std::span<const std::int64_t> demand, std::span<const std::int64_t> limit,
                       std::span<const std::int64_t> threshold, bool diverse, Offer& offer, Work& work);
  bool offer_by_table(int family, std::span<const std::int64_t> demand, std::span<const std::int64_t> limit,
                      std::span<const std::int64_t> threshold, bool diverse, Offer& offer, Work& work);

  void offer_apart(int family, std::span<const std::int64_t> demand, std::span<const std::int64_t> limit,
                   std::span<const std::int64_t> threshold, bool diverse, Offer& offer, Work& work);
  std::int64_t most_worth(int family, std::span<const std::int64_t> limit, const Prices& prices,
                          std::int64_t room) const;
  bool refused(const Pattern& pattern) const;

  const Model& model_;
  std::vector<std::pair<int, int>> apart_;
  KnapsackTable table_;
  std::vector<int> search_failed_;  // by family
};

/// Most cells that a table may have.
inline constexpr std::int64_t kMostTableCells = 21'000'000;

/// Whole-number prices from real ones (negative ones are zero), as fine as exact sums over a bar allow.
/// Returns the scale: price[i] = floor(real[i] * scale), a power of two.
double whole_prices(const Model& model, std::span<const double> real, std::vector<std::int64_t>& price);

}  // namespace garthwright::cutting
