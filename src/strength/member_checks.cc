// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "strength/checks.h"
#include "strength/design_values.h"

namespace garthwright::strength {
namespace {

/// Width and thickness left at a place along a piece: notches that reach it are taken off the side they open on.
struct Net {
  double width, thickness;
};
Net net_at(const Piece& piece, double x) {
  Net net{piece.width.value(), piece.thickness.value()};
  for (const Machining& machining : piece.machining)
    if (const Notch* n = std::get_if<Notch>(&machining)) {
      if (x < n->region.min.x - 1 || x > n->region.max.x + 1) continue;
      const bool edge = n->opens_on == Face::edge_low || n->opens_on == Face::edge_high;
      double& side = edge ? net.width : net.thickness;
      side = std::max(1.0, side - (edge ? n->region.size().y : n->region.size().z));
    }
  return net;
}

struct Worst {
  double use = -1, demand = 0, capacity = 0;
  const Case* when = nullptr;
  PieceId piece;
  Vec3 place;
  void take(double u, double asked, double given, const Case& c, PieceId id, Vec3 at) {
    if (u > use) *this = {u, asked, given, &c, id, at};
  }
};

/// Greatest length of a piece between two places where others are fixed to it; free ends count twice.
double held_apart(const Model& model, PieceId piece) {
  const auto& stations = model.stations[static_cast<std::size_t>(piece.index)];
  double last = stations.front().first, most = 0;
  bool free_end = true;
  for (const auto& [along, node] : stations) {
    if (!model.joined[node]) continue;
    most = std::max(most, (free_end ? 2 : 1) * (along - last));
    last = along, free_end = false;
  }
  return std::max(most, (free_end ? 1 : 2) * (stations.back().first - last));
}

/// A post stands alone (NDS Table G1: 2.1); other timbers are held sideways where others are fixed to them.
Free free_lengths(const Model& model, PieceId id, const Piece& piece, bool post) {
  const auto& stations = model.stations[static_cast<std::size_t>(id.index)];
  const double reach = stations.back().first - stations.front().first;
  return {piece.width.value(), piece.thickness.value(), post ? 2.1 * reach : reach,
          post ? 2.1 * reach : held_apart(model, id)};
}

std::string plain(const Worst& w) {
  if (w.use > 1) return fmt::format("Too weak: {:.0f} % of what it can take is asked.", 100 * w.use);
  return fmt::format("{:.0f} % of its strength is used at most.", 100 * w.use);
}

constexpr double kNoLimit = std::numeric_limits<double>::infinity();

double shear_stress(const frame::SectionForces& q, const Rectangle& r, double kcr) {
  return 1.5 * std::hypot(q.shear_y_n, q.shear_z_n) / (kcr * r.area());
}

/// The greater of the shears in the bars on either side of a crossing.
double shear_beside(const Solved& s, const Case& c, const Piece& piece, const std::vector<std::size_t>& bars,
                    double kcr) {
  double most = 0;
  for (const std::size_t i : bars) {
    const Bar& bar = s.model.bars[i];
    const frame::MemberResult& forces = s.bar(c, bar.member);
    for (const double x : {0.0, forces.length_mm}) {
      const Net net = net_at(piece, bar.from_mm + x);
      most = std::max(most, shear_stress(frame::forces_along(forces, x), {net.thickness, net.width}, kcr));
    }
  }
  return most;
}

}  // namespace

void check_members(const Solved& s, Checks& checks, std::vector<double>& used) {
  struct OfMark {
    Worst bending, shear;
  };
  std::map<std::string, OfMark> marks;
  std::map<std::string, PieceId> unknown;  // by grade, one that has it
  used.assign(s.structure.pieces.size(), -1);

  std::map<Duration, std::optional<DesignValues>> by_duration;
  PieceId of;  // the bars of a piece follow one another
  Free free;
  for (const Bar& bar : s.model.bars) {
    const Piece& piece = s.structure[bar.piece];
    const timber::Section& section = s.structure[piece.section];
    if (bar.piece != of) {
      of = bar.piece;
      free = free_lengths(s.model, of, piece, is_founded(s.structure, of));
      by_duration.clear();
    }
    OfMark& mark = marks[piece.mark];
    for (const Case& c : s.ultimate) {
      if (!s.judges(c, bar.piece)) continue;
      const auto [values, is_new] = by_duration.try_emplace(duration_of(*c.combination));
      if (is_new) values->second = design_values(s.site, section, free, values->first);
      if (!values->second) {
        unknown.try_emplace(section.strength_class, of);
        break;
      }
      const DesignValues& v = *values->second;
      const frame::MemberResult forces = s.bar(c, bar.member);
      const double beside = bar.beside ? shear_beside(s, c, piece, *bar.beside, v.kcr) : kNoLimit;
      for (const double x : frame::places_of_greatest_moment(forces)) {
        const frame::SectionForces q = frame::forces_along(forces, x);
        const Vec3 at = middle_at(piece, bar.from_mm + x);
        const Net net = net_at(piece, bar.from_mm + x);
        const Rectangle r{net.thickness, net.width};
        const Stresses stress{std::abs(q.moment_z_nmm) / r.wy(), std::abs(q.moment_y_nmm) / r.wz(),
                              q.axial_n / r.area(), shear_stress(q, r, v.kcr)};
        const double u = bending_use(s.site, v, stress), shear = std::min(stress.shear, beside) / v.fv;
        const double sum = stress.edge + stress.flat + std::abs(stress.axial);
        mark.bending.take(u, sum, u > 1e-9 && std::isfinite(u) ? sum / u : v.fb_edge, c, of, at);
        mark.shear.take(shear, shear * v.fv, v.fv, c, of, at);
        double& most = used[static_cast<std::size_t>(bar.piece.index)];
        most = std::max({most, u, shear});
      }
    }
  }
  for (const auto& [grade, example] : unknown) {
    Check c = new_check(CheckKind::grade, {body(example)});
    c.unit = "1";
    c.verdict = Verdict::attention;
    c.source = s.us() ? "NDS Supplement" : "EN 338:2016";
    c.plain = fmt::format("Not checked: no strength values are known for \"{}\".", grade);
    checks.push_back(c);
  }
  for (const auto& [_, mark] : marks) {
    const auto give = [&](const Worst& w, CheckKind kind, const char* source) {
      if (w.when == nullptr) return;
      Check c = new_check(kind, {body(w.piece)});
      c.place = w.place;
      c.demand = w.demand, c.capacity = w.capacity, c.unit = "N/mm²", c.utilisation = std::min(w.use, 99.0);
      c.verdict = verdict_of(w.use);
      c.source = source, c.when = w.when->when, c.plain = plain(w);
      checks.push_back(c);
    };
    give(mark.bending, CheckKind::bending,
         s.us() ? "NDS 3.9.1, 3.9.2 (3.9-3), 3.3.3, 3.7.1; Table 4A/4B/4D, CD, CM, CF; net of notches"
                : "EN 1995-1-1 6.2.3, 6.3.2 (6.23), (6.24), 6.3.3, kmod SC3 Table 3.1, γM 1.3; net of notches");
    give(mark.shear, CheckKind::shear,
         s.us() ? "NDS 3.4.2; net of notches" : "EN 1995-1-1 6.1.7, kcr 0.67; net of notches");
  }
}

}  // namespace garthwright::strength
