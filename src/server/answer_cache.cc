// SPDX-License-Identifier: Apache-2.0
#include "server/answer_cache.h"

#include "server/content_tag.h"

namespace garthwright::server {

static constexpr std::size_t kWorthZipping = 1024;  // bytes; below it a packet is a packet

static bool is_text(const std::string& type) {
  return type.starts_with("text/") || type.starts_with("application/json") || type.starts_with("image/svg") ||
         type.starts_with("model/step") || type.starts_with("application/toml") ||
         type.starts_with("application/manifest");
}

Reply prepared(int status, Answer answer) {
  Reply reply{status, std::move(answer), {}, {}};
  reply.tag = content_tag(reply.answer.bytes);
  if (is_text(reply.answer.type) && reply.answer.bytes.size() >= kWorthZipping)
    reply.zipped = gzipped(reply.answer.bytes);
  // Text grew by doubling, and compressing began with room for the worst: what is kept should be no larger than it is.
  reply.answer.bytes.shrink_to_fit();
  reply.zipped.shrink_to_fit();
  return reply;
}

std::size_t AnswerCache::size_of(const Entry& entry) {
  constexpr std::size_t kBesides = 512;  // nodes, strings' own heads: a rough figure
  return kBesides + entry.asked.capacity() + entry.reply->answer.bytes.capacity() + entry.reply->zipped.capacity();
}

std::shared_ptr<const Reply> AnswerCache::find(const std::string& asked) {
  const std::lock_guard lock(mutex_);
  const auto at = by_asked_.find(asked);
  if (at == by_asked_.end()) return nullptr;
  entries_.splice(entries_.begin(), entries_, at->second);
  return at->second->reply;
}

void AnswerCache::keep(const std::string& asked, std::shared_ptr<const Reply> reply) {
  const std::lock_guard lock(mutex_);
  Entry entry{asked, std::move(reply)};
  if (size_of(entry) > most_bytes_ / 4 || by_asked_.contains(asked)) return;  // one answer never empties the cache
  bytes_ += size_of(entry);
  entries_.push_front(std::move(entry));
  by_asked_.emplace(entries_.front().asked, entries_.begin());
  while (bytes_ > most_bytes_) {
    bytes_ -= size_of(entries_.back());
    by_asked_.erase(entries_.back().asked);
    entries_.pop_back();
  }
}

std::size_t AnswerCache::bytes() const {
  const std::lock_guard lock(mutex_);
  return bytes_;
}

}  // namespace garthwright::server
