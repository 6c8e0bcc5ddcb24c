// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <variant>
#include <vector>

#include "base/geometry.h"

/// A build order as steps. All pieces start as groups of one, fixed pieces as one group that stands on the site.

namespace garthwright::assembly {

/// Brings one whole group to another; onto nothing sets it down on the site.
struct Move {
  std::vector<int> moving;  ///< all pieces of one group, ascending
  std::vector<int> onto;    ///< all pieces of another, ascending; empty: the site
  Vec3 way_in;              ///< straight in from far away, when `path` is empty
  std::vector<Vec3> path;   ///< else finite shifts that end in place, the first prolonged backwards without end

  bool operator==(const Move&) const = default;
};

/// Drives a fastener whose pieces are in one group, with `down` underneath; on_site: the site is around it.
struct Drive {
  int fastener = 0;
  Vec3 down{0, 0, -1};
  bool on_site = true;

  bool operator==(const Drive&) const = default;
};

using Step = std::variant<Move, Drive>;
using Plan = std::vector<Step>;

}  // namespace garthwright::assembly
