// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <algorithm>
#include <atomic>
#include <chrono>
#include <cstdint>

namespace garthwright::cutting {

/// Counts what the search spends and says when to stop. Steps count themselves with `spend`; only the emergency stop
/// reads a clock, and not often.
class Work {
 public:
  Work(std::int64_t limit, double seconds_limit, const std::atomic<bool>* cancel)
      : limit_(limit), seconds_limit_(seconds_limit), cancel_(cancel), start_(std::chrono::steady_clock::now()) {}

  /// Work that ends after `limit` more, with this, or once `settled` is set by another thread. What it spends must be
  /// added here.
  Work part(std::int64_t limit, const std::atomic<bool>* settled = nullptr) const {
    Work part = *this;
    part.limit_ = std::min(limit, left());
    part.spent_ = part.clock_read_at_ = 0;
    if (settled != nullptr) part.settled_ = settled;
    return part;
  }

  void spend(std::int64_t amount) { spent_ += amount; }
  std::int64_t spent() const { return spent_; }
  std::int64_t left() const { return limit_ - spent_; }

  bool over() {
    if (stopped_) return true;
    if (spent_ >= limit_) stopped_ = by_limit_ = true;
    if (settled_ != nullptr && settled_->load(std::memory_order_relaxed)) stopped_ = true;
    if (cancel_ != nullptr && cancel_->load(std::memory_order_relaxed)) stopped_ = by_cancel_ = true;
    if (seconds_limit_ > 0 && spent_ - clock_read_at_ > kClockEvery) {
      clock_read_at_ = spent_;
      if (seconds() > seconds_limit_) stopped_ = by_clock_ = true;
    }
    return stopped_;
  }

  bool by_clock() const { return by_clock_; }
  bool by_cancel() const { return by_cancel_; }
  double seconds() const { return std::chrono::duration<double>(std::chrono::steady_clock::now() - start_).count(); }

 private:
  static constexpr std::int64_t kClockEvery = 200'000;
  std::int64_t limit_, spent_ = 0, clock_read_at_ = 0;
  double seconds_limit_;
  const std::atomic<bool>* cancel_;
  const std::atomic<bool>* settled_ = nullptr;
  bool stopped_ = false, by_limit_ = false, by_clock_ = false, by_cancel_ = false;
  std::chrono::steady_clock::time_point start_;
};

}  // namespace garthwright::cutting
