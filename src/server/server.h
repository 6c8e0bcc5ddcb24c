// SPDX-License-Identifier: Apache-2.0
//
// The server behind the page: HTTP/1.1 around Answers (docs/openapi.json). It keeps nothing that a later answer depends
// on, so that any number of instances may stand behind one address.
#pragma once

#include <cstddef>
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "pattern/job.h"
#include "server/answers.h"
#include "server/job_files.h"

namespace garthwright::server {

struct ServerOptions {
  std::string host = "127.0.0.1";  ///< address to listen on
  int port = 8080;                 ///< 0: any that is free
  std::string token;               ///< asked for from every caller; needed beyond loopback
  std::vector<std::string> known_as;
  std::string version;   ///< of the program, for /healthz
  std::string manual{};  ///< folder of the manual's site; it need not be there

  int computing = 0;      ///< computations at a time; 0: as many as there are cores
  int waiting = 32;       ///< computations that may wait for their turn; more are told to come back (503)
  int connections = 256;  ///< held at a time
  double seconds = 30;    ///< for one computation
  std::size_t most_body_bytes = std::size_t{256} << 10;
  std::size_t cache_bytes = std::size_t{32} << 20;
  std::function<void()> tidy{};  ///< called after a long computation, when its answer is on its way
};

class Server {
 public:
  /// Listens, but answers nothing before run(). `jobs` must outlive the server. Fails with "no-token" beyond loopback
  /// without a token, and with "no-port" when the address cannot be had.
  static Result<std::unique_ptr<Server>> open(ServerOptions options, Answers answers, JobFiles& jobs);
  ~Server();

  int port() const;
  /// "http://127.0.0.1:8080/".
  std::string address() const;

  /// Answers until it was told to stop, and what it was computing then is done.
  void run();
  /// Something is still being computed. After run() that is what was told to stop and has not noticed: its client has
  /// been answered, and the server's end would wait for it.
  bool is_busy() const;
  /// From now on nothing new is begun (503); run() returns when what is being computed, or waits for its turn, is
  /// answered. From any thread.
  void drain();
  /// As drain, and cancels what is being computed.
  void stop();

 private:
  struct Room;
  explicit Server(std::unique_ptr<Room> room);
  std::unique_ptr<Room> room_;
};

}  // namespace garthwright::server
