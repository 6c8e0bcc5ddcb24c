// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <atomic>
#include <cstddef>
#include <future>

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

}  // namespace garthwright::decide
