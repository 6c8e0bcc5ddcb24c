// SPDX-License-Identifier: Apache-2.0
#include "frame/pressing.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace garthwright::frame {
namespace {

constexpr double kDamping = 1e-11;    ///< far below any real stiffness, far above round-off
constexpr double kBalanced = 1e-11;   ///< of the load
constexpr double kSettled = 1e-9;     ///< of the load, where no contact changes: corrected afterwards
constexpr double kGoodEnough = 1e-7;  ///< where round-off lets it come no nearer; corrected afterwards
constexpr double kNoEnergy = 1e-13;   ///< of a motion, as in Options::mechanism_energy
constexpr std::size_t kMostKnown = 400;
constexpr std::size_t kMostNumbersKnown = 4'000'000;  ///< of all motions and forces that are kept
constexpr int kMostAddedUp = 3;                       ///< motions, for where a search begins
constexpr double kAsGood = 1e-3;                      ///< of the force: nothing more is added up
constexpr int kMostSteps = 1000;  ///< each lowers the energy: some tens, hundreds where next to nothing resists
constexpr int kNoBetter = 40;     ///< steps on the same contacts that bring no better balance: round-off bars the way

}  // namespace

Pressing::Pressing(const Solver::Parts& parts)
    : parts_(parts), factors_(parts.frame.nodes.size(), parts.open_blocks->pairs()) {
  const int nodes = static_cast<int>(parts.frame.nodes.size());
  scale_ = parts.diagonal;
  for (double& s : scale_) s = s > 0 ? 1 / std::sqrt(s) : 1;
  slot_.resize(parts.unknowns.count);
  std::vector<Six> scale(nodes, Six::Zero());  // 0 where held
  for (int n = 0; n < nodes; ++n) {
    const int at = 6 * factors_.column_of(n);
    for (int way = 0; way < 6; ++way)
      if (const int i = parts.unknowns.of_node[n][way]; i >= 0) slot_[i] = at + way, scale[n][way] = scale_[i];
    const Block scaled = scale[n].asDiagonal() * parts.open_blocks->own(n) * scale[n].asDiagonal();
    ties_.push_back({at, at, scaled});
    Block& own = factors_.block(factors_.place(n, n));
    own = scaled;
    for (int way = 0; way < 6; ++way) own(way, way) += scale[n][way] > 0 ? kDamping : 1;
  }
  for (std::size_t pair = 0; pair < parts.open_blocks->pairs().size(); ++pair) {
    const auto [low, high] = parts.open_blocks->pairs()[pair];
    Block scaled = scale[high].asDiagonal() * parts.open_blocks->between(pair) * scale[low].asDiagonal();
    const BlockFactors::Place place = factors_.place(static_cast<int>(high), static_cast<int>(low));
    if (place.flipped) scaled.transposeInPlace();
    factors_.block(place) = scaled;
    const int one = 6 * factors_.column_of(static_cast<int>(low)),
              other = 6 * factors_.column_of(static_cast<int>(high));
    if (!scaled.isZero(0)) ties_.push_back({std::max(one, other), std::min(one, other), scaled});
  }
  std::map<std::size_t, int> blocks;
  gaps_.resize(static_cast<Eigen::Index>(parts.contacts.size()));
  for (std::size_t c = 0; c < parts.contacts.size(); ++c) {
    const Row& row = parts.contacts[c];
    const double root = std::sqrt(parts.frame.contacts[c].k_n_mm);
    const int a = static_cast<int>(row.nodes[0]), b = static_cast<int>(row.nodes[1]);
    contacts_.push_back({6 * factors_.column_of(a), 6 * factors_.column_of(b),
                         root * row.b.head<6>().cwiseProduct(scale[a]), root * row.b.tail<6>().cwiseProduct(scale[b])});
    gaps_[static_cast<Eigen::Index>(c)] = root * parts.frame.contacts[c].gap_mm;
    most_.push_back(parts.frame.contacts[c].crushes_at_n / root);
    crushed_.push_back(parts.frame.contacts[c].crushed_n_mm / parts.frame.contacts[c].k_n_mm);
    const std::array<BlockFactors::Place, 3> places{factors_.place(a, a), factors_.place(b, b), factors_.place(b, a)};
    flipped_.push_back(places[2].flipped);
    std::array<int, 3> own{};
    for (int i = 0; i < 3; ++i) {
      const auto [found, is_new] = blocks.try_emplace(places[i].at, static_cast<int>(open_.size()));
      if (is_new) {
        open_.push_back(factors_.value(places[i].at));
        open_at_.emplace_back(places[i].at, places[i].column);
        of_block_.emplace_back();
      }
      own[i] = found->second;
      of_block_[found->second].emplace_back(static_cast<int>(c), i);
    }
    block_of_.push_back(own);
  }
  extent_ = extent(parts.frame);
  touching_.assign(contacts_.size(), Touching::closed);
}

