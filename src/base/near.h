// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace garthwright {

/// The known names that a misspelt one most likely meant, nearest first (edit distance with transpositions, then order
/// given); names farther than half the word's length are left out.
std::vector<std::string> near_names(std::string_view wrong, std::span<const std::string> known, std::size_t most = 3);

/// "did you mean opening?" or "known are opening, panel, height": the cure for an unknown name.
std::string suggest(std::string_view wrong, std::span<const std::string> known);

}  // namespace garthwright
