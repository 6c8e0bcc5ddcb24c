// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "base/patience.h"

namespace garthwright::decide {

/// Does the work unless the time is up before it is done; whether it is done: what ends by its own limits when the time
/// is up (a purchase) is not. Each thread asks by itself.
template <class Work>
bool in_time(const Patience& patience, const Work& work) {
  try {
    const Waiting waiting(patience);
    look_at_the_clock();
    work();
    look_at_the_clock();
    return true;
  } catch (const OutOfPatience&) {
    return false;
  }
}

}  // namespace garthwright::decide
