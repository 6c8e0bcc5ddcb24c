// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cmath>
#include <numbers>

#include "buying/goods.h"

namespace garthwright::buying {

HoleSizes hole_sizes(const Structure& structure, const Footing& footing) {
  const Piece& post = structure[footing.post];
  return {footing.diameter, footing.depth, footing.gravel, post.width.value() * post.thickness.value(),
          footing.centre.z - world_box(structure, body(footing.post)).min.z};
}

HoleFill hole_fill(const Structure& structure, const Footing& footing) {
  return hole_fill(hole_sizes(structure, footing));
}

HoleFill hole_fill(const HoleSizes& sizes) {
  const double hole = std::numbers::pi / 4 * sizes.diameter * sizes.diameter;
  const double timber = std::min(sizes.post_area, hole);
  const double in_hole = std::clamp(sizes.post_below, 0.0, sizes.depth);
  const double gravel = std::clamp(sizes.gravel, 0.0, sizes.depth);
  const double in_concrete = std::min(in_hole, sizes.depth - gravel);
  constexpr double kCubicMillimetresPerLitre = 1e6;
  return {(hole * (sizes.depth - gravel) - timber * in_concrete) / kCubicMillimetresPerLitre,
          (hole * gravel - timber * (in_hole - in_concrete)) / kCubicMillimetresPerLitre};
}

int bags_for(const timber::GroundItem& bag, double litres) {
  // A hair over a whole bag (a hundredth of a litre) is no reason to buy another.
  return litres <= 0.01 ? 0 : static_cast<int>(std::ceil((litres - 0.01) / bag.yield_l));
}

const timber::GroundItem* bag_for(const timber::Yard& yard, const std::string& fill, double litres) {
  const auto role = timber::find_default(yard, fill);
  const auto cost = [&](const timber::GroundItem& bag) { return bags_for(bag, litres) * bag.price.minor; };
  const timber::GroundItem *named = nullptr, *of_kind = nullptr;  // several yards may sell a bag of one name
  const auto keep = [&](const timber::GroundItem*& best, const timber::GroundItem& bag) {
    if (best == nullptr || cost(bag) < cost(*best)) best = &bag;
  };
  for (const timber::GroundItem& bag : yard.ground) {
    if (bag.name == fill || (role && bag.name == *role)) keep(named, bag);
    if (bag.kind == fill) keep(of_kind, bag);
  }
  return named != nullptr ? named : of_kind;
}

FilledHole filled(const Structure& structure, const Footing& footing, const timber::Yard& yard,
                  const std::vector<ItemLine>& bought) {
  timber::Yard brought = yard;
  std::erase_if(brought.ground, [&](const timber::GroundItem& bag) {
    return std::none_of(bought.begin(), bought.end(), [&](const ItemLine& line) {
      return line.name == bag.name && line.offer.yard == bag.offer.yard;
    });
  });
  FilledHole hole{hole_fill(structure, footing), "", 0};
  const timber::GroundItem* bag = bag_for(brought, footing.fill, hole.litres.concrete_l);
  if (bag != nullptr) hole.bag = bag->name, hole.bags = bags_for(*bag, hole.litres.concrete_l);
  return hole;
}

}  // namespace garthwright::buying
