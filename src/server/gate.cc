// SPDX-License-Identifier: Apache-2.0
#include "server/gate.h"

#include <sys/socket.h>

#include <cerrno>

namespace garthwright::server {

// ---- Watch ----------------------------------------------------------------------------------------------------------

static void halt(Watched& one, Halt why) {
  Halt none = Halt::none;
  one.halt.compare_exchange_strong(none, why);
  one.cancel = true;
}

/// The other end has closed, or is gone. Bytes that wait to be read (a next request) say that it is still there.
static bool has_left(int socket) {
  char byte = 0;
  const ssize_t got = ::recv(socket, &byte, 1, MSG_PEEK | MSG_DONTWAIT);
  return got == 0 || (got < 0 && errno != EAGAIN && errno != EWOULDBLOCK && errno != EINTR);
}

Watch::Watch() : thread_([this] { look_after(); }) {}

Watch::~Watch() {
  {
    const std::lock_guard lock(mutex_);
    over_ = true;
  }
  wake_.notify_all();
  thread_.join();
}

void Watch::begin(Watched& one) {
  {
    const std::lock_guard lock(mutex_);
    if (stopping_) halt(one, Halt::stopping);
    all_.push_back(&one);
  }
  wake_.notify_all();
}

void Watch::end(Watched& one) {
  const std::lock_guard lock(mutex_);
  all_.remove(&one);
}

void Watch::stop_all() {
  const std::lock_guard lock(mutex_);
  stopping_ = true;
  for (Watched* one : all_) halt(*one, Halt::stopping);
}

void Watch::look_after() {
  std::unique_lock lock(mutex_);
  while (!over_) {
    if (all_.empty()) {
      wake_.wait(lock, [&] { return over_ || !all_.empty(); });
      continue;
    }
    wake_.wait_for(lock, kEvery, [&] { return over_; });
    const auto now = std::chrono::steady_clock::now();
    for (Watched* one : all_) {
      if (now > one->until) halt(*one, Halt::too_long);
      if (one->socket >= 0 && has_left(one->socket)) halt(*one, Halt::client_left);
    }
  }
}

// ---- Gate -----------------------------------------------------------------------------------------------------------

bool Gate::enter(const std::atomic<bool>& cancel) {
  std::unique_lock lock(mutex_);
  if (inside_ < at_once_ && waiting_.empty()) {
    ++inside_;
    return true;
  }
  if (static_cast<int>(waiting_.size()) >= most_waiting_) return false;
  const int ticket = next_ticket_++;
  waiting_.push_back(ticket);
  // The wait is cut into parts because whoever cancels knows nothing of this gate.
  while (!(inside_ < at_once_ && waiting_.front() == ticket) && !cancel)
    freed_.wait_for(lock, std::chrono::milliseconds(20));
  const bool let_in = !cancel;
  waiting_.remove(ticket);
  if (let_in) ++inside_;
  lock.unlock();
  freed_.notify_all();
  return let_in;
}

void Gate::leave() {
  {
    const std::lock_guard lock(mutex_);
    --inside_;
  }
  freed_.notify_all();
}

int Gate::busy() const {
  const std::lock_guard lock(mutex_);
  return inside_ + static_cast<int>(waiting_.size());
}

}  // namespace garthwright::server
