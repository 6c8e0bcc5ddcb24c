// SPDX-License-Identifier: Apache-2.0
#include "server/guard.h"

#include <gtest/gtest.h>

namespace garthwright::server {
namespace {

int status(const Caller& caller, const House& house = {}) {
  const std::optional<Refusal> refused = refusal(caller, house);
  return refused ? refused->status : 200;
}

TEST(Guard, OnLoopbackOnlyItsOwnNamesAreAnswered) {
  for (const char* host :
       {"localhost", "localhost:", "LOCALHOST:80", "127.0.0.1", "127.9.9.9:8080", "[::1]", "[::1]:8080"})
    EXPECT_EQ(200, status({.path = "/", .host = host})) << host;
  for (const char* host : {"", "rebound.example", "localhost.rebound.example", "127.0.0.1.rebound.example",
                           "192.168.0.9", "[::2]", "[::1", "[::1]x", "localhost:8x", "0.0.0.0", "127.1", "2130706433"})
    EXPECT_EQ(403, status({.path = "/", .host = host})) << host;
}

TEST(Guard, BeyondLoopbackAddressesInFiguresAreAnsweredAndNamesMustBeKnown) {
  const House house{.loopback = false, .token = "t", .known_as = {"garden.example"}};
  const auto with = [&](const char* host) {
    return status({.path = "/", .host = host, .authorization = "Bearer t"}, house);
  };
  EXPECT_EQ(200, with("192.168.0.9:8080"));
  EXPECT_EQ(200, with("[fd00::7]:8080"));
  EXPECT_EQ(200, with("Garden.Example"));
  EXPECT_EQ(403, with("other.example"));
}

TEST(Guard, AnOriginMustBeThisHostItself) {
  const auto from = [](const char* origin) {
    return status({.path = "/api/v1/plan", .host = "localhost:8080", .origin = origin});
  };
  EXPECT_EQ(200, from(""));
  EXPECT_EQ(200, from("http://localhost:8080"));
  EXPECT_EQ(200, from("https://localhost:8080"));  // a proxy before it may speak TLS
  for (const char* origin :
       {"null", "http://localhost", "http://localhost:3000", "http://127.0.0.1:8080", "localhost:8080"})
    EXPECT_EQ(403, from(origin)) << origin;
}

TEST(Guard, ThePageMayBeOpenedFromALinkElsewhereButNotAsked) {
  EXPECT_EQ(200, status({.path = "/", .host = "localhost", .fetch_site = "cross-site"}));
  EXPECT_EQ(403, status({.path = "/api/v1/plan", .host = "localhost", .fetch_site = "cross-site"}));
  EXPECT_EQ(403, status({.path = "/api/v1/plan", .host = "localhost", .fetch_site = "same-site"}));
  EXPECT_EQ(200, status({.path = "/api/v1/plan", .host = "localhost", .fetch_site = "same-origin"}));
}

TEST(Guard, TheTokenComesInAHeaderOrInTheCookie) {
  const House house{.loopback = true, .token = "secret", .known_as = {}};
  const auto bearing = [&](const char* authorization, const char* cookie) {
    return status({.path = "/", .host = "localhost", .authorization = authorization, .cookie = cookie}, house);
  };
  EXPECT_EQ(401, bearing("", ""));
  EXPECT_EQ(200, bearing("Bearer secret", ""));
  EXPECT_EQ(401, bearing("Bearer secre", ""));
  EXPECT_EQ(401, bearing("Bearer secretly", ""));
  EXPECT_EQ(200, bearing("", "a=b; garthwright=secret"));
  EXPECT_EQ(401, bearing("", "notgarthwright=secret"));
  EXPECT_EQ(200, status({.path = "/healthz", .host = "localhost"}, house));
}

TEST(Guard, SecretsAreComparedWhole) {
  EXPECT_TRUE(same_secret("abc", "abc"));
  EXPECT_FALSE(same_secret("abd", "abc"));
  EXPECT_FALSE(same_secret("ab", "abc"));
  EXPECT_FALSE(same_secret("abcd", "abc"));
  EXPECT_FALSE(same_secret("", "abc"));
}

}  // namespace
}  // namespace garthwright::server
