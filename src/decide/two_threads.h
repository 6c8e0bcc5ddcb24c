// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <atomic>
#include <cstddef>
#include <future>

#include "base/patience.h"

namespace garthwright::decide {

/// Calls work(0) … work(count - 1) on two threads; each takes the next that is left. The calls must not touch one
/// another.
template <class Work>
void on_two_threads(std::size_t count, const Work& work) {
  std::atomic<std::size_t> next{0};
  const auto run = [&] {
    for (std::size_t i = next++; i < count; i = next++) work(i);
  };
  if (count < 2) return run();
  auto other = std::async(std::launch::async, run);
  run();
  other.get();
}

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
