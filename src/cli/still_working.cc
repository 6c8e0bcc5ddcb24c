// SPDX-License-Identifier: Apache-2.0
#include "cli/still_working.h"

#include <unistd.h>

#include <chrono>
#include <cstdio>

#include "cli/command.h"

namespace garthwright::cli {

StillWorking::StillWorking(const char* what) {
  if (voice().quiet || !isatty(STDERR_FILENO)) return;
  thread_ = std::thread([this, what] {
    std::unique_lock lock(mutex_);
    int seconds = 0;
    while (!wake_.wait_for(lock, std::chrono::seconds(1), [this] { return over_; }))
      std::fprintf(stderr, "\r%s: %d s ", what, ++seconds);
    if (seconds > 0) std::fputs("\r\033[K", stderr);
  });
}

StillWorking::~StillWorking() {
  if (!thread_.joinable()) return;
  {
    const std::lock_guard lock(mutex_);
    over_ = true;
  }
  wake_.notify_all();
  thread_.join();
}

}  // namespace garthwright::cli
