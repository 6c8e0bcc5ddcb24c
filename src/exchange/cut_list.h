// SPDX-License-Identifier: Apache-2.0
//
// Cut lists on their own, without a job: lengths that can be had, pieces that are wanted, as JSON or CSV
// (docs/cut-list.md), and the answer of the cutting kernel in the same way.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "base/diagnostic.h"
#include "buying/bundles.h"

namespace garthwright::exchange {

/// A cut list for the kernel. Lengths were millimetres in the file; in `problem` they are whole numbers of steps, the
/// largest step (at least 1e-6 mm) that measures them all.
struct CutList {
  buying::BundleProblem problem;
  std::int64_t step_nm = 1'000'000;  ///< one kernel unit in 1e-6 mm
  Diagnostics remarks;               ///< keys that mean nothing here, with the ones that might have been meant
};

/// Reads a list; text that begins with a brace is JSON, else CSV. Any byte sequence gives a list or errors with what is
/// wrong and where: lengths above 0 and up to 1,000,000 mm, quantities 1 to 1,000,000,000, prices 0 and more, bundles
/// of 2 to 100,000. Bundles are read from JSON alone.
Result<CutList> parse_cut_list(std::string_view text, const std::string& file);

/// {"cost_minor", "lower_bound_minor", "optimal", "layouts": [{"stock_mm", "count", "pieces": [mm, …]}], "seconds",
/// "nodes"}; with bundles in the list also "bought": [{"stock_mm", "bundle", "count", "price_minor"}], where "bundle"
/// is how many lengths one holds and is missing for lengths sold singly, and "left_whole": [{"stock_mm", "count"}].
std::string cut_answer_json(const CutList& list, const buying::Purchase& purchase);

/// stock_mm, count, then the pieces of one length in the last column, parted by spaces. Says nothing of bundles.
std::string cut_answer_csv(const CutList& list, const buying::Purchase& purchase);

}  // namespace garthwright::exchange
