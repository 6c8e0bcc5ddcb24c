// SPDX-License-Identifier: Apache-2.0
#include "exchange/write_files.h"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <csignal>
#include <cstring>
#include <filesystem>
#include <optional>
#include <regex>
#include <utility>

namespace garthwright::exchange {

namespace {

namespace fs = std::filesystem;

tl::unexpected<Diagnostics> cannot_write(const fs::path& file, int reason, std::string cure = {}) {
  if (cure.empty() && (reason == ENOSPC || reason == EFBIG || reason == EDQUOT)) cure = "make room and run again";
  if (cure.empty() && reason == ENXIO) cure = "nobody reads the pipe: begin its reader first";
  if (cure.empty() && (reason == EACCES || reason == EPERM || reason == EROFS))
    cure = "give a folder that may be written to with --out";
  return fail("cannot-write", "cannot write: " + std::string(std::strerror(reason)), std::move(cure),
              {file.string(), 0, 0, {}});
}

/// A file being written; the lock on it tells the living from what a killed run left.
class Fresh {
 public:
  Fresh() = default;
  Fresh(Fresh&& other) noexcept : handle_(std::exchange(other.handle_, -1)) {}
  Fresh& operator=(Fresh&& other) noexcept {
    std::swap(handle_, other.handle_);
    return *this;
  }
  ~Fresh() {
    if (handle_ >= 0) ::close(handle_);
  }

  /// Makes the file, which must not be there, under no link; 0, or errno's reason why not.
  int make(const fs::path& path) {
    handle_ = ::open(path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, 0666);
    if (handle_ < 0) return errno;
    ::flock(handle_, LOCK_EX | LOCK_NB);
    return 0;
  }
  /// As the file it takes the place of.
  void like(const struct stat& old) const {
    if (::fchown(handle_, old.st_uid, old.st_gid) != 0) {
      // Another's file in a folder of ours: it becomes ours, as when an editor saves it.
    }
    ::fchmod(handle_, old.st_mode & 07777);
  }
  int handle() const { return handle_; }

