// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <list>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>

#include "server/answers.h"

namespace garthwright::server {

/// An answer as it is sent.
struct Reply {
  int status = 200;
  Answer answer;
  std::string tag;     ///< ETag of the plain bytes
  std::string zipped;  ///< empty where compressing does not pay
};

/// The reply to be sent: with its tag and, where it is text of some size, compressed.
Reply prepared(int status, Answer answer);

/// Replies by the whole of what was asked (no hash stands for it, so none can be forged). Those not asked for longest
/// go first when all together are larger than the limit. May be used from several threads.
class AnswerCache {
 public:
  explicit AnswerCache(std::size_t most_bytes) : most_bytes_(most_bytes) {}

  std::shared_ptr<const Reply> find(const std::string& asked);
  void keep(const std::string& asked, std::shared_ptr<const Reply> reply);
  std::size_t bytes() const;

 private:
  struct Entry {
    std::string asked;
    std::shared_ptr<const Reply> reply;
  };
  static std::size_t size_of(const Entry& entry);

  const std::size_t most_bytes_;
  mutable std::mutex mutex_;
  std::list<Entry> entries_;                                                   // last asked for first
  std::unordered_map<std::string_view, std::list<Entry>::iterator> by_asked_;  // views of the entries' own text
  std::size_t bytes_ = 0;
};

}  // namespace garthwright::server
