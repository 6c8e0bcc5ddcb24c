// SPDX-License-Identifier: Apache-2.0
//
// Throws spoilt jobs, catalogues, patterns, cut lists and HTTP requests at their readers: none may crash, hang or leak,
// whatever the bytes; and what is read of a connection is the same, however its bytes are parted. Begins from the files
// that ship, and spoils each in a few random places. Every round is made from the seed and its number alone, so that a
// round that fails can be run again on its own:
//
//   fuzz_readers [--seed N] [--rounds N | --seconds N] [--from N]
//
// With sanitizers in the build, what they see counts as a crash. Prints the round that failed.
#include <unistd.h>

#include <algorithm>
#include <cctype>
#include <chrono>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <random>
#include <string>
#include <vector>

#include "exchange/cut_list.h"
#include "pattern/job.h"
#include "server/request_reader.h"
#include "timber/yard.h"

// So that a sanitizer's finding reaches the handler below.
extern "C" const char* __asan_default_options() { return "abort_on_error=1"; }   // NOLINT: the sanitizer's own name
extern "C" const char* __ubsan_default_options() { return "abort_on_error=1"; }  // NOLINT

namespace garthwright {
namespace {

namespace fs = std::filesystem;

constexpr unsigned kSecondsForOneRound = 60;
volatile std::sig_atomic_t current_round = 0;

/// Only calls that are allowed in a signal handler.
void tell_round(int signal) {
  char digits[16];
  int length = 0;
  for (int n = current_round; n > 0 || length == 0; n /= 10) digits[length++] = static_cast<char>('0' + n % 10);
  const char* words = signal == SIGALRM ? "\nfuzz_readers: hangs in round " : "\nfuzz_readers: crashed in round ";
  ssize_t written = ::write(STDERR_FILENO, words, std::strlen(words));
  while (length > 0) written += ::write(STDERR_FILENO, &digits[--length], 1);
  written += ::write(STDERR_FILENO, "\n", 1);
  std::_Exit(written > 0 ? 1 : 2);
}

std::string read(const fs::path& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

std::vector<std::string> texts_in(const fs::path& folder, const char* ending) {
  std::vector<fs::path> files;
  for (const auto& entry : fs::directory_iterator(folder))
    if (entry.path().extension() == ending) files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  std::vector<std::string> texts;
  for (const fs::path& file : files) texts.push_back(read(file));
  return texts;
}

// ---- spoiling -------------------------------------------------------------------------------------------------------

/// What people and machines get wrong: limits of numbers, half a character, brackets that do not close.
const std::vector<std::string>& oddities() {
  static const std::vector<std::string> kOdd = {"0",
                                                "-1",
                                                "1e308",
                                                "nan",
                                                "inf",
                                                "1e-320",
                                                "9223372036854775808",
                                                "999999999",
                                                "\"\"",
                                                "''",
                                                "[",
                                                "]",
                                                "{",
                                                "}",
                                                "=",
                                                "\n",
                                                "\"",
                                                "'",
                                                "\\",
                                                "\xc3",
                                                "\xff\xfe",
                                                "true",
                                                "nil",
                                                "end",
                                                "[[x]]",
                                                "#",
                                                "1/0 in",
                                                "' \" ' \"",
                                                "..",
                                                ",",
                                                "mm",
                                                "function() return 1 end",
                                                "{ {}, {} }",
                                                "math.huge",
                                                "0/0",
                                                "-",
                                                "1000000",
                                                "c.opening"};
  return kOdd;
}

class Spoiler {
 public:
  explicit Spoiler(std::uint64_t seed) : random_(seed) {}

  std::size_t upto(std::size_t most) { return std::uniform_int_distribution<std::size_t>(0, most)(random_); }
  template <class Items>
  const auto& one_of(const Items& items) {
    return items[upto(items.size() - 1)];
  }

  std::string spoil(std::string text) {
    for (std::size_t edits = 1 + upto(5); edits > 0 && !text.empty(); --edits) edit(text);
    return text;
  }

 private:
  void edit(std::string& text) {
    const std::size_t at = upto(text.size() - 1);
    const std::size_t length = std::min(text.size() - at, 1 + upto(12));
    switch (upto(6)) {
      case 0:
        text[at] = static_cast<char>(upto(255));
        break;
      case 1:
        text.erase(at, length);
        break;
      case 2:
        text.insert(at, one_of(oddities()));
        break;
      case 3:
        text.insert(upto(text.size() - 1), text.substr(at, length));
        break;
      case 4:
        text.resize(at);
        break;
      case 5:
        replace_word(text, at);
        break;
      case 6:
        swap_lines(text, at);
        break;
    }
  }

  void replace_word(std::string& text, std::size_t at) {
    const auto in_word = [&](std::size_t i) { return std::isalnum(static_cast<unsigned char>(text[i])) != 0; };
    std::size_t from = at, to = at;
    while (from > 0 && in_word(from - 1)) --from;
    while (to < text.size() && in_word(to)) ++to;
    text.replace(from, to - from, one_of(oddities()));
  }

  void swap_lines(std::string& text, std::size_t at) {
    const std::size_t end = text.find('\n', at);
    if (end == std::string::npos) return;
    const std::string line = text.substr(at, end - at + 1);
    text.erase(at, line.size());
    text.insert(text.empty() ? 0 : upto(text.size() - 1), line);
  }

  std::mt19937_64 random_;
};

// ---- one round ------------------------------------------------------------------------------------------------------

struct Corpus {
  std::vector<std::string> jobs, catalogues, patterns, lists, connections;
  pattern::Shelves shelves, own_shelves;
  fs::path own_pattern;
};

void build_all(const std::string& job_text, const pattern::Shelves& shelves) {
  const Result<pattern::Job> job = pattern::parse_job(job_text, "job.toml", shelves);
  if (!job) return;
  int letter = 0;
  for (const pattern::Order& order : job->orders) (void)pattern::build(*job, order, shelves, letter, letter);
}

/// A job whose pattern is called "own", whatever it was before.
std::string with_own_pattern(std::string job) {
  const std::size_t at = job.find("pattern = \"");
  if (at == std::string::npos) return job;
  const std::size_t name = at + std::strlen("pattern = \"");
  return job.replace(name, job.find('"', name) - name, "own");
}

/// What a server reads of a connection, whose bytes come in parts of at most `most`: each request, then how it ends.
std::string read_connection(const std::string& bytes, std::size_t most, Spoiler& parts) {
  using State = server::RequestReader::State;
  server::RequestReader reader({});
  std::string story;
  for (std::size_t from = 0;;) switch (reader.advance()) {
      case State::more: {
        if (from == bytes.size()) return story + (reader.between_requests() ? "." : "...");
        const std::size_t part = std::min(1 + parts.upto(most), bytes.size() - from);
        reader.take(std::string_view(bytes).substr(from, part));
        from += part;
        break;
      }
      case State::head:
        break;
      case State::whole:
        story += reader.request().method + " " + reader.request().path + "\n" + reader.request().body + "\n";
        for (const auto& [name, value] : reader.request().fields) story += name + "=" + value + "\n";
        if (!reader.keeps_alive()) return story + "closed";
        reader.next();
        break;
      case State::refused:
        return story + std::to_string(reader.status());
    }
}

void read_connection_in_parts(const std::string& bytes, Spoiler& parts) {
  const std::string whole = read_connection(bytes, bytes.size() + 1, parts);
  for (const std::size_t most : {0, 3, 40})
    if (read_connection(bytes, most, parts) != whole) std::abort();
}

void run_round(const Corpus& corpus, std::uint64_t seed, int round) {
  Spoiler spoiler(seed * 1'000'003 + static_cast<std::uint64_t>(round));
  switch (round % 5) {
    case 0:
      build_all(spoiler.spoil(spoiler.one_of(corpus.jobs)), corpus.shelves);
      break;
    case 1:
      (void)timber::parse_yard(spoiler.spoil(spoiler.one_of(corpus.catalogues)), "yard.toml");
      break;
    case 2: {
      const std::size_t which = spoiler.upto(corpus.patterns.size() - 1);
      std::ofstream(corpus.own_pattern, std::ios::binary) << spoiler.spoil(corpus.patterns[which]);
      build_all(with_own_pattern(spoiler.one_of(corpus.jobs)), corpus.own_shelves);
      break;
    }
    case 3:
      (void)exchange::parse_cut_list(spoiler.spoil(spoiler.one_of(corpus.lists)), "list");
      break;
    case 4: {
      std::string all = spoiler.one_of(corpus.connections);
      all += spoiler.one_of(corpus.connections);
      read_connection_in_parts(spoiler.spoil(all), spoiler);
      break;
    }
  }
}

Corpus load(const fs::path& scratch) {
  const fs::path source = GARTHWRIGHT_SOURCE_DIR;
  Corpus corpus;
  corpus.jobs = texts_in(source / "examples", ".toml");
  corpus.catalogues = texts_in(source / "catalogues", ".toml");
  corpus.patterns = texts_in(source / "patterns", ".lua");
  corpus.lists = {
      R"({"stock":[{"length_mm":4800,"price_minor":1290,"limit":4,"off_cut":false},)"
      R"({"length_mm":2400,"bundles":[{"count":10,"price_minor":4500},{"count":25,"price_minor":9900}]}],"kerf_mm":3,)"
      R"("trim_mm":10,"pieces":[{"length_mm":1150.5,"quantity":7,"mark":"A1"}]})",
      "kind,length_mm,price_minor,quantity,mark\r\nkerf,3\r\nstock,4800,1290,,\r\npiece,1150,,7,\"A, 1\"\r\n"};
  corpus.connections = {
      "GET /api/v1/patterns?units=ft-in&yard=mill%20creek HTTP/1.1\r\nHost: localhost:8080\r\nAccept: */*\r\n"
      "If-None-Match: \"a\", \"b\"\r\nIf-None-Match: \"c\"\r\nAccept-Encoding: gzip, br\r\n\r\n",
      "POST /api/v1/check?name=garden HTTP/1.1\r\nHost: [::1]\r\nOrigin: http://[::1]\r\nContent-Type: "
      "application/toml\r\n"
      "Content-Length: 11\r\n\r\nformat = 1\n",
      "POST http://localhost/api/v1/plan HTTP/1.1\r\nHost: localhost\r\nTransfer-Encoding: chunked\r\n"
      "Expect: 100-continue\r\n\r\n6\r\nformat\r\n5;a=b\r\n = 1\n\r\n0\r\n\r\n",
      "HEAD / HTTP/1.0\r\nHost: 127.0.0.1\r\nConnection: keep-alive\r\nCookie: garthwright-80=0123\r\n\r\n\r\n",
      "PUT /api/v1/jobs/mine HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\nIf-Match: *\r\nContent-Length: "
      "0\r\n\r\n"};
  corpus.shelves = {{(source / "patterns").string()}, {(source / "catalogues").string()}};
  corpus.own_shelves = {{scratch.string()}, {(source / "catalogues").string()}};
  corpus.own_pattern = scratch / "own.lua";
  return corpus;
}

long number_after(int argc, char** argv, const char* word, long otherwise) {
  for (int i = 1; i + 1 < argc; ++i)
    if (std::strcmp(argv[i], word) == 0) return std::atol(argv[i + 1]);
  return otherwise;
}

}  // namespace
}  // namespace garthwright

int main(int argc, char** argv) {
  using namespace garthwright;
  using Clock = std::chrono::steady_clock;
  const auto seed = static_cast<std::uint64_t>(number_after(argc, argv, "--seed", 1));
  const int first = static_cast<int>(number_after(argc, argv, "--from", 0));
  const auto until = Clock::now() + std::chrono::seconds(number_after(argc, argv, "--seconds", 1'000'000));
  const bool timed = number_after(argc, argv, "--seconds", 0) > 0;
  const int rounds = static_cast<int>(number_after(argc, argv, "--rounds", timed ? 1'000'000'000 : 2000));

  const fs::path scratch = fs::temp_directory_path() / ("fuzz_readers_" + std::to_string(::getpid()));
  fs::create_directories(scratch);
  const Corpus corpus = load(scratch);
  for (const int signal : {SIGABRT, SIGSEGV, SIGFPE, SIGALRM}) std::signal(signal, tell_round);

  int done = 0;
  for (; done < rounds && Clock::now() < until; ++done) {
    current_round = first + done;
    ::alarm(kSecondsForOneRound);
    run_round(corpus, seed, first + done);
  }
  ::alarm(0);
  fs::remove_all(scratch);
  std::printf("%d rounds from seed %llu, none crashed\n", done, static_cast<unsigned long long>(seed));
  return done > 0 ? 0 : 1;
}
