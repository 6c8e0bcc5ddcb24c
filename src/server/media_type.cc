// SPDX-License-Identifier: Apache-2.0
#include "server/media_type.h"

#include <map>

namespace garthwright::server {

std::string media_type(std::string_view name) {
  static const std::map<std::string_view, const char*> types{
      {"html", "text/html; charset=utf-8"},
      {"js", "text/javascript; charset=utf-8"},
      {"mjs", "text/javascript; charset=utf-8"},
      {"css", "text/css; charset=utf-8"},
      {"svg", "image/svg+xml"},
      {"png", "image/png"},
      {"ico", "image/x-icon"},
      {"webp", "image/webp"},
      {"woff2", "font/woff2"},
      {"ttf", "font/ttf"},
      {"json", "application/json"},
      {"webmanifest", "application/manifest+json"},
      {"txt", "text/plain; charset=utf-8"},
      {"wasm", "application/wasm"},
  };
  const auto at = types.find(name.substr(name.rfind('.') + 1));
  return at == types.end() ? "application/octet-stream" : at->second;
}

}  // namespace garthwright::server
