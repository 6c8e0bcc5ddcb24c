// SPDX-License-Identifier: Apache-2.0
#include "structure/connecting.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

namespace garthwright {
namespace {

constexpr double kRoomKept = 0.93;  // of the distances wanted; layouts are asked for loads from any side

/// So many of a size.
struct Number {
  const timber::FixingItem* size = nullptr;
  std::size_t kind = 0;  ///< index into ToConnect::kinds
  int count = 1;
  double strength = 0;  ///< by thumb
};

struct Candidate {
  std::string text;
  Fastened set;
  double strength = 0;
  std::size_t kind = 0;
  bool strong = false, roomy = false;
};

/// Sizes of a kind that the yard sells, each once, thinnest first: names without the length; whole names of bent parts.
std::vector<const timber::FixingItem*> sizes(const FixingWanted& wanted, std::span<const timber::FixingItem> sold) {
  std::vector<const timber::FixingItem*> found;
  for (const timber::FixingItem& item : sold) {
    const auto same = [&](const timber::FixingItem* other) {
      return !is_connector(item.kind) && size_name(other->name) == size_name(item.name);
    };
    if (is_wanted(wanted, item) && std::none_of(found.begin(), found.end(), same)) found.push_back(&item);
  }
  std::stable_sort(found.begin(), found.end(), [](const auto* a, const auto* b) {
    return std::pair(a->diameter_mm, is_connector(a->kind) ? a->length_mm : 0) <
           std::pair(b->diameter_mm, is_connector(b->kind) ? b->length_mm : 0);
  });
  return found;
}

}  // namespace

const std::vector<std::string>& fixing_words() {
  static const std::vector<std::string> words = [] {
    std::vector<std::string> all = timber::fixing_kind_names();
    all.push_back("structural screw");
    return all;
  }();
  return words;
}

bool want_kind(std::string_view word, FixingWanted& wanted) {
  const std::vector<std::string>& words = fixing_words();
  const auto found = std::find(words.begin(), words.end(), word);
  if (found == words.end()) return false;
  wanted.structural = found + 1 == words.end();
  wanted.kind = wanted.structural ? timber::FixingKind::screw : static_cast<timber::FixingKind>(found - words.begin());
  return true;
}

double thumb_strength(const timber::FixingItem& item, bool us) {
  const timber::FixingMake& m = item.make;
  if (!is_connector(item.kind))
    return m.side_n > 0 && m.pull_n > 0 ? std::min(m.side_n, m.pull_n) : 22 * item.diameter_mm * item.diameter_mm;
  return (us ? 1 : 0.5) * (m.pull_n > 0 && m.side_n > 0 ? std::min(m.pull_n, m.side_n) : std::max(m.pull_n, m.side_n));
}

namespace {

std::vector<Number> numbers(const ToConnect& wish, std::span<const timber::FixingItem> sold) {
  std::vector<Number> all;
  for (std::size_t kind = 0; kind < wish.kinds.size(); ++kind) {
    FixingWanted any;
    any.least_diameter = wish.least_diameter;
    if (!want_kind(wish.kinds[kind], any)) continue;
    if (is_connector(any.kind)) any.least_diameter = 0;
    for (const timber::FixingItem* size : sizes(any, sold))
      for (int count = wish.count; count <= std::max(wish.count, wish.most); ++count)
        all.push_back({size, kind, count, count * thumb_strength(*size, wish.us)});
  }
  return all;
}

std::string item_of(const Number& number) {
  return is_connector(number.size->kind) ? number.size->name : std::string(size_name(number.size->name));
}
std::string text_of(const Number& number) { return fmt::format("{} x {}", number.count, item_of(number)); }

/// Where they would be set; none where they cannot be.
std::optional<Candidate> laid_out(const Structure& s, FixingsByBody& set, const ToConnect& wish, const Number& number,
                                  std::span<const timber::FixingItem> sold) {
  Fastening fastening;
  fastening.through = wish.through;
  fastening.wanted.item = item_of(number);
  fastening.count = number.count;
  fastening.us = wish.us;
  fastening.every_mm = is_connector(number.size->kind) ? 0 : wish.every_mm;
  Result<Fastened> done = fastened(s, set, fastening, sold);
  if (!done) return std::nullopt;
  const double strength = static_cast<double>(done->fixings.size()) * thumb_strength(*number.size, wish.us);
  const bool roomy = done->room_met >= kRoomKept;
  return Candidate{text_of(number), *std::move(done), strength, number.kind, strength >= wish.load_n, roomy};
}

/// The one to take: strong, then with room, then of the best kind, then the weakest that does (the strongest of weak).
bool better(const Candidate& a, const Candidate& b) {
  if (a.strong != b.strong) return a.strong;
  if (a.roomy != b.roomy) return a.roomy;
  if (!a.strong) return a.strength > b.strength;
  return std::pair(a.kind, a.strength) < std::pair(b.kind, b.strength);
}

}  // namespace

FirstCandidate first_candidate(const Structure& s, FixingsByBody& set, const ToConnect& wish,
                               std::span<const timber::FixingItem> sold) {
  // In an order in which the first that is strong and has room is the one to take.
  std::vector<Number> all = numbers(wish, sold);
  const auto strong = [&](const Number& n) { return n.strength >= wish.load_n; };
  if (wish.every_mm <= 0)  // else how many there are is seen only when they are laid out
    std::stable_sort(all.begin(), all.end(), [&](const Number& a, const Number& b) {
      if (strong(a) != strong(b)) return strong(a);
      if (!strong(a)) return a.strength > b.strength;
      return std::pair(a.kind, a.strength) < std::pair(b.kind, b.strength);
    });
  std::optional<Candidate> best;
  for (const Number& number : all) {
    if (wish.every_mm <= 0 && best && (best->roomy || (best->strong && !strong(number)))) break;
    std::optional<Candidate> next = laid_out(s, set, wish, number, sold);
    if (next && (!best || better(*next, *best))) best = std::move(next);
  }
  return best ? FirstCandidate{std::move(best->text), std::move(best->set)} : FirstCandidate{};
}

std::vector<std::string> candidates(const ToConnect& wish, const std::string& taken,
                                    std::span<const timber::FixingItem> sold) {
  std::vector<Number> all = numbers(wish, sold);
  std::vector<std::string> texts{taken};
  if (taken.empty()) return {};
  double strength = 0;
  const FixingText parsed = parse_fixing_text(taken);
  std::erase_if(all, [&](const Number& number) {
    if (number.count != parsed.count || item_of(number) != parsed.item) return false;
    strength = number.strength;
    return true;
  });
  std::stable_sort(all.begin(), all.end(), [&](const Number& a, const Number& b) {
    const bool up = a.strength > strength;
    if (up != (b.strength > strength)) return up;
    if (a.strength != b.strength) return up == (a.strength < b.strength);
    return a.kind < b.kind;
  });
  for (const Number& number : all) texts.push_back(text_of(number));
  return texts;
}

}  // namespace garthwright
