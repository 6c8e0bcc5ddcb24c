// SPDX-License-Identifier: Apache-2.0
#include "sequence/effort.h"

#include <algorithm>
#include <map>
#include <numbers>

namespace garthwright::sequence {
namespace {

template <class... F>
struct Overloaded : F... {
  using F::operator()...;
};

double prepare_minutes(const Kit& kit, PieceId id, const Rates& r, bool no_power) {
  double shapes = 0;
  for (const Machining& m : (*kit.structure)[id].machining)
    if (std::holds_alternative<Notch>(m) || std::holds_alternative<ShapedEnd>(m)) shapes += r.machine_notch;
  return (r.prepare_piece + shapes) * (no_power ? r.by_hand : 1) + r.seal_piece;
}

double dig_minutes(const Footing& f, const Rates& r) {
  const double litres = std::numbers::pi / 4 * f.diameter * f.diameter * f.depth / 1e6;
  return r.dig_litre * litres + (f.gravel > 0 ? r.gravel_hole : 0);
}

double bring_minutes(const Rates& r, double kg, double length_mm, bool high) {
  return r.fetch + (r.fetch_kg * kg + r.fetch_m * length_mm / 1000) * (high ? r.overhead : 1);
}

double drive_minutes(const Fixing& fixing, const Rates& r, bool no_power, bool cramped, bool high) {
  double m = r.screw;
  if (fixing.kind == timber::FixingKind::coach_screw) m = r.coach_screw;
  if (is_bolt(fixing.kind)) m = r.bolt;
  if (fixing.kind == timber::FixingKind::nail || fixing.kind == timber::FixingKind::staple) m = r.nail;
  return m * (no_power ? r.by_hand : 1) * (cramped ? r.cramped : 1) * (high ? r.overhead : 1);
}

double box_length(const Kit& kit, const std::vector<Body>& bodies) {
  Box box = kit.box[static_cast<std::size_t>(kit.index(bodies.front()))];
  for (const Body b : bodies) box = enclosing(box, kit.box[static_cast<std::size_t>(kit.index(b))]);
  const Vec3 s = box.size();
  return std::max({s.x, s.y, s.z});
}

bool high_on_site(const Kit& kit, int body) {
  return kit.footing[static_cast<std::size_t>(body)] < 0 &&
         kit.box[static_cast<std::size_t>(body)].centre().z > kShoulder;
}

bool is_cramped(const std::string& name) {
  const Tool* tool = tool_named(name);
  return tool != nullptr && tool->cramped;
}

}  // namespace

Work weigh(const Kit& kit, const std::vector<Stage>& stages, const Rates& r, bool no_power) {
  Work work;
  const Structure& structure = *kit.structure;
  std::vector<Workplace> place(static_cast<std::size_t>(kit.count()), -1);
  std::map<Workplace, double> on;  // kg at each workplace
  std::map<Workplace, bool> laid;
  std::string tool;
  for (const Stage& stage : stages) {
    double m = r.stage;
    for (const Step& step : stage.steps) {
      std::visit(
          Overloaded{
              [&](const Prepare& s) { m += prepare_minutes(kit, s.piece, r, no_power); },
              [&](const Dig& s) { m += dig_minutes(structure.footings[static_cast<std::size_t>(s.footing)], r); },
              [&](const Turn& s) {
                if (laid[s.at]) m += r.turn + r.turn_kg * on[s.at];
                laid[s.at] = true;
              },
              [&](const Bring& s) {
                double z = 0;
                bool hole = false;
                for (const Body b : s.bodies) {
                  const int i = kit.index(b);
                  place[static_cast<std::size_t>(i)] = s.to;
                  z = std::max(z, kit.box[static_cast<std::size_t>(i)].centre().z);
                  hole = hole || kit.footing[static_cast<std::size_t>(i)] >= 0;
                }
                on[s.to] += s.kg;
                const bool high = s.to == kSite && !hole && z > kShoulder;
                m += bring_minutes(r, s.kg, box_length(kit, s.bodies), high) + (s.people - 1) * r.second_person;
              },
              [&](const Drive& s) {
                const Fixing& f = structure.fixings[static_cast<std::size_t>(s.fixing)];
                const auto& chain = kit.chain[static_cast<std::size_t>(s.fixing)];
                const bool site = chain.empty() || place[static_cast<std::size_t>(chain.front())] == kSite;
                m += drive_minutes(f, r, no_power, is_cramped(s.tool), site && f.head.z > kShoulder);
                if (!tool.empty() && tool != s.tool) m += r.tool_change;
                tool = s.tool;
              },
              [&](const Brace&) { m += r.batten; },
              [&](const Unbrace&) { m += r.unprop; },
              [&](const Prop&) { m += r.prop; },
              [&](const Unprop&) { m += r.unprop; },
              [&](const Plumb&) { m += r.plumb; },
              [&](const Fill&) { m += r.fill_hole; },
              [&](const Wait&) {},
              [&](const CutHeads& s) {
                m += r.plumb + static_cast<double>(s.posts.size()) * (r.prepare_piece + r.seal_piece);
              },
          },
          step);
    }
    work.of_stage.push_back(m);
    work.minutes += m;
  }
  return work;
}

double least_minutes(const Kit& kit, const Tables& tables, const std::vector<Unit>& units, const Rates& r,
                     bool no_power) {
  const Structure& structure = *kit.structure;
  double total = r.stage;  // all else in one stage
  for (std::size_t i = 0; i < structure.pieces.size(); ++i)
    total += prepare_minutes(kit, PieceId{static_cast<int>(i)}, r, no_power);
  for (const Footing& f : structure.footings) total += dig_minutes(f, r) + r.fill_hole;
  if (!structure.footings.empty()) total += r.plumb;  // posts that stand together are plumbed together

  std::vector<const Unit*> unit_of(static_cast<std::size_t>(kit.count()), nullptr);
  std::vector<char> on_trestles(structure.fixings.size(), 0);
  for (const Unit& u : units) {
    for (const int b : u.bodies) unit_of[static_cast<std::size_t>(b)] = &u;
    for (const int f : u.fixings) on_trestles[static_cast<std::size_t>(f)] = 1;
  }
  for (int b = 0; b < kit.count(); ++b) {
    const std::size_t i = static_cast<std::size_t>(b);
    const bool post = kit.footing[i] >= 0;
    double cost = bring_minutes(r, kit.kg[i], box_length(kit, {kit.bodies[i]}), high_on_site(kit, b)) +
                  (post ? r.prop + r.unprop : 0);
    if (const Unit* u = unit_of[i]) {
      double share = bring_minutes(r, kit.kg[i], box_length(kit, {kit.bodies[i]}), false) + r.fetch_kg * kit.kg[i];
      if (post) {
        int posts = 0;
        for (const int other : u->bodies) posts += kit.footing[static_cast<std::size_t>(other)] >= 0;
        share += (r.prop + r.unprop) / posts;
      }
      cost = std::min(cost, share);
    }
    total += cost;
  }
  for (std::size_t f = 0; f < structure.fixings.size(); ++f) {
    const auto minutes = [&](bool on_site) {
      bool cramped = true;
      for (const int fastener : kit.fasteners_of[f])
        if (tables.has_room(fastener, kit.joined[f], on_site) &&
            !kit.tool_of[static_cast<std::size_t>(fastener)]->cramped)
          cramped = false;
      return drive_minutes(structure.fixings[f], r, no_power, cramped,
                           on_site && structure.fixings[f].head.z > kShoulder);
    };
    // What may be driven on the trestles may be left for the site as well.
    total += on_trestles[f] != 0 ? std::min(minutes(false), minutes(true)) : minutes(true);
  }
  return total;
}

}  // namespace garthwright::sequence
