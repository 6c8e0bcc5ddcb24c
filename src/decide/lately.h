// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <deque>
#include <map>
#include <memory>
#include <mutex>

namespace garthwright::decide {

/// The last so many things that were made, by what they were made for. Threads may share it.
template <class Key, class Made>
class Lately {
 public:
  explicit Lately(std::size_t most) : most_(most) {}

  /// None where it was not made lately.
  std::shared_ptr<const Made> find(const Key& key) const {
    const std::lock_guard lock(mutex_);
    const auto at = made_.find(key);
    return at == made_.end() ? nullptr : at->second;
  }
  void keep(const Key& key, std::shared_ptr<const Made> made) {
    const std::lock_guard lock(mutex_);
    if (!made_.emplace(key, std::move(made)).second) return;
    order_.push_back(key);
    if (order_.size() <= most_) return;
    made_.erase(order_.front());
    order_.pop_front();
  }

 private:
  const std::size_t most_;
  mutable std::mutex mutex_;
  std::map<Key, std::shared_ptr<const Made>> made_;
  std::deque<Key> order_;
};

}  // namespace garthwright::decide
