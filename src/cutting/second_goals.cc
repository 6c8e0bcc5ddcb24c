// SPDX-License-Identifier: Apache-2.0
#include "cutting/second_goals.h"

#include <algorithm>
#include <numeric>
#include <optional>
#include <tuple>

namespace garthwright::cutting {
namespace {

std::int64_t room_of(const Problem& problem, int stock) {
  const Stock& s = problem.stock[stock];
  return s.length - (s.off_cut ? 0 : problem.trim);
}

Way way_of(const Problem& problem, const Cut& cut) {
  const Piece& piece = problem.pieces[cut.piece];
  return cut.way == 0 ? Way{piece.length, 1, piece.only_from} : piece.alternatives[cut.way - 1];
}

// What the cuts take, kerfs between them included.
std::int64_t taken(const Problem& problem, const std::vector<Cut>& cuts) {
  std::int64_t sum = -problem.kerf;
  for (const Cut& cut : cuts) sum += cut.count * (way_of(problem, cut).length + problem.kerf);
  return sum;
}

void set_rest(const Problem& problem, Layout& layout) {
  layout.rest = std::max<std::int64_t>(0, room_of(problem, layout.stock) - taken(problem, layout.cuts) - problem.kerf);
}

std::int64_t longest_rest(const std::vector<Layout>& layouts) {
  std::int64_t longest = 0;
  for (const Layout& layout : layouts) longest = std::max(longest, layout.rest);
  return longest;
}

void put_together(std::vector<Layout>& layouts) {
  const auto key = [](const Layout& l) { return l.stock; };
  const auto cut_less = [](const Cut& a, const Cut& b) {
    return std::tie(a.piece, a.way, b.count) < std::tie(b.piece, b.way, a.count);
  };
  std::sort(layouts.begin(), layouts.end(), [&](const Layout& a, const Layout& b) {
    if (key(a) != key(b)) return key(a) < key(b);
    return std::lexicographical_compare(a.cuts.begin(), a.cuts.end(), b.cuts.begin(), b.cuts.end(), cut_less);
  });
  std::vector<Layout> merged;
  for (Layout& layout : layouts) {
    if (!merged.empty() && merged.back().stock == layout.stock && merged.back().cuts == layout.cuts)
      merged.back().count += layout.count;
    else
      merged.push_back(std::move(layout));
  }
  layouts = std::move(merged);
}

// One bar of stock k is paid for apart and must leave `rest`: a free, shorter bar stands for it.
Problem with_one_left(const Problem& problem, int k, std::int64_t rest) {
  Problem changed = problem;
  Stock shorter = problem.stock[k];
  shorter.length -= rest + problem.kerf;
  shorter.cost = 0;
  shorter.limit = 1;
  if (changed.stock[k].limit) --*changed.stock[k].limit;
  const int index = static_cast<int>(changed.stock.size());
  changed.stock.push_back(shorter);
  const auto allow = [&](std::vector<int>& only_from) {
    if (std::find(only_from.begin(), only_from.end(), k) != only_from.end()) only_from.push_back(index);
  };
  for (Piece& piece : changed.pieces) {
    allow(piece.only_from);
    for (Way& way : piece.alternatives) allow(way.only_from);
  }
  return changed;
}

class Pursuit {
 public:
  Pursuit(const Problem& problem, const Result& result, Options options)
      : problem_(problem), options_(std::move(options)) {
    options_.on_progress = nullptr;
    out_.result = result;
  }

  SecondGoals run() {
    lengthen_rest();
    merge_layouts();
    out_.layouts = static_cast<int>(out_.result.layouts.size());
    out_.longest_rest = longest_rest(out_.result.layouts);
    return std::move(out_);
  }

 private:
  void lengthen_rest() {
    out_.longest_rest_proven = out_.result.optimal;
    std::int64_t shortest = room_of(problem_, 0);
    for (const Piece& piece : problem_.pieces) {
      shortest = std::min(shortest, piece.length);
      for (const Way& way : piece.alternatives) shortest = std::min(shortest, way.length);
    }
    std::vector<int> order(problem_.stock.size());
    std::iota(order.begin(), order.end(), 0);
    std::stable_sort(order.begin(), order.end(),
                     [&](int a, int b) { return room_of(problem_, a) > room_of(problem_, b); });
    for (int k : order) {
      const Stock& stock = problem_.stock[k];
      if (stock.cost == 0 || stock.cost > out_.result.cost || stock.limit.value_or(1) == 0) continue;
      std::int64_t low = longest_rest(out_.result.layouts);                     // reached
      std::int64_t high = room_of(problem_, k) - problem_.kerf - shortest + 1;  // out of reach
      while (high - low > 1) {
        const std::int64_t middle = low + (high - low) / 2;
        (can_leave(k, middle) ? low : high) = middle;
        low = std::max(low, longest_rest(out_.result.layouts));
      }
    }
  }

