// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <algorithm>
#include <memory>
#include <mutex>
#include <string>
#include <utility>
#include <vector>

namespace garthwright {

/// What was made of texts that are read again and again, by the text's name and all of its bytes: a text that has
/// changed is another one. Of more than `most` the oldest go. Threads may share it.
template <class Made>
class Kept {
 public:
  explicit Kept(std::size_t most) : most_(most) {}

  /// None where it is not kept.
  std::shared_ptr<const Made> find(const std::string& name, const std::string& text) {
    const std::lock_guard lock(mutex_);
    const auto at = find_if(name, text);
    return at == all_.end() ? nullptr : at->made;
  }

  void keep(const std::string& name, const std::string& text, Made made) {
    const std::lock_guard lock(mutex_);
    if (find_if(name, text) != all_.end()) return;
    if (all_.size() >= most_) all_.erase(all_.begin());
    all_.push_back({name, text, std::make_shared<const Made>(std::move(made))});
  }

 private:
  struct Entry {
    std::string name, text;
    std::shared_ptr<const Made> made;
  };
  auto find_if(const std::string& name, const std::string& text) {
    return std::find_if(all_.begin(), all_.end(), [&](const Entry& e) { return e.name == name && e.text == text; });
  }

  const std::size_t most_;
  std::mutex mutex_;
  std::vector<Entry> all_;
};

}  // namespace garthwright
