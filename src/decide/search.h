// SPDX-License-Identifier: Apache-2.0
//
// The search for the combination of least cost that stands, and its proof.
//
// First a climb: from the job as it is, and from other beginnings, the change that brings it nearest to standing, until
// everything passes; then down again while it gets cheaper. This only finds something early.
//
// Then the proof, over boxes (for each open choice a stretch of its values), the least bound first. A box is parted
// until it has one value of each choice that is no number; then its low corner is built and bought. Where its other
// corners, choice by choice and all at once, need no less of anything (Needs), that price is the bound of the box. What
// is taken for granted, as in buying/thrift.h: between two values of a number that do so the pattern does not change
// its mind and change it back; a box inside that turns out cheaper ends the claim, and the search begins anew without
// any. A low corner that is refused takes with it all that agree in the choices the pattern had read; one that does not
// stand takes those that agree in what it rests on. What stands is counted with its fixings brought down once; a box's
// bound with the cheapest that its joints could have, so that it holds for either. The first that stands and costs no
// more than every bound is least.
//
// Counts are of combinations, and each is in one of them: they add up to all where the search came to its end.
#pragma once

#include <atomic>
#include <functional>
#include <optional>

#include "decide/trial.h"

namespace garthwright::decide {

/// How far it has come.
struct Progress {
  Money bound;                ///< nothing that stands costs less, whatever its fixings
  std::optional<Money> best;  ///< of what was found
};

struct SearchOptions {
  double limit_s = 60;                ///< of the clock; a search it ended may differ from run to run. 0: none
  std::optional<Money> at_most{};     ///< only what costs no more is of interest
  bool any = false;                   ///< the first that stands will do
  bool only_climb = false;            ///< from all beginnings, until some lead to nothing cheaper; no proof
  std::vector<Combination> likely{};  ///< to stand: looked at beside the job as it is
  const std::atomic<bool>* cancel = nullptr;
  std::function<void(const Progress&)> on_progress{};
};

struct Counts {
  std::uint64_t dearer = 0;   ///< than what was found (or as dear, itself among them), or than was asked
  std::uint64_t refused = 0;  ///< by the pattern, or not to be bought
  std::uint64_t shape = 0;    ///< does not stand by a check that asks for no force: frost, soil, fixings at an end
  std::uint64_t alike = 0;    ///< does not stand: the forces of one that was tried, in holes that they are too much for
  std::uint64_t tried = 0;    ///< does not stand: it was reckoned, or builds the same as one that was
  std::uint64_t sum() const { return dearer + refused + shape + alike + tried; }
};

struct Found {
  std::optional<Combination> best;
  std::vector<FixedAnew> fixings;  ///< of the best, beside those its pattern takes first
  Money total;                     ///< of the best
  Money bound;                     ///< nothing that stands costs less, whatever its fixings
  bool proven = false;             ///< the search came to its end
  bool cancelled = false;
  Counts counts;
  std::int64_t plans = 0;  ///< combinations whose checks were run
  double first_s = 0;      ///< when the first that stands was found
  double seconds = 0;
  /// What failed, or was refused where nothing failed, most often; where there was no proof, the worst of what was
  /// nearest to standing. In words.
  std::string most_often;
};

Found search(const Trials& trials, const SearchOptions& options);

}  // namespace garthwright::decide
