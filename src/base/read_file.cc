// SPDX-License-Identifier: Apache-2.0
#include "base/read_file.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>

namespace garthwright {
namespace {

/// Closes itself.
struct Handle {
  int number = -1;
  ~Handle() {
    if (number >= 0) ::close(number);
  }
};

}  // namespace

Result<std::string> read_file(const std::string& path, std::size_t most) {
  const Place place{path, 0, 0, {}};
  const auto unreadable = [&](int reason) {
    return fail("unreadable", "cannot read: " + std::string(std::strerror(reason)),
                reason == ENOENT ? "give the path of a file that exists" : "", place);
  };
  const auto too_large = [&] {
    return fail("unreadable", fmt::format("the file is over {} MB", most >> 20), "", place);
  };

  // Opening a pipe would wait for its writer, unless asked not to.
  const Handle file{::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY)};
  if (file.number < 0) return unreadable(errno);
  struct stat about {};
  if (::fstat(file.number, &about) != 0) return unreadable(errno);
  if (S_ISDIR(about.st_mode)) return unreadable(EISDIR);
  if (!S_ISREG(about.st_mode))
    return fail("unreadable", "cannot read: it is a device or a pipe",
                "give a plain file, or - for standard input where a command takes it", place);
  if (about.st_size > static_cast<off_t>(most)) return too_large();

  std::string text;
  char part[65536];
  for (;;) {
    const ssize_t got = ::read(file.number, part, sizeof part);
    if (got < 0 && errno == EINTR) continue;
    if (got < 0) return unreadable(errno);
    if (got == 0) return text;
    text.append(part, static_cast<std::size_t>(got));
    if (text.size() > most) return too_large();  // it grew meanwhile, or is one of the system's that tell no size
  }
}

}  // namespace garthwright
