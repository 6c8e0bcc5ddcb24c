// SPDX-License-Identifier: Apache-2.0
#include "cli/choice_groups.h"

#include <algorithm>

namespace garthwright::cli {

std::vector<std::pair<std::string, std::vector<const pattern::ChoiceInfo*>>> in_groups(
    const std::vector<pattern::ChoiceInfo>& choices) {
  std::vector<std::pair<std::string, std::vector<const pattern::ChoiceInfo*>>> groups;
  for (const pattern::ChoiceInfo& choice : choices) {
    auto group = std::find_if(groups.begin(), groups.end(), [&](const auto& g) { return g.first == choice.group; });
    if (group == groups.end()) group = groups.insert(group, {choice.group, {}});
    group->second.push_back(&choice);
  }
  return groups;
}

}  // namespace garthwright::cli
