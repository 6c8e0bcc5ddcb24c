// SPDX-License-Identifier: Apache-2.0
#include "server/guard.h"

#include <arpa/inet.h>
#include <openssl/evp.h>
#include <openssl/hmac.h>
#include <openssl/rand.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <stdexcept>
#include <string_view>

#include "base/quoted.h"

namespace garthwright::server {
namespace {

constexpr std::size_t kNonce = 16;  // bytes of a session's random number

std::string lower(std::string text) {
  for (char& c : text) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return text;
}

/// "name" of "name:8080", "::1" of "[::1]:8080"; empty where it is malformed.
std::string without_port(const std::string& host) {
  const auto digits = [](std::string_view text) {
    return std::all_of(text.begin(), text.end(), [](unsigned char c) { return std::isdigit(c); });
  };
  if (host.starts_with('[')) {
    const std::size_t end = host.find(']');
    if (end == std::string::npos) return {};
    const std::string_view rest = std::string_view(host).substr(end + 1);
    return rest.empty() || (rest.front() == ':' && digits(rest.substr(1))) ? host.substr(1, end - 1) : std::string();
  }
  const std::size_t colon = host.find(':');
  if (colon == std::string::npos) return host;
  return digits(std::string_view(host).substr(colon + 1)) ? host.substr(0, colon) : std::string();
}

enum class Address { none, loopback, other };

Address address_in_figures(const std::string& text) {
  in_addr four{};
  if (inet_pton(AF_INET, text.c_str(), &four) == 1)
    return (ntohl(four.s_addr) >> 24) == 127 ? Address::loopback : Address::other;
  in6_addr six{};
  if (inet_pton(AF_INET6, text.c_str(), &six) == 1)
    return IN6_IS_ADDR_LOOPBACK(&six) ? Address::loopback : Address::other;
  return Address::none;
}

bool known_host(const std::string& host, const House& house) {
  const std::string name = lower(without_port(host));
  if (name == "localhost") return true;
  if (std::find(house.known_as.begin(), house.known_as.end(), name) != house.known_as.end()) return true;
  const Address address = address_in_figures(name);
  return address == Address::loopback || (address == Address::other && !house.loopback);
}

bool own_origin(const Caller& caller) {
  const std::string origin = lower(caller.origin), host = lower(caller.host);
  return origin == "http://" + host || origin == "https://" + host;
}

/// "garthwright-8080" on localhost:8080.
std::string cookie_name(const std::string& host) {
  const std::size_t colon = host.find(':', host.starts_with('[') ? std::min(host.find(']'), host.size()) : 0);
  return colon == std::string::npos || colon + 1 == host.size() ? "garthwright"
                                                                : "garthwright-" + host.substr(colon + 1);
}

std::string in_hex(const unsigned char* bytes, std::size_t count) {
  std::string text;
  for (std::size_t i = 0; i < count; ++i) {
    text += "0123456789abcdef"[bytes[i] >> 4];
    text += "0123456789abcdef"[bytes[i] & 15];
  }
  return text;
}

/// The session that begins with this number, for this name of cookie.
std::string session(const std::string& nonce, const std::string& name, const std::string& token) {
  const std::string text = "session " + name + " " + nonce;
  std::array<unsigned char, EVP_MAX_MD_SIZE> digest{};
  unsigned size = 0;
  if (!HMAC(EVP_sha256(), token.data(), static_cast<int>(token.size()),
            reinterpret_cast<const unsigned char*>(text.data()), text.size(), digest.data(), &size))
    throw std::runtime_error("SHA-256 is not to be had from OpenSSL");
  return nonce + in_hex(digest.data(), size);
}

/// The value of this cookie among those sent.
std::string cookie_in(std::string_view cookies, const std::string& name) {
  while (!cookies.empty()) {
    const std::size_t end = std::min(cookies.find(';'), cookies.size());
    std::string_view one = cookies.substr(0, end);
    cookies.remove_prefix(std::min(end + 1, cookies.size()));
    while (one.starts_with(' ')) one.remove_prefix(1);
    if (one.starts_with(name + "=")) return std::string(one.substr(name.size() + 1));
  }
  return {};
}

bool is_session(const std::string& given, const std::string& name, const std::string& token) {
  if (given.size() < 2 * kNonce) return false;
  return same_secret(given, session(given.substr(0, 2 * kNonce), name, token));
}

bool holds_the_token(const Caller& caller, const std::string& token) {
  constexpr std::string_view kBearer = "Bearer ";
  if (caller.authorization.starts_with(kBearer)) return same_secret(caller.authorization.substr(kBearer.size()), token);
  const std::string name = cookie_name(caller.host);
  return is_session(cookie_in(caller.cookie, name), name, token);
}

Refusal refused(int status, std::string code, std::string what, std::string cure) {
  return {status, {Severity::error, std::move(code), std::move(what), std::move(cure), {}}};
}

}  // namespace

std::optional<Refusal> refusal(const Caller& caller, const House& house) {
  if (!known_host(caller.host, house))
    return refused(403, "unknown-host",
                   "the request is for host " + garthwright::quoted(caller.host) + ", which is not this server",
                   "open it by its address, or start the server with --known-as and that name");
  if (!caller.origin.empty() && !own_origin(caller))
    return refused(403, "other-origin", "the request comes from a page of " + garthwright::quoted(caller.origin),
                   "open the page from this server");
  const bool api = caller.path.starts_with("/api/");
  // Fetch Metadata: this page's own, or a person's (address bar). What browsers do not say yet is refused as well.
  const bool of_here = caller.fetch_site.empty() || caller.fetch_site == "same-origin" || caller.fetch_site == "none";
  if (api && !of_here)
    return refused(403, "other-origin", "the request comes from a page of another site",
                   "open the page from this server");
  if (!house.token.empty() && caller.path != "/healthz" && !holds_the_token(caller, house.token))
    return refused(401, "no-token", "the token is missing or wrong",
                   "send Authorization: Bearer TOKEN, or open /?token=TOKEN once in the browser");
  return std::nullopt;
}

bool is_loopback(const std::string& host) {
  return lower(host) == "localhost" || address_in_figures(host) == Address::loopback;
}

bool same_secret(const std::string& given, const std::string& secret) {
  unsigned char differ = given.size() == secret.size() ? 0 : 1;
  for (std::size_t i = 0; i < secret.size(); ++i)
    differ |= static_cast<unsigned char>(secret[i] ^ (i < given.size() ? given[i] : '\0'));
  return differ == 0;
}

std::string session_cookie(const std::string& host, const std::string& token) {
  std::array<unsigned char, kNonce> nonce{};
  if (RAND_bytes(nonce.data(), static_cast<int>(nonce.size())) != 1)
    throw std::runtime_error("there are no random numbers to be had from OpenSSL");
  const std::string name = cookie_name(host);
  return name + "=" + session(in_hex(nonce.data(), nonce.size()), name, token) + "; Path=/; HttpOnly; SameSite=Strict";
}

bool is_for_a_person(const std::string& path, const std::string& accept) {
  const bool page = accept.find("text/html") != std::string::npos;
  const bool json = accept.find("application/json") != std::string::npos;
  return page || (!path.starts_with("/api/") && !json);
}

}  // namespace garthwright::server
