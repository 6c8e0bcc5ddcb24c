// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>

namespace garthwright::server {

/// Of a file of a site, by the ending of its name: "text/html; charset=utf-8".
std::string media_type(std::string_view name);

}  // namespace garthwright::server
