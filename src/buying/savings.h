// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "base/length.h"
#include "buying/buying.h"

namespace garthwright::buying {

/// What is bought less and more, a thing each, in words: "two 4x4 of 4800 mm fewer", "one more postmix 20 kg".
std::vector<std::string> saved_lines(const Report& now, const Report& then, LengthStyle style);

/// How the pieces differ, in words, by what they are called: "post 90 mm shorter", "one rafter fewer".
std::vector<std::string> changed_pieces(const Garden& now, const Garden& then, LengthStyle style);

}  // namespace garthwright::buying
