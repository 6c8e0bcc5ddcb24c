// SPDX-License-Identifier: Apache-2.0
#include "buying/buying.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "base/quoted.h"
#include "buying/goods.h"
#include "buying/lengths.h"
#include "buying/packs.h"

namespace garthwright::buying {
namespace {

using timber::Yard;

void tell(Report& report, const Diagnostics& diagnostics) {
  report.diagnostics.insert(report.diagnostics.end(), diagnostics.begin(), diagnostics.end());
}

std::int64_t cost_of(std::span<const timber::Pack> packs, const std::vector<int>& quantities) {
  std::int64_t cost = 0;
  for (std::size_t i = 0; i < packs.size(); ++i) cost += quantities[i] * packs[i].price.minor;
  return cost;
}

/// As few of the spare ones on hand as the least cost asks for: what is kept serves the next job.
int spares_to_use(std::span<const timber::Pack> packs, int needed, int spare) {
  const int most = std::min(needed, spare);
  const auto cost = [&](int used) { return cost_of(packs, least_cost_packs(packs, needed - used)); };
  const std::int64_t least = cost(most);
  int low = 0, high = most;  // cost never rises with what is used
  while (low < high) {
    const int middle = low + (high - low) / 2;
    if (cost(middle) == least)
      high = middle;
    else
      low = middle + 1;
  }
  return low;
}

/// A line for each pack size taken, dearest pack first; `needed` on the first.
void buy_packs(const timber::FixingItem& item, int needed, int spare, Report& report) {
  const int used = spares_to_use(item.packs, needed, spare);
  if (used > 0) report.from_shed.fixings.push_back({item.name, used});
  const std::vector<int> quantities = least_cost_packs(item.packs, needed - used);
  bool first = true;
  int held = 0;
  for (std::size_t i = item.packs.size(); i-- > 0;) {
    if (quantities[i] == 0) continue;
    const timber::Pack& pack = item.packs[i];
    held += quantities[i] * pack.count;
    report.fixings.push_back({item.name, quantities[i], pack.price, first ? static_cast<double>(needed) : 0,
                              pack.count == 1 ? "each" : fmt::format("pack of {}", pack.count), pack.offer});
    first = false;
  }
  if (held > needed - used) report.left_over.fixings.push_back({item.name, held - (needed - used)});
}

int spare_of(const OnHand& on_hand, const std::string& item) {
  int spare = 0;
  for (const SpareFixing& fixing : on_hand.fixings)
    if (fixing.item == item) spare += fixing.quantity;
  return spare;
}

/// Bags of one kind are bought for all holes together: what is left in one goes into the next hole.
void buy_bags(const Yard& yard, const std::string& fill, double litres, Report& report) {
  if (litres <= 0.01) return;
  const timber::GroundItem* bag = bag_for(yard, fill, litres);
  if (bag == nullptr) {
    std::string kinds;
    for (const timber::GroundItem& item : yard.ground) kinds += (kinds.empty() ? "" : ", ") + item.name;
    report.diagnostics.push_back({Severity::warning,
                                  "unknown-ground",
                                  fmt::format("{} sells no {} for {:.0f} l of holes", yard.title, quoted(fill), litres),
                                  kinds.empty() ? "" : "it sells " + kinds,
                                  {}});
    return;
  }
  report.ground.push_back(
      {bag->name, bags_for(*bag, litres), bag->price, litres, fmt::format("{} kg bag", bag->bag_kg), bag->offer});
}

double end_area(const Piece& piece) { return piece.width.value() * piece.thickness.value(); }

/// Fresh timber laid open by the saw, mm²: both ends, and of each notch its bottom and two shoulders.
double cut_area(const Piece& piece) {
  double area = 2 * end_area(piece);
  for (const Machining& machining : piece.machining) {
    const auto* notch = std::get_if<Notch>(&machining);
    if (notch == nullptr) continue;
    const Vec3 size = notch->region.size();
    const bool by_edge = notch->opens_on == Face::edge_low || notch->opens_on == Face::edge_high;
    area += by_edge ? size.z * (size.x + 2 * size.y) : size.y * (size.x + 2 * size.z);
  }
  return area;
}

Fills fills_of(const Garden& garden) {
  Fills fills;
  for (const Structure& structure : garden.structures)
    for (const Footing& footing : structure.footings) fills.add(footing.fill, hole_fill(structure, footing));
  return fills;
}

}  // namespace

std::string price_note(const Yard& yard) {
  return yard.note + (yard.note.empty() ? "" : ", ") + "as of " + yard.price_date;
}

void buy_fixings(const Garden& garden, const Yard& yard, const OnHand& on_hand, Report& report) {
  std::map<std::string, int> needed;
  for (const Structure& structure : garden.structures) {
    for (const Fixing& fixing : structure.fixings) ++needed[fixing.item];
    for (const Item& item : structure.items) ++needed[item.name];
  }
  for (const timber::FixingItem& item : yard.fixings) {
    const auto count = needed.find(item.name);
    if (count == needed.end()) continue;
    buy_packs(item, count->second, spare_of(on_hand, item.name), report);
    needed.erase(count);
  }
  for (const auto& [name, count] : needed) tell(report, timber::find_fixing(yard, name).error());
}

void buy_panels(const Garden& garden, const Yard& yard, Report& report) {
  std::map<std::string, int> needed;
  for (const Structure& structure : garden.structures)
    for (const Panel& panel : structure.panels)
      if (!panel.item.empty()) ++needed[panel.item];  // without one, people have the panel already
  for (const timber::PanelItem& item : yard.panels) {
    const auto count = needed.find(item.name);
    if (count == needed.end()) continue;
    report.panels.push_back(
        {item.name, count->second, item.price, static_cast<double>(count->second), "each", item.offer});
    needed.erase(count);
  }
  for (const auto& [name, count] : needed) tell(report, timber::find_panel(yard, name).error());
}

void Fills::add(const std::string& fill, const HoleFill& litres) {
  // Holes filled with gravel alone take it from the same bags.
  (fill == "gravel" ? gravel : concrete[fill]) += litres.concrete_l;
  gravel += litres.gravel_l;
}

void buy_fills(const Fills& fills, const Yard& yard, Report& report) {
  for (const auto& [fill, litres] : fills.concrete) buy_bags(yard, fill, litres, report);
  buy_bags(yard, "gravel", fills.gravel, report);
}

double cut_treated_m2(const Garden& garden) {
  double square_metres = 0;
  for (const Structure& structure : garden.structures)
    for (const Piece& piece : structure.pieces)
      if (!structure[piece.section].treatment.empty()) square_metres += cut_area(piece) / 1e6;
  return square_metres;
}

/// Preservative for every cut in treated timber, from the tin that costs least in all.
void buy_preservative(const Garden& garden, const Yard& yard, Report& report) {
  const double square_metres = cut_treated_m2(garden);
  if (square_metres == 0 || yard.preservatives.empty()) return;
  const auto litres = [&](const timber::PreservativeItem& tin) { return square_metres / tin.covers_m2_per_l; };
  const auto tins = [&](const timber::PreservativeItem& tin) {
    return static_cast<int>(std::ceil(litres(tin) / tin.tin_l));
  };
  const auto best =
      std::min_element(yard.preservatives.begin(), yard.preservatives.end(),
                       [&](const auto& a, const auto& b) { return tins(a) * a.price.minor < tins(b) * b.price.minor; });
  report.extras.push_back(
      {best->name, tins(*best), best->price, litres(*best), fmt::format("{} l tin", best->tin_l), best->offer});
}

Money total_of(const Report& report) {
  Money total;
  for (const TimberLine& line : report.timber) total.minor += line.quantity * line.unit_price.minor;
  for (const auto* lines : {&report.fixings, &report.panels, &report.ground, &report.extras})
    for (const ItemLine& line : *lines) total.minor += line.quantity * line.unit_price.minor;
  return total;
}

Report buy_at(const Garden& garden, const Yard& yard, const Saw& saw, const OnHand& on_hand, Cutter& cutter) {
  Report report;
  report.currency = yard.currency;
  report.price_note = price_note(yard);
  buy_lengths(garden, yard, saw, on_hand, cutter, report);
  buy_fixings(garden, yard, on_hand, report);
  buy_panels(garden, yard, report);
  buy_fills(fills_of(garden), yard, report);
  buy_preservative(garden, yard, report);
  report.total = total_of(report);
  const std::int64_t rest = report.total.minor - report.proof.cost.minor;  // exact by itself
  report.whole = {report.total, {rest + report.proof.lower_bound.minor}, report.proof.optimal};
  return report;
}

Report buy(const Garden& garden, const Yard& yard, const Saw& saw, const OnHand& on_hand,
           const cutting::Options& cutting) {
  Cutter cutter(cutting);
  return buy_at(garden, yard, saw, on_hand, cutter);
}

}  // namespace garthwright::buying
