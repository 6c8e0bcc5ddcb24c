// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "buying/thrift.h"
#include "pattern/job.h"

namespace garthwright {

/// What one choice of one structure could save. `unit` is "length" or "count".
struct ChoiceThrift {
  std::string structure, choice, unit, help;
  buying::Thrift found;
};

/// The whole cost of the job over the range of each choice named, or of every length and count that has a value. Where
/// several structures have a choice of that name each is asked by itself; "structure.choice" names one. Values go by
/// whole millimetres from now's, in jobs of feet and inches by their finest part. Proposed as cheaper are only values
/// at which no check fails that holds now, and none that fails now does so worse. Fails on a choice there is not, and
/// when the job cannot be built or bought as it stands.
Result<std::vector<ChoiceThrift>> thrift(const pattern::Job& job, const pattern::Shelves& shelves,
                                         const std::vector<std::string>& choices = {},
                                         const cutting::Options& cutting = {});

}  // namespace garthwright
