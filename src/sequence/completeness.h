// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "sequence/stages.h"
#include "structure/structure.h"

namespace garthwright::sequence {

/// What is not done exactly once: pieces cut and sealed, bodies brought in, sub-assemblies put up, fixings driven,
/// holes dug and filled; and struts, rests and battens left behind. One line for each; none: complete.
std::vector<std::string> left_out(const Structure& structure, const std::vector<Stage>& stages);

}  // namespace garthwright::sequence
