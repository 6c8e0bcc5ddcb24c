// SPDX-License-Identifier: Apache-2.0
//
// Throws spoilt jobs, catalogues, patterns, cut lists, frames, cases, rates, plans, sheds and HTTP requests at their
// readers: none may crash, hang or leak, whatever the bytes; and what is read of a connection is the same, however its
// bytes are parted. Begins from the files that ship and from tests/fuzz_corpus, and spoils each in a few random places.
// Every round is made from the seed and its number alone, so that a round that fails can be run again on its own:
//
//   fuzz_readers [--seed N] [--rounds N | --seconds N] [--from N] [--only READER]
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
#include <functional>
#include <iterator>
#include <random>
#include <string>
#include <vector>

#include "assembly/cases.h"
#include "cli/shed_plan.h"
#include "exchange/cut_list.h"
#include "frame/frame_json.h"
#include "pattern/job.h"
#include "sequence/rates.h"
#include "server/request_reader.h"
#include "shed/shed.h"
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

std::vector<std::string> texts_in(const fs::path& folder, const std::string& ending = "") {
  std::vector<fs::path> files;
  std::error_code none;
  for (const auto& entry : fs::directory_iterator(folder, none))
    if (entry.is_regular_file() && entry.path().filename().string().ends_with(ending)) files.push_back(entry.path());
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

// ---- what is thrown at whom
// --------------------------------------------------------------------------------------------

/// A reader of what comes from outside, and what its texts begin as: what ships, and what is kept in tests/fuzz_corpus,
/// where every text lies that ever did harm.
struct Reader {
  std::string name;
  std::vector<std::string> beginnings;
  std::function<void(const std::string& text, Spoiler& chance)> read;
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

/// The shed's own file, spoilt: what can still be opened is read, and written to.
void use_shed(const fs::path& file, const std::string& bytes) {
  for (const char* more : {"-journal", "-wal", "-shm"}) fs::remove(file.string() + more);
  std::ofstream(file, std::ios::binary) << bytes;
  Result<shed::Shed> opened = shed::Shed::open(file.string());
  if (!opened) return;
  (void)opened->list();
  (void)opened->free_for("a job");
  (void)opened->add({{shed::Kind::off_cut, "4x4", 1200, 2}});
}

std::string whole_shed(const fs::path& file) {
  {
    Result<shed::Shed> opened = shed::Shed::open(file.string());
    if (!opened) return {};
    (void)opened->add({{shed::Kind::off_cut, "4x4", 1200, 2}, {shed::Kind::fixing, "screw 5x80", 0, 40}});
    (void)opened->reserve("a job", {{shed::Kind::off_cut, "4x4", 1200, 1}});
  }
  return read(file);
}

std::vector<Reader> readers(const fs::path& scratch) {
  const fs::path source = GARTHWRIGHT_SOURCE_DIR, kept = source / "tests" / "fuzz_corpus";
  const pattern::Shelves shelves{{(source / "patterns").string()}, {(source / "catalogues").string()}};
  const pattern::Shelves own_shelves{{scratch.string()}, {(source / "catalogues").string()}};
  const fs::path own_pattern = scratch / "own.lua", shed_file = scratch / "shed.db";
  std::vector<std::string> jobs = texts_in(source / "examples"), connections = texts_in(kept / "connection");

  std::vector<Reader> all{
      {"job", jobs, [=](const std::string& text, Spoiler&) { build_all(text, shelves); }},
      {"catalogue", texts_in(source / "catalogues"),
       [](const std::string& text, Spoiler&) { (void)timber::parse_yard(text, "yard.toml"); }},
      {"pattern", texts_in(source / "patterns"),
       [=](const std::string& text, Spoiler& chance) {
         std::ofstream(own_pattern, std::ios::binary) << text;
         build_all(with_own_pattern(chance.one_of(jobs)), own_shelves);
       }},
      {"list", {}, [](const std::string& text, Spoiler&) { (void)exchange::parse_cut_list(text, "list"); }},
      {"frame", {}, [](const std::string& text, Spoiler&) { (void)frame::solve_frame_json(text, "frame"); }},
      {"cases", {}, [](const std::string& text, Spoiler&) { (void)assembly::answer_cases_json(text, "cases"); }},
      {"rates",
       {read(source / "docs" / "rates.toml")},
       [](const std::string& text, Spoiler&) { (void)sequence::parse_rates(text, "rates.toml"); }},
      {"plan", {}, [](const std::string& text, Spoiler&) { (void)cli::read_shed_plan(text, "plan.json"); }},
      {"shed", {whole_shed(shed_file)}, [=](const std::string& bytes, Spoiler&) { use_shed(shed_file, bytes); }},
      {"connection",
       {},
       [=](const std::string& bytes, Spoiler& chance) {
         read_connection_in_parts(bytes + chance.one_of(connections), chance);
       }},
  };
  const auto add = [](Reader& reader, std::vector<std::string> texts) {
    std::move(texts.begin(), texts.end(), std::back_inserter(reader.beginnings));
  };
  for (Reader& reader : all) add(reader, texts_in(kept / reader.name));
  add(all[0], texts_in(source / "tests" / "golden" / "errors", ".toml"));
  return all;
}

void run_round(const std::vector<Reader>& readers, std::uint64_t seed, int round) {
  Spoiler spoiler(seed * 1'000'003 + static_cast<std::uint64_t>(round));
  const Reader& reader = readers[static_cast<std::size_t>(round) % readers.size()];
  reader.read(spoiler.spoil(spoiler.one_of(reader.beginnings)), spoiler);
}

const char* word_after(int argc, char** argv, const char* word) {
  for (int i = 1; i + 1 < argc; ++i)
    if (std::strcmp(argv[i], word) == 0) return argv[i + 1];
  return nullptr;
}

long number_after(int argc, char** argv, const char* word, long otherwise) {
  const char* given = word_after(argc, argv, word);
  return given != nullptr ? std::atol(given) : otherwise;
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
  std::vector<Reader> all = readers(scratch);
  if (const char* only = word_after(argc, argv, "--only"); only != nullptr)
    std::erase_if(all, [&](const Reader& reader) { return reader.name != only; });
  if (all.empty()) return 2;
  for (const int signal : {SIGABRT, SIGSEGV, SIGFPE, SIGALRM}) std::signal(signal, tell_round);

  int done = 0;
  for (; done < rounds && Clock::now() < until; ++done) {
    current_round = first + done;
    ::alarm(kSecondsForOneRound);
    run_round(all, seed, first + done);
  }
  ::alarm(0);
  fs::remove_all(scratch);
  std::printf("%d rounds from seed %llu, none crashed\n", done, static_cast<unsigned long long>(seed));
  return done > 0 ? 0 : 1;
}
