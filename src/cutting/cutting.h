// SPDX-License-Identifier: Apache-2.0
#pragma once

/// Exact one-dimensional cutting: which lengths to buy and how to cut them, at proven least cost.
///
/// Knows lengths, prices and saws, nothing of timber or structures. Every number is an integer: lengths in a unit the
/// caller chooses (the same for all), costs in minor units of a currency. Nothing proved rests on floating point.
///
/// A layout fits a new length when its pieces and one kerf between neighbours go into the length less the trim; an
/// off-cut is not trimmed. The last kerf may run off the end, so a piece may be exactly as long as what is left.
///
///   Problem problem;
///   problem.stock = {{.length = 4800, .cost = 1290}, {.length = 3600, .cost = 989}};
///   problem.pieces = {{.length = 2400, .quantity = 4}, {.length = 1150, .quantity = 7}};
///   problem.kerf = 3;
///   problem.trim = 10;
///   Result result = solve(problem);   // result.cost, result.lower_bound, result.layouts

#include <atomic>
#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "base/diagnostic.h"

namespace garthwright::cutting {

/// A length that can be had: bought new, or an off-cut on hand (limited, free or priced).
struct Stock {
  std::int64_t length = 0;
  std::int64_t cost = 0;                ///< minor units each
  std::optional<std::int64_t> limit{};  ///< how many can be had; none: as many as wanted
  bool off_cut = false;                 ///< not trimmed
};

/// Another way to get pieces of one kind: `yield` of them from one cut of `length`, from some stocks only.
/// Two battens ripped from one wider lath are {.length = 1200, .yield = 2, .only_from = {the wider stocks}}.
struct Way {
  std::int64_t length = 0;
  std::int64_t yield = 1;
  std::vector<int> only_from{};  ///< indices into Problem::stock; empty: any
};

/// Equal pieces that are wanted.
struct Piece {
  std::int64_t length = 0;
  std::int64_t quantity = 1;
  std::vector<int> only_from{};     ///< indices into Problem::stock (a grade, a section); empty: any
  std::vector<Way> alternatives{};  ///< further ways to get the same piece
};

struct Problem {
  std::vector<Stock> stock;
  std::vector<Piece> pieces;
  std::int64_t kerf = 0;  ///< lost between neighbouring pieces
  std::int64_t trim = 0;  ///< lost from every new length before the first piece
};

/// Cuts of one kind in a layout: `count` cuts of piece `piece`, got by way `way` (0: the piece itself, n: alternative
/// n-1).
struct Cut {
  int piece = 0;
  int way = 0;
  std::int64_t count = 0;

  bool operator==(const Cut&) const = default;
};

/// `count` lengths of one stock, all cut alike.
struct Layout {
  int stock = 0;
  std::int64_t count = 0;
  std::vector<Cut> cuts;
  std::int64_t rest = 0;  ///< off-cut left of each, after the kerf that parts it; 0: nothing left

  bool operator==(const Layout&) const = default;
};

enum class Verdict {
  solved,      ///< `layouts` is a plan; `optimal` says whether it is proven least
  infeasible,  ///< no plan exists; `diagnostics` and `piece` say why
  unknown,     ///< the work limit came before any plan or the proof that there is none (only where limits are tight)
  refused      ///< the problem is malformed or its numbers are too large to add up safely
};

/// Why the search ended.
enum class Stop { proven, work, time, cancelled };

/// What is known so far; given to Options::on_progress each time the plan or the bound improves.
struct Progress {
  std::int64_t cost = 0;
  std::int64_t lower_bound = 0;
  double seconds = 0;

  double gap() const;  ///< as of a result
};

struct Options {
  /// Counted work, roughly a nanosecond to a few of one core each. The same problem and limit give the same answer on
  /// any machine. The default suffices for any workshop job and is felt only by puzzles.
  std::int64_t work_limit = 20'000'000'000;
  /// Emergency stop by the clock; a result that it ended (Stop::time) may differ from run to run. 0: none.
  double seconds_limit = 0;
  /// 2: where a search is long, finding a plan and refuting it each get a thread. The answer is the same.
  int threads = 1;
  /// Set from outside to end early with the best so far.
  const std::atomic<bool>* cancel = nullptr;
  /// A promise that no plan costs less, from a case known to be no dearer. A false promise makes false proofs.
  std::int64_t known_lower_bound = 0;
  /// Only plans of at most this cost are of interest; Verdict::infeasible then means that there is none.
  std::optional<std::int64_t> at_most{};
  /// Called from within solve, on its thread.
  std::function<void(const Progress&)> on_progress;
};

struct Result {
  Verdict verdict = Verdict::refused;
  std::vector<Layout> layouts;
  std::int64_t cost = 0;         ///< of `layouts`
  std::int64_t lower_bound = 0;  ///< no plan costs less
  bool optimal = false;          ///< cost == lower_bound
  Stop stop = Stop::proven;
  std::int64_t nodes = 0;  ///< of the search tree
  std::int64_t work = 0;   ///< counted, see Options::work_limit
  double seconds = 0;
  int piece = -1;           ///< the piece that cannot be cut, where one is to blame
  Diagnostics diagnostics;  ///< why refused or infeasible

  /// (cost - lower_bound) / cost, 0 when proven.
  double gap() const;
};

Result solve(const Problem& problem, const Options& options = {});

/// Every way in which a plan breaks the problem's rules: pieces missing, layouts that do not fit, stock over its limit,
/// a cost that does not add up. Empty for a sound plan. Independent of the solver, in plain sums.
std::vector<std::string> faults(const Problem& problem, const Result& result);

}  // namespace garthwright::cutting
