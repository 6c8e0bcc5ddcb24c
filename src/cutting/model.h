// SPDX-License-Identifier: Apache-2.0
#pragma once

/// The problem as the search sees it: kerf and trim folded away, equal pieces merged, useless stock dropped.
///
/// Rows are demands, items are ways to meet them: a cut of item j meets `yield` of row `row`. Most rows have one item
/// of yield 1. A pattern is what one bar of a stock is cut into: it fits when its items' lengths add up to no more than
/// the bar's (kerf is inside both, see reduction.h).

#include <cstdint>
#include <vector>

namespace garthwright::cutting {

struct Item {
  std::int64_t length = 0;
  int row = 0;
  std::int64_t yield = 1;
};

struct Bar {
  std::int64_t length = 0;
  std::int64_t cost = 0;
  std::int64_t limit = 0;  ///< never more than could be of use
  bool limited = false;    ///< whether the limit can bind
  int family = 0;          ///< which items may be cut from it
  int origin = 0;          ///< index in Problem::stock
};

/// Bars that take the same items.
struct Family {
  std::vector<char> takes;  ///< by item
};

struct Model {
  std::vector<std::int64_t> demand;  ///< by row
  std::vector<Item> items;           ///< longest first
  std::vector<Bar> bars;             ///< longest first
  std::vector<Family> families;
  std::int64_t cost_unit = 1;  ///< bars' costs are in multiples of this

  int rows() const { return static_cast<int>(demand.size()); }
  int kinds() const { return static_cast<int>(bars.size()); }
  bool takes(int bar, int item) const { return families[bars[bar].family].takes[item] != 0; }
};

struct ItemCount {
  int item = 0;
  std::int64_t count = 0;

  bool operator==(const ItemCount&) const = default;
  auto operator<=>(const ItemCount&) const = default;
};

/// What one bar is cut into; items ascending, counts positive.
struct Pattern {
  int bar = 0;
  std::vector<ItemCount> items;

  bool operator==(const Pattern&) const = default;
  auto operator<=>(const Pattern&) const = default;
};

/// The length that a pattern takes of its bar.
inline std::int64_t filled(const Model& model, const Pattern& pattern) {
  std::int64_t length = 0;
  for (const ItemCount& part : pattern.items) length += part.count * model.items[part.item].length;
  return length;
}

struct Use {
  Pattern pattern;
  std::int64_t count = 0;
};

/// A way to meet every demand (perhaps with surplus).
struct Plan {
  std::vector<Use> uses;
  std::int64_t cost = 0;  ///< in the model's cost unit
};

}  // namespace garthwright::cutting
