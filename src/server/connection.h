// SPDX-License-Identifier: Apache-2.0
//
// One client's connection, as the HTTP library reads and writes it. The library sets no bound to headers, to chunked
// bodies or to the time a request may take to arrive; this does, on the bytes themselves.
#pragma once

#include <httplib.h>

#include <array>
#include <atomic>
#include <chrono>

namespace garthwright::server {

struct ConnectionLimits {
  std::size_t request_bytes = 0;                   ///< of one request, head and body
  std::chrono::milliseconds request_time{10'000};  ///< from its first byte to its last
  std::chrono::milliseconds idle_time{5'000};      ///< between two requests
  std::chrono::milliseconds write_time{10'000};    ///< without progress
};

class Connection final : public httplib::Stream {
 public:
  Connection(socket_t socket, ConnectionLimits limits) : socket_(socket), limits_(limits) {}
  /// Closes; what the client still sends is read for a moment first, so that it gets to see the last answer.
  ~Connection() override;
  Connection(const Connection&) = delete;
  Connection& operator=(const Connection&) = delete;

  /// Waits for the first byte of a next request; false when none came in time, or `hurry` became true meanwhile.
  bool wait_for_request(const std::atomic<bool>& stopping, const std::atomic<int>& others_waiting);

  /// The connection that this thread serves.
  static Connection*& current();

  /// Close after the answer that is being made.
  void hang_up() { hung_up_ = true; }
  bool hung_up() const { return hung_up_; }
  bool over_its_limits() const { return over_limits_; }

  bool is_readable() const override;
  bool is_writable() const override;
  ssize_t read(char* into, std::size_t size) override;
  ssize_t write(const char* from, std::size_t size) override;
  void get_remote_ip_and_port(std::string& ip, int& port) const override;
  void get_local_ip_and_port(std::string& ip, int& port) const override;
  socket_t socket() const override { return socket_; }

 private:
  bool fill();

  const socket_t socket_;
  const ConnectionLimits limits_;
  std::array<char, 16384> buffer_;
  std::size_t from_ = 0, to_ = 0;  // of the buffer, what has come and was not yet read
  std::size_t taken_ = 0;          // bytes of this request
  std::chrono::steady_clock::time_point request_until_;
  bool hung_up_ = false, over_limits_ = false, written_ = false;
};

}  // namespace garthwright::server
