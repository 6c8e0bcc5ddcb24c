// SPDX-License-Identifier: Apache-2.0
#include "strength/fixing_checks.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>

#include "strength/fixing_group.h"
#include "strength/model.h"
#include "strength/wall_fixings.h"

namespace garthwright::strength {
namespace {

constexpr double kLoadedPart = 0.1;  // of its strength from which a fixing loads ends and edges: our own
constexpr double kAlike = 0.7;       // cosine between forces that load a timber alike

/// A joint's fixings as they are, before any load.
struct Prepared {
  JointId id;
  bool wall = false;
  std::vector<int> fixings;  ///< indices into Structure::fixings
  std::vector<const PlacedFixing*> placed;
  std::vector<int> plane;
  std::array<std::vector<Around>, 2> around;  ///< in joint.a and joint.b, with `fixings`
  std::array<std::vector<Row>, 2> rows;
  double group = 1;  ///< C_g of NDS

  std::size_t at(int fixing) const {
    return static_cast<std::size_t>(std::find(fixings.begin(), fixings.end(), fixing) - fixings.begin());
  }
};

double area_of(const Structure& s, Body b) {
  const Piece& p = s.pieces[static_cast<std::size_t>(b.index)];
  return p.width.value() * p.thickness.value();
}

Prepared prepare(const Structure& s, const Site& site, JointId id, const std::vector<PlacedFixing>& all) {
  Prepared p;
  p.id = id;
  const Joint& joint = s[id];
  p.wall = joint.a.kind == Body::Kind::wall || joint.b.kind == Body::Kind::wall;
  for (const int f : fixings_of(s, joint)) {
    const PlacedFixing& fixing = all[static_cast<std::size_t>(f)];
    const int plane = fixing.seat.plane(joint.a, joint.b);
    if (plane < 0) continue;
    p.fixings.push_back(f), p.placed.push_back(&fixing), p.plane.push_back(plane);
    for (std::size_t side = 0; side < 2; ++side) {
      const Body b = side == 0 ? joint.a : joint.b;
      const auto layer =
          static_cast<std::size_t>(plane) + (fixing.seat.layers[static_cast<std::size_t>(plane)].body == b ? 0 : 1);
      p.around[side].push_back(around(s, fixing, layer));
    }
  }
  for (std::size_t side = 0; side < 2; ++side) p.rows[side] = rows_of(p.placed, p.around[side]);
  if (site.route == Site::Route::us && !p.wall)
    for (const auto& rows : p.rows)
      for (const Row& row : rows) {
        const auto stiff = [&](Body b) {
          return stiffness_of(s[s.pieces[static_cast<std::size_t>(b.index)].section]).e;
        };
        p.group = std::min(p.group, group_factor(*p.placed[row.of.front()], row.of.size(), row.a1, area_of(s, joint.a),
                                                 area_of(s, joint.b), stiff(joint.a), stiff(joint.b)));
      }
  return p;
}

/// One force in its joint.
struct Acting {
  std::size_t at = 0;  ///< in Prepared
  Vec3 on_point, on_a, on_b;
  Asked asked;
  PlaneStrength strength;
  double use = 0;
};

/// The worst of one kind in one joint.
struct Worst {
  double use = -1, demand = 0, capacity = 0;
  const LoadedCase* when = nullptr;
  std::size_t at = 0;
  PlaneStrength strength;
  Asked asked;
  std::string what;
};

class Judge {
 public:
  Judge(const Structure& s, const Site& site, const Prepared& p) : s_(s), site_(site), p_(p), joint_(s[p.id]) {}

