// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "base/diagnostic.h"

namespace garthwright {

/// The whole of a plain file of at most `most` bytes. Devices, pipes and larger files are refused unread, and never
/// waited for. Fails with "unreadable": the system's reason, or what is too much.
Result<std::string> read_file(const std::string& path, std::size_t most);

}  // namespace garthwright
