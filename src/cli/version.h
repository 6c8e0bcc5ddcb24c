// SPDX-License-Identifier: Apache-2.0
#pragma once

namespace garthwright::cli {

/// "1.2.0" of a tagged commit, "1.2.0+g0123abc" of any other, from git when the program was built.
const char* version();

}  // namespace garthwright::cli
