// SPDX-License-Identifier: Apache-2.0
//
// What is known of joints before any force: a fixing that stands nearer to an end or an edge than a joint without load
// wants stands too near under any, for no force makes the distance that is wanted less (EN 1995-1-1 Tables 8.2, 8.4 and
// 8.6; NDS Tables 12.5.1A–D). Where that is so of everything that the yard has for a joint, no structure with it
// stands, however stiff it is.
#pragma once

#include <map>
#include <mutex>
#include <optional>

#include "base/digest.h"
#include "decide/fixings.h"

namespace garthwright::decide {

/// Of the first connection of this name, or of any, whose fixings are too near as they are: the failing check.
std::optional<Check> too_near_at_rest(const Structure& structure, const Site& site, const std::string& name = {});

/// What the joints of a name look like to whatever is set in them: their timbers near by, what is set there already,
/// and what the yard has for them.
DigestKey surroundings_of(const Structure& structure, const std::string& name);

/// Keeps by their surroundings which joints are hopeless. Threads may share it.
class AtRest {
 public:
  /// What fails whichever of its candidates a joint takes. `may_change`: others than those it has may be taken.
  std::optional<Check> fails(const ToFix& what, const Structure& structure, bool may_change) const;

 private:
  mutable std::mutex mutex_;
  mutable std::map<DigestKey, bool> hopeless_;
};

}  // namespace garthwright::decide
