// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "structure/garden.h"

namespace garthwright {

/// What a plan may be handed out without.
enum class Study { checks, stands, order };
const char* name(Study study);  ///< "checks", "stands" …, as faces write it

inline constexpr const char* kNotInTime = "not-in-time";  ///< code of the diagnostic that says so

/// "135 pieces in 3,744 joints": how much there is to be worked out.
std::string amount(const Garden& garden);

/// Does the work, unless the patience of whoever waits (base/patience.h) ends before it is done: then nothing of it is
/// kept, false is returned and `left_out` and `found` say so. Goes on throwing when nobody waits any more.
/// `share`: of the time that is left, 0 to 1.
bool in_time(Study study, const Garden& garden, double share, const std::function<void()>& work,
             std::vector<Study>& left_out, Diagnostics& found);

}  // namespace garthwright
