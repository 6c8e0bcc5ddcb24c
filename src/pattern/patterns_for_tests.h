// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <stdexcept>
#include <string>
#include <vector>

#include "base/source_dir_for_tests.h"
#include "pattern/job.h"

/// A shipped pattern built as a job of one structure would build it, and what stands then.
namespace garthwright::pattern::testing {

struct Made {
  Structure structure;
  Diagnostics remarks;
  std::string error;  ///< what the job was refused for

  /// Pieces of this name, in the order they were placed.
  std::vector<const Piece*> all(const std::string& name) const {
    std::vector<const Piece*> found;
    for (const Piece& piece : structure.pieces)
      if (piece.name == name) found.push_back(&piece);
    return found;
  }
  double count(const std::string& name) const { return static_cast<double>(all(name).size()); }
  const Piece& one(const std::string& name, const std::string& where) const {
    for (const Piece* piece : all(name))
      if (piece->where == where) return *piece;
    throw std::runtime_error("no " + where + " " + name);
  }
  double length(const std::string& name, std::size_t which = 0) const { return all(name).at(which)->length.value(); }
  Box box(const Piece& piece) const { return world_box(piece.frame, piece.blank()); }
  bool says(const std::string& part) const {
    return std::any_of(remarks.begin(), remarks.end(),
                       [&](const Diagnostic& d) { return d.what.find(part) != std::string::npos; });
  }
  /// Fixings that go through a piece of this name into one of the other.
  double fixings(const std::string& head, const std::string& last) const {
    return static_cast<double>(std::count_if(structure.fixings.begin(), structure.fixings.end(), [&](const Fixing& f) {
      const auto is = [&](Body b, const std::string& name) {
        return b.kind == Body::Kind::piece && structure[PieceId{b.index}].name == name;
      };
      return is(f.through.front(), head) && is(f.through.back(), last);
    }));
  }
};

inline Shelves shelves() {
  const std::string source = source_dir();
  return {{source + "/patterns", source + "/tests/patterns"}, {source + "/catalogues"}};
}

/// `choices` as they stand in a job; `more` above them: [ground], [site], [timber.measured] …
inline Result<Job> job_of(const std::string& pattern, const std::string& choices, const std::string& more = "",
                          const std::string& yard = "harrow-lane") {
  const std::string text = fmt::format(
      "format = 1\n[timber]\ncatalogue = '{}'\n{}\n[[structure]]\nname = 'it'\npattern = "
      "'{}'\n[structure.choices]\n{}\n",
      yard, more, pattern, choices);
  return parse_job(text, "job.toml", shelves());
}

inline Made make(const std::string& pattern, const std::string& choices, const std::string& more = "",
                 const std::string& yard = "harrow-lane") {
  const Result<Job> job = job_of(pattern, choices, more, yard);
  if (!job) return {{}, {}, to_string(job.error().front())};
  int next = 0;
  Result<Built> built = build(*job, job->orders.front(), shelves(), 0, next);
  if (!built) return {{}, {}, to_string(built.error().front())};
  return {std::move(built->structure), std::move(built->remarks), {}};
}

/// What stands, where there is no doubt that it can be built.
inline Structure built(const std::string& pattern, const std::string& choices, const std::string& more = "",
                       const std::string& yard = "harrow-lane") {
  Made made = make(pattern, choices, more, yard);
  if (!made.error.empty()) throw std::runtime_error(made.error);
  return std::move(made.structure);
}

}  // namespace garthwright::pattern::testing
