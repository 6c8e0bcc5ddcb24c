// SPDX-License-Identifier: Apache-2.0
#include "marking/cutting_order.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>

#include "structure/joint_index.h"
#include "structure/marks.h"

namespace garthwright::marking {
namespace {

constexpr double kSameLength = 0.05;
constexpr double kSectionOff = 1, kCutOff = 1, kHoleOff = 10, kWallOff = 5;  // mm of scatter, one standard of each

/// Two bodies that a piece has to fit, and whether it does so with its ends.
struct Fit {
  std::vector<Body> partners;
  bool by_ends = false;
};

/// Does the piece meet this joint with an end (square or mitred)?
std::optional<End> end_at(const Piece& piece, const Joint& joint, Body self) {
  const Vec3 at = piece.frame.to_local(joint.point);
  const Vec3 normal = piece.frame.direction_to_local(joint.a == self ? joint.normal : -joint.normal);
  const double length = piece.length.value();
  if (std::abs(normal.x) < 0.3) return std::nullopt;  // along its side
  const double near = piece.width.value();
  if (normal.x < 0 && at.x < near) return End::start;
  if (normal.x > 0 && at.x > length - near) return End::finish;
  return std::nullopt;
}

Fit fit_of(const Structure& structure, const JointIndex& index, PieceId id) {
  const Piece& piece = structure[id];
  const Body self = body(id);
  std::optional<Body> start, finish;
  for (const JointId at : index.joints_of(self)) {
    const Joint& joint = structure[at];
    const Body other = joint.a == self ? joint.b : joint.a;
    const bool founded = joint.kind == JointKind::in_ground || joint.kind == JointKind::on_shoe;
    const auto end = founded ? std::nullopt : end_at(piece, joint, self);
    if (end) (*end == End::start ? start : finish) = other;
  }
  if (start && finish) return {{*start, *finish}, true};
  Fit fit;
  for (const Machining& machining : piece.machining) {
    const auto* notch = std::get_if<Notch>(&machining);
    if (notch == nullptr || (notch->against.index < 0 && notch->against.kind == Body::Kind::piece)) continue;
    if (std::find(fit.partners.begin(), fit.partners.end(), notch->against) == fit.partners.end())
      fit.partners.push_back(notch->against);
  }
  for (const auto& end : {start, finish})
    if (end && std::find(fit.partners.begin(), fit.partners.end(), *end) == fit.partners.end())
      fit.partners.push_back(*end);
  return fit;
}

/// A chain from one body to another and its scatter squared.
struct Chain {
  double variance = 0;
  bool through_ground = false, through_wall = false;
};

double own_variance(const Structure& structure, Body b) {
  switch (b.kind) {
    case Body::Kind::piece:
      return kSectionOff * kSectionOff + (structure[PieceId{b.index}].measure_in_place ? 0 : kCutOff * kCutOff);
    case Body::Kind::panel:
      return kCutOff * kCutOff;
    case Body::Kind::ground:
    case Body::Kind::wall:
      return 0;  // counted where a body stands in or on it
  }
  return 0;
}

/// The chain of least scatter (Dijkstra) from `from` to `to` that does without the pieces of a mark. The ground and the
/// wall are one body: the wall stands on the ground.
std::optional<Chain> best_chain(const Structure& structure, const JointIndex& index, Body from, Body to,
                                const std::vector<PieceId>& without) {
  std::vector<JointId> outside = index.joints_of(kGround);
  outside.insert(outside.end(), index.joints_of(kWall).begin(), index.joints_of(kWall).end());
  std::sort(outside.begin(), outside.end());
  const auto merged = [](Body b) { return b == kWall ? kGround : b; };
  const std::size_t pieces = structure.pieces.size();
  const auto place = [&](Body b) {
    const auto at = static_cast<std::size_t>(b.index);
    return b.kind == Body::Kind::piece   ? at
           : b.kind == Body::Kind::panel ? pieces + at
                                         : pieces + structure.panels.size();
  };
  std::vector<char> done(pieces + structure.panels.size() + 1, 0);
  for (const PieceId id : without) done[place(body(id))] = 1;
  std::map<Body, Chain> open;  // reached, and not done
  open[merged(from)] = {};
  done[place(merged(from))] = 0;
  while (!open.empty()) {
    auto next = open.begin();
    for (auto at = std::next(next); at != open.end(); ++at)
      if (at->second.variance < next->second.variance - 1e-12) next = at;
    const auto [here, so_far] = *next;
    if (here == merged(to)) return so_far;
    open.erase(next);
    done[place(here)] = 1;
    for (const JointId of : here == kGround ? outside : index.joints_of(here)) {
      const Joint& joint = structure[of];
      const Body other = merged(joint.a) == here ? joint.b : joint.a;
      if (done[place(merged(other))]) continue;
      Chain chain = so_far;
      if (other != to) chain.variance += own_variance(structure, other);
      if (joint.a == kGround || joint.b == kGround) chain.variance += kHoleOff * kHoleOff, chain.through_ground = true;
      if (joint.a == kWall || joint.b == kWall) chain.variance += kWallOff * kWallOff, chain.through_wall = true;
      const auto [at, fresh] = open.emplace(merged(other), chain);
      if (!fresh && chain.variance < at->second.variance - 1e-12) at->second = chain;
    }
  }
  return std::nullopt;
}

std::string called(const Structure& structure, Body b) {
  if (b.kind != Body::Kind::piece) return describe(structure, b);
  const Piece& piece = structure[PieceId{b.index}];
  return piece.name + " " + piece.mark;
}

/// The worst pair of things that the pieces of a mark have to fit, when it is worse than a joint takes up.
std::optional<InPlace> run(const Structure& structure, const JointIndex& index, const MarkGroup& group, const Saw& saw,
                           LengthStyle style) {
  const double most = kTakesUp + saw.fit_mm;
  std::optional<InPlace> worst;
  // Pieces of one mark meet the same things; the first speaks for them.
  const Fit fit = fit_of(structure, index, group.pieces.front());
  for (std::size_t i = 0; i < fit.partners.size(); ++i) {
    for (std::size_t j = i + 1; j < fit.partners.size(); ++j) {
      const auto chain = best_chain(structure, index, fit.partners[i], fit.partners[j], group.pieces);
      if (!chain) continue;  // nothing but the piece itself holds them apart
      const double scatter = std::sqrt(chain->variance);
      if (scatter <= most || (worst && scatter <= worst->scatter_mm)) continue;
      InPlace found;
      found.what = fit.by_ends ? InPlace::What::length : InPlace::What::notches;
      found.scatter_mm = scatter;
      const std::string through = chain->through_wall && chain->through_ground ? "the wall and holes in the ground"
                                  : chain->through_ground                      ? "holes in the ground"
                                  : chain->through_wall                        ? "the wall"
                                                                               : "many cuts";
      found.why = fmt::format("from {} to {} the sizes run through {}: known to about {}, a joint takes up {}",
                              called(structure, fit.partners[i]), called(structure, fit.partners[j]), through,
                              format_length(std::round(scatter), style), format_length(most, style));
      worst = found;
    }
  }
  return worst;
}

}  // namespace

CuttingOrder cutting_order(const Garden& garden, const Saw& saw, LengthStyle style, Heads heads) {
  CuttingOrder order;
  std::vector<Cut> cuts;
  for (const Structure& structure : garden.structures) {
    const JointIndex index(structure);
    for (const MarkGroup& group : marks(structure)) {
      const Piece& piece = structure[group.pieces.front()];
      const bool left_long = heads == Heads::in_place && is_founded(structure, group.pieces.front());
      const Cut cut{group.mark, static_cast<int>(group.pieces.size()),
                    piece.length.value() + (left_long ? kLeftLong : 0)};
      std::optional<InPlace> in_place;
      if (left_long) {
        in_place = InPlace{};
        in_place->what = InPlace::What::head;
        in_place->why = fmt::format("left {} long; all heads are cut at one level when the posts stand",
                                    format_length(kLeftLong, style));
      } else if (piece.measure_in_place) {
        in_place = InPlace{};
        in_place->why = "its neighbours have to stand first";
      } else {
        in_place = run(structure, index, group, saw, style);
      }
      if (in_place) {
        in_place->mark = cut.mark;
        in_place->count = cut.count;
        in_place->length_mm = cut.length_mm;
        order.in_place.push_back(*in_place);
      }
      if (!in_place || in_place->what != InPlace::What::length) cuts.push_back(cut);
    }
  }
  std::stable_sort(cuts.begin(), cuts.end(), [](const Cut& a, const Cut& b) { return a.length_mm > b.length_mm; });
  std::stable_sort(order.in_place.begin(), order.in_place.end(),
                   [](const InPlace& a, const InPlace& b) { return a.length_mm > b.length_mm; });
  for (const Cut& cut : cuts) {
    if (order.stops.empty() || order.stops.back().length_mm - cut.length_mm > kSameLength)
      order.stops.push_back({cut.length_mm, {}});
    order.stops.back().cuts.push_back(cut);
  }
  return order;
}

const InPlace* find_in_place(const CuttingOrder& order, std::string_view mark) {
  for (const InPlace& one : order.in_place)
    if (one.mark == mark) return &one;
  return nullptr;
}

}  // namespace garthwright::marking