  void take(const LoadedCase& c, const std::vector<FixingForce>& forces, const std::vector<FixingForce>& elsewhere) {
    acting_.clear();
    JointShare share;
    share.fixings = static_cast<int>(p_.fixings.size());
    share.group = p_.group;
    share.pulled = 0;
    for (const FixingForce& f : forces) {
      const std::size_t at = p_.at(f.fixing);
      if (at >= p_.fixings.size()) continue;
      Acting a;
      a.at = at;
      const PlacedFixing& fixing = *p_.placed[at];
      const Layer& point = fixing.seat.layers[static_cast<std::size_t>(p_.plane[at]) + 1];
      // A bent part is two halves in the frame: the worse one's force is taken for both.
      const double halves = norm(fixing.fixing->leg) > 0 ? 2 : 1;
      a.on_point = halves * (f.second == point.body ? f.force : -f.force);
      a.on_b = halves * (f.second == joint_.b ? f.force : -f.force);
      a.on_a = -a.on_b;
      a.asked = fixing.fixing->kind >= timber::FixingKind::hanger ? Asked{} : asked_of(fixing, a.on_point);
      if (a.asked.pull > kTrifle) ++share.pulled;
      acting_.push_back(a);
    }
    share.pulled = std::max(1, share.pulled);
    if (us() && !p_.wall) share.geometry = geometry();
    for (Acting& a : acting_) strength(c, a, share, elsewhere);
    if (p_.wall) return distances(c);
    if (!us()) rows(c, share);
    if (!us()) splitting(c);
    distances(c);
  }

  std::vector<Check> checks() const {
    std::vector<Check> out;
    if (one_.when != nullptr) out.push_back(joint_row());
    if (row_.when != nullptr) out.push_back(row_row());
    if (splitting_.when != nullptr) out.push_back(splitting_row());
    if (nearest_.to != Distance::To::none) out.push_back(spacing_row());
    return out;
  }

 private:
  bool us() const { return site_.route == Site::Route::us; }
  const Fixing& fixing(std::size_t at) const { return *p_.placed[at]->fixing; }
  Vec3 on_side(const Acting& a, std::size_t side) const { return side == 0 ? a.on_a : a.on_b; }

  /// The force across a fixing that acts on the timber of one side, and whether it counts.
  OnTimber on_timber(const Acting& a, std::size_t side) const {
    const Vec3 d = p_.placed[a.at]->seat.direction, f = on_side(a, side);
    return {f - dot(f, d) * d, a.asked.across > std::max(kTrifle, kLoadedPart * a.strength.lateral),
            a.asked.pull > std::max(kTrifle, kLoadedPart * a.strength.axial)};
  }

  /// C_delta: the worst fixing's holds for all. Loaded is what bears more than a trifle.
  double geometry() const {
    double factor = 1;
    for (const Acting& a : acting_) {
      if (fixing(a.at).diameter < 6.35 - 1e-6) continue;
      for (std::size_t side = 0; side < 2; ++side) {
        const std::vector<Around>& around = p_.around[side];
        OnTimber on = on_timber(a, side);
        on.loaded = a.asked.across > kTrifle;
        factor = std::min(factor, geometry_of_borders(*p_.placed[a.at], around[a.at], on));
        for (std::size_t j = 0; j < around.size(); ++j)
          if (j != a.at) factor = std::min(factor, geometry_of_next(*p_.placed[a.at], around[a.at], around[j]));
      }
    }
    return factor;
  }

  /// The fixing's other plane loads the timber in the middle in the same sense.
  bool both_ways(const Acting& a, const std::vector<FixingForce>& elsewhere) const {
    const Seat& seat = p_.placed[a.at]->seat;
    if (seat.layers.size() != 3) return false;
    const Body middle = seat.layers[1].body;
    const Vec3 mine = middle == joint_.a ? a.on_a : a.on_b;
    for (const FixingForce& f : elsewhere) {
      if (f.fixing != p_.fixings[a.at]) continue;
      if ((f.first == joint_.a && f.second == joint_.b) || (f.first == joint_.b && f.second == joint_.a)) continue;
      const Vec3 other = f.second == middle ? f.force : -f.force;
      const double sizes = norm(mine) * norm(other);
      if (sizes > 0 && dot(mine, other) > kAlike * sizes) return true;
    }
    return false;
  }

