// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <set>
#include <utility>
#include <vector>

#include "base/two_threads.h"
#include "decide/in_time.h"
#include "decide/trial.h"

namespace garthwright::decide {

/// Looks at many on two threads, so that what is found does not hang on which was first. `prepare(i)` gives what the
/// forces of each come from (FrameKey); `look(i, kept)` then knows what was kept before, and what it finds is kept in
/// the order of the numbers. Those with forces that another before them has wait for it, and know it.
template <class Prepare, class Look>
void in_waves(std::size_t count, Kept& kept, const Prepare& prepare, const Look& look) {
  std::vector<std::vector<FrameKey>> keys(count);
  on_two_threads(count, [&](std::size_t i) { keys[i] = prepare(i); });
  std::vector<std::size_t> first, others;
  std::set<FrameKey> seen;
  for (std::size_t i = 0; i < count; ++i) {
    bool fresh = true;
    for (const FrameKey& key : keys[i]) fresh &= seen.insert(key).second;
    (fresh ? first : others).push_back(i);
  }
  for (const std::vector<std::size_t>& wave : {first, others}) {
    std::vector<Kept> own(wave.size(), kept.beside());
    on_two_threads(wave.size(), [&](std::size_t k) { look(wave[k], own[k]); });
    for (Kept& one : own) kept.take_over(std::move(one));
  }
}

}  // namespace garthwright::decide
