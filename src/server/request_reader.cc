// SPDX-License-Identifier: Apache-2.0
// Beast 1.74 asserts that a last chunk's line never comes in parts ("0\r\n", then "\r"); it may, and is read rightly.
#define BOOST_DISABLE_ASSERTS

#include "server/request_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <boost/beast/http/parser.hpp>
#include <boost/beast/http/string_body.hpp>
#include <cctype>
#include <iterator>
#include <limits>
#include <optional>

#include "base/quoted.h"

namespace garthwright::server {
namespace {

namespace http = boost::beast::http;

bool is_digit(unsigned char c) { return std::isdigit(c) != 0; }

std::string lower(std::string_view text) {
  std::string out(text);
  for (char& c : out) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return out;
}

/// What tells where a request ends, who asks and what is sent: two of one are two stories.
constexpr std::array<std::string_view, 13> kOnce{
    "host",   "origin",          "content-length",   "transfer-encoding", "content-type", "authorization", "cookie",
    "expect", "accept-encoding", "content-encoding", "sec-fetch-site",    "trailer",      "upgrade"};

/// "%2F" and, in a query, "+"; what is no such pair of figures stays as it is.
std::string decoded(std::string_view text, bool query) {
  const auto figure = [](char c) -> int {
    if (c >= '0' && c <= '9') return c - '0';
    if (c >= 'a' && c <= 'f') return c - 'a' + 10;
    if (c >= 'A' && c <= 'F') return c - 'A' + 10;
    return -1;
  };
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const int high = text[i] == '%' && i + 2 < text.size() ? figure(text[i + 1]) : -1;
    const int low = high >= 0 ? figure(text[i + 2]) : -1;
    if (low >= 0) {
      out += static_cast<char>(16 * high + low);
      i += 2;
    } else {
      out += query && text[i] == '+' ? ' ' : text[i];
    }
  }
  return out;
}

std::map<std::string, std::string> parameters_of(std::string_view query) {
  std::map<std::string, std::string> all;
  while (!query.empty()) {
    const std::size_t end = std::min(query.find('&'), query.size());
    const std::string_view one = query.substr(0, end);
    query.remove_prefix(std::min(end + 1, query.size()));
    const std::size_t equals = std::min(one.find('='), one.size());
    if (!one.empty())
      all.emplace(decoded(one.substr(0, equals), true), decoded(one.substr(std::min(equals + 1, one.size())), true));
  }
  return all;
}

/// The path and query of a target; none when it is neither a path nor `http://` with this host and a path.
std::optional<std::string_view> own_part(std::string_view target, const std::string& host) {
  constexpr std::string_view kHttp = "http://";
  if (target.starts_with('/')) return target;
  if (lower(target.substr(0, kHttp.size())) != kHttp) return std::nullopt;
  target.remove_prefix(kHttp.size());
  const std::size_t end = std::min(target.find('/'), target.size());
  if (end == 0 || lower(target.substr(0, end)) != lower(host)) return std::nullopt;
  return end == target.size() ? std::string_view("/") : target.substr(end);
}

}  // namespace

struct RequestReader::Parser : http::request_parser<http::string_body> {
  Parser() {
    header_limit(1 << 20);  // ours are less, and told apart
    body_limit(std::numeric_limits<std::uint64_t>::max());
  }
  std::size_t fields() const { return static_cast<std::size_t>(std::distance(get().begin(), get().end())); }
};

RequestReader::RequestReader(RequestLimits limits) : limits_(limits) { next(); }
RequestReader::~RequestReader() = default;

void RequestReader::next() {
  parser_ = std::make_unique<Parser>();
  request_ = {};
  body_read_ = 0;
  head_done_ = blank_line_ = has_body_ = keep_alive_ = http10_ = expects_ = false;
}

RequestReader::State RequestReader::refuse(int status, std::string code, std::string what, std::string cure) {
  refused_ = true;
  keep_alive_ = false;
  came_.clear();
  status_ = status;
  why_ = {Severity::error, std::move(code), std::move(what), std::move(cure), {}};
  return State::refused;
}

RequestReader::State RequestReader::advance() {
  if (refused_) return State::refused;
  return head_done_ ? read_body() : read_head();
}

// ---- the head -------------------------------------------------------------------------------------------------------

RequestReader::State RequestReader::read_head() {
  if (!blank_line_ && came_.starts_with("\r\n")) {  // old clients send one after a body (RFC 9112, 2.2)
    blank_line_ = true;
    came_.erase(0, 2);
  }
  if (came_.starts_with('\r') && came_.size() == 1) return State::more;
  if (!came_.empty() && !std::isalpha(static_cast<unsigned char>(came_.front())))
    return bad("the request does not begin with a method", "speak HTTP/1.1");
  const std::string_view start = std::string_view(came_).substr(0, limits_.head_bytes);
  const std::size_t line_end = start.find("\r\n"), end = start.find("\r\n\r\n");
  if (line_end == std::string_view::npos ? start.size() > limits_.target_bytes + 64
                                         : line_end > limits_.target_bytes + 64)
    return refuse(414, "too-large", "the address is too long", "send the job as the body");
  if (end != std::string_view::npos) return look_at_head(start.substr(0, end + 4));
  if (start.size() < limits_.head_bytes) return State::more;
  return refuse(431, "too-large", "the header fields are too long", "send fewer of them");
}

