// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

/// Tilting in: can a panel leave a section when it may also be turned? A section is a y–z plane, lengths mm. A pose of
/// the panel is a shift (dy, dz) and an angle about the middle of its top edge, degrees, positive from y towards z.
/// Rest is (0, 0, 0). Touching is allowed.

namespace garthwright::assembly {

struct Rectangle {
  double y0 = 0, z0 = 0, y1 = 0, z1 = 0;
};

struct Section {
  std::vector<Rectangle> still;
  Rectangle panel;
};

struct Pose {
  double dy = 0, dz = 0, deg = 0;

  bool operator==(const Pose&) const = default;
};

struct TiltLimits {
  long poses = 3'000'000;
};

struct TiltResult {
  bool by_shifts_alone = false;  ///< exact: shifts among rectangles follow the lines of their faces
  /// From rest to a place clear of everything, from which the panel slides off straight to any side; each leg straight
  /// in all three. Nothing when none was found: a "no" here is a search that ended, not a proof.
  std::optional<std::vector<Pose>> way_out;
};

TiltResult tilt_out(const Section& section, TiltLimits limits = {});

/// Judges a way out leg by leg, by cutting time finer and finer until a gap is certain or an overlap of more than
/// 1e-3 mm is met. Shares nothing with the search but the shapes. Nothing when it is right, else what is wrong.
std::optional<std::string> fault_in_way_out(const Section& section, const std::vector<Pose>& way_out);

}  // namespace garthwright::assembly
