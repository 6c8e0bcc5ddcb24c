// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <cstdlib>
#include <filesystem>

#include "base/plain_text.h"
#include "cli/command.h"
#include "cli/folders.h"
#include "cli/version.h"
#include "pattern/shelves.h"
#include "server/embedded.h"

namespace garthwright::cli {

namespace fs = std::filesystem;

static std::string line(const std::string& what, const std::string& found) {
  return fmt::format("{:<22} {}\n", what, found);
}

static std::string names_in(const std::string& folder, const char* ending) {
  std::string names;
  for (const std::string& name : pattern::names_on_shelf({folder}, ending)) names += (names.empty() ? "" : ", ") + name;
  return names;
}

static std::string told(const std::string& folder, const char* ending) {
  std::error_code none;
  if (!fs::is_directory(folder, none)) return folder + ": not there";
  const std::string names = names_in(folder, ending);
  return folder + (names.empty() ? ": empty" : ": " + names);
}

/// What is found where. Ends kMachineFailed when something is missing without which nothing can be planned.
static Status doctor() {
  std::string text = line("version", version()) + line("program", program_file().string());
  const std::optional<ShareFolder> share = share_folder();
  text += line("share folder", share ? fmt::format("{} ({})", share->path.string(), share->how)
                                     : "missing: lay it in ../share/garthwright from the program, or name it with "
                                       "GARTHWRIGHT_SHARE");
  bool complete = share.has_value();
  if (share) {
    const std::string patterns = (share->path / "patterns").string(), yards = (share->path / "catalogues").string();
    text += line("  patterns", told(patterns, ".lua")) + line("  catalogues", told(yards, ".toml"));
    const fs::path manual = manual_folder(*share);
    std::error_code none;
    text += line("  manual", manual.string() + (fs::exists(manual / "index.html", none) ? "" : ": not there"));
    complete = !names_in(patterns, ".lua").empty() && !names_in(yards, ".toml").empty();
  }
  const fs::path own = own_folder();
  text += line("own folder", own.string());
  text += line("  patterns", told((own / "patterns").string(), ".lua"));
  text += line("  catalogues", told((own / "catalogues").string(), ".toml"));
  const char* shed = std::getenv("GARTHWRIGHT_SHED");
  const fs::path shed_file = shed != nullptr && *shed != '\0' ? fs::path(shed) : own / "shed.db";
  std::error_code none;
  text += line("shed", shed_file.string() + (fs::exists(shed_file, none) ? "" : ": not begun"));
  text += line("page", server::page_files().empty() ? "not in this program" : "in this program");
  text += complete ? "All that planning needs is there.\n" : "Something that planning needs is missing.\n";
  const Status wrote = write_out(for_terminal(text));
  return wrote != kDone ? wrote : complete ? kDone : kMachineFailed;
}

void add_doctor(CommandLine& words) {
  Command command = words.add("doctor", "Say what is found where, and what is missing");
  command.note("Ends 0 when all that planning needs is there, else 3.");
  command.runs([] { return doctor(); });
}

}  // namespace garthwright::cli
