// SPDX-License-Identifier: Apache-2.0
#include "strength/fixing_group.h"

#include <algorithm>
#include <cmath>

#include "base/us_customary.h"
#include "strength/ec5_connections.h"
#include "strength/nds_connections.h"

namespace garthwright::strength {
namespace {}  // namespace

std::vector<Row> rows_of(const std::vector<const PlacedFixing*>& fixings, const std::vector<Around>& in) {
  std::vector<Row> rows;
  std::vector<bool> taken(in.size(), false);
  for (std::size_t i = 0; i < in.size(); ++i) {
    if (taken[i] || in[i].end_grain || in[i].body.kind != Body::Kind::piece) continue;
    Row row;
    for (std::size_t j = i; j < in.size(); ++j) {
      const bool alike = fixings[j]->fixing->kind == fixings[i]->fixing->kind &&
                         fixings[j]->fixing->diameter == fixings[i]->fixing->diameter;
      if (taken[j] || !alike || std::abs(dot(in[j].at - in[i].at, in[i].side)) >= fixings[i]->values.d) continue;
      row.of.push_back(j), taken[j] = true;
    }
    std::vector<double> along;
    for (const std::size_t j : row.of) along.push_back(dot(in[j].at, in[i].grain));
    std::sort(along.begin(), along.end());
    for (std::size_t k = 1; k < along.size(); ++k)
      row.a1 = k == 1 ? along[k] - along[k - 1] : std::min(row.a1, along[k] - along[k - 1]);
    if (row.of.size() > 1) rows.push_back(std::move(row));
  }
  return rows;
}

double effective(const PlacedFixing& f, std::size_t n, double a1) {
  const double count = static_cast<double>(n), d = spacing_diameter(f);
  return std::max(1.0, by_bolt_rules(f) ? ec5::bolts_effective(count, a1, d) : ec5::nails_effective(count, a1 / d));
}

double group_factor(const PlacedFixing& f, std::size_t n, double spacing, double area_1, double area_2, double e_1,
                    double e_2) {
  constexpr double kSquare = kMillimetresPerInch * kMillimetresPerInch;
  return nds::group_action(static_cast<double>(n), spacing / kMillimetresPerInch, f.values.d / kMillimetresPerInch,
                           area_1 / kSquare, area_2 / kSquare, e_1 / kMpaPerPsi, e_2 / kMpaPerPsi);
}

Splitting splitting_of(const std::vector<Around>& in, double across) {
  Splitting s;
  s.demand = std::abs(across);
  const std::size_t loaded = across > 0 ? 1 : 0;
  double he = 0, h = 0, b = 0;
  for (const Around& a : in) {
    if (a.end_grain || a.body.kind != Body::Kind::piece) continue;
    he = std::max(he, a.edge[loaded]);
    h = std::max(h, a.edge[0] + a.edge[1]);
    b = std::max(b, a.depth);
  }
  if (h > 0 && he > 0 && he < h) s.capacity = ec5::splitting_capacity(b, h, he);
  return s;
}

}  // namespace garthwright::strength
