// SPDX-License-Identifier: Apache-2.0
//
// What a job says of the garden that its structures come into: the lie of the ground, and what is there already.
#pragma once

#include <vector>

#include "base/table_reader.h"
#include "structure/existing.h"
#include "structure/ground_levels.h"

namespace garthwright::pattern {

/// [ground]: exactly one of points, line, staff, slope (docs/job-file.md); none is level ground.
Ground read_ground(TableReader& job);
/// [[existing]].
std::vector<Existing> read_existing(TableReader& job);

}  // namespace garthwright::pattern