  void strength(const LoadedCase& c, Acting& a, JointShare share, const std::vector<FixingForce>& elsewhere) {
    const PlacedFixing& f = *p_.placed[a.at];
    share.middle_pulled_both_ways = both_ways(a, elsewhere);
    a.strength = p_.wall ? wall_strength(s_, site_, f, a.on_point, c.duration)
                         : plane_strength(s_, site_, f, p_.plane[a.at], a.on_point, c.duration, share);
    double extra = 0;
    if (f.fixing->kind >= timber::FixingKind::hanger) extra = hangs(a, c);
    a.use = p_.wall ? wall_use(a) : plane_use(site_, *f.fixing, a.strength, a.asked);
    a.use = std::min(kNoStrength, a.use + extra);
    if (a.use > one_.use) one_ = {a.use, 0, 0, &c, a.at, a.strength, a.asked, {}};
  }

  /// A hanger or shoe is strong downwards: that part of the force is taken here, the rest stays for pull and side.
  double hangs(Acting& a, const LoadedCase&) const {
    const timber::FixingMake& m = fixing(a.at).make;
    a.asked = {std::hypot(a.on_point.x, a.on_point.y), std::max(0.0, a.on_point.z)};
    const double down = std::max(0.0, -a.on_point.z);
    if (down <= kTrifle) return 0;
    if (m.down_n <= 0) return kNoStrength;
    const double factor = m.pull_n > 0 ? a.strength.axial / m.pull_n : m.side_n > 0 ? a.strength.lateral / m.side_n : 1;
    return down / (factor * m.down_n);
  }

  static double wall_use(const Acting& a) {
    if ((a.strength.lateral <= 0 && a.asked.across > kTrifle) || (a.strength.axial <= 0 && a.asked.pull > kTrifle))
      return kNoStrength;
    return (a.strength.lateral > 0 ? a.asked.across / a.strength.lateral : 0) +
           (a.strength.axial > 0 ? a.asked.pull / a.strength.axial : 0);
  }

  void rows(const LoadedCase& c, const JointShare& share) {
    for (std::size_t side = 0; side < 2; ++side)
      for (std::size_t r = 0; r < p_.rows[side].size(); ++r) {
        const Row& row = p_.rows[side][r];
        if (is_connector(fixing(row.of.front()).kind)) continue;  // declared as a whole
        double along = 0;
        for (const Acting& a : acting_)
          if (std::find(row.of.begin(), row.of.end(), a.at) != row.of.end())
            along += std::abs(dot(on_side(a, side), p_.around[side][a.at].grain));
        const std::size_t first = row.of.front();
        const PlacedFixing& f = *p_.placed[first];
        // Of one fixing under a force along this grain; the same in every case of one duration.
        const auto [found, is_new] = along_grain_.try_emplace({side, r, c.duration.en});
        if (is_new) {
          double least = 1e12;
          for (const std::size_t at : row.of)
            least = std::min(least, plane_strength(s_, site_, *p_.placed[at], p_.plane[at],
                                                   p_.around[side][first].grain, c.duration, share)
                                        .lateral);
          found->second = least;
        }
        if (found->second <= 0) continue;  // the joint's own row says so
        const double capacity = effective(f, row.of.size(), row.a1) * found->second;
        const double use = along / capacity;
        if (use > row_.use)
          row_ = {use,
                  along,
                  capacity,
                  &c,
                  first,
                  {},
                  {},
                  fmt::format("{} in a row along the grain of {}, {:.0f} mm apart", row.of.size(),
                              describe(s_, p_.around[side][first].body), row.a1)};
      }
  }

  void splitting(const LoadedCase& c) {
    const double k = kmod(site_, c.duration) / ec5::gamma_m(ec5::Material::solid);
    for (std::size_t side = 0; side < 2; ++side) {
      double across = 0;
      for (const Acting& a : acting_)
        if (!p_.around[side][a.at].end_grain && !is_connector(fixing(a.at).kind))
          across += dot(on_side(a, side), p_.around[side][a.at].side);
      const Splitting split = splitting_of(p_.around[side], across);
      if (split.capacity <= 0) continue;
      const double use = split.demand / (k * split.capacity);
      if (use > splitting_.use)
        splitting_ = {use, split.demand, k * split.capacity, &c, 0, {}, {}, describe(s_, p_.around[side].front().body)};
    }
  }

