// SPDX-License-Identifier: Apache-2.0
#include "decide/rough_price.h"

#include <algorithm>

#include "buying/buying.h"
#include "buying/lengths.h"

namespace garthwright::decide {
namespace {

void note(std::map<std::string, double>& least, const std::string& name, double price) {
  const auto [at, fresh] = least.emplace(name, price);
  if (!fresh) at->second = std::min(at->second, price);
}

double price_of(const std::map<std::string, double>& least, const std::string& name) {
  const auto at = least.find(name);
  return at == least.end() ? 0 : at->second;
}

}  // namespace

RoughPrices::RoughPrices(const pattern::Job& job, bool free_timber, bool free_fixings)
    : each_(job.yards), free_timber_(free_timber), free_fixings_(free_fixings), rips_(job.saw.rip_kerf_mm.has_value()) {
  for (const timber::Section& section : job.yard.sections)
    for (const timber::YardLength& length : section.lengths) {
      if (length.singly) note(per_mm_, section.name, static_cast<double>(length.price.minor) / length.length_mm);
      for (const timber::Pack& bundle : length.bundles)
        note(per_mm_, section.name, static_cast<double>(bundle.price.minor) / (bundle.count * length.length_mm));
    }
  for (const timber::GroundItem& bag : job.yard.ground)
    for (const std::string& name : {bag.kind, bag.name})
      note(per_litre_, name, static_cast<double>(bag.price.minor) / bag.yield_l);
  for (const timber::PanelItem& panel : job.yard.panels)
    note(per_panel_, panel.name, static_cast<double>(panel.price.minor));
}

double RoughPrices::of(const Garden& garden) const {
  double sum = 0;
  for (const Structure& structure : garden.structures) {
    sum += timber(structure) + holes(structure) + fixings(structure);
    for (const Panel& panel : structure.panels) sum += price_of(per_panel_, panel.item);
  }
  return sum;
}

double RoughPrices::timber(const Structure& structure) const {
  if (free_timber_) return 0;
  double sum = 0;
  for (const Piece& piece : structure.pieces)
    if (!rips_ || !buying::may_rip(piece))  // what is ripped may cost a part of its own section
      sum += piece.length.value() * price_of(per_mm_, structure[piece.section].name);
  return sum;
}

double RoughPrices::holes(const Structure& structure) const {
  double sum = 0;
  for (const Footing& footing : structure.footings) {
    const buying::HoleFill fill = buying::hole_fill(structure, footing);
    sum += fill.concrete_l * price_of(per_litre_, footing.fill) + fill.gravel_l * price_of(per_litre_, "gravel");
  }
  return sum;
}

double RoughPrices::fixings(const Structure& structure) const {
  if (free_fixings_) return 0;
  double sum = 0;
  for (std::size_t i = 0; i < structure.connections.size(); ++i) {
    if (!may_change(structure.connections[i])) continue;
    std::optional<double> least;
    for (const std::string& text : structure.connections[i].candidates)
      if (const std::optional<double> price = each_.of_text(text); price && (!least || *price < *least)) least = price;
    sum += least.value_or(0) * joints_of(structure, i);
  }
  return sum;
}

bool may_change(const Connection& connection) { return !connection.given && connection.candidates.size() > 1; }

double joints_of(const Structure& structure, std::size_t connection) {
  const auto fixings = std::count_if(structure.fixings.begin(), structure.fixings.end(), [&](const Fixing& fixing) {
    return fixing.connection == static_cast<int>(connection);
  });
  return static_cast<double>(fixings) /
         std::max(1, parse_fixing_text(structure.connections[connection].candidates.front()).count);
}

}  // namespace garthwright::decide
