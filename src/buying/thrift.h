// SPDX-License-Identifier: Apache-2.0
#pragma once

/// Where the price jumps: the whole cost of a job (timber, fixings, panels, ground, preservative, as bought) as a step
/// function of one choice, and the nearest values that cost less.
///
/// Values run on a grid: now's value and every whole number of steps from it that lies in the range. Between two values
/// at which a pattern builds the same pieces, cost is found without building:
///
///  - a section whose lengths all are sums of the choice (base/traced.h) with the same factors at both ends is a
///    cutting problem with linear lengths; cutting/price_steps.h finds every step of it, with proof;
///  - a section whose lengths come by steps that are no sums is bounded by the problem with every piece at its shorter
///    of two built lengths, and by the one with every piece at its longer; where they cost the same the cost between is
///    known, else the range is split;
///  - holes are filled by their formula at every value.
///
/// Where pieces, fixings or panels differ, the range is halved until the change stands between neighbours on the grid.
/// What is taken for granted: between two built values that agree (ends and middle) the pattern does not change its
/// mind and change it back, and lengths that are no sums go one way.

#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "buying/buying.h"

namespace garthwright::buying {

/// A choice and where it may go. Lengths in mm, counts as they are.
struct ThriftQuestion {
  std::string choice;  ///< "side_overhang"
  double low = 0, high = 0, step = 1;
  double now = 0;
};

/// The structures of the job with the choice at this value, or why there are none.
using Builder = std::function<Result<Garden>(double value)>;

/// Whether these structures may be proposed: a cheaper value at which they may not is passed over for the next.
using MayBe = std::function<bool(const Garden&)>;

/// For every value on the grid from `from` to `to` the whole cost is `cost`; where it could not be proven it lies
/// between `lower_bound` and `cost`. Where nothing can be bought or built, `refusal` says why and there is no cost.
struct CostStep {
  double from = 0, to = 0;
  Money cost, lower_bound;
  std::string refusal;

  bool buildable() const { return refusal.empty(); }
  bool proven() const { return cost == lower_bound; }
  bool operator==(const CostStep&) const = default;
};

/// The value nearest to now's, on one side, at which the whole costs less; and what makes the difference.
struct Cheaper {
  double value = 0;
  Money cost, saved;
  std::vector<std::string> lines;   ///< "4x4: one 4.8 m length fewer"
  std::vector<std::string> pieces;  ///< "post 90 mm shorter"
};

struct Thrift {
  ThriftQuestion question;
  std::vector<CostStep> steps;   ///< ascending, without gaps on the grid
  Money now;                     ///< whole cost at now's value
  std::vector<Cheaper> cheaper;  ///< nearest below, then nearest above, where there are such
  int passed_over = 0;  ///< nearer steps that cost less and may not be (MayBe); kMostAsked on each side at most
  int builds = 0;
  std::int64_t solves = 0;

  bool proven() const;
};
inline constexpr int kMostAsked = 4;

/// Several yards: the study is made for every set of them at once, at prices with tax. For one yard alone its terms are
/// reckoned exactly. For a set, delivery is added for each, which is exact where it is never free and there is no
/// minimum order, and else leaves an interval. The whole is the cheapest of all sets.
///
/// Fails when the job cannot be built or bought as it is now. `cutting` limits each solve.
/// `bought_now`, the purchase as it is now, spares making it again for every choice of a job.
Result<Thrift> thrift(const ThriftQuestion& question, const Builder& build, const timber::Yard& yard, const Saw& saw,
                      LengthStyle style = {}, const cutting::Options& cutting = {}, const Report* bought_now = nullptr,
                      const MayBe& may_be = {});
Result<Thrift> thrift(const ThriftQuestion& question, const Builder& build, const std::vector<timber::Yard>& yards,
                      const Saw& saw, LengthStyle style = {}, const cutting::Options& cutting = {},
                      const Report* bought_now = nullptr, const MayBe& may_be = {});

}  // namespace garthwright::buying
