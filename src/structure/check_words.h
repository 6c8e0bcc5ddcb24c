// SPDX-License-Identifier: Apache-2.0
//
// The words of a check, made from what it is: the only place that does so, for every face alike.
#pragma once

#include <string>

#include "structure/check.h"

namespace garthwright {

struct CheckWords {
  std::string id;     ///< "arbor/A1/bending"; unique in a plan
  std::string title;  ///< "bending with axial force of post A1"
  std::string when;   ///< "overgrown: wind leads (EN 1990 (6.10))", "frost"
};
/// `part`: the structure that the check is about.
CheckWords words_of(const Check& check, const Structure& part);

/// "overgrown, year 2", "a person leans on a post".
std::string words_of(const State& state, const Structure& part);
/// What a person does in it: "leans on a post", or doing it: "leaning on a post".
std::string does(const State& state, const Structure& part, bool doing = false);
std::string words_of(const Situation& when, const Structure& part);

}  // namespace garthwright
