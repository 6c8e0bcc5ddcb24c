// SPDX-License-Identifier: Apache-2.0
#include "plan/swept.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/patience.h"
#include "solid/neighbours.h"
#include "structure/garden_frame.h"
#include "structure/swinging.h"

namespace garthwright {
namespace {

constexpr double kStepDeg = 2;      // 40 mm on the way of a leaf 1.2 m wide
constexpr double kTouching = 0.01;  // mm: all that is nearer is looked at
constexpr double kScrapes = 1;      // mm³: less is a matter of rounding
constexpr int kAlongTheFoot = 5;    // places of its foot that are held over the ground

Frame placed(const Frame& garden, const Frame& own) {
  return {garden.to_world(own.origin), garden.direction_to_world(own.x), garden.direction_to_world(own.y),
          garden.direction_to_world(own.z)};
}

class Swept {
 public:
  Swept(const Garden& garden, LengthStyle style)
      : structures_(garden.structures), existing_(garden.existing), ground_(garden.ground), style_(style) {}

  Diagnostics run(const std::vector<solid::Solids>& solids) {
    for (std::size_t i = 0; i < structures_.size(); ++i)
      for (const Swing& swing : structures_[i].swings) {
        look_for_strikes(solids, i, swing);
        look_at_ground(i, swing);
      }
    return std::move(found_);
  }

 private:
  bool is_leaf(const Swing& swing, Body b) const {
    return std::find(swing.leaf.begin(), swing.leaf.end(), b) != swing.leaf.end();
  }

  /// All that stands still and that the leaf may reach; owners are the structures, then what is there already.
  std::vector<solid::Block> still(const std::vector<solid::Solids>& solids, std::size_t of, const Swing& swing) const {
    std::vector<solid::Block> all;
    for (std::size_t i = 0; i < structures_.size(); ++i)
      for (solid::Block& b : solid::blocks_of(structures_[i], solids[i], garden_frame(structures_[i]), i))
        if (i != of || !is_leaf(swing, b.body)) all.push_back(std::move(b));
    for (std::size_t i = 0; i < existing_.size(); ++i)
      all.push_back(solid::block_of(existing_[i], structures_.size() + i));
    const Box within = circle(of, swing);
    std::erase_if(all, [&](const solid::Block& b) { return !overlaps(b.box, within, 0); });
    return all;
  }

  /// A box round all that the leaf may reach, in the garden.
  Box circle(std::size_t of, const Swing& swing) const {
    double reach = 0;
    Box all = world_box(structures_[of], swing.leaf.front());
    for (const Body b : swing.leaf) all = enclosing(all, world_box(structures_[of], b));
    for (const double x : {all.min.x, all.max.x})
      for (const double y : {all.min.y, all.max.y})
        reach = std::max(reach, std::hypot(x - swing.axis.x, y - swing.axis.y));
    const Frame garden = garden_frame(structures_[of]);
    const Vec3 at = garden.to_world({swing.axis.x, swing.axis.y, 0});
    return {{at.x - reach, at.y - reach, at.z + all.min.z}, {at.x + reach, at.y + reach, at.z + all.max.z}};
  }

  std::vector<solid::Block> leaf_at(const solid::Solids& solids, std::size_t of, const Swing& swing,
                                    double degrees) const {
    const Structure& structure = structures_[of];
    const Frame garden = garden_frame(structure);
    std::vector<solid::Block> leaf;
    for (const Body b : swing.leaf) {
      solid::Block block{1, b, {}, {}};
      const Frame stands = placed(garden, turned(swing, frame_of(structure, b), degrees));
      for (const ConvexPart& part : solids.parts(b)) block.parts.push_back(placed(part, stands));
      if (block.parts.empty()) continue;
      block.box = block.parts.front().box;
      for (const ConvexPart& part : block.parts) block.box = enclosing(block.box, part.box);
      leaf.push_back(std::move(block));
    }
    return leaf;
  }

  void look_for_strikes(const std::vector<solid::Solids>& solids, std::size_t of, const Swing& swing) {
    const std::vector<solid::Block> others = still(solids, of, swing);
    std::vector<solid::Block> at_rest = others;  // of one owner: only what the leaf meets is looked for
    for (solid::Block& b : at_rest) b.owner = 0;
    const double way = swing.opens_deg < 0 ? -1 : 1, most = std::abs(swing.opens_deg);
    for (double open = kStepDeg; open < most + kStepDeg; open += kStepDeg) {
      look_at_the_clock();
      const double degrees = std::min(open, most);
      std::vector<solid::Block> blocks = at_rest;
      for (solid::Block& b : leaf_at(solids[of], of, swing, way * degrees)) blocks.push_back(std::move(b));
      for (const solid::Neighbours& n : solid::neighbours(blocks, kTouching)) {
        if (n.shared_mm3 < kScrapes) continue;
        found_.push_back({Severity::error,
                          "leaf-strikes",
                          fmt::format("{} of {} strikes {} when it is {:.0f}° open, and should open {:.0f}°",
                                      swing.name, structures_[of].name, who(others[n.a]), degrees, most),
                          "let it open the other way or less far, move what it strikes, or widen the gaps",
                          {{}, 0, 0, describe(structures_[of], blocks[n.b].body)}});
        return;
      }
    }
  }

  std::string who(const solid::Block& block) const {
    if (block.owner >= structures_.size()) return "the " + existing_[block.owner - structures_.size()].name;
    return describe(structures_[block.owner], block.body);
  }

  /// The foot of the leaf over the ground on its way.
  void look_at_ground(std::size_t of, const Swing& swing) {
    const Structure& structure = structures_[of];
    const Frame garden = garden_frame(structure);
    Box leaf = world_box(structure, swing.leaf.front());
    for (const Body b : swing.leaf) leaf = enclosing(leaf, world_box(structure, b));
    double worst = 0, worst_at = 0;
    for (double open = 0; open < std::abs(swing.opens_deg) + kStepDeg; open += kStepDeg) {
      const double degrees = std::min(open, std::abs(swing.opens_deg));
      const double turn = swing.opens_deg < 0 ? -degrees : degrees;
      for (int k = 0; k <= kAlongTheFoot; ++k) {
        const double part = static_cast<double>(k) / kAlongTheFoot;
        const Vec3 foot{leaf.min.x + part * leaf.size().x, leaf.min.y + part * leaf.size().y, leaf.min.z};
        const Frame moved = placed(garden, turned(swing, {foot, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}}, turn));
        const double over = moved.origin.z - ground_.at(moved.origin.x, moved.origin.y).level.value();
        if (over >= worst) continue;
        worst = over, worst_at = degrees;
      }
    }
    if (worst >= 0) return;
    const std::string by = format_length(std::ceil(-worst), style_);
    found_.push_back(
        {Severity::error,
         "leaf-drags",
         fmt::format("{} of {} drags on the ground when it is {:.0f}° open: the ground stands {} above its "
                     "foot there",
                     swing.name, structure.name, worst_at, by),
         fmt::format("raise it by {} or more, let it open downhill, or hang it on rising hinges", by),
         {{}, 0, 0, swing.name}});
  }

  const std::vector<Structure>& structures_;
  const std::vector<Existing>& existing_;
  const Ground& ground_;
  LengthStyle style_;
  Diagnostics found_;
};

}  // namespace

Diagnostics swept(const Garden& garden, const std::vector<solid::Solids>& solids, LengthStyle style) {
  return Swept(garden, style).run(solids);
}

}  // namespace garthwright
