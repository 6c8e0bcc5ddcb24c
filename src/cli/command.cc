// SPDX-License-Identifier: Apache-2.0
#include "cli/command.h"

#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>

#include "base/plain_text.h"
#include "base/read_file.h"
#include "cli/folders.h"
#include "exchange/diagnostics_json.h"

namespace garthwright::cli {

namespace fs = std::filesystem;

Voice& voice() {
  static Voice voice;
  return voice;
}

void print(const Diagnostics& diagnostics) {
  for (const Diagnostic& diagnostic : diagnostics) {
    if (voice().quiet && diagnostic.severity != Severity::error) continue;
    if (voice().errors == "json")
      voice().to_be_told.push_back(diagnostic);
    else
      std::fprintf(stderr, "%s\n", for_terminal(to_string(diagnostic)).c_str());
  }
}

void tell_the_rest() {
  if (!voice().to_be_told.empty()) std::fputs(exchange::problem_json(voice().to_be_told).c_str(), stderr);
  voice().to_be_told.clear();
}

Status tell(const std::string& words) { return voice().quiet ? kDone : write_out(for_terminal(words)); }

Status wrong(const Diagnostics& reasons) {
  print(reasons);
  return kWrongInput;
}

void add_limit(Command& command, double& limit_s) {
  command.number("--limit-s", "SECONDS", limit_s, 1e6,
                 "leave out what is not worked out after so many seconds, and say so (0: no limit)");
}

Patience patience_of(double limit_s) {
  Patience patience;
  if (limit_s > 0) patience.until = Patience::in(limit_s);
  return patience;
}

// ---- reading and writing --------------------------------------------------------------------------------------------

static constexpr std::size_t kLargestInput = 64u << 20;

/// Standard input may be a pipe or a person typing.
static Result<std::string> read_standard_input() {
  const Place place{"standard input", 0, 0, {}};
  std::string text;
  char part[65536];
  for (;;) {
    const ssize_t got = ::read(STDIN_FILENO, part, sizeof part);
    if (got < 0 && errno == EINTR) continue;
    if (got < 0) return fail("unreadable", "cannot read: " + std::string(std::strerror(errno)), "", place);
    if (got == 0) return text;
    text.append(part, static_cast<std::size_t>(got));
    if (text.size() > kLargestInput) return fail("unreadable", "the file is over 64 MB", "", place);
  }
}

Result<std::string> read_text(const std::string& path) {
  return path == "-" ? read_standard_input() : read_file(path, kLargestInput);
}

Status write_out(const std::string& text) {
  const bool wrote = std::fwrite(text.data(), 1, text.size(), stdout) == text.size();
  if (wrote && std::fflush(stdout) == 0) return kDone;
  print({{Severity::error,
          "cannot-write",
          "cannot write to standard output: " + std::string(std::strerror(errno)),
          "",
          {}}});
  return kMachineFailed;
}

// ---- where things stand ---------------------------------------------------------------------------------------------

pattern::Shelves shelves_for(const std::string& job) {
  pattern::Shelves shelves;
  const auto add = [&](const fs::path& folder) {
    shelves.patterns.push_back((folder / "patterns").string());
    shelves.catalogues.push_back((folder / "catalogues").string());
  };
  if (!job.empty()) {
    const fs::path beside = job == "-" ? fs::path(".") : fs::path(job).parent_path();
    const fs::path here = beside.empty() ? fs::path(".") : beside;
    shelves.patterns.push_back(here.string());
    shelves.catalogues.push_back(here.string());
    add(here);
  }
  add(own_folder());
  if (const std::optional<ShareFolder> share = share_folder())
    add(share->path);
  else
    print({{Severity::warning,
            "no-share",
            "the patterns and catalogues that come with the program are not beside it",
            "lay them in ../share/garthwright from the program, or name their folder with GARTHWRIGHT_SHARE",
            {}}});
  return shelves;
}

Result<JobOnShelves> read_job(const std::string& path) {
  const Result<std::string> text = read_text(path);
  if (!text) return tl::make_unexpected(text.error());
  return read_job_text(*text, path);
}

Result<JobOnShelves> read_job_text(const std::string& text, const std::string& path) {
  JobOnShelves read{{}, shelves_for(path)};
  Result<pattern::Job> job = pattern::parse_job(text, path == "-" ? "standard input" : path, read.shelves);
  if (!job) return tl::make_unexpected(std::move(job.error()));
  read.job = std::move(*job);
  return read;
}

}  // namespace garthwright::cli
