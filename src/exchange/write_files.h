// SPDX-License-Identifier: Apache-2.0
//
// The one place where output reaches the disk.
#pragma once

#include <string>
#include <vector>

#include "base/diagnostic.h"

namespace garthwright::exchange {

/// A file still to be written: its name within the folder ("templates/H1-both.dxf" is in a folder of its own) and its
/// bytes.
struct OutputFile {
  std::string name;
  std::string bytes;
};

/// Writes all the files into `folder` (made when it is not there, its parents too), or none: every file is first
/// written under a temporary name beside its own and flushed to the disk; only when all are whole are they renamed.
/// When anything fails (full disk, no permission, a folder stands where a file should), what stood there before stands
/// there unchanged, and the temporary files and empty folders are gone. Fails with "cannot-write", naming the file and
/// the system's reason. Each file is whole even when power fails midway, though the set may then be part old, part new.
Result<void> write_all(const std::string& folder, const std::vector<OutputFile>& files);

}  // namespace garthwright::exchange
