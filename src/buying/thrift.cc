// SPDX-License-Identifier: Apache-2.0
#include "buying/thrift.h"

#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <tuple>

#include "buying/goods.h"
#include "buying/lengths.h"
#include "buying/savings.h"
#include "cutting/price_steps.h"
#include "timber/market.h"

namespace garthwright::buying {
namespace {

using timber::Yard;
using Index = std::int64_t;  // on the grid, 0 at now's value

constexpr double kSameLength = 1e-6;  // mm
/// A section whose cost is still open after so many splits of one range is left as an interval.
constexpr int kMostSplits = 4000;
constexpr int kFirstLook = 8;

/// Cost of one part of the whole over a range; `known` false where it cannot be bought.
struct Part {
  Index from = 0, to = 0;
  std::int64_t cost = 0, bound = 0;
  bool known = true;
};
using Curve = std::vector<Part>;

/// What the cutting of a piece hangs on.
struct Cut {
  Traced length;
  int section = 0;  // within its group
  bool straight = false, may_rip = false;
  std::vector<double> joins_at;
};

/// All that decides the cost at one value. The structures themselves are not kept: a search looks at hundreds.
struct Knot {
  std::string refusal;  // of the pattern
  std::string shape;    // pieces and their sections, panels, holes: what must agree for lengths to be compared
  std::vector<Group> groups;
  std::vector<std::vector<Cut>> cuts;  // by group
  std::int64_t fixed = 0;              // fixings, panels, preservative
  std::vector<std::pair<std::string, HoleSizes>> holes;
  std::string missing;  // goods the yard does not sell

  bool built() const { return refusal.empty(); }
};

std::string shape_of(const Garden& garden) {
  std::string shape;
  for (const Structure& structure : garden.structures) {
    for (const Piece& piece : structure.pieces)
      shape += fmt::format("{}/{}/{}{}{}\n", piece.name, structure[piece.section].name, piece.straight, may_rip(piece),
                           piece.joins_at.size());
    for (const Panel& panel : structure.panels) shape += panel.item + '\n';
    for (const Footing& footing : structure.footings) shape += fmt::format("{}@{}\n", footing.fill, footing.post.index);
  }
  return shape;
}

/// The reason without its figures: two refusals for one reason.
std::string reason_of(const std::string& refusal) {
  std::string reason;
  for (const char c : refusal)
    if (c < '0' || c > '9') reason += c;
  return reason;
}

double between(double a, double b, double share) { return a + (b - a) * share; }

HoleSizes between(const HoleSizes& a, const HoleSizes& b, double share) {
  return {between(a.diameter, b.diameter, share), between(a.depth, b.depth, share), between(a.gravel, b.gravel, share),
          between(a.post_area, b.post_area, share), between(a.post_below, b.post_below, share)};
}

bool near(const HoleSizes& a, const HoleSizes& b) {
  return std::abs(a.diameter - b.diameter) < kSameLength && std::abs(a.depth - b.depth) < kSameLength &&
         std::abs(a.gravel - b.gravel) < kSameLength && std::abs(a.post_area - b.post_area) < 1e-3 &&
         std::abs(a.post_below - b.post_below) < kSameLength;
}

class Study {
 public:
  Study(const ThriftQuestion& question, const Builder& build, const Yard& yard, const Saw& saw,
        const cutting::Options& options)
      : question_(question), build_(build), yard_(yard), saw_(saw), options_(options), cutter_(options) {
    const double slack = 1e-9 * question.step;
    low_ = static_cast<Index>(std::ceil((question.low - question.now) / question.step - slack));
    high_ = static_cast<Index>(std::floor((question.high - question.now) / question.step + slack));
    low_ = std::min<Index>(low_, 0);
    high_ = std::max<Index>(high_, 0);
    spoken_ = question.choice;
    std::replace(spoken_.begin(), spoken_.end(), '_', ' ');
  }

  Result<void> now_stands() {
    const Knot& now = at(0);
    if (!now.built()) return tl::make_unexpected(why_not_);
    if (now.missing.empty()) return {};
    return fail("unbuyable", now.missing, "plan the job first and mend what it tells");
  }

