// SPDX-License-Identifier: Apache-2.0
#include "plan/left_out.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/patience.h"

namespace garthwright {
namespace {

const char* in_words(Study study) {
  switch (study) {
    case Study::checks:
      return "the checks of strength and ground were";
    case Study::stands:
      return "the wind that each part stands to was";
    case Study::order:
      return "the order of work was";
  }
  return "";
}

}  // namespace

const char* name(Study study) {
  switch (study) {
    case Study::checks:
      return "checks";
    case Study::stands:
      return "stands";
    case Study::order:
      return "order";
  }
  return "";
}

std::string amount(const Garden& garden) {
  std::size_t pieces = 0, joints = 0;
  for (const Structure& s : garden.structures) pieces += s.pieces.size(), joints += s.joints.size();
  return fmt::format("{} pieces in {} joints", pieces, joints);
}

bool in_time(Study study, const Garden& garden, double share, const std::function<void()>& work,
             std::vector<Study>& left_out, Diagnostics& found) {
  try {
    Patience part;
    if (const auto left = seconds_left()) part.until = Patience::in(*left * share);
    const Waiting waiting(part);
    look_at_the_clock();
    work();
    return true;
  } catch (const OutOfPatience& out) {
    if (out.cancelled()) throw;
  }
  left_out.push_back(study);
  found.push_back(
      {Severity::warning,
       kNotInTime,
       fmt::format("{} not worked out in the time there was: {} were too much", in_words(study), amount(garden)),
       "allow more time, part the job into several, or choose fewer pieces",
       {}});
  return false;
}

}  // namespace garthwright
