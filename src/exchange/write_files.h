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
/// the system's reason.
///
/// A name that is a link keeps being one: what it leads to is written. A file keeps its mode and, where the system
/// allows it, its owner. What is no plain file (a device, a pipe) is written into and never replaced.
///
/// A run that is killed leaves each file whole. Its temporary files are swept by the next run into the folder, known by
/// their names and by the lock that a living run holds on them. While several files change places, kParting stands in
/// the folder: where it is found, a run was killed there and the files may be of two plans.
Result<void> write_all(const std::string& folder, const std::vector<OutputFile>& files);

/// The text file that says so to a person who looks into the folder.
inline constexpr const char* kParting = "FILES-OF-TWO-PLANS.txt";

/// What a person should know of the run before, a warning; empty when it was whole.
Diagnostics left_by_a_killed_run(const std::string& folder);

}  // namespace garthwright::exchange
