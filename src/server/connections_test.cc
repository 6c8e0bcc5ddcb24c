// SPDX-License-Identifier: Apache-2.0
//
// Connections alone, under answers that cost nothing: so that the thread sanitizer sees them soon.
#include "server/connections.h"

#include <arpa/inet.h>
#include <gtest/gtest.h>
#include <sys/socket.h>
#include <unistd.h>

#include <atomic>
#include <thread>

namespace garthwright::server {
namespace {

using std::chrono::milliseconds;

/// A client's end of a connection, closed with it.
class Link {
 public:
  explicit Link(int port) : socket_(::socket(AF_INET, SOCK_STREAM, 0)) {
    sockaddr_in at{};
    at.sin_family = AF_INET;
    at.sin_port = htons(static_cast<std::uint16_t>(port));
    at.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    if (::connect(socket_, reinterpret_cast<const sockaddr*>(&at), sizeof at) != 0) throw std::runtime_error("connect");
    const timeval patience{10, 0};
    ::setsockopt(socket_, SOL_SOCKET, SO_RCVTIMEO, &patience, sizeof patience);
  }
  ~Link() { ::close(socket_); }
  Link(const Link&) = delete;
  Link& operator=(const Link&) = delete;

  void send(const std::string& bytes) { (void)!::send(socket_, bytes.data(), bytes.size(), MSG_NOSIGNAL); }
  /// What comes until `end` has come, or the other side closes.
  std::string receive(const std::string& end = {}) {
    std::string all;
    char part[4096];
    for (ssize_t got = 0;
         (end.empty() || all.find(end) == std::string::npos) && (got = ::recv(socket_, part, sizeof part, 0)) > 0;)
      all.append(part, static_cast<std::size_t>(got));
    return all;
  }

 private:
  const int socket_;
};

class ConnectionsTest : public testing::Test {
 protected:
  void start(ConnectionLimits limits) {
    limits.crew = 4;
    connections_ = std::make_unique<Connections>(
        limits,
        Answering{[](const Request& asked) -> std::optional<Response> {
                    if (asked.path == "/refused") return told(403, "refused\n");
                    return std::nullopt;
                  },
                  [this](Request& asked, const Client& client) {
                    ++answered_;
                    if (asked.path.starts_with("/parts")) return in_parts(asked.path, client);
                    if (asked.path == "/throw") throw std::runtime_error("as asked");
                    if (asked.path == "/slow") std::this_thread::sleep_for(milliseconds(400));
                    return told(200, "[" + asked.path + " " + asked.body + "]\n");
                  },
                  [](int status, const Diagnostic& why) { return told(status, why.what + "\n"); }},
        std::vector<std::pair<std::string, std::string>>{{"X-House", "yes"}});
    const Result<int> port = connections_->open("127.0.0.1", 0);
    ASSERT_TRUE(port);
    port_ = *port;
    running_ = std::thread([this] { connections_->run(); });
  }
  void TearDown() override {
    if (!running_.joinable()) return;
    connections_->stop();
    running_.join();
  }
  /// Three lines with time between them; what comes after the answer is another's and must not be sent.
  Response in_parts(const std::string& path, const Client& client) {
    client.send_ahead(told(200, "one\n"));
    std::this_thread::sleep_for(milliseconds(60));
    client.send_ahead(told(200, "two\n"));
    if (path == "/parts/throw") throw std::runtime_error("half way");
    if (path == "/parts/kept") {
      late_ = client;
      is_kept_ = true;
    }
    return told(503, "three\n");
  }
  static Response told(int status, const std::string& words) {
    Response out;
    out.status = status;
    out.set_body(words, "text/plain");
    return out;
  }
  std::string ask(const std::string& path) {
    Link link(port_);
    link.send("GET " + path + " HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n");
    return link.receive();
  }

