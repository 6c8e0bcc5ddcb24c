// SPDX-License-Identifier: Apache-2.0
#include "timber/market.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace garthwright::timber {
namespace {

constexpr double kSameSize = 0.5;  // mm

bool same(double a, double b) { return std::abs(a - b) <= kSameSize; }

bool alike(const Section& a, const Section& b) {
  return same(a.width_mm, b.width_mm) && same(a.thickness_mm, b.thickness_mm) && a.strength_class == b.strength_class &&
         a.treatment == b.treatment;
}
bool alike(const FixingItem& a, const FixingItem& b) {
  return a.kind == b.kind && same(a.diameter_mm, b.diameter_mm) && same(a.length_mm, b.length_mm);
}
bool alike(const PanelItem& a, const PanelItem& b) {
  return same(a.width_mm, b.width_mm) && same(a.height_mm, b.height_mm) && same(a.thickness_mm, b.thickness_mm);
}

/// Puts a second yard's way of selling a thing beside the first's, or in its place where it is the same for less.
template <class Way, class Same>
void offer(std::vector<Way>& ways, const Way& way, const Same& same_way) {
  const auto known = std::find_if(ways.begin(), ways.end(), [&](const Way& other) { return same_way(other, way); });
  if (known == ways.end())
    ways.push_back(way);
  else if (way.price < known->price)
    *known = way;
}

void join(Section& into, const Section& other) {
  for (const YardLength& length : other.lengths)
    offer(into.lengths, length, [](const YardLength& a, const YardLength& b) {
      const auto plain = [](const YardLength& length) { return !length.limit && length.bundles.empty(); };
      return a.length_mm == b.length_mm && a.straight == b.straight && plain(a) && plain(b);
    });
  std::stable_sort(into.lengths.begin(), into.lengths.end(),
                   [](const YardLength& a, const YardLength& b) { return a.length_mm < b.length_mm; });
}
void join(FixingItem& into, const FixingItem& other) {
  for (const Pack& pack : other.packs)
    offer(into.packs, pack, [](const Pack& a, const Pack& b) { return a.count == b.count; });
  std::stable_sort(into.packs.begin(), into.packs.end(),
                   [](const Pack& a, const Pack& b) { return a.count < b.count; });
}
void join(PanelItem& into, const PanelItem& other) {
  if (other.price < into.price) into = other;
}

template <class Item>
void join_all(std::vector<Item>& into, const std::vector<Item>& others) {
  for (const Item& other : others) {
    const auto known =
        std::find_if(into.begin(), into.end(), [&](const Item& item) { return item.name == other.name; });
    if (known == into.end())
      into.push_back(other);
    else if (alike(*known, other))
      join(*known, other);
  }
}

/// Leaves out of a yard what an earlier one sells otherwise under the same name.
template <class Item>
void keep_alike(std::vector<Item>& items, const std::vector<Item>& earlier) {
  std::erase_if(items, [&](const Item& item) {
    const auto known =
        std::find_if(earlier.begin(), earlier.end(), [&](const Item& other) { return other.name == item.name; });
    return known != earlier.end() && !alike(*known, item);
  });
}

/// The yards in their order, each with only what means the same at all of them.
std::vector<Yard> agreeing(std::span<const Yard> yards) {
  std::vector<Yard> agreed;
  for (const Yard& yard : yards) {
    Yard kept = yard;
    for (const Yard& earlier : agreed) {
      keep_alike(kept.sections, earlier.sections);
      keep_alike(kept.fixings, earlier.fixings);
      keep_alike(kept.panels, earlier.panels);
    }
    agreed.push_back(std::move(kept));
  }
  return agreed;
}

void forget_bags(Yard& yard) {
  std::erase_if(yard.defaults, [&](const auto& role) {
    return std::any_of(yard.ground.begin(), yard.ground.end(),
                       [&](const GroundItem& item) { return item.name == role.second; });
  });
}

/// The yard as it stands in a market: prices with tax, everything marked as its own.
Yard marked(Yard yard, int index, int times) {
  const auto mark = [&](auto& item) {
    item.offer = {index, item.price};
    item.price = {times * with_tax(item.price, yard.terms).minor};
  };
  for (Section& section : yard.sections)
    for (YardLength& length : section.lengths) {
      mark(length);
      std::for_each(length.bundles.begin(), length.bundles.end(), mark);
    }
  for (FixingItem& item : yard.fixings) std::for_each(item.packs.begin(), item.packs.end(), mark);
  std::for_each(yard.panels.begin(), yard.panels.end(), mark);
  std::for_each(yard.ground.begin(), yard.ground.end(), mark);
  std::for_each(yard.preservatives.begin(), yard.preservatives.end(), mark);
  yard.terms = {};
  return yard;
}

}  // namespace

Money with_tax(Money listed, const Terms& terms) {
  return {listed.minor + (listed.minor * terms.tax + 5'000) / 10'000};
}

Yard market(std::span<const Yard> yards, YardSet which, std::span<const int> times) {
  const std::vector<Yard> agreed = agreeing(yards);
  Yard all;
  bool first = true;
  for (std::size_t i = 0; i < agreed.size(); ++i) {
    if (!(which >> i & 1)) continue;
    const Yard yard = marked(agreed[i], static_cast<int>(i), times.empty() ? 1 : times[i]);
    if (first) {
      all = yard;
      first = false;
      continue;
    }
    all.title += " and " + yard.title;
    join_all(all.sections, yard.sections);
    join_all(all.fixings, yard.fixings);
    join_all(all.panels, yard.panels);
    all.ground.insert(all.ground.end(), yard.ground.begin(), yard.ground.end());
    all.preservatives.insert(all.preservatives.end(), yard.preservatives.begin(), yard.preservatives.end());
    for (const auto& role : yard.defaults)
      if (!find_default(all, role.first)) all.defaults.push_back(role);
    std::sort(all.defaults.begin(), all.defaults.end());
    forget_bags(all);
  }
  return all;
}

std::string unlike(const Yard& first, const Yard& other, const std::string& section) {
  const auto a = find_section(first, section), b = find_section(other, section);
  if (!a || !b || alike(**a, **b)) return {};
  const auto told = [](const Section& s) {
    return fmt::format("{:g} x {:g} mm, {}, {}", s.width_mm, s.thickness_mm,
                       s.strength_class.empty() ? "no class" : s.strength_class,
                       s.treatment.empty() ? "untreated" : s.treatment);
  };
  return fmt::format("{} where {}'s is {}", told(**b), first.title, told(**a));
}

}  // namespace garthwright::timber