  void distances(const LoadedCase& c) {
    for (const Acting& a : acting_) {
      if (is_connector(fixing(a.at).kind)) continue;
      for (std::size_t side = 0; side < 2; ++side) {
        const std::vector<Around>& around = p_.around[side];
        const OnTimber on = on_timber(a, side);
        near(c, a.at, to_borders(s_, site_, *p_.placed[a.at], around[a.at], on));
        for (std::size_t j = 0; j < around.size(); ++j)
          if (j != a.at && !is_connector(fixing(j).kind))
            near(c, a.at, to_next(s_, site_, *p_.placed[a.at], around[a.at], *p_.placed[j], around[j], on));
      }
    }
  }
  void near(const LoadedCase& c, std::size_t at, const Distance& d) {
    const double use = d.use();
    const Verdict verdict = verdict_on(at, d);
    if (std::pair{verdict, use} <= std::pair{too_near_, spacing_.use}) return;
    spacing_.use = use, spacing_.demand = d.wanted, spacing_.capacity = d.actual, spacing_.when = &c, spacing_.at = at;
    nearest_ = d, too_near_ = verdict;
  }
  /// A little is forgiven, and the European figures are a counsel where the NDS has none.
  Verdict verdict_on(std::size_t at, const Distance& d) const {
    const double missing = d.wanted - d.actual;
    if (missing <= 0) return Verdict::ok;
    const bool forgiven = missing <= std::max(kSetByHand, kSetByHandPart * d.wanted);
    const bool counsel = us() && fixing(at).diameter < 6.35 - 1e-6;
    return forgiven || counsel ? Verdict::attention : Verdict::fails;
  }

  // ---- as rows of a report ----

  Check row_of(CheckKind kind, const Worst& w) const {
    const auto mark = [&](Body b) {
      return b.kind == Body::Kind::piece ? s_[PieceId{b.index}].mark : std::string("~");
    };
    Check c = new_check(
        kind, mark(joint_.a) < mark(joint_.b) ? std::vector{joint_.a, joint_.b} : std::vector{joint_.b, joint_.a});
    c.joint = p_.id;
    const PlacedFixing& f = *p_.placed[w.at];
    c.place = f.seat.crossing(p_.plane[w.at]);
    c.when = w.when->when;
    c.demand = w.demand / 1000, c.capacity = w.capacity / 1000, c.unit = "kN";
    c.utilisation = std::min(w.use, kNoStrength);
    c.verdict = verdict_of(w.use);
    return c;
  }
  std::string which(std::size_t at) const {
    return p_.fixings.size() == 1 ? fixing(at).item
                                  : fmt::format("{} {} of {}", fixing(at).item, at + 1, p_.fixings.size());
  }

