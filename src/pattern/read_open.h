// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "base/table_reader.h"
#include "pattern/job.h"

namespace garthwright::pattern {

/// The choices that a structure leaves open: the table [structure.open], or `open = "all but opening, height"`. What is
/// wrong with them is added to the reader's problems; whether the pattern has such choices is for `build` to say.
OpenChoices read_open(TableReader& structure);

}  // namespace garthwright::pattern