  bool can_leave(int k, std::int64_t rest) {
    const Problem changed = with_one_left(problem_, k, rest);
    options_.known_lower_bound = out_.result.optimal ? out_.result.cost - problem_.stock[k].cost : 0;
    options_.at_most = out_.result.cost - problem_.stock[k].cost;
    const Result found = solve(changed, options_);
    ++out_.solves;
    if (found.verdict != Verdict::solved) {
      if (found.verdict != Verdict::infeasible) out_.longest_rest_proven = false;
      return false;
    }
    std::vector<Layout> layouts = found.layouts;
    bool used = false;
    for (Layout& layout : layouts) {
      if (layout.stock == static_cast<int>(problem_.stock.size())) {
        layout.stock = k;
        used = true;
      }
      set_rest(problem_, layout);
    }
    if (!used) return false;  // only where the cost was not least to begin with
    put_together(layouts);
    out_.result.layouts = std::move(layouts);
    return true;
  }

  void merge_layouts() {
    const std::int64_t rest = longest_rest(out_.result.layouts);
    if (const auto one = single_layout(rest)) {
      out_.result.layouts = {*one};
      out_.fewest_layouts_proven = true;
      return;
    }
    while (merge_a_pair(rest)) {
    }
    out_.fewest_layouts_proven = out_.result.layouts.size() <= 2 && out_.longest_rest_proven;
  }

  // All bars cut alike, at the same cost: every piece an equal share of times in each.
  std::optional<Layout> single_layout(std::int64_t rest) const {
    for (int k = 0; k < static_cast<int>(problem_.stock.size()); ++k) {
      const Stock& stock = problem_.stock[k];
      if (stock.cost == 0 || out_.result.cost % stock.cost != 0) continue;
      const std::int64_t count = out_.result.cost / stock.cost;
      if (count == 0 || (stock.limit && count > *stock.limit)) continue;
      Layout layout{k, count, {}, 0};
      bool allowed = true;
      for (int i = 0; i < static_cast<int>(problem_.pieces.size()); ++i) {
        const Piece& piece = problem_.pieces[i];
        layout.cuts.push_back({i, 0, (piece.quantity + count - 1) / count});
        allowed = allowed && piece.alternatives.empty() &&
                  (piece.only_from.empty() ||
                   std::find(piece.only_from.begin(), piece.only_from.end(), k) != piece.only_from.end());
      }
      if (!allowed || taken(problem_, layout.cuts) > room_of(problem_, k)) continue;
      set_rest(problem_, layout);
      if (layout.rest >= rest) return layout;
    }
    return std::nullopt;
  }

  // Two layouts of one stock become one where their pieces share out evenly.
  bool merge_a_pair(std::int64_t rest) {
    std::vector<Layout>& layouts = out_.result.layouts;
    for (std::size_t a = 0; a < layouts.size(); ++a)
      for (std::size_t b = a + 1; b < layouts.size(); ++b) {
        if (layouts[a].stock != layouts[b].stock) continue;
        Layout both{layouts[a].stock, layouts[a].count + layouts[b].count, {}, 0};
        bool even = true;
        const auto add = [&](const Layout& layout) {
          for (const Cut& cut : layout.cuts) {
            auto same = std::find_if(both.cuts.begin(), both.cuts.end(),
                                     [&](const Cut& c) { return c.piece == cut.piece && c.way == cut.way; });
            if (same == both.cuts.end()) same = both.cuts.insert(both.cuts.end(), {cut.piece, cut.way, 0});
            same->count += cut.count * layout.count;
          }
        };
        add(layouts[a]);
        add(layouts[b]);
        for (Cut& cut : both.cuts) {
          even = even && cut.count % both.count == 0;
          cut.count /= both.count;
        }
        if (!even || taken(problem_, both.cuts) > room_of(problem_, both.stock)) continue;
        std::sort(both.cuts.begin(), both.cuts.end(),
                  [](const Cut& x, const Cut& y) { return std::tie(x.piece, x.way) < std::tie(y.piece, y.way); });
        set_rest(problem_, both);
        std::vector<Layout> merged = layouts;
        merged[a] = both;
        merged.erase(merged.begin() + static_cast<std::ptrdiff_t>(b));
        put_together(merged);
        if (longest_rest(merged) < rest) continue;
        layouts = std::move(merged);
        return true;
      }
    return false;
  }

  const Problem& problem_;
  Options options_;
  SecondGoals out_;
};

}  // namespace

SecondGoals pursue_second_goals(const Problem& problem, const Result& result, const Options& options) {
  if (result.verdict != Verdict::solved) {
    SecondGoals none;
    none.result = result;
    return none;
  }
  return Pursuit(problem, result, options).run();
}

}  // namespace garthwright::cutting
