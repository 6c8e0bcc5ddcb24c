// SPDX-License-Identifier: Apache-2.0
//
// Files that are part of the program: the page (web/dist/), the examples, docs/openapi.json and the licences. Written
// by cmake/embed.cmake when the program is built.
#pragma once

#include <span>
#include <string_view>

namespace garthwright::server {

struct EmbeddedFile {
  std::string_view name;  ///< "/assets/index-1a2b3c4d.js"; "arbor.toml"
  std::string_view bytes;
};

/// The page, by the path it is asked for ("/index.html" for "/"), sorted; empty when it was not built.
std::span<const EmbeddedFile> page_files();
/// Example jobs by file name, sorted.
std::span<const EmbeddedFile> example_files();
std::string_view openapi_document();
/// Whose works are part of this program, and their licences (licences/components.txt).
std::string_view licence_notices();

}  // namespace garthwright::server
