// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "cutting/cutting.h"

namespace garthwright::cutting {

std::vector<std::string> faults(const Problem& problem, const Result& result) {
  std::vector<std::string> found;
  std::vector<__int128> got(problem.pieces.size(), 0);
  std::vector<std::int64_t> bought(problem.stock.size(), 0);
  __int128 cost = 0;
  const auto may_come_from = [](const std::vector<int>& only_from, int stock) {
    return only_from.empty() || std::find(only_from.begin(), only_from.end(), stock) != only_from.end();
  };
  for (std::size_t l = 0; l < result.layouts.size(); ++l) {
    const Layout& layout = result.layouts[l];
    const std::string name = "layout " + std::to_string(l + 1);
    const Stock& stock = problem.stock[layout.stock];
    if (layout.count < 1) found.push_back(name + " is used " + std::to_string(layout.count) + " times");
    bought[layout.stock] += layout.count;
    cost += static_cast<__int128>(stock.cost) * layout.count;
    std::int64_t length = 0, cuts = 0;
    for (const Cut& cut : layout.cuts) {
      const Piece& piece = problem.pieces[cut.piece];
      const Way way = cut.way == 0 ? Way{piece.length, 1, piece.only_from} : piece.alternatives[cut.way - 1];
      if (!may_come_from(way.only_from, layout.stock))
        found.push_back(name + " cuts piece " + std::to_string(cut.piece + 1) + " from a stock it may not come from");
      length += way.length * cut.count;
      cuts += cut.count;
      got[cut.piece] += static_cast<__int128>(way.yield) * cut.count * layout.count;
    }
    if (cuts == 0) found.push_back(name + " is empty");
    const std::int64_t room = stock.length - (stock.off_cut ? 0 : problem.trim);
    const std::int64_t needed = length + (cuts - 1) * problem.kerf;
    if (needed > room) found.push_back(name + " needs " + std::to_string(needed) + " of " + std::to_string(room));
    if (layout.rest != std::max<std::int64_t>(room - needed - problem.kerf, 0))
      found.push_back(name + " says that " + std::to_string(layout.rest) + " is left");
  }
  for (std::size_t i = 0; i < problem.pieces.size(); ++i)
    if (got[i] < problem.pieces[i].quantity) found.push_back("piece " + std::to_string(i + 1) + " is missing");
  for (std::size_t k = 0; k < problem.stock.size(); ++k)
    if (problem.stock[k].limit && bought[k] > *problem.stock[k].limit)
      found.push_back("stock " + std::to_string(k + 1) + " is used " + std::to_string(bought[k]) + " times");
  if (cost != result.cost) found.push_back("the cost does not add up");
  if (result.lower_bound > result.cost) found.push_back("the lower bound is above the cost");
  if (result.optimal != (result.lower_bound == result.cost)) found.push_back("optimal does not match the bound");
  return found;
}

}  // namespace garthwright::cutting
