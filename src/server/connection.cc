// SPDX-License-Identifier: Apache-2.0
#include "server/connection.h"

#include <arpa/inet.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>

namespace garthwright::server {

using std::chrono::milliseconds;
using std::chrono::steady_clock;

/// Whether the socket is ready within that time.
static bool ready(socket_t socket, short events, milliseconds within) {
  const auto until = steady_clock::now() + within;
  for (;;) {
    const auto left = std::chrono::duration_cast<milliseconds>(until - steady_clock::now()).count();
    pollfd one{socket, events, 0};
    const int got = ::poll(&one, 1, static_cast<int>(std::max<long>(0, left)));
    if (got > 0) return true;
    if (got == 0 || errno != EINTR) return false;
  }
}

Connection*& Connection::current() {
  static thread_local Connection* current = nullptr;
  return current;
}

Connection::~Connection() {
  if (written_ && hung_up_) {
    // Closing with unread bytes would reset the connection, and the answer could be lost on its way (RFC 9112, 9.6).
    constexpr std::size_t kMost = 1 << 20;
    ::shutdown(socket_, SHUT_WR);
    std::size_t read = 0;
    const auto until = steady_clock::now() + milliseconds(500);
    while (read < kMost && steady_clock::now() < until && ready(socket_, POLLIN, milliseconds(100))) {
      const ssize_t got = ::recv(socket_, buffer_.data(), buffer_.size(), 0);
      if (got <= 0) break;
      read += static_cast<std::size_t>(got);
    }
  }
  ::shutdown(socket_, SHUT_RDWR);
  ::close(socket_);
}

bool Connection::wait_for_request(const std::atomic<bool>& stopping, const std::atomic<int>& others_waiting) {
  const auto until = steady_clock::now() + limits_.idle_time;
  while (from_ == to_) {
    if (ready(socket_, POLLIN, milliseconds(50))) break;
    if (stopping || others_waiting > 0 || steady_clock::now() > until) return false;
  }
  taken_ = 0;
  over_limits_ = false;
  request_until_ = steady_clock::now() + limits_.request_time;
  return true;
}

bool Connection::fill() {
  if (from_ < to_) return true;
  const auto left = std::chrono::duration_cast<milliseconds>(request_until_ - steady_clock::now());
  if (left <= milliseconds(0) || !ready(socket_, POLLIN, left)) {
    over_limits_ = true;
    return false;
  }
  ssize_t got = 0;
  do got = ::recv(socket_, buffer_.data(), buffer_.size(), 0);
  while (got < 0 && errno == EINTR);
  if (got <= 0) return false;
  from_ = 0;
  to_ = static_cast<std::size_t>(got);
  return true;
}

ssize_t Connection::read(char* into, std::size_t size) {
  if (taken_ >= limits_.request_bytes) over_limits_ = true;
  if (over_limits_ || !fill()) {
    hung_up_ = true;  // where the request ends is no longer known
    return -1;
  }
  const std::size_t part = std::min({size, to_ - from_, limits_.request_bytes - taken_});
  std::memcpy(into, buffer_.data() + from_, part);
  from_ += part;
  taken_ += part;
  return static_cast<ssize_t>(part);
}

ssize_t Connection::write(const char* from, std::size_t size) {
  written_ = true;
  if (!ready(socket_, POLLOUT, limits_.write_time)) return -1;
  ssize_t sent = 0;
  do sent = ::send(socket_, from, size, MSG_NOSIGNAL);
  while (sent < 0 && errno == EINTR);
  return sent;
}

bool Connection::is_readable() const { return from_ < to_ || ready(socket_, POLLIN, milliseconds(0)); }
bool Connection::is_writable() const { return ready(socket_, POLLOUT, limits_.write_time); }

static void name_of(const sockaddr_storage& address, std::string& ip, int& port) {
  char text[INET6_ADDRSTRLEN] = "";
  if (address.ss_family == AF_INET) {
    const auto& four = reinterpret_cast<const sockaddr_in&>(address);
    ::inet_ntop(AF_INET, &four.sin_addr, text, sizeof text);
    port = ntohs(four.sin_port);
  } else if (address.ss_family == AF_INET6) {
    const auto& six = reinterpret_cast<const sockaddr_in6&>(address);
    ::inet_ntop(AF_INET6, &six.sin6_addr, text, sizeof text);
    port = ntohs(six.sin6_port);
  }
  ip = text;
}

void Connection::get_remote_ip_and_port(std::string& ip, int& port) const {
  sockaddr_storage address{};
  socklen_t size = sizeof address;
  if (::getpeername(socket_, reinterpret_cast<sockaddr*>(&address), &size) == 0) name_of(address, ip, port);
}

void Connection::get_local_ip_and_port(std::string& ip, int& port) const {
  sockaddr_storage address{};
  socklen_t size = sizeof address;
  if (::getsockname(socket_, reinterpret_cast<sockaddr*>(&address), &size) == 0) name_of(address, ip, port);
}

}  // namespace garthwright::server
