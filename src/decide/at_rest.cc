// SPDX-License-Identifier: Apache-2.0
#include "decide/at_rest.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "decide/least_fixings.h"
#include "decide/rough_price.h"
#include "strength/fixing_distances.h"
#include "structure/joinery.h"

namespace garthwright::decide {
namespace {

using strength::Distance;

constexpr double kNear = 800;    // mm: what is farther along a timber has no say in where fixings are set, nor in
                                 // whether they are too near to anything: 15 diameters are wanted at most
constexpr double kGrain = 1e-6;  // mm: places are told apart by that much

/// As the strength study has it (strength/fixing_checks.h): a little is forgiven, and thin ones the NDS says nothing
/// of.
bool is_short(const Fixing& fixing, const Distance& distance, const Site& site) {
  constexpr double kQuarterInch = 6.35 - 1e-6;
  if (site.route == Site::Route::us && fixing.diameter < kQuarterInch) return false;
  return distance.short_of() > std::max(strength::kSetByHand, strength::kSetByHandPart * distance.wanted);
}

bool carries(const Structure& structure, Body body) {
  return body.kind == Body::Kind::piece && structure[PieceId{body.index}].carries;
}

std::string_view name_of(const Structure& structure, const Fixing& fixing) {
  return fixing.connection < 0 ? std::string_view{}
                               : structure.connections[static_cast<std::size_t>(fixing.connection)].name;
}

const std::string& mark_of(const Structure& structure, Body piece) { return structure[PieceId{piece.index}].mark; }

/// The joint in which a fixing is too near to an end or an edge of one of its timbers.
JointId too_near(const Structure& structure, const Site& site, const Fixing& fixing) {
  if (is_connector(fixing.kind)) return {};
  const strength::PlacedFixing placed = strength::placed(structure, fixing);
  const auto& layers = placed.seat.layers;
  for (std::size_t i = 0; i + 1 < layers.size(); ++i) {
    if (layers[i].thick() <= 0 || layers[i + 1].thick() <= 0) continue;
    if (!carries(structure, layers[i].body) || !carries(structure, layers[i + 1].body)) continue;
    const JointId joint = joint_between(structure, layers[i].body, layers[i + 1].body);
    if (!joint) continue;
    for (const std::size_t layer : {i, i + 1})
      if (is_short(fixing,
                   strength::to_borders(structure, site, placed, strength::around(structure, placed, layer), {}), site))
        return joint;
  }
  return {};
}

/// Digests places on timbers as they lie beside one place on each.
class Surroundings {
 public:
  Surroundings(const Structure& structure, const std::string& name) : structure_(structure), name_(name) {}

  DigestKey key() {
    digest_ << std::string_view(name_);
    for (const Connection& connection : structure_.connections) {
      if (connection.name != name_) continue;
      digest_ << connection.candidates.size();
      for (const std::string& text : connection.candidates) digest_ << std::string_view(text);
    }
    std::set<std::vector<Body>> seen;
    for (std::size_t i = 0; i < structure_.fixings.size(); ++i) {
      const Fixing& fixing = structure_.fixings[i];
      if (name_of(structure_, fixing) != name_ || !seen.insert(fixing.through).second) continue;
      digest_ << fixing.through.size();
      for (std::size_t k = 0; k + 1 < fixing.through.size(); ++k) add_joint(fixing.through[k], fixing.through[k + 1]);
      for (const Body body : fixing.through) add(body, middle_, i);
    }
    return digest_.key();
  }

 private:
  void place(Vec3 v) {
    for (const double x : {v.x, v.y, v.z}) digest_ << std::llround(x / kGrain);
  }
  void way(Vec3 v) { place(1e3 * v); }

  void add_joint(Body a, Body b) {
    const JointId id = joint_between(structure_, a, b);
    digest_ << static_cast<bool>(id);
    if (!id) return;
    const Joint& joint = structure_[id];
    middle_ = joint.point;
    digest_ << joint.kind << joint.bare << joint.patch.size();
    way(joint.normal);
    for (const Vec3& corner : joint.patch) place(corner - middle_);
  }

  /// `first`: fixings of this number and later ones were set after the joint's own.
  void add(Body body, Vec3 at, std::size_t first) {
    digest_ << body.kind;
    if (body.kind != Body::Kind::piece) return;
    const Piece& piece = structure_[PieceId{body.index}];
    const timber::Section& section = structure_[piece.section];
    digest_ << std::string_view(section.name) << piece.laps << piece.carries;
    way(piece.frame.x), way(piece.frame.y), way(piece.frame.z);
    const Vec3 local = piece.frame.to_local(at);
    const double start = local.x, finish = piece.length.value() - local.x;
    place({std::min(start, kNear), std::min(finish, kNear), 0});
    place({piece.width.value(), piece.thickness.value(), 0});
    place({0, local.y, local.z});
    for (const Machining& machining : piece.machining) add(machining, local.x, start, finish);
    for (std::size_t i = 0; i < first; ++i) {
      const Fixing& fixing = structure_.fixings[i];
      if (std::find(fixing.through.begin(), fixing.through.end(), body) == fixing.through.end()) continue;
      const Vec3 head = piece.frame.to_local(fixing.head) - local;
      if (std::abs(head.x) > kNear) continue;
      digest_ << std::string_view(fixing.item) << fixing.kind;
      place({fixing.diameter, fixing.length, fixing.sunk});
      place(head), way(fixing.direction);
    }
  }

