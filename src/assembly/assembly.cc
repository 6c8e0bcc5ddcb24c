// SPDX-License-Identifier: Apache-2.0
#include "assembly/assembly.h"

namespace garthwright::assembly {
namespace {

constexpr double kCubicMmPerCubicM = 1e9;
constexpr double kGroundHalfWidth = 1e7;  // mm
constexpr double kGroundDepth = 1e7;      // mm

}  // namespace

std::vector<ConvexPart> solids_of(const Site& site) {
  std::vector<ConvexPart> solids = site.obstacles;
  if (site.ground) {
    solids.push_back(
        *make_box({-kGroundHalfWidth, -kGroundHalfWidth, -kGroundDepth}, {kGroundHalfWidth, kGroundHalfWidth, 0}));
  }
  return solids;
}

int piece_index(const Assembly& assembly, const std::string& id) {
  for (std::size_t i = 0; i < assembly.pieces.size(); ++i) {
    if (assembly.pieces[i].id == id) return static_cast<int>(i);
  }
  return -1;
}

double mass(const Piece& piece) { return mass_point({&piece}).kg; }

MassPoint mass_point(const std::vector<const Piece*>& pieces) {
  MassPoint sum;
  for (const Piece* piece : pieces) {
    for (const ConvexPart& part : without_overlaps(piece->parts)) {
      const double kg = volume(part) / kCubicMmPerCubicM * piece->density;
      sum.kg += kg;
      sum.centre += kg * centroid(part);
    }
  }
  if (sum.kg > 0) sum.centre = (1 / sum.kg) * sum.centre;
  return sum;
}

}  // namespace garthwright::assembly
