// SPDX-License-Identifier: Apache-2.0
#pragma once

namespace garthwright::cli {

/// "1.2.0" of a tagged commit, "1.2.0+g0123abc" of any other, from git when the program was built.
const char* version();
/// Of that commit, "2026-11-29".
const char* day();

}  // namespace garthwright::cli
