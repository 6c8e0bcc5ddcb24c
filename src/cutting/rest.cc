// SPDX-License-Identifier: Apache-2.0
#include "cutting/rest.h"

namespace garthwright::cutting {

Plan Rest::in_whole(Plan plan) const {
  for (Use& use : plan.uses) {
    use.pattern.bar = bar[use.pattern.bar];
    for (ItemCount& part : use.pattern.items) part.item = item[part.item];
  }
  return plan;
}

Rest rest_of(const Model& whole, const Remainder& left) {
  Rest rest;
  rest.model.cost_unit = whole.cost_unit;
  std::vector<int> row(whole.rows(), -1);
  for (int i = 0; i < whole.rows(); ++i) {
    if (left.demand[i] <= 0) continue;
    row[i] = rest.model.rows();
    rest.model.demand.push_back(left.demand[i]);
  }
  rest.model.families.resize(whole.families.size());
  for (int j = 0; j < static_cast<int>(whole.items.size()); ++j) {
    Item item = whole.items[j];
    if (row[item.row] < 0) continue;
    item.row = row[item.row];
    rest.model.items.push_back(item);
    rest.item.push_back(j);
    for (std::size_t f = 0; f < whole.families.size(); ++f)
      rest.model.families[f].takes.push_back(whole.families[f].takes[j]);
  }
  for (int k = 0; k < whole.kinds(); ++k) {
    if (left.limit[k] <= 0) continue;
    Bar bar = whole.bars[k];
    bar.limit = left.limit[k];
    bar.limited = bar.limited || whole.kinds() > 1;  // of one kind alone, cost is limit enough
    rest.model.bars.push_back(bar);
    rest.bar.push_back(k);
  }
  return rest;
}

}  // namespace garthwright::cutting
