// SPDX-License-Identifier: Apache-2.0
//
// The job files that the page may open and save: those named when the server was started, and those of one folder. A
// name is letters, digits, - and _ only, so that it cannot leave its folder.
#pragma once

#include <map>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/diagnostic.h"

namespace garthwright::server {

class JobFiles {
 public:
  /// A file by its path, under its stem. Fails with "bad-name" on a stem that cannot be a name, "same-name" on a second
  /// of one name, "unreadable".
  Result<void> add(const std::string& path);
  /// Every NAME.toml of this folder, and new ones; fails with "unreadable" when it is no folder.
  Result<void> open_folder(const std::string& folder);

  static bool is_name(std::string_view name);

  struct Listed {
    std::string name, title, tag;
  };
  std::vector<Listed> list() const;  ///< by name

  /// The text of a job; none when there is no such job, or it cannot be read.
  std::optional<std::string> read(const std::string& name) const;

  enum class Saved { saved, made, missing, changed, there_already, no_folder };
  /// Saves over the file whose present tag is in `if_match`, or makes a new one where that is empty and `make` is
  /// true. Whole or not at all; fails with the disk's reason.
  Result<Saved> save(const std::string& name, const std::string& text, const std::string& if_match, bool make);

 private:
  std::optional<std::string> path_of(const std::string& name) const;

  std::map<std::string, std::string> named_;  // name → path
  std::string folder_;
  std::mutex saving_;
};

}  // namespace garthwright::server
