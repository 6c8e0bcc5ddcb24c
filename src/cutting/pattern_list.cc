// SPDX-License-Identifier: Apache-2.0
#include "cutting/pattern_list.h"

#include <algorithm>
#include <limits>

#include "cutting/knapsack_table.h"
#include "cutting/lower_bound.h"

namespace garthwright::cutting {
namespace {

class Lister {
 public:
  Lister(const Model& model, std::span<const std::int64_t> mix, std::span<const Prices> prices, std::size_t most,
         Work& work)
      : model_(model), mix_(mix), prices_(prices), most_(most), work_(work) {
    for (const Prices& p : prices) slack_.push_back(mix_slack(model, p, mix));
  }

  std::optional<std::vector<Pattern>> run() {
    for (int family = 0; family < static_cast<int>(model_.families.size()); ++family) list_family(family);
    if (!complete_) return std::nullopt;
    return std::move(found_);
  }

 private:
  void list_family(int family) {
    std::int64_t longest = 0;
    for (int k = 0; k < model_.kinds(); ++k)
      if (model_.bars[k].family == family && mix_[k] > 0) longest = std::max(longest, model_.bars[k].length);
    if (longest == 0) return;
    choices_.clear();
    for (std::size_t j = 0; j < model_.items.size(); ++j) {
      const Item& item = model_.items[j];
      if (!model_.families[family].takes[j] || item.length > longest) continue;
      choices_.push_back({item.length, prices_.front().price[item.row] * item.yield,
                          (model_.demand[item.row] + item.yield - 1) / item.yield, static_cast<int>(j)});
    }
    tabled_ = KnapsackTable::cells(choices_.size(), longest) <= kMostTableCells;
    if (tabled_) {
      table_.build(choices_, longest, work_);
    } else {
      std::sort(choices_.begin(), choices_.end(), [](const Choice& a, const Choice& b) {
        const auto left = static_cast<__int128>(a.value) * b.weight, right = static_cast<__int128>(b.value) * a.weight;
        return left != right ? left > right : a.item < b.item;
      });
    }
    counts_.assign(choices_.size(), 0);
    for (int k = 0; k < model_.kinds() && complete_; ++k) {
      if (model_.bars[k].family != family || mix_[k] <= 0) continue;
      bar_ = k;
      const __int128 least = prices_.front().worth[k] - slack_.front();
      if (least > std::numeric_limits<std::int64_t>::max() / 2) continue;
      least_ = static_cast<double>(
          static_cast<std::int64_t>(std::max<__int128>(least, std::numeric_limits<std::int64_t>::min() / 2)));
      descend(0, model_.bars[k].length, 0);
    }
  }

  // Upper bound on what choices from `at` on are worth in `room`.
  double suffix(std::size_t at, std::int64_t room) const {
    if (tabled_) return table_.suffix(at, room);
    double value = 0;
    for (; at < choices_.size(); ++at) {
      const Choice& c = choices_[at];
      const std::int64_t count = std::min(c.most, room / c.weight);
      value += static_cast<double>(count * c.value);
      room -= count * c.weight;
      if (count < c.most && room > 0)
        return value +
               static_cast<double>(room) * static_cast<double>(c.value) / static_cast<double>(c.weight) * (1 + 1e-12) +
               1;
    }
    return value;
  }

  void descend(std::size_t at, std::int64_t room, double value) {
    if (!complete_) return;
    if (++nodes_ >= check_at_) {
      check_at_ = nodes_ + kCheckEvery;
      work_.spend(10 * kCheckEvery);
      if (work_.over() || nodes_ > kMostNodes) complete_ = false;
    }
    if (at == choices_.size()) {
      take(room);
      return;
    }
    const Choice& c = choices_[at];
    const std::int64_t most = std::min(c.most, room / c.weight);
    for (std::int64_t count = most; count >= 0; --count) {
      const std::int64_t left = room - count * c.weight;
      const double now = value + static_cast<double>(count * c.value);
      ++nodes_;
      if (now + suffix(at + 1, left) < least_) continue;
      counts_[at] = count;
      descend(at + 1, left, now);
    }
    counts_[at] = 0;
  }

  void take(std::int64_t room) {
    Pattern pattern{bar_, {}};
    for (std::size_t j = 0; j < choices_.size(); ++j) {
      if (counts_[j] < choices_[j].most && choices_[j].weight <= room) return;  // not maximal
      if (counts_[j] > 0) pattern.items.push_back({choices_[j].item, counts_[j]});
    }
    for (std::size_t q = 1; q < prices_.size(); ++q) {
      __int128 worth = 0;
      for (const ItemCount& part : pattern.items) {
        const Item& item = model_.items[part.item];
        worth += static_cast<__int128>(prices_[q].price[item.row]) * part.count * item.yield;
      }
      if (prices_[q].worth[bar_] - worth > slack_[q]) return;
    }
    if (pattern.items.empty()) return;
    std::sort(pattern.items.begin(), pattern.items.end());
    found_.push_back(std::move(pattern));
    if (found_.size() > most_) complete_ = false;
  }

  static constexpr std::int64_t kMostNodes = 40'000'000, kCheckEvery = 4096;
  const Model& model_;
  std::span<const std::int64_t> mix_;
  std::span<const Prices> prices_;
  std::size_t most_;
  Work& work_;
  std::vector<__int128> slack_;
  std::vector<Choice> choices_;
  std::vector<std::int64_t> counts_;
  KnapsackTable table_;
  bool tabled_ = false, complete_ = true;
  int bar_ = 0;
  double least_ = 0;
  std::int64_t nodes_ = 0, check_at_ = kCheckEvery;
  std::vector<Pattern> found_;
};

}  // namespace

std::optional<std::vector<Pattern>> useful_patterns(const Model& model, std::span<const std::int64_t> mix,
                                                    std::span<const Prices> prices, std::size_t most, Work& work) {
  return Lister(model, mix, prices, most, work).run();
}

}  // namespace garthwright::cutting
