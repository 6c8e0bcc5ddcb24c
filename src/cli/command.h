// SPDX-License-Identifier: Apache-2.0
//
// What the commands share. Each command is one file with one `add_…` function that declares it on the command line.
#pragma once

#include <string>

#include "base/diagnostic.h"
#include "base/patience.h"
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
void add_licences(CommandLine& words);
void add_doctor(CommandLine& words);
void add_help(CommandLine& words);
void add_version(CommandLine& words);

/// --limit-s: the time a plan may take. What is not ready then is left out and said, and the status is kCheckFails.
void add_limit(Command& command, double& limit_s);
/// 0: no end.
Patience patience_of(double limit_s);

/// How the program speaks, set by options that every command takes.
struct Voice {
  bool quiet = false;        ///< --quiet: errors alone, and no words on what was done
  std::string errors;        ///< --errors: "text" unless given, or "json"
  Diagnostics to_be_told{};  ///< with --errors json, until the end
};
Voice& voice();

/// Prints them on stderr, one a line, in the order given, with nothing in them that would command a terminal. With
/// --errors json all of a run are one document (exchange/diagnostics_json.h), printed by tell_the_rest().
void print(const Diagnostics& diagnostics);
void tell_the_rest();

/// Words on what was done, on standard output; nothing with --quiet.
Status tell(const std::string& words);

/// Prints the reasons and returns kWrongInput.
Status wrong(const Diagnostics& reasons);

/// The whole text of a plain file, or of standard input for "-". Fails with "unreadable" and the system's reason; files
/// over 64 MB, devices and pipes are refused unread.
Result<std::string> read_text(const std::string& path);

/// Writes to standard output and makes sure that it arrived; kMachineFailed (with a word on stderr) when it did not.
Status write_out(const std::string& text);

/// Where patterns and catalogues are looked for: beside the job (its own folder, and `patterns` and `catalogues` in
/// it), then in the person's own folder, then in the share folder (cli/folders.h; a word on stderr where there is
/// none). `job` may be empty.
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
