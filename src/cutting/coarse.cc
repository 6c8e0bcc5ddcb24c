// SPDX-License-Identifier: Apache-2.0
#include "cutting/coarse.h"

#include <algorithm>
#include <array>
#include <limits>
#include <optional>
#include <vector>

#include "cutting/take_or_leave.h"

namespace garthwright::cutting {
namespace {

/// Units are tried that make the longest bar so many of them.
constexpr std::array<std::int64_t, 4> kWidths{1'000, 4'000, 16'000, 64'000};
/// Less than this many times coarser is not worth the trial.
constexpr std::int64_t kLeastGain = 4;
/// A trial looks at every item's every sum: lists with thousands of lengths are left as they are.
constexpr std::int64_t kMostSteps = 10'000'000;
constexpr std::int64_t kNone = std::numeric_limits<std::int64_t>::max() / 4;
constexpr double kNever = std::numeric_limits<double>::infinity();

/// By rounded sum: the least and the most that patterns with this sum truly take.
struct Sums {
  std::vector<double> least, most;  // whole numbers below 2^53
};

std::int64_t rounded(std::int64_t length, std::int64_t unit) {
  return std::max<std::int64_t>(1, (length + unit / 2) / unit);
}

Sums sums_of(const Model& model, int family, std::int64_t unit, std::int64_t top) {
  const auto count = static_cast<std::size_t>(top + 1);
  Sums sums{std::vector<double>(count, kNever), std::vector<double>(count, -kNever)};
  std::vector<double> next(count);
  sums.least[0] = sums.most[0] = 0;
  for (std::size_t j = 0; j < model.items.size(); ++j) {
    const Item& item = model.items[j];
    const std::int64_t each = rounded(item.length, unit);
    if (!model.families[static_cast<std::size_t>(family)].takes[j] || each > top) continue;
    std::int64_t left = std::min((model.demand[item.row] + item.yield - 1) / item.yield, top / each);
    for (std::int64_t k = 1; left > 0; k *= 2) {
      const std::int64_t now = std::min(k, left), shift = now * each;
      const auto length = static_cast<double>(now * item.length);
      left -= now;
      take_or_leave(sums.least.data(), next.data(), top + 1, shift, length, kLess);
      sums.least.swap(next);
      take_or_leave(sums.most.data(), next.data(), top + 1, shift, length, kMore);
      sums.most.swap(next);
    }
  }
  return sums;
}

/// The bars' lengths in this unit, or none when it does not tell apart what fits and what does not.
std::optional<std::vector<std::int64_t>> bars_in(const Model& model, std::int64_t unit) {
  std::vector<std::int64_t> lengths(model.bars.size());
  for (int family = 0; family < static_cast<int>(model.families.size()); ++family) {
    std::int64_t longest = 0, shortest = kNone;
    for (const Bar& bar : model.bars)
      if (bar.family == family) longest = std::max(longest, bar.length);
    for (std::size_t j = 0; j < model.items.size(); ++j)
      if (model.families[static_cast<std::size_t>(family)].takes[j])
        shortest = std::min(shortest, model.items[j].length);
    if (longest == 0) continue;
    const std::int64_t top = longest / unit + longest / shortest / 2 + 1;  // rounding up adds half a unit a piece
    const Sums sums = sums_of(model, family, unit, top);
    for (std::size_t k = 0; k < model.bars.size(); ++k) {
      const Bar& bar = model.bars[k];
      if (bar.family != family) continue;
      std::int64_t length = top;
      const auto room = static_cast<double>(bar.length);
      while (sums.least[length] > room) --length;
      for (std::int64_t c = 0; c <= length; ++c)
        if (sums.most[c] > room) return std::nullopt;
      lengths[k] = length;
    }
  }
  return lengths;
}

}  // namespace

bool coarsen(Model& model) {
  std::int64_t longest = 0, shortest = kNone;
  for (const Bar& bar : model.bars) longest = std::max(longest, bar.length);
  for (const Item& item : model.items) shortest = std::min(shortest, item.length);
  for (const std::int64_t width : kWidths) {
    const std::int64_t unit = longest / width;
    if (unit < kLeastGain || static_cast<std::int64_t>(model.items.size()) * width > kMostSteps) return false;
    if (shortest < 2 * unit) continue;
    const std::optional<std::vector<std::int64_t>> lengths = bars_in(model, unit);
    if (!lengths) continue;
    for (std::size_t k = 0; k < model.bars.size(); ++k) model.bars[k].length = (*lengths)[k];
    for (Item& item : model.items) item.length = rounded(item.length, unit);
    return true;
  }
  return false;
}

}  // namespace garthwright::cutting
