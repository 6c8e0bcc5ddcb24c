// SPDX-License-Identifier: Apache-2.0
#include "server/page.h"

#include <map>
#include <mutex>
#include <string_view>

#include "server/embedded.h"
#include "server/media_type.h"

namespace garthwright::server {
namespace {

constexpr std::string_view kNoPage = R"(<!doctype html>
<html lang="en">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width">
<title>Garthwright</title>
<h1>The page is not in this program</h1>
<p>The planner runs, but it was built without its page. To build both, with Node.js and npm at hand:</p>
<pre>./dev build</pre>
<p>What can be asked for without the page is described in <a href="/api/v1/openapi.json">openapi.json</a>.</p>
</html>
)";

constexpr std::string_view kDoor = R"(<!doctype html>
<html lang="en">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width">
<title>Garthwright: token needed</title>
<h1>This planner opens with its token</h1>
<p>When it was started it printed an address that ends in <code>?token=</code> and the token. Open that whole address
once in this browser; after that the page opens without it.</p>
<ul>
<li>Did you start it yourself? Look in the terminal where <code>garthwright serve</code> runs.</li>
<li>Did somebody else? Ask them for that address.</li>
<li>Did you open such an address just now? Then its token is not the one the planner was last started with: ask for
the new one.</li>
</ul>
<p>A program sends the token as <code>Authorization: Bearer TOKEN</code>.</p>
</html>
)";

/// Whether the bundler put a hash of the content into the name: "/assets/index-B1c2D3e4.js".
bool has_hash(std::string_view name) {
  if (!name.starts_with("/assets/")) return false;
  const std::size_t dot = name.rfind('.'), dash = name.rfind('-', dot);
  if (dot == std::string_view::npos || dash == std::string_view::npos) return false;
  return dot - dash - 1 >= 8;
}

}  // namespace

PageFile page_file(const std::string& path) {
  static std::mutex mutex;
  static std::map<std::string, PageFile, std::less<>> prepared_files;  // compressed when first asked for
  const std::string name = path == "/" ? "/index.html" : path;
  const std::lock_guard lock(mutex);
  if (const auto at = prepared_files.find(name); at != prepared_files.end()) return at->second;
  const auto keep = [&](std::string_view bytes) {
    const PageFile file{std::make_shared<Reply>(prepared(200, {media_type(name), std::string(bytes), {}})),
                        has_hash(name)};
    return prepared_files.emplace(name, file).first->second;
  };
  for (const EmbeddedFile& file : page_files())
    if (file.name == name) return keep(file.bytes);
  if (name == "/licences.txt") return keep(licence_notices());
  return page_files().empty() && name == "/index.html" ? keep(kNoPage) : PageFile{};
}

std::shared_ptr<const Reply> door_page() {
  static const auto page =
      std::make_shared<const Reply>(Reply{401, {"text/html; charset=utf-8", std::string(kDoor), {}}, {}, {}});
  return page;
}

}  // namespace garthwright::server
