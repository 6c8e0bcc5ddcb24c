// SPDX-License-Identifier: Apache-2.0
#include "sequence/order.h"

#include <algorithm>
#include <limits>
#include <queue>
#include <tuple>

#include "base/patience.h"

namespace garthwright::sequence {
namespace {

namespace kernel = assembly;

constexpr int kFarFromGround = 1000;

/// Which item holds a body, -1 for none.
std::vector<int> item_of_body(const Kit& kit, const Problem& problem) {
  std::vector<int> of(static_cast<std::size_t>(kit.count()), -1);
  for (std::size_t i = 0; i < problem.items.size(); ++i)
    for (const int b : problem.items[i].bodies) of[static_cast<std::size_t>(b)] = static_cast<int>(i);
  return of;
}

class Backwards {
 public:
  Backwards(const Kit& kit, const Tables& tables, const Problem& problem)
      : kit_(kit),
        tables_(tables),
        problem_(problem),
        item_of_(item_of_body(kit, problem)),
        tier_(tiers(kit, problem)),
        present_(kit.count()) {
    const std::size_t n = problem.items.size();
    order_.way_in.resize(n);
    order_.before.resize(n);
    order_.fastener.assign(problem.fixings.size(), -1);
    order_.late.assign(problem.fixings.size(), 0);
    there_.assign(n, 1);
    open_of_.assign(n, 0);
    neighbours_.resize(n);
    fixings_of_.resize(n);
    kept_from_.resize(static_cast<std::size_t>(kit.count()));
    for (const Item& item : problem.items) present_ |= item.set;
    for (std::size_t f = 0; f < problem.fixings.size(); ++f) {
      std::vector<int> items = items_of(problem.fixings[f]);
      for (const int a : items)
        for (const int b : items)
          if (a != b) neighbours_[static_cast<std::size_t>(a)].push_back(b);
      for (const int a : items) ++open_of_[static_cast<std::size_t>(a)];
      for (const int a : items) fixings_of_[static_cast<std::size_t>(a)].push_back(f);
      items_of_.push_back(std::move(items));
      PieceSet in_way(kit.count());
      for (const int fastener : kit.fasteners_of[static_cast<std::size_t>(problem.fixings[f])])
        in_way |= tables.access.in_way(fastener);
      in_way.for_each([&](int b) { kept_from_[static_cast<std::size_t>(b)].push_back(f); });
      to_look_at_.push_back(f);
    }
    find_carriers();
  }

  Order run() {
    undo_from_below();
    std::vector<int> reversed;
    while (reversed.size() < problem_.items.size()) {
      look_at_the_clock();
      undo_fixings();
      const std::optional<int> next = choose();
      if (!next) return stuck();
      take_away(*next);
      reversed.push_back(*next);
    }
    order_.sequence.assign(reversed.rbegin(), reversed.rend());
    choose_tools();
    link();
    return std::move(order_);
  }

 private:
  std::vector<int> items_of(int fixing) const {
    std::vector<int> items;
    for (const int b : kit_.chain[static_cast<std::size_t>(fixing)])
      if (const int i = item_of_[static_cast<std::size_t>(b)]; i >= 0) items.push_back(i);
    std::sort(items.begin(), items.end());
    items.erase(std::unique(items.begin(), items.end()), items.end());
    return items;
  }

  /// What each item is fixed to nearer the ground, and what it rests on.
  void find_carriers() {
    carriers_.resize(problem_.items.size());
    carried_.resize(problem_.items.size());
    if (!problem_.on_site) return;
    std::vector<std::vector<int>> carriers = neighbours_;
    for (std::size_t i = 0; i < carriers.size(); ++i)
      std::erase_if(carriers[i], [&](int z) { return tier(z) >= tier(static_cast<int>(i)); });
    for (const Joint& joint : kit_.structure->joints) {
      const int a = kit_.index(joint.a), b = kit_.index(joint.b);
      if (a < 0 || b < 0 || std::abs(joint.normal.z) < 0.7) continue;
      int lower = item_of_[static_cast<std::size_t>(a)], upper = item_of_[static_cast<std::size_t>(b)];
      if (joint.normal.z < 0) std::swap(lower, upper);
      if (lower >= 0 && upper >= 0 && lower != upper && tier(lower) <= tier(upper))
        carriers[static_cast<std::size_t>(upper)].push_back(lower);
    }
    for (std::size_t i = 0; i < carriers.size(); ++i) {
      std::sort(carriers[i].begin(), carriers[i].end());
      carriers[i].erase(std::unique(carriers[i].begin(), carriers[i].end()), carriers[i].end());
      for (const int z : carriers[i]) carried_[static_cast<std::size_t>(z)].push_back(static_cast<int>(i));
    }
    carriers_ = std::move(carriers);
  }

