// SPDX-License-Identifier: Apache-2.0
#include "cutting/column_generation.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "cutting/scatter.h"

namespace garthwright::cutting {
namespace {

constexpr double kLean = 1e-4;  // more than the shifts of the simplex, far less than a piece

std::size_t hash_of(const Pattern& pattern) {
  std::uint64_t hash = static_cast<std::uint64_t>(pattern.bar) + 1;
  const auto mix = [&](std::int64_t value) {
    hash = (hash ^ static_cast<std::uint64_t>(value)) * 0x9E3779B97F4A7C15u;
    hash ^= hash >> 32;
  };
  for (const ItemCount& part : pattern.items) {
    mix(part.item);
    mix(part.count);
  }
  return hash;
}

}  // namespace

std::vector<Entry> coverage(const Model& model, const Pattern& pattern) {
  std::vector<Entry> entries;
  entries.reserve(pattern.items.size() + 1);  // its bar's row may follow
  for (const ItemCount& part : pattern.items) {
    const Item& item = model.items[part.item];
    const auto value = static_cast<double>(part.count * item.yield);
    auto same = std::find_if(entries.begin(), entries.end(), [&](const Entry& e) { return e.row == item.row; });
    if (same == entries.end())
      entries.push_back({item.row, value});
    else
      same->value += value;
  }
  return entries;
}

int PatternPool::add(const Pattern& pattern, bool* fresh) {
  if (2 * patterns_.size() >= place_.size()) spread();
  int& place = place_of(pattern);
  if (fresh != nullptr) *fresh = place < 0;
  if (place < 0) {
    place = static_cast<int>(patterns_.size());
    patterns_.push_back(pattern);
  }
  return place;
}

int& PatternPool::place_of(const Pattern& pattern) {
  const std::size_t mask = place_.size() - 1;
  std::size_t at = hash_of(pattern) & mask;
  while (place_[at] >= 0 && patterns_[place_[at]] != pattern) at = (at + 1) & mask;
  return place_[at];
}

void PatternPool::spread() {
  place_.assign(std::max<std::size_t>(256, 2 * place_.size()), -1);
  patterns_.reserve(place_.size() / 2);
  for (std::size_t p = 0; p < patterns_.size(); ++p) place_of(patterns_[p]) = static_cast<int>(p);
}

Relaxation::Relaxation(const Model& model, const Remainder& remainder, std::vector<double> cost, PatternPool& pool,
                       Pricer& pricer)
    : Relaxation(model, pool, pricer) {
  remainder_ = remainder;
  cost_ = std::move(cost);
  double dearest = 1;
  for (double c : cost_) dearest = std::max(dearest, c);
  for (int i = 0; i < model.rows(); ++i)
    simplex_.add_row(Simplex::Sense::at_least, static_cast<double>(remainder.demand[i]), 20 * dearest);
  for (int k = 0; k < model.kinds(); ++k) {
    // Limits of several kinds may be narrowed later to those of a mix.
    const bool needed = model.kinds() > 1 || model.bars[k].limited || remainder.limit[k] < model.bars[k].limit;
    limit_row_.push_back(needed ? simplex_.add_row(Simplex::Sense::at_most, static_cast<double>(remainder.limit[k]), 0)
                                : -1);
  }
  add_columns();
}

Relaxation Relaxation::of_mix(const Model& model, std::span<const std::int64_t> mix, PatternPool& pool, Pricer& pricer,
                              int lead, Work& work) {
  Relaxation r(model, pool, pricer);
  r.remainder_ = {model.demand, {mix.begin(), mix.end()}};
  r.cost_.assign(model.kinds(), 0.0);
  double bars = 0;
  for (std::int64_t n : mix) bars += static_cast<double>(n);
  for (int i = 0; i < model.rows(); ++i)
    r.simplex_.add_row(Simplex::Sense::at_least, static_cast<double>(model.demand[i]), 20);
  std::vector<Entry> t;
  for (int k = 0; k < model.kinds(); ++k) {
    r.limit_row_.push_back(mix[k] > 0 ? r.simplex_.add_row(Simplex::Sense::at_most, 0, 0) : -1);
    if (mix[k] > 0) t.push_back({r.limit_row_[k], -static_cast<double>(mix[k])});
  }
  r.simplex_.add_column(t, bars);
  r.pattern_of_.push_back(-1);
  r.add_columns();
  if (lead > 0) {
    r.simplex_.sleep_from(lead + 1);
    r.simplex_.begin_with(lead + 1, work);
  }
  return r;
}

Relaxation Relaxation::within(std::span<const std::int64_t> limit, Work& work) const {
  Relaxation r = *this;
  r.remainder_.limit.assign(limit.begin(), limit.end());
  for (int k = 0; k < model_.kinds(); ++k)
    if (limit_row_[k] >= 0) r.simplex_.set_rhs(limit_row_[k], static_cast<double>(limit[k]));
  r.add_columns();
  r.simplex_.mend(work);
  return r;
}

void Relaxation::add_columns() {
  // A few more will come.
  const std::size_t columns = pool_.all().size() + 64;
  simplex_.make_room(columns, columns * 6);
  column_.reserve(columns);
  pattern_of_.reserve(columns);
  for (int p = 0; p < static_cast<int>(pool_.all().size()); ++p) add_column(p);
}

void Relaxation::add_column(int pattern) {
  const Pattern& p = pool_.all()[pattern];
  if (pattern >= static_cast<int>(column_.size())) column_.resize(pattern + 1, -1);
  if (column_[pattern] >= 0 || remainder_.limit[p.bar] <= 0) return;
  std::vector<Entry> entries = coverage(model_, p);
  if (limit_row_[p.bar] >= 0) entries.push_back({limit_row_[p.bar], 1.0});
  column_[pattern] = simplex_.add_column(entries, cost_[p.bar]);
  pattern_of_.push_back(pattern);
}

bool Relaxation::price(bool diverse, Work& work) {
  std::vector<double> real(model_.rows());
  for (int i = 0; i < model_.rows(); ++i) real[i] = simplex_.price(i);
  std::vector<std::int64_t> price;
  scale_ = whole_prices(model_, real, price);
  std::vector<std::int64_t> threshold(model_.kinds()), limit(model_.kinds(), 1);
  double largest = 0;
  for (int k = 0; k < model_.kinds(); ++k) {
    const double due = cost_[k] - (limit_row_[k] >= 0 ? simplex_.price(limit_row_[k]) : 0.0);
    largest = std::max(largest, due);
    threshold[k] = static_cast<std::int64_t>(due * scale_);
  }
  // What the simplex itself cannot tell from zero is not worth a column.
  const auto tolerance = static_cast<std::int64_t>(std::max(largest, 1e-3) * 2e-9 * scale_) + 1;
  for (int k = 0; k < model_.kinds(); ++k)
    threshold[k] = remainder_.limit[k] > 0 ? threshold[k] + tolerance : std::numeric_limits<std::int64_t>::max() / 2;
  Pricer::Offer offer = pricer_.offer(std::move(price), remainder_.demand, limit, threshold, diverse, work);
  prices_ = std::move(offer.prices);
  bool missing = false;
  for (const Pattern& pattern : offer.patterns) {
    const int index = pool_.add(pattern);
    const bool known = index < static_cast<int>(column_.size()) && column_[index] >= 0;
    if (known) continue;
    add_column(index);
    missing = true;
  }
  return missing;
}

bool Relaxation::plenty() const {
  return std::all_of(limit_row_.begin(), limit_row_.end(), [](int row) { return row < 0; });
}

std::vector<std::pair<int, double>> Relaxation::solution() const {
  std::vector<std::pair<int, double>> used;
  const std::vector<double> x = simplex_.solution();
  for (int j = 0; j < static_cast<int>(x.size()); ++j)
    if (x[j] > 1e-5 && pattern_of_[j] >= 0) used.push_back({pattern_of_[j], x[j]});
  return used;
}

std::vector<int> Relaxation::in_basis() const {
  std::vector<int> patterns;
  for (int j = 0; j < simplex_.columns(); ++j)
    if (simplex_.basic(j) && pattern_of_[j] >= 0) patterns.push_back(pattern_of_[j]);
  return patterns;
}

void Relaxation::lean(int round, Work& work) {
  for (int i = 0; i < model_.rows(); ++i) {
    const double share = 2 * scattered(round, i) - 1;
    simplex_.set_rhs(i, static_cast<double>(remainder_.demand[i]) * (1 + kLean * share));
  }
  simplex_.mend(work);
}

void Relaxation::take(int pattern, std::int64_t count) {
  const Pattern& p = pool_.all()[pattern];
  remainder_.limit[p.bar] -= count;
  if (limit_row_[p.bar] >= 0) simplex_.set_rhs(limit_row_[p.bar], static_cast<double>(remainder_.limit[p.bar]));
  for (const Entry& entry : coverage(model_, p)) {
    std::int64_t& demand = remainder_.demand[entry.row];
    demand = std::max<std::int64_t>(0, demand - static_cast<std::int64_t>(entry.value) * count);
    simplex_.set_rhs(entry.row, static_cast<double>(demand));
  }
}

}  // namespace garthwright::cutting
