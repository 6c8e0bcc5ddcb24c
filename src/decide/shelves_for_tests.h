// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "base/source_dir_for_tests.h"
#include "pattern/job.h"

namespace garthwright::decide {

inline pattern::Shelves shipped_shelves() {
  const std::string source = source_dir();
  return {{source + "/patterns"}, {source + "/catalogues"}};
}

}  // namespace garthwright::decide