  bool undone(std::size_t f) const { return undone_[f] != 0; }

  void mark_undone(std::size_t f) {
    undone_[f] = 1;
    for (const int i : items_of_[f]) --open_of_[static_cast<std::size_t>(i)];
  }

  /// Off the site what is driven from underneath waits until all is there, then the whole is turned over for it.
  void undo_from_below() {
    undone_.assign(problem_.fixings.size(), 0);
    if (problem_.on_site) return;
    for (std::size_t f = 0; f < problem_.fixings.size(); ++f) {
      const int fixing = problem_.fixings[f];
      if (!driven_from(kit_.structure->fixings[static_cast<std::size_t>(fixing)], problem_.down)) continue;
      order_.late[f] = 1;
      if (fastener_with_room(fixing, present_) >= 0) mark_undone(f);
    }
  }

  int fastener_with_room(int fixing, const PieceSet& present) const {
    for (const int fastener : kit_.fasteners_of[static_cast<std::size_t>(fixing)])
      if (tables_.has_room(fastener, present, problem_.on_site)) return fastener;
    return -1;
  }

  /// Those that what was taken away since was in the way of.
  void undo_fixings() {
    for (const std::size_t f : to_look_at_)
      if (!undone(f) && !order_.late[f] && fastener_with_room(problem_.fixings[f], present_) >= 0) mark_undone(f);
    to_look_at_.clear();
  }

  // --- which item leaves -------------------------------------------------------------------------------------------

  std::optional<Vec3> way_out(int item, int& rank) const {
    const Item& it = problem_.items[static_cast<std::size_t>(item)];
    const PieceSet others = present_ - it.set;
    const kernel::Ways& ways = tables_.blocking.ways();
    const Vec3 pressed = pull(item);
    std::optional<Vec3> best;
    std::tuple<int, int> best_rank{std::numeric_limits<int>::max(), 0};
    for (std::size_t w = 0; w < ways.size(); ++w) {
      const int way = static_cast<int>(w);
      const Vec3 out = unit(ways[w]);
      const double up = -dot(out, problem_.down);
      if (!problem_.on_site && up < -1e-9) continue;  // trestles stand there
      bool free = true;
      int hits = 0;
      const bool to_the_ground = problem_.on_site && up < -0.99 && overhead(it);
      for (const int b : it.bodies) {
        free = free && !tables_.blocking.hit(way, b).meets(others) &&
               (!problem_.on_site || to_the_ground || !tables_.blocking.hits_site(way, b));
        if (!free) break;
      }
      if (!free) continue;
      for (const int b : it.bodies) hits += (tables_.blocking.hit(way, b) - it.set).count();
      int kind = up > 0.99 ? 1 : std::abs(up) < 0.01 ? (w < 6 ? 2 : 3) : up > 0 ? 4 : up > -0.99 ? 6 : 5;
      // Best is what presses it on to what it is screwed to.
      if (problem_.on_site && up > -0.5 && norm(pressed) > 0 && -dot(out, pressed) > 0.6 * norm(pressed)) kind = 0;
      const std::tuple<int, int> r{kind, hits};
      if (r < best_rank) {
        best_rank = r;
        best = out;
      }
    }
    rank = std::get<0>(best_rank);
    return best;
  }

  /// A loose thing so high that the ground below it is no hindrance on a way down.
  bool overhead(const Item& item) const {
    return item.bodies.size() == 1 && kit_.box[static_cast<std::size_t>(item.bodies.front())].min.z >= kOverhead;
  }

  /// The way in which its fixings to what is there pull it.
  Vec3 pull(int item) const {
    Vec3 sum;
    for (const std::size_t f : fixings_of_[static_cast<std::size_t>(item)]) {
      const auto& items = items_of_[f];
      if (!std::all_of(items.begin(), items.end(), [&](int i) { return there_[static_cast<std::size_t>(i)] != 0; }))
        continue;
      const auto& chain = kit_.chain[static_cast<std::size_t>(problem_.fixings[f])];
      const Vec3 along = kit_.structure->fixings[static_cast<std::size_t>(problem_.fixings[f])].direction;
      if (item_of_[static_cast<std::size_t>(chain.front())] == item) sum = sum + along;
      if (chain.size() > 1 && item_of_[static_cast<std::size_t>(chain.back())] == item) sum = sum - along;
    }
    return sum;
  }

