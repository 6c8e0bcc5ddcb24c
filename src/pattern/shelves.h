// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "base/diagnostic.h"

namespace garthwright::pattern {

/// A file taken from one of the folders it may stand in.
struct ShelfFile {
  std::string path;  ///< as given to people in messages
  std::string bytes;
};

/// Reads `name` + `ending` from the first folder that has it. The name is letters, digits, "-" and "_" only, so that it
/// cannot leave its folder. Fails with "unknown-<what>" naming the near ones, or "unreadable" with the system's reason.
Result<ShelfFile> read_from_shelf(const std::vector<std::string>& folders, const std::string& name,
                                  const std::string& ending, const std::string& what);

/// Names on the shelf, sorted, each once.
std::vector<std::string> names_on_shelf(const std::vector<std::string>& folders, const std::string& ending);
/// "are harrow-lane, mill-creek" or "are none": for a cure. Of .toml files only catalogues that can be read.
std::string list_shelf(const std::vector<std::string>& folders, const std::string& ending);

}  // namespace garthwright::pattern