  void run() {
    std::set<Index> looks{low_, 0, high_};
    for (Index i = 1; i < kFirstLook; ++i) looks.insert(low_ + (high_ - low_) * i / kFirstLook);
    for (auto look = looks.begin(); std::next(look) != looks.end(); ++look) settle(*look, *std::next(look));
    emit_one(high_);
  }

  double value(Index i) const { return question_.now + question_.step * static_cast<double>(i); }
  const std::vector<CostStep>& steps() const { return steps_; }
  int builds() const { return static_cast<int>(knots_.size()); }
  std::int64_t solves() const { return solves_ + cutter_.solves(); }

 private:
  // ---- what a value builds
  // -------------------------------------------------------------------------------------------

  const Knot& at(Index i) {
    const auto known = knots_.find(i);
    if (known != knots_.end()) return *known->second;
    auto knot = std::make_unique<Knot>();
    Result<Garden> built = build_(value(i));
    if (!built) {
      if (i == 0) why_not_ = built.error();
      knot->refusal = built.error().front().what;
      if (knot->refusal.empty()) knot->refusal = built.error().front().code;
    } else {
      read(*knot, *built);
    }
    return *knots_.emplace(i, std::move(knot)).first->second;
  }

  void read(Knot& knot, const Garden& garden) {
    knot.shape = shape_of(garden);
    knot.groups = groups_of(garden, yard_, saw_, {});
    knot.cuts.resize(knot.groups.size());
    for (const Structure& structure : garden.structures) {
      for (const Piece& piece : structure.pieces) {
        const std::string& name = structure[piece.section].name;
        for (std::size_t g = 0; g < knot.groups.size(); ++g)
          for (std::size_t s = 0; s < knot.groups[g].sections.size(); ++s)
            if (knot.groups[g].sections[s]->name == name)
              knot.cuts[g].push_back(
                  {piece.length, static_cast<int>(s), piece.straight, may_rip(piece), piece.joins_at});
      }
      for (const Footing& footing : structure.footings)
        knot.holes.emplace_back(footing.fill, hole_sizes(structure, footing));
    }
    Report report;
    buy_fixings(garden, yard_, {}, report);
    buy_panels(garden, yard_, report);
    buy_preservative(garden, yard_, report);
    if (has_error(report.diagnostics)) knot.missing = report.diagnostics.front().what;
    knot.fixed = total_of(report).minor;
  }

  // ---- ranges
  // --------------------------------------------------------------------------------------------------------

  bool alike(const Knot& a, const Knot& b) const {
    if (!a.built() || !b.built()) return !a.built() && !b.built() && reason_of(a.refusal) == reason_of(b.refusal);
    return a.shape == b.shape && a.fixed == b.fixed && a.missing == b.missing;
  }

  /// Adds the steps from a up to (not with) b.
  void settle(Index a, Index b) {
    std::vector<std::pair<Index, Index>> open{{a, b}};
    while (!open.empty()) {
      const auto [from, to] = open.back();
      open.pop_back();
      if (to - from == 1) {
        emit_one(from);
        continue;
      }
      const Index split = try_whole(from, to);
      if (split == from) continue;
      open.emplace_back(split, to);
      open.emplace_back(from, split);
    }
  }

  /// Adds the steps of the whole range when they are known, and returns `from`; else where to split it.
  Index try_whole(Index from, Index to) {
    const Index middle = from + (to - from) / 2;
    const Knot &a = at(from), &b = at(to);
    if (!alike(a, b)) return middle;
    const Knot& m = at(middle);
    if (!alike(a, m)) return middle;
    if (!a.built()) {
      add({value(from), value(to - 1), {}, {}, a.refusal});
      return from;
    }
    const double share = static_cast<double>(middle - from) / static_cast<double>(to - from);
    for (std::size_t i = 0; i < a.holes.size(); ++i)
      if (!near(between(a.holes[i].second, b.holes[i].second, share), m.holes[i].second)) return middle;

    std::vector<Curve> curves{{{from, to - 1, a.fixed, a.fixed, a.missing.empty()}}};
    for (std::size_t g = 0; g < a.groups.size(); ++g) {
      std::optional<Curve> curve = group_curve(g, from, to, a, m, b);
      if (!curve) return foreseen_jump(g, from, to, a, b);
      curves.push_back(*std::move(curve));
    }
    curves.push_back(ground_curve(from, to, a, b));
    sum(curves, from, to - 1);
    return from;
  }

