// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <bit>
#include <compare>
#include <cstdint>
#include <vector>

namespace garthwright::assembly {

/// A set of small indices (pieces or fasteners) out of 0 … size-1. Sets that are combined must be of one size.
class PieceSet {
 public:
  PieceSet() = default;
  explicit PieceSet(int size) : words_((size + 63) / 64, 0), size_(size) {}

  static PieceSet all(int size) {
    PieceSet s(size);
    for (int i = 0; i < size; ++i) s.insert(i);
    return s;
  }

  int size() const { return size_; }
  bool has(int i) const { return words_[i >> 6] >> (i & 63) & 1; }
  void insert(int i) { words_[i >> 6] |= std::uint64_t{1} << (i & 63); }
  void erase(int i) { words_[i >> 6] &= ~(std::uint64_t{1} << (i & 63)); }

  int count() const {
    int n = 0;
    for (auto w : words_) n += std::popcount(w);
    return n;
  }
  bool empty() const {
    for (auto w : words_) {
      if (w) return false;
    }
    return true;
  }
  bool meets(const PieceSet& other) const {
    for (std::size_t i = 0; i < words_.size(); ++i) {
      if (words_[i] & other.words_[i]) return true;
    }
    return false;
  }
  bool within(const PieceSet& other) const {
    for (std::size_t i = 0; i < words_.size(); ++i) {
      if (words_[i] & ~other.words_[i]) return false;
    }
    return true;
  }

  PieceSet& operator|=(const PieceSet& o) {
    for (std::size_t i = 0; i < words_.size(); ++i) words_[i] |= o.words_[i];
    return *this;
  }
  PieceSet& operator&=(const PieceSet& o) {
    for (std::size_t i = 0; i < words_.size(); ++i) words_[i] &= o.words_[i];
    return *this;
  }
  PieceSet& operator-=(const PieceSet& o) {
    for (std::size_t i = 0; i < words_.size(); ++i) words_[i] &= ~o.words_[i];
    return *this;
  }
  friend PieceSet operator|(PieceSet a, const PieceSet& b) { return a |= b; }
  friend PieceSet operator&(PieceSet a, const PieceSet& b) { return a &= b; }
  friend PieceSet operator-(PieceSet a, const PieceSet& b) { return a -= b; }
  auto operator<=>(const PieceSet&) const = default;

  template <class Visit>
  void for_each(Visit visit) const {
    for (std::size_t w = 0; w < words_.size(); ++w) {
      for (std::uint64_t bits = words_[w]; bits; bits &= bits - 1) {
        visit(static_cast<int>(w * 64) + std::countr_zero(bits));
      }
    }
  }
  std::vector<int> members() const {
    std::vector<int> list;
    for_each([&](int i) { list.push_back(i); });
    return list;
  }

 private:
  std::vector<std::uint64_t> words_;
  int size_ = 0;
};

}  // namespace garthwright::assembly
