// SPDX-License-Identifier: Apache-2.0
#include "decide/least_fixings.h"

#include <algorithm>
#include <limits>
#include <optional>
#include <queue>
#include <set>
#include <tuple>

#include "decide/rough_price.h"
#include "strength/slip_moduli.h"
#include "structure/fixing_rule.h"
#include "structure/joinery.h"

namespace garthwright::decide {
namespace {

using timber::FixingItem;

constexpr std::size_t kMostLooks = 200;  // then what is known so far is the bound
constexpr int kFewInEndGrain = 3;        // fewer bear nothing across (8.3.1.2(4))

/// The bodies of each joint of a connection.
std::vector<const std::vector<Body>*> chains_of(const Structure& structure, std::size_t connection) {
  std::vector<const std::vector<Body>*> chains;
  for (const Fixing& fixing : structure.fixings)
    if (fixing.connection == static_cast<int>(connection) && (chains.empty() || *chains.back() != fixing.through))
      chains.push_back(&fixing.through);
  return chains;
}

bool along_the_grain(const Structure& structure, const std::vector<Body>& chain) {
  if (chain.size() < 2) return false;
  const JointId joint = joint_between(structure, chain.front(), chain[1]);
  if (!joint) return false;
  Fixing way;
  way.direction = structure[joint].normal;
  return std::any_of(chain.begin(), chain.end(), [&](Body b) { return strength::into_end_grain(structure, way, b); });
}

/// Whether so many of an item bear nothing where they go along the grain of a timber.
bool nothing_in_end_grain(const FixingItem& item, int count, bool us) {
  if (is_connector(item.kind)) return false;
  Fixing fixing;
  fixing.kind = item.kind, fixing.make = item.make;
  const strength::Holds holds = strength::holds_in_end_grain(fixing, us);
  return !holds.along && (!holds.across || (!us && count < kFewInEndGrain));
}

}  // namespace

std::vector<std::string> bearing_candidates(const Structure& structure, std::size_t connection,
                                            const SoldFixings& sold) {
  std::vector<std::string> all = structure.connections[connection].candidates;
  const auto chains = chains_of(structure, connection);
  const bool any =
      std::any_of(chains.begin(), chains.end(), [&](const auto* chain) { return along_the_grain(structure, *chain); });
  if (!any || all.empty()) return all;
  const bool us = sold.yard().units == "ft-in";
  const auto nothing = [&](const std::string& text) {
    const FixingText parsed = parse_fixing_text(text);
    const std::vector<const FixingItem*>& items = sold.named(parsed.item);
    return !items.empty() && std::all_of(items.begin(), items.end(), [&](const FixingItem* item) {
      return nothing_in_end_grain(*item, std::max(1, parsed.count), us);
    });
  };
  if (nothing(all.front())) return all;
  all.erase(std::remove_if(all.begin() + 1, all.end(), nothing), all.end());
  return all;
}

/// Items by their number among the yard's fixings, with how many.
struct LeastFixings::Option {
  std::vector<std::pair<std::size_t, int>> takes;
};

LeastFixings::LeastFixings(const pattern::Job& job, const SoldFixings& sold, bool free)
    : sold_(sold), nothing_(free || job.yards.size() != 1 || job.yard.terms != timber::Terms{}) {
  for (const FixingItem& item : job.yard.fixings) {
    Price price{std::numeric_limits<double>::infinity(), std::numeric_limits<double>::infinity()};
    for (const timber::Pack& pack : item.packs) {
      if (pack.count <= 0) continue;
      const auto cost = static_cast<double>(pack.price.minor);
      price.pack = std::min(price.pack, cost);
      price.each = std::min(price.each, cost / pack.count);
    }
    prices_.push_back(price);
  }
}

/// None said of those that cannot be told without setting them: they cost nothing here.
std::vector<LeastFixings::Option> LeastFixings::options_of(const Structure& structure, std::size_t connection,
                                                           const std::set<std::string>* only) const {
  const auto number = [&](const FixingItem& item) {
    return static_cast<std::size_t>(&item - sold_.yard().fixings.data());
  };
  std::vector<Option> options;
  std::map<std::size_t, int> now;
  for (const Fixing& fixing : structure.fixings) {
    if (fixing.connection != static_cast<int>(connection)) continue;
    const auto item = std::find_if(sold_.yard().fixings.begin(), sold_.yard().fixings.end(),
                                   [&](const FixingItem& one) { return one.name == fixing.item; });
    if (item == sold_.yard().fixings.end()) return {Option{}};
    ++now[number(*item)];
  }
  options.push_back({{now.begin(), now.end()}});
  const auto chains = chains_of(structure, connection);
  std::vector<std::optional<FixingLine>> lines;
  for (const auto* chain : chains) lines.push_back(even_line(structure, *chain));
  std::set<std::string> seen;
  for (const std::string& text : bearing_candidates(structure, connection, sold_)) {
    if (!seen.insert(text).second || (only && only->count(text) == 0)) continue;
    const FixingText parsed = parse_fixing_text(text);
    const std::vector<const FixingItem*>& items = sold_.named(parsed.item);
    std::map<std::size_t, int> takes;
    bool fits = !items.empty(), told = true;
    for (std::size_t i = 0; i < chains.size() && fits && told; ++i) {
      if (is_connector(items.front()->kind)) {
        takes[number(*items.front())] += std::max(1, parsed.count);
        continue;
      }
      told = lines[i].has_value();
      if (!told) break;
      const std::optional<FixingChoice> choice = choose_fixing(items, *lines[i]);
      fits = choice && choice->suits;
      if (fits) takes[number(*choice->item)] += std::max(1, parsed.count);
    }
    if (!told) return {Option{}};
    if (fits) options.push_back({{takes.begin(), takes.end()}});
  }
  return options;
}

double LeastFixings::of(const Garden& garden, const Only& only) const {
  if (nothing_) return 0;
  std::vector<std::vector<Option>> groups;
  std::set<std::string> staying;
  for (std::size_t s = 0; s < garden.structures.size(); ++s) {
    const Structure& structure = garden.structures[s];
    for (const Fixing& fixing : structure.fixings)
      if (fixing.connection < 0 || !may_change(structure.connections[static_cast<std::size_t>(fixing.connection)]))
        staying.insert(fixing.item);
    for (const Item& item : structure.items) staying.insert(item.name);
    for (std::size_t i = 0; i < structure.connections.size(); ++i)
      if (may_change(structure.connections[i])) {
        const auto restricted = [&]() -> const std::set<std::string>* {
          if (s >= only.size()) return nullptr;
          const auto at = only[s].find(structure.connections[i].name);
          return at == only[s].end() ? nullptr : &at->second;
        };
        groups.push_back(options_of(structure, i, restricted()));
      }
  }
  // Of what is bought anyway some may be left over.
  for (std::vector<Option>& group : groups)
    for (Option& option : group)
      std::erase_if(option.takes,
                    [&](const auto& take) { return staying.count(sold_.yard().fixings[take.first].name) > 0; });
  return least(std::move(groups));
}

/// The least sum over all groups of what is bought of each item, best first; the least that is open where that takes
/// too long.
double LeastFixings::least(std::vector<std::vector<Option>> groups) const {
  const auto cost = [&](std::size_t item, int count) {
    return count == 0 ? 0 : std::max(prices_[item].pack, prices_[item].each * count);
  };
  const auto more = [&](const std::map<std::size_t, int>& bought, const Option& option) {
    double sum = 0;
    for (const auto& [item, count] : option.takes) {
      const auto known = bought.find(item);
      const int before = known == bought.end() ? 0 : known->second;
      sum += cost(item, before + count) - cost(item, before);
    }
    return sum;
  };
  const auto least_more = [&](const std::map<std::size_t, int>& bought, const std::vector<Option>& group) {
    double least = std::numeric_limits<double>::infinity();
    for (const Option& option : group) least = std::min(least, more(bought, option));
    return least;
  };
  for (std::vector<Option>& group : groups) {  // of one item the fewest
    std::map<std::vector<std::size_t>, Option> fewest;
    for (const Option& option : group) {
      std::vector<std::size_t> items;
      for (const auto& [item, count] : option.takes) items.push_back(item);
      const auto [at, fresh] = fewest.emplace(items, option);
      if (!fresh && option.takes < at->second.takes) at->second = option;
    }
    group.clear();
    for (auto& [items, option] : fewest) group.push_back(std::move(option));
  }
  std::stable_sort(groups.begin(), groups.end(),
                   [&](const auto& a, const auto& b) { return least_more({}, a) > least_more({}, b); });
  struct Node {
    double bound = 0, spent = 0;
    std::size_t next = 0;  ///< group
    std::size_t number = 0;
    std::map<std::size_t, int> bought;
  };
  const auto later = [](const Node& a, const Node& b) {
    return std::tuple(a.bound, b.next, a.number) > std::tuple(b.bound, a.next, b.number);
  };
  std::priority_queue<Node, std::vector<Node>, decltype(later)> open(later);
  open.push({});
  std::size_t number = 0;
  for (std::size_t looks = 0; looks < kMostLooks; ++looks) {
    const Node node = open.top();
    if (node.next == groups.size()) return node.bound;
    open.pop();
    for (const Option& option : groups[node.next]) {
      Node next{0, node.spent + more(node.bought, option), node.next + 1, ++number, node.bought};
      for (const auto& [item, count] : option.takes) next.bought[item] += count;
      double rest = 0;
      for (std::size_t g = next.next; g < groups.size(); ++g) rest = std::max(rest, least_more(next.bought, groups[g]));
      next.bound = std::max(node.bound, next.spent + rest);
      open.push(std::move(next));
    }
    if (open.empty()) return 0;
  }
  return open.top().bound;
}

}  // namespace garthwright::decide
