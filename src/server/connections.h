// SPDX-License-Identifier: Apache-2.0
//
// The connections of a listening server. One thread reads and writes all of them, so that who sends or takes slowly
// costs a socket and no more; requests that have come whole are answered by a crew of other threads. Whatever is
// refused before its body is whole is the last on its connection.
#pragma once

#include <chrono>
#include <cstddef>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "base/diagnostic.h"
#include "server/message.h"
#include "server/request_reader.h"

namespace garthwright::server {

struct ConnectionLimits {
  RequestLimits request;
  /// Held at a time. One more takes the place of the one that has waited longest for its client, not of one whose
  /// request is being answered; where all are, it is told to come back.
  std::size_t connections = 256;
  int crew = 8;                                  ///< threads that answer
  int requests = 10'000;                         ///< on one connection
  std::chrono::milliseconds head_time{10'000};   ///< from a request's first byte to the end of its head
  std::chrono::milliseconds body_time{20'000};   ///< from there to the end of its body
  std::chrono::milliseconds idle_time{30'000};   ///< between two requests
  std::chrono::milliseconds write_time{10'000};  ///< without progress
  std::chrono::milliseconds linger_time{500};    ///< after a last answer, so that the client gets to see it
};

/// Who waits for an answer.
struct Client {
  int socket = -1;  ///< to see whether it is still there
  /// Sends what is ready while the rest is being made: the first of these gives the answer its head, the last is what
  /// is returned in the end, whatever its status. From any thread; who cannot take an answer in parts (HTTP/1.0) gets
  /// the end alone.
  std::function<void(Response)> send_ahead{};
};

/// What is answered. All three may be called at the same time, from different threads.
struct Answering {
  /// Once the head has come, on the thread that serves all connections: the answer, where the body need not be read.
  std::function<std::optional<Response>(const Request&)> before_the_body;
  /// To a whole request, on one of the crew.
  std::function<Response(Request&, const Client&)> answer;
  /// To bytes that are no request, or too many of them.
  std::function<Response(int status, const Diagnostic&)> refuse;
};

class Connections {
 public:
  /// `every` is sent with each answer, but for what the answer sets itself.
  Connections(ConnectionLimits limits, Answering answering, std::vector<std::pair<std::string, std::string>> every);
  ~Connections();

  /// Listens; the port. Fails with "no-port".
  Result<int> open(const std::string& host, int port);
  /// Serves until stop(), and what was being answered then is sent.
  void run();
  /// From any thread.
  void stop();

 private:
  class Session;
  struct Room;
  std::unique_ptr<Room> room_;
};

}  // namespace garthwright::server