/// Blocks that a change touches are summed anew, never corrected: the answer does not hang on what came before.
void Pressing::close(const std::vector<Touching>& touching) {
  if (factorised_ && touching == touching_) return;
  std::vector<char> touched(open_.size(), !factorised_);
  if (factorised_)
    for (std::size_t c = 0; c < contacts_.size(); ++c)
      if (touching[c] != touching_[c])
        for (const int block : block_of_[c]) touched[block] = 1;
  touching_ = touching;
  std::vector<int> columns;
  for (std::size_t i = 0; i < open_.size(); ++i) {
    if (!touched[i]) continue;
    Block& sum = factors_.value(open_at_[i].first);
    sum = open_[i];
    for (const auto& [c, which] : of_block_[i]) {
      const double k = stiffness(c, touching_[c]);
      if (k == 0) continue;
      const Six &first = contacts_[c].first, &second = contacts_[c].second;
      if (which == 0)
        sum.noalias() += k * first * first.transpose();
      else if (which == 1)
        sum.noalias() += k * second * second.transpose();
      else if (flipped_[c])
        sum.noalias() += k * first * second.transpose();
      else
        sum.noalias() += k * second * first.transpose();
    }
    columns.push_back(open_at_[i].second);
  }
  if (factorised_)
    factors_.factorise(kDamping / 100, columns);
  else
    factors_.factorise(kDamping / 100);
  factorised_ = true;
}

Eigen::VectorXd Pressing::inside(const Eigen::VectorXd& force) const {
  Eigen::VectorXd full = Eigen::VectorXd::Zero(6 * static_cast<Eigen::Index>(parts_.frame.nodes.size()));
  for (Eigen::Index i = 0; i < force.size(); ++i) full[slot_[i]] = scale_[i] * force[i];
  return full;
}

Eigen::VectorXd Pressing::outside(const Eigen::VectorXd& x) const {
  Eigen::VectorXd unknowns(scale_.size());
  for (Eigen::Index i = 0; i < unknowns.size(); ++i) unknowns[i] = scale_[i] * x[slot_[i]];
  return unknowns;
}

Eigen::VectorXd Pressing::solve(Eigen::VectorXd force) const {
  factors_.solve(force);
  return force;
}

Eigen::VectorXd Pressing::correct(const Eigen::VectorXd& rest) const { return outside(solve(inside(rest))); }

/// What the frame without its contacts resists a motion with.
Eigen::VectorXd Pressing::without_contacts(const Eigen::VectorXd& x) const {
  Eigen::VectorXd kx = Eigen::VectorXd::Zero(x.size());
  for (const Tie& tie : ties_) {
    kx.segment<6>(tie.row).noalias() += tie.block * x.segment<6>(tie.column);
    if (tie.row != tie.column) kx.segment<6>(tie.column).noalias() += tie.block.transpose() * x.segment<6>(tie.row);
  }
  return kx;
}

/// The same, when the factors found the motion for `force`: the rest is what damping and closed contacts take. `moved`:
/// by how much each contact opens.
Eigen::VectorXd Pressing::without_contacts(const Eigen::VectorXd& force, const Eigen::VectorXd& x,
                                           const Eigen::VectorXd& moved) const {
  Eigen::VectorXd kx = force - kDamping * x;
  for (std::size_t c = 0; c < contacts_.size(); ++c)
    if (const double k = stiffness(c, touching_[c]); k > 0)
      contacts_[c].add(-k * moved[static_cast<Eigen::Index>(c)], kx);
  return kx;
}

Eigen::VectorXd Pressing::moved(const Eigen::VectorXd& x) const {
  Eigen::VectorXd moved(gaps_.size());
  for (std::size_t c = 0; c < contacts_.size(); ++c) moved[static_cast<Eigen::Index>(c)] = contacts_[c].times(x);
  return moved;
}

std::vector<Pressing::Touching> Pressing::touching_at(const Eigen::VectorXd& overlap) const {
  std::vector<Touching> touching(contacts_.size());
  for (std::size_t c = 0; c < contacts_.size(); ++c) {
    const double in = overlap[static_cast<Eigen::Index>(c)];
    touching[c] = in <= 0 ? Touching::open : in <= crushing_ * most_[c] ? Touching::closed : Touching::crushed;
  }
  return touching;
}