  // ---- timber
  // --------------------------------------------------------------------------------------------------------

  /// The lengths of a group at both ends of a range: equal pairs are one piece of the problem.
  struct Run {
    double a = 0, b = 0;
    int section = 0;
    bool straight = false, may_rip = false;
    std::vector<double> joins_a, joins_b;
    int quantity = 0;

    auto key() const { return std::tie(a, b, section, straight, may_rip, joins_a, joins_b); }
    std::vector<double> joins_at(double share) const {
      std::vector<double> joins;
      for (std::size_t i = 0; i < joins_a.size(); ++i) joins.push_back(between(joins_a[i], joins_b[i], share));
      return joins;
    }
  };

  static std::vector<Run> runs(std::size_t g, const Knot& a, const Knot& b) {
    std::vector<Run> found;
    for (std::size_t i = 0; i < a.cuts[g].size(); ++i) {
      const Cut &x = a.cuts[g][i], &y = b.cuts[g][i];
      found.push_back(
          {x.length.value(), y.length.value(), x.section, x.straight, x.may_rip, x.joins_at, y.joins_at, 1});
    }
    std::sort(found.begin(), found.end(), [](const Run& x, const Run& y) { return x.key() < y.key(); });
    std::vector<Run> counted;
    for (Run& run : found) {
      if (!counted.empty() && counted.back().key() == run.key())
        ++counted.back().quantity;
      else
        counted.push_back(std::move(run));
    }
    return counted;
  }

  /// `share`: how far from the one end to the other the places are where pieces may be joined.
  static std::vector<Wanted> wanted(const std::vector<Run>& runs, const auto& length, double share = 0) {
    std::vector<Wanted> list;
    for (const Run& run : runs)
      list.push_back(
          {"", "", length(run), run.quantity, run.section, run.straight, run.may_rip, run.joins_at(share), 0});
    std::stable_sort(list.begin(), list.end(), [](const Wanted& x, const Wanted& y) {
      return micrometres(x.length_mm) < micrometres(y.length_mm);
    });
    std::vector<Wanted> merged;
    for (Wanted& piece : list) {
      const auto same = std::find_if(merged.begin(), merged.end(), [&](const Wanted& known) {
        return micrometres(known.length_mm) == micrometres(piece.length_mm) && known.section == piece.section &&
               known.straight == piece.straight && known.may_rip == piece.may_rip && known.joins_at == piece.joins_at;
      });
      if (same != merged.end())
        same->quantity += piece.quantity;
      else
        merged.push_back(std::move(piece));
    }
    return merged;
  }

  Part solve(const Group& group, const std::vector<Run>& runs, const auto& length, double share = 0) {
    const GroupCost cost = group_cost(group, wanted(runs, length, share), saw_, cutter_);
    return {0, 0, cost.cost, cost.bound, cost.known};
  }

  static bool same_lengths(const std::vector<Cut>& a, const std::vector<Cut>& b) {
    for (std::size_t i = 0; i < a.size(); ++i)
      if (a[i].joins_at != b[i].joins_at || std::abs(a[i].length.value() - b[i].length.value()) > kSameLength)
        return false;
    return true;
  }

  /// The same sum at both ends, in which nothing but the choice itself has another value.
  bool same_sum(const Traced& a, const Traced& b) const {
    if (a.terms().size() != b.terms().size() || std::abs(a.constant() - b.constant()) > 1e-9) return false;
    for (std::size_t i = 0; i < a.terms().size(); ++i) {
      const Traced::Term &x = a.terms()[i], &y = b.terms()[i];
      if (x.quantity->name != y.quantity->name || std::abs(x.factor - y.factor) > 1e-12) return false;
      const bool the_choice = x.quantity->name == spoken_ && x.quantity->source == "choice";
      if (!the_choice && x.quantity->value != y.quantity->value) return false;
    }
    return true;
  }

  bool same_sums(const std::vector<Cut>& a, const std::vector<Cut>& b) const {
    for (std::size_t i = 0; i < a.size(); ++i)
      if (!same_sum(a[i].length, b[i].length)) return false;
    return true;
  }

