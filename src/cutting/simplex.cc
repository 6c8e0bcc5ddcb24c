// SPDX-License-Identifier: Apache-2.0
#include "cutting/simplex.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace garthwright::cutting {
namespace {

constexpr double kReducedTolerance = 1e-9;
constexpr double kPivotTolerance = 1e-8;
constexpr double kFeasibility = 1e-9;
constexpr int kRebuildEvery = 150;
constexpr int kCandidates = 40;

}  // namespace

double Simplex::shift_for(int row) const {
  const auto hash = static_cast<std::uint32_t>(row + 1) * 2654435761u;
  return 3e-7 * (0.5 + static_cast<double>(hash >> 8) / static_cast<double>(1 << 24));
}

void Simplex::reserve_rows(int rows) {
  if (static_cast<std::size_t>(rows) <= stride_) return;
  const std::size_t stride = std::max<std::size_t>(rows, stride_ + stride_ / 2 + 8);
  std::vector<double> grown(stride * stride, 0.0);
  for (int k = 0; k < rows_; ++k)
    std::copy_n(inverse_column(k), rows_, grown.begin() + static_cast<std::ptrdiff_t>(k * stride));
  inverse_ = std::move(grown);
  stride_ = stride;
}

int Simplex::add_row(Sense sense, double rhs, double penalty) {
  const int row = rows_;
  reserve_rows(rows_ + 1);
  sense_.push_back(sense);
  rhs_.push_back(rhs);
  shift_.push_back(shift_for(row));
  penalty_.push_back(penalty);
  const bool lacks = sense == Sense::at_least;
  for (int k = 0; k < row; ++k) inverse_column(k)[row] = 0;
  std::fill_n(inverse_column(row), row + 1, 0.0);
  inverse_column(row)[row] = 1;
  basis_.push_back(lacks ? lack_of(row) : slack(row));
  x_.push_back(rhs + shift_.back());
  y_.push_back(lacks ? penalty : 0);
  ++rows_;
  return row;
}

int Simplex::add_column(const std::vector<Entry>& entries, double cost) {
  for (const Entry& entry : entries) {
    entry_row_.push_back(entry.row);
    entry_value_.push_back(entry.value);
  }
  start_.push_back(static_cast<int>(entry_row_.size()));
  cost_.push_back(cost);
  banned_.push_back(0);
  basic_.push_back(0);
  for (Branch& branch : branches_) branch.member.push_back(0);
  return columns() - 1;
}

int Simplex::add_branch(Sense sense, double rhs, std::vector<int> columns_in, double penalty) {
  const int row = rows_;
  reserve_rows(rows_ + 1);
  Branch branch{row, std::move(columns_in), std::vector<char>(columns(), 0)};
  for (int column : branch.columns) branch.member[column] = 1;
  sense_.push_back(sense);
  rhs_.push_back(rhs);
  // Rows that bind at whole numbers are loosened, never tightened.
  shift_.push_back(sense == Sense::at_least ? -shift_for(row) : shift_for(row));
  penalty_.push_back(penalty);
  // New basis: the old one and the row's slack. Inverse of [[B, 0], [r, s]] is [[B', 0], [-s r B', s]].
  const double s = slack_sign(row);
  double lhs = 0;
  std::vector<double> r(rows_, 0.0);
  for (int i = 0; i < rows_; ++i)
    if (basis_[i] >= 0 && branch.member[basis_[i]]) {
      r[i] = 1;
      lhs += x_[i];
    }
  for (int k = 0; k < rows_; ++k) {
    double* column = inverse_column(k);
    double sum = 0;
    for (int i = 0; i < rows_; ++i) sum += r[i] * column[i];
    column[row] = -s * sum;
  }
  std::fill_n(inverse_column(row), row + 1, 0.0);
  inverse_column(row)[row] = s;
  basis_.push_back(slack(row));
  x_.push_back(s * (rhs + shift_.back() - lhs));
  y_.push_back(0);
  branches_.push_back(std::move(branch));
  ++rows_;
  return row;
}

void Simplex::set_rhs(int row, double rhs) {
  const double change = rhs - rhs_[row];
  if (change == 0) return;
  rhs_[row] = rhs;
  const double* column = inverse_column(row);
  for (int i = 0; i < rows_; ++i) x_[i] += change * column[i];
}

