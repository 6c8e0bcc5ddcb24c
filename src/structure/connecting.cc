// SPDX-License-Identifier: Apache-2.0
#include "structure/connecting.h"

#include <fmt/format.h>

#include <algorithm>

namespace garthwright {
namespace {

constexpr double kRoomKept = 0.93;  // of the distances wanted; layouts are asked for loads from any side

struct Candidate {
  std::string text;
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

std::vector<std::string> candidates(const Structure& s, FixingsByBody& set, const ToConnect& wish,
                                    std::span<const timber::FixingItem> sold) {
  std::vector<Candidate> all;
  for (std::size_t kind = 0; kind < wish.kinds.size(); ++kind) {
    FixingWanted any;
    any.least_diameter = wish.least_diameter;
    if (!want_kind(wish.kinds[kind], any)) continue;
    if (is_connector(any.kind)) any.least_diameter = 0;
    for (const timber::FixingItem* size : sizes(any, sold))
      for (int count = wish.count; count <= std::max(wish.count, wish.most); ++count) {
        Fastening fastening;
        fastening.through = wish.through;
        fastening.wanted.item = is_connector(size->kind) ? size->name : std::string(size_name(size->name));
        fastening.count = count;
        fastening.us = wish.us;
        fastening.every_mm = is_connector(size->kind) ? 0 : wish.every_mm;
        const Result<Fastened> done = fastened(s, set, fastening, sold);
        if (!done) continue;
        const double strength = static_cast<double>(done->fixings.size()) * thumb_strength(*size, wish.us);
        all.push_back({fmt::format("{} x {}", count, fastening.wanted.item), strength, kind, strength >= wish.load_n,
                       done->room_met >= kRoomKept});
      }
  }
  if (all.empty()) return {};
  // The one to take: strong, then with room, then of the best kind, then the weakest that does (the strongest of weak).
  const auto better = [](const Candidate& a, const Candidate& b) {
    if (a.strong != b.strong) return a.strong;
    if (a.roomy != b.roomy) return a.roomy;
    if (!a.strong) return a.strength > b.strength;
    return std::pair(a.kind, a.strength) < std::pair(b.kind, b.strength);
  };
  std::rotate(all.begin(), std::min_element(all.begin(), all.end(), better), all.end());
  const double taken = all.front().strength;
  std::stable_sort(all.begin() + 1, all.end(), [&](const Candidate& a, const Candidate& b) {
    if ((a.strength > taken) != (b.strength > taken)) return a.strength > taken;
    return std::pair(a.strength, a.kind) < std::pair(b.strength, b.kind);
  });
  std::vector<std::string> texts;
  for (Candidate& c : all) texts.push_back(std::move(c.text));
  return texts;
}

}  // namespace garthwright
