// SPDX-License-Identifier: Apache-2.0
//
// The job itself in a square code (ISO/IEC 18004) on the first sheet. It holds an address of the page that
// `garthwright serve` opens on this machine, with the job in its fragment, deflated (RFC 1951) and in base64url (RFC
// 4648, unpadded), as web/src/job/share.ts reads it.
#pragma once

#include <string>
#include <string_view>

#include "sheets/pen.h"

namespace garthwright::sheets {

/// The group it is drawn as.
inline constexpr std::string_view kJobCode = "job code";

/// "http://localhost:8080/#j=…"; comments and blank lines of the job are left out. Nothing of no job.
std::string job_address(std::string_view job);

/// Draws the code with its top left corner at `at`, the white around it included, and returns its side in mm. 0, and
/// nothing drawn, where the words are more than can be read from paper.
double draw_code(Items& items, std::string_view words, Point at);
/// The same with what it is for written below.
void draw_named_code(Items& items, std::string_view words, Point at);
/// The side that draw_code would give it.
double code_side(std::string_view words);

}  // namespace garthwright::sheets
