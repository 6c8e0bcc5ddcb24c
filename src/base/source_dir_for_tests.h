// SPDX-License-Identifier: Apache-2.0
#pragma once

namespace garthwright {

/// Where the sources lie: tests read examples, catalogues and references from there. In an object of its own, so that
/// every other is the same wherever the sources are.
const char* source_dir();

}  // namespace garthwright
