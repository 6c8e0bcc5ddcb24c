// SPDX-License-Identifier: Apache-2.0
#pragma once

/// The relaxation in which patterns may be used by fractions (Gilmore and Gomory, Operations Research 9, 1961), its
/// columns made as they are needed. Two forms share it:
///  * cost: least cost of meeting a remainder within its limits;
///  * mix:  least t such that t times a given mix of bars is enough. t > 1 refutes the mix.

#include <cstdint>
#include <limits>
#include <span>
#include <vector>

#include "cutting/greedy.h"
#include "cutting/model.h"
#include "cutting/pricing.h"
#include "cutting/simplex.h"
#include "cutting/work.h"

namespace garthwright::cutting {

/// Rows that a pattern meets, with how many of each.
std::vector<Entry> coverage(const Model& model, const Pattern& pattern);

/// Every pattern met so far, each once, in order of discovery.
class PatternPool {
 public:
  /// Index of the pattern; `fresh` tells whether it is new.
  int add(const Pattern& pattern, bool* fresh = nullptr);
  const std::vector<Pattern>& all() const { return patterns_; }

 private:
  void spread();
  int& place_of(const Pattern& pattern);

  std::vector<Pattern> patterns_;
  std::vector<int> place_;  // open addressing by hash: index of a pattern, -1: nothing
};

class Relaxation {
 public:
  /// Cost form; `cost` by bar. Patterns of the pool are columns from the start.
  Relaxation(const Model& model, const Remainder& remainder, std::vector<double> cost, PatternPool& pool,
             Pricer& pricer);
  /// Mix form. The optimum is in bars: t times their number. It starts from the first `lead` patterns of the pool,
  /// which is quicker where they were the basis of a similar mix; 0: from nothing.
  static Relaxation of_mix(const Model& model, std::span<const std::int64_t> mix, PatternPool& pool, Pricer& pricer,
                           int lead, Work& work);

  /// The cost form with other limits of bars: the optimum over the known columns is restored, `generate` finds the
  /// rest. Quicker than from nothing. Of one kind in plenty cost is limit enough, and nothing else limits it.
  Relaxation within(std::span<const std::int64_t> limit, Work& work) const;

  enum class End { converged, decided, work };
  /// Makes columns until none is missing, or `decided(prices, value)` says that the last prices are enough. Between
  /// them the optimum over the known columns is found, or a value that is `enough`.
  template <class Decided>
  End generate(Work& work, Decided decided, double enough = Simplex::kToTheEnd);

  double value() const { return simplex_.value(); }
  bool lacking() const { return simplex_.lack() > 1e-4; }
  /// Columns in use: pool index and how much of it.
  std::vector<std::pair<int, double>> solution() const;
  /// Patterns of the pool that are in the basis, used or not.
  std::vector<int> in_basis() const;
  const Prices& prices() const { return prices_; }
  double scale() const { return scale_; }
  const Remainder& remainder() const { return remainder_; }
  /// Whether no limit of bars can bind.
  bool plenty() const;

  /// Leans the demands a little, each by its own share; the optimum over the known columns is restored, `generate`
  /// finds the rest. Where many sets of prices are best, each leaning brings out another. Rounds tell leanings apart.
  void lean(int round, Work& work);

  /// Another solution of the same value, or nearly so, over the known columns.
  void stir(int round, Work& work) { simplex_.stir(round, work); }

  /// Takes whole uses off the remainder; `generate` next.
  void take(int pattern, std::int64_t count);
  /// Restores the optimum over the known columns, or a value that is `enough`, after `take`.
  void mend(Work& work, double enough) { simplex_.mend(work, enough); }

 private:
  Relaxation(const Model& model, PatternPool& pool, Pricer& pricer) : model_(model), pool_(pool), pricer_(pricer) {}
  void add_column(int pattern);
  void add_columns();
  bool price(bool diverse, Work& work);

  const Model& model_;
  PatternPool& pool_;
  Pricer& pricer_;
  Simplex simplex_;
  Remainder remainder_;
  std::vector<double> cost_;
  std::vector<int> limit_row_;            // by bar, -1: none
  std::vector<int> column_, pattern_of_;  // pool index -> column; column -> pool index (-1: t)
  Prices prices_;
  double scale_ = 1;
};

template <class Decided>
Relaxation::End Relaxation::generate(Work& work, Decided decided, double enough) {
  for (;;) {
    simplex_.primal(work, enough);
    if (work.over()) return End::work;
    const bool missing = price(true, work);
    if (decided(prices_, simplex_.value())) return End::decided;
    if (!missing) return End::converged;
  }
}

}  // namespace garthwright::cutting
