// SPDX-License-Identifier: Apache-2.0
//
// One line of a strength or ground report: what was asked of a part and what it can give.
#pragma once

#include <string>
#include <utility>
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

/// Over 1 fails, as does what could not be computed; over 0.9 wants attention.
inline Verdict verdict_of(double utilisation) {
  return !(utilisation <= 1) ? Verdict::fails : utilisation > 0.9 ? Verdict::attention : Verdict::ok;
}

/// A row to be filled in: "<structure>/<id>".
inline Check new_check(const std::string& structure, const std::string& id, std::string title) {
  Check c;
  c.id = structure + "/" + id;
  c.title = std::move(title);
  c.structure = structure;
  return c;
}

}  // namespace garthwright
