// SPDX-License-Identifier: Apache-2.0
#include "pattern/shelves.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <set>

#include "base/near.h"
#include "base/quoted.h"
#include "base/read_file.h"
#include "timber/yard.h"

namespace garthwright::pattern {
namespace fs = std::filesystem;

constexpr std::size_t kLargestFile = std::size_t{4} << 20;  // bytes; far above any catalogue or pattern

/// "cannot read: Permission denied" → "Permission denied"
static std::string reason_in(const std::string& words) {
  const std::size_t colon = words.find(": ");
  return colon == std::string::npos ? words : words.substr(colon + 2);
}

std::vector<std::string> names_on_shelf(const std::vector<std::string>& folders, const std::string& ending) {
  std::set<std::string> names;
  for (const std::string& folder : folders) {
    std::error_code unreadable;
    for (const fs::directory_entry& entry : fs::directory_iterator(folder, unreadable))
      if (entry.path().extension() == ending) names.insert(entry.path().stem().string());
  }
  return {names.begin(), names.end()};
}

/// What may be asked for by name. Job files end as catalogues do, and lie beside those a person writes: they are none.
static std::vector<std::string> to_be_had(const std::vector<std::string>& folders, const std::string& ending) {
  std::vector<std::string> names = names_on_shelf(folders, ending);
  if (ending != ".toml") return names;
  std::erase_if(names, [&](const std::string& name) {
    return std::none_of(folders.begin(), folders.end(), [&](const std::string& folder) {
      const std::string path = (fs::path(folder) / (name + ending)).string();
      const Result<std::string> bytes = read_file(path, kLargestFile);
      return bytes && timber::parse_yard(*bytes, path);
    });
  });
  return names;
}

std::string list_shelf(const std::vector<std::string>& folders, const std::string& ending) {
  std::string list;
  for (const std::string& name : to_be_had(folders, ending)) list += (list.empty() ? "" : ", ") + name;
  return list.empty() ? "are none" : "are " + list;
}

Result<ShelfFile> read_from_shelf(const std::vector<std::string>& folders, const std::string& name,
                                  const std::string& ending, const std::string& what) {
  const bool plain = !name.empty() && name.size() < 100 && std::all_of(name.begin(), name.end(), [](unsigned char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '_';
  });
  if (!plain)
    return fail("bad-name", fmt::format("{} cannot be the name of a {}", garthwright::quoted(name), what),
                "use letters, digits, - and _ only, without folder or ending");
  for (const std::string& folder : folders) {
    const fs::path path = fs::path(folder) / (name + ending);
    std::error_code ignored;
    if (!fs::exists(path, ignored)) continue;
    Result<std::string> bytes = read_file(path.string(), kLargestFile);
    if (!bytes)
      return fail(
          "unreadable",
          fmt::format("the {} {} cannot be read: {}", what, path.string(), reason_in(bytes.error().front().what)),
          "see that it is a readable file");
    if (bytes->empty())
      return fail("unreadable", fmt::format("the {} {} cannot be read: it is empty", what, path.string()),
                  "see that it is a readable file");
    return ShelfFile{path.string(), *std::move(bytes)};
  }
  return fail("unknown-" + what, fmt::format("there is no {} \"{}\"", what, name),
              suggest(name, to_be_had(folders, ending)));
}

}  // namespace garthwright::pattern
