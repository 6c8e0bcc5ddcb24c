// SPDX-License-Identifier: Apache-2.0
#include "server/manual.h"

#include <filesystem>

#include "base/read_file.h"
#include "server/media_type.h"

namespace garthwright::server {

namespace fs = std::filesystem;

static constexpr std::size_t kLargestFile = std::size_t{16} << 20;
static constexpr std::string_view kPrefix = "/manual/";

static constexpr const char* kNoManual = R"(<!doctype html>
<html lang="en">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width">
<title>Garthwright: no manual</title>
<h1>The manual is not beside this program</h1>
<p>It comes with the packages. Among the sources this makes it:</p>
<pre>./dev manual</pre>
<p>Then start the planner again.</p>
</html>
)";

static std::string name_in(const std::string& path) {
  if (!path.starts_with(kPrefix)) return {};
  return path.size() == kPrefix.size() ? "index.html" : path.substr(kPrefix.size());
}

Manual::Manual(const std::string& folder) : folder_(folder) {
  std::error_code none;
  for (auto at = fs::recursive_directory_iterator(folder, none); at != fs::recursive_directory_iterator();
       at.increment(none))
    if (at->symlink_status(none).type() == fs::file_type::regular)
      names_.insert(at->path().lexically_relative(folder).generic_string());
}

bool Manual::has(const std::string& path) const {
  const std::string name = name_in(path);
  return names_.contains(name) || (names_.empty() && name == "index.html");
}

std::shared_ptr<const Reply> Manual::file(const std::string& path) const {
  const std::string name = name_in(path);
  if (names_.contains(name))
    if (Result<std::string> bytes = read_file((fs::path(folder_) / name).string(), kLargestFile))
      return std::make_shared<Reply>(prepared(200, {media_type(name), *std::move(bytes), {}}));
  return std::make_shared<Reply>(prepared(404, {media_type("index.html"), kNoManual, {}}));
}

}  // namespace garthwright::server
