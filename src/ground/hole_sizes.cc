// SPDX-License-Identifier: Apache-2.0
#include "ground/hole_sizes.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "ground/ibc_posts.h"

namespace garthwright::ground {
namespace {

void check_width(const Structure& s, const Site& site, std::vector<Check>& checks) {
  const auto needs = [&](const Footing& f) {
    return std::hypot(s[f.post].width.value(), s[f.post].thickness.value()) + 2 * kConcreteRound;
  };
  const auto use = [&](const Footing& f) { return !f.shoe.empty() ? 0 : f.diameter > 0 ? needs(f) / f.diameter : 99; };
  const Footing& worst = *std::max_element(s.footings.begin(), s.footings.end(),
                                           [&](const Footing& a, const Footing& b) { return use(a) < use(b); });
  if (!worst.shoe.empty()) return;  // of a pad's size the loads alone speak: nothing stands in it
  Check c = hole_check(CheckKind::hole_width, worst);
  c.demand = needs(worst), c.capacity = worst.diameter, c.unit = "mm", c.utilisation = use(worst);
  const double corners = c.demand - 2 * kConcreteRound;
  const bool goes_in = corners <= c.capacity;
  c.verdict = !goes_in ? Verdict::fails : c.utilisation > 1 ? Verdict::attention : Verdict::ok;
  c.source = "40 mm of concrete at a post's corners, our own; the trade digs 2 to 3 posts wide";
  c.plain =
      !goes_in ? fmt::format("A hole {} wide does not take the post, whose corners are {} apart: dig at least {}.",
                             format_length(c.capacity, site.print), format_length(corners, site.print),
                             format_length(std::ceil(c.demand / 10) * 10, site.print))
      : c.utilisation > 1
          ? fmt::format("A hole {} wide leaves too little concrete round the post: dig at least {}.",
                        format_length(c.capacity, site.print), format_length(std::ceil(c.demand / 10) * 10, site.print))
          : "Concrete all round the posts.";
  checks.push_back(c);
}

void check_distance(const Structure& s, const Site& site, std::vector<Check>& checks) {
  const Footing* worst = nullptr;
  double most = 1, apart = 0, wide = 0;
  for (std::size_t i = 0; i < s.footings.size(); ++i)
    for (std::size_t j = i + 1; j < s.footings.size(); ++j) {
      const Vec3 d = s.footings[i].centre - s.footings[j].centre;
      const double b = std::max(s.footings[i].diameter, s.footings[j].diameter), away = std::hypot(d.x, d.y);
      if (away <= 0 || ibc::kIsolatedFootings * b / away <= most) continue;
      most = ibc::kIsolatedFootings * b / away, apart = away, wide = b, worst = &s.footings[i];
    }
  if (worst == nullptr) return;
  Check c = hole_check(CheckKind::holes_apart, *worst);
  c.demand = ibc::kIsolatedFootings * wide, c.capacity = apart, c.unit = "mm", c.utilisation = most;
  c.verdict = Verdict::attention;
  c.source = "ASABE EP486 1.2.1: posts count by themselves from 3 widths of the footing on";
  c.plain = fmt::format(
      "Two holes are {} apart: nearer than three widths they share the ground between them and hold less than is "
      "reckoned here. Dig narrower and deeper.",
      format_length(apart, site.print));
  checks.push_back(c);
}

}  // namespace

void check_hole_sizes(const Structure& s, const Site& site, std::vector<Check>& checks) {
  check_width(s, site, checks);
  check_distance(s, site, checks);
  const auto [least, most] = std::minmax_element(s.footings.begin(), s.footings.end(),
                                                 [](const Footing& a, const Footing& b) { return a.depth < b.depth; });
  if (most->depth > kDeepest) {
    Check c = hole_check(CheckKind::hole_depth, *most);
    c.demand = most->depth, c.capacity = kDeepest, c.unit = "mm", c.utilisation = most->depth / kDeepest;
    c.verdict = Verdict::attention;
    c.source = "common practice, no source: deeper is no work for a spade, and its sides may fall in";
    c.plain =
        fmt::format("Holes {} deep want an auger; nobody climbs into one.", format_length(most->depth, site.print));
    checks.push_back(c);
  }
  Check c = hole_check(CheckKind::frost, *least);
  c.demand = site.frost_mm, c.capacity = least->depth, c.unit = "mm";
  c.utilisation = least->depth > 0 ? site.frost_mm / least->depth : 99;
  c.verdict = c.utilisation > 1 ? Verdict::fails : Verdict::ok;
  c.source = "IBC 1809.5 (from memory); frost depth of the site";
  const std::string frost = format_length(site.frost_mm, site.print);
  c.plain = c.utilisation > 1 ? fmt::format("Frost reaches {} and lifts posts: dig at least that deep.", frost)
                              : fmt::format("Below the frost ({}).", frost);
  checks.push_back(c);
}

}  // namespace garthwright::ground