double Simplex::cost_of(int id) const {
  if (id >= 0) return cost_[id];
  return is_slack(id) ? 0.0 : penalty_[row_of(id)];
}

void Simplex::column_in_basis(int id, std::vector<double>& alpha) const {
  alpha.assign(rows_, 0.0);
  const auto add = [&](int row, double value) {
    const double* column = inverse_column(row);
    for (int i = 0; i < rows_; ++i) alpha[i] += value * column[i];
  };
  if (id < 0) {
    const int row = row_of(id);
    add(row, is_slack(id) ? slack_sign(row) : 1.0);
    return;
  }
  for (int e = start_[id]; e < start_[id + 1]; ++e) add(entry_row_[e], entry_value_[e]);
  for (const Branch& branch : branches_)
    if (branch.member[id]) add(branch.row, 1.0);
}

double Simplex::reduced_cost(int column) const {
  double reduced = cost_[column];
  for (int e = start_[column]; e < start_[column + 1]; ++e) reduced -= y_[entry_row_[e]] * entry_value_[e];
  for (const Branch& branch : branches_)
    if (branch.member[column]) reduced -= y_[branch.row];
  return reduced;
}

void Simplex::all_reduced_costs(std::vector<double>& out) const {
  out.resize(cost_.size());
  for (int j = 0; j < columns(); ++j) {
    double reduced = cost_[j];
    for (int e = start_[j]; e < start_[j + 1]; ++e) reduced -= y_[entry_row_[e]] * entry_value_[e];
    out[j] = reduced;
  }
  for (const Branch& branch : branches_) {
    const double y = y_[branch.row];
    if (y == 0) continue;
    for (int column : branch.columns) out[column] -= y;
  }
}

void Simplex::pivot(int row, const std::vector<double>& alpha, int entering, double reduced) {
  const double inverse_pivot = 1.0 / alpha[row];
  for (int k = 0; k < rows_; ++k) {
    double* column = inverse_column(k);
    const double t = column[row];
    if (t == 0) continue;
    const double scaled = t * inverse_pivot;
    for (int i = 0; i < rows_; ++i) column[i] -= alpha[i] * scaled;
    column[row] = scaled;
    y_[k] += reduced * scaled;
  }
  const double step = x_[row] * inverse_pivot;
  for (int i = 0; i < rows_; ++i) x_[i] -= step * alpha[i];
  x_[row] = step;
  if (basis_[row] >= 0) basic_[basis_[row]] = 0;
  basis_[row] = entering;
  if (entering >= 0) basic_[entering] = 1;
  if (++pivots_since_rebuild_ >= kRebuildEvery + rows_) rebuild();
}

void Simplex::rebuild() {
  // Start from unit columns and pivot the basis in again, each on the largest entry still free.
  pivots_since_rebuild_ = 0;
  std::vector<int> wanted = basis_;
  std::vector<char> taken(rows_, 0);
  for (int k = 0; k < rows_; ++k) {
    std::fill_n(inverse_column(k), rows_, 0.0);
    inverse_column(k)[k] = 1;
  }
  std::stable_partition(wanted.begin(), wanted.end(), [](int id) { return id < 0; });
  std::vector<double> alpha;
  std::vector<int> placed(rows_, 0);
  const auto free_row = [&] {
    std::size_t best = 0;
    double most = -1;
    for (std::size_t i = 0; i < taken.size(); ++i)
      if (!taken[i] && std::abs(alpha[i]) > most) {
        most = std::abs(alpha[i]);
        best = i;
      }
    return best;
  };
  for (int id : wanted) {
    column_in_basis(id, alpha);
    std::size_t best = free_row();
    // Singular by rounding: some row's own lack or slack stands in.
    for (int row = 0; row < rows_ && std::abs(alpha[best]) < 1e-11; ++row) {
      id = sense_[row] == Sense::at_least ? lack_of(row) : slack(row);
      column_in_basis(id, alpha);
      best = free_row();
    }
    taken[best] = 1;
    placed[best] = id;
    const double inverse_pivot = 1.0 / alpha[best];
    for (int k = 0; k < rows_; ++k) {
      double* column = inverse_column(k);
      const double t = column[best];
      if (t == 0) continue;
      const double scaled = t * inverse_pivot;
      for (int i = 0; i < rows_; ++i) column[i] -= alpha[i] * scaled;
      column[best] = scaled;
    }
  }
  basis_ = std::move(placed);
  std::fill(basic_.begin(), basic_.end(), 0);
  for (int id : basis_)
    if (id >= 0) basic_[id] = 1;
  recompute_x();
  recompute_y();
}

