// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <random>
#include <string>

#include "assembly/assembly.h"

/// Short ways to write pieces down in tests.

namespace garthwright::assembly::testing {

inline ConvexPart box(double x0, double y0, double z0, double x1, double y1, double z1) {
  return make_box({x0, y0, z0}, {x1, y1, z1}).value();
}

inline Piece piece(std::string id, std::vector<ConvexPart> parts, bool fixed = false) {
  Piece p;
  p.id = std::move(id);
  p.parts = std::move(parts);
  p.fixed = fixed;
  return p;
}

inline Fastener screw(std::string id, std::vector<int> joins, Vec3 head, Vec3 out, double r = 30, double len = 250) {
  return {std::move(id), std::move(joins), {{head, out, r, len}}};
}

/// The same numbers on every machine (the standard's distributions are not).
class Random {
 public:
  explicit Random(unsigned seed) : engine_(seed) {}
  int below(int n) { return static_cast<int>(engine_() % static_cast<unsigned>(n)); }
  double between(double lo, double hi) { return lo + (hi - lo) * (engine_() / 4294967296.0); }
  template <class List>
  void shuffle(List& list) {
    for (std::size_t i = list.size(); i > 1; --i) std::swap(list[i - 1], list[below(static_cast<int>(i))]);
  }

 private:
  std::mt19937 engine_;
};

}  // namespace garthwright::assembly::testing
