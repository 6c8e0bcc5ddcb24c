// SPDX-License-Identifier: Apache-2.0
//
// How much is computed at a time, and when it ends early.
#pragma once

#include <atomic>
#include <chrono>
#include <condition_variable>
#include <list>
#include <mutex>
#include <thread>

namespace garthwright::server {

/// Why a computation was told to stop.
enum class Halt { none, client_left, too_long, stopping };

/// One computation that is being watched. `cancel` becomes true when its client has left, its time is up or the server
/// must stop at once; `halt` tells which.
struct Watched {
  int socket = -1;  ///< of the client; -1: nobody waits
  std::chrono::steady_clock::time_point until;
  std::atomic<bool> cancel{false};
  std::atomic<Halt> halt{Halt::none};
};

/// Looks after computations from one thread of its own, which sleeps while there are none.
class Watch {
 public:
  Watch();
  ~Watch();

  void begin(Watched& one);
  void end(Watched& one);
  /// Cancels all, now and from now on.
  void stop_all();

 private:
  void look_after();

  static constexpr std::chrono::milliseconds kEvery{20};
  std::mutex mutex_;
  std::condition_variable wake_;
  std::list<Watched*> all_;
  bool stopping_ = false, over_ = false;
  std::thread thread_;
};

/// Lets so many in at a time; others wait in a queue of bounded length, in the order they came.
class Gate {
 public:
  Gate(int at_once, int most_waiting) : at_once_(at_once), most_waiting_(most_waiting) {}

  /// True when let in (then leave() must follow); false when the queue is full, or `cancel` became true while waiting.
  bool enter(const std::atomic<bool>& cancel);
  void leave();
  /// Inside or waiting.
  int busy() const;

 private:
  const int at_once_, most_waiting_;
  mutable std::mutex mutex_;
  std::condition_variable freed_;
  std::list<int> waiting_;
  int inside_ = 0, next_ticket_ = 0;
};

}  // namespace garthwright::server
