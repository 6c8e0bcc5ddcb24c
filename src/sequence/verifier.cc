// SPDX-License-Identifier: Apache-2.0
#include "sequence/verifier.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <set>

#include "sequence/tools.h"
#include "solid/convex_parts.h"

namespace garthwright::sequence {
namespace {

constexpr double kFar = 1e5;  // mm; a way in begins this far off

struct Interval {
  double lo, hi;
};

Interval shadow(const ConvexPart& part, Vec3 axis) {
  Interval i{1e300, -1e300};
  for (const Vec3& v : part.vertices) {
    const double t = dot(v, axis);
    i.lo = std::min(i.lo, t);
    i.hi = std::max(i.hi, t);
  }
  return i;
}

/// A part and the way it comes along (zero for what stands still): the solid it sweeps.
struct Swept {
  const ConvexPart* part;
  Vec3 from;  ///< where it starts, relative to its place
};

Box swept_box(const Swept& s) {
  const Box b = s.part->box;
  return enclosing(b, {b.min + s.from, b.max + s.from});
}

/// Whether the swept solid and the part share more than `slack` along every axis that could part them: face normals,
/// products of edges, and those of the sweep itself.
bool meet(const Swept& a, const ConvexPart& b, double slack) {
  const Box bounds = swept_box(a);
  for (int k = 0; k < 3; ++k)
    if (std::min(bounds.max[k], b.box.max[k]) - std::max(bounds.min[k], b.box.min[k]) <= slack) return false;
  const auto parts_them = [&](Vec3 axis) {
    const double n = norm(axis);
    if (n < 1e-9) return false;
    axis = (1 / n) * axis;
    Interval i = shadow(*a.part, axis);
    const double shift = dot(a.from, axis);
    i.lo += std::min(0.0, shift);
    i.hi += std::max(0.0, shift);
    const Interval j = shadow(b, axis);
    return std::min(i.hi - j.lo, j.hi - i.lo) <= slack;
  };
  const bool moves = norm(a.from) > 0;
  const Vec3 way = moves ? unit(a.from) : Vec3{};
  for (const Plane& p : a.part->planes)
    if (parts_them(p.normal)) return false;
  for (const Plane& p : b.planes)
    if (parts_them(p.normal)) return false;
  for (const Vec3& e : a.part->edge_axes) {
    if (moves && parts_them(cross(e, way))) return false;
    for (const Vec3& f : b.edge_axes)
      if (parts_them(cross(e, f))) return false;
  }
  if (moves)
    for (const Vec3& f : b.edge_axes)
      if (parts_them(cross(f, way))) return false;
  return true;
}

/// A square rod along `way`.
ConvexPart rod(Vec3 from, Vec3 way, double radius, double length) {
  const Vec3 side = unit(cross(way, std::abs(way.z) < 0.9 ? Vec3{0, 0, 1} : Vec3{1, 0, 0}));
  Frame frame{from, way, side, cross(way, side)};
  return placed(box_part({{0, -radius, -radius}, {length, radius, radius}}), frame);
}

class Judge {
 public:
  Judge(const Structure& structure, const solid::Solids& solids, const Rates& rates, const VerifierLimits& limits)
      : s_(structure), rates_(rates), limits_(limits) {
    for (std::size_t i = 0; i < s_.pieces.size(); ++i) add(solids, body(PieceId{static_cast<int>(i)}));
    for (std::size_t i = 0; i < s_.panels.size(); ++i) add(solids, body(PanelId{static_cast<int>(i)}));
    for (std::size_t i = 0; i < s_.footings.size(); ++i) footing_[body(s_.footings[i].post)] = static_cast<int>(i);
    for (const Joint& j : s_.joints) {
      if (j.kind != JointKind::on_wall) continue;
      const Body b = j.a.kind == Body::Kind::wall ? j.b : j.a;
      walls_.push_back({b.kind == j.a.kind && b.index == j.a.index ? j.normal : -j.normal, j.point});
    }
    prepared_.assign(s_.pieces.size(), 0);
    driven_.assign(s_.fixings.size(), 0);
    dug_.assign(s_.footings.size(), 0);
    filled_ = set_ = dug_;
  }