  /// Cost of a group over from … to-1; none when the range must be split.
  std::optional<Curve> group_curve(std::size_t g, Index from, Index to, const Knot& a, const Knot& m, const Knot& b) {
    const Group& group = a.groups[g];
    const std::vector<Run> ends = runs(g, a, b);
    if (same_lengths(a.cuts[g], b.cuts[g]) && same_lengths(a.cuts[g], m.cuts[g])) {
      Part part = solve(group, ends, [](const Run& run) { return run.a; });
      part.from = from, part.to = to - 1;
      return Curve{part};
    }
    const bool sums = same_sums(a.cuts[g], b.cuts[g]) && same_sums(a.cuts[g], m.cuts[g]);
    if (may_be_joined(ends)) {  // a piece of two is as long as its halves, which no bound here looks at
      const double middle = static_cast<double>((to - from) / 2) / static_cast<double>(to - from);
      if (!sums || !joins_run_straight(a.cuts[g], m.cuts[g], b.cuts[g], middle)) return std::nullopt;
      return every_value(group, ends, from, to);
    }
    if (sums) return linear_curve(group, ends, from, to, to - 1);
    const Part least = solve(group, ends, [](const Run& run) { return std::min(run.a, run.b); });
    const Part most = solve(group, ends, [](const Run& run) { return std::max(run.a, run.b); });
    if (!least.known) return Curve{{from, to - 1, 0, 0, false}};  // too long even so
    if (!most.known || most.cost != least.bound) return std::nullopt;
    return Curve{{from, to - 1, most.cost, least.bound, true}};
  }

  static bool may_be_joined(const std::vector<Run>& ends) {
    return std::any_of(ends.begin(), ends.end(), [](const Run& run) { return !run.joins_a.empty(); });
  }

  /// Whether the places where pieces may be joined run straight from one end to the other, by what is between.
  static bool joins_run_straight(const std::vector<Cut>& a, const std::vector<Cut>& m, const std::vector<Cut>& b,
                                 double share) {
    for (std::size_t i = 0; i < a.size(); ++i)
      for (std::size_t k = 0; k < a[i].joins_at.size(); ++k)
        if (std::abs(between(a[i].joins_at[k], b[i].joins_at[k], share) - m[i].joins_at[k]) > kSameLength) return false;
    return true;
  }

  static double length_at(const Run& run, Index from, Index to, Index i) {
    return between(run.a, run.b, static_cast<double>(i - from) / static_cast<double>(to - from));
  }

  /// Whether what lies between any two places where a piece may be joined, and its ends, grows nowhere (`way` -1) or
  /// shrinks nowhere (1) from one end of the range to the other: then any cutting for the longer does for the shorter.
  static bool all_parts_go(const std::vector<Run>& ends, int way) {
    return std::all_of(ends.begin(), ends.end(), [&](const Run& run) {
      double last_a = 0, last_b = 0;
      for (std::size_t i = 0; i <= run.joins_a.size(); ++i) {
        const bool end = i == run.joins_a.size();
        const double a = end ? run.a : run.joins_a[i], b = end ? run.b : run.joins_b[i];
        if (way * ((b - last_b) - (a - last_a)) < -kSameLength) return false;
        last_a = a, last_b = b;
      }
      return true;
    });
  }

  /// Steps over from … to - 1, lengths and joins running straight: each value solved by itself, but where all parts go
  /// one way those between two that cost the same.
  Curve every_value(const Group& group, const std::vector<Run>& ends, Index from, Index to) {
    const auto solved = [&](Index i) {
      const double share = static_cast<double>(i - from) / static_cast<double>(to - from);
      Part part = solve(
          group, ends, [&](const Run& run) { return between(run.a, run.b, share); }, share);
      part.from = part.to = i;
      return part;
    };
    const auto same = [](const Part& a, const Part& b) {
      return a.known == b.known && a.cost == b.cost && a.bound == b.bound;
    };
    Curve curve;
    const auto add = [&](Part part) {
      if (!curve.empty() && same(curve.back(), part))
        curve.back().to = part.to;
      else
        curve.push_back(part);
    };
    const bool one_way = all_parts_go(ends, 1) || all_parts_go(ends, -1);
    std::vector<std::pair<Part, Part>> open{{solved(from), solved(to - 1)}};
    while (!open.empty()) {
      const auto [a, b] = open.back();
      open.pop_back();
      if (b.from - a.from <= 1 || (one_way && same(a, b))) {
        add({a.from, b.from, a.cost, a.bound, a.known});
        if (!same(a, b)) curve.back().to = a.from, add(b);
        continue;
      }
      const Part middle = solved(a.from + (b.from - a.from) / 2);
      open.emplace_back(middle, b);
      open.emplace_back(a, middle);
    }
    return curve;
  }

