// SPDX-License-Identifier: Apache-2.0
#pragma once

/// A linear programme that grows: min c x over x >= 0, rows "at least" or "at most", columns and rows added at any
/// time.
///
/// Revised simplex on sparse factors (basis_factor.h), made for cutting: tens to hundreds of rows, short columns of
/// small integers, thousands of re-optimisations that a general library spends mostly on set-up. Entering columns are
/// chosen by Devex weights (Harris, Mathematical Programming 5, 1973) among those that are awake: a few times as many
/// as there are rows; the others are looked at when those have nothing to offer. Right-hand sides are shifted by less
/// than 1e-6 against degeneracy; in the dual simplex costs are raised a little for the time being, each by its own
/// share. It only proposes: duals are rounded and checked in integers by whoever proves something with them.

#include <cstdint>
#include <limits>
#include <vector>

#include "cutting/basis_factor.h"
#include "cutting/work.h"

namespace garthwright::cutting {

struct Entry {
  int row;
  double value;
};

class Simplex {
 public:
  enum class Sense { at_least, at_most };

  /// Rows before columns. `penalty` is the price of what an at_least row lacks, so that the programme is always
  /// feasible; at_most rows need rhs >= 0.
  int add_row(Sense sense, double rhs, double penalty);
  int add_column(const std::vector<Entry>& entries, double cost);
  /// Memory for so many columns and entries in all; more may come.
  void make_room(std::size_t columns, std::size_t entries);
  /// A row with coefficient 1 on the given columns, added to a solved programme; run `dual` next.
  int add_branch(Sense sense, double rhs, std::vector<int> columns, double penalty);

  void set_rhs(int row, double rhs);
  double rhs(int row) const { return rhs_[row]; }
  /// Starts from the first columns and from slacks where those depend on each other or are too few; neither prices nor
  /// quantities need be feasible by it. Ends at the optimum. False: stopped.
  bool begin_with(int columns, Work& work);
  /// Columns from this one on are only looked at when the ones before have nothing to offer.
  void sleep_from(int column);
  /// A column that may no longer enter the basis.
  void ban(int column);
  bool basic(int column) const { return basic_[column] != 0; }
  /// Makes lacking dearer; run `primal` next.
  void multiply_penalties(double factor);

  /// No value is low enough to end early.
  static constexpr double kToTheEnd = -std::numeric_limits<double>::infinity();

  /// From a feasible basis (always so after add_column) to the optimum, or to a value that is `enough`. False: stopped
  /// by iterations or work.
  bool primal(Work& work, double enough = kToTheEnd);
  enum class End { optimal, passed, stopped };
  /// From a basis with no negative reduced costs (after set_rhs, add_branch). The value only grows; once it has passed
  /// `cutoff` the rest may be of no interest: prices are sound then, quantities are not. Stopped: by iterations or
  /// work.
  End dual(Work& work, double cutoff = std::numeric_limits<double>::infinity());
  /// After set_rhs, from any basis, to the optimum or to a value that is `enough`. False: stopped by iterations or
  /// work.
  bool mend(Work& work, double enough = kToTheEnd);
  /// From the basis in which everything is lacking. False: stopped.
  bool afresh(Work& work);
  /// From an optimum to another one, or nearly so, where there are several: a round always leads to the same.
  bool stir(int round, Work& work);

  double value() const;
  double price(int row) const { return y_[row]; }  ///< >= 0 for at_least, <= 0 for at_most at an optimum
  std::vector<double> solution() const;            ///< by column
  /// How much the at_least rows lack in all; the shifts alone can make it some 1e-5.
  double lack() const;

  int rows() const { return rows_; }
  int columns() const { return static_cast<int>(cost_.size()); }

  /// What changes while branching; columns added later than the mark must not be basic when it is restored.
  struct Mark {
    int rows = 0;
    std::size_t branches = 0;
    std::vector<double> x, rhs, shift, penalty, y;
    std::vector<int> basis;
    std::vector<Sense> sense;
    std::vector<char> banned;
  };
  Mark mark() const;
  void restore(const Mark& mark);

 private:
  struct Branch {
    int row;
    std::vector<int> columns;
    std::vector<char> member;
  };

  // Basis members: column j >= 0; slack of row i: -1 - 2 i; lack of row i: -2 - 2 i.
  static int slack(int row) { return -1 - 2 * row; }
  static int lack_of(int row) { return -2 - 2 * row; }
  static bool is_slack(int id) { return id < 0 && (-id) % 2 == 1; }
  static int row_of(int id) { return (-id - 1) / 2; }

  double cost_of(int id) const;
  void raise_costs();
  void lower_costs();
  double slack_sign(int row) const { return sense_[row] == Sense::at_least ? -1.0 : 1.0; }
  double slack_reduced(int row) const { return cost_of(slack(row)) - y_[row] * slack_sign(row); }
  double reduced_cost(int column) const;
  double shift_for(int row) const;
  void column_in_basis(int id, std::vector<double>& alpha) const;
  void row_of_inverse(int position, std::vector<double>& row) const;
  int leaving_position(const std::vector<double>& alpha) const;
  void pivot(int position, const std::vector<double>& alpha, const std::vector<double>& row, int entering,
             double reduced);
  void follow(const std::vector<double>& row, double step, double spread);
  void factor(bool lacking = true);
  void factor_if_needed();
  void recompute_x();
  void recompute_y();
  void all_reduced_costs(std::vector<double>& out) const;
  End dual_steps(double cutoff, Work& work);
  void wake(int column);
  void trim();
  void doze();
  void refresh_reduced();
  bool wake_needed(Work& work);
  std::int64_t effort() const { return 100 + 3 * factor_.entries() + 4 * static_cast<std::int64_t>(awake_.size()); }

  int rows_ = 0;
  std::vector<Sense> sense_;
  std::vector<double> rhs_, shift_, penalty_;
  std::vector<int> start_{0}, entry_row_;
  std::vector<double> entry_value_, cost_;
  std::vector<double> raised_, slack_raised_;  // by column, by row: what costs are raised by; empty: nothing
  std::vector<char> banned_, basic_;
  std::vector<Branch> branches_;
  std::vector<int> awake_;
  std::size_t kept_awake_ = 200;  // beside one for each row
  std::vector<char> asleep_;
  bool trim_ = false;                                    // awake_ holds columns that have been put to sleep
  std::vector<double> reduced_, weight_, slack_weight_;  // by column, by column, by row
  std::vector<int> basis_;                               // by position
  std::vector<double> x_, y_;                            // by position, by row
  BasisFactor factor_;
  bool factored_ = false;  // factor_ is of the basis as it is
  bool moved_ = false;     // right-hand sides have changed since x_ was computed
};

}  // namespace garthwright::cutting