  Check joint_row() const {
    Worst w = one_;
    w.demand = std::hypot(w.asked.across, w.asked.pull);
    w.capacity = w.use > 1e-9 ? w.demand / w.use : std::max(w.strength.lateral, w.strength.axial);
    Check c = row_of(CheckKind::joint, w);
    c.source = p_.wall ? wall_source(site_) : source_of(site_, *p_.placed[w.at]);
    if (w.use >= kNoStrength) {
      c.capacity = 0;
      const bool across = w.strength.lateral <= 0 && w.asked.across > kTrifle;
      std::string why = w.strength.why;
      if (!across || why.empty())
        why = across ? "nothing holds it there" : "its thread is in end grain, or too little of it is in the timber";
      c.plain = fmt::format("{} carries {:.0f} N {} where no strength may be counted on: {}. {}", which(w.at),
                            across ? w.asked.across : w.asked.pull, across ? "across itself" : "pulling it out", why,
                            p_.wall ? "Find another hold, or ask the anchor's maker."
                                    : "Add a bracket, or a longer one across the grain.");
    } else {
      c.plain = fmt::format("{}: {:.0f} N across and {:.0f} N along itself, {:.0f} % of its strength ({}).",
                            which(w.at), w.asked.across, w.asked.pull, 100 * w.use, w.strength.mode);
      if (w.use > 1) c.plain = "Too weak. " + c.plain;
    }
    if (p_.wall) c.plain += " Values for the wall are cautious ones of our own: ask the anchor's maker.";
    return c;
  }
  Check row_row() const {
    Check c = row_of(CheckKind::row, row_);
    c.source = by_bolt_rules(*p_.placed[row_.at]) ? "EN 1995-1-1 8.1.2, 8.5.1.1 (8.34)"
                                                  : "EN 1995-1-1 8.1.2, (8.17), Table 8.1";
    c.plain = fmt::format("{}: they count as fewer, {:.0f} % of that is used.{}", row_.what, 100 * row_.use,
                          row_.use > 1 ? " Set them farther apart, or beside one another by a diameter." : "");
    return c;
  }
  Check splitting_row() const {
    Check c = row_of(CheckKind::splitting, splitting_);
    c.source = "EN 1995-1-1 8.1.4 (8.4), the whole force on one side of the joint";
    c.plain =
        fmt::format("{:.0f} % of what splits {} along its grain is asked.{}", 100 * splitting_.use, splitting_.what,
                    splitting_.use > 1 ? " Set the fixings farther from the edge that they press to." : "");
    return c;
  }
  Check spacing_row() const {
    Check c = row_of(CheckKind::spacing, spacing_);
    c.demand = spacing_.demand, c.capacity = spacing_.capacity, c.unit = "mm";
    const double missing = spacing_.demand - spacing_.capacity;
    c.verdict = too_near_;
    c.source = us() ? "NDS Tables 12.5.1A–D (1/4 in and more); EN 1995-1-1 Table 8.2 below, as a counsel"
                    : "EN 1995-1-1 Tables 8.2, 8.4, 8.6; 2 mm or a twentieth forgiven (our own)";
    const std::string what = words_of(s_, nearest_);
    c.plain = missing <= 0 ? fmt::format("Nearest {:.0f} mm ({}), {:.0f} mm are wanted.", spacing_.capacity, what,
                                         spacing_.demand)
                           : fmt::format("{}: {:.0f} mm from the {}, where {:.0f} mm are wanted: it may split.",
                                         which(spacing_.at), spacing_.capacity, what, spacing_.demand);
    return c;
  }

