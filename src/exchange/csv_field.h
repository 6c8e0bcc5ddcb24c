// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>

namespace garthwright::exchange {

/// A field of comma-separated values as RFC 4180 wants it: in double quotes where it must be, its own quotes doubled.
std::string csv_field(std::string_view text, char separator = ',');

}  // namespace garthwright::exchange
