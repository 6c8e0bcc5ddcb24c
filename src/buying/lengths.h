// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "buying/bundles.h"
#include "buying/buying.h"

namespace garthwright::buying {

/// Equal pieces that are wanted of one section of a group.
struct Wanted {
  std::string mark, name;
  double length_mm = 0;
  int quantity = 0;
  int section = 0;               ///< index in Group::sections
  bool straight = false;         ///< from lengths picked for straightness, where the yard sells such
  bool may_rip = false;          ///< carries nothing: may be ripped from a wider section
  std::vector<double> joins_at;  ///< where it may be made of two
  int part = 0;                  ///< 1 or 2 of a piece made of two
};

/// A kind of length that pieces can come out of: sold by the yard, or an off-cut on hand.
struct Source {
  int section = 0;  ///< index in Group::sections
  timber::YardLength length;
  bool from_shed = false;
};

/// So many strips of section `to` come side by side out of a piece of section `from`; both index Group::sections.
struct Rip {
  int from = 0, to = 0, strips = 1;
  double strip_mm = 0;  ///< width of one across the wider section
};

/// Sections whose pieces may come out of one another's lengths, so that they are bought together: mostly one alone.
struct Group {
  std::vector<const timber::Section*> sections;
  std::vector<Source> sources;
  std::vector<Rip> rips;
};

/// The kernel counts whole micrometres. Fractions of one are dropped (a thousandth of a kerf's own tolerance), so that
/// two pieces of 47 15/16 in and a 1/8 in kerf do come out of 8 ft; what doubles add below a nanometre is no length.
std::int64_t micrometres(double mm);

/// Whether a piece may be ripped: a batten, cap or board that need not be straight. What carries load may not: sawing a
/// graded timber along voids its grade (EN 14081-1; from memory).
bool may_rip(const Piece& piece);

/// The sections that the structures use, in the yard's order, each with those it may be ripped from when the saw rips
/// (of one treatment and species, as thick as the piece is thick or wide). Sources are in the yard's order, then
/// off-cuts as they are on hand. The yard must outlive the groups.
std::vector<Group> groups_of(const Garden& garden, const timber::Yard& yard, const Saw& saw, const OnHand& on_hand);

/// The cutting problem of a group in the coarsest unit that holds all its figures exactly; with or without ripping.
/// Stocks are the group's sources, with their bundles in order. Way n + 1 of a piece is the n-th rip to its section.
BundleProblem problem_of(const Group& group, const std::vector<Wanted>& wanted, const Saw& saw, bool ripping);

/// Solves each cutting problem once: sets of yards mostly ask the same of one another.
class Cutter {
 public:
  explicit Cutter(const cutting::Options& options) : options_(options) {}
  /// `at_most` as in cutting::Options.
  const Purchase& solve(const BundleProblem& bundled, std::optional<std::int64_t> at_most = {});
  std::int64_t solves() const { return static_cast<std::int64_t>(solved_.size()); }

 private:
  cutting::Options options_;
  std::map<std::string, Purchase> solved_;
};

/// What a group's pieces cost at least, and what is proven of it; `known` is false where they cannot be had.
struct GroupCost {
  std::int64_t cost = 0, bound = 0;
  bool known = false;
};
GroupCost group_cost(const Group& group, const std::vector<Wanted>& wanted, const Saw& saw, Cutter& cutter);

/// The lengths to buy of every section, and how to cut them: a cutting problem for each group. Adds to timber, cutting,
/// what is used of the shed, what is left over, proof and diagnostics of the report. A length that comes in a bundle
/// and is not cut is left over less its trim, as an off-cut's ends are square.
///
/// Ripping: a part that is cut across is ripped into equal strips of one kind; cheapest of all plans of that form, and
/// only where it costs less than to rip nothing. Pieces that may be made of two are, where that costs less than whole
/// ones: every number of them at every place is tried when there are few, and else nothing is called proven.
void buy_lengths(const Garden& garden, const timber::Yard& yard, const Saw& saw, const OnHand& on_hand, Cutter& cutter,
                 Report& report);

}  // namespace garthwright::buying
