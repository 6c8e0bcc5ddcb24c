// SPDX-License-Identifier: Apache-2.0
//
// Questions about a job and their answers (docs/openapi.json), before HTTP: a function of the question, of the files on
// the shelves, and of nothing else.
#pragma once

#include <cstddef>
#include <functional>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "base/diagnostic.h"
#include "base/patience.h"
#include "pattern/job.h"

namespace garthwright::server {

struct Question {
  std::string path;                               ///< "/api/v1/plan"
  std::map<std::string, std::string> parameters;  ///< of the query
  std::string job;                                ///< TOML; empty where nothing is asked of a job
};

struct Answer {
  std::string type;  ///< media type
  std::string bytes;
  std::string save_as;  ///< a file name, where the answer is a file to keep
  bool whole = true;    ///< false: the time was up, another time it may say more
};

/// Takes a line of an answer that is not whole yet. From the thread that asks.
using Tell = std::function<void(std::string line)>;
inline constexpr const char* kLines = "application/x-ndjson";  ///< such an answer: JSON, a value a line

/// What a stranger's job may cost. Beyond it nothing is answered, so that no limit changes an answer.
struct Limits {
  std::size_t most_structures = 24;
  std::size_t most_pieces = 3000;
};

/// Answers questions from the shelves' files. May be asked from several threads at a time.
class Answers {
 public:
  Answers(pattern::Shelves shelves, Limits limits = {}) : shelves_(std::move(shelves)), limits_(limits) {}

  /// Whether something is answered at this path, with a job in the body or without.
  static bool about_a_job(const std::string& path);
  static bool about_the_shelves(const std::string& path);

  /// The answer, or what is wrong with the question ("unknown-parameter", whatever is wrong with the job, "too-large").
  /// What of a plan is not ready when the patience ends is left out of it, and the answer says so; "too-long" where
  /// that leaves nothing, or no file to keep, "cancelled" when it is told to stop.
  /// Some answers tell on their way how far they are; what is answered in the end is then the last line.
  Result<Answer> answer(const Question& question, const Patience& patience, const Tell& tell = {}) const;

  /// Names, sizes and ages of the shelves' files: answers may be kept as long as it stays the same.
  std::string shelf_state() const;

 private:
  pattern::Shelves shelves_;
  Limits limits_;
};

}  // namespace garthwright::server