RequestReader::State RequestReader::look_at_head(std::string_view head) {
  if (head.find("\r\n ") != std::string_view::npos || head.find("\r\n\t") != std::string_view::npos)
    return bad("a header field goes over several lines", "send each in one line");
  if (static_cast<std::size_t>(std::count(head.begin(), head.end(), '\n')) > limits_.fields + 2)
    return refuse(431, "too-large", "there are too many header fields", fmt::format("send at most {}", limits_.fields));
  boost::beast::error_code error;
  const std::size_t read = parser_->put(boost::asio::buffer(head), error);
  if (error == http::error::bad_version)
    return refuse(505, "bad-request", "this version of HTTP is not spoken", "use HTTP/1.1");
  if (error && error != http::error::need_more) return bad("the request is not HTTP as it should be", "send it again");
  if (!parser_->is_header_done() || read != head.size())
    return bad("the request's head has no clear end", "send it again");

  const auto& message = parser_->get();
  request_.method = std::string(message.method_string());
  for (const auto& field : message) {
    const std::string name = lower(std::string_view(field.name_string().data(), field.name_string().size()));
    const std::string value(field.value());
    const auto [at, is_new] = request_.fields.emplace(name, value);
    if (is_new) continue;
    if (std::find(kOnce.begin(), kOnce.end(), name) != kOnce.end())
      return bad("the field " + garthwright::quoted(name) + " stands twice", "send it once");
    at->second += ", " + value;
  }
  const std::optional<std::string_view> target =
      own_part({message.target().data(), message.target().size()}, request_.field("host"));
  if (!target) return bad("the address is no path of this server", "ask for a path that begins with /");
  const std::size_t query = std::min(target->find('?'), target->size());
  request_.path = decoded(target->substr(0, query), false);
  request_.parameters = parameters_of(target->substr(std::min(query + 1, target->size())));

  http10_ = message.version() < 11;
  const std::string length = request_.field("content-length");
  const bool chunked = request_.has("transfer-encoding");
  if (request_.has("content-length") && (length.empty() || !std::all_of(length.begin(), length.end(), is_digit)))
    return bad("Content-Length is no whole number", "send the body's length in bytes");
  if (chunked && (lower(request_.field("transfer-encoding")) != "chunked" || http10_ || request_.has("content-length")))
    return bad("where the request ends is not clear", "send one Content-Length, or Transfer-Encoding: chunked alone");
  has_body_ = chunked || length.find_first_not_of('0') != std::string::npos;
  if (has_body_ && request_.method != "POST" && request_.method != "PUT")
    return bad(garthwright::quoted(request_.method) + " has a body", "send one with POST and PUT alone");
  expects_ = has_body_ && !http10_ && request_.has("expect");
  if (expects_ && lower(request_.field("expect")) != "100-continue")
    return refuse(417, "bad-request", "what is expected is not known here", "expect 100-continue, or nothing");
  keep_alive_ = parser_->keep_alive();
  came_.erase(0, head.size());
  head_done_ = true;
  return State::head;
}

// ---- the body -------------------------------------------------------------------------------------------------------

RequestReader::State RequestReader::too_large() {
  return refuse(413, "too-large", "the job is too large", fmt::format("send at most {} kB", limits_.body_bytes >> 10));
}

RequestReader::State RequestReader::read_body() {
  if (!has_body_) return State::whole;
  if (const auto length = parser_->content_length(); length && *length > limits_.body_bytes) return too_large();
  const std::size_t fields = parser_->fields();
  std::size_t read = 0;
  boost::beast::error_code error;
  while (!parser_->is_done() && read < came_.size() && !error) {
    read += parser_->put(boost::asio::buffer(came_.data() + read, came_.size() - read), error);
    if (parser_->get().body().size() > limits_.body_bytes) return too_large();
  }
  came_.erase(0, read);
  body_read_ += read;
  if (error && error != http::error::need_more) return bad("the body is not as it was announced", "send it again");
  if (body_read_ + (parser_->is_done() ? 0 : came_.size()) > limits_.body_bytes + limits_.chunk_words_bytes)
    return too_large();
  if (parser_->fields() != fields) return bad("fields follow after the body", "send them before it");
  if (!parser_->is_done()) return State::more;
  request_.body = std::move(parser_->get().body());
  return State::whole;
}

}  // namespace garthwright::server
