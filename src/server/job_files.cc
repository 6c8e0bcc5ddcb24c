// SPDX-License-Identifier: Apache-2.0
#include "server/job_files.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <set>

#include "base/quoted.h"
#include "base/table_reader.h"
#include "base/toml.h"
#include "exchange/write_files.h"
#include "server/content_tag.h"

namespace garthwright::server {

namespace fs = std::filesystem;

static constexpr std::size_t kLargestJob = std::size_t{1} << 20;  // bytes
static constexpr std::size_t kMostListed = 1000;

/// A plain file's text; none for links (where `follow` is false), folders, pipes, and what is too large.
static std::optional<std::string> text_of(const std::string& path, bool follow) {
  const int file = ::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK | (follow ? 0 : O_NOFOLLOW));
  if (file < 0) return std::nullopt;
  struct stat is {};
  std::string text;
  bool whole = ::fstat(file, &is) == 0 && S_ISREG(is.st_mode);
  char part[65536];
  while (whole) {
    const ssize_t got = ::read(file, part, sizeof part);
    if (got < 0 && errno == EINTR) continue;
    if (got < 0 || text.size() > kLargestJob) whole = false;
    if (got <= 0) break;
    text.append(part, static_cast<std::size_t>(got));
  }
  ::close(file);
  if (!whole) return std::nullopt;
  return text;
}

static std::string title_of(const std::string& text, const std::string& otherwise) {
  const Result<toml::table> table = parse_toml(text, otherwise);
  if (!table) return otherwise;
  return table->get_as<std::string>("title") ? table->get_as<std::string>("title")->get() : otherwise;
}

bool JobFiles::is_name(std::string_view name) {
  return !name.empty() && name.size() < 100 && std::all_of(name.begin(), name.end(), [](unsigned char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '_';
  });
}

Result<void> JobFiles::add(const std::string& path) {
  const std::string name = fs::path(path).stem().string();
  if (!is_name(name))
    return fail("bad-name", garthwright::quoted(path) + " cannot be served under the name " + garthwright::quoted(name),
                "name it with letters, digits, - and _ only", {path, 0, 0, {}});
  if (!text_of(path, true))
    return fail("unreadable", "cannot read " + garthwright::quoted(path), "give the path of a file that exists",
                {path, 0, 0, {}});
  std::error_code unknown;
  const fs::path real = fs::canonical(path, unknown);
  if (!named_.emplace(name, unknown ? path : real.string()).second)
    return fail("same-name", "two job files are called " + garthwright::quoted(name), "rename one", {path, 0, 0, {}});
  return {};
}

Result<void> JobFiles::open_folder(const std::string& folder) {
  std::error_code unreadable;
  const fs::path real = fs::canonical(folder, unreadable);
  if (unreadable || !fs::is_directory(real, unreadable))
    return fail("unreadable", garthwright::quoted(folder) + " is no folder", "give the path of a folder that exists",
                {folder, 0, 0, {}});
  folder_ = real.string();
  return {};
}

std::optional<std::string> JobFiles::path_of(const std::string& name) const {
  if (!is_name(name)) return std::nullopt;
  if (const auto at = named_.find(name); at != named_.end()) return at->second;
  if (folder_.empty()) return std::nullopt;
  return folder_ + "/" + name + ".toml";
}

std::vector<JobFiles::Listed> JobFiles::list() const {
  std::set<std::string> names;
  for (const auto& [name, path] : named_) names.insert(name);
  std::error_code unreadable;
  if (!folder_.empty())
    for (const fs::directory_entry& entry : fs::directory_iterator(folder_, unreadable))
      if (entry.path().extension() == ".toml" && is_name(entry.path().stem().string()) && names.size() < kMostListed)
        names.insert(entry.path().stem().string());
  std::vector<Listed> all;
  for (const std::string& name : names)
    if (const std::optional<std::string> text = read(name))
      all.push_back({name, title_of(*text, name), content_tag(*text)});
  return all;
}

std::optional<std::string> JobFiles::read(const std::string& name) const {
  const std::optional<std::string> path = path_of(name);
  if (!path) return std::nullopt;
  return text_of(*path, false);
}

Result<JobFiles::Saved> JobFiles::save(const std::string& name, const std::string& text, const std::string& if_match,
                                       bool make) {
  const std::lock_guard lock(saving_);
  const std::optional<std::string> path = path_of(name);
  if (!path) return make && folder_.empty() ? Saved::no_folder : Saved::missing;
  const std::optional<std::string> now = read(name);
  std::error_code unknown;
  const bool there = fs::symlink_status(*path, unknown).type() != fs::file_type::not_found;
  if (make && there) return Saved::there_already;
  if (!make && !now) return Saved::missing;
  if (!make && !holds_tag(if_match, content_tag(*now))) return Saved::changed;
  const fs::path target(*path);
  const Result<void> written = exchange::write_all(target.parent_path().string(), {{target.filename().string(), text}});
  if (!written) return tl::make_unexpected(written.error());
  return make ? Saved::made : Saved::saved;
}

}  // namespace garthwright::server