  /// What is sawn and bored within reach, as far along the timber as it lies from `x`.
  void add(const Machining& machining, double x, double start, double finish) {
    const Vec3 from{x, 0, 0};
    const auto end_is_near = [&](End end) { return (end == End::start ? start : finish) < kNear; };
    if (const auto* cut = std::get_if<EndCut>(&machining); cut && end_is_near(cut->end)) {
      digest_ << 'c' << cut->end;
      place(cut->point - from), way(cut->normal);
    } else if (const auto* shaped = std::get_if<ShapedEnd>(&machining); shaped && end_is_near(shaped->end)) {
      digest_ << 's' << shaped->end << std::string_view(shaped->profile) << shaped->strokes.size();
      place({shaped->start_x - x, shaped->start_y, 0});
      for (const Stroke& stroke : shaped->strokes) place({stroke.x - x, stroke.y, 0});
    } else if (const auto* notch = std::get_if<Notch>(&machining);
               notch && notch->region.max.x > x - kNear && notch->region.min.x < x + kNear) {
      digest_ << 'n' << notch->kind << notch->opens_on;
      place(notch->region.min - from), place(notch->region.max - from), place({notch->corner - x, 0, 0});
    } else if (const auto* hole = std::get_if<Hole>(&machining);
               hole && std::abs(hole->entry.x - x) < kNear && hole->kind == Hole::Kind::drain) {
      digest_ << 'h';  // those of fixings follow them
      place(hole->entry - from), place({hole->diameter, hole->depth, 0});
    }
  }

  const Structure& structure_;
  const std::string& name_;
  Digest digest_;
  Vec3 middle_;
};

/// The joints of this name with each of what the yard has for them: whether all that suits their timbers is too near.
bool all_too_near(const ToFix& what, const Structure& structure, const std::string& name) {
  std::set<std::string> candidates;
  for (std::size_t i = 0; i < structure.connections.size(); ++i)
    if (structure.connections[i].name == name)
      for (std::string& text : bearing_candidates(structure, i, what.sold)) candidates.insert(std::move(text));
  for (const std::string& text : candidates) {
    pattern::Order order = what.order;
    give(order, what.number, {{what.number, {}, name, text, {}}});
    int letter = 0;
    const Result<pattern::Built> built = pattern::build(what.job, order, what.shelves, 0, letter);
    if (!built && built.error().front().code == "no-fixing") continue;  // none that suits so thick timbers
    if (!built || !too_near_at_rest(built->structure, what.site, name)) return false;
  }
  return true;
}

}  // namespace

std::optional<Check> too_near_at_rest(const Structure& structure, const Site& site, const std::string& name) {
  for (const Fixing& fixing : structure.fixings) {
    if (fixing.connection < 0 || (!name.empty() && name_of(structure, fixing) != name)) continue;
    const JointId id = too_near(structure, site, fixing);
    if (!id) continue;
    std::vector<Body> both{structure[id].a, structure[id].b};
    if (mark_of(structure, both[1]) < mark_of(structure, both[0])) std::swap(both[0], both[1]);
    Check check = new_check(CheckKind::spacing, std::move(both));
    check.joint = id;
    check.verdict = Verdict::fails;
    return check;
  }
  return std::nullopt;
}

DigestKey surroundings_of(const Structure& structure, const std::string& name) {
  return Surroundings(structure, name).key();
}

std::optional<Check> AtRest::fails(const ToFix& what, const Structure& structure, bool may_change) const {
  for (std::size_t i = 0; i < structure.connections.size(); ++i) {
    const Connection& connection = structure.connections[i];
    const std::optional<Check> near = too_near_at_rest(structure, what.site, connection.name);
    if (!near) continue;
    if (!may_change || !decide::may_change(connection)) return near;
    const DigestKey key = surroundings_of(structure, connection.name);
    {
      const std::lock_guard lock(mutex_);
      if (const auto known = hopeless_.find(key); known != hopeless_.end()) {
        if (known->second) return near;
        continue;
      }
    }
    const bool hopeless = all_too_near(what, structure, connection.name);
    const std::lock_guard lock(mutex_);
    hopeless_.emplace(key, hopeless);
    if (hopeless) return near;
  }
  return std::nullopt;
}

}  // namespace garthwright::decide
