// SPDX-License-Identifier: Apache-2.0
#include "cutting/reduction.h"

#include <algorithm>
#include <iterator>
#include <map>
#include <numeric>
#include <tuple>

#include "cutting/coarse.h"
#include "cutting/reachable.h"

namespace garthwright::cutting {
namespace {

constexpr std::int64_t kMostLength = 1'000'000'000'000;   // 1e12
constexpr std::int64_t kMostCost = 1'000'000'000'000;     // 1e12
constexpr std::int64_t kMostQuantity = 1'000'000'000;     // 1e9
constexpr std::int64_t kMostSum = std::int64_t{1} << 61;  // of all lengths, of all costs
constexpr std::int64_t kMostKinds = 100'000;
constexpr std::size_t kMostStocks = 1000;

Refusal refused(std::string what, std::string cure, int piece = -1) {
  Place where;
  if (piece >= 0) where.piece = "piece " + std::to_string(piece + 1);
  return {Verdict::refused, piece, {{Severity::error, "bad-cutting-list", std::move(what), std::move(cure), where}}};
}

std::string stock_name(std::size_t k) { return "stock " + std::to_string(k + 1); }

std::optional<Refusal> bad_numbers(const Problem& problem) {
  const std::string upto_length = "give 1 to " + std::to_string(kMostLength);
  if (problem.stock.empty()) return refused("no stock is given", "give at least one length that can be had");
  if (problem.stock.size() > kMostStocks)
    return refused("more than 1000 kinds of stock", "leave out what is not needed");
  if (static_cast<std::int64_t>(problem.pieces.size()) > kMostKinds)
    return refused("more than 100000 kinds of pieces", "put equal pieces together");
  if (problem.kerf < 0 || problem.kerf > kMostLength) return refused("the kerf is out of range", "give 0 or more");
  if (problem.trim < 0 || problem.trim > kMostLength) return refused("the trim is out of range", "give 0 or more");
  for (std::size_t k = 0; k < problem.stock.size(); ++k) {
    const Stock& stock = problem.stock[k];
    if (stock.length < 1 || stock.length > kMostLength)
      return refused(stock_name(k) + " has length " + std::to_string(stock.length), upto_length);
    if (stock.cost < 0 || stock.cost > kMostCost)
      return refused(stock_name(k) + " costs " + std::to_string(stock.cost), "give 0 to " + std::to_string(kMostCost));
    if (stock.limit && *stock.limit < 0)
      return refused(stock_name(k) + " has limit " + std::to_string(*stock.limit), "give 0 or more, or no limit");
  }
  const auto bad_stocks = [&](const std::vector<int>& only_from) {
    return std::any_of(only_from.begin(), only_from.end(),
                       [&](int k) { return k < 0 || k >= static_cast<int>(problem.stock.size()); });
  };
  __int128 length_sum = 0, cost_sum = 0;
  std::int64_t dearest = 1;
  for (const Stock& stock : problem.stock) dearest = std::max(dearest, stock.cost);
  for (std::size_t i = 0; i < problem.pieces.size(); ++i) {
    const Piece& piece = problem.pieces[i];
    const int at = static_cast<int>(i);
    if (piece.length < 1 || piece.length > kMostLength)
      return refused("length is " + std::to_string(piece.length), upto_length, at);
    if (piece.quantity < 1 || piece.quantity > kMostQuantity)
      return refused("quantity is " + std::to_string(piece.quantity), "give 1 to " + std::to_string(kMostQuantity), at);
    if (bad_stocks(piece.only_from)) return refused("only_from names no stock", "use indices of the stock list", at);
    std::int64_t longest = piece.length;
    for (const Way& way : piece.alternatives) {
      if (way.length < 1 || way.length > kMostLength)
        return refused("another way has length " + std::to_string(way.length), upto_length, at);
      if (way.yield < 1 || way.yield > 1'000'000)
        return refused("another way yields " + std::to_string(way.yield), "give 1 to 1000000", at);
      if (bad_stocks(way.only_from)) return refused("only_from names no stock", "use indices of the stock list", at);
      longest = std::max(longest, way.length);
    }
    length_sum += static_cast<__int128>(longest + problem.kerf) * piece.quantity;
    cost_sum += static_cast<__int128>(dearest) * piece.quantity;
    if (length_sum > kMostSum || cost_sum > kMostSum)
      return refused("all lengths, or all costs, together pass what can be added up",
                     "give smaller units or quantities", at);
  }
  return std::nullopt;
}

// Stocks a list of indices stands for, as a mask.
std::vector<char> stock_mask(const Problem& problem, const std::vector<int>& only_from) {
  std::vector<char> mask(problem.stock.size(), only_from.empty() ? 1 : 0);
  for (int k : only_from) mask[k] = 1;
  return mask;
}

struct RawItem {
  std::int64_t length;
  int row;
  std::int64_t yield;
  int way;
  std::vector<char> mask;
};

std::int64_t usable(const Problem& problem, const Stock& stock) {
  return stock.length - (stock.off_cut ? 0 : problem.trim) + problem.kerf;
}

bool fits_somewhere(const Problem& problem, const RawItem& item) {
  for (std::size_t k = 0; k < problem.stock.size(); ++k) {
    const Stock& stock = problem.stock[k];
    if (item.mask[k] && stock.limit.value_or(1) > 0 && item.length <= usable(problem, stock)) return true;
  }
  return false;
}

Refusal does_not_fit(const Problem& problem, int at) {
  std::int64_t longest = 0;
  for (const Stock& stock : problem.stock)
    if (stock.limit.value_or(1) > 0) longest = std::max(longest, usable(problem, stock) - problem.kerf);
  const Piece& piece = problem.pieces[at];
  const bool group = piece.length <= longest;
  Diagnostic diagnostic{Severity::error,
                        "piece-too-long",
                        "length " + std::to_string(piece.length) + " comes out of no " +
                            (group ? "stock that it may be cut from" : "stock"),
                        "the longest usable length is " + std::to_string(longest) + " after the trim",
                        {}};
  diagnostic.where.piece = "piece " + std::to_string(at + 1);
  return {Verdict::infeasible, at, {diagnostic}};
}

// A bar that another, no shorter, no dearer, unlimited one replaces at every place.
bool replaced(const Model& model, const Bar& a, const Bar& b) {
  if (b.limited || a.length > b.length || a.cost < b.cost) return false;
  const auto& takes_a = model.families[a.family].takes;
  const auto& takes_b = model.families[b.family].takes;
  for (std::size_t j = 0; j < takes_a.size(); ++j)
    if (takes_a[j] && !takes_b[j]) return false;
  return true;
}

void drop_replaced_bars(Model& model) {
  std::vector<Bar> kept;
  for (const Bar& bar : model.bars) {
    const bool useless = std::any_of(kept.begin(), kept.end(), [&](const Bar& b) { return replaced(model, bar, b); });
    if (useless) continue;
    std::erase_if(kept, [&](const Bar& b) { return replaced(model, b, bar); });
    kept.push_back(bar);
  }
  model.bars = std::move(kept);
}

void shorten_to_reachable(Model& model) {
  for (int f = 0; f < static_cast<int>(model.families.size()); ++f) {
    std::int64_t longest = 0;
    for (const Bar& bar : model.bars)
      if (bar.family == f) longest = std::max(longest, bar.length);
    const Reachable reachable(model, f, longest);
    for (Bar& bar : model.bars)
      if (bar.family == f) bar.length = reachable.at_most(bar.length);
  }
}

}  // namespace

std::variant<Reduction, Refusal> reduce(const Problem& problem) {
  if (auto refusal = bad_numbers(problem)) return *std::move(refusal);
  Reduction out;
  Model& model = out.model;
  const std::int64_t kerf = problem.kerf;

  // Rows: equal pieces that may come from the same stocks share one.
  std::vector<RawItem> raw;
  raw.reserve(problem.pieces.size());
  std::map<std::pair<std::int64_t, std::vector<char>>, int> row_of;
  for (int i = 0; i < static_cast<int>(problem.pieces.size()); ++i) {
    const Piece& piece = problem.pieces[i];
    const std::vector<char> mask = stock_mask(problem, piece.only_from);
    if (piece.alternatives.empty()) {
      const auto [found, fresh] = row_of.try_emplace({piece.length, mask}, model.rows());
      if (!fresh) {
        model.demand[found->second] += piece.quantity;
        out.pieces_of_row[found->second].push_back({i, piece.quantity});
        continue;
      }
    }
    const int row = model.rows();
    std::vector<RawItem> ways{{piece.length + kerf, row, 1, 0, mask}};
    for (int a = 0; a < static_cast<int>(piece.alternatives.size()); ++a) {
      const Way& way = piece.alternatives[a];
      ways.push_back({way.length + kerf, row, way.yield, a + 1, stock_mask(problem, way.only_from)});
    }
    std::erase_if(ways, [&](const RawItem& item) { return !fits_somewhere(problem, item); });
    if (ways.empty()) return does_not_fit(problem, i);
    model.demand.push_back(piece.quantity);
    out.pieces_of_row.push_back({{i, piece.quantity}});
    raw.insert(raw.end(), std::make_move_iterator(ways.begin()), std::make_move_iterator(ways.end()));
  }
  std::stable_sort(raw.begin(), raw.end(), [](const RawItem& a, const RawItem& b) { return a.length > b.length; });

  // Common divisor of lengths; bars round down to it.
  std::int64_t unit = 0, pieces = 0;
  for (const RawItem& item : raw) unit = std::gcd(unit, item.length);
  for (std::int64_t demand : model.demand) pieces += demand;
  for (const RawItem& item : raw) {
    model.items.push_back({item.length / unit, item.row, item.yield});
    out.way_of_item.push_back(item.way);
  }

  std::map<std::vector<char>, int> family_of;
  for (int k = 0; k < static_cast<int>(problem.stock.size()); ++k) {
    const Stock& stock = problem.stock[k];
    const std::int64_t length = usable(problem, stock);
    if (unit == 0 || length < unit || stock.limit.value_or(1) == 0) continue;
    std::vector<char> takes;
    takes.reserve(raw.size());
    for (const RawItem& item : raw) takes.push_back(item.mask[k] && item.length <= length);
    if (std::none_of(takes.begin(), takes.end(), [](char c) { return c; })) continue;
    std::vector<char> may;
    may.reserve(raw.size());
    for (const RawItem& item : raw) may.push_back(item.mask[k]);
    const auto [family, fresh] = family_of.try_emplace(may, static_cast<int>(model.families.size()));
    if (fresh) model.families.push_back({may});
    const std::int64_t limit = std::min(stock.limit.value_or(pieces), pieces);
    model.bars.push_back({length / unit, stock.cost, limit, stock.limit.value_or(pieces) < pieces, family->second, k});
  }
  if (!coarsen(model)) shorten_to_reachable(model);
  std::erase_if(model.bars, [](const Bar& bar) { return bar.length == 0; });
  std::stable_sort(model.bars.begin(), model.bars.end(),
                   [](const Bar& a, const Bar& b) { return std::tie(b.length, a.cost) < std::tie(a.length, b.cost); });
  drop_replaced_bars(model);

  std::int64_t cost_unit = 0;
  for (const Bar& bar : model.bars) cost_unit = std::gcd(cost_unit, bar.cost);
  model.cost_unit = std::max<std::int64_t>(cost_unit, 1);
  for (Bar& bar : model.bars) bar.cost /= model.cost_unit;
  return out;
}

namespace {

// Hands out the pieces of a row in order.
struct Queue {
  std::vector<std::pair<int, std::int64_t>> left;
  std::size_t front = 0;