  /// Steps over from … last, the lengths running straight from their value at `from` to that at `to`.
  Curve linear_curve(const Group& group, const std::vector<Run>& ends, Index from, Index to, Index last) {
    const bool rises = std::all_of(ends.begin(), ends.end(), [](const Run& run) { return run.b >= run.a; });
    const bool falls = std::all_of(ends.begin(), ends.end(), [](const Run& run) { return run.b <= run.a; });
    const bool bundles = std::any_of(group.sources.begin(), group.sources.end(),
                                     [](const Source& source) { return !source.length.bundles.empty(); });
    // The kernel's own steps know nothing of bundles.
    if (bundles || (!rises && !falls)) return mixed_curve(group, ends, from, to, last);
    const auto at_index = [&](Index x) { return rises ? x : from + last - x; };
    const cutting::PriceSteps found = cutting::price_steps(
        [&](Index x) {
          const auto length = [&](const Run& run) { return length_at(run, from, to, at_index(x)); };
          return problem_of(group, wanted(ends, length), saw_, true).cutting;
        },
        from, last, options_);
    solves_ += found.solves;
    Curve curve;
    Index next = from;
    for (const cutting::PriceStep& step : found.steps) {
      curve.push_back({step.from, step.to, step.cost, step.lower_bound, true});
      next = step.to + 1;
    }
    if (next <= last) curve.push_back({next, last, 0, 0, false});
    if (!rises) {
      for (Part& part : curve) std::tie(part.from, part.to) = std::pair(at_index(part.to), at_index(part.from));
      std::reverse(curve.begin(), curve.end());
    }
    return curve;
  }

  /// Some pieces grow while others shrink, or come in bundles. The problem with each at its shorter end bounds cost
  /// from below over a range, the one with each at its longer end from above.
  Curve mixed_curve(const Group& group, const std::vector<Run>& ends, Index from, Index to, Index last) {
    Curve curve;
    std::vector<std::pair<Index, Index>> open{{from, last}};
    int splits = 0;
    while (!open.empty()) {
      const auto [x, y] = open.back();
      open.pop_back();
      const Part least = solve(group, ends, [&](const Run& run) {
        return std::min(length_at(run, from, to, x), length_at(run, from, to, y));
      });
      const Part most = x == y ? least : solve(group, ends, [&](const Run& run) {
        return std::max(length_at(run, from, to, x), length_at(run, from, to, y));
      });
      if (x == y || !least.known || (most.known && most.cost == least.bound) || (most.known && splits > kMostSplits)) {
        curve.push_back({x, y, most.cost, least.bound, least.known && most.known});
        continue;
      }
      ++splits;
      const Index middle = x + (y - x) / 2;
      open.emplace_back(middle + 1, y);
      open.emplace_back(x, middle);
    }
    return curve;
  }

  /// Where a section whose lengths are no sums would jump if they ran straight: the next to build, so that a jump is
  /// caught between neighbours by two builds. Every third look is at the middle, lest a bad forecast creep.
  Index foreseen_jump(std::size_t g, Index from, Index to, const Knot& a, const Knot& b) {
    const Index middle = from + (to - from) / 2;
    if (to - from < 4 || ++forecasts_ % 3 == 0) return middle;
    const std::vector<Run> ends = runs(g, a, b);
    if (may_be_joined(ends)) return middle;
    const Curve curve = linear_curve(a.groups[g], ends, from, to, to);
    if (curve.size() < 2) return middle;
    const Index jump = curve[(curve.size() - 1) / 2].to;
    for (const Index look : {jump, jump + 1})
      if (look > from && look < to) return look;
    return middle;
  }

