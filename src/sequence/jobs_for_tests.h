// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <memory>
#include <random>
#include <sstream>
#include <string>
#include <vector>

#include "base/source_dir_for_tests.h"
#include "pattern/job.h"
#include "sequence/sequence.h"

/// Structures for the tests: the example jobs, and random choices of both patterns.

namespace garthwright::sequence::testing {

inline const std::filesystem::path kSource = source_dir();

inline pattern::Shelves shelves() { return {{(kSource / "patterns").string()}, {(kSource / "catalogues").string()}}; }

/// The first structure of a job text; null when it cannot be built.
inline std::unique_ptr<Structure> built(const std::string& text, const std::string& file = "test.toml") {
  const Result<pattern::Job> job = pattern::parse_job(text, file, shelves());
  if (!job) return nullptr;
  int next = 0;
  Result<pattern::Built> result = pattern::build(*job, job->orders.front(), shelves(), 0, next);
  return result ? std::make_unique<Structure>(std::move(result->structure)) : nullptr;
}

inline std::unique_ptr<Structure> example(const std::string& name) {
  const auto path = kSource / "examples" / (name + ".toml");
  std::stringstream text;
  text << std::ifstream(path).rdbuf();
  return built(text.str(), path.string());
}

inline const std::vector<std::string>& example_names() {
  static const std::vector<std::string> names{"arbor", "arbor-us", "pergola-wall", "pergola-free"};
  return names;
}

inline std::string job_text(const std::string& pattern, const std::string& choices,
                            const std::string& yard = "harrow-lane") {
  return fmt::format(
      "format = 1\n[timber]\ncatalogue = \"{}\"\n[[structure]]\npattern = \"{}\"\n[structure.choices]\n{}", yard,
      pattern, choices);
}

/// The same numbers on every machine.
class Random {
 public:
  explicit Random(unsigned seed) : engine_(seed) {}
  int between(int low, int high) { return low + static_cast<int>(engine_() % static_cast<unsigned>(high - low + 1)); }
  bool one_in(int n) { return between(1, n) == 1; }

 private:
  std::mt19937 engine_;
};

inline std::string random_arbor(Random& r) {
  const int opening = r.between(600, 3000);
  const int most_rafters =
      1 + (opening - 45) / 320;  // nearer than that there is not always room to drive their brackets
  std::string c =
      fmt::format("opening = {}\nheight = {}\nrafters = {}\nside_overhang = {}\nfront_overhang = {}\n", opening,
                  r.between(2000, 2900), r.between(1, std::min(9, most_rafters)), r.between(0, 500), r.between(0, 400));
  c += "panel = \"trellis 1830x610\"\n";
  if (r.one_in(3)) c += "brace_leg = 0\n";
  if (r.one_in(3)) c += "in_ground = 800\n";
  static const char* kEnds[] = {"ogee", "quarter round", "bevel", "cove", "square"};
  c += fmt::format("beam_end = \"{}\"\nrafter_end = \"{}\"\n", kEnds[r.between(0, 4)], kEnds[r.between(0, 4)]);
  return job_text("arbor", c);
}

inline std::string random_pergola(Random& r) {
  std::string c =
      fmt::format("length = {}\ndepth = {}\nheight = {}\nrafters = {}\npurlins = {}\n", r.between(1800, 6500),
                  r.between(1800, 4000), r.between(1900, 2600), r.between(2, 10), r.between(0, 5));
  if (r.one_in(2)) c += "against = \"wall\"\n";
  if (r.one_in(3)) c += "beams = \"single\"\n";
  if (r.one_in(3)) c += "brace_leg = 0\n";
  return job_text("pergola", c);
}

}  // namespace garthwright::sequence::testing
