// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <map>
#include <vector>

#include "structure/structure.h"

namespace garthwright {

/// Which joints a body has, of one structure while more are being made: it takes in those added since it was last
/// asked. Good as long as none is taken away.
class JointsByBody {
 public:
  /// As joint_between().
  JointId between(const Structure& structure, Body a, Body b);

 private:
  std::map<Body, std::vector<JointId>> of_;
  std::size_t seen_ = 0;
};

}  // namespace garthwright
