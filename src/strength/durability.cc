// SPDX-License-Identifier: Apache-2.0
#include "strength/durability.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include "structure/tapering.h"

namespace garthwright::strength::durability {
namespace {

constexpr double kUpright = 0.7;           // cosine: a face that looks up; a timber that stands
constexpr double kCovers = 10;             // mm: a timber so near above keeps the rain off
constexpr double kSheds = 0.99;            // cosine: an end cut flatter than this sheds no water
constexpr double kLong = 150, kWide = 40;  // mm: a flat lap so large does not dry between rains (our own)

struct Natural {
  std::string_view species;
  int durability_class;
};
constexpr std::array kNatural = {Natural{"oak", 2},     Natural{"chestnut", 2}, Natural{"robinia", 2},
                                 Natural{"cedar", 3},   Natural{"redwood", 4},  Natural{"larch", 4},
                                 Natural{"douglas", 4}, Natural{"pine", 4},     Natural{"spruce", 5},
                                 Natural{"fir", 5},     Natural{"hemlock", 5}};

bool looks_up(const Piece& p, Vec3 local) { return p.frame.direction_to_world(local).z > kUpright; }

bool covered_above(const Structure& s, PieceId id, const Box& top) {
  for (std::size_t p = 0; p < s.pieces.size(); ++p) {
    if (static_cast<int>(p) == id.index) continue;
    const Box box = world_box(s, body(PieceId{static_cast<int>(p)}));
    const bool over = box.min.x < top.max.x && box.max.x > top.min.x && box.min.y < top.max.y && box.max.y > top.min.y;
    const double wide = std::min(box.max.x, top.max.x) - std::max(box.min.x, top.min.x),
                 deep = std::min(box.max.y, top.max.y) - std::max(box.min.y, top.min.y);
    const double share = over ? wide * deep / std::max(1.0, top.size().x * top.size().y) : 0;
    if (share > 0.9 && box.min.z > top.max.z - kCovers && box.min.z < top.max.z + kCovers) return true;
  }
  return false;
}

}  // namespace

double stake_years(int durability_class) {
  constexpr std::array<double, 5> kYears = {25, 15, 10, 5, 2};
  return kYears[static_cast<std::size_t>(std::clamp(durability_class, 1, 5) - 1)];
}

std::optional<int> natural_class(std::string_view species) {
  std::optional<int> worst;
  for (const Natural& n : kNatural)
    if (species.find(n.species) != std::string_view::npos) worst = std::max(worst.value_or(0), n.durability_class);
  return worst;
}

bool for_the_ground(const timber::Section& section) {
  return section.treatment.starts_with("UC4") || section.treatment.starts_with("UC5");
}

double ground_years(const timber::Section& section) {
  if (for_the_ground(section)) return kTreatedYears;
  const double thicker = std::max(1.0, std::min(section.width_mm, section.thickness_mm) / kStake);
  return stake_years(natural_class(section.species).value_or(5)) * thicker;
}

std::vector<Wet> water_traps(const Structure& s) {
  std::vector<Wet> found;
  for (std::size_t i = 0; i < s.pieces.size(); ++i) {
    const PieceId id{static_cast<int>(i)};
    const Piece& p = s.pieces[i];
    if (std::abs(p.frame.x.z) > kUpright) {
      const End top = p.frame.x.z > 0 ? End::finish : End::start;
      bool shaped = false;
      for (const Machining& m : p.machining) {
        if (const auto* cut = std::get_if<EndCut>(&m); cut != nullptr && !taper_of(p, *cut))
          shaped |= cut->end == top && std::abs(unit(cut->normal).x) < kSheds;
        if (const auto* end = std::get_if<ShapedEnd>(&m)) shaped |= end->end == top;
      }
      const double at = top == End::finish ? p.length.value() : 0;
      const Box face = world_box(p.frame, {{at, 0, 0}, {at, p.width.value(), p.thickness.value()}});
      if (!shaped && !covered_above(s, id, face)) found.push_back({Trap::end_grain_up, id});
    }
    for (const Machining& m : p.machining)
      if (const auto* notch = std::get_if<Notch>(&m); notch != nullptr && looks_up(p, outward(notch->opens_on)))
        found.push_back({Trap::notch_to_the_sky, id});
  }
  for (const Joint& j : s.joints) {
    if (j.a.kind != Body::Kind::piece || j.b.kind != Body::Kind::piece || std::abs(j.normal.z) < kUpright) continue;
    if (j.patch.empty()) continue;
    const Piece& lower = s.pieces[static_cast<std::size_t>(j.normal.z > 0 ? j.a.index : j.b.index)];
    double length = 0, width = 0;
    for (const Vec3& from : j.patch)
      for (const Vec3& to : j.patch) {
        length = std::max(length, std::abs(dot(to - from, lower.frame.x)));
        width = std::max(width, std::abs(dot(to - from, cross({0, 0, 1}, lower.frame.x))));
      }
    if (length >= kLong && width >= kWide)
      found.push_back({Trap::flat_lap, PieceId{j.normal.z > 0 ? j.a.index : j.b.index}});
  }
  return found;
}

}  // namespace garthwright::strength::durability
