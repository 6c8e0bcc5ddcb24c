// SPDX-License-Identifier: Apache-2.0
//
// One combination looked at: what it costs (quick: it is built and bought), whether anything in it gives way (a frame
// for each state, until one fails), and the whole plan with its order of work, which alone says that it stands.
#pragma once

#include <atomic>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "decide/fixings.h"
#include "decide/open.h"
#include "decide/rough_price.h"
#include "plan/plan.h"

namespace garthwright::decide {

/// What the structures of a combination take, so that two can be compared: where one takes no more of anything than the
/// other, it costs no more. Of fixings that may go up or down, how many joints they are in.
class Needs {
 public:
  Needs() = default;
  explicit Needs(const std::vector<Structure>& structures);
  /// Whether this takes no more than the other: as many pieces of each section or fewer, each no longer than one of the
  /// other's, no more fixings, panels, litres or sawn timber.
  bool no_more_than(const Needs& other) const;

 private:
  std::map<std::string, std::vector<double>> lengths_;  // longest first, by section and how it may be cut
  std::map<std::string, double> amounts_;
};

/// The price of a combination, or why it cannot be had.
struct Priced {
  std::vector<Structure> structures;  ///< empty where it is refused
  Needs needs;
  Money total;
  std::string refusal;             ///< the pattern's or the yard's words
  std::vector<std::size_t> rests;  ///< open choices that the answer rests on: equal in them, equal in it
  bool refused() const { return structures.empty(); }
};

/// Why a combination does not stand, with whatever fixings it was given.
struct Failing {
  std::string words;               ///< "rafter to beam: …"
  std::vector<std::size_t> rests;  ///< open choices that this rests on
  Situation when;                  ///< in which it was found, for the next to begin with
};

/// A combination with the fixings that its forces ask for.
struct Fixed {
  std::optional<Failing> failing;
  std::vector<FixedAnew> fixings;  ///< beside those the pattern takes first
  Money total;                     ///< with them
};

/// How far from standing: 0 where every check passes, with the fixings it needs.
struct Shortfall {
  int fails = 0;
  double much = 0;    ///< sum over what fails of the logarithm of its use; little for what other fixings may cure
  std::string worst;  ///< in words
  Money total;        ///< with the fixings it needs, where it stands
  bool stands() const { return fails == 0; }
};

class Trials {
 public:
  using Begin = std::optional<Situation>;

  Trials(const pattern::Job& job, const pattern::Shelves& shelves, const std::vector<Open>& opens,
         buying::OnHand on_hand, const std::atomic<bool>* cancel);

  Priced price(const Combination& combination) const;
  /// What it costs at least, whatever fixings its joints take; the same or less than the total.
  Money bound(Priced& priced) const;
  /// The same, quickly and with less: by rough prices. None where it is refused.
  std::optional<double> rough(const Combination& combination) const;
  /// With its fixings going up until all carries (fixings.h), or why it does not stand: something that fails, found as
  /// soon as may be, this situation looked at first.
  Fixed fix(const Priced& priced, const Combination& combination, const Begin& begin) const;
  /// With one pass down of those fixings.
  Fixed fix_least(const Combination& combination) const;
  Shortfall shortfall(const Priced& priced, const Combination& combination) const;
  /// The whole plan; where it does not stand after all, why.
  Result<Plan> plan(const Combination& combination, const std::vector<FixedAnew>& fixings) const;

  const std::vector<Open>& opens() const { return opens_; }

 private:
  Priced build_together(const Combination& combination) const;
  Priced build_apart(const Combination& combination) const;
  buying::Report bought(const std::vector<Structure>& structures) const;
  std::optional<Money> total_of(const std::vector<Structure>& structures) const;
  ToFix to_fix(std::size_t i, const Combination& combination, const Site& site) const;
  Site site_for(const Priced& priced) const;
  std::vector<std::size_t> rests_on(std::size_t order, const std::set<std::string>& read) const;

  const pattern::Job& job_;
  const pattern::Shelves& shelves_;
  const std::vector<Open>& opens_;
  buying::OnHand on_hand_;
  const std::atomic<bool>* cancel_;
  Site site_;
  RoughPrices rough_;
  bool shared_ = false;  ///< some structures share posts
};

/// Whether a plan passes: no check fails, none was left unmade for want of a frame, no error stands against it, all of
/// it can be bought, and an order of work was asked for and exists.
bool stands(const Plan& plan);

}  // namespace garthwright::decide
