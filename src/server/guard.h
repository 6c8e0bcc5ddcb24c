// SPDX-License-Identifier: Apache-2.0
//
// Who may ask. A page from elsewhere must not use a visitor's browser to reach this server (DNS rebinding, cross-site
// requests), and beyond loopback only those who hold the token may.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/diagnostic.h"

namespace garthwright::server {

/// What a request says of where it comes from: header fields as sent, empty where they were not.
struct Caller {
  std::string path{};
  std::string host{}, origin{};
  std::string fetch_site{};  ///< Sec-Fetch-Site
  std::string authorization{}, cookie{};
};

struct House {
  bool loopback = true;               ///< bound to loopback only
  std::string token;                  ///< empty: none is asked for
  std::vector<std::string> known_as;  ///< further host names, lower-case: those of a proxy before this server
};

struct Refusal {
  int status = 403;
  Diagnostic why;
};

/// Why this caller is not answered:
///  - Host must be `localhost`, a known name, or an address in figures (on loopback: a loopback one). A rebound name is
///    none of them.
///  - Origin, where it is sent, must be this host itself; on /api/ Sec-Fetch-Site must not name another site.
///  - The token must come as `Authorization: Bearer …`, or a session in the cookie that a visit to /?token=… set.
///    /healthz is free.
std::optional<Refusal> refusal(const Caller& caller, const House& house);

/// Whether an address to listen on is loopback ("127.0.0.1", "::1", "localhost").
bool is_loopback(const std::string& host);

/// Compares without telling by its time how much was right.
bool same_secret(const std::string& given, const std::string& secret);

/// The cookie of a new session, as Set-Cookie has it. Browsers send cookies to every port of a host, so that its name
/// holds the port that `host` (the field) names, and it does not hold the token: a random number and what the token
/// makes of it (HMAC-SHA-256, RFC 2104), so that any instance with the same token knows it again.
std::string session_cookie(const std::string& host, const std::string& token);

/// Whether a page is the better answer than JSON to one who may not ask: by the path, and the field Accept.
bool is_for_a_person(const std::string& path, const std::string& accept);

}  // namespace garthwright::server
