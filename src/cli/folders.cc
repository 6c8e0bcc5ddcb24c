// SPDX-License-Identifier: Apache-2.0
#include "cli/folders.h"

#include <algorithm>
#include <cstdlib>

namespace garthwright::cli {

namespace fs = std::filesystem;

static const char* environment(const char* name) {
  const char* value = std::getenv(name);
  return value != nullptr && *value != '\0' ? value : nullptr;
}

fs::path program_file() {
  std::error_code none;
  return fs::read_symlink("/proc/self/exe", none);
}

static bool is_within(const fs::path& file, const fs::path& folder) {
  return std::mismatch(folder.begin(), folder.end(), file.begin(), file.end()).first == folder.end();
}

std::optional<ShareFolder> share_folder() {
  if (const char* given = environment("GARTHWRIGHT_SHARE")) return ShareFolder{given, "GARTHWRIGHT_SHARE names it"};
  std::error_code none;
  const fs::path program = program_file();
  const fs::path installed = program.parent_path().parent_path() / "share" / "garthwright";
  if (fs::is_directory(installed, none)) return ShareFolder{installed, "it stands beside the program"};
  if (is_within(program, GARTHWRIGHT_BUILD_DIR))
    return ShareFolder{GARTHWRIGHT_SOURCE_DIR, "the program runs where it was built"};
  return std::nullopt;
}

fs::path own_folder() {
  fs::path data = ".";
  if (const char* folder = environment("XDG_DATA_HOME"))
    data = folder;
  else if (const char* home = environment("HOME"))
    data = fs::path(home) / ".local" / "share";
  return data / "garthwright";
}

}  // namespace garthwright::cli