  Verdict run(const std::vector<Stage>& stages) {
    for (const Stage& stage : stages) {
      verdict_.stage = stage.number;
      for (const Step& step : stage.steps) {
        ++verdict_.step;
        std::visit([&](const auto& x) { take(x); }, step);
        if (!verdict_.accepted()) return verdict_;
      }
      all_held();
      if (!verdict_.accepted()) return verdict_;
    }
    ++verdict_.stage;
    ++verdict_.step;
    at_the_end();
    if (verdict_.accepted()) verdict_ = {};
    return verdict_;
  }

 private:
  struct Solid {
    std::vector<ConvexPart> parts;
    Box box;
    double kg = 0;
    Workplace place = -1;
  };
  struct Wall {
    Vec3 out;  ///< into the wall
    Vec3 point;
  };

  void add(const solid::Solids& solids, Body b) {
    Solid& x = solid_[b];
    for (const ConvexPart& p : solids.parts(b)) x.parts.push_back(placed(p, frame_of(s_, b)));
    x.box = x.parts.empty() ? world_box(s_, b) : x.parts.front().box;
    for (const ConvexPart& p : x.parts) x.box = enclosing(x.box, p.box);
    x.kg = b.kind == Body::Kind::piece
               ? solids.measures(b).volume_mm3 / 1e9 * s_[s_[PieceId{b.index}].section].density_as_bought_kg_m3
               : s_[PanelId{b.index}].mass_kg;
  }

  void wrong(Fault fault, std::string why) {
    if (!verdict_.accepted()) return;
    verdict_.fault = fault;
    verdict_.why = std::move(why);
  }

  template <class List>
  bool known(const List& list, int index) {
    if (index >= 0 && static_cast<std::size_t>(index) < list.size()) return true;
    wrong(Fault::not_a_step, "names what does not exist");
    return false;
  }
  bool known(const std::vector<Body>& bodies) {
    const bool all =
        !bodies.empty() && std::all_of(bodies.begin(), bodies.end(), [&](Body b) { return solid_.contains(b); });
    if (!all) wrong(Fault::not_a_step, "names a body that does not exist");
    return all;
  }
  void once(std::vector<int>& done, int index, const std::string& what) {
    if (done[static_cast<std::size_t>(index)]++ > 0) wrong(Fault::done_twice, what);
  }
  std::string name(Body b) const { return describe(s_, b); }

  std::vector<Body> at(Workplace place) const {
    std::vector<Body> list;
    for (const auto& [b, x] : solid_)
      if (x.place == place) list.push_back(b);
    return list;
  }

  // --- the steps ---------------------------------------------------------------------------------------------------

  void take(const Prepare& x) {
    if (known(prepared_, x.piece.index)) once(prepared_, x.piece.index, name(body(x.piece)) + " is cut again");
  }

  void take(const Dig& x) {
    if (known(dug_, x.footing)) once(dug_, x.footing, fmt::format("hole {} is dug again", x.footing + 1));
  }

  void take(const Turn& x) {
    if (x.at < 1 || std::abs(norm(x.down) - 1) > 1e-6) return wrong(Fault::not_a_step, "nothing can be turned there");
    if (const auto there = at(x.at); there.size() > 1) may_be_moved(x.at, there, "turned");
    down_[x.at] = x.down;
  }

  void take(const Bring& x) {
    if (!known(x.bodies)) return;
    if (std::abs(norm(x.way) - 1) > 1e-6) return wrong(Fault::not_a_step, "a way in without direction");
    all_held();
    const std::set<Body> moving(x.bodies.begin(), x.bodies.end());
    if (x.from >= 1) {
      const std::vector<Body> there = at(x.from);
      if (x.to != kSite || std::set<Body>(there.begin(), there.end()) != moving)
        return wrong(Fault::not_a_step, "only the whole of a sub-assembly goes to its place");
      may_be_moved(x.from, there, "lifted");
    } else if (x.bodies.size() != 1) {
      return wrong(Fault::not_a_step, "loose bodies go in one by one");
    }
    for (const Body b : x.bodies) {
      if (x.from < 0 && solid_[b].place >= 0) return wrong(Fault::done_twice, name(b) + " is there already");
      if (b.kind == Body::Kind::piece && prepared_[static_cast<std::size_t>(b.index)] == 0)
        return wrong(Fault::not_sealed, name(b) + " is not cut and sealed yet");
    }
    if (x.to == kSite)
      arrive_on_site(x);
    else if (!down_.contains(x.to))
      return wrong(Fault::not_a_step, "nothing is laid out there");
    else if (dot(x.way, down_[x.to]) < -1e-6)
      return wrong(Fault::path_blocked, name(x.bodies.front()) + " would come up through the trestles");
    clear_way(x, moving);
    strong_enough(x);
    for (const Body b : x.bodies) solid_[b].place = x.to;
  }

