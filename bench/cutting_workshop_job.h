// SPDX-License-Identifier: Apache-2.0
#pragma once

/// Cutting lists of the size a workshop meets, made from a seed: 5 to 15 different lengths, 30 to 80 pieces, kerf 3 mm,
/// trim 10 mm, in millimetres and cents. Invented, not taken from any shop.

#include <algorithm>
#include <cstdint>
#include <random>

#include "cutting/cutting.h"

namespace garthwright::cutting {

enum class StockKind { one_length, several, several_with_limits };

class WorkshopJobs {
 public:
  explicit WorkshopJobs(std::uint64_t seed) : random_(seed) {}

  Problem next(StockKind kind) {
    Problem problem;
    problem.kerf = 3;
    problem.trim = 10;
    const int lengths = kind == StockKind::one_length ? 1 : whole(2, 6);
    std::int64_t longest = 0;
    while (static_cast<int>(problem.stock.size()) < lengths) {
      const std::int64_t length = 300 * whole(6, 20);  // 1.8 m to 6 m
      const bool known =
          std::any_of(problem.stock.begin(), problem.stock.end(), [&](const Stock& s) { return s.length == length; });
      if (known) continue;
      const double per_mm = 0.35 * (1 + 0.01 * whole(-70, 70) / 10.0);
      problem.stock.push_back(
          {.length = length, .cost = static_cast<std::int64_t>(per_mm * static_cast<double>(length))});
      longest = std::max(longest, length);
    }
    const int kinds = whole(5, 15), pieces = whole(30, 80);
    for (int i = 0; i < kinds; ++i)
      problem.pieces.push_back({.length = whole(200, static_cast<int>(longest * 6 / 10))});
    for (int n = kinds; n < pieces; ++n) ++problem.pieces[static_cast<std::size_t>(whole(0, kinds - 1))].quantity;
    if (kind == StockKind::several_with_limits) {
      for (std::size_t k = 0; k + 1 < problem.stock.size(); ++k)
        if (whole(0, 1) == 1 && problem.stock[k].length < longest) problem.stock[k].limit = whole(1, 8);
      for (int n = whole(0, 4); n > 0; --n)
        problem.stock.push_back(
            {.length = whole(300, 2500), .cost = whole(0, 1) * whole(50, 300), .limit = 1, .off_cut = true});
    }
    return problem;
  }

 private:
  // Not a standard distribution: those differ between libraries.
  int whole(int low, int high) {
    return low + static_cast<int>(random_() % static_cast<std::uint64_t>(high - low + 1));
  }

  std::mt19937_64 random_;
};

}  // namespace garthwright::cutting
