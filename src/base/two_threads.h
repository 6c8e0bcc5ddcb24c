// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <atomic>
#include <cstddef>
#include <future>
#include <thread>

#include "base/patience.h"

namespace garthwright {

/// Calls work(0) … work(count - 1) on two threads, where the machine has them; each takes the next that is left, and
/// both are as patient as the caller. The calls must not touch one another. What one of them throws ends the others
/// that have not begun, and is thrown here.
template <class Work>
void on_two_threads(std::size_t count, const Work& work) {
  std::atomic<std::size_t> next{0};
  const auto run = [&] {
    try {
      for (std::size_t i = next++; i < count; i = next++) work(i);
    } catch (...) {
      next = count;
      throw;
    }
  };
  if (count < 2 || std::thread::hardware_concurrency() < 2) return run();
  auto other = std::async(std::launch::async, [&, scopes = Waiting::innermost()] {
    const WaitingAs caller(scopes);
    run();
  });
  run();
  other.get();
}

}  // namespace garthwright