  void arrive_on_site(const Bring& x) {
    bool grounded = false;
    for (const Body b : x.bodies) {
      if (const auto f = footing_.find(b); f != footing_.end()) {
        grounded = true;
        if (dug_[static_cast<std::size_t>(f->second)] == 0)
          return wrong(Fault::not_dug, "the hole of " + name(b) + " is not dug yet");
      }
      grounded = grounded || on_wall(b);
    }
    if (grounded) return;
    for (std::size_t f = 0; f < s_.footings.size(); ++f)
      if (set_[f] == 0)
        return wrong(Fault::wet_concrete,
                     fmt::format("{} comes before the concrete of hole {} has set", name(x.bodies.front()), f + 1));
  }

  bool on_wall(Body b) const {
    return std::any_of(s_.joints.begin(), s_.joints.end(),
                       [&](const Joint& j) { return j.kind == JointKind::on_wall && (j.a == b || j.b == b); });
  }

  /// How long the way is: what hangs overhead begins it on the ground below.
  double way_in(const Bring& x) {
    if (x.to != kSite || x.bodies.size() != 1 || x.way.z < 0.99) return kFar;
    const double height = solid_[x.bodies.front()].box.min.z - ground();
    return height >= kOverhead ? height : kFar;
  }

  void clear_way(const Bring& x, const std::set<Body>& moving) {
    const Vec3 start = -way_in(x) * x.way;
    for (const Body b : x.bodies) {
      for (const ConvexPart& part : solid_[b].parts) {
        const Swept swept{&part, start};
        for (const auto& [other, y] : solid_) {
          if (y.place != x.to || moving.contains(other)) continue;
          for (const ConvexPart& still : y.parts)
            if (meet(swept, still, limits_.tight_fit))
              return wrong(Fault::path_blocked, name(b) + " runs into " + name(other));
        }
        if (x.to != kSite) continue;
        if (into_the_ground(b, part, start)) return wrong(Fault::path_blocked, name(b) + " runs into the ground");
        for (const Wall& wall : walls_) {
          const Interval i = shadow(part, wall.out);
          if (i.hi + std::max(0.0, dot(start, wall.out)) > dot(wall.point, wall.out) + limits_.tight_fit)
            return wrong(Fault::path_blocked, name(b) + " runs into the wall");
        }
      }
    }
  }

  /// The ground where it lies lowest: of a bank only what is below that is known to be buried.
  double ground() const {
    double lowest = s_.footings.empty() ? 0 : s_.footings.front().centre.z;
    for (const Footing& f : s_.footings) lowest = std::min(lowest, f.centre.z);
    return lowest;
  }

  /// Below the ground only a post may be, in its own hole and straight down.
  bool into_the_ground(Body b, const ConvexPart& part, Vec3 start) {
    const double lowest = part.box.min.z + std::min(0.0, start.z);
    if (lowest >= ground() - limits_.tight_fit) return false;
    const auto f = footing_.find(b);
    if (f == footing_.end()) return true;
    const Footing& hole = s_.footings[static_cast<std::size_t>(f->second)];
    if (std::abs(start.x) > 1e-6 || std::abs(start.y) > 1e-6 || start.z < 0) return true;
    double reach = 0;
    for (const Vec3& v : part.vertices) reach = std::max(reach, std::hypot(v.x - hole.centre.x, v.y - hole.centre.y));
    return reach > hole.diameter / 2 || part.box.min.z < hole.centre.z - hole.depth;
  }