  std::unique_ptr<Connections> connections_;
  std::thread running_;
  std::atomic<int> answered_{0};
  Client late_;
  std::atomic<bool> is_kept_{false};
  int port_ = 0;
};

TEST_F(ConnectionsTest, ManyClientsAskManyThingsAtOnce) {
  start({});
  std::vector<std::thread> clients;
  for (int c = 0; c < 8; ++c)
    clients.emplace_back([this, c] {
      Link link(port_);
      for (int i = 0; i < 50; ++i) {
        const std::string body = std::to_string(100 * c + i);
        link.send("POST /a HTTP/1.1\r\nHost: localhost\r\nContent-Length: " + std::to_string(body.size()) + "\r\n\r\n" +
                  body);
        const std::string answer = link.receive("]\n");
        ASSERT_NE(std::string::npos, answer.find("\r\n\r\n[/a " + body + "]\n")) << answer;
        ASSERT_NE(std::string::npos, answer.find("X-House: yes\r\n")) << answer;
      }
    });
  for (std::thread& client : clients) client.join();
  EXPECT_EQ(400, answered_);
}

TEST_F(ConnectionsTest, ARefusalBeforeTheBodyIsTheLast) {
  start({});
  Link link(port_);
  link.send(
      "POST /refused HTTP/1.1\r\nHost: localhost\r\nContent-Length: 40\r\n\r\nGET /a HTTP/1.1\r\nHost: "
      "localhost\r\n\r\n.....");
  const std::string answer = link.receive();
  EXPECT_TRUE(answer.starts_with("HTTP/1.1 403 Forbidden\r\n")) << answer;
  EXPECT_NE(std::string::npos, answer.find("Connection: close\r\n"));
  EXPECT_TRUE(answer.ends_with("\r\n\r\nrefused\n")) << answer;
  EXPECT_EQ(0, answered_);
}

TEST_F(ConnectionsTest, HeadHasNoBodyAndAFaultIsTold) {
  start({});
  Link link(port_);
  link.send("HEAD /a HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n");
  const std::string head = link.receive();
  EXPECT_NE(std::string::npos, head.find("Content-Length: 6\r\n")) << head;
  EXPECT_TRUE(head.ends_with("\r\n\r\n")) << head;
  EXPECT_NE(std::string::npos, ask("/throw").find("a fault in the program: as asked"));
}

TEST_F(ConnectionsTest, WhoWaitsLongestGivesWay) {
  ConnectionLimits limits;
  limits.connections = 5;
  start(limits);
  std::vector<std::unique_ptr<Link>> stalled;
  for (int i = 0; i < 20; ++i) {
    stalled.push_back(std::make_unique<Link>(port_));
    stalled.back()->send("GET / HT");
  }
  EXPECT_TRUE(ask("/a").starts_with("HTTP/1.1 200"));
  EXPECT_EQ("", stalled.front()->receive());
}

TEST_F(ConnectionsTest, WhereAllAreBeingAnsweredOneMoreIsToldToComeBack) {
  ConnectionLimits limits;
  limits.connections = 2;
  start(limits);
  Link first(port_), second(port_);
  for (Link* one : {&first, &second}) one->send("GET /slow HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n");
  while (answered_ < 2) std::this_thread::sleep_for(milliseconds(1));
  const std::string busy = Link(port_).receive();
  EXPECT_TRUE(busy.starts_with("HTTP/1.1 503 Service Unavailable\r\n")) << busy;
  EXPECT_NE(std::string::npos, busy.find("Retry-After: 1\r\n"));
  for (Link* one : {&first, &second}) EXPECT_TRUE(one->receive().ends_with("[/slow ]\n"));
}

TEST_F(ConnectionsTest, TimeEndsWhatStalls) {
  ConnectionLimits limits;
  limits.head_time = limits.body_time = milliseconds(200);
  limits.idle_time = milliseconds(300);
  start(limits);
  Link idle(port_), head(port_), body(port_);
  head.send("GET / HTTP/1.1\r\n");
  body.send("POST / HTTP/1.1\r\nHost: localhost\r\nContent-Length: 10\r\n\r\nx");
  EXPECT_EQ("", idle.receive());
  EXPECT_TRUE(head.receive().starts_with("HTTP/1.1 408"));
  EXPECT_TRUE(body.receive().starts_with("HTTP/1.1 408"));
  EXPECT_TRUE(ask("/slow").starts_with("HTTP/1.1 200"));  // the answer's own time is no client's fault
}

TEST_F(ConnectionsTest, StoppingSendsWhatIsBeingAnswered) {
  start({});
  Link idle(port_), slow(port_);
  slow.send("GET /slow HTTP/1.1\r\nHost: localhost\r\n\r\n");
  while (answered_ == 0) std::this_thread::sleep_for(milliseconds(5));
  connections_->stop();
  EXPECT_TRUE(slow.receive().ends_with("[/slow ]\n"));
  running_.join();
}

TEST(ConnectionsOpen, ATakenPortIsTold) {
  Connections first({}, {}, {}), second({}, {}, {});
  const Result<int> port = first.open("127.0.0.1", 0);
  ASSERT_TRUE(port);
  const Result<int> taken = second.open("127.0.0.1", *port);
  ASSERT_FALSE(taken);
  EXPECT_EQ("no-port", taken.error().front().code);
  EXPECT_FALSE(Connections({}, {}, {}).open("no such name", 0));
}

TEST_F(ConnectionsTest, WhatIsReadyIsSentAheadAsChunks) {
  start({});
  const std::string got = ask("/parts");
  EXPECT_TRUE(got.starts_with("HTTP/1.1 200")) << got;
  EXPECT_NE(std::string::npos, got.find("\r\nTransfer-Encoding: chunked\r\n")) << got;
  EXPECT_EQ(std::string::npos, got.find("Content-Length")) << got;
  EXPECT_TRUE(got.ends_with("\r\n\r\n4\r\none\n\r\n4\r\ntwo\n\r\n6\r\nthree\n\r\n0\r\n\r\n")) << got;
  // What goes wrong half way is the last part; who cannot take parts gets the end alone.
  EXPECT_NE(std::string::npos, ask("/parts/throw").find("a fault in the program: half way"));
  Link old(port_);
  old.send("GET /parts HTTP/1.0\r\nHost: localhost\r\n\r\n");
  const std::string end = old.receive();
  EXPECT_TRUE(end.starts_with("HTTP/1.1 503")) << end;
  EXPECT_TRUE(end.ends_with("\r\n\r\nthree\n")) << end;
}

TEST_F(ConnectionsTest, PartsThatComeAfterTheirAnswerAreNotTheNextOnes) {
  start({});
  Link link(port_);
  link.send("GET /parts/kept HTTP/1.1\r\nHost: localhost\r\n\r\n");
  ASSERT_NE("", link.receive("\r\n0\r\n\r\n"));
  while (!is_kept_) std::this_thread::sleep_for(milliseconds(5));
  link.send("GET /slow HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n");
  while (answered_ < 2) std::this_thread::sleep_for(milliseconds(5));
  late_.send_ahead(told(200, "late\n"));
  const std::string got = link.receive();
  EXPECT_EQ(std::string::npos, got.find("late")) << got;
  EXPECT_TRUE(got.ends_with("[/slow ]\n")) << got;
}

}  // namespace
}  // namespace garthwright::server
