// SPDX-License-Identifier: Apache-2.0
#include "decide/sold_fixings.h"

#include "structure/fixing_rule.h"

namespace garthwright::decide {

SoldFixings::SoldFixings(const timber::Yard& yard) : yard_(yard) {
  for (const timber::FixingItem& item : yard.fixings) {
    by_name_[item.name].push_back(&item);
    if (const auto size = size_name(item.name); !is_connector(item.kind) && size != item.name)
      by_name_[std::string(size)].push_back(&item);
  }
}

const std::vector<const timber::FixingItem*>& SoldFixings::named(const std::string& text) const {
  static const std::vector<const timber::FixingItem*> none;
  const auto at = by_name_.find(text);
  return at == by_name_.end() ? none : at->second;
}

}  // namespace garthwright::decide
