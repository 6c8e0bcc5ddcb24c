// SPDX-License-Identifier: Apache-2.0
//
// One combination looked at: what it costs (quick: it is built and bought), whether anything in it gives way (a frame
// for each state, until one fails), and the whole plan with its order of work, which alone says that it stands.
#pragma once

#include <atomic>
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "decide/at_rest.h"
#include "decide/fixings.h"
#include "decide/frame_key.h"
#include "decide/lately.h"
#include "decide/least_fixings.h"
#include "decide/open.h"
#include "decide/rough_price.h"
#include "decide/sold_fixings.h"
#include "plan/plan.h"

namespace garthwright::decide {

/// What the structures of a combination take, so that two can be compared: where one takes no more of anything than the
/// other, it costs no more. Of fixings that may go up or down, how many joints they are in.
class Needs {
 public:
  Needs() = default;
  explicit Needs(const Garden& garden);
  /// Whether this takes no more than the other: as many pieces of each section or fewer, each no longer than one of the
  /// other's, no more fixings, panels, litres or sawn timber.
  bool no_more_than(const Needs& other) const;

 private:
  std::map<std::string, std::vector<double>> lengths_;  // longest first, by section and how it may be cut
  std::map<std::string, double> amounts_;
};

/// The price of a combination, or why it cannot be had.
struct Priced {
  Garden garden;               ///< what is built; empty where it is refused
  std::vector<FrameKey> keys;  ///< of each structure
  Needs needs;
  std::optional<Check> at_rest;  ///< fails whatever fixings are taken and whatever force comes on them
  Money total;
  std::string refusal;             ///< the pattern's or the yard's words
  std::vector<std::size_t> rests;  ///< open choices that the answer rests on: equal in them, equal in it
  bool refused() const { return garden.structures.empty(); }
};

/// Why a combination does not stand, with whatever fixings it was given.
struct Failing {
  /// How that is known: no force was asked for it; it has the forces of another whose frame was reckoned; or its own
  /// was.
  enum class By { shape, same_forces, reckoning };
  std::string words;               ///< "rafter to beam: …"
  std::vector<std::size_t> rests;  ///< open choices that this rests on
  Situation when;                  ///< in which it was found, for the next to begin with
  By by = By::reckoning;
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
  Failing::By by = Failing::By::reckoning;  ///< how it is known that it fails
  bool stands() const { return fails == 0; }
};

/// What was found of structures, by what their forces come from (frame_key.h). No two threads write to one: what is
/// looked at at once notes what it finds beside what was known before (in_waves.h).
class Kept {
 public:
  /// Checks of timbers, joints and frame, and what the posts ask of their holes.
  struct Reckoned {
    std::vector<Check> checks;
    std::vector<ground::PostLoad> asked;
    bool standing = false;  ///< none of those checks fails
  };
  std::shared_ptr<const Reckoned> reckoned(const FrameKey& key) const;
  void keep(const FrameKey& key, std::shared_ptr<const Reckoned> reckoned);

  /// Something fails whatever fixings are taken: for any holes, or for those that this is too much for.
  struct Fails {
    std::string words;
    Situation when;
    std::vector<ground::PostLoad> asked;  ///< empty: for any
  };
  std::optional<Fails> fails(const FrameKey& key) const;
  void keep(const FrameKey& key, Fails fails);

  /// Knows all that this does, as long as this lives, and notes apart from it.
  Kept beside() const;
  /// All that another noted.
  void take_over(Kept&& other);

 private:
  const Kept* before_ = nullptr;
  std::map<FrameKey, std::shared_ptr<const Reckoned>> reckoned_;
  std::map<FrameKey, Fails> fails_;
};

class Trials {
 public:
  using Begin = std::vector<Situation>;  ///< looked at first for what fails

  Trials(const pattern::Job& job, const pattern::Shelves& shelves, const std::vector<Open>& opens,
         buying::OnHand on_hand, const std::atomic<bool>* cancel);

  /// Built and bought.
  Priced price(const Combination& combination) const;
  /// Built alone: without a price, and what the yard does not have is not told.
  std::shared_ptr<const Priced> build(const Combination& combination) const;
  /// What it costs as a whole, put into what was built; or that it is not to be bought.
  void buy(Priced& priced) const;
  /// What is known without a frame of its own: by what no force is asked for (frost, soil, at_rest), or by what one
  /// with the same forces showed.
  std::optional<Failing> seen_to_fail(const Priced& priced, const Kept& kept) const;
  /// Whether a hole that is wider, all else alike, holds no less.
  bool wider_holds_more() const;
  /// What it costs at least, whatever fixings its joints take; the same or less than the total.
  Money bound(Priced& priced) const;
  /// The same, quickly and with less: by rough prices. None where it is refused.
  std::optional<double> rough(const Combination& combination) const;
  /// With its fixings going up until all carries (fixings.h), or why it does not stand: something that fails, found as
  /// soon as may be, this situation looked at first.
  Fixed fix(const Priced& priced, const Combination& combination, const Begin& begin, Kept& kept) const;
  /// With one pass down of those fixings; not where that could not end `below` a sum.
  Fixed fix_least(const Priced& priced, const Combination& combination, Kept& kept,
                  std::optional<Money> below = {}) const;
  Shortfall shortfall(const Priced& priced, const Combination& combination, Kept& kept) const;
  /// The whole plan; where it does not stand after all, why.
  Result<Plan> plan(const Combination& combination, const std::vector<FixedAnew>& fixings) const;

  const std::vector<Open>& opens() const { return opens_; }

 private:
  Priced build_fresh(const Combination& combination) const;
  Priced build_together(const Combination& combination) const;
  Priced build_apart(const Combination& combination) const;
  buying::Report bought(const Garden& garden) const;
  Money bound(Garden& garden, const LeastFixings::Only& only) const;
  std::optional<Money> total_of(const Garden& garden) const;
  GoneUp gone_up(std::size_t i, const Priced& priced, const Combination& combination, const Site& site,
                 const Begin& begin, Kept& kept) const;
  ToFix to_fix(std::size_t i, const Combination& combination, const Site& site) const;
  Site site_for(const Priced& priced) const;
  Failing resting(Failing failing, const Priced& priced, std::size_t structure) const;
  std::vector<std::size_t> rests_on(std::size_t order, const std::set<std::string>& read) const;

  const pattern::Job& job_;
  const pattern::Shelves& shelves_;
  const std::vector<Open>& opens_;
  buying::OnHand on_hand_;
  const std::atomic<bool>* cancel_;
  Site site_;
  RoughPrices rough_;
  SoldFixings sold_;
  LeastFixings least_fixings_;
  AtRest at_rest_;
  mutable Lately<Combination, Priced> built_{300};  ///< corners of boxes are asked for by many of them
  bool shared_ = false;                             ///< some structures share posts
};

/// Whether a plan passes: nothing was left out for want of time, no check fails, none was left unmade for want of a
/// frame, no error stands against it, all of it can be bought, and an order of work was asked for and exists.
bool stands(const Plan& plan);

}  // namespace garthwright::decide
