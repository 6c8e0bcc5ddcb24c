// SPDX-License-Identifier: Apache-2.0
#include "cutting/reachable.h"

#include <algorithm>
#include <bit>

namespace garthwright::cutting {
namespace {

constexpr std::int64_t kMostBits = 16'000'000;
constexpr std::int64_t kMostWordSteps = 200'000'000;

// words |= words << shift
void add_shifted(std::vector<std::uint64_t>& words, std::int64_t shift) {
  const std::size_t whole = shift / 64;
  const int part = static_cast<int>(shift % 64);
  for (std::size_t i = words.size(); i-- > whole;) {
    std::uint64_t moved = words[i - whole] << part;
    if (part > 0 && i > whole) moved |= words[i - whole - 1] >> (64 - part);
    words[i] |= moved;
  }
}

}  // namespace

Reachable::Reachable(const Model& model, int family, std::int64_t capacity) {
  if (capacity >= kMostBits) return;
  std::vector<std::int64_t> shifts;
  for (std::size_t j = 0; j < model.items.size(); ++j) {
    const Item& item = model.items[j];
    if (!model.families[family].takes[j] || item.length > capacity) continue;
    std::int64_t left = std::min((model.demand[item.row] + item.yield - 1) / item.yield, capacity / item.length);
    for (std::int64_t k = 1; left > 0; k *= 2) {
      const std::int64_t now = std::min(k, left);
      shifts.push_back(now * item.length);
      left -= now;
    }
  }
  const std::int64_t size = capacity / 64 + 1;
  if (size * static_cast<std::int64_t>(shifts.size()) > kMostWordSteps) return;
  words_.assign(size, 0);
  words_[0] = 1;
  for (std::int64_t shift : shifts) add_shifted(words_, shift);
}

std::int64_t Reachable::at_most(std::int64_t length) const {
  if (words_.empty()) return length;
  std::int64_t word = length / 64;
  std::uint64_t bits = words_[word];
  const int top = static_cast<int>(length % 64);
  if (top < 63) bits &= (std::uint64_t{2} << top) - 1;
  while (bits == 0) bits = words_[--word];
  return word * 64 + 63 - std::countl_zero(bits);
}

}  // namespace garthwright::cutting
