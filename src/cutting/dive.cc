// SPDX-License-Identifier: Apache-2.0
#include "cutting/dive.h"

#include <algorithm>
#include <cmath>

#include "cutting/greedy.h"
#include "cutting/lower_bound.h"

namespace garthwright::cutting {
namespace {

constexpr double kWhole = 1e-4;

std::int64_t wanted(const Remainder& remainder) {
  std::int64_t sum = 0;
  for (std::int64_t d : remainder.demand) sum += d;
  return sum;
}

void use(const Model& model, const Pattern& pattern, std::int64_t count, Plan& plan, Remainder& remainder) {
  plan.uses.push_back({pattern, count});
  plan.cost += count * model.bars[pattern.bar].cost;
  remainder.limit[pattern.bar] -= count;
  for (const Entry& entry : coverage(model, pattern)) {
    std::int64_t& demand = remainder.demand[entry.row];
    demand = std::max<std::int64_t>(0, demand - static_cast<std::int64_t>(entry.value) * count);
  }
}

std::optional<Plan> finish(const Model& model, Plan plan, const Remainder& remainder, int passes, std::int64_t target,
                           Work& work) {
  if (wanted(remainder) == 0) return plan;
  const std::optional<Plan> rest = greedy_plan(model, remainder, passes, target - plan.cost, work);
  if (!rest) return std::nullopt;
  plan.uses.insert(plan.uses.end(), rest->uses.begin(), rest->uses.end());
  plan.cost += rest->cost;
  return plan;
}

void keep_better(std::optional<Plan>& best, const std::optional<Plan>& plan) {
  if (plan && (!best || plan->cost < best->cost)) best = plan;
}

// The pattern as far as it is still wanted.
Pattern trimmed(const Model& model, Pattern pattern, const Remainder& remainder) {
  std::vector<std::int64_t> left = remainder.demand;
  for (ItemCount& part : pattern.items) {
    const Item& item = model.items[part.item];
    part.count = std::min(part.count, (left[item.row] + item.yield - 1) / item.yield);
    left[item.row] = std::max<std::int64_t>(0, left[item.row] - part.count * item.yield);
  }
  std::erase_if(pattern.items, [](const ItemCount& part) { return part.count == 0; });
  return pattern;
}

}  // namespace

std::optional<Plan> round_plan(const Model& model, const Relaxation& relaxation, const PatternPool& pool,
                               std::int64_t target, bool thorough, Work& work) {
  std::vector<std::pair<int, double>> solution = relaxation.solution();
  Plan whole;
  Remainder remainder = relaxation.remainder();
  for (const auto& [p, x] : solution) {
    const auto count = std::min(static_cast<std::int64_t>(x + kWhole), remainder.limit[pool.all()[p].bar]);
    if (count > 0) use(model, pool.all()[p], count, whole, remainder);
  }
  std::optional<Plan> best = finish(model, whole, remainder, thorough ? 6 : 0, target, work);
  if (!thorough || (best && best->cost <= target)) return best;

  // Then the greatest fractions one by one, as long as they are wanted whole; greedy filling after each.
  std::stable_sort(solution.begin(), solution.end(), [](const auto& a, const auto& b) {
    return a.second - std::floor(a.second) > b.second - std::floor(b.second);
  });
  int tries = 0;
  for (const auto& [p, x] : solution) {
    const double fraction = x + kWhole - std::floor(x + kWhole);
    if (fraction < 0.3 || work.over()) break;
    const Pattern pattern = trimmed(model, pool.all()[p], remainder);
    if (remainder.limit[pattern.bar] <= 0 || pattern != pool.all()[p]) continue;
    use(model, pattern, 1, whole, remainder);
    if (fraction > 0.9 && ++tries > 3) continue;
    keep_better(best, finish(model, whole, remainder, 2, target, work));
    if (best && best->cost <= target) return best;
  }
  return best;
}

Plan with_end(const Plan& taken, const Dive::Step& step, const Plan& end) {
  Plan plan{{taken.uses.begin(), taken.uses.begin() + static_cast<std::ptrdiff_t>(step.uses)}, step.cost + end.cost};
  plan.uses.insert(plan.uses.end(), end.uses.begin(), end.uses.end());
  return plan;
}

Dive dive(const Model& model, Relaxation relaxation, PatternPool& pool, std::int64_t target, Work& work) {
  Dive way;
  Plan& plan = way.taken;
  while (wanted(relaxation.remainder()) > 0 && !work.over()) {
    const std::vector<std::pair<int, double>> solution = relaxation.solution();
    Remainder remainder = relaxation.remainder();
    way.steps.push_back({plan.uses.size(), plan.cost, remainder});
    bool fixed = false;
    int pick = -1;
    double pick_fraction = -1;
    for (const auto& [p, x] : solution) {
      const auto count =
          std::min(static_cast<std::int64_t>(x + kWhole), relaxation.remainder().limit[pool.all()[p].bar]);
      if (count > 0) {
        // Fractions that are whole by then may still cut more than is wanted; the greedy end mends that.
        const Pattern pattern = trimmed(model, pool.all()[p], relaxation.remainder());
        if (pattern.items.empty()) continue;
        use(model, pattern, count, plan, remainder);
        relaxation.take(p, count);
        fixed = true;
      } else if (x > pick_fraction && relaxation.remainder().limit[pool.all()[p].bar] > 0) {
        pick_fraction = x;
        pick = p;
      }
    }
    if (!fixed) {
      if (pick < 0) break;
      way.chose = true;
      const Pattern pattern = trimmed(model, pool.all()[pick], relaxation.remainder());
      if (pattern.items.empty()) break;
      use(model, pattern, 1, plan, remainder);
      relaxation.take(pick, 1);
    }
    if (wanted(relaxation.remainder()) == 0) break;
    keep_better(way.best, finish(model, plan, relaxation.remainder(), 1, target, work));
    if (way.best && way.best->cost <= target) return way;
    if (plan.cost > target) return way;
    // More columns are of no use once those at hand reach the target, or none could.
    const double enough = static_cast<double>(target - plan.cost) + 1e-6;
    std::int64_t bound = 0;
    relaxation.mend(work, enough);
    const Relaxation::End end = relaxation.generate(
        work,
        [&](const Prices& prices, double value) {
          bound = std::max(bound, cost_bound(model, relaxation.remainder(), prices));
          return value <= enough || plan.cost + bound > target || work.over();
        },
        enough);
    if (end == Relaxation::End::converged)
      bound = std::max(bound, static_cast<std::int64_t>(std::ceil(relaxation.value() - 1e-6)));
    // What this way can still reach has been found already.
    if (way.chose && way.best && plan.cost + bound >= way.best->cost) return way;
  }
  if (wanted(relaxation.remainder()) == 0) keep_better(way.best, plan);
  return way;
}

}  // namespace garthwright::cutting