  int tier(int item) const { return tier_[static_cast<std::size_t>(item)]; }

  /// What must be left of that by which a thing is carried: all, one, or, where nothing is nearer the ground than
  /// another, something that it is fixed to.
  enum class Care { all_carriers, one_carrier, something_fixed };

  /// Whether everything that this item helps to carry would still be carried without it.
  bool may_go(int item, Care care) const {
    for (const int y : carried_[static_cast<std::size_t>(item)]) {
      if (!there_[static_cast<std::size_t>(y)]) continue;
      if (care == Care::all_carriers) return false;
      const auto& list = care == Care::something_fixed ? neighbours_[static_cast<std::size_t>(y)]
                                                       : carriers_[static_cast<std::size_t>(y)];
      const bool other = std::any_of(list.begin(), list.end(),
                                     [&](int z) { return z != item && there_[static_cast<std::size_t>(z)]; });
      if (!other) return false;
    }
    return true;
  }

  /// What the ground or a wall carries goes when nothing else can: it must be there first.
  std::optional<int> choose() {
    for (const bool grounded : {false, true})
      for (const Care care : {Care::all_carriers, Care::one_carrier, Care::something_fixed})
        if (const std::optional<int> item = choose(care, grounded)) return item;
    return std::nullopt;
  }

  std::optional<int> choose(Care care, bool grounded) {
    std::optional<int> best;
    std::tuple<int, int, double, int> best_rank;
    for (std::size_t i = 0; i < problem_.items.size(); ++i) {
      const int item = static_cast<int>(i);
      if (!there_[i] || open_of_[i] > 0 || problem_.items[i].grounded != grounded || !may_go(item, care)) continue;
      int way_rank = 0;
      const auto way = way_out(item, way_rank);
      if (!way) continue;
      const std::tuple<int, int, double, int> rank{-tier(item), way_rank, -height(item), item};
      if (best && !(rank < best_rank)) continue;
      best = item;
      best_rank = rank;
      best_way_ = *way;
    }
    return best;
  }

  /// How far from the floor a thing lies.
  double height(int item) const {
    double sum = 0;
    for (const int b : problem_.items[static_cast<std::size_t>(item)].bodies)
      sum -= dot(kit_.box[static_cast<std::size_t>(b)].centre(), problem_.down);
    return sum / static_cast<double>(problem_.items[static_cast<std::size_t>(item)].bodies.size());
  }

  void take_away(int item) {
    order_.way_in[static_cast<std::size_t>(item)] = -best_way_;
    there_[static_cast<std::size_t>(item)] = 0;
    present_ -= problem_.items[static_cast<std::size_t>(item)].set;
    for (const int b : problem_.items[static_cast<std::size_t>(item)].bodies) {
      const auto& fixings = kept_from_[static_cast<std::size_t>(b)];
      to_look_at_.insert(to_look_at_.end(), fixings.begin(), fixings.end());
    }
  }

  Order stuck() {
    for (std::size_t i = 0; i < problem_.items.size(); ++i)
      if (there_[i]) order_.stuck_items.push_back(static_cast<int>(i));
    // Where a fixing can never be driven, not even with its own pieces alone, that is why.
    for (std::size_t f = 0; f < problem_.fixings.size(); ++f) {
      const int fixing = problem_.fixings[f];
      if (undone(f)) continue;
      PieceSet own(kit_.count());
      for (const int i : items_of_[f]) own |= problem_.items[static_cast<std::size_t>(i)].set;
      if (fastener_with_room(fixing, own) < 0) order_.stuck_fixings.push_back(fixing);
    }
    return std::move(order_);
  }

  // --- from the line-up to what must come before what --------------------------------------------------------------

  /// At the moment a fixing's last body arrives, the handiest tool that has room.
  void choose_tools() {
    std::vector<int> place(problem_.items.size());
    std::vector<PieceSet> after;
    PieceSet present(kit_.count());
    for (std::size_t k = 0; k < order_.sequence.size(); ++k) {
      place[static_cast<std::size_t>(order_.sequence[k])] = static_cast<int>(k);
      present |= problem_.items[static_cast<std::size_t>(order_.sequence[k])].set;
      after.push_back(present);
    }
    for (std::size_t f = 0; f < problem_.fixings.size(); ++f) {
      int last = order_.late[f] ? static_cast<int>(after.size()) - 1 : 0;
      for (const int i : items_of_[f]) last = std::max(last, place[static_cast<std::size_t>(i)]);
      order_.fastener[f] = fastener_with_room(problem_.fixings[f], after[static_cast<std::size_t>(last)]);
      if (order_.fastener[f] < 0) order_.stuck_fixings.push_back(problem_.fixings[f]);
    }
  }