  /// The lift as guideline figures see it: half of a long timber, of what is walked up about its foot, or of a leaf
  /// that is set on packers hangs on the people at once.
  void strong_enough(const Bring& x) {
    double kg = 0;
    Box box = solid_[x.bodies.front()].box;
    bool in_hole = false;
    for (const Body b : x.bodies) {
      kg += solid_[b].kg;
      box = enclosing(box, solid_[b].box);
      in_hole = in_hole || footing_.contains(b);
    }
    const Vec3 size = box.size();
    double longest = std::max(size.x, size.y);
    if (x.to != kSite) longest = std::max(longest, size.z);
    const bool at_one_end = x.to == kSite && in_hole ? on_one_line(x.bodies)
                            : x.bodies.size() == 1   ? longest >= 2000 - 1
                                                     : x.to == kSite && is_low_leaf(x.bodies, box.min.z);
    const double held = x.bodies.size() > 1 ? std::max(box.centre().z, std::min(box.max.z, kKnuckles)) : box.centre().z;
    const double hands = x.to != kSite ? kTrestle : in_hole ? 1000 : hands_over_platform(rates_, held);
    const double may = x.people * guideline_kg(rates_.person, hands) * team_share(x.people);
    const double hangs = kg * (at_one_end ? 0.5 : 1);
    if (std::abs(kg - x.kg) > 0.01 * kg + 0.01)
      return wrong(Fault::too_heavy, fmt::format("{} weighs {:.1f} kg, not {:.1f}", name(x.bodies.front()), kg, x.kg));
    if (x.people > limits_.people || hangs > may + 1e-6)
      wrong(Fault::too_heavy,
            fmt::format("{:.1f} kg hang on {} people, who should lift {:.1f} kg there", hangs, x.people, may));
  }

  /// Whether all of it turns on one post and its foot comes to within 300 mm of the ground at some hole.
  bool is_low_leaf(const std::vector<Body>& bodies, double foot) const {
    const bool low =
        std::any_of(s_.footings.begin(), s_.footings.end(), [&](const Footing& f) { return foot <= f.centre.z + 300; });
    for (const Swing& swing : s_.swings) {
      const std::set<Body> leaf(swing.leaf.begin(), swing.leaf.end());
      if (low && std::all_of(bodies.begin(), bodies.end(), [&](const Body b) { return leaf.contains(b); })) return true;
    }
    return false;
  }

  /// Whether the holes of these posts lie on one line, about which they can be walked up.
  bool on_one_line(const std::vector<Body>& bodies) const {
    Vec3 first, along;
    bool any = false;
    for (const Body b : bodies) {
      const auto f = footing_.find(b);
      if (f == footing_.end()) continue;
      const Vec3 at = s_.footings[static_cast<std::size_t>(f->second)].centre;
      if (!any) first = at, any = true;
      const Vec3 d = at - first;
      if (norm(along) < 1 && norm(d) > 50)
        along = unit(d);
      else if (norm(along) > 0 && norm(d - dot(d, along) * along) > 50)
        return false;
    }
    return true;
  }

  void take(const Drive& x) {
    if (!known(driven_, x.fixing)) return;
    const Fixing& f = s_.fixings[static_cast<std::size_t>(x.fixing)];
    once(driven_, x.fixing, f.item + " is driven again");
    std::set<Workplace> places;
    for (const Body b : f.through)
      if (const auto it = solid_.find(b); it != solid_.end()) places.insert(it->second.place);
    if (places.size() != 1 || *places.begin() < 0)
      return wrong(Fault::pieces_apart,
                   f.item + " through " + name(f.through.front()) + ": its bodies are not together");
    const Tool* tool = tool_named(x.tool);
    if (tool == nullptr) return wrong(Fault::not_a_step, "there is no tool " + x.tool);
    const Workplace place = *places.begin();
    if (place != kSite && driven_from(f, down_[place]))
      return wrong(Fault::out_of_reach, f.item + " would be driven from under the trestles");
    if (is_bolt(f.kind)) {
      // Any tool at the head goes with any at the nut.
      bool head = false, nut = false;
      std::string in_way;
      const Vec3 far = nut_side(f);
      for (const bool by_hand : {false, true}) {
        for (const Tool* t : tools_for(f.kind, by_hand)) head = head || room(*t, f.head, -f.direction, place, in_way);
        for (const Tool* t : nut_tools(by_hand)) nut = nut || room(*t, far, f.direction, place, in_way);
      }
      if (!head || !nut) wrong(Fault::out_of_reach, f.item + ": " + in_way + " is in the way");
      return;
    }
    std::set<const Tool*> others;  // that whoever has this tool has too
    for (const bool by_hand : {false, true}) {
      const std::vector<const Tool*> kit = tools_for(f.kind, by_hand);
      if (std::find(kit.begin(), kit.end(), tool) != kit.end()) others.insert(kit.begin(), kit.end());
    }
    if (others.empty()) return wrong(Fault::not_a_step, std::string(tool->name) + " does not drive " + f.item);
    // The tool told is the one that some leg of a bent part needs; another leg may take a handier one.
    std::string in_way;
    bool used = false, reached = true;
    for (const Hold& hold : holds(f)) {
      const bool by_it = room(*tool, hold.head, hold.out, place, in_way);
      used = used || by_it;
      reached = reached && (by_it || (holds(f).size() > 1 && std::any_of(others.begin(), others.end(), [&](auto* t) {
                                        return room(*t, hold.head, hold.out, place, in_way);
                                      })));
    }
    if (!used || !reached)
      wrong(Fault::out_of_reach, f.item + " through " + name(f.through.front()) + ": " + in_way + " is in the way");
  }

