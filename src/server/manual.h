// SPDX-License-Identifier: Apache-2.0
//
// The manual that `./dev manual` makes, a site of plain files, as the server hands it out under /manual/.
#pragma once

#include <memory>
#include <set>
#include <string>

#include "server/answer_cache.h"

namespace garthwright::server {

class Manual {
 public:
  /// The plain files of a folder and of the folders in it, as they are now; links are left out. No manual where there
  /// is no such folder.
  explicit Manual(const std::string& folder);

  /// Whether there is something at this path: "/manual/index.html", of which "/manual/" is another name.
  bool has(const std::string& path) const;
  /// What is there. Without a manual "/manual/" says so, and where it comes from (404).
  std::shared_ptr<const Reply> file(const std::string& path) const;

  /// Its pages hold scripts of their own. They are nobody's but the program's, and may do no more than the page's.
  static constexpr const char* kPolicy =
      "default-src 'self'; script-src 'self' 'unsafe-inline'; style-src 'self' 'unsafe-inline'; img-src 'self' data:; "
      "worker-src 'self' blob:; object-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

 private:
  std::string folder_;
  std::set<std::string> names_;  // "index.html", "assets/stylesheets/main.css"
};

}  // namespace garthwright::server
