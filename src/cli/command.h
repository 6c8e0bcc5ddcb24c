// SPDX-License-Identifier: Apache-2.0
//
// What the commands share. Each command is one file with one `add_…` function that declares it on the command line.
#pragma once

#include <string>

#include "base/diagnostic.h"
#include "cli/command_line.h"
#include "pattern/job.h"

namespace garthwright::cli {

void add_new(CommandLine& words);
void add_check(CommandLine& words);
void add_plan(CommandLine& words);
void add_why(CommandLine& words);
void add_shed(CommandLine& words);
void add_thrift(CommandLine& words);
void add_decide(CommandLine& words);
void add_patterns(CommandLine& words);
void add_buy(CommandLine& words);
void add_forces(CommandLine& words);
void add_frame(CommandLine& words);
void add_order(CommandLine& words);
void add_serve(CommandLine& words);

/// Prints them on stderr, one a line, in the order given, with nothing in them that would command a terminal.
void print(const Diagnostics& diagnostics);

/// Prints the reasons and returns kWrongInput.
Status wrong(const Diagnostics& reasons);

/// The whole text of a plain file, or of standard input for "-". Fails with "unreadable" and the system's reason; files
/// over 64 MB, devices and pipes are refused unread.
Result<std::string> read_text(const std::string& path);

/// Writes to standard output and makes sure that it arrived; kMachineFailed (with a word on stderr) when it did not.
Status write_out(const std::string& text);

/// Where patterns and catalogues are looked for: beside the job (its own folder, and `patterns` and `catalogues` in
/// it), then in the share folder. That is $GARTHWRIGHT_SHARE when set; else ../share/garthwright from the program when
/// it stands there; else the source folder the program was built from. `job` may be empty.
pattern::Shelves shelves_for(const std::string& job);

/// A job file read and checked, with the shelves it is planned from.
struct JobOnShelves {
  pattern::Job job;
  pattern::Shelves shelves;
};
Result<JobOnShelves> read_job(const std::string& path);
/// The same from its text, read before.
Result<JobOnShelves> read_job_text(const std::string& text, const std::string& path);

}  // namespace garthwright::cli
