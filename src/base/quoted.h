// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>

namespace garthwright {

/// Text from outside as a message may show it: in single quotes, at most `most` characters, valid UTF-8 on one line
/// whatever bytes came in (control characters and broken bytes as \xNN).
std::string quoted(std::string_view text, std::size_t most = 40);

}  // namespace garthwright
