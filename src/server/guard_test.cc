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
  EXPECT_EQ(200, status({.path = "/api/v1/plan", .host = "localhost", .fetch_site = "none"}));
  for (const char* odd : {"Cross-Site", "cross-site, same-origin", "same-origin, cross-site", "other"})
    EXPECT_EQ(403, status({.path = "/api/v1/plan", .host = "localhost", .fetch_site = odd})) << odd;
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
  EXPECT_EQ(401, bearing("", "garthwright=secret"));
  const std::string cookie = session_cookie("localhost", "secret");
  const std::string pair = cookie.substr(0, cookie.find(';'));
  EXPECT_EQ(200, bearing("", ("a=b; " + pair).c_str()));
  EXPECT_EQ(401, bearing("", ("not" + pair).c_str()));
  EXPECT_EQ(401, bearing("", (pair + "0").c_str()));
  EXPECT_EQ(401, bearing("Bearer wrong", pair.c_str()));
  EXPECT_EQ(200, status({.path = "/healthz", .host = "localhost"}, house));
}

TEST(Guard, ASessionIsOfOnePortAndOneToken) {
  const auto opens = [](const std::string& host, const std::string& cookie, const std::string& token) {
    const House house{.loopback = true, .token = token, .known_as = {}};
    return status({.path = "/", .host = host, .cookie = cookie.substr(0, cookie.find(';'))}, house) == 200;
  };
  const std::string cookie = session_cookie("localhost:8080", "secret");
  EXPECT_TRUE(cookie.starts_with("garthwright-8080=")) << cookie;
  EXPECT_TRUE(cookie.ends_with("; Path=/; HttpOnly; SameSite=Strict")) << cookie;
  EXPECT_EQ(std::string::npos, cookie.find("secret"));
  EXPECT_NE(cookie, session_cookie("localhost:8080", "secret"));
  EXPECT_TRUE(opens("localhost:8080", cookie, "secret"));
  EXPECT_TRUE(opens("127.0.0.1:8080", cookie, "secret"));
  EXPECT_FALSE(opens("localhost:8080", cookie, "other"));
  EXPECT_FALSE(opens("localhost:8081", cookie, "secret"));
  EXPECT_FALSE(opens("localhost:8081", "garthwright-8081" + cookie.substr(cookie.find('=')), "secret"));
  EXPECT_FALSE(opens("[::1]", cookie, "secret"));
  EXPECT_TRUE(opens("[::1]:80", session_cookie("[::1]:80", "secret"), "secret"));
}

TEST(Guard, APersonIsShownAPageAndAProgramJson) {
  const char* browser = "text/html,application/xhtml+xml,*/*;q=0.8";
  EXPECT_TRUE(is_for_a_person("/", browser));
  EXPECT_TRUE(is_for_a_person("/", ""));
  EXPECT_TRUE(is_for_a_person("/api/v1/openapi.json", browser));
  EXPECT_FALSE(is_for_a_person("/api/v1/plan", "*/*"));
  EXPECT_FALSE(is_for_a_person("/api/v1/plan", ""));
  EXPECT_FALSE(is_for_a_person("/", "application/json"));
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
