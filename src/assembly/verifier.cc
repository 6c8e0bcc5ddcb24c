// SPDX-License-Identifier: Apache-2.0
#include "assembly/verifier.h"

#include <algorithm>
#include <optional>
#include <set>

namespace garthwright::assembly {
namespace {

/// A straight shift from `from` by `by`; endless ones come from far away.
struct Shift {
  Vec3 from, by;
  bool endless = false;
};

/// The way in as shifts that end at 0.
std::vector<Shift> shifts_of(const Move& move) {
  std::vector<Vec3> legs = move.path.empty() ? std::vector<Vec3>{move.way_in} : move.path;
  Vec3 at;
  for (const Vec3& leg : legs) at = at - leg;
  std::vector<Shift> shifts;
  for (const Vec3& leg : legs) {
    shifts.push_back({at, leg, shifts.empty()});
    at += leg;
  }
  return shifts;
}

/// The half-spaces of all points that `part`, pared down by `skin`, passes through on its way.
std::vector<Plane> swept(const ConvexPart& part, const Shift& shift, double skin) {
  std::vector<Plane> planes, entering, leaving;  // at s = 0; "leaving" faces move outwards
  for (const Plane& p : part.planes) {
    const double speed = dot(p.normal, shift.by);
    const Plane start{p.normal, p.offset - skin + dot(p.normal, shift.from)};
    if (speed > 1e-12) {
      leaving.push_back({(1 / speed) * start.normal, start.offset / speed});
      planes.push_back({start.normal, start.offset + speed});
    } else if (speed < -1e-12) {
      entering.push_back({(-1 / speed) * start.normal, start.offset / -speed});
      if (!shift.endless) planes.push_back(start);
    } else {
      planes.push_back(start);
    }
  }
  for (const Plane& l : leaving) {
    for (const Plane& e : entering) {
      const Vec3 normal = l.normal + e.normal;
      const double length = norm(normal);
      if (length > 1e-12) planes.push_back({(1 / length) * normal, (l.offset + e.offset) / length});
    }
  }
  return planes;
}

bool anything_left(const ConvexPart& solid, const std::vector<Plane>& planes) {
  // A plane with the whole solid beyond it settles the matter at once.
  for (const Plane& p : planes) {
    const bool beyond =
        std::all_of(solid.vertices.begin(), solid.vertices.end(), [&](Vec3 v) { return dot(p.normal, v) >= p.offset; });
    if (beyond) return false;
  }
  std::optional<ConvexPart> left = solid;
  for (const Plane& p : planes) {
    left = clipped(*left, p);
    if (!left) return false;
  }
  return true;
}

class Judge {
 public:
  explicit Judge(const Assembly& assembly) : a_(assembly), group_of_(a_.pieces.size()), driven_(a_.fasteners.size()) {
    int first_fixed = -1;
    for (int i = 0; i < piece_count(); ++i) {
      if (a_.pieces[i].fixed && first_fixed < 0) first_fixed = i;
      group_of_[i] = a_.pieces[i].fixed ? first_fixed : i;
      if (a_.pieces[i].fixed) on_site_.insert(group_of_[i]);
    }
  }

  Verdict run(const Plan& plan) {
    for (std::size_t k = 0; k < plan.size(); ++k) {
      Verdict v = std::visit([&](const auto& step) { return judge(step); }, plan[k]);
      if (!v.accepted()) {
        v.step = static_cast<int>(k);
        return v;
      }
    }
    Verdict v = judge_end();
    if (!v.accepted()) v.step = static_cast<int>(plan.size());
    return v;
  }

 private:
  int piece_count() const { return static_cast<int>(a_.pieces.size()); }
  const std::string& id(int piece) const { return a_.pieces[piece].id; }

  static Verdict fault(Fault f, std::string why) { return {f, -1, std::move(why)}; }

  std::set<int> members(int group) const {
    std::set<int> set;
    for (int i = 0; i < piece_count(); ++i) {
      if (group_of_[i] == group) set.insert(i);
    }
    return set;
  }

  /// The group that consists of exactly these pieces.
  std::optional<int> group_of(const std::vector<int>& pieces) const {
    if (pieces.empty()) return std::nullopt;
    const int g = group_of_[pieces[0]];
    if (std::set<int>(pieces.begin(), pieces.end()) != members(g)) return std::nullopt;
    return g;
  }

  Verdict judge(const Move& move) {
    for (const auto* list : {&move.moving, &move.onto}) {
      for (int i : *list) {
        if (i < 0 || i >= piece_count()) return fault(Fault::not_a_step, "no such piece");
      }
    }
    const std::vector<Shift> shifts = shifts_of(move);
    if (std::any_of(shifts.begin(), shifts.end(), [](const Shift& s) { return norm(s.by) == 0; })) {
      return fault(Fault::not_a_step, "a shift without length");
    }
    const auto mover = group_of(move.moving);
    if (!mover) return fault(Fault::not_a_group, "what moves is not exactly one whole group");
    if (a_.pieces[move.moving[0]].fixed) return fault(Fault::fixed_moves, id(move.moving[0]) + " is fixed");
    std::optional<int> target;
    if (!move.onto.empty()) {
      target = group_of(move.onto);
      if (!target || *target == *mover) {
        return fault(Fault::not_a_group, "where it goes is not exactly one other whole group");
      }
    }
    const bool to_site = !target || on_site_.contains(*target);
    if (auto hit = first_hit(*mover, target, to_site, shifts)) return fault(Fault::collides, *hit);

    on_site_.erase(*mover);
    if (target) {
      for (int& g : group_of_) {
        if (g == *mover) g = *target;
      }
    } else {
      on_site_.insert(*mover);
    }
    return {};
  }

