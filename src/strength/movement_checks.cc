// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <cmath>
#include <map>

#include "strength/checks.h"
#include "strength/moisture_movement.h"

namespace garthwright::strength {
namespace {

constexpr double kBoughtWet = 28;    // %: freshly treated timber, common practice, no source
constexpr double kBoughtDry = 19;    // %: sold as dry, PS 20 "S-DRY"
constexpr double kWorthAWord = 1.0;  // mm: our own

double bought_moisture(const timber::Section& section) {
  // The yard's densities tell: wet timber weighs well over its dry weight.
  return section.density_as_bought_kg_m3 > 1.15 * section.density_dry_kg_m3 ? kBoughtWet : kBoughtDry;
}

}  // namespace

void check_movement(const Structure& s, const Site& site, Checks& checks) {
  std::map<CheckKey, Check> rows;
  for (std::size_t p = 0; p < s.pieces.size(); ++p) {
    const Piece& piece = s.pieces[p];
    for (const Machining& machining : piece.machining) {
      const Notch* n = std::get_if<Notch>(&machining);
      if (n == nullptr || n->against.kind != Body::Kind::piece || is_through_thickness(*n)) continue;
      const Piece& other = s.pieces[static_cast<std::size_t>(n->against.index)];
      // A notch is as wide along the grain as it was sawn; the timber in it grows thinner or thicker.
      const double bought = bought_moisture(s[other.section]);
      const double size = n->wide.value();
      const double then = moisture::size_at(size, site.moisture_percent, bought);
      const double gap = size - then;
      Check c = new_check(CheckKind::moves, {body(PieceId{static_cast<int>(p)}), n->against});
      c.demand = std::abs(gap), c.capacity = kWorthAWord, c.unit = "mm";
      c.utilisation = c.demand / c.capacity;
      c.verdict = c.demand > kWorthAWord ? Verdict::attention : Verdict::ok;
      c.source =
          "EN 336:2013 4.3, 0.25 % for each percent of moisture; moisture as bought is common practice, no source";
      const std::string dries = fmt::format("from {:.0f} % to {:.0f} % moisture", bought, site.moisture_percent);
      c.plain = std::abs(gap) < 0.1 ? "Neither loosens nor binds."
                : gap > 0           ? fmt::format(
                                          "Loosens by {:.1f} mm as it dries ({}): saw it tight, and turn the fixings on "
                                                    "after the first summer.",
                                          gap, dries)
                          : fmt::format("Binds by {:.1f} mm as it swells ({}): leave that much, by `fit` of the saw.",
                                        -gap, dries);
      const auto [at, is_new] = rows.try_emplace(key_of(c, s), c);
      if (!is_new && c.demand > at->second.demand) at->second = c;
    }
  }
  for (auto& [_, c] : rows) checks.push_back(c);
}

}  // namespace garthwright::strength
