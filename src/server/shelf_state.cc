// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <sys/stat.h>

#include "pattern/shelves.h"
#include "server/answers.h"

namespace garthwright::server {

// Size, age and inode of every file that a job could draw on, in the order in which it would be found.
std::string Answers::shelf_state() const {
  std::string state;
  const auto add = [&](const std::vector<std::string>& folders, const std::string& ending) {
    for (const std::string& name : pattern::names_on_shelf(folders, ending))
      for (const std::string& folder : folders) {
        const std::string path = folder + "/" + name + ending;
        struct stat is {};
        if (::stat(path.c_str(), &is) == 0)
          state +=
              fmt::format("{} {} {}.{:09} {}\n", path, is.st_size, is.st_mtim.tv_sec, is.st_mtim.tv_nsec, is.st_ino);
      }
  };
  add(shelves_.patterns, ".lua");
  add(pattern::shared_folders(shelves_), ".lua");
  add(shelves_.catalogues, ".toml");
  return state;
}

}  // namespace garthwright::server
