// SPDX-License-Identifier: Apache-2.0
//
// One line of a strength or ground report: what was asked of a part and what it can give.
#pragma once

#include <string>
#include <vector>

namespace garthwright {

enum class Verdict { ok, attention, fails };

struct Check {
  std::string id;     ///< "arbor/A/bending"; unique in a plan
  std::string title;  ///< "bending of post A1"
  std::string structure;
  double demand = 0, capacity = 0;
  std::string unit;  ///< "N/mm²", "kN", "mm", "1"
  double utilisation = 0;
  Verdict verdict = Verdict::ok;
  std::string source;       ///< clauses
  std::string combination;  ///< that governs, with its state
  std::string plain;        ///< one line for a person
  std::string advice;       ///< smallest change that passes, found by running it again; empty when none was looked for
};

inline const char* name(Verdict v) { return v == Verdict::ok ? "ok" : v == Verdict::attention ? "attention" : "fails"; }

inline bool has_failure(const std::vector<Check>& checks) {
  for (const Check& c : checks)
    if (c.verdict == Verdict::fails) return true;
  return false;
}

}  // namespace garthwright
