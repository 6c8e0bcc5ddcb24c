// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <condition_variable>
#include <mutex>
#include <thread>

namespace garthwright::cli {

/// While it lives, a person at a terminal is told after a second, and then each second, that work goes on and for how
/// long. Nobody else is: the line goes to standard error, only where that is a terminal, and is wiped at the end.
class StillWorking {
 public:
  explicit StillWorking(const char* what);
  ~StillWorking();
  StillWorking(const StillWorking&) = delete;
  StillWorking& operator=(const StillWorking&) = delete;

 private:
  std::mutex mutex_;
  std::condition_variable wake_;
  bool over_ = false;
  std::thread thread_;
};

}  // namespace garthwright::cli
