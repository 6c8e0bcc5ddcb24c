// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "pattern/job.h"

namespace garthwright::cli {

/// Choices by their groups, each group once, in the order of their first choices.
std::vector<std::pair<std::string, std::vector<const pattern::ChoiceInfo*>>> in_groups(
    const std::vector<pattern::ChoiceInfo>& choices);

}  // namespace garthwright::cli