 private:
  int handle_ = -1;
};

/// 0, or errno's reason why not.
int write_into(int file, const std::string& bytes) {
  for (std::size_t done = 0; done < bytes.size();) {
    const ssize_t wrote = ::write(file, bytes.data() + done, bytes.size() - done);
    if (wrote > 0)
      done += static_cast<std::size_t>(wrote);
    else if (wrote == 0)
      return ENOSPC;
    else if (errno != EINTR)
      return errno;
  }
  return 0;
}

int write_whole(int file, const std::string& bytes) {
  if (const int reason = write_into(file, bytes)) return reason;
  return ::fsync(file) != 0 && errno != EINVAL && errno != EROFS ? errno : 0;
}

/// A device or a pipe is written into as it stands. A pipe's reader is waited for a while.
int write_through(const fs::path& path, const std::string& bytes) {
  constexpr int kTries = 100;
  int handle = -1;
  for (int i = 0; i < kTries && handle < 0; ++i) {
    handle = ::open(path.c_str(), O_WRONLY | O_NONBLOCK | O_NOCTTY | O_CLOEXEC);
    if (handle < 0 && errno != ENXIO) return errno;
    if (handle < 0) ::usleep(100'000);
  }
  if (handle < 0) return ENXIO;
  ::fcntl(handle, F_SETFL, ::fcntl(handle, F_GETFL) & ~O_NONBLOCK);
  const int reason = write_into(handle, bytes);
  ::close(handle);
  return reason;
}

/// Where a name leads: through links, also one that leads to nothing yet. errno's reason when they go round.
int follow(fs::path& path) {
  constexpr int kMostLinks = 40;
  std::error_code trouble;
  for (int i = 0; i < kMostLinks; ++i) {
    if (!fs::is_symlink(fs::symlink_status(path, trouble))) return 0;
    const fs::path to = fs::read_symlink(path, trouble);
    if (trouble) return trouble.value();
    path = to.is_absolute() ? to : path.parent_path() / to;
  }
  return ELOOP;
}

// ---- what a killed run left
// -------------------------------------------------------------------------------------------

/// ".plan.json.garthwright-<process>-<number>.new" or ".old".
std::string hidden_name(const fs::path& target, std::size_t number, const char* ending) {
  return "." + target.filename().string() + ".garthwright-" + std::to_string(::getpid()) + "-" +
         std::to_string(number) + ending;
}

/// The process in such a name; none when it is any other name.
std::optional<pid_t> process_in(const std::string& name) {
  static const std::regex kOurs("\\..+\\.garthwright-([0-9]{1,9})-[0-9]{1,9}\\.(new|old)");
  std::smatch parts;
  if (!std::regex_match(name, parts, kOurs)) return std::nullopt;
  return static_cast<pid_t>(std::stol(parts[1]));
}

bool lives(pid_t process) { return process > 0 && (::kill(process, 0) == 0 || errno != ESRCH); }

/// Removes temporary files of runs that are no more. Nothing else has such a name, and what a living run holds is
/// locked, also by a process of another machine or of this one's other rooms.
void sweep(const fs::path& folder) {
  std::error_code none;
  std::vector<fs::path> left;
  for (const fs::directory_entry& entry : fs::directory_iterator(folder, none)) {
    const std::optional<pid_t> process = process_in(entry.path().filename().string());
    if (process && !lives(*process)) left.push_back(entry.path());
  }
  for (const fs::path& path : left) {
    const int handle = ::open(path.c_str(), O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC);
    struct stat about {};
    const bool ours = handle >= 0 && ::fstat(handle, &about) == 0 && S_ISREG(about.st_mode) &&
                      (about.st_uid == ::geteuid() || ::geteuid() == 0) && ::flock(handle, LOCK_EX | LOCK_NB) == 0;
    if (ours) ::unlink(path.c_str());
    if (handle >= 0) ::close(handle);
  }
}

constexpr const char* kPartingWords =
    "Garthwright was ended while it put new files in the place of old ones in this folder.\n"
    "Some may be of the plan before, some of the plan after: do not build from them.\n"
    "Plan the job again into this folder; that makes them all of one plan and takes this note away.\n";

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
  Fresh file{};
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

Diagnostics left_by_a_killed_run(const std::string& folder) {
  const fs::path note = fs::path(folder) / kParting;
  std::error_code none;
  if (!fs::is_regular_file(fs::symlink_status(note, none))) return {};
  return {{Severity::warning,
           "killed-run",
           "the run before this one was ended while it changed the files here, which may be of two plans",
           "this run writes them all anew",
           {note.string(), 0, 0, {}}}};
}

Result<void> write_all(const std::string& folder, const std::vector<OutputFile>& files) {
  std::error_code made;
  fs::create_directories(folder, made);
  if (made) return cannot_write(folder, made.value());

  std::vector<Pending> all;
  std::vector<fs::path> new_folders, swept;
  const auto give_up = [&](const fs::path& target, int reason) {
    undo(all, new_folders);
    return cannot_write(target, reason);
  };
  for (const OutputFile& file : files) {
    fs::path target = fs::path(folder) / file.name;
    const fs::path named = target;
    if (fs::create_directory(target.parent_path(), made)) new_folders.push_back(target.parent_path());
    struct stat old {};
    const bool there = ::stat(named.c_str(), &old) == 0;
    if (there && S_ISDIR(old.st_mode)) return give_up(named, EISDIR);
    if (there && !S_ISREG(old.st_mode)) {
      if (const int reason = write_through(named, file.bytes)) return give_up(named, reason);
      continue;
    }
    if (const int reason = follow(target)) return give_up(named, reason);
    if (there && ::access(target.c_str(), W_OK) != 0) return give_up(named, errno);
    const fs::path inside = target.has_parent_path() ? target.parent_path() : ".";
    if (std::find(swept.begin(), swept.end(), inside) == swept.end()) sweep(swept.emplace_back(inside));
    all.push_back(
        {target, inside / hidden_name(target, all.size(), ".new"), inside / hidden_name(target, all.size(), ".old")});
    Pending& one = all.back();
    int reason = one.file.make(one.fresh);
    if (reason == 0 && there) one.file.like(old);
    if (reason == 0) reason = write_whole(one.file.handle(), file.bytes);
    if (reason != 0) return give_up(named, reason);
  }
  const fs::path note = fs::path(folder) / kParting;
  bool made_note = false;
  if (all.size() > 1) {
    Fresh word;
    int reason = word.make(note);
    made_note = reason == 0;
    if (made_note) reason = write_whole(word.handle(), kPartingWords);
    if (reason != 0 && reason != EEXIST) {  // it may be there from a killed run
      if (made_note) ::unlink(note.c_str());
      return give_up(note, reason);
    }
    flush_folder(folder);
  }
  for (Pending& one : all) {
    one.kept_old = ::link(one.target.c_str(), one.old.c_str()) == 0;
    one.renamed = ::rename(one.fresh.c_str(), one.target.c_str()) == 0;
    if (!one.renamed) {
      const int reason = errno;
      const auto failed = give_up(one.target, reason);
      if (made_note) ::unlink(note.c_str());
      return failed;
    }
  }
  for (const Pending& one : all)
    if (one.kept_old) ::unlink(one.old.c_str());
  for (const fs::path& one : new_folders) flush_folder(one);
  for (const fs::path& one : swept) flush_folder(one);
  if (all.size() > 1) ::unlink(note.c_str());
  flush_folder(folder);
  return {};
}

}  // namespace garthwright::exchange
