// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <algorithm>
#include <string>

namespace garthwright {

/// "grape vine" and "grape-vine" as "grape_vine": names of several words are known however people join them.
inline std::string underscored(std::string name) {
  std::replace_if(
      name.begin(), name.end(), [](char c) { return c == ' ' || c == '-'; }, '_');
  return name;
}

}  // namespace garthwright