void Simplex::recompute_x() {
  std::fill(x_.begin(), x_.end(), 0.0);
  for (int k = 0; k < rows_; ++k) {
    const double b = rhs_[k] + shift_[k];
    if (b == 0) continue;
    const double* column = inverse_column(k);
    for (int i = 0; i < rows_; ++i) x_[i] += b * column[i];
  }
}

void Simplex::recompute_y() {
  for (int k = 0; k < rows_; ++k) {
    const double* column = inverse_column(k);
    double sum = 0;
    for (int i = 0; i < rows_; ++i) sum += cost_of(basis_[i]) * column[i];
    y_[k] = sum;
  }
}

bool Simplex::primal(Work& work) {
  std::vector<double> alpha, reduced;
  std::vector<int> candidates;
  const int most = 200 + 40 * rows_ + columns();
  for (int iteration = 0; iteration < most; ++iteration) {
    // Minor step: the best of the last candidates; major step: new candidates from all columns and slacks.
    int entering = 0;
    double best = -kReducedTolerance;
    bool found = false;
    const auto try_one = [&](int id, double value) {
      if (value < best) {
        best = value;
        entering = id;
        found = true;
      }
    };
    for (int j : candidates)
      if (!basic_[j]) try_one(j, reduced_cost(j));
    if (!found) {
      all_reduced_costs(reduced);
      work.spend(2 * static_cast<std::int64_t>(entry_row_.size()));
      candidates.clear();
      for (int j = 0; j < columns(); ++j)
        if (reduced[j] < -kReducedTolerance && !banned_[j] && !basic_[j]) candidates.push_back(j);
      if (candidates.size() > kCandidates) {
        std::nth_element(candidates.begin(), candidates.begin() + kCandidates, candidates.end(),
                         [&](int a, int b) { return reduced[a] != reduced[b] ? reduced[a] < reduced[b] : a < b; });
        candidates.resize(kCandidates);
        std::sort(candidates.begin(), candidates.end());
      }
      for (int j : candidates) try_one(j, reduced[j]);
      for (int i = 0; i < rows_; ++i) {
        const double value = sense_[i] == Sense::at_least ? y_[i] : -y_[i];
        try_one(slack(i), value);
      }
      if (!found) return true;
    }
    column_in_basis(entering, alpha);
    int leaving = -1;
    double least = std::numeric_limits<double>::infinity();
    for (int i = 0; i < rows_; ++i) {
      if (alpha[i] <= kPivotTolerance) continue;
      const double ratio = std::max(x_[i], 0.0) / alpha[i];
      if (ratio < least - 1e-12 || (ratio <= least + 1e-12 && leaving >= 0 && alpha[i] > alpha[leaving])) {
        least = std::min(least, ratio);
        leaving = i;
      }
    }
    if (leaving < 0) return false;  // cannot be: costs are not negative; rounding has spoilt the basis
    work.spend(100 + static_cast<std::int64_t>(rows_) * rows_ / 2);
    pivot(leaving, alpha, entering, best);
    if (work.over()) return false;
  }
  return false;
}

