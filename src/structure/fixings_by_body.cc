// SPDX-License-Identifier: Apache-2.0
#include "structure/fixings_by_body.h"

namespace garthwright {

const std::vector<int>& FixingsByBody::of(const Structure& structure, Body body) {
  for (; seen_ < structure.fixings.size(); ++seen_)
    for (const Body b : structure.fixings[seen_].through) {
      std::vector<int>& list = through_[b];
      if (list.empty() || list.back() != static_cast<int>(seen_)) list.push_back(static_cast<int>(seen_));
    }
  return through_[body];
}

}  // namespace garthwright
