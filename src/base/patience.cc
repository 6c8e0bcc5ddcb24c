// SPDX-License-Identifier: Apache-2.0
#include "base/patience.h"

#include <algorithm>

namespace garthwright {
namespace {

thread_local const Waiting* of_this_thread = nullptr;

}  // namespace

Waiting::Waiting(const Patience& patience) : patience_(patience), around_(of_this_thread) { of_this_thread = this; }
Waiting::~Waiting() { of_this_thread = around_; }
const Waiting* Waiting::innermost() { return of_this_thread; }

WaitingAs::WaitingAs(const Waiting* innermost) : before_(of_this_thread) { of_this_thread = innermost; }
WaitingAs::~WaitingAs() { of_this_thread = before_; }

void look_at_the_clock() {
  for (const Waiting* w = of_this_thread; w != nullptr; w = w->around_) {
    const Patience& p = w->patience_;
    if (p.cancel != nullptr && p.cancel->load(std::memory_order_relaxed)) throw OutOfPatience(true);
    if (p.until && std::chrono::steady_clock::now() > *p.until) throw OutOfPatience(false);
  }
}

std::optional<double> seconds_left() {
  std::optional<double> least;
  for (const Waiting* w = of_this_thread; w != nullptr; w = w->around_) {
    if (!w->patience_.until) continue;
    const std::chrono::duration<double> left = *w->patience_.until - std::chrono::steady_clock::now();
    least = std::min(least.value_or(left.count()), left.count());
  }
  return least ? std::optional(std::max(*least, 0.0)) : std::nullopt;
}

}  // namespace garthwright
