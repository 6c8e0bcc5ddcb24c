// SPDX-License-Identifier: Apache-2.0
//
// Fixings that follow from forces. Joints of one name begin with what the pattern takes first and go up what the yard
// has for them, until all carry; then one pass down, dearest first. Always ends, always the same. What a person chose
// ([structure.fixings]) stands, and is checked.
#pragma once

#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "decide/sold_fixings.h"
#include "ground/study.h"
#include "pattern/job.h"
#include "structure/check.h"
#include "structure/site.h"

namespace garthwright::decide {

/// Joints of one name fixed otherwise ([structure.fixings]); texts as a job writes them.
struct FixedAnew {
  std::size_t order = 0;
  std::string structure, joint, value, was;
};

/// A structure that shares no posts, as it is asked for.
struct ToFix {
  const pattern::Job& job;
  const pattern::Shelves& shelves;
  const SoldFixings& sold;
  const Site& site;
  std::size_t number = 0;  ///< which of the job's structures
  pattern::Order order;    ///< with every choice settled
};

/// All checks of a structure as it is, and what its posts ask of their holes.
struct AllChecks {
  std::vector<Check> checks;
  std::vector<ground::PostLoad> asked;
};

struct GoneUp {
  std::optional<Structure> structure;  ///< with these fixings; none where they are those it had
  std::vector<FixedAnew> fixings;
  std::optional<Check> fails;  ///< what no fixing cures, or what has none left
  /// Where holes fail under the first fixings: what posts asked of them where that was seen.
  std::vector<ground::PostLoad> asked;
  std::optional<AllChecks> all;  ///< under the first fixings, where they had to be reckoned
  std::vector<Check> checks;     ///< of what stands in the end
};

/// Whether the ground fails under a post, by what the post asks of its hole.
bool of_holes(const Check& check);

/// Whether a check is about fixings that the yard may have others for.
bool of_fixings(const Structure& structure, const Check& check);

/// What fails, and what could not be looked at for want of a frame, which is never called good.
bool against(const Check& check);

/// Each group of joints that fails goes up to the first that carries in the situation it failed in; again, until all
/// checks pass. `begin` is looked at first for something that fails; nothing is, where all checks of the structure as
/// it is are known already.
GoneUp go_up(const ToFix& what, const Structure& structure, const std::vector<Situation>& begin,
             const AllChecks* known = nullptr);

/// What a group of joints may take instead of what it has: the cheapest first.
struct GoingDown {
  std::string name, first;  ///< of the joints; what the pattern takes
  std::vector<std::string> others;
  double cost = 0;  ///< of what it has
};
/// The groups of what stands, dearest first.
std::vector<GoingDown> ways_down(const ToFix& what, const Structure& structure, const GoneUp& up);

/// One pass down: each group, dearest first, takes the cheapest with which everything still passes and `total` is less;
/// until it is `pointless`, of the structure as it is then and the groups that are left.
GoneUp go_down(const ToFix& what, const Structure& structure, GoneUp up, std::span<const GoingDown> groups,
               const std::function<std::optional<Money>(const Structure&)>& total,
               const std::function<bool(const Structure&, std::span<const GoingDown>)>& pointless);

/// An order with these of its structure's fixings given.
void give(pattern::Order& order, std::size_t number, const std::vector<FixedAnew>& fixings);

/// What one of a size costs at least, minor units, at any of these yards; none where none sells it. "bolt M10" stands
/// for any length.
class FixingPrices {
 public:
  explicit FixingPrices(const std::vector<timber::Yard>& yards);
  std::optional<double> of(const std::string& item) const;
  /// Of "2 x bolt M10".
  std::optional<double> of_text(const std::string& text) const;

 private:
  std::vector<std::pair<std::string, double>> each_;  // by name
};

}  // namespace garthwright::decide
