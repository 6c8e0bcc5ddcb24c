// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "frame/stability.h"
#include "strength/checks.h"
#include "strength/design_values.h"
#include "strength/site_loads.h"
#include "structure/polygon.h"

namespace garthwright::strength {
namespace {

constexpr double kSwayFelt = 50;        // height over this is felt (our own)
constexpr double kSwayFails = 30;       // height over this is too much (our own: a garden structure is no house)
constexpr double kMostly = 0.6;         // of the sway, from where on one cause is named
constexpr double kSagPart = 150;        // EN 1995-1-1 Table 7.2: w_fin L/150 to L/300, the most that may be chosen
constexpr double kWetCreep = 2.0;       // NDS 3.5.2, unseasoned or wet
constexpr double kCriticalEnough = 10;  // EN 1993-1-1 5.2.1(3), by analogy: below it sway adds to itself
constexpr double kSnowPsi2 = 0;         // EN 1990 Table A1.1, below 1000 m
constexpr double kOutOfPlumb = 0.005;   // EN 1995-1-1 5.4.4 (2), up to 5 m high
constexpr double kMostFactor = 1e4;     // what is told at most

frame::NodeIndex head_of(const Structure& s, const Model& model, const Base& base) {
  const auto& stations = model.stations[static_cast<std::size_t>(base.post.index)];
  return s[base.post].frame.x.z > 0 ? stations.back().second : stations.front().second;
}

}  // namespace

void check_sway(const Solved& s, Checks& checks) {
  Check c = new_check(CheckKind::sway);
  double from_ground = 0, height = 0;
  for (const Base& base : s.model.bases) {
    if (base.footing < 0) continue;
    const auto& stations = s.model.stations[static_cast<std::size_t>(base.post.index)];
    const double high = stations.back().first - stations.front().first;
    const frame::NodeIndex head = head_of(s.structure, s.model, base);
    const frame::NodeIndex foot = head == stations.back().second ? stations.front().second : stations.back().second;
    for (const Case& k : s.service) {
      if (k.when.state.growing() || k.combination->person > 0) continue;
      const Vec3 shift = s.shift(k, head);
      const double sway = std::hypot(shift.x, shift.y);
      if (sway <= c.demand * (height > 0 ? high / height : 1)) continue;
      c.demand = sway, c.when = k.when, height = high;
      // A stiff post would go with the ground's shift and turn alone.
      const Vec3 at_ground = s.shift(k, foot), below = s.shift(k, s.model.frame.supports[base.support].node);
      const double turn = base.depth_mm > 0 ? high / base.depth_mm : 0;
      const Vec3 stiff = at_ground + turn * (at_ground - below);
      from_ground = (stiff.x * shift.x + stiff.y * shift.y) / (sway * sway);
    }
  }
  if (c.demand == 0) return;
  c.unit = "mm";
  c.capacity = height / kSwayFails;
  c.utilisation = c.demand / c.capacity;
  const double felt = c.demand / (height / kSwayFelt);
  c.verdict = c.utilisation > 1 ? Verdict::fails : felt > 1 ? Verdict::attention : Verdict::ok;
  c.source =
      "frame with slip moduli of EN 1995-1-1 Table 7.1; height/50 is felt, height/30 fails, both our own: no strength";
  const char* cure = from_ground > kMostly       ? "most of it is the ground giving way: deeper holes stiffen it most"
                     : from_ground < 1 - kMostly ? "most of it is the frame: thicker posts or braces stiffen it most"
                                                 : "ground and frame give alike: deeper holes and thicker posts";
  c.plain = fmt::format("The heads sway {}, 1/{:.0f} of their height{}.",
                        format_length(std::round(c.demand), s.site.print), height / c.demand,
                        felt > 1 ? std::string(c.utilisation > 1 ? ": too much; " : ": it will be felt; ") + cure : "");
  checks.push_back(c);
}

void check_sag(const Solved& s, Checks& checks) {
  std::map<CheckKey, Check> worst;
  for (std::size_t p = 0; p < s.structure.pieces.size(); ++p) {
    const Piece& piece = s.structure.pieces[p];
    const Duties& d = piece.duties;
    const bool spans = d.has(Duty::roof) || d.has(Duty::beam) || d.has(Duty::seat) || d.has(Duty::walk);
    const auto& stations = s.model.stations[p];
    if (!spans || stations.size() < 3 || std::abs(piece.frame.x.z) > 0.5) continue;
    // Where it is held: the first and last stations with a link (all but the free ends and the middle).
    std::vector<std::size_t> held;
    for (std::size_t i = 0; i < stations.size(); ++i)
      if (s.model.joined[stations[i].second]) held.push_back(i);
    if (held.size() < 2 || held.back() - held.front() < 2) continue;
    const double from = stations[held.front()].first, to = stations[held.back()].first, span = to - from;
    const auto sag = [&](const Case& k) {
      const double a = s.shift(k, stations[held.front()].second).z, b = s.shift(k, stations[held.back()].second).z;
      double most = 0;
      for (std::size_t i = held.front() + 1; i < held.back(); ++i) {
        const double chord = a + (b - a) * (stations[i].first - from) / span;
        most = std::max(most, chord - s.shift(k, stations[i].second).z);
      }
      return most;
    };
    for (const Case& k : s.service) {
      if (k.when.state.growing() || k.combination->wind > 0 || k.combination->person > 0 || k.combination->lift > 0)
        continue;
      const Case* lasting = &k;  // what lasts creeps: weight, plants and soil in the same state
      for (const Case& other : s.service)
        if (other.when.state == k.when.state &&
            std::all_of(other.parts.begin(), other.parts.end(), [](const auto& p) { return p.first < kLasting; }))
          lasting = &other;
      const double at_once = sag(k), creeps = sag(*lasting);
      const double kdef = ec5::kdef(ec5::ServiceClass::three);
      const double in_time =
          s.us() ? at_once + (kWetCreep - 1) * creeps : at_once + kdef * creeps + kSnowPsi2 * kdef * (at_once - creeps);
      Check c = new_check(CheckKind::sag, {body(PieceId{static_cast<int>(p)})});
      c.demand = in_time, c.capacity = span / kSagPart, c.unit = "mm";
      c.utilisation = in_time / c.capacity;
      c.verdict = c.utilisation > 1 ? Verdict::attention : Verdict::ok;
      c.source = s.us() ? "NDS 3.5.2, creep 2.0 (wet); limit span/150, our own for an open roof"
                        : "EN 1995-1-1 2.2.3, kdef 2.0 (SC3), Table 7.2 w_fin: span/150";
      c.when = k.when;
      c.plain = fmt::format("Sags {:.1f} mm over {} in the end, {:.1f} mm of it at once.{}", in_time,
                            format_length(span, s.site.print), at_once,
                            c.utilisation > 1 ? " It will be seen: take a deeper section, or crown it upwards." : "");
      const auto [at, is_new] = worst.try_emplace(key_of(c, s.structure), c);
      if (!is_new && c.utilisation > at->second.utilisation) at->second = c;
    }
  }
  for (auto& [_, c] : worst) checks.push_back(c);
}

namespace {

/// The one with most force down into the ground.
const Case* heaviest_of(const Solved& s) {
  const Case* heaviest = nullptr;
  double most = 0;
  for (const Case& k : s.ultimate) {
    if (k.combination->wind > 0 || k.combination->person > 0) continue;
    double down = 0;
    for (std::size_t i = 0; i < s.model.frame.supports.size(); ++i) down += s.reaction(k, i).force_n[2];
    if (down > most) most = down, heaviest = &k;
  }
  return heaviest;
}

/// The same loads where everything leans that way by so much: the part of their weight that pushes it on.
frame::Loads leaning(frame::Loads loads, Vec3 way, double by) {
  const auto lean = [&](frame::Vec3& force) {
    for (std::size_t i = 0; i < 2; ++i) force[i] -= by * way[static_cast<int>(i)] * force[2];
  };
  for (frame::NodeLoad& l : loads.on_nodes) lean(l.force_n);
  for (frame::MemberLoad& l : loads.on_members) lean(l.uniform_n_per_mm);
  return loads;
}

/// What stands loose hangs together by faces that only push. Those of courses and mitres stand open by hundredths of a
/// millimetre under its weight and shut when it leans: without them, as a tangent has it, each board would turn on a
/// single screw, and walls that stand would fold at a fifteenth of their load. So it is set out of plumb and solved
/// with all its faces, each way: the factor is lean · height / sway, EN 1993-1-1 (5.2), of what stands in its upper
/// half.
double factor_by_leaning(const Solved& s, const Case& heaviest) {
  const frame::Frame& frame = s.model.frame;
  const auto solver = frame::Solver::make(frame, {.may_be_loose = true});
  if (!solver) return 0;
  double ground = 1e18, top = -1e18;
  for (const frame::Node& n : frame.nodes) top = std::max(top, n.at_mm[2]);
  for (const Foot& f : s.structure.feet)
    for (const Vec3& corner : f.face) ground = std::min(ground, corner.z);
  double least = kMostFactor;
  for (const Vec3 way : {Vec3{1, 0, 0}, Vec3{-1, 0, 0}, Vec3{0, 1, 0}, Vec3{0, -1, 0}}) {
    const auto leant = solver->solve(leaning(s.loads(heaviest), way, kOutOfPlumb));
    if (!leant) return 0;
    const auto moved = [&](frame::NodeIndex n) {
      double by = 0;
      for (std::size_t i = 0; i < 2; ++i)
        by += way[static_cast<int>(i)] *
              (leant->displacements[n].translation_mm[i] - s.under(heaviest).displacements[n].translation_mm[i]);
      return by;
    };
    // It slides by soft springs of our own: only what moves over its feet sways.
    double slid = 0;
    for (const Foot& f : s.structure.feet)
      slid += moved(s.model.node_at(f.piece, s.structure[f.piece].frame.to_local(centroid(f.face)).x)) /
              static_cast<double>(s.structure.feet.size());
    for (frame::NodeIndex n = 0; n < frame.nodes.size(); ++n) {
      const double high = frame.nodes[n].at_mm[2] - ground, sway = moved(n) - slid;
      if (high >= (top - ground) / 2 && sway > 0) least = std::min(least, kOutOfPlumb * high / sway);
    }
  }
  return least;
}

}  // namespace

void check_buckling(const Solved& s, Checks& checks) {
  const Case* heaviest = heaviest_of(s);
  if (heaviest == nullptr) return;
  const bool loose = !s.model.stood_on.empty();
  Check c = new_check(CheckKind::buckling);
  if (loose) {
    c.capacity = factor_by_leaning(s, *heaviest);
  } else {
    const auto buckling = frame::critical_load(s.model.frame, s.under(*heaviest), {.may_be_loose = true});
    if (!buckling || !buckling->converged) return;
    c.capacity = std::min(buckling->critical_factor, kMostFactor);
  }
  c.demand = kCriticalEnough;
  c.unit = "1";
  c.utilisation = std::min(99.0, kCriticalEnough / c.capacity);
  c.verdict = c.capacity < 1.5 ? Verdict::fails : c.capacity < kCriticalEnough ? Verdict::attention : Verdict::ok;
  c.source =
      loose ? "set out of plumb by 0.005 (EN 1995-1-1 5.4.4) each way, faces open and shut: EN 1993-1-1 (5.2), and "
              "10 by its 5.2.1(3), by analogy"
            : "lowest eigenvalue of the frame's stiffness; 10 by EN 1993-1-1 5.2.1(3) by analogy";
  c.when = heaviest->when;
  c.plain = fmt::format("It would take {:.0f} times its heaviest load to buckle sideways{}.", c.capacity,
                        c.verdict == Verdict::ok ? ": swaying adds nothing that matters"
                                                 : ": what sways is pushed on by its own weight; brace it");
  checks.push_back(c);
}

namespace {

/// Contacts are as they are under its own weight: a small push sideways leaves them so.
Racking racking(const Structure& structure, const Model& model, const frame::Frame& in_use,
                const frame::Solution& weight) {
  const auto solver = frame::Solver::make(frame::as_pressed(in_use, weight), {.may_be_loose = true});
  if (!solver) return {};
  std::vector<frame::NodeIndex> heads;
  for (const Base& b : model.bases)
    if (b.footing >= 0) heads.push_back(head_of(structure, model, b));
  if (heads.empty()) return {};
  const auto stiffness = [&](std::size_t axis) {
    frame::Loads loads;
    const double n = static_cast<double>(heads.size());
    for (const frame::NodeIndex h : heads) {
      frame::NodeLoad push{h, {}, {}};
      push.force_n[axis] = 1000 / n;
      loads.on_nodes.push_back(push);
    }
    const auto solution = solver->solve(loads);
    if (!solution) return 0.0;
    double shift = 0;
    for (const frame::NodeIndex h : heads) shift += solution->displacements[h].translation_mm[axis] / n;
    return shift > 0 ? 1000 / shift : 0.0;
  };
  return {stiffness(0), stiffness(1)};
}

Racking without_braces(const Solved& s, const std::vector<BaseSpring>& bases) {
  const Model model = model_of(s.structure, {false, bases, 1200, s.us()});
  const frame::Frame in_use = model.in_use();
  const auto standing = frame::Solver::make(in_use, {.may_be_loose = true});
  if (!standing) return {};
  const auto weight = standing->solve(SiteLoads(s.structure, model, s.site).dead());
  return weight ? racking(s.structure, model, in_use, *weight) : Racking{};
}

}  // namespace

void check_racking(const Solved& s, const std::vector<BaseSpring>& bases, Checks& checks, Racking& braced,
                   Racking& unbraced) {
  braced = racking(s.structure, s.model, s.model.in_use(), s.under(s.weight_in_use));
  if (braced.x <= 0) return;
  bool has_braces = false;  // those of a leaf hold nothing but the leaf
  for (std::size_t p = 0; p < s.structure.pieces.size(); ++p)
    has_braces = has_braces || (s.structure.pieces[p].duties.has(Duty::brace) && s.model.carries[p]);
  unbraced = has_braces ? without_braces(s, bases) : braced;
  const auto give = [&](CheckKind kind, const char* way, double with, double without) {
    Check c = new_check(kind);
    c.demand = 1000 / with;
    c.capacity = without > 0 ? 1000 / without : 0;
    c.unit = "mm";
    c.utilisation = c.capacity > 0 ? c.demand / c.capacity : 0;
    c.source = "frame with slip moduli of EN 1995-1-1 Table 7.1; 1 kN at the heads, with braces against without";
    c.plain =
        !has_braces ? fmt::format(
                          "There are no braces: 1 kN {} moves the heads {:.0f} mm; only posts in the "
                          "ground and stiff corners resist.",
                          way, c.demand)
        : without <= 0
            ? fmt::format("1 kN {} moves the heads {:.0f} mm; until the braces are in it racks {}.", way, c.demand, way)
            : fmt::format("1 kN {} moves the heads {:.0f} mm; until the braces are in, {:.0f} mm{}.", way, c.demand,
                          c.capacity, c.utilisation < 0.8 ? fmt::format(": it racks {}", way) : "");
    checks.push_back(c);
  };
  give(CheckKind::racking, "along the opening", braced.x, unbraced.x);
  give(CheckKind::racking_across, "from front to back", braced.y, unbraced.y);
}

}  // namespace garthwright::strength