bool Simplex::dual(Work& work) {
  std::vector<double> alpha, reduced, row_r(rows_);
  all_reduced_costs(reduced);
  const int most = 200 + 10 * rows_;
  for (int iteration = 0; iteration < most; ++iteration) {
    int leaving = -1;
    double worst = -kFeasibility;
    for (int i = 0; i < rows_; ++i)
      if (x_[i] < worst) {
        worst = x_[i];
        leaving = i;
      }
    if (leaving < 0) return true;
    row_r.resize(rows_);
    for (int k = 0; k < rows_; ++k) row_r[k] = inverse_column(k)[leaving];
    int entering = 0;
    bool found = false;
    double least = std::numeric_limits<double>::infinity(), best_alpha = 0, entering_reduced = 0;
    const auto try_one = [&](int id, double a, double d) {
      if (a >= -kPivotTolerance) return;
      d = std::max(d, 0.0);
      const double ratio = d / -a;
      if (ratio < least - 1e-12 || (ratio <= least + 1e-12 && -a > best_alpha)) {
        least = std::min(ratio, least);
        best_alpha = -a;
        entering = id;
        entering_reduced = d;
        found = true;
      }
    };
    std::vector<double>& a_r = alpha;  // reused: row of the tableau first
    a_r.assign(columns(), 0.0);
    for (int j = 0; j < columns(); ++j) {
      double sum = 0;
      for (int e = start_[j]; e < start_[j + 1]; ++e) sum += row_r[entry_row_[e]] * entry_value_[e];
      a_r[j] = sum;
    }
    for (const Branch& branch : branches_) {
      const double r = row_r[branch.row];
      if (r == 0) continue;
      for (int column : branch.columns) a_r[column] += r;
    }
    for (int j = 0; j < columns(); ++j)
      if (!basic_[j] && !banned_[j]) try_one(j, a_r[j], reduced[j]);
    for (int i = 0; i < rows_; ++i) {
      if (basis_[leaving] != slack(i)) try_one(slack(i), row_r[i] * slack_sign(i), -y_[i] * slack_sign(i));
      if (sense_[i] == Sense::at_least && basis_[leaving] != lack_of(i))
        try_one(lack_of(i), row_r[i], penalty_[i] - y_[i]);
    }
    work.spend(100 + static_cast<std::int64_t>(rows_) * rows_ / 2 + 2 * static_cast<std::int64_t>(entry_row_.size()));
    if (!found) return false;  // cannot be: lacks keep every row feasible
    const double step = entering_reduced / a_r[entering < 0 ? 0 : entering];
    if (entering >= 0 && entering_reduced != 0)
      for (int j = 0; j < columns(); ++j) reduced[j] -= step * a_r[j];
    column_in_basis(entering, alpha);
    if (std::abs(alpha[leaving]) < kPivotTolerance) {
      rebuild();
      all_reduced_costs(reduced);
      continue;
    }
    pivot(leaving, alpha, entering, entering_reduced);
    if (entering < 0 || pivots_since_rebuild_ == 0) all_reduced_costs(reduced);
    if (work.over()) return false;
  }
  return false;
}

void Simplex::multiply_penalties(double factor) {
  for (double& penalty : penalty_) penalty *= factor;
  recompute_y();
}

double Simplex::value() const {
  double sum = 0;
  for (int k = 0; k < rows_; ++k) sum += y_[k] * rhs_[k];
  return sum;
}

double Simplex::lack() const {
  double sum = 0;
  for (int i = 0; i < rows_; ++i)
    if (basis_[i] < 0 && !is_slack(basis_[i])) sum += std::max(0.0, x_[i]);
  return sum;
}

std::vector<double> Simplex::solution() const {
  std::vector<double> x(columns(), 0.0);
  for (int i = 0; i < rows_; ++i)
    if (basis_[i] >= 0) x[basis_[i]] = std::max(0.0, x_[i]);
  return x;
}

Simplex::Mark Simplex::mark() const {
  Mark mark;
  mark.rows = rows_;
  mark.branches = branches_.size();
  mark.inverse.reserve(static_cast<std::size_t>(rows_) * rows_);
  for (int k = 0; k < rows_; ++k) mark.inverse.insert(mark.inverse.end(), inverse_column(k), inverse_column(k) + rows_);
  mark.x = x_;
  mark.rhs = rhs_;
  mark.shift = shift_;
  mark.penalty = penalty_;
  mark.y = y_;
  mark.basis = basis_;
  mark.sense = sense_;
  mark.banned = banned_;
  return mark;
}

void Simplex::restore(const Mark& mark) {
  rows_ = mark.rows;
  branches_.resize(mark.branches);
  for (int k = 0; k < rows_; ++k)
    std::copy_n(mark.inverse.begin() + static_cast<std::ptrdiff_t>(k) * rows_, rows_, inverse_column(k));
  x_ = mark.x;
  rhs_ = mark.rhs;
  shift_ = mark.shift;
  penalty_ = mark.penalty;
  y_ = mark.y;
  basis_ = mark.basis;
  sense_ = mark.sense;
  std::copy(mark.banned.begin(), mark.banned.end(), banned_.begin());
  std::fill(basic_.begin(), basic_.end(), 0);
  for (int id : basis_)
    if (id >= 0) basic_[id] = 1;
}

}  // namespace garthwright::cutting
