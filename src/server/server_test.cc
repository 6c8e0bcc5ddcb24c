// SPDX-License-Identifier: Apache-2.0
//
// The server within this process, so that the sanitizers see its threads. What it answers is held to its description by
// tests/server_test.py.
#include "server/server.h"

#include <gtest/gtest.h>
#include <httplib.h>

#include <fstream>
#include <sstream>
#include <thread>

#include "base/source_dir_for_tests.h"

namespace garthwright::server {
namespace {

const std::string kSource = source_dir();
const char* const kToml = "application/toml";

std::string arbor(int opening) {
  return "format = 1\n[timber]\ncatalogue = \"harrow-lane\"\n[[structure]]\npattern = \"arbor\"\n[structure.choices]\n"
         "opening = " +
         std::to_string(opening) + "\n";
}

class ServerTest : public testing::Test {
 protected:
  ServerTest() {
    ServerOptions options;
    options.port = 0;
    options.version = "0.0.0";
    options.cache_bytes = 300'000;  // a few answers: some are dropped while they are being sent
    Result<std::unique_ptr<Server>> opened =
        Server::open(options, Answers({{kSource + "/patterns"}, {kSource + "/catalogues"}}), jobs_);
    if (!opened) throw std::runtime_error(to_string(opened.error().front()));
    server_ = *std::move(opened);
    running_ = std::thread([this] { server_->run(); });
  }
  ~ServerTest() override {
    server_->drain();
    running_.join();
  }

  httplib::Client client() const {
    httplib::Client one("127.0.0.1", server_->port());
    one.set_read_timeout(120);
    return one;
  }

  JobFiles jobs_;
  std::unique_ptr<Server> server_;
  std::thread running_;
};

TEST_F(ServerTest, ManyAtOnceGetEachTheAnswerToTheirOwnQuestion) {
  std::vector<std::thread> threads;
  for (int t = 0; t < 6; ++t)
    threads.emplace_back([this, t] {
      httplib::Client one = client();
      one.set_keep_alive(true);
      for (int i = 0; i < 6; ++i) {
        const int opening = 1200 + 10 * ((t + i) % 4);
        const char* path = i % 3 == 0   ? "/api/v1/files/model.step"
                           : i % 3 == 1 ? "/api/v1/quick"
                                        : "/api/v1/why?mark=E1";
        const httplib::Result got = one.Post(path, arbor(opening), kToml);
        ASSERT_TRUE(got) << httplib::to_string(got.error());
        EXPECT_EQ(200, got->status) << got->body;
        if (i % 3 == 2) {
          EXPECT_NE(std::string::npos, got->body.find("opening " + std::to_string(opening))) << got->body;
        }
      }
    });
  for (std::thread& thread : threads) thread.join();
}

TEST_F(ServerTest, ItCanBeDrainedTwiceAndStopped) {
  ASSERT_TRUE(client().Get("/healthz"));
  server_->drain();
  server_->stop();
}

TEST(ServerOpen, NothingIsServedBeyondLoopbackWithoutAToken) {
  JobFiles jobs;
  ServerOptions options;
  options.host = "0.0.0.0";
  const auto opened = Server::open(options, Answers({}), jobs);
  ASSERT_FALSE(opened);
  EXPECT_EQ("no-token", opened.error().front().code);
}

}  // namespace
}  // namespace garthwright::server
