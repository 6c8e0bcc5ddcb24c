// SPDX-License-Identifier: Apache-2.0
#include "cutting/simplex.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "cutting/scatter.h"

namespace garthwright::cutting {
namespace {

constexpr double kReducedTolerance = 1e-9;
constexpr double kPivotTolerance = 1e-8;
constexpr double kFeasibility = 1e-9;
constexpr double kRaise = 5e-6, kStir = 5e-8;  // of the price of what is lacking
constexpr std::size_t kAwakeMending = 700;     // what mends a solution is often not what would better it
constexpr int kNone = std::numeric_limits<int>::min();

}  // namespace

double Simplex::shift_for(int row) const {
  const auto hash = static_cast<std::uint32_t>(row + 1) * 2654435761u;
  return 3e-7 * (0.5 + static_cast<double>(hash >> 8) / static_cast<double>(1 << 24));
}

int Simplex::add_row(Sense sense, double rhs, double penalty) {
  const int row = rows_++;
  const bool lacks = sense == Sense::at_least;
  sense_.push_back(sense);
  rhs_.push_back(rhs);
  shift_.push_back(shift_for(row));
  penalty_.push_back(penalty);
  basis_.push_back(lacks ? lack_of(row) : slack(row));
  x_.push_back(rhs + shift_.back());
  y_.push_back(lacks ? penalty : 0);
  factored_ = false;
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
  reduced_.push_back(0);
  weight_.push_back(1);
  asleep_.push_back(0);
  awake_.push_back(columns() - 1);
  for (Branch& branch : branches_) branch.member.push_back(0);
  return columns() - 1;
}

void Simplex::make_room(std::size_t columns, std::size_t entries) {
  entry_row_.reserve(entries);
  entry_value_.reserve(entries);
  start_.reserve(columns + 1);
  awake_.reserve(columns);
  for (auto* list : {&cost_, &reduced_, &weight_}) list->reserve(columns);
  for (auto* list : {&banned_, &basic_, &asleep_}) list->reserve(columns);
}

int Simplex::add_branch(Sense sense, double rhs, std::vector<int> columns_in, double penalty) {
  const int row = rows_++;
  Branch branch{row, std::move(columns_in), std::vector<char>(columns(), 0)};
  for (int column : branch.columns) branch.member[column] = 1;
  double lhs = 0;
  for (std::size_t i = 0; i < basis_.size(); ++i)
    if (basis_[i] >= 0 && branch.member[basis_[i]]) lhs += x_[i];
  sense_.push_back(sense);
  rhs_.push_back(rhs);
  // Rows that bind at whole numbers are loosened, never tightened.
  shift_.push_back(sense == Sense::at_least ? -shift_for(row) : shift_for(row));
  penalty_.push_back(penalty);
  basis_.push_back(slack(row));
  x_.push_back(slack_sign(row) * (rhs + shift_.back() - lhs));
  y_.push_back(0);
  branches_.push_back(std::move(branch));
  factored_ = false;
  return row;
}

void Simplex::set_rhs(int row, double rhs) {
  moved_ = moved_ || rhs != rhs_[row];
  rhs_[row] = rhs;
}

void Simplex::ban(int column) {
  banned_[column] = 1;
  asleep_[column] = 1;
  trim_ = true;
}

void Simplex::sleep_from(int column) {
  for (int j : awake_)
    if (j >= column && !basic_[j]) asleep_[j] = 1;
  trim_ = true;
}

void Simplex::trim() {
  if (trim_) std::erase_if(awake_, [&](int j) { return asleep_[j] != 0; });
  trim_ = false;
}

bool Simplex::begin_with(int columns, Work& work) {
  std::fill(basic_.begin(), basic_.end(), 0);
  for (int i = 0; i < rows_; ++i) {
    basis_[i] = i < columns ? i : kNone;
    if (i < columns) basic_[i] = 1;
  }
  factor(false);
  return dual(work) == End::optimal || afresh(work);
}

double Simplex::cost_of(int id) const {
  if (id >= 0) return cost_[id] + (raised_.empty() ? 0 : raised_[id]);
  if (is_slack(id)) return slack_raised_.empty() ? 0 : slack_raised_[row_of(id)];
  return penalty_[row_of(id)];
}

// By position: how much of each basic column makes up this one.
void Simplex::column_in_basis(int id, std::vector<double>& alpha) const {
  alpha.assign(rows_, 0.0);
  if (id < 0) {
    alpha[row_of(id)] = is_slack(id) ? slack_sign(row_of(id)) : 1.0;
  } else {
    for (int e = start_[id]; e < start_[id + 1]; ++e) alpha[entry_row_[e]] += entry_value_[e];
    for (const Branch& branch : branches_)
      if (branch.member[id]) alpha[branch.row] += 1.0;
  }
  factor_.forward(alpha);
}

// By row of the programme.
void Simplex::row_of_inverse(int position, std::vector<double>& row) const {
  row.assign(rows_, 0.0);
  row[position] = 1;
  factor_.backward(row);
}

double Simplex::reduced_cost(int column) const {
  double reduced = cost_of(column);
  for (int e = start_[column]; e < start_[column + 1]; ++e) reduced -= y_[entry_row_[e]] * entry_value_[e];
  for (const Branch& branch : branches_)
    if (branch.member[column]) reduced -= y_[branch.row];
  return reduced;
}

void Simplex::all_reduced_costs(std::vector<double>& out) const {
  out.resize(cost_.size());
  for (int j = 0; j < columns(); ++j) {
    double reduced = cost_of(j);
    for (int e = start_[j]; e < start_[j + 1]; ++e) reduced -= y_[entry_row_[e]] * entry_value_[e];
    out[j] = reduced;
  }
  for (const Branch& branch : branches_) {
    const double y = y_[branch.row];
    if (y == 0) continue;
    for (int column : branch.columns) out[column] -= y;
  }
}

void Simplex::factor(bool lacking) {
  BasisFactor::Columns columns;
  columns.start.reserve(basis_.size() + 1);
  for (int id : basis_) {
    if (id == kNone) {
      // nothing: some row's own lack or slack will stand in
    } else if (id < 0) {
      columns.add(row_of(id), is_slack(id) ? slack_sign(row_of(id)) : 1.0);
    } else {
      for (int e = start_[id]; e < start_[id + 1]; ++e) columns.add(entry_row_[e], entry_value_[e]);
      for (const Branch& branch : branches_)
        if (branch.member[id]) columns.add(branch.row, 1.0);
    }
    columns.close();
  }
  // Where columns depend on each other, some row's own lack or slack stands in.
  const auto lacks = [&](int row) { return lacking && sense_[row] == Sense::at_least; };
  const auto stand_in = [&](int row) { return lacks(row) ? 1.0 : slack_sign(row); };
  for (const auto& [position, row] : factor_.factor(columns, stand_in)) {
    if (basis_[position] >= 0) basic_[basis_[position]] = 0;
    basis_[position] = lacks(row) ? lack_of(row) : slack(row);
  }
  factored_ = true;
  recompute_x();
  recompute_y();
}

void Simplex::factor_if_needed() {
  if (!factored_) factor();
  if (moved_) recompute_x();
}

void Simplex::recompute_x() {
  x_.resize(rows_);
  for (int i = 0; i < rows_; ++i) x_[i] = rhs_[i] + shift_[i];
  factor_.forward(x_);
  moved_ = false;
}

void Simplex::recompute_y() {
  y_.resize(rows_);
  for (int i = 0; i < rows_; ++i) y_[i] = cost_of(basis_[i]);
  factor_.backward(y_);
}

void Simplex::wake(int column) {
  if (asleep_[column] == 0) return;
  asleep_[column] = 0;
  awake_.push_back(column);
}

void Simplex::refresh_reduced() {
  for (int j : awake_) reduced_[j] = basic_[j] ? 0 : reduced_cost(j);
}

// Puts the dearest columns to sleep once too many are awake.
void Simplex::doze() {
  const std::size_t kept = static_cast<std::size_t>(rows_) + kept_awake_;
  if (awake_.size() <= 2 * kept) return;
  const auto key = [&](int j) { return basic_[j] ? -std::numeric_limits<double>::infinity() : reduced_[j]; };
  std::nth_element(awake_.begin(), awake_.begin() + static_cast<std::ptrdiff_t>(kept), awake_.end(),
                   [&](int a, int b) { return key(a) != key(b) ? key(a) < key(b) : a < b; });
  for (std::size_t k = kept; k < awake_.size(); ++k) asleep_[awake_[k]] = 1;
  awake_.resize(kept);
  std::sort(awake_.begin(), awake_.end());
}

// Wakes the columns that would now lower the cost, the best first. False: there is none.
bool Simplex::wake_needed(Work& work) {
  if (static_cast<int>(awake_.size()) == columns()) return false;
  work.spend(2 * static_cast<std::int64_t>(entry_row_.size()));
  std::vector<std::pair<double, int>> needed;
  std::vector<double> all;
  all_reduced_costs(all);
  for (int j = 0; j < columns(); ++j) {
    if (asleep_[j] == 0 || banned_[j] || basic_[j] || all[j] >= -kReducedTolerance) continue;
    needed.push_back({all[j], j});
  }
  const std::size_t most = static_cast<std::size_t>(rows_) + 50;
  if (needed.size() > most) {
    std::nth_element(needed.begin(), needed.begin() + static_cast<std::ptrdiff_t>(most), needed.end());
    needed.resize(most);
    std::sort(needed.begin(), needed.end());
  }
  for (const auto& [reduced, j] : needed) {
    wake(j);
    reduced_[j] = reduced;
    weight_[j] = 1;
  }
  return !needed.empty();
}

// The exchange itself; `row` is the leaving position's row of the inverse, by row of the programme.
void Simplex::pivot(int position, const std::vector<double>& alpha, const std::vector<double>& row, int entering,
                    double reduced) {
  const double price_step = reduced / alpha[position];
  for (int k = 0; k < rows_; ++k) y_[k] += price_step * row[k];
  const double step = x_[position] / alpha[position];
  for (int i = 0; i < rows_; ++i) x_[i] -= step * alpha[i];
  x_[position] = step;
  if (basis_[position] >= 0) basic_[basis_[position]] = 0;
  basis_[position] = entering;
  if (entering >= 0) basic_[entering] = 1;
  factor_.exchange(position, alpha);
  if (factor_.worn()) factored_ = false;
}

// Reduced costs and weights of the columns that are awake follow an exchange.
void Simplex::follow(const std::vector<double>& row, double step, double spread) {
  for (int j : awake_) {
    if (basic_[j]) continue;
    double a = 0;
    for (int e = start_[j]; e < start_[j + 1]; ++e) a += row[entry_row_[e]] * entry_value_[e];
    reduced_[j] -= step * a;
    weight_[j] = std::max(weight_[j], a * a * spread);
  }
  for (const Branch& branch : branches_) {
    const double r = row[branch.row];
    if (r == 0) continue;
    for (int j : branch.columns) reduced_[j] -= step * r;
  }
  for (int i = 0; i < rows_; ++i) slack_weight_[i] = std::max(slack_weight_[i], row[i] * row[i] * spread);
}

int Simplex::leaving_position(const std::vector<double>& alpha) const {
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
  return leaving;
}

bool Simplex::primal(Work& work, double enough) {
  std::vector<double> alpha, row;
  factor_if_needed();
  trim();
  refresh_reduced();
  doze();
  for (int j : awake_) weight_[j] = 1;
  slack_weight_.assign(rows_, 1.0);
  bool fresh = false;  // the prices were just computed anew
  const int most = 200 + 40 * rows_ + columns();
  for (int iteration = 0; iteration < most; ++iteration) {
    if (enough > kToTheEnd && value() <= enough) return true;
    int entering = 0;
    double best = 0;
    bool found = false;
    const auto try_one = [&](int id, double reduced, double weight) {
      if (reduced >= -kReducedTolerance || reduced * reduced <= best * weight) return;
      best = reduced * reduced / weight;
      entering = id;
      found = true;
    };
    for (int j : awake_)
      if (!basic_[j] && !banned_[j]) try_one(j, reduced_[j], weight_[j]);
    for (int i = 0; i < rows_; ++i) try_one(slack(i), slack_reduced(i), slack_weight_[i]);
    if (!found) {
      if (fresh && !wake_needed(work)) return true;
      if (!fresh) {
        recompute_y();
        refresh_reduced();
        fresh = true;
      }
      continue;
    }
    const double reduced = entering >= 0 ? reduced_cost(entering) : slack_reduced(row_of(entering));
    if (reduced >= -kReducedTolerance) {
      reduced_[entering] = reduced;
      continue;
    }
    column_in_basis(entering, alpha);
    const int leaving = leaving_position(alpha);
    if (leaving < 0) return false;  // cannot be: costs are not negative; rounding has spoilt the basis
    work.spend(effort());
    row_of_inverse(leaving, row);
    const double step = reduced / alpha[leaving];
    const double weight = entering >= 0 ? weight_[entering] : slack_weight_[row_of(entering)];
    const double spread = weight / (alpha[leaving] * alpha[leaving]);
    const int left = basis_[leaving];
    pivot(leaving, alpha, row, entering, reduced);
    follow(row, step, spread);
    if (left >= 0) {
      wake(left);
      reduced_[left] = -step;
      weight_[left] = std::max(spread, 1.0);
    } else if (is_slack(left)) {
      slack_weight_[row_of(left)] = std::max(spread, 1.0);
    }
    fresh = false;
    if (!factored_) {
      factor();
      refresh_reduced();
      fresh = true;
    }
    if (work.over()) return false;
  }
  return false;
}

Simplex::End Simplex::dual(Work& work, double cutoff) {
  const End end = dual_steps(cutoff, work);
  // Columns that are asleep took no part so far.
  if (end != End::optimal || !wake_needed(work)) return end;
  return primal(work) ? End::optimal : End::stopped;
}

bool Simplex::mend(Work& work, double enough) {
  kept_awake_ = kAwakeMending;
  factor_if_needed();
  trim();
  refresh_reduced();
  raise_costs();
  const bool met = dual_steps(std::numeric_limits<double>::infinity(), work) == End::optimal;
  lower_costs();
  return met ? primal(work, enough) : !work.over() && afresh(work);
}

// So that few steps are of the same length, and so that none is negative: a column that would already lower the cost
// sleeps, a slack that would is made dearer by as much.
void Simplex::raise_costs() {
  const double most = kRaise * *std::max_element(penalty_.begin(), penalty_.end());
  for (int j : awake_)
    if (!basic_[j] && reduced_[j] < -kReducedTolerance) asleep_[j] = trim_ = true;
  trim();
  std::vector<double> raised(columns(), 0.0), slack_raised(rows_, 0.0);
  for (int j : awake_)
    if (!basic_[j]) raised[j] = most * (0.5 + scattered(0, j));
  for (int i = 0; i < rows_; ++i) slack_raised[i] = most * (0.5 + scattered(1, i)) + std::max(0.0, -slack_reduced(i));
  for (int id : basis_)
    if (id < 0 && is_slack(id)) slack_raised[row_of(id)] = 0;
  raised_ = std::move(raised);
  slack_raised_ = std::move(slack_raised);
}

void Simplex::lower_costs() {
  raised_.clear();
  slack_raised_.clear();
  recompute_y();
}

bool Simplex::stir(int round, Work& work) {
  const double most = kStir * *std::max_element(penalty_.begin(), penalty_.end());
  raised_.resize(columns());
  for (int j = 0; j < columns(); ++j) raised_[j] = most * scattered(round, j);
  slack_raised_.assign(rows_, 0.0);
  factor_if_needed();
  recompute_y();
  const bool optimal = primal(work);
  lower_costs();
  return optimal;
}

bool Simplex::afresh(Work& work) {
  std::fill(basic_.begin(), basic_.end(), 0);
  for (int i = 0; i < rows_; ++i) basis_[i] = sense_[i] == Sense::at_least ? lack_of(i) : slack(i);
  factored_ = false;
  return primal(work);
}

// Until no quantity is negative.
Simplex::End Simplex::dual_steps(double cutoff, Work& work) {
  std::vector<double> alpha, row, in_row(columns(), 0.0), by_branches(columns(), 0.0);
  factor_if_needed();
  trim();
  refresh_reduced();
  std::vector<double> weight(rows_, 1.0);  // Devex again, by position
  const int most = 500 + 50 * rows_;
  for (int iteration = 0; iteration < most; ++iteration) {
    int leaving = -1;
    double worst = 0;
    for (int i = 0; i < rows_; ++i) {
      if (x_[i] >= -kFeasibility || x_[i] * x_[i] <= worst * weight[i]) continue;
      worst = x_[i] * x_[i] / weight[i];
      leaving = i;
    }
    if (leaving < 0) return End::optimal;
    if (cutoff < std::numeric_limits<double>::infinity() && value() > cutoff) return End::passed;
    row_of_inverse(leaving, row);
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
    for (const Branch& branch : branches_) {
      const double r = row[branch.row];
      for (int column : branch.columns) by_branches[column] += r;
    }
    for (int j : awake_) {
      if (basic_[j]) continue;
      double sum = by_branches[j];
      for (int e = start_[j]; e < start_[j + 1]; ++e) sum += row[entry_row_[e]] * entry_value_[e];
      in_row[j] = sum;
      if (!banned_[j]) try_one(j, sum, reduced_[j]);
    }
    for (const Branch& branch : branches_)
      for (int column : branch.columns) by_branches[column] = 0;
    for (int i = 0; i < rows_; ++i) {
      if (basis_[leaving] != slack(i)) try_one(slack(i), row[i] * slack_sign(i), slack_reduced(i));
      if (sense_[i] == Sense::at_least && basis_[leaving] != lack_of(i))
        try_one(lack_of(i), row[i], penalty_[i] - y_[i]);
    }
    work.spend(effort());
    if (!found) return End::stopped;  // cannot be: lacks keep every row feasible
    column_in_basis(entering, alpha);
    if (std::abs(alpha[leaving]) < kPivotTolerance) {
      factor();
      refresh_reduced();
      continue;
    }
    const double step = entering_reduced / alpha[leaving];
    const double spread = weight[leaving] / (alpha[leaving] * alpha[leaving]);
    for (int i = 0; i < rows_; ++i) weight[i] = std::max(weight[i], alpha[i] * alpha[i] * spread);
    weight[leaving] = std::max(spread, 1.0);
    if (step != 0)
      for (int j : awake_) reduced_[j] -= basic_[j] ? 0 : step * in_row[j];
    const int left = basis_[leaving];
    pivot(leaving, alpha, row, entering, entering_reduced);
    if (left >= 0) {
      wake(left);
      reduced_[left] = -step;
    }
    if (!factored_) {
      factor();
      refresh_reduced();
    }
    if (work.over()) return End::stopped;
  }
  return End::stopped;
}

void Simplex::multiply_penalties(double factor) {
  for (double& penalty : penalty_) penalty *= factor;
  factor_if_needed();
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
  return {rows_, branches_.size(), x_, rhs_, shift_, penalty_, y_, basis_, sense_, banned_};
}

void Simplex::restore(const Mark& mark) {
  rows_ = mark.rows;
  branches_.resize(mark.branches);
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
  factored_ = moved_ = false;
}

}  // namespace garthwright::cutting
