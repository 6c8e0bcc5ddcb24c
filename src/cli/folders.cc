// SPDX-License-Identifier: Apache-2.0
#include "cli/folders.h"

#include <cstdlib>
#include <fstream>

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

/// The build leaves a word beside the program that it makes, which is not installed: the program itself holds no path
/// of the machine it was built on.
static std::optional<fs::path> sources_beside(const fs::path& program) {
  std::ifstream word(program.parent_path() / "garthwright.share");
  std::string line;
  if (!std::getline(word, line) || line.empty()) return std::nullopt;
  return line;
}

std::optional<ShareFolder> share_folder() {
  if (const char* given = environment("GARTHWRIGHT_SHARE")) return ShareFolder{given, "GARTHWRIGHT_SHARE names it"};
  std::error_code none;
  const fs::path program = program_file();
  const fs::path installed = program.parent_path().parent_path() / "share" / "garthwright";
  if (fs::is_directory(installed, none)) return ShareFolder{installed, "it stands beside the program"};
  if (const std::optional<fs::path> sources = sources_beside(program))
    return ShareFolder{*sources, "the program runs where it was built"};
  return std::nullopt;
}

fs::path manual_folder(const ShareFolder& share) {
  std::error_code none;
  const fs::path installed = share.path / "manual";
  return fs::is_directory(installed, none) ? installed : share.path / "build" / "manual";
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
