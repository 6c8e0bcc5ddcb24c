// SPDX-License-Identifier: Apache-2.0
#include "frame/pressing.h"

#include <algorithm>
#include <cmath>

namespace garthwright::frame {
namespace {

constexpr double kDamping = 1e-11;    ///< far below any real stiffness, far above round-off
constexpr double kBalanced = 1e-11;   ///< of the load
constexpr double kGoodEnough = 1e-7;  ///< where round-off lets it come no nearer; corrected afterwards
constexpr double kNoEnergy = 1e-13;   ///< of a motion, as in Options::mechanism_energy
constexpr int kMostSteps = 1000;      ///< each lowers the energy; never seen above some tens

}  // namespace

double Pressing::OverUnknowns::times(const Eigen::VectorXd& x) const {
  double sum = 0;
  for (const auto& [at, b] : row) sum += b * x[at];
  return sum;
}

Pressing::Pressing(const Solver::Parts& parts) : parts_(parts) {
  const Sparse& all = parts.stiffness;
  scale_ = all.diagonal();
  for (double& s : scale_) s = s > 0 ? 1 / std::sqrt(s) : 1;
  scaled_ = all.triangularView<Eigen::Lower>();
  scaled_.makeCompressed();
  const auto place = [&](int row, int column) {
    const auto* begin = scaled_.innerIndexPtr() + scaled_.outerIndexPtr()[column];
    const auto* end = scaled_.innerIndexPtr() + scaled_.outerIndexPtr()[column + 1];
    return std::lower_bound(begin, end, row) - scaled_.innerIndexPtr();
  };
  open_ = Eigen::VectorXd::Zero(scaled_.nonZeros());
  for (int column = 0; column < parts.open.outerSize(); ++column)
    for (Sparse::InnerIterator it(parts.open, column); it; ++it)
      if (it.row() >= column)
        open_[place(static_cast<int>(it.row()), column)] = scale_[it.row()] * it.value() * scale_[column];
  for (std::size_t c = 0; c < parts.contacts.size(); ++c) {
    const Row& row = parts.contacts[c];
    OverUnknowns contact;
    contact.k = parts.frame.contacts[c].k_n_mm, contact.gap = parts.frame.contacts[c].gap_mm;
    const std::array<int, 12> at = places(parts.unknowns, row.nodes);
    for (int i = 0; i < 12; ++i)
      if (at[i] >= 0 && row.b[i] != 0) contact.row.emplace_back(at[i], row.b[i]);
    for (const auto& [i, bi] : contact.row)
      for (const auto& [j, bj] : contact.row)
        if (i >= j) contact.square.emplace_back(place(i, j), contact.k * scale_[i] * bi * scale_[j] * bj);
    contacts_.push_back(std::move(contact));
  }
  closed_.assign(contacts_.size(), 1);
  if (scaled_.rows() > 0) ldlt_.analyzePattern(scaled_);
}

void Pressing::factorise(const std::vector<char>& closed) {
  if (factorised_ && closed == closed_) return;
  closed_ = closed;
  factorised_ = true;
  Eigen::Map<Eigen::VectorXd> values(scaled_.valuePtr(), scaled_.nonZeros());
  values = open_;
  for (std::size_t c = 0; c < contacts_.size(); ++c)
    if (closed[c])
      for (const auto& [at, value] : contacts_[c].square) values[at] += value;
  for (Eigen::Index i = 0; i < scaled_.rows(); ++i) values[scaled_.outerIndexPtr()[i]] += kDamping;
  ldlt_.factorize(scaled_);
}

Eigen::VectorXd Pressing::correct(const Eigen::VectorXd& rest) const {
  return scale_.cwiseProduct(ldlt_.solve(scale_.cwiseProduct(rest)));
}

double Pressing::overlap(std::size_t contact, const Eigen::VectorXd& x) const {
  return -contacts_[contact].gap - contacts_[contact].times(x);
}

std::vector<char> Pressing::closed_at(const Eigen::VectorXd& x) const {
  std::vector<char> closed(contacts_.size());
  for (std::size_t c = 0; c < contacts_.size(); ++c) closed[c] = overlap(c, x) > 0;
  return closed;
}

Eigen::VectorXd Pressing::out_of_balance(const Eigen::VectorXd& f, const Eigen::VectorXd& x) const {
  Eigen::VectorXd rest = f - parts_.open * x;
  for (std::size_t c = 0; c < contacts_.size(); ++c)
    if (const double push = contacts_[c].k * overlap(c, x); push > 0)
      for (const auto& [at, b] : contacts_[c].row) rest[at] += push * b;
  return rest;
}

/// The slope of the energy along d grows in straight pieces: between two places where a contact opens or closes it is a
/// line, and its zero there is exact. Infinite where it never comes.
double Pressing::best_along(const Eigen::VectorXd& f, const Eigen::VectorXd& x, const Eigen::VectorXd& d) const {
  const Eigen::VectorXd kd = parts_.open * d;
  const double at_start = x.dot(kd) - d.dot(f), growth = d.dot(kd);
  struct Along {
    double overlap, closing, k;
  };
  std::vector<Along> along;
  std::vector<double> turns = {0};
  for (std::size_t c = 0; c < contacts_.size(); ++c) {
    const Along a{overlap(c, x), -contacts_[c].times(d), contacts_[c].k};
    along.push_back(a);
    if (const double t = -a.overlap / a.closing; std::isfinite(t) && t > 0) turns.push_back(t);
  }
  std::sort(turns.begin(), turns.end());
  const auto slope = [&](double t) {
    double s = at_start + growth * t;
    for (const Along& a : along) s += a.k * std::max(0.0, a.overlap + t * a.closing) * a.closing;
    return s;
  };
  // The last turning place where it still falls.
  std::size_t low = 0, high = turns.size();
  while (high - low > 1) {
    const std::size_t middle = (low + high) / 2;
    (slope(turns[middle]) < 0 ? low : high) = middle;
  }
  const double from = turns[low], to = high < turns.size() ? turns[high] : 2 * from + 1;
  const double a = slope(from), b = slope(to);
  if (!(b > a)) return std::numeric_limits<double>::infinity();
  return from - a * (to - from) / (b - a);
}

/// A motion that stores no energy, closes no contact, and is pushed by the load.
bool Pressing::falls_for_ever(const Eigen::VectorXd& f, const Eigen::VectorXd& d) const {
  double energy = std::abs(d.dot(parts_.open * d));
  for (const OverUnknowns& c : contacts_)
    if (const double closing = -c.times(d); closing > 0) energy += c.k * closing * closing;
  const double size = d.cwiseQuotient(scale_).norm();
  return energy <= kNoEnergy * size * size && d.dot(f) > 1e-9 * size * scale_.cwiseProduct(f).norm();
}

Pressing::Found Pressing::find(const Eigen::VectorXd& f) {
  Found found;
  found.x = Eigen::VectorXd::Zero(f.size());
  const double load = scale_.cwiseProduct(f).norm();
  if (f.size() == 0) {
    found.settled = true;
    return found;
  }
  factorise(std::vector<char>(closed_));
  Eigen::VectorXd pushed = f;
  for (std::size_t c = 0; c < contacts_.size(); ++c)
    if (closed_[c])
      for (const auto& [at, b] : contacts_[c].row) pushed[at] -= contacts_[c].k * contacts_[c].gap * b;
  found.x = correct(pushed);
  double before = std::numeric_limits<double>::infinity();
  for (found.steps = 1; found.steps < kMostSteps; ++found.steps) {
    const Eigen::VectorXd rest = out_of_balance(f, found.x);
    const double left = scale_.cwiseProduct(rest).norm();
    std::vector<char> closed = closed_at(found.x);
    const bool same = closed == closed_;
    if (left <= kBalanced * load || (same && left <= kGoodEnough * load && left > before / 4)) {
      factorise(closed);
      found.settled = true;
      return found;
    }
    before = left;
    factorise(closed);
    const Eigen::VectorXd d = correct(rest);
    if (falls_for_ever(f, d)) {
      found.comes_off = d;
      return found;
    }
    const double t = best_along(f, found.x, d);
    if (!std::isfinite(t)) {  // nothing resists it within round-off
      found.comes_off = d;
      return found;
    }
    found.x += t * d;
  }
  return found;
}

}  // namespace garthwright::frame
