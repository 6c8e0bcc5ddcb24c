// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <map>
#include <vector>

#include "structure/structure.h"

namespace garthwright {

/// Which fixings go through a body, of one structure while more are being set: it takes in those added since it was
/// last asked, so that setting many costs no more for each. Good as long as none is taken away or changed.
class FixingsByBody {
 public:
  /// Indices into Structure::fixings, rising.
  const std::vector<int>& of(const Structure& structure, Body body);

 private:
  std::map<Body, std::vector<int>> through_;
  std::size_t seen_ = 0;
};

}  // namespace garthwright
