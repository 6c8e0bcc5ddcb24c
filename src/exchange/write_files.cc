// SPDX-License-Identifier: Apache-2.0
#include "exchange/write_files.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <filesystem>

namespace garthwright::exchange {

namespace {

namespace fs = std::filesystem;

tl::unexpected<Diagnostics> cannot_write(const fs::path& file, int reason, std::string cure = {}) {
  if (cure.empty() && (reason == ENOSPC || reason == EFBIG || reason == EDQUOT)) cure = "make room and run again";
  if (cure.empty() && (reason == EACCES || reason == EPERM || reason == EROFS))
    cure = "give a folder that may be written to with --out";
  return fail("cannot-write", "cannot write: " + std::string(std::strerror(reason)), std::move(cure),
              {file.string(), 0, 0, {}});
}

/// Writes and flushes; 0, or errno's reason why not.
int write_whole(const fs::path& path, const std::string& bytes) {
  const int file = ::open(path.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0666);
  if (file < 0) return errno;
  int reason = 0;
  for (std::size_t done = 0; done < bytes.size() && reason == 0;) {
    const ssize_t wrote = ::write(file, bytes.data() + done, bytes.size() - done);
    if (wrote > 0)
      done += static_cast<std::size_t>(wrote);
    else if (wrote == 0)
      reason = ENOSPC;
    else if (errno != EINTR)
      reason = errno;
  }
  if (reason == 0 && ::fsync(file) != 0 && errno != EINVAL && errno != EROFS) reason = errno;
  if (::close(file) != 0 && reason == 0) reason = errno;
  return reason;
}

/// So that the new names outlast a power cut. Some file systems cannot flush a folder; nothing is lost by that here.
void flush_folder(const fs::path& folder) {
  const int handle = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (handle < 0) return;
  ::fsync(handle);
  ::close(handle);
}

/// One file on its way: written under `fresh`, to become `target`; `old` is a second name for what stood there.
struct Pending {
  fs::path target, fresh, old;
  bool kept_old = false, renamed = false;
};

/// Takes every trace of an unfinished run away, and puts back what was already replaced. `made`: folders of this run.
void undo(const std::vector<Pending>& all, const std::vector<fs::path>& made) {
  for (const Pending& one : all) {
    if (one.renamed && one.kept_old)
      ::rename(one.old.c_str(), one.target.c_str());
    else if (one.renamed)
      ::unlink(one.target.c_str());
    else if (one.kept_old)
      ::unlink(one.old.c_str());
    ::unlink(one.fresh.c_str());
  }
  for (const fs::path& folder : made) ::rmdir(folder.c_str());
}

}  // namespace

Result<void> write_all(const std::string& folder, const std::vector<OutputFile>& files) {
  std::error_code made;
  fs::create_directories(folder, made);
  if (made) return cannot_write(folder, made.value());

  std::vector<Pending> all;
  const std::string mine = "." + std::to_string(::getpid());
  std::vector<fs::path> new_folders;
  for (const OutputFile& file : files) {
    const fs::path target = fs::path(folder) / file.name, inside = target.parent_path();
    if (fs::create_directory(inside, made)) new_folders.push_back(inside);
    const std::string hidden = "." + target.filename().string() + mine;
    all.push_back({target, inside / (hidden + ".new"), inside / (hidden + ".old")});
    std::error_code ignored;
    int reason = fs::is_directory(target, ignored) ? EISDIR : write_whole(all.back().fresh, file.bytes);
    if (reason != 0) {
      undo(all, new_folders);
      return cannot_write(target, reason);
    }
  }
  for (Pending& one : all) {
    one.kept_old = ::link(one.target.c_str(), one.old.c_str()) == 0;
    one.renamed = ::rename(one.fresh.c_str(), one.target.c_str()) == 0;
    if (!one.renamed) {
      const int reason = errno;
      undo(all, new_folders);
      return cannot_write(one.target, reason);
    }
  }
  for (const Pending& one : all)
    if (one.kept_old) ::unlink(one.old.c_str());
  for (const fs::path& one : new_folders) flush_folder(one);
  flush_folder(folder);
  return {};
}

}  // namespace garthwright::exchange
