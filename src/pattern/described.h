// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "pattern/job.h"

namespace garthwright::pattern {

/// As list_patterns, of these patterns alone: a pattern is run to be described, and none is run that nobody named.
std::vector<PatternInfo> describe_patterns(const std::vector<std::string>& names, const Shelves& shelves,
                                           const timber::Yard* yard, LengthStyle style, Diagnostics& problems);

/// The names of the patterns that a job builds from, each once.
std::vector<std::string> patterns_of(const Job& job);

}  // namespace garthwright::pattern
