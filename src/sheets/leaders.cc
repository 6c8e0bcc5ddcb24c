// SPDX-License-Identifier: Apache-2.0
#include "sheets/leaders.h"

#include <algorithm>

#include "sheets/dimension.h"

namespace garthwright::sheets {

void draw_leaders(Items& items, std::vector<Leader> leaders, const Rect& column, bool at_left, double size) {
  std::stable_sort(leaders.begin(), leaders.end(), [](const Leader& a, const Leader& b) { return a.at.y < b.at.y; });
  std::vector<double> middles, heights;
  for (const Leader& l : leaders) {
    middles.push_back(l.at.y);
    heights.push_back(kCapHeight * size);
  }
  const std::vector<double> places = spread(middles, heights, 0.8 * size, column.top, column.bottom);
  for (std::size_t i = 0; i < leaders.size(); ++i) {
    const std::string words = shortened(leaders[i].words, column.width(), size);
    const double x = at_left ? column.right : column.left;
    write(items, words, {x, places[i] + kCapHeight * size / 2}, size, Lettering::plain, at_left ? 1 : -1);
    line(items, {x + (at_left ? 1.2 : -1.2), places[i]}, leaders[i].at, kHair);
    fill_circle(items, leaders[i].at, 0.6, 1);
  }
}

}  // namespace garthwright::sheets
