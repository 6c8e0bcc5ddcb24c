// SPDX-License-Identifier: Apache-2.0
#include "cutting/full_patterns.h"

#include <algorithm>

#include "cutting/scatter.h"

namespace garthwright::cutting {
namespace {

constexpr double kMore = 0.1;  // of an item's length

}  // namespace

std::vector<Pattern> full_patterns(const Model& model, std::int64_t waste, int rounds, Pricer& pricer, Work& work) {
  std::vector<Pattern> full;
  std::vector<double> value(model.rows());
  const std::vector<std::int64_t> limit(model.kinds(), 1), threshold(model.kinds(), 0);
  for (int round = 0; round < rounds && !work.over(); ++round) {
    for (std::size_t j = 0; j < model.items.size(); ++j) {
      const Item& item = model.items[j];
      value[item.row] = static_cast<double>(item.length) * (1 + kMore * scattered(round, static_cast<int>(j)));
    }
    std::vector<std::int64_t> price;
    whole_prices(model, value, price);
    Pricer::Offer offer = pricer.offer(std::move(price), model.demand, limit, threshold, true, work);
    for (Pattern& pattern : offer.patterns)
      if (model.bars[pattern.bar].length - filled(model, pattern) <= waste) full.push_back(std::move(pattern));
  }
  return full;
}

}  // namespace garthwright::cutting
