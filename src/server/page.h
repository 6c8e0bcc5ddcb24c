// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <memory>
#include <string>

#include "server/answer_cache.h"

namespace garthwright::server {

/// A file of the page as it is sent.
struct PageFile {
  std::shared_ptr<const Reply> reply;
  bool for_ever = false;  ///< its name changes with its content: it may be kept for good
};

/// The page's file at this path ("/" is "/index.html"; "/licences.txt" are the licences of all that is in it); no reply
/// where there is none. Where the page is not part of this program, "/" says so, and how to build it.
PageFile page_file(const std::string& path);

/// What stands before the page for one who has no token: what to do.
std::shared_ptr<const Reply> door_page();

}  // namespace garthwright::server
