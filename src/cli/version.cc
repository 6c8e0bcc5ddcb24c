// SPDX-License-Identifier: Apache-2.0
#include "cli/version.h"

namespace garthwright::cli {

const char* version() { return GARTHWRIGHT_VERSION; }
const char* day() { return GARTHWRIGHT_DAY; }

}  // namespace garthwright::cli
