// SPDX-License-Identifier: Apache-2.0
#include "server/request_reader.h"

#include <gtest/gtest.h>

namespace garthwright::server {
namespace {

using State = RequestReader::State;

/// What a connection makes of these bytes, however they are parted: "POST /plan: body", "refused 400", "…".
std::vector<std::string> read(const std::string& bytes, std::size_t part = std::string::npos) {
  RequestReader reader({});
  std::vector<std::string> story;
  for (std::size_t from = 0; from <= bytes.size();) {
    switch (reader.advance()) {
      case State::more:
        if (from == bytes.size()) {
          if (!reader.between_requests()) story.emplace_back("…");
          return story;
        }
        reader.take(std::string_view(bytes).substr(from, part));
        from = part == std::string::npos ? bytes.size() : std::min(bytes.size(), from + part);
        break;
      case State::head:
        break;
      case State::whole:
        story.push_back(reader.request().method + " " + reader.request().path + ": " + reader.request().body);
        if (!reader.keeps_alive()) return story;
        reader.next();
        break;
      case State::refused:
        story.push_back("refused " + std::to_string(reader.status()));
        return story;
    }
  }
  return story;
}

const std::string kHost = "Host: localhost\r\n";

std::string post(const std::string& fields, const std::string& body) {
  return "POST /plan HTTP/1.1\r\n" + kHost + fields + "\r\n" + body;
}

using Story = std::vector<std::string>;

TEST(RequestReader, OneRequestFollowsAnother) {
  const std::string two = post("Content-Length: 5\r\n", "a = 1") + "GET /a%20b?x=1 HTTP/1.1\r\n" + kHost + "\r\n";
  EXPECT_EQ((Story{"POST /plan: a = 1", "GET /a b: "}), read(two));
  EXPECT_EQ((Story{"POST /plan: a = 1", "GET /a b: "}), read("\r\n" + two));  // one blank line is forgiven
  EXPECT_EQ((Story{"POST /plan: a = 1"}), read(post("Connection: close\r\nContent-Length: 5\r\n", "a = 1") + two));
  EXPECT_EQ((Story{"POST /plan: hello"}),
            read(post("Transfer-Encoding: chunked\r\n", "3\r\nhel\r\n2;x=y\r\nlo\r\n0\r\n\r\n")));
  EXPECT_EQ((Story{"POST /plan: "}), read(post("Content-Length: 0\r\n", "")));
}

TEST(RequestReader, HowTheBytesArePartedChangesNothing) {
  const std::string all = post("Content-Length: 5\r\n", "a = 1") +
                          post("Transfer-Encoding: chunked\r\n", "1\r\na\r\n0\r\n\r\n") + "GET / HTTP/1.1\r\n" + kHost +
                          "\r\n\r\nGET /b HTTP/1.1\r\n" + kHost + "Host: b\r\n\r\n";
  const Story story{"POST /plan: a = 1", "POST /plan: a", "GET /: ", "refused 400"};
  for (const std::size_t part : {1, 2, 3, 5, 7, 16, 1000}) EXPECT_EQ(story, read(all, part)) << part;
}

// RFC 9112, 6.3 and 11.2: what could end elsewhere in the eyes of another reader is refused.
TEST(RequestReader, WhereARequestEndsIsClearOrItIsRefused) {
  for (const char* fields : {"Content-Length: 5\r\nContent-Length: 5\r\n",
                             "Content-Length: 5\r\nContent-Length: 50\r\n",
                             "Content-Length: 5, 5\r\n",
                             "Content-Length: +5\r\n",
                             "Content-Length: -5\r\n",
                             "Content-Length: 0x5\r\n",
                             "Content-Length: 5 5\r\n",
                             "Content-Length:\r\n",
                             "Content-Length: 99999999999999999999\r\n",
                             "Content-Length: 5\r\nTransfer-Encoding: chunked\r\n",
                             "Transfer-Encoding: chunked\r\nContent-Length: 5\r\n",
                             "Transfer-Encoding: identity\r\n",
                             "Transfer-Encoding: gzip, chunked\r\n",
                             "Transfer-Encoding: chunked, gzip\r\n",
                             "Transfer-Encoding: xchunked\r\n",
                             "Transfer-Encoding:\r\n",
                             "Transfer-Encoding: chunked\r\nTransfer-Encoding: chunked\r\n",
                             "Transfer-Encoding : chunked\r\n",
                             "Transfer-Encoding:\r\n chunked\r\n",
                             "X: a\r\n b\r\nContent-Length: 5\r\n",
                             "Content-Length: 5\nX: y\r\n",
                             "X: \0y\r\nContent-Length: 5\r\n",
                             "X y\r\n",
                             ": y\r\n",
                             "X: a\rb\r\n",
                             "Host: localhost\r\n",
                             "Host: other\r\n",
                             "Origin: a\r\nOrigin: b\r\n"})
    EXPECT_EQ((Story{"refused 400"}), read(post(fields, "a = 1") + post("", ""))) << fields;
  EXPECT_EQ((Story{"refused 400"}),
            read("POST / HTTP/1.0\r\n" + kHost + "Transfer-Encoding: chunked\r\n\r\n0\r\n\r\n"));
  for (const char* method : {"GET", "HEAD", "OPTIONS", "TRACE", "DELETE", "CONNECT"})
    EXPECT_EQ((Story{"refused 400"}),
              read(std::string(method) + " / HTTP/1.1\r\n" + kHost + "Content-Length: 5\r\n\r\nhello"));
}

TEST(RequestReader, ChunksAreAsTheyShouldBeOrRefused) {
  for (const char* body : {"5\r\nhelloX\r\n0\r\n\r\n", "g\r\n", "0x5\r\nhello\r\n0\r\n\r\n", "-1\r\n", "\r\n",
                           "5\nhello\r\n0\r\n\r\n", "fffffffffffffffff\r\nx", "0\r\nX: y\r\n\r\n",
                           "0\r\nContent-Length: 5\r\n\r\n", "0\r\nHost: other\r\n\r\n", "1\r\naa\r\n0\r\n\r\n"})
    for (const std::size_t part : {std::string::npos, std::size_t{1}})
      EXPECT_EQ((Story{"refused 400"}), read(post("Transfer-Encoding: chunked\r\n", body), part)) << body;
}

TEST(RequestReader, TheTargetIsAPathOfThisHost) {
  const auto target = [](const std::string& text) { return read("GET " + text + " HTTP/1.1\r\n" + kHost + "\r\n"); };
  EXPECT_EQ((Story{"GET /a: "}), target("http://localhost/a"));
  EXPECT_EQ((Story{"GET /: "}), target("HTTP://LOCALHOST"));
  for (const char* wrong :
       {"http://other/a", "https://localhost/a", "*", "localhost:80", "http:///a", "a", "http://localhost:1/"})
    EXPECT_EQ((Story{"refused 400"}), target(wrong)) << wrong;
  EXPECT_EQ((Story{"refused 505"}), read("GET / HTTP/1.2\r\n" + kHost + "\r\n"));
}

TEST(RequestReader, HeadsAndBodiesAreBounded) {
  EXPECT_EQ((Story{"refused 414"}), read("GET /" + std::string(9000, 'a')));
  EXPECT_EQ((Story{"refused 414"}), read("GET /" + std::string(9000, 'a') + " HTTP/1.1\r\n" + kHost + "\r\n"));
  EXPECT_EQ((Story{"refused 431"}), read("GET / HTTP/1.1\r\nX: " + std::string(20'000, 'a')));
  std::string many = "GET / HTTP/1.1\r\n";
  for (int i = 0; i < 150; ++i) many += "X: y\r\n";
  EXPECT_EQ((Story{"refused 431"}), read(many + "\r\n"));
  EXPECT_EQ((Story{"refused 413"}), read(post("Content-Length: 262145\r\n", "")));
  std::string chunks;
  for (int i = 0; i < 70; ++i) chunks += "1000\r\n" + std::string(4096, '#') + "\r\n";
  EXPECT_EQ((Story{"refused 413"}), read(post("Transfer-Encoding: chunked\r\n", chunks), 16384));
  std::string crumbs;  // little that is said in many words
  for (int i = 0; i < 80'000; ++i) crumbs += "1\r\n#\r\n";
  EXPECT_EQ((Story{"refused 413"}), read(post("Transfer-Encoding: chunked\r\n", crumbs), 16384));
  EXPECT_EQ((Story{"refused 413"}),
            read(post("Transfer-Encoding: chunked\r\n", "1;" + std::string(400'000, 'x')), 16384));
  EXPECT_EQ((Story{"refused 400"}), read(std::string(10'000, '\r') + "\n"));
  std::string blank;
  for (int i = 0; i < 5000; ++i) blank += "\r\n";
  EXPECT_EQ((Story{"refused 400"}), read(blank));
}

TEST(RequestReader, WhatIsExpectedIsKnownOrRefused) {
  EXPECT_EQ((Story{"refused 417"}), read(post("Expect: more\r\nContent-Length: 5\r\n", "hello")));
  EXPECT_EQ((Story{"POST /plan: hello"}), read(post("Expect: 100-Continue\r\nContent-Length: 5\r\n", "hello")));
  RequestReader reader({});
  reader.take(post("Expect: 100-continue\r\nContent-Length: 5\r\n", ""));
  EXPECT_EQ(State::head, reader.advance());
  EXPECT_TRUE(reader.waits_to_send());
}

TEST(RequestReader, ParametersAreDecodedAndTheFirstOfANameCounts) {
  RequestReader reader({});
  reader.take("GET /p?name=a+b%2Fc&x&=&name=late&%zz=%4 HTTP/1.1\r\n" + kHost + "\r\n");
  EXPECT_EQ(State::head, reader.advance());
  const std::map<std::string, std::string> expected{{"name", "a b/c"}, {"x", ""}, {"", ""}, {"%zz", "%4"}};
  EXPECT_EQ(expected, reader.request().parameters);
}

}  // namespace
}  // namespace garthwright::server
