// SPDX-License-Identifier: Apache-2.0
//
// What stands, found while somebody waits (docs/decide.md): lines that tell how far the search is, then its answer with
// the job's text as it would be, for the page to take or leave.
#pragma once

#include <atomic>
#include <string>

#include "pattern/job.h"
#include "server/answers.h"

namespace garthwright::server {

struct Search {
  const pattern::Job& job;
  const std::string& text;  ///< of the job
  const pattern::Shelves& shelves;
  const std::atomic<bool>* cancel;
  const Tell& tell;
};

/// What is open, settled: {"answer": as docs/decide.schema.json, "job": text or null}.
Result<Answer> settled(const Search& search);
/// What to change where something fails: {"answer": as docs/advice.schema.json, "jobs": [a text for each way]}.
Result<Answer> advised(const Search& search);

}  // namespace garthwright::server
