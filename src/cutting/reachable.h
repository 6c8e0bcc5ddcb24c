// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstdint>
#include <vector>

#include "cutting/model.h"

namespace garthwright::cutting {

/// Which lengths up to a capacity can be filled exactly by the items a family takes, each as often as it is wanted.
/// Beyond 16 million units it answers "all", which is safe wherever it is used (a bar is then not shortened).
class Reachable {
 public:
  Reachable(const Model& model, int family, std::int64_t capacity);
  /// The greatest reachable length that is no more than `length`.
  std::int64_t at_most(std::int64_t length) const;

 private:
  std::vector<std::uint64_t> words_;  // empty: all reachable
};

}  // namespace garthwright::cutting