  bool empty() const { return front >= left.size(); }
};

// One layout of the pattern with the pieces that are next in every queue, and how often it repeats unchanged.
std::pair<Layout, std::int64_t> next_layout(const Reduction& reduction, const Pattern& pattern, std::int64_t most,
                                            std::vector<Queue>& queues) {
  Layout layout;
  layout.cuts.reserve(pattern.items.size());
  std::int64_t repeats = most;
  std::vector<std::pair<Queue*, std::int64_t>> taken;  // all taken pieces come from the front of its queue
  taken.reserve(pattern.items.size());
  for (const ItemCount& part : pattern.items) {
    const Item& item = reduction.model.items[part.item];
    Queue& queue = queues[item.row];
    std::int64_t cuts = part.count;
    while (cuts > 0 && !queue.empty()) {
      auto& [piece, left] = queue.left[queue.front];
      const std::int64_t needed = (left + item.yield - 1) / item.yield;  // cuts that use this piece up
      const std::int64_t here = std::min(cuts, needed);
      layout.cuts.push_back({piece, reduction.way_of_item[part.item], here});
      const std::int64_t pieces = std::min(left, here * item.yield);
      const bool whole = here == cuts && cuts == part.count && pieces == here * item.yield;
      repeats = whole ? std::min(repeats, left / pieces) : 1;
      if (whole) taken.push_back({&queue, pieces});
      if (!whole) {
        left -= pieces;
        if (left == 0) ++queue.front;
      }
      cuts -= here;
    }
    if (cuts > 0) repeats = layout.cuts.empty() ? most : 1;  // surplus is left out
  }
  // Two ways of one row in one pattern would count the same pieces twice: then go one at a time.
  for (std::size_t a = 0; a < taken.size(); ++a)
    for (std::size_t b = a + 1; b < taken.size(); ++b)
      if (taken[a].first == taken[b].first) repeats = 1;
  repeats = std::max<std::int64_t>(repeats, 1);
  for (auto& [queue, pieces] : taken) {
    std::int64_t rest = pieces * repeats;
    while (rest > 0 && !queue->empty()) {
      auto& left = queue->left[queue->front].second;
      const std::int64_t now = std::min(left, rest);
      left -= now;
      rest -= now;
      if (left == 0) ++queue->front;
    }
  }
  return {std::move(layout), repeats};
}

std::int64_t rest_of(const Problem& problem, const Layout& layout) {
  const Stock& stock = problem.stock[layout.stock];
  std::int64_t rest = stock.length - (stock.off_cut ? 0 : problem.trim) + problem.kerf;
  for (const Cut& cut : layout.cuts) {
    const Piece& piece = problem.pieces[cut.piece];
    const std::int64_t length = cut.way == 0 ? piece.length : piece.alternatives[cut.way - 1].length;
    rest -= cut.count * (length + problem.kerf);
  }
  return std::max<std::int64_t>(rest - problem.kerf, 0);
}

}  // namespace

std::vector<Layout> expand(const Problem& problem, const Reduction& reduction, const Plan& plan) {
  std::vector<Queue> queues;
  queues.reserve(reduction.pieces_of_row.size());
  for (const auto& pieces : reduction.pieces_of_row) queues.push_back({pieces, 0});
  std::vector<Use> uses = plan.uses;
  std::sort(uses.begin(), uses.end(), [](const Use& a, const Use& b) { return a.pattern < b.pattern; });

  std::vector<Layout> layouts;
  layouts.reserve(uses.size());
  for (const Use& use : uses) {
    for (std::int64_t left = use.count; left > 0;) {
      auto [layout, repeats] = next_layout(reduction, use.pattern, left, queues);
      layout.stock = reduction.model.bars[use.pattern.bar].origin;
      layout.count = repeats;
      left -= repeats;
      if (layout.cuts.empty()) break;  // every piece is there already
      std::sort(layout.cuts.begin(), layout.cuts.end(),
                [](const Cut& a, const Cut& b) { return std::tie(a.piece, a.way) < std::tie(b.piece, b.way); });
      std::size_t merged = 0;
      for (const Cut& cut : layout.cuts) {
        if (merged > 0 && layout.cuts[merged - 1].piece == cut.piece && layout.cuts[merged - 1].way == cut.way)
          layout.cuts[merged - 1].count += cut.count;
        else
          layout.cuts[merged++] = cut;
      }
      layout.cuts.resize(merged);
      layout.rest = rest_of(problem, layout);
      layouts.push_back(std::move(layout));
    }
  }
  std::sort(layouts.begin(), layouts.end(), [](const Layout& a, const Layout& b) {
    const auto key = [](const Cut& x, const Cut& y) {
      return std::tie(x.piece, x.way, y.count) < std::tie(y.piece, y.way, x.count);
    };
    if (a.stock != b.stock) return a.stock < b.stock;
    return std::lexicographical_compare(a.cuts.begin(), a.cuts.end(), b.cuts.begin(), b.cuts.end(), key);
  });
  std::vector<Layout> merged;
  merged.reserve(layouts.size());
  for (Layout& layout : layouts) {
    if (!merged.empty() && merged.back().stock == layout.stock && merged.back().cuts == layout.cuts)
      merged.back().count += layout.count;
    else
      merged.push_back(std::move(layout));
  }
  return merged;
}

}  // namespace garthwright::cutting
