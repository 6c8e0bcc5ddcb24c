// SPDX-License-Identifier: Apache-2.0
//
// What the fixings of structures cost at least, whichever of its candidates each group of joints takes, bought in whole
// packs that several groups may share.
#pragma once

#include <map>
#include <set>
#include <string>
#include <vector>

#include "decide/sold_fixings.h"
#include "pattern/job.h"
#include "structure/garden.h"

namespace garthwright::decide {

class LeastFixings {
 public:
  /// `free`: some are on hand.
  LeastFixings(const pattern::Job& job, const SoldFixings& sold, bool free);

  /// Minor units, of the groups that may change; what stays as it is may leave some over for them. 0 where several
  /// yards or a yard's terms make the sum another.
  double of(const Garden& garden) const { return of(garden, {}); }
  /// The same where groups of these names, structure by structure, take what they have or one of these texts.
  using Only = std::vector<std::map<std::string, std::set<std::string>>>;
  double of(const Garden& garden, const Only& only) const;

 private:
  struct Price {
    double pack = 0, each = 0;  ///< of the cheapest pack; of one in the pack that makes it least
  };
  struct Option;  ///< what a group takes of each item

  std::vector<Option> options_of(const Structure& structure, std::size_t connection,
                                 const std::set<std::string>* only) const;
  double least(std::vector<std::vector<Option>> groups) const;

  const SoldFixings& sold_;
  bool nothing_ = false;       ///< is said
  std::vector<Price> prices_;  ///< of each fixing that the yard sells
};

/// The candidates of a connection that may take the place of the first: what bears nothing in a joint, in end grain (EN
/// 1995-1-1 8.3.1.2(4), 8.7.2(2)), does not take the place of what bears. The first among them.
std::vector<std::string> bearing_candidates(const Structure& structure, std::size_t connection,
                                            const SoldFixings& sold);

}  // namespace garthwright::decide