  /// The far face of the last body along the bolt.
  Vec3 nut_side(const Fixing& f) {
    double far = 0;
    for (const ConvexPart& p : solid_[f.through.back()].parts) {
      const Interval i = shadow(p, f.direction);
      // Only parts that the line goes through.
      const ConvexPart line = rod(f.head, f.direction, 0.05, 5000);
      if (meet({&p, {}}, line, 0)) far = std::max(far, i.hi - dot(f.head, f.direction));
    }
    return f.head + far * f.direction;
  }

  bool room(const Tool& tool, Vec3 head, Vec3 out, Workplace place, std::string& in_way) {
    const ConvexPart rods[] = {rod(head + tool.bit_from * out, out, tool.bit_radius, tool.bit_to - tool.bit_from),
                               rod(head + tool.bit_to * out, out, tool.body_radius, tool.body_to - tool.bit_to)};
    for (const ConvexPart& r : rods) {
      for (const auto& [b, x] : solid_) {
        if (x.place != place) continue;
        for (const ConvexPart& p : x.parts)
          if (meet({&r, {}}, p, limits_.tight_fit)) {
            in_way = name(b);
            return false;
          }
      }
      if (place != kSite) continue;
      if (r.box.min.z < ground() - limits_.tight_fit && !in_some_hole(r)) {
        in_way = "the ground";
        return false;
      }
      for (const Wall& wall : walls_)
        if (shadow(r, wall.out).hi > dot(wall.point, wall.out) + limits_.tight_fit) {
          in_way = "the wall";
          return false;
        }
    }
    return true;
  }

  bool in_some_hole(const ConvexPart& part) const {
    return std::any_of(s_.footings.begin(), s_.footings.end(), [&](const Footing& f) {
      return std::all_of(part.vertices.begin(), part.vertices.end(),
                         [&](Vec3 v) { return std::hypot(v.x - f.centre.x, v.y - f.centre.y) <= f.diameter / 2; });
    });
  }

  void take(const Brace& x) {
    if (at(x.at).size() < 2 || x.at < 1) return wrong(Fault::not_a_step, "there is no frame to brace");
    if (!braced_.insert(x.at).second) wrong(Fault::done_twice, "the frame is braced already");
    for (const Body b : at(x.at)) frame_[x.at].push_back(b);
  }

  void take(const Unbrace& x) {
    if (braced_.erase(x.at) == 0) return wrong(Fault::not_a_step, "there is no batten there");
    for (const Body b : frame_[x.at]) {
      if (solid_[b].place != kSite) return wrong(Fault::racks, "the batten comes off before the frame stands");
      if (const auto f = footing_.find(b); f != footing_.end() && set_[static_cast<std::size_t>(f->second)] == 0)
        return wrong(Fault::racks, "the batten comes off before the concrete has set");
    }
  }

  void take(const Prop& x) {
    if (!known(x.bodies)) return;
    for (const Body b : x.bodies)
      if (solid_[b].place != kSite) return wrong(Fault::not_a_step, name(b) + " is not there to be propped");
    if (!props_.insert(x.bodies).second) wrong(Fault::done_twice, name(x.bodies.front()) + " is propped already");
    // A leaf is wedged in its opening while its hinges are screwed on.
    for (std::size_t i = 0; i < s_.swings.size(); ++i)
      for (const Body b : x.bodies)
        if (std::find(s_.swings[i].leaf.begin(), s_.swings[i].leaf.end(), b) != s_.swings[i].leaf.end())
          hung_.insert(i);
  }