  void must_come_before(int first, int second) {
    if (first != second) order_.before[static_cast<std::size_t>(second)].push_back(first);
  }

  void link() {
    const kernel::Ways& ways = tables_.blocking.ways();
    std::vector<char> placed(problem_.items.size(), 0);
    for (const int item : order_.sequence) {
      const Item& it = problem_.items[static_cast<std::size_t>(item)];
      const Vec3 out = -order_.way_in[static_cast<std::size_t>(item)];
      for (std::size_t w = 0; w < ways.size(); ++w) {
        if (norm(unit(ways[w]) - out) > 1e-9) continue;
        for (const int b : it.bodies) {
          tables_.blocking.hit(static_cast<int>(w), b).for_each([&](int other) {
            const int j = item_of_[static_cast<std::size_t>(other)];
            if (j >= 0) must_come_before(item, j);
          });
        }
        break;
      }
      for (const int carrier : carriers_[static_cast<std::size_t>(item)])
        if (placed[static_cast<std::size_t>(carrier)]) must_come_before(carrier, item);
      placed[static_cast<std::size_t>(item)] = 1;
    }
    for (std::size_t f = 0; f < problem_.fixings.size(); ++f) {
      if (order_.late[f] || order_.fastener[f] < 0) continue;
      tables_.access.in_way(order_.fastener[f]).for_each([&](int other) {
        const int j = item_of_[static_cast<std::size_t>(other)];
        if (j < 0) return;
        for (const int i : items_of_[f]) must_come_before(i, j);
      });
    }
    for (auto& list : order_.before) {
      std::sort(list.begin(), list.end());
      list.erase(std::unique(list.begin(), list.end()), list.end());
    }
  }

  const Kit& kit_;
  const Tables& tables_;
  const Problem& problem_;
  std::vector<int> item_of_, tier_;
  PieceSet present_;
  std::vector<char> there_, undone_;
  std::vector<int> open_of_;  ///< fixings of an item that are not undone yet
  std::vector<std::vector<int>> neighbours_, carriers_, carried_, items_of_;
  std::vector<std::vector<std::size_t>> fixings_of_;  ///< of each item, as places in Problem::fixings
  std::vector<std::vector<std::size_t>> kept_from_;   ///< of each body: the fixings it is in the way of a tool for
  std::vector<std::size_t> to_look_at_;
  Vec3 best_way_;
  Order order_;
};

}  // namespace

std::vector<int> tiers(const Kit& kit, const Problem& problem) {
  const std::vector<int> of = item_of_body(kit, problem);
  std::vector<int> tier(problem.items.size(), kFarFromGround);
  if (!problem.on_site) return tier;
  std::vector<std::vector<int>> fixed_to(problem.items.size());
  for (const int f : problem.fixings) {
    const auto& chain = kit.chain[static_cast<std::size_t>(f)];
    for (std::size_t k = 0; k + 1 < chain.size(); ++k) {
      const int a = of[static_cast<std::size_t>(chain[k])], b = of[static_cast<std::size_t>(chain[k + 1])];
      if (a < 0 || b < 0 || a == b) continue;
      fixed_to[static_cast<std::size_t>(a)].push_back(b);
      fixed_to[static_cast<std::size_t>(b)].push_back(a);
    }
  }
  std::queue<int> open;
  for (std::size_t i = 0; i < problem.items.size(); ++i) {
    if (!problem.items[i].grounded) continue;
    tier[i] = 0;
    open.push(static_cast<int>(i));
  }
  while (!open.empty()) {
    const int at = open.front();
    open.pop();
    for (const int next : fixed_to[static_cast<std::size_t>(at)]) {
      if (tier[static_cast<std::size_t>(next)] != kFarFromGround) continue;
      tier[static_cast<std::size_t>(next)] = tier[static_cast<std::size_t>(at)] + 1;
      open.push(next);
    }
  }
  return tier;
}

Order find_order(const Kit& kit, const Tables& tables, const Problem& problem) {
  return Backwards(kit, tables, problem).run();
}

}  // namespace garthwright::sequence
