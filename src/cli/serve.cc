// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <malloc.h>
#include <pthread.h>

#include <algorithm>
#include <cctype>
#include <csignal>
#include <cstdlib>
#include <memory>
#include <thread>

#include "cli/command.h"
#include "cli/folders.h"
#include "cli/version.h"
#include "server/server.h"

namespace garthwright::cli {

namespace {

struct Given {
  std::vector<std::string> jobs;
  std::string host = "127.0.0.1", token, folder, known_as;
  double port = 8080, threads = 0, seconds = 30;
};

/// The share folder, and all folders that the jobs named stand in.
pattern::Shelves shelves_of(const Given& given) {
  pattern::Shelves all;
  const auto add = [](std::vector<std::string>& to, const std::vector<std::string>& more) {
    for (const std::string& folder : more)
      if (std::find(to.begin(), to.end(), folder) == to.end()) to.push_back(folder);
  };
  std::vector<std::string> beside = given.jobs;
  if (!given.folder.empty()) beside.push_back(given.folder + "/job.toml");
  beside.emplace_back();  // the share folder alone
  for (const std::string& job : beside) {
    const pattern::Shelves one = shelves_for(job);
    add(all.patterns, one.patterns);
    add(all.catalogues, one.catalogues);
  }
  return all;
}

/// "garden.example,pi.local" as lower-case names.
std::vector<std::string> names_in(const std::string& list) {
  std::vector<std::string> names(1);
  for (const char c : list) {
    if (c == ',')
      names.emplace_back();
    else
      names.back() += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  }
  std::erase(names, "");
  return names;
}

/// The signals that end a server, taken by one thread that waits for them: the first lets it finish what runs, a second
/// ends it at once. Blocked from here on in every thread that is begun later.
class EndSignals {
 public:
  EndSignals() {
    sigemptyset(&set_);
    for (const int signal : {SIGTERM, SIGINT, SIGUSR2}) sigaddset(&set_, signal);
    pthread_sigmask(SIG_BLOCK, &set_, nullptr);
  }
  ~EndSignals() {
    if (!thread_.joinable()) return;
    pthread_kill(thread_.native_handle(), SIGUSR2);  // wakes it; nobody else sends it this
    thread_.join();
  }

  void end(server::Server& server) {
    thread_ = std::thread([this, &server] {
      int signal = 0;
      for (int count = 0; sigwait(&set_, &signal) == 0 && signal != SIGUSR2; ++count) {
        if (count == 0)
          server.drain();
        else
          server.stop();
      }
    });
  }

 private:
  sigset_t set_{};
  std::thread thread_;
};

/// The system's allocator left to itself learns to keep the tables of the cutting search, tens of megabytes, and then
/// lays the answers that are kept among them. They go back to the system at once instead; smaller blocks do not, as
/// meshing takes and leaves hundreds of kilobytes for every face, and the system's calls for them would cost more than
/// the mesh.
void settle_memory() {
  mallopt(M_ARENA_MAX, 2);
  mallopt(M_MMAP_THRESHOLD, 4 << 20);
  mallopt(M_TRIM_THRESHOLD, 16 << 20);
}

Status serve(const Given& given) {
  settle_memory();
  EndSignals signals;
  server::JobFiles jobs;
  Diagnostics problems;
  const auto note = [&](const Result<void>& done) {
    if (!done) problems.insert(problems.end(), done.error().begin(), done.error().end());
  };
  for (const std::string& job : given.jobs) note(jobs.add(job));
  if (!given.folder.empty()) note(jobs.open_folder(given.folder));
  if (!problems.empty()) return wrong(problems);

  server::ServerOptions options;
  options.host = given.host;
  options.port = static_cast<int>(given.port);
  options.token = given.token;
  options.known_as = names_in(given.known_as);
  options.version = version();
  if (const std::optional<ShareFolder> share = share_folder()) options.manual = manual_folder(*share).string();
  options.computing = static_cast<int>(given.threads);
  options.seconds = given.seconds;
  options.tidy = [] { malloc_trim(0); };  // pages between the blocks that are kept go back too
  Result<std::unique_ptr<server::Server>> opened =
      server::Server::open(options, server::Answers(shelves_of(given)), jobs);
  if (!opened) {
    print(opened.error());
    return opened.error().front().code == "no-port" ? kMachineFailed : kWrongInput;
  }
  server::Server& server = **opened;
  signals.end(server);
  const Status wrote = write_out(
      fmt::format("Garthwright is at {}{}\n", server.address(), given.token.empty() ? "" : "?token=" + given.token));
  if (wrote != kDone) return wrote;
  server.run();
  if (server.is_busy()) std::_Exit(kDone);  // nobody waits for it, and it has nothing open that it writes
  return kDone;
}

}  // namespace

void add_serve(CommandLine& words) {
  auto given = std::make_shared<Given>();
  Command command = words.add("serve", "Serve the page and its planner to a browser");
  command.arguments("JOB", given->jobs, "job files that the page may open and save");
  command.whole("--port", "N", given->port, 65535, "port to listen on; 0 for any that is free");
  command.option("--host", "ADDRESS", given->host, "address to listen on; beyond loopback --token must be given");
  command.option("--token", "SECRET", given->token, "answer only who knows this");
  command.option("--known-as", "NAMES", given->known_as, "further host names of this server, as a proxy calls it: a,b");
  command.option("--jobs-dir", "DIR", given->folder, "folder of jobs that the page may open, save and add to");
  command.whole("--threads", "N", given->threads, 256, "computations at a time (else one for each core)");
  command.number("--limit-s", "SECONDS", given->seconds, 3600, "longest time for one computation");
  command.note(
      "Prints the address and answers until it is ended (Ctrl-C, SIGTERM): then what runs is finished, nothing new is\n"
      "begun. A second signal ends it at once. Nothing leaves this machine, and no file is read or written but the "
      "jobs\n"
      "named, those in --jobs-dir, and the catalogues and patterns beside them and in the share folder.\n"
      "The HTTP API is described in docs/openapi.json, and served at /api/v1/openapi.json.");
  command.runs([given] { return serve(*given); });
}

}  // namespace garthwright::cli