  // ---- ground
  // --------------------------------------------------------------------------------------------------------

  Part ground_at(Index from, Index to, const Knot& a, const Knot& b, Index i) const {
    const double share = from == to ? 0 : static_cast<double>(i - from) / static_cast<double>(to - from);
    Fills fills;
    for (std::size_t h = 0; h < a.holes.size(); ++h)
      fills.add(a.holes[h].first, hole_fill(between(a.holes[h].second, b.holes[h].second, share)));
    Report report;
    buy_fills(fills, yard_, report);
    const std::int64_t cost = total_of(report).minor;
    return {i, i, cost, cost, !has_error(report.diagnostics)};
  }

  Curve ground_curve(Index from, Index to, const Knot& a, const Knot& b) const {
    bool same = true;
    for (std::size_t h = 0; h < a.holes.size(); ++h) same = same && near(a.holes[h].second, b.holes[h].second);
    Curve curve{ground_at(from, to, a, b, from)};
    for (Index i = from + 1; !same && i < to; ++i) {
      const Part part = ground_at(from, to, a, b, i);
      if (part.cost == curve.back().cost && part.known == curve.back().known)
        curve.back().to = i;
      else
        curve.push_back(part);
    }
    curve.back().to = to - 1;
    return curve;
  }

  // ---- the whole
  // -----------------------------------------------------------------------------------------------------

  void emit_one(Index i) {
    const Knot& knot = at(i);
    if (!knot.built()) return add({value(i), value(i), {}, {}, knot.refusal});
    std::vector<Curve> curves{{{i, i, knot.fixed, knot.fixed, knot.missing.empty()}}};
    for (std::size_t g = 0; g < knot.groups.size(); ++g) {
      Part part = solve(knot.groups[g], runs(g, knot, knot), [](const Run& run) { return run.a; });
      part.from = part.to = i;
      curves.push_back({part});
    }
    curves.push_back({ground_at(i, i, knot, knot, i)});
    sum(curves, i, i);
  }

  void sum(const std::vector<Curve>& curves, Index from, Index last) {
    std::vector<std::size_t> place(curves.size(), 0);
    for (Index x = from; x <= last;) {
      Index y = last;
      Part whole;
      for (std::size_t c = 0; c < curves.size(); ++c) {
        while (curves[c][place[c]].to < x) ++place[c];
        const Part& part = curves[c][place[c]];
        y = std::min(y, part.to);
        whole.cost += part.cost;
        whole.bound += part.bound;
        whole.known = whole.known && part.known;
      }
      if (whole.known)
        add({value(x), value(y), {whole.cost}, {whole.bound}, {}});
      else
        add({value(x), value(y), {}, {}, "the yard sells no length, or no thing, that would do"});
      x = y + 1;
    }
  }

  void add(const CostStep& step) {
    if (!steps_.empty() && reason_of(steps_.back().refusal) == reason_of(step.refusal) &&
        steps_.back().cost == step.cost && steps_.back().lower_bound == step.lower_bound)
      steps_.back().to = step.to;
    else
      steps_.push_back(step);
  }

