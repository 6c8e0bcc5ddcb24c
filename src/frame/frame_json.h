// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>

#include "frame/frame.h"

/// A bare frame as a JSON text, in and out, so that anyone can check the solver.
///
///   {"nodes":    [{"id", "xyz_mm": [3]}],
///    "members":  [{"id", "ends": [node, node], "area_mm2", "iy_mm4", "iz_mm4", "j_mm4", "e_mpa", "g_mpa", "up": [3],
///                  "releases"?: [[6 booleans], [6 booleans]], "springs"?: [[6 numbers or null], [6 …]],
///                  "offsets_mm"?: [[3], [3]]}],
///    "supports": [{"node", "fixed": [6 booleans] or "springs": [6 numbers]}],
///    "links"?:    [{"id", "nodes": [node, node], "at_mm": [3], "axis": [3], "k_along_n_mm", "k_across_n_mm"}],
///    "contacts"?: [{"id", "nodes": [node, node], "at_mm": [3], "normal": [3], "k_n_mm", "gap_mm"?,
///                    "crushes_at_n"?, "crushed_n_mm"?}],
///    "loads":    [{"node", "force_n": [3], "moment_nmm": [3]} or {"member", "uniform_n_per_mm": [3]}]}
///
///   {"displacements": [{"node", "translation_mm": [3], "rotation_rad": [3]}],
///    "reactions":     [{"node", "force_n": [3], "moment_nmm": [3]}],
///    "members":       [{"id", "ends": [{"force_n": [3], "moment_nmm": [3]}, {…}]}],
///    "links":         [{"id", "force_n": [3]}],
///    "contacts":      [{"id", "push_n", "gap_mm"}],
///    "proof":         {"least_push_n", "least_gap_mm", "most_push_times_gap_nmm", "out_of_balance", "steps"}}
///
/// The last three are there when the frame has links or contacts. A link's force acts on its second node's body, a
/// contact's push too, along its normal, which points from the first to the second.
/// Axes and signs are those of frame.h: releases and springs (N/mm, N·mm/rad; null is rigid) in a member's own axes,
/// loads, supports, displacements and reactions in global ones, member end forces in the member's own axes as they act
/// on the member. Names are texts or whole numbers and come back as they were. A key that is not known is a fault, for
/// a misspelt "releases" would silently be another frame; "title" and "note" are let through.
namespace garthwright::frame {

/// Every fault of the text is told, with the place in the document ("members[2].area_mm2").
Result<Frame> read_frame_json(std::string_view text, const std::string& file_name);

/// The whole command: text in, text out (two-space indent, ends with a newline).
Result<std::string> solve_frame_json(std::string_view text, const std::string& file_name);

}  // namespace garthwright::frame
