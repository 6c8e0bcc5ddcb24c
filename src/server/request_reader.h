// SPDX-License-Identifier: Apache-2.0
//
// The bytes of one connection turned into requests (RFC 9112). Boost.Beast reads the grammar; here stands what this
// server asks beyond it, so that nobody before it (a browser, a proxy) can see the end of a request elsewhere:
//  - one Host, one Content-Length of digits alone or one `Transfer-Encoding: chunked`, and not both; no trailers;
//  - no field folded over several lines, none of those that may stand once twice;
//  - a target that is a path, or the same with this request's Host before it;
//  - bounded heads, fields and bodies.
// After a refusal nothing more is read: whoever owns the connection sends the refusal and closes it.
#pragma once

#include <cstddef>
#include <memory>
#include <string>
#include <string_view>

#include "base/diagnostic.h"
#include "server/message.h"

namespace garthwright::server {

struct RequestLimits {
  std::size_t target_bytes = 8 << 10;
  std::size_t head_bytes = 16 << 10;  ///< request line and fields
  std::size_t fields = 100;
  std::size_t body_bytes = 256 << 10;
  std::size_t chunk_words_bytes = 64 << 10;  ///< of a chunked body: sizes, line ends
};

class RequestReader {
 public:
  explicit RequestReader(RequestLimits limits);
  ~RequestReader();

  enum class State {
    more,     ///< nothing to be said before more bytes come
    head,     ///< the head has come and holds to the rules; once for each request
    whole,    ///< and the body
    refused,  ///< the bytes are no request, or too many
  };

  void take(std::string_view bytes) { came_ += bytes; }
  /// Goes on with what has come. After `whole`, next() begins the next request.
  State advance();
  void next();

  /// From `head` on; its body from `whole` on.
  Request& request() { return request_; }
  bool has_body() const { return has_body_; }       ///< the head tells of one that is not empty
  bool keeps_alive() const { return keep_alive_; }  ///< the client may send another request
  bool is_http10() const { return http10_; }
  bool waits_to_send() const { return expects_ && came_.empty(); }  ///< Expect: 100-continue, and no body yet
  bool between_requests() const { return !head_done_ && came_.empty(); }
  bool head_done() const { return head_done_; }

  int status() const { return status_; }          ///< of a refusal
  const Diagnostic& why() const { return why_; }  ///< of a refusal

 private:
  struct Parser;

  State refuse(int status, std::string code, std::string what, std::string cure);
  State bad(std::string what, std::string cure) { return refuse(400, "bad-request", std::move(what), std::move(cure)); }
  State too_large();
  State read_head();
  State look_at_head(std::string_view head);
  State read_body();

  const RequestLimits limits_;
  std::unique_ptr<Parser> parser_;
  std::string came_;           // and not yet read
  std::size_t body_read_ = 0;  // bytes on the wire
  Request request_;
  bool head_done_ = false, refused_ = false, blank_line_ = false;  // of a blank line before it, one is forgiven
  bool has_body_ = false, keep_alive_ = false, http10_ = false, expects_ = false;
  int status_ = 0;
  Diagnostic why_;
};

}  // namespace garthwright::server