double Pressing::push(std::size_t c, double overlap) const {
  const double most = crushing_ * most_[c];
  return overlap <= 0 ? 0 : overlap <= most ? overlap : most + crushed_[c] * (overlap - most);
}

double Pressing::stiffness(std::size_t c, Touching touching) const {
  return touching == Touching::open ? 0 : touching == Touching::closed ? 1 : crushed_[c];
}

void Pressing::add_pushes(const Eigen::VectorXd& overlap, Eigen::VectorXd& rest) const {
  for (std::size_t c = 0; c < contacts_.size(); ++c)
    if (const double push = this->push(c, overlap[static_cast<Eigen::Index>(c)]); push > 0)
      contacts_[c].add(push, rest);
}

/// The slope of the energy along a step (`at_start` and its `growth` without the contacts) grows in straight pieces:
/// between two places where a contact opens, closes or is crushed it is a line, and its zero there is exact. Infinite
/// where it never comes.
double Pressing::best_along(double at_start, double growth, const Eigen::VectorXd& overlap,
                            const Eigen::VectorXd& closing) const {
  std::vector<double> turns = {0};
  bool any_before_1 = false;
  for (Eigen::Index c = 0; c < overlap.size(); ++c)
    for (const double at : {0.0, crushing_ * most_[c]}) {
      const double t = (at - overlap[c]) / closing[c];
      if (!std::isfinite(t) || t <= 0) continue;
      turns.push_back(t);
      any_before_1 = any_before_1 || t < 1;
    }
  if (!any_before_1) return 1;  // one piece of the energy: Newton's step ends at its bottom
  std::sort(turns.begin(), turns.end());
  const auto slope = [&](double t) {
    double sum = at_start + growth * t;
    for (Eigen::Index c = 0; c < overlap.size(); ++c) sum += push(c, overlap[c] + t * closing[c]) * closing[c];
    return sum;
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

/// A motion that stores no energy, closes no contact but what is crushed and gives no more, and is pushed by more than
/// those hold.
bool Pressing::falls_for_ever(const Eigen::VectorXd& f, double load, const Eigen::VectorXd& d, double growth,
                              const Eigen::VectorXd& closing) const {
  double energy = std::abs(growth), held = 0;
  for (Eigen::Index c = 0; c < closing.size(); ++c) {
    if (!(closing[c] > 0)) continue;
    const bool gives = std::isfinite(most_[c]);
    energy += (gives ? crushed_[c] : 1) * closing[c] * closing[c];
    if (gives && crushed_[c] == 0) held += crushing_ * most_[c] * closing[c];
  }
  const double size = d.norm();
  return energy <= kNoEnergy * size * size && d.dot(f) - held > 1e-9 * size * load;
}

bool Pressing::far(const Eigen::VectorXd& x) const {
  for (Eigen::Index i = 0; i < scale_.size(); ++i)
    if (slot_[i] % 6 < 3 && std::abs(scale_[i] * x[slot_[i]]) > extent_) return true;
  return false;
}

std::vector<double> Pressing::alike(const Eigen::VectorXd& f) const {
  std::vector<double> cosines(known_.size());
  for (std::size_t i = 0; i < known_.size(); ++i) cosines[i] = known_[i].f.dot(f);
  return cosines;
}

/// Forces are added up by least squares, one after another, always the one most like what is left.
std::vector<Pressing::Touching> Pressing::likely(const std::vector<double>& alike, double load) const {
  if (known_.empty()) return touching_;
  const auto cosine = [&](int i, int j) { return i == j ? 1 : known_[std::max(i, j)].alike[std::min(i, j)]; };
  std::vector<int> chosen;
  Eigen::VectorXd parts;
  for (double left = 1; static_cast<int>(chosen.size()) < kMostAddedUp && left > kAsGood * kAsGood;) {
    int best = -1;
    double most = 0;
    for (int i = 0; i < static_cast<int>(known_.size()); ++i) {
      if (std::find(chosen.begin(), chosen.end(), i) != chosen.end()) continue;
      double like = alike[i];
      for (std::size_t c = 0; c < chosen.size(); ++c)
        like -= parts[static_cast<Eigen::Index>(c)] * cosine(i, chosen[c]);
      if (std::abs(like) > most) most = std::abs(like), best = i;
    }
    if (best < 0) break;
    std::vector<int> more = chosen;
    more.push_back(best);
    const auto n = static_cast<Eigen::Index>(more.size());
    Eigen::MatrixXd between(n, n);
    Eigen::VectorXd with(n);
    for (Eigen::Index i = 0; i < n; ++i) {
      with[i] = alike[more[i]];
      for (Eigen::Index j = 0; j < n; ++j) between(i, j) = cosine(more[i], more[j]);
      between(i, i) += 1e-9;
    }
    const Eigen::VectorXd now = between.ldlt().solve(with);
    if (now.cwiseAbs().maxCoeff() > 4) break;  // alike but for a little: their difference says nothing
    chosen = std::move(more), parts = now;
    left = 1 - parts.dot(with);
  }
  if (chosen.empty()) return touching_;
  Eigen::VectorXd x = Eigen::VectorXd::Zero(known_.front().x.size());
  for (std::size_t c = 0; c < chosen.size(); ++c) x += load * parts[static_cast<Eigen::Index>(c)] * known_[chosen[c]].x;
  return touching_at(-gaps_ - moved(x));
}

Pressing::Found Pressing::find(const Eigen::VectorXd& force, double crushing) {
  Found found;
  crushing_ = crushing;
  if (force.size() == 0) {
    found.settled = true;
    return found;
  }
  const Eigen::VectorXd f = inside(force);
  const double load = f.norm();
  const Eigen::VectorXd way = load > 0 ? Eigen::VectorXd(f / load) : f;
  std::vector<double> cosines = alike(way);
  close(likely(cosines, load));
  Eigen::VectorXd pushed = f;
  for (std::size_t c = 0; c < contacts_.size(); ++c) {  // what each pushes with beside its stiffness times its motion
    const double k = stiffness(c, touching_[c]),
                 beside = touching_[c] == Touching::crushed ? (1 - k) * crushing_ * most_[c] : 0;
    if (const double size = beside - k * gaps_[static_cast<Eigen::Index>(c)]; size != 0) contacts_[c].add(size, pushed);
  }
  Eigen::VectorXd x = solve(pushed), opens = moved(x), overlap = -gaps_ - opens;
  Eigen::VectorXd kx = without_contacts(pushed, x, opens);
  bool exact = false;  // kx is reckoned from x, not from what x was to balance
  double before = std::numeric_limits<double>::infinity(), best = before;
  int no_better = 0;
  for (found.steps = 1; found.steps < kMostSteps; ++found.steps) {
    Eigen::VectorXd rest = f - kx;
    add_pushes(overlap, rest);
    double left = rest.norm();
    const std::vector<Touching> touching = touching_at(overlap);
    const bool same = touching == touching_;
    const auto balanced = [&] {
      return left <= (same ? kSettled : kBalanced) * load || (same && left <= kGoodEnough * load && left > before / 4);
    };
    if (balanced() && !exact) {
      kx = without_contacts(x), exact = true;
      rest = f - kx;
      add_pushes(overlap, rest);
      left = rest.norm();
    }
    close(touching);
    no_better = same && left > best / 2 ? no_better + 1 : 0;
    best = std::min(best, left);
    if (balanced() || no_better == kNoBetter) {
      // Held by next to nothing (two faces that are parallel but for a hair): the rest, if there is one, lies farther
      // off than small motions reach, and there the part has long come off.
      if (far(x)) {
        found.comes_off = outside(x);
        return found;
      }
      found.settled = left <= kGoodEnough * load;
      if (!found.settled) return found;
      found.x = outside(x);
      const std::size_t kept = known_.size();
      if (load > 0 && kept < kMostKnown && 2 * kept * static_cast<std::size_t>(f.size()) < kMostNumbersKnown)
        known_.push_back({way, x / load, std::move(cosines)});
      return found;
    }
    before = left;
    const Eigen::VectorXd d = solve(rest), opening = moved(d), kd = without_contacts(rest, d, opening);
    const Eigen::VectorXd closing = -opening;
    const double growth = d.dot(kd);
    const double t = falls_for_ever(f, load, d, growth, closing)
                         ? std::numeric_limits<double>::infinity()
                         : best_along(x.dot(kd) - d.dot(f), growth, overlap, closing);
    if (!std::isfinite(t)) {  // nothing resists it within round-off
      found.comes_off = outside(d);
      return found;
    }
    x += t * d;
    kx += t * kd;
    overlap += t * closing;
    exact = found.steps % 8 == 0;
    if (exact) kx = without_contacts(x), overlap = -gaps_ - moved(x);  // no drift
  }
  return found;
}

}  // namespace garthwright::frame
