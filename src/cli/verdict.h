// SPDX-License-Identifier: Apache-2.0
//
// What a plan's checks come to: one answer for every command that gives a status.
#pragma once

#include <string>

#include "cli/command_line.h"
#include "plan/plan.h"

namespace garthwright::cli {

/// kCheckFails when a check fails, was not made in time, or the plan has an error against it, else kDone.
Status verdict(const Plan& plan);

/// What each part stands to, where that was asked for, a line each; then "of 42 checks 3 fail and 5 want attention;
/// worst: …", in two lines at most.
std::string stands(const Plan& plan);

}  // namespace garthwright::cli