  const ThriftQuestion& question_;
  const Builder& build_;
  const Yard& yard_;
  const Saw& saw_;
  cutting::Options options_;
  Cutter cutter_;
  std::string spoken_;
  Index low_ = 0, high_ = 0;
  std::map<Index, std::unique_ptr<Knot>> knots_;
  std::vector<CostStep> steps_;
  Diagnostics why_not_;
  std::int64_t solves_ = 0;
  int forecasts_ = 0;
};

const CostStep* step_at(const std::vector<CostStep>& steps, double value) {
  for (const CostStep& step : steps)
    if (step.from <= value + 1e-9 && value <= step.to + 1e-9) return &step;
  return nullptr;
}

/// The values on each side that surely cost less, nearest first: their cost at worst is under now's at best.
struct Sides {
  std::vector<double> below, above;
};
Sides cheaper_values(const std::vector<CostStep>& steps, double now) {
  const CostStep* here = step_at(steps, now);
  Sides sides;
  const auto cheaper = [&](const CostStep& step) { return step.buildable() && step.cost < here->lower_bound; };
  for (auto step = steps.rbegin(); step != steps.rend(); ++step)
    if (step->to < now && cheaper(*step)) sides.below.push_back(step->to);
  for (const CostStep& step : steps)
    if (step.from > now && cheaper(step)) sides.above.push_back(step.from);
  return sides;
}

}  // namespace

namespace {

Result<void> check(const ThriftQuestion& question) {
  if (question.step > 0 && question.low <= question.high && std::isfinite(question.now) &&
      (question.high - question.low) / question.step <= 1e6)
    return {};
  return fail("bad-range",
              fmt::format("{} cannot run from {:g} to {:g} by {:g}", question.choice, question.low, question.high,
                          question.step),
              "give a range of at most a million steps");
}

/// The nearest cheaper values that may be, with what makes the difference, once the steps are known.
Result<Thrift> told(Thrift found, const Builder& build, LengthStyle style,
                    const std::function<Report(const Garden&)>& bought, const Report* bought_now, const MayBe& may_be) {
  const double value_now = found.question.now;
  const CostStep& here = *step_at(found.steps, value_now);
  if (!here.buildable()) return fail("unbuyable", here.refusal, "plan the job first and mend what it tells");
  found.now = here.cost;
  const Sides sides = cheaper_values(found.steps, value_now);
  if (sides.below.empty() && sides.above.empty()) return found;
  const Result<Garden> now = build(value_now);
  if (!now) return tl::make_unexpected(now.error());
  const Report report = bought_now != nullptr ? *bought_now : bought(*now);
  for (const auto* side : {&sides.below, &sides.above}) {
    int asked = 0;
    for (const double value : *side) {
      const Result<Garden> then = build(value);
      if (!then) return tl::make_unexpected(then.error());
      if (may_be && !may_be(*then)) {
        ++found.passed_over;
        if (++asked == kMostAsked) break;
        continue;
      }
      const CostStep& step = *step_at(found.steps, value);
      found.cheaper.push_back({value,
                               step.cost,
                               {here.cost.minor - step.cost.minor},
                               saved_lines(report, bought(*then), style),
                               changed_pieces(*now, *then, style)});
      break;
    }
  }
  return found;
}

/// Builds each value once, however many sets of yards ask for it.
class Remembered {
 public:
  explicit Remembered(const Builder& build) : build_(build) {}
  Result<Garden> operator()(double value) {
    const auto known = built_.find(value);
    return known != built_.end() ? known->second : built_.emplace(value, build_(value)).first->second;
  }

 private:
  const Builder& build_;
  std::map<double, Result<Garden>> built_;
};

/// What the terms of a set's yards add to goods: exactly for one yard, else at least and at most.
class Billing {
 public:
  Billing(const std::vector<Yard>& yards, timber::YardSet set) : yards_(yards), set_(set) {}

  void bill(CostStep& step) const {
    if (!step.buildable()) return;
    if (std::popcount(set_) == 1) {
      const timber::Terms& terms = yards_[static_cast<std::size_t>(std::countr_zero(set_))].terms;
      step.cost.minor = paid(terms, step.cost.minor);
      step.lower_bound.minor = paid(terms, step.lower_bound.minor);
      return;
    }
    for (std::size_t i = 0; i < yards_.size(); ++i) {
      if (!(set_ >> i & 1)) continue;
      const timber::Terms& terms = yards_[i].terms;
      const std::int64_t delivery = timber::with_tax(terms.delivery, terms).minor;
      step.lower_bound.minor += terms.delivery_free_from ? 0 : delivery;
      step.cost.minor += delivery + terms.minimum_order.minor;
    }
  }

 private:
  static std::int64_t paid(const timber::Terms& terms, std::int64_t goods) {
    if (goods == 0) return 0;
    const std::int64_t least = std::max(goods, terms.minimum_order.minor);
    const std::int64_t brought = least + timber::with_tax(terms.delivery, terms).minor;
    if (!terms.delivery_free_from) return brought;
    return std::min(brought, std::max(least, terms.delivery_free_from->minor));
  }