  void take(const Unprop& x) {
    if (props_.erase(x.bodies) == 0) wrong(Fault::not_a_step, "there is no such prop");
  }

  void take(const Plumb& x) {
    for (const Body b : x.bodies) plumb_.insert(b);
  }

  void take(const Fill& x) {
    if (!known(filled_, x.footing)) return;
    const Body post = body(s_.footings[static_cast<std::size_t>(x.footing)].post);
    once(filled_, x.footing, fmt::format("hole {} is filled again", x.footing + 1));
    if (solid_[post].place != kSite) return wrong(Fault::not_a_step, "no post stands in that hole");
    if (!plumb_.contains(post) || !is_propped(post))
      wrong(Fault::wet_concrete, name(post) + " is not plumb and propped when its hole is filled");
  }

  void take(const Wait& x) {
    if (x.hours + 1e-9 >= rates_.setting_h) set_ = filled_;
  }

  void take(const CutHeads& x) {
    for (const PieceId id : x.posts) {
      if (id.index < 0 || static_cast<std::size_t>(id.index) >= s_.pieces.size())
        return wrong(Fault::not_a_step, "names what does not exist");
      const Body post = body(id);
      const auto f = footing_.find(post);
      if (solid_[post].place != kSite || f == footing_.end() || set_[static_cast<std::size_t>(f->second)] == 0)
        return wrong(Fault::wet_concrete, name(post) + " is cut off before its concrete has set");
      for (const Joint& j : s_.joints) {
        if (!(j.a == post || j.b == post)) continue;
        const Body other = j.a == post ? j.b : j.a;
        if (solid_.contains(other) && solid_[other].place == kSite)
          return wrong(Fault::not_a_step, name(other) + " is fixed to " + name(post) + " before its head is cut");
      }
      if (!heads_.insert(post).second) return wrong(Fault::done_twice, name(post) + " is cut off again");
    }
  }

  bool is_propped(Body b) const {
    return std::any_of(props_.begin(), props_.end(), [&](const std::vector<Body>& list) {
      return std::find(list.begin(), list.end(), b) != list.end();
    });
  }

  // --- what holds --------------------------------------------------------------------------------------------------

  /// Of a leaf what its hinges are on: its side that the line it turns about runs along.
  bool is_hinged(const Swing& swing, Body b) {
    constexpr double kNear = 60;  // mm
    if (std::find(swing.leaf.begin(), swing.leaf.end(), b) == swing.leaf.end()) return false;
    const Box& box = solid_[b].box;
    return swing.axis.x > box.min.x - kNear && swing.axis.x < box.max.x + kNear && swing.axis.y > box.min.y - kNear &&
           swing.axis.y < box.max.y + kNear;
  }

  /// Bodies of what is fixed together and stands on the ground on feet that are far enough apart.
  std::set<Body> standing_loose(const std::vector<Body>& there) {
    constexpr double kOnGround = 1, kApart = 100;  // mm
    std::set<Body> stand, seen;
    for (const Body first : there) {
      if (!seen.insert(first).second) continue;
      std::vector<Body> group{first};
      for (std::size_t k = 0; k < group.size(); ++k)
        for (std::size_t f = 0; f < s_.fixings.size(); ++f) {
          const auto& through = s_.fixings[f].through;
          if (driven_[f] == 0 || std::find(through.begin(), through.end(), group[k]) == through.end()) continue;
          for (const Body other : through)
            if (solid_.contains(other) && solid_[other].place == kSite && seen.insert(other).second)
              group.push_back(other);
        }
      std::optional<Box> feet;
      for (const Body b : group)
        for (const ConvexPart& part : solid_[b].parts)
          if (part.box.min.z <= ground() + kOnGround) feet = feet ? enclosing(*feet, part.box) : part.box;
      if (feet && feet->size().x >= kApart && feet->size().y >= kApart) stand.insert(group.begin(), group.end());
    }
    return stand;
  }

