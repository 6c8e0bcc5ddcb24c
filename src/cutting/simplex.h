// SPDX-License-Identifier: Apache-2.0
#pragma once

/// A linear programme that grows: min c x over x >= 0, rows "at least" or "at most", columns and rows added at any
/// time.
///
/// Revised simplex with an explicit dense inverse, made for cutting: tens to hundreds of rows, short columns of small
/// integers, thousands of tiny re-optimisations that a general library spends mostly on set-up. Right-hand sides are
/// shifted by less than 1e-6 against degeneracy. It only proposes: duals are rounded and checked in integers by whoever
/// proves something with them.

#include <cstdint>
#include <vector>

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
  /// A row with coefficient 1 on the given columns, added to a solved programme; run `dual` next.
  int add_branch(Sense sense, double rhs, std::vector<int> columns, double penalty);

  void set_rhs(int row, double rhs);
  double rhs(int row) const { return rhs_[row]; }
  /// A column that may no longer enter the basis.
  void ban(int column) { banned_[column] = 1; }
  bool basic(int column) const { return basic_[column] != 0; }
  /// Makes lacking dearer; run `primal` next.
  void multiply_penalties(double factor);

  /// From a feasible basis (always so after add_column). False: stopped by iterations or work.
  bool primal(Work& work);
  /// From a basis with no negative reduced costs (after set_rhs, add_branch). False: stopped by iterations or work.
  bool dual(Work& work);

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
    std::vector<double> inverse, x, rhs, shift, penalty, y;
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
  double slack_sign(int row) const { return sense_[row] == Sense::at_least ? -1.0 : 1.0; }
  void column_in_basis(int id, std::vector<double>& alpha) const;
  double reduced_cost(int column) const;
  void pivot(int row, const std::vector<double>& alpha, int entering, double reduced);
  void rebuild();
  void recompute_x();
  void recompute_y();
  void all_reduced_costs(std::vector<double>& out) const;
  double shift_for(int row) const;
  double* inverse_column(int k) { return inverse_.data() + static_cast<std::size_t>(k) * stride_; }
  const double* inverse_column(int k) const { return inverse_.data() + static_cast<std::size_t>(k) * stride_; }
  void reserve_rows(int rows);

  int rows_ = 0;
  std::size_t stride_ = 0;
  std::vector<Sense> sense_;
  std::vector<double> rhs_, shift_, penalty_;
  std::vector<int> start_{0}, entry_row_;
  std::vector<double> entry_value_, cost_;
  std::vector<char> banned_, basic_;
  std::vector<Branch> branches_;
  std::vector<int> basis_;
  std::vector<double> inverse_, x_, y_;
  int pivots_since_rebuild_ = 0;
};

}  // namespace garthwright::cutting