  const Structure& s_;
  const Site& site_;
  const Prepared& p_;
  const Joint& joint_;
  std::vector<Acting> acting_;
  std::map<std::tuple<std::size_t, std::size_t, ec5::Duration>, double> along_grain_;
  Worst one_, row_, splitting_, spacing_;
  Distance nearest_;  ///< of spacing_
  Verdict too_near_ = Verdict::ok;
};

}  // namespace

std::vector<Check> judge_fixings(const Structure& s, const Site& site, const std::vector<LoadedCase>& cases) {
  std::vector<PlacedFixing> all;
  for (const Fixing& f : s.fixings) all.push_back(placed(s, f));
  std::map<int, Prepared> prepared;
  std::map<std::pair<Body, Body>, int> joint_of;
  const auto joint = [&](Body a, Body b) {
    const auto [at, is_new] = joint_of.try_emplace(std::minmax(a, b), -1);
    if (is_new) {
      const JointId id = joint_between(s, a, b);
      at->second = id ? id.index : -1;
      if (id) prepared.emplace(id.index, prepare(s, site, id, all));
    }
    return at->second;
  };
  std::map<int, Judge> judges;
  for (const LoadedCase& c : cases) {
    std::map<int, std::vector<FixingForce>> by_joint;
    std::vector<FixingForce> chains;  // of fixings with more planes than one
    for (const FixingForce& f : c.forces) {
      by_joint[joint(f.first, f.second)].push_back(f);
      if (s.fixings[static_cast<std::size_t>(f.fixing)].through.size() > 2) chains.push_back(f);
    }
    for (const auto& [id, forces] : by_joint) {
      if (id < 0) continue;
      judges.try_emplace(id, s, site, prepared.at(id)).first->second.take(c, forces, chains);
    }
  }
  std::map<CheckKey, Check> worst;
  for (const auto& [id, judge] : judges)
    for (Check& c : judge.checks()) {
      const auto [at, is_new] = worst.try_emplace(key_of(c, s), c);
      if (!is_new && std::pair{c.verdict, c.utilisation} > std::pair{at->second.verdict, at->second.utilisation})
        at->second = std::move(c);
    }
  std::vector<Check> out;
  for (auto& [_, c] : worst) out.push_back(std::move(c));
  return out;
}

// ---- corrosion ------------------------------------------------------------------------------------------------------

namespace {

using timber::Corrosion;

/// EN 1995-1-1 Table 4.1, service class 3, from memory: zinc of 25 µm; staples and sheet up to 3 mm stainless.
Verdict lasts(const Fixing& f, bool copper, bool sea, std::string& why) {
  const bool sheet = f.kind == timber::FixingKind::staple || is_connector(f.kind);
  switch (f.make.corrosion) {
    case Corrosion::unknown:
      why = "the catalogue does not say what keeps rust from it";
      return Verdict::attention;
    case Corrosion::bare:
    case Corrosion::zinc_12:
      why = "too little zinc for outdoors";
      return Verdict::fails;
    case Corrosion::zinc_25:
      why = copper  ? "thin zinc is eaten by the copper in treated timber"
            : sheet ? "thin sheet outdoors wants to be stainless"
                    : "";
      return copper ? Verdict::fails : sheet ? Verdict::attention : Verdict::ok;
    case Corrosion::hot_dip:
      why = sea ? "by the sea zinc lasts some years only" : sheet ? "thin sheet outdoors wants to be stainless" : "";
      return sea || sheet ? Verdict::attention : Verdict::ok;
    case Corrosion::coated:
      why = sea ? "by the sea take stainless steel A4" : "";
      return sea ? Verdict::attention : Verdict::ok;
    case Corrosion::stainless_a2:
      why = sea ? "by the sea take A4" : "";
      return sea ? Verdict::attention : Verdict::ok;
    case Corrosion::stainless_a4:
      return Verdict::ok;
  }
  return Verdict::attention;
}

}  // namespace

std::vector<Check> judge_corrosion(const Structure& s, const Site& site) {
  Check worst;
  std::string why, item;
  for (const Fixing& f : s.fixings) {
    bool copper = false;
    std::vector<Body> pieces;
    for (const Body b : f.through) {
      if (b.kind != Body::Kind::piece) continue;
      pieces.push_back(b);
      const timber::Section& section = s[s.pieces[static_cast<std::size_t>(b.index)].section];
      copper = copper || !section.treatment.empty();  // what presses preservatives in today holds copper
    }
    std::string reason;
    const Verdict v = lasts(f, copper, site.exposure == "coast", reason);
    if (item.empty() || v > worst.verdict) {
      worst = new_check(CheckKind::corrosion, pieces);
      worst.verdict = v;
      worst.place = f.head;
      why = reason, item = f.item;
    }
  }
  if (item.empty()) return {};
  worst.unit = "1";  // no figure: it lasts, it may not, it does not
  worst.utilisation = worst.verdict == Verdict::fails ? kNoStrength : worst.verdict == Verdict::attention ? 1 : 0;
  worst.source = site.route == Site::Route::us
                     ? "IRC R317.3 (from memory): fasteners in treated wood hot-dipped or stainless"
                     : "EN 1995-1-1 4.2 Table 4.1, service class 3 (from memory)";
  worst.plain = worst.verdict == Verdict::ok ? "All fixings are protected for outdoors and for treated timber."
                                             : fmt::format("{}: {}.", item, why);
  return {worst};
}

}  // namespace garthwright::strength
