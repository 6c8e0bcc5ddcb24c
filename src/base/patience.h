// SPDX-License-Identifier: Apache-2.0
//
// How long somebody waits for what is being worked out on this thread. Whoever waits opens a scope; work that may take
// long calls look_at_the_clock() in its loops, often enough that nothing goes on for more than some tenths of a second
// without it. The answer is left by an exception, the only one that crosses rooms: half a study must never be taken for
// a whole one, and is no value that anybody could hold. It is caught by whoever opened a scope, nowhere else.
//
// Honoured in: frame (each column factorised), solid (each body met), assembly and sequence (each body, fixing and
// choice of sub-assemblies), buying and cutting by their own options. Other threads than the scope's look where
// base/two_threads.h lets them.
#pragma once

#include <atomic>
#include <chrono>
#include <exception>
#include <optional>

namespace garthwright {

class OutOfPatience : public std::exception {
 public:
  explicit OutOfPatience(bool cancelled) : cancelled_(cancelled) {}
  /// Nobody waits any more; otherwise the time is up.
  bool cancelled() const { return cancelled_; }
  const char* what() const noexcept override { return cancelled_ ? "told to stop" : "out of time"; }

 private:
  bool cancelled_;
};

struct Patience {
  const std::atomic<bool>* cancel = nullptr;                   ///< set from outside: nobody waits any more
  std::optional<std::chrono::steady_clock::time_point> until;  ///< no end when not given

  static std::chrono::steady_clock::time_point in(double seconds) {
    return std::chrono::steady_clock::now() +
           std::chrono::duration_cast<std::chrono::steady_clock::duration>(std::chrono::duration<double>(seconds));
  }
};

/// A scope of this thread. Within another, both are looked at.
class Waiting {
 public:
  explicit Waiting(const Patience& patience);
  ~Waiting();
  Waiting(const Waiting&) = delete;
  Waiting& operator=(const Waiting&) = delete;

  /// Of this thread's scopes; none where nobody waits.
  static const Waiting* innermost();

 private:
  friend void look_at_the_clock();
  friend std::optional<double> seconds_left();
  Patience patience_;
  const Waiting* around_;
};

/// In the scopes of another thread, which stays in them meanwhile.
class WaitingAs {
 public:
  explicit WaitingAs(const Waiting* innermost);
  ~WaitingAs();
  WaitingAs(const WaitingAs&) = delete;
  WaitingAs& operator=(const WaitingAs&) = delete;

 private:
  const Waiting* before_;
};

/// Throws OutOfPatience when a scope's time is up or its `cancel` was set. Some tens of nanoseconds.
void look_at_the_clock();

/// Until the first of the scopes' ends, not below 0; none when there is no end.
std::optional<double> seconds_left();

}  // namespace garthwright