  /// Everything on the site hangs, through driven fixings and what it rests on, from ground, wall or props.
  void all_held() {
    std::vector<Body> open;
    std::set<Body> held;
    const auto hold = [&](Body b) {
      if (held.insert(b).second) open.push_back(b);
    };
    const std::vector<Body> there = at(kSite);
    if (s_.footings.empty())
      for (const Body b : standing_loose(there)) hold(b);
    for (const Body b : there) {
      const auto f = footing_.find(b);
      if (is_propped(b) || (f != footing_.end() && set_[static_cast<std::size_t>(f->second)] > 0)) hold(b);
    }
    for (std::size_t f = 0; f < s_.fixings.size(); ++f) {
      if (driven_[f] == 0) continue;
      const auto& through = s_.fixings[f].through;
      if (std::find(through.begin(), through.end(), kWall) == through.end()) continue;
      for (const Body b : through)
        if (solid_.contains(b) && solid_[b].place == kSite) hold(b);
    }
    while (!open.empty()) {
      const Body b = open.back();
      open.pop_back();
      for (std::size_t f = 0; f < s_.fixings.size(); ++f) {
        const auto& through = s_.fixings[f].through;
        if (driven_[f] == 0 || std::find(through.begin(), through.end(), b) == through.end()) continue;
        for (const Body other : through)
          if (solid_.contains(other) && solid_[other].place == kSite) hold(other);
      }
      for (const std::size_t i : hung_) {
        if (!(s_.swings[i].on == b)) continue;
        for (const Body leaf : s_.swings[i].leaf)
          if (solid_[leaf].place == kSite && is_hinged(s_.swings[i], leaf)) hold(leaf);
      }
      for (const Joint& j : s_.joints) {
        if (std::abs(j.normal.z) < 0.7) continue;
        const Body lower = j.normal.z > 0 ? j.a : j.b, upper = j.normal.z > 0 ? j.b : j.a;
        if (lower == b && solid_.contains(upper) && solid_[upper].place == kSite) hold(upper);
      }
    }
    for (const Body b : there)
      if (!held.contains(b)) return wrong(Fault::falls, name(b) + " is held by nothing");
  }

  /// One body, by driven fixings; and stiff enough in its plane, or with a batten across.
  void may_be_moved(Workplace place, const std::vector<Body>& bodies, const char* how) {
    std::set<Body> whole(bodies.begin(), bodies.end()), reached{bodies.front()};
    for (bool more = true; more;) {
      more = false;
      for (std::size_t f = 0; f < s_.fixings.size(); ++f) {
        if (driven_[f] == 0) continue;
        const auto& t = s_.fixings[f].through;
        if (std::none_of(t.begin(), t.end(), [&](Body b) { return reached.contains(b); })) continue;
        for (const Body b : t)
          if (whole.contains(b)) more = reached.insert(b).second || more;
      }
    }
    if (reached.size() != whole.size())
      return wrong(Fault::falls, fmt::format("{} before all of it is fixed together", how));
    if (braced_.contains(place)) return;
    const auto [height, sway] = sway_of(whole);
    if (sway > height / 100)
      wrong(Fault::racks, fmt::format("{} unbraced: its top sways {:.0f} mm under 100 N, more than {:.0f}", how,
                                      std::min(sway, 9999.0), height / 100));
  }

