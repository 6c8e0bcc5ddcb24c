// SPDX-License-Identifier: Apache-2.0
#include "plan/side_by_side.h"

#include <fmt/format.h>

#include <cmath>
#include <map>

#include "solid/neighbours.h"
#include "structure/garden_frame.h"

namespace garthwright {
namespace {

constexpr double kHands = 80;  // mm: a hand with a driver or a brush does not go through less (our own)

/// All that two owners do to each other.
struct Between {
  solid::Neighbours worst;
  int clashes = 0;
};

class Walk {
 public:
  Walk(const Garden& garden, LengthStyle style)
      : structures_(garden.structures), existing_(garden.existing), style_(style) {}

  Diagnostics run(const std::vector<solid::Solids>& solids) {
    std::vector<solid::Block> blocks;
    for (std::size_t i = 0; i < structures_.size(); ++i)
      for (solid::Block& b : solid::blocks_of(structures_[i], solids[i], garden_frame(structures_[i]), i))
        blocks.push_back(std::move(b));
    for (std::size_t i = 0; i < existing_.size(); ++i)
      blocks.push_back(solid::block_of(existing_[i], structures_.size() + i));
    for (const auto& [owners, between] : pairs(blocks)) tell(blocks, owners.first, owners.second, between);
    holes();
    return std::move(found_);
  }

 private:
  using Owners = std::pair<std::size_t, std::size_t>;

  std::map<Owners, Between> pairs(const std::vector<solid::Block>& blocks) const {
    std::map<Owners, Between> all;
    for (const solid::Neighbours& n : solid::neighbours(blocks, kHands)) {
      const auto [at, is_new] = all.try_emplace({blocks[n.a].owner, blocks[n.b].owner}, Between{n, 0});
      Between& known = at->second;
      known.clashes += n.shared_mm3 > 0;
      const bool worse = n.shared_mm3 != known.worst.shared_mm3 ? n.shared_mm3 > known.worst.shared_mm3
                                                                : n.apart_mm < known.worst.apart_mm;
      if (worse) known.worst = n;
    }
    return all;
  }

  bool exists(std::size_t owner) const { return owner >= structures_.size(); }
  const Existing& existing(std::size_t owner) const { return existing_[owner - structures_.size()]; }
  std::string name_of(std::size_t owner) const {
    return exists(owner) ? "the " + existing(owner).name : structures_[owner].name;
  }
  /// "left post A1 of the arbor", "the old apple tree".
  std::string who(const solid::Block& block) const {
    if (exists(block.owner)) return name_of(block.owner);
    return fmt::format("{} of {}", describe(structures_[block.owner], block.body), name_of(block.owner));
  }

  void tell(const std::vector<solid::Block>& blocks, std::size_t a, std::size_t b, const Between& between) {
    if (exists(a) && exists(b)) return;  // how what is there stands is not ours
    const solid::Block &first = blocks[between.worst.a], &second = blocks[between.worst.b];
    if (between.worst.shared_mm3 > 0) {
      const std::string more =
          between.clashes > 1 ? fmt::format(", and {} more such places", between.clashes - 1) : std::string();
      say(Severity::error, "parts-clash",
          fmt::format("{} and {} stand in one place: {} and {} share {:.1f} cm³{}", name_of(a), name_of(b), who(first),
                      who(second), between.worst.shared_mm3 / 1000, more),
          exists(b) ? "move the structure by its `at`" : "move one of them by its `at`", first);
      return;
    }
    const bool wall = exists(b) && existing(b).kind == Existing::Kind::wall;
    if (wall) return;  // things lean on walls
    if (between.worst.apart_mm == 0)
      say(Severity::warning, "parts-touch",
          fmt::format("{} touches {}, and nothing joins them", who(first), who(second)),
          "leave room between them, or fix them together by a joint of your own", first);
    else
      say(Severity::warning, "parts-near",
          fmt::format("{} stands {} from {}: less than hands need to fix and to paint", who(first),
                      format_length(std::round(between.worst.apart_mm), style_), who(second)),
          fmt::format("leave {} or more", format_length(kHands, style_)), first);
  }

  void holes() {
    for (std::size_t i = 0; i < structures_.size(); ++i)
      for (std::size_t j = i + 1; j < structures_.size(); ++j)
        for (const Footing& f : structures_[i].footings)
          for (const Footing& g : structures_[j].footings) {
            const Vec3 way =
                garden_frame(structures_[i]).to_world(f.centre) - garden_frame(structures_[j]).to_world(g.centre);
            const double apart = std::hypot(way.x, way.y);
            if (apart >= (f.diameter + g.diameter) / 2) continue;
            found_.push_back({Severity::warning,
                              "holes-meet",
                              fmt::format("the holes of {} of {} and of {} of {} run into each other: their posts "
                                          "stand {} apart",
                                          describe(structures_[i], body(f.post)), structures_[i].name,
                                          describe(structures_[j], body(g.post)), structures_[j].name,
                                          format_length(std::round(apart), style_)),
                              "let one take the other's post (`shares`), dig them as one and fill them together, or "
                              "move one of the two",
                              {{}, 0, 0, describe(structures_[i], body(f.post))}});
          }
  }

  void say(Severity severity, const char* code, std::string what, std::string cure, const solid::Block& about) {
    found_.push_back(
        {severity, code, std::move(what), std::move(cure), {{}, 0, 0, describe(structures_[about.owner], about.body)}});
  }

  const std::vector<Structure>& structures_;
  const std::vector<Existing>& existing_;
  LengthStyle style_;
  Diagnostics found_;
};

}  // namespace

Diagnostics side_by_side(const Garden& garden, const std::vector<solid::Solids>& solids, LengthStyle style) {
  if (garden.structures.size() + garden.existing.size() < 2) return {};
  return Walk(garden, style).run(solids);
}

}  // namespace garthwright
