// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <map>
#include <string>
#include <vector>

#include "timber/yard.h"

namespace garthwright::decide {

/// A yard's fixings by what a text may call them, as is_wanted (structure/fixing_rule.h) has it: a part by its name; a
/// fixing by its name, or by its size for any length.
class SoldFixings {
 public:
  explicit SoldFixings(const timber::Yard& yard);
  /// In the yard's order; none where it sells none of that name.
  const std::vector<const timber::FixingItem*>& named(const std::string& text) const;
  const timber::Yard& yard() const { return yard_; }

 private:
  const timber::Yard& yard_;
  std::map<std::string, std::vector<const timber::FixingItem*>, std::less<>> by_name_;
};

}  // namespace garthwright::decide
