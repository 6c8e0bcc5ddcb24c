// SPDX-License-Identifier: Apache-2.0
#include "assembly/mechanism.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace garthwright::assembly {
namespace {

using Rows = std::vector<std::vector<double>>;

/// Rows are unit vectors or near it; a row that sinks below this depends on the others. Coordinates given to a
/// micrometre turn a bar of a metre by 1e-6, so a true dependency may look as large as that.
constexpr double kDependent = 1e-5;

/// Gaussian elimination with full pivoting.
int rank_of(Rows rows) {
  int rank = 0;
  const int m = static_cast<int>(rows.size()), n = m ? static_cast<int>(rows[0].size()) : 0;
  while (rank < m && rank < n) {
    int row = rank, column = rank;
    for (int i = rank; i < m; ++i) {
      for (int j = rank; j < n; ++j) {
        if (std::abs(rows[i][j]) > std::abs(rows[row][column])) row = i, column = j;
      }
    }
    if (std::abs(rows[row][column]) < kDependent) break;
    std::swap(rows[rank], rows[row]);
    for (auto& r : rows) std::swap(r[rank], r[column]);
    for (int i = rank + 1; i < m; ++i) {
      const double factor = rows[i][rank] / rows[rank][rank];
      for (int j = rank; j < n; ++j) rows[i][j] -= factor * rows[rank][j];
    }
    ++rank;
  }
  return rank;
}

/// Shifts and turns of all nodes together, in units of the frame's own size.
Rows rigid_movements(const std::vector<Vec3>& nodes, int dimensions) {
  Vec3 middle;
  for (const Vec3& p : nodes) middle += p;
  middle = (1.0 / nodes.size()) * middle;
  double size = 0;
  for (const Vec3& p : nodes) size = std::max(size, norm(p - middle));
  Rows rows;
  const auto add = [&](auto movement) {
    std::vector<double> row;
    for (const Vec3& p : nodes) {
      const Vec3 v = movement(size > 0 ? (1 / size) * (p - middle) : Vec3{});
      for (int k = 0; k < dimensions; ++k) row.push_back(v[k]);
    }
    rows.push_back(row);
  };
  const Vec3 axes[] = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
  for (int k = 0; k < dimensions; ++k) add([&](Vec3) { return axes[k]; });
  for (int k = dimensions == 2 ? 2 : 0; k < 3; ++k) add([&](Vec3 p) { return cross(axes[k], p); });
  return rows;
}

}  // namespace

int mechanism_count(const PinFrame& frame) {
  std::set<int> used;
  for (const auto& bar : frame.bars) used.insert(bar.begin(), bar.end());
  if (used.empty()) return 0;
  std::map<int, int> column;
  std::vector<Vec3> moving;
  for (int node : used) {
    if (std::find(frame.held.begin(), frame.held.end(), node) != frame.held.end()) continue;
    column[node] = static_cast<int>(moving.size()) * frame.dimensions;
    Vec3 p = frame.nodes[node];
    if (frame.dimensions == 2) p.z = 0;
    moving.push_back(p);
  }
  const int freedoms = static_cast<int>(moving.size()) * frame.dimensions;
  Rows rigidity;
  for (const auto& [a, b] : frame.bars) {
    Vec3 along = frame.nodes[b] - frame.nodes[a];
    if (frame.dimensions == 2) along.z = 0;
    along = unit(along);
    std::vector<double> row(freedoms, 0);
    for (int k = 0; k < frame.dimensions; ++k) {
      if (column.contains(a)) row[column[a] + k] = -along[k];
      if (column.contains(b)) row[column[b] + k] = along[k];
    }
    rigidity.push_back(row);
  }
  const bool free_floating = moving.size() == used.size();
  const int rigid = free_floating ? rank_of(rigid_movements(moving, frame.dimensions)) : 0;
  return freedoms - rank_of(rigidity) - rigid;
}

}  // namespace garthwright::assembly