  /// What stands still while a group moves: its target, and on the site everything that is there.
  std::optional<std::string> first_hit(int mover, std::optional<int> target, bool to_site,
                                       const std::vector<Shift>& shifts) const {
    for (int i : members(mover)) {
      for (const ConvexPart& part : a_.pieces[i].parts) {
        for (const Shift& shift : shifts) {
          const auto planes = swept(part, shift, a_.touch);
          for (int j = 0; j < piece_count(); ++j) {
            const int g = group_of_[j];
            if (g == mover || !(g == target || (to_site && on_site_.contains(g)))) continue;
            for (const ConvexPart& other : a_.pieces[j].parts) {
              if (anything_left(other, planes)) return id(i) + " runs into " + id(j);
            }
          }
          if (!to_site) continue;
          for (const ConvexPart& obstacle : a_.site.obstacles) {
            if (anything_left(obstacle, planes)) return id(i) + " runs into an obstacle";
          }
          if (a_.site.ground && goes_underground(part, shift)) return id(i) + " runs into the ground";
        }
      }
    }
    return std::nullopt;
  }

  bool goes_underground(const ConvexPart& part, const Shift& shift) const {
    if (shift.endless && shift.by.z > 0) return true;
    const double deepest = shift.from.z + std::min(shift.endless ? shift.by.z : 0.0, shift.by.z);
    return part.box.min.z + deepest < -a_.touch;
  }

  Verdict judge(const Drive& drive) {
    const int f = drive.fastener;
    if (f < 0 || f >= static_cast<int>(a_.fasteners.size())) return fault(Fault::not_a_step, "no such fastener");
    const Fastener& fastener = a_.fasteners[f];
    const int g = group_of_[fastener.joins[0]];
    for (int i : fastener.joins) {
      if (group_of_[i] != g) return fault(Fault::pieces_apart, fastener.id + ": " + id(i) + " is not there yet");
    }
    if (driven_[f]) return fault(Fault::driven_twice, fastener.id);
    for (const ToolRoom& room : fastener.rooms) {
      if (auto hit = tool_hits(room, g, drive)) return fault(Fault::driver_does_not_fit, fastener.id + ": " + *hit);
    }
    driven_[f] = true;
    return {};
  }

  std::optional<std::string> tool_hits(const ToolRoom& room, int group, const Drive& drive) const {
    const ConvexPart tool = square_prism(room);
    std::vector<Plane> planes = tool.planes;
    for (Plane& p : planes) p.offset -= a_.touch;
    const bool stands_on_site = on_site_.contains(group);
    double floor = -1e300;
    for (int j = 0; j < piece_count(); ++j) {
      if (group_of_[j] != group && !(stands_on_site && on_site_.contains(group_of_[j]))) continue;
      for (const ConvexPart& part : a_.pieces[j].parts) {
        if (anything_left(part, planes)) return id(j) + " is in the way of the tool";
        floor = std::max(floor, farthest(part, drive.down));
      }
    }
    if (drive.on_site || stands_on_site) {
      for (const ConvexPart& obstacle : a_.site.obstacles) {
        if (anything_left(obstacle, planes)) return "an obstacle is in the way of the tool";
      }
      if (a_.site.ground && tool.box.min.z < -a_.touch) return "the ground is in the way of the tool";
    }
    if (farthest(tool, drive.down) > floor + a_.touch) return "the tool does not clear the floor";
    return std::nullopt;
  }

  static double farthest(const ConvexPart& part, Vec3 way) {
    double most = -1e300;
    for (const Vec3& v : part.vertices) most = std::max(most, dot(v, way));
    return most;
  }

  static ConvexPart square_prism(const ToolRoom& room) {
    const Vec3 along = (1 / norm(room.out)) * room.out;
    Vec3 level = along.x == 0 ? Vec3{1, 0, 0} : along.y == 0 ? Vec3{0, 1, 0} : Vec3{0, 0, 1};
    Vec3 side = cross(level, along);
    side = (1 / norm(side)) * side;
    level = cross(along, side);
    const double r = room.half_width;
    return *make_oblique_box(room.head - r * level - r * side, {(2 * r) * level, (2 * r) * side, room.length * along});
  }

  Verdict judge_end() const {
    for (std::size_t f = 0; f < driven_.size(); ++f) {
      if (!driven_[f]) return fault(Fault::fastener_forgotten, a_.fasteners[f].id);
    }
    for (int i = 0; i < piece_count(); ++i) {
      if (group_of_[i] != group_of_[0]) return fault(Fault::left_apart, id(i) + " is not joined to " + id(0));
    }
    return {};
  }

  const Assembly& a_;
  std::vector<int> group_of_;
  std::set<int> on_site_;  ///< groups that stand on the site
  std::vector<bool> driven_;
};

}  // namespace

std::string_view name(Fault fault) {
  switch (fault) {
    case Fault::none:
      return "right";
    case Fault::not_a_step:
      return "not a step";
    case Fault::not_a_group:
      return "not a group";
    case Fault::fixed_moves:
      return "fixed piece moves";
    case Fault::collides:
      return "collides";
    case Fault::pieces_apart:
      return "pieces are apart";
    case Fault::driver_does_not_fit:
      return "driver does not fit";
    case Fault::driven_twice:
      return "driven twice";
    case Fault::fastener_forgotten:
      return "fastener forgotten";
    case Fault::left_apart:
      return "left apart";
  }
  return "";
}

Verdict verify(const Assembly& assembly, const Plan& plan) { return Judge(assembly).run(plan); }

}  // namespace garthwright::assembly
