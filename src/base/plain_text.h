// SPDX-License-Identifier: Apache-2.0
//
// What may be shown as it stands, beside what quoted.h shows of anything.
#pragma once

#include <string>
#include <string_view>

namespace garthwright {

/// Whether a text may be shown as it stands: valid UTF-8 on one line, without characters that command a terminal (C0,
/// C1, delete) or turn the order of what is read (the bidirectional controls of Unicode UAX #9).
bool is_plain_text(std::string_view text);

/// Words for a terminal, on as many lines as they have: all that is_plain_text would refuse is shown as \xNN, but for
/// line breaks and tabs.
std::string for_terminal(std::string_view text);

}  // namespace garthwright
