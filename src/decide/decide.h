// SPDX-License-Identifier: Apache-2.0
//
// From wishes to a structure that stands: the values of a job's open choices with the least whole cost for which every
// check passes, everything can be bought and an order of work exists; with its proof. The timber, panels, fixings in
// packs and concrete in bags are bought as the plan buys them. "Least" is over what is open: fixings follow from forces
// (decide/fixings.h).
//
// A face that lets people wait runs decide() or advise() on a thread of its own: `on_progress` hears of the bound and
// of the best so far, always on that thread, and `cancel` ends it soon ("cancelled").
#pragma once

#include <atomic>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "buying/buying.h"
#include "decide/search.h"
#include "pattern/job.h"

namespace garthwright::decide {

/// The most of one choice for a sum of money.
struct MostFor {
  Money within;
  std::string choice;  ///< "opening", or "arbor.opening"
};

struct Options {
  double limit_s = 60;  ///< of the clock; 0: none
  buying::OnHand on_hand{};
  std::optional<MostFor> most{};
  bool one_way = false;  ///< of advice: the first that is found will do
  const std::atomic<bool>* cancel = nullptr;
  std::function<void(const Progress&)> on_progress{};
};

/// One open choice, settled. `value` and `was` are as they stand in a job's text.
struct Settled {
  std::size_t order = 0;
  std::string structure, name, value, was, words;
  Value to;  ///< the value itself
  bool changed() const { return value != was; }
};

struct Answer {
  bool stands = false;
  std::vector<Settled> choices;    ///< every open one, when something stands
  std::vector<FixedAnew> fixings;  ///< that must be others than the pattern takes first
  Money total, lower_bound;
  bool proven = false;
  std::uint64_t combinations = 0;
  Counts counts;  ///< add up to the combinations when proven
  std::int64_t plans = 0;
  double first_s = 0, seconds = 0;
  std::string most_often;  ///< what failed most often
};

/// Fails when nothing is open, and on what is wrong with what is (open.h); "cancelled" when it was stopped from
/// outside.
Result<Answer> decide(const pattern::Job& job, const pattern::Shelves& shelves, const Options& options = {});

/// The job's text with what is open settled as the answer says, its comments kept.
Result<std::string> settled_text(const std::string& text, const std::string& file, const Answer& answer);

}  // namespace garthwright::decide