  const std::vector<Yard>& yards_;
  timber::YardSet set_;
};

/// The cheaper of two step functions over one grid: cost and bound each for itself.
std::vector<CostStep> cheaper_of(const std::vector<CostStep>& a, const std::vector<CostStep>& b) {
  std::vector<CostStep> least;
  const auto add = [&](const CostStep& step) {
    if (!least.empty() && least.back().refusal == step.refusal && least.back().cost == step.cost &&
        least.back().lower_bound == step.lower_bound)
      least.back().to = step.to;
    else
      least.push_back(step);
  };
  double next = a.front().from;
  for (std::size_t i = 0, j = 0; i < a.size() && j < b.size();) {
    CostStep step = !a[i].buildable() && b[j].buildable() ? b[j] : a[i];
    if (a[i].buildable() && b[j].buildable()) {
      step.cost = std::min(a[i].cost, b[j].cost);
      step.lower_bound = std::min(a[i].lower_bound, b[j].lower_bound);
    }
    step.from = next;
    step.to = std::min(a[i].to, b[j].to);
    add(step);
    const bool a_ends = a[i].to <= step.to, b_ends = b[j].to <= step.to;
    if (a_ends && i + 1 < a.size()) next = a[i + 1].from;
    if (b_ends && j + 1 < b.size()) next = b[j + 1].from;
    i += a_ends;
    j += b_ends;
  }
  return least;
}

/// Goods that a set of yards does not sell are told of in words, not by a price: as many as all yards together leave.
std::size_t left_out(const Report& report) {
  return static_cast<std::size_t>(std::count_if(report.diagnostics.begin(), report.diagnostics.end(),
                                                [](const Diagnostic& d) { return d.code == "unknown-ground"; })) +
         (report.extras.empty() ? 1 : 0);
}

}  // namespace

bool Thrift::proven() const {
  return std::all_of(steps.begin(), steps.end(),
                     [](const CostStep& step) { return !step.buildable() || step.proven(); });
}

Result<Thrift> thrift(const ThriftQuestion& question, const Builder& build, const Yard& yard, const Saw& saw,
                      LengthStyle style, const cutting::Options& cutting, const Report* bought_now,
                      const MayBe& may_be) {
  if (const Result<void> good = check(question); !good) return tl::make_unexpected(good.error());
  Study study(question, build, yard, saw, cutting);
  if (const Result<void> stands = study.now_stands(); !stands) return tl::make_unexpected(stands.error());
  study.run();
  Thrift found{question, study.steps(), {}, {}, 0, study.builds(), study.solves()};
  return told(
      std::move(found), build, style, [&](const Garden& garden) { return buy(garden, yard, saw, {}, cutting); },
      bought_now, may_be);
}

Result<Thrift> thrift(const ThriftQuestion& question, const Builder& build, const std::vector<Yard>& yards,
                      const Saw& saw, LengthStyle style, const cutting::Options& cutting, const Report* bought_now,
                      const MayBe& may_be) {
  if (yards.size() == 1 && yards.front().terms == timber::Terms{})
    return thrift(question, build, yards.front(), saw, style, cutting, bought_now, may_be);
  if (const Result<void> good = check(question); !good) return tl::make_unexpected(good.error());
  Remembered remembered(build);
  const Builder once = [&](double value) { return remembered(value); };
  const Result<Garden> now = once(question.now);
  if (!now) return tl::make_unexpected(now.error());

  Thrift found;
  found.question = question;
  const timber::YardSet all = (timber::YardSet{1} << yards.size()) - 1;
  Cutter cutter(cutting);
  const auto left_by = [&](timber::YardSet set) {
    return left_out(buy_at(*now, timber::market(yards, set), saw, {}, cutter));
  };
  const std::size_t least_left = left_by(all);
  for (timber::YardSet set = all; set > 0; --set) {
    if (set != all && left_by(set) != least_left) continue;
    const Yard market = timber::market(yards, set);
    Study study(question, once, market, saw, cutting);
    study.run();
    std::vector<CostStep> steps = study.steps();
    for (CostStep& step : steps) Billing(yards, set).bill(step);
    found.steps = found.steps.empty() ? steps : cheaper_of(found.steps, steps);
    found.builds = std::max(found.builds, study.builds());
    found.solves += study.solves();
  }
  return told(
      std::move(found), once, style, [&](const Garden& garden) { return buy(garden, yards, saw, {}, cutting); },
      bought_now, may_be);
}

}  // namespace garthwright::buying
