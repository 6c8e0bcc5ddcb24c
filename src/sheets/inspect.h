// SPDX-License-Identifier: Apache-2.0
//
// Can a sheet be read? Looks at the measured black of its lettering; used by the tests on every sheet there is.
#pragma once

#include <string>
#include <vector>

#include "sheets/sheet.h"

namespace garthwright::sheets {

/// What a careful eye would send back: lettering on lettering (closer than `clear` mm), lettering or lines off the page
/// or nearer its edge than `margin` mm (where many printers print nothing). One line of words for each.
std::vector<std::string> faults(const Sheet& sheet, double clear = 0.2, double margin = 5);

/// Lettering that a line of any weight runs through, one line of words for each.
std::vector<std::string> crossed_text(const Sheet& sheet);

/// Lettering in drawings whose capitals are lower than 2.5 mm (a size of ISO 3098-1), one line of words for each. A
/// title block and the job's code are none.
std::vector<std::string> small_text(const Sheet& sheet);

}  // namespace garthwright::sheets
