// SPDX-License-Identifier: Apache-2.0
#include "solid/neighbours.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

#include "base/patience.h"

namespace garthwright::solid {
namespace {

constexpr double kTouch = 0.01;  // mm: as contacts within a structure are told (touching.h)
constexpr int kTrunkSides = 16;

void close_box(Block& block) {
  for (std::size_t i = 0; i < block.parts.size(); ++i)
    block.box = i == 0 ? block.parts[0].box : enclosing(block.box, block.parts[i].box);
}

/// Upright prism over a regular polygon that encloses a circle.
ConvexPart trunk(Vec3 at, double radius, double height) {
  std::vector<Vec3> vertices;
  std::vector<std::vector<int>> faces(2);
  const double corner = radius / std::cos(std::numbers::pi / kTrunkSides);
  for (int i = 0; i < kTrunkSides; ++i) {
    const double turn = 2 * std::numbers::pi * i / kTrunkSides;
    const Vec3 foot{at.x + corner * std::cos(turn), at.y + corner * std::sin(turn), at.z};
    vertices.push_back(foot);
    vertices.push_back(foot + Vec3{0, 0, height});
    const int next = 2 * ((i + 1) % kTrunkSides);
    faces.push_back({2 * i, next, next + 1, 2 * i + 1});
    faces[1].push_back(2 * i + 1);
    faces[0].insert(faces[0].begin(), 2 * i);
  }
  return convex_part(std::move(vertices), std::move(faces), true);
}

std::optional<Neighbours> met(const Block& a, const Block& b, double near) {
  double shared = 0, apart = near;
  for (const ConvexPart& p : a.parts)
    for (const ConvexPart& q : b.parts) {
      if (!overlaps(p.box, q.box, -apart)) continue;
      const double depth = penetration(p, q, apart);
      if (depth > kTouch) {
        if (const auto both = common(p, q)) shared += volume(*both);
      }
      apart = std::min(apart, std::max(0.0, -depth));
    }
  if (apart >= near) return std::nullopt;
  return Neighbours{0, 0, shared, apart <= kTouch ? 0 : apart};
}

}  // namespace

std::vector<Block> blocks_of(const Structure& structure, const Solids& solids, const Frame& garden, std::size_t owner) {
  std::vector<Block> blocks;
  const auto add = [&](Body b) {
    Block block{owner, b, {}, {}};
    const Frame& own = frame_of(structure, b);
    const Frame stands{garden.to_world(own.origin), garden.direction_to_world(own.x), garden.direction_to_world(own.y),
                       garden.direction_to_world(own.z)};
    for (const ConvexPart& part : solids.parts(b)) block.parts.push_back(placed(part, stands));
    close_box(block);
    if (!block.parts.empty()) blocks.push_back(std::move(block));
  };
  for (int i = 0; i < static_cast<int>(structure.pieces.size()); ++i) add(body(PieceId{i}));
  for (int i = 0; i < static_cast<int>(structure.panels.size()); ++i) add(body(PanelId{i}));
  return blocks;
}

Block block_of(const Existing& thing, std::size_t owner) {
  Block block{owner, kGround, {}, {}};
  if (thing.kind == Existing::Kind::tree) {
    block.parts = {trunk(thing.at, thing.width / 2, thing.height)};
  } else {
    const double c = cosd(thing.turn_deg), s = sind(thing.turn_deg);
    const Frame stands{thing.at, {c, s, 0}, {-s, c, 0}, {0, 0, 1}};
    block.parts = {placed(box_part({{0, 0, 0}, {thing.width, thing.depth, thing.height}}), stands)};
  }
  close_box(block);
  return block;
}

std::vector<Neighbours> neighbours(const std::vector<Block>& blocks, double near) {
  std::vector<std::size_t> order(blocks.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return blocks[a].box.min.x < blocks[b].box.min.x; });
  std::vector<Neighbours> found;
  std::vector<std::size_t> open;
  for (const std::size_t i : order) {
    look_at_the_clock();
    std::erase_if(open, [&](std::size_t j) { return blocks[j].box.max.x < blocks[i].box.min.x - near; });
    for (const std::size_t j : open) {
      if (blocks[i].owner == blocks[j].owner || !overlaps(blocks[i].box, blocks[j].box, -near)) continue;
      auto pair = met(blocks[std::min(i, j)], blocks[std::max(i, j)], near);
      if (!pair) continue;
      pair->a = std::min(i, j), pair->b = std::max(i, j);
      found.push_back(*pair);
    }
    open.push_back(i);
  }
  std::sort(found.begin(), found.end(), [](const Neighbours& x, const Neighbours& y) {
    return std::pair{x.a, x.b} < std::pair{y.a, y.b};
  });
  return found;
}

}  // namespace garthwright::solid
