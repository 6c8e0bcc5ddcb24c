// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "assembly/assembly.h"

/// Straight ways to move. A way need not be of unit length: where it can it has small whole components, so that any
/// whole multiple of it stays exact.

namespace garthwright::assembly {

/// Ways in pairs: ways[2k+1] is the opposite of ways[2k].
using Ways = std::vector<Vec3>;
inline int opposite(int way) { return way ^ 1; }

/// The six directions of the axes: +x, -x, +y, -y, +z, -z.
const Ways& axis_ways();

/// Those and the twenty diagonals.
const Ways& diagonal_ways();

/// "+y", "-x+z" … for a vector with components 0 and ±1, in x, y, z order; nothing for others.
std::optional<std::string> name_of(Vec3 way);
std::optional<Vec3> way_named(std::string_view name);

/// The axes first, then the diagonals, then what the shapes suggest: edges of parts that are not square to the axes,
/// and the lines along which two faces of one piece would slide. Capped at `most` ways.
Ways candidate_ways(const Assembly& assembly, int most = 120);

/// Adds a way and its opposite unless there.
void add_way(Ways& ways, Vec3 way);

/// The same direction with small whole components if there is one within rounding, else as it is.
Vec3 with_whole_components(Vec3 way);

}  // namespace garthwright::assembly