  /// Longest side, and how far it goes at the far end under 100 N: every corner of two timbers at an angle is a spring
  /// of its fixings' slip moduli (EN 1995-1-1 table 7.1, ρm^1.5 d / 23, from memory) about their middle.
  std::pair<double, double> sway_of(const std::set<Body>& whole) {
    Box box = solid_[*whole.begin()].box;
    for (const Body b : whole) box = enclosing(box, solid_[b].box);
    const Vec3 size = box.size();
    const double height = std::max({size.x, size.y, size.z});
    std::map<std::pair<int, int>, std::vector<const Fixing*>> corners;
    std::map<int, std::set<int>> braces;
    for (std::size_t f = 0; f < s_.fixings.size(); ++f) {
      const auto& t = s_.fixings[f].through;
      for (std::size_t k = 0; driven_[f] > 0 && k + 1 < t.size(); ++k) {
        if (!whole.contains(t[k]) || !whole.contains(t[k + 1])) continue;
        if (t[k].kind != Body::Kind::piece || t[k + 1].kind != Body::Kind::piece) continue;
        const auto pair = std::minmax(t[k].index, t[k + 1].index);
        corners[pair].push_back(&s_.fixings[f]);
        if (s_.pieces[static_cast<std::size_t>(pair.first)].duties.has(Duty::brace))
          braces[pair.first].insert(pair.second);
        if (s_.pieces[static_cast<std::size_t>(pair.second)].duties.has(Duty::brace))
          braces[pair.second].insert(pair.first);
      }
    }
    for (const auto& [brace, ends] : braces)
      if (ends.size() >= 2) return {height, 0};
    double spring = 0;
    bool frame = false;
    for (const auto& [pair, list] : corners) {
      const Piece& a = s_.pieces[static_cast<std::size_t>(pair.first)];
      const Piece& b = s_.pieces[static_cast<std::size_t>(pair.second)];
      if (std::abs(dot(a.frame.x, b.frame.x)) > 0.3) continue;
      frame = true;
      Vec3 middle;
      for (const Fixing* f : list) middle = middle + f->head;
      middle = (1.0 / static_cast<double>(list.size())) * middle;
      const double density = std::sqrt(s_[a.section].density_dry_kg_m3 * s_[b.section].density_dry_kg_m3);
      for (const Fixing* f : list)
        spring += std::pow(density, 1.5) * f->diameter / 23 *
                  std::pow(norm(cross(f->head - middle, list.front()->direction)), 2);
    }
    if (!frame) return {height, 0};
    return {height, spring > 0 ? 100 * height * height / spring : 1e9};
  }

  void at_the_end() {
    all_held();
    for (std::size_t i = 0; i < prepared_.size(); ++i)
      if (prepared_[i] == 0)
        wrong(Fault::left_out, s_.pieces[i].name + " " + s_.pieces[i].mark + " was not cut and sealed");
    for (const auto& [b, x] : solid_)
      if (x.place != kSite) wrong(Fault::left_out, name(b) + " is not in its place");
    for (std::size_t f = 0; f < driven_.size(); ++f)
      if (driven_[f] == 0)
        wrong(Fault::left_out,
              s_.fixings[f].item + " through " + name(s_.fixings[f].through.front()) + " was not driven");
    for (std::size_t f = 0; f < dug_.size(); ++f)
      if (dug_[f] == 0 || filled_[f] == 0)
        wrong(Fault::left_out, fmt::format("hole {} was not dug or not filled", f + 1));
    if (!props_.empty()) wrong(Fault::left_out, "a prop under " + name(props_.begin()->front()) + " was left");
    if (!braced_.empty()) wrong(Fault::left_out, "a temporary batten was left");
  }

  const Structure& s_;
  const Rates& rates_;
  const VerifierLimits& limits_;
  std::map<Body, Solid> solid_;
  std::map<Body, int> footing_;
  std::vector<Wall> walls_;
  std::vector<int> prepared_, driven_, dug_, filled_, set_;
  std::map<Workplace, Vec3> down_;
  std::map<Workplace, std::vector<Body>> frame_;
  std::set<Workplace> braced_;
  std::set<std::vector<Body>> props_;
  std::set<Body> plumb_, heads_;
  std::set<std::size_t> hung_;  ///< of Structure::swings
  Verdict verdict_;
};

}  // namespace

std::string_view name(Fault fault) {
  switch (fault) {
    case Fault::none:
      return "none";
    case Fault::not_a_step:
      return "not a step";
    case Fault::not_sealed:
      return "not sealed";
    case Fault::not_dug:
      return "not dug";
    case Fault::path_blocked:
      return "path blocked";
    case Fault::pieces_apart:
      return "pieces apart";
    case Fault::out_of_reach:
      return "out of reach";
    case Fault::falls:
      return "falls";
    case Fault::racks:
      return "racks";
    case Fault::too_heavy:
      return "too heavy";
    case Fault::wet_concrete:
      return "wet concrete";
    case Fault::done_twice:
      return "done twice";
    case Fault::left_out:
      return "left out";
  }
  return "";
}

Verdict verify(const Structure& structure, const solid::Solids& solids, const std::vector<Stage>& stages,
               const Rates& rates, const VerifierLimits& limits) {
  return Judge(structure, solids, rates, limits).run(stages);
}

}  // namespace garthwright::sequence
