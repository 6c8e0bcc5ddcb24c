// SPDX-License-Identifier: Apache-2.0
#include "sheets/dimension.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace garthwright::sheets {

namespace {

constexpr double kSize = kDrawn;
constexpr double kFirst = 8.5;         // from the picture to the first line
constexpr double kTier = 7.5;          // from line to line
constexpr double kRow = 4.2;           // one row of numbers that stand beyond their line
constexpr double kLeader = 1.7;        // from the line to such a number
constexpr double kBesideNumber = 1.0;  // white at each end of a number on its line
constexpr double kOvershoot = 1.4;     // of extension lines beyond the dimension line
constexpr double kFromPicture = 1.5;   // white between the picture and an extension line

// Where a number goes: row 0 is on the line, row 1, 2 … beyond it.
struct Number {
  std::string words;
  double middle;  // of the gap
  double place;   // of the number
  int row;
};

struct Arranged {
  std::vector<Number> numbers;
  int rows = 0;  // beyond the line
};

Arranged arrange(const Chain& chain, double least, double most) {
  Arranged out;
  std::vector<std::size_t> tight;
  for (std::size_t i = 0; i < chain.words.size() && i + 1 < chain.at.size(); ++i) {
    if (chain.words[i].empty()) continue;
    const double middle = (chain.at[i] + chain.at[i + 1]) / 2;
    if (text_width(chain.words[i], kSize) + 2 * kBesideNumber <= chain.at[i + 1] - chain.at[i]) {
      out.numbers.push_back({chain.words[i], middle, middle, 0});
    } else if (i < chain.brief.size() &&
               text_width(chain.brief[i], kSize) + 2 * kBesideNumber <= chain.at[i + 1] - chain.at[i]) {
      out.numbers.push_back({chain.brief[i], middle, middle, 0});
    } else {
      tight.push_back(i);
    }
  }
  if (tight.empty()) return out;
  const auto words = [&](std::size_t i) { return i < chain.brief.size() ? chain.brief[i] : chain.words[i]; };
  double total = 0;
  for (const std::size_t i : tight) total += text_width(words(i), kSize) + 1.5;
  out.rows = static_cast<int>(std::clamp(std::ceil(total / (most - least)), 1.0, 6.0));
  for (int row = 0; row < out.rows; ++row) {
    std::vector<std::size_t> mine;
    std::vector<double> centres, widths;
    for (std::size_t k = static_cast<std::size_t>(row); k < tight.size(); k += static_cast<std::size_t>(out.rows)) {
      mine.push_back(tight[k]);
      centres.push_back((chain.at[tight[k]] + chain.at[tight[k] + 1]) / 2);
      widths.push_back(text_width(words(tight[k]), kSize));
    }
    const std::vector<double> places = spread(centres, widths, 1.5, least, most);
    for (std::size_t k = 0; k < mine.size(); ++k) {
      out.numbers.push_back({words(mine[k]), centres[k], places[k], row + 1});
    }
  }
  return out;
}

// Maps (along the side, away from the picture) to the page.
struct Away {
  Side side;
  Rect picture;

  Point operator()(double along, double away) const {
    switch (side) {
      case Side::below:
        return {along, picture.bottom + away};
      case Side::above:
        return {along, picture.top - away};
      case Side::right:
        return {picture.right + away, along};
      case Side::left:
        return {picture.left - away, along};
    }
    return {};
  }
  bool upright() const { return side == Side::left || side == Side::right; }

  // A number whose box lies `near` to `near + cap height` away from the picture, centred at `along`; read from below
  // or from the right.
  Text number(const std::string& words, double along, double near) const {
    const double cap = kCapHeight * kSize;
    const bool grows_with_baseline_up = side == Side::above || side == Side::left;
    const double baseline = grows_with_baseline_up ? near : near + cap;
    return lettered(words, (*this)(along, baseline), kSize, Lettering::plain, 0, upright() ? 90 : 0);
  }
};

// Numbers are read from below or from the right: on their line they stand nearer the picture below and right of it,
// and beyond the line above and left, where those that do not fit must stand a row farther out.
double rows_begin(Side side) {
  return kLeader + (side == Side::above || side == Side::left ? kCapHeight * kSize + 0.5 : 0);
}

std::vector<double> line_places(Side side, const std::vector<Arranged>& tiers) {
  std::vector<double> places;
  double at = kFirst;
  for (const Arranged& tier : tiers) {
    places.push_back(at);
    at += kTier + (tier.rows > 0 ? rows_begin(side) - 1 + tier.rows * kRow : 0);
  }
  return places;
}

}  // namespace

std::vector<double> spread(const std::vector<double>& centres, const std::vector<double>& widths, double gap,
                           double least, double most) {
  // Blocks of things that touch; a block stands at the mean of what its members ask, and merges with one it meets.
  struct Block {
    double centre_sum = 0;  // of wished left edges, each less its offset in the block
    double width = 0;
    std::size_t count = 0;
    double left(double lo, double hi) const {
      return std::max(lo, std::min(centre_sum / static_cast<double>(count), hi - width));
    }
  };
  std::vector<Block> blocks;
  for (std::size_t i = 0; i < centres.size(); ++i) {
    blocks.push_back({centres[i] - widths[i] / 2, widths[i], 1});
    while (blocks.size() > 1) {
      Block& a = blocks[blocks.size() - 2];
      const Block& b = blocks.back();
      if (a.left(least, most) + a.width + gap <= b.left(least, most)) break;
      const double shift = a.width + gap;
      a.centre_sum += b.centre_sum - shift * static_cast<double>(b.count);
      a.width = shift + b.width;
      a.count += b.count;
      blocks.pop_back();
    }
  }
  std::vector<double> places;
  for (const Block& block : blocks) {
    double x = block.left(least, most);
    for (std::size_t k = 0; k < block.count; ++k) {
      const double w = widths[places.size()];
      places.push_back(x + w / 2);
      x += w + gap;
    }
  }
  return places;
}

double depth(const Tiers& tiers, double least, double most) {
  std::vector<Arranged> arranged;
  for (const Chain& c : tiers.chains) arranged.push_back(arrange(c, least, most));
  if (arranged.empty()) return 0;
  const int rows = arranged.back().rows;
  return line_places(tiers.side, arranged).back() +
         (rows > 0 ? rows_begin(tiers.side) + rows * kRow : kOvershoot + 0.5);
}

void dimension(Items& items, const Rect& picture, const Tiers& tiers, double least, double most) {
  const Away page{tiers.side, picture};
  std::vector<Arranged> arranged;
  for (const Chain& c : tiers.chains) arranged.push_back(arrange(c, least, most));
  const std::vector<double> places = line_places(tiers.side, arranged);
  const double cap = kCapHeight * kSize;

  Group group{"dimensions", {}};
  std::vector<Rect> numbers;
  std::vector<std::pair<Point, Point>> leaders;
  for (std::size_t t = 0; t < tiers.chains.size(); ++t) {
    for (const Number& n : arranged[t].numbers) {
      const bool inwards = tiers.side == Side::below || tiers.side == Side::right;
      const double near = n.row > 0 ? places[t] + rows_begin(tiers.side) + (n.row - 1) * kRow + 0.7
                          : inwards ? places[t] - 0.9 - cap
                                    : places[t] + 0.9;
      Text text = page.number(n.words, n.place, near);
      numbers.push_back(text.ink);
      if (n.row > 0) leaders.push_back({page(n.middle, places[t]), page(n.place, near - 0.5)});
      group.items.push_back({std::move(text)});
    }
  }
  for (const auto& [from, to] : leaders) line_clear_of(group.items, from, to, numbers, kHair);
  std::vector<std::pair<double, double>> drawn;  // extension lines: where, how far out
  for (std::size_t t = 0; t < tiers.chains.size(); ++t) {
    const Chain& chain = tiers.chains[t];
    if (chain.at.size() < 2) continue;
    line_clear_of(group.items, page(chain.at.front(), places[t]), page(chain.at.back(), places[t]), numbers, kHair);
    for (const double at : chain.at) {
      const Point c = page(at, places[t]);
      line(group.items, {c.x - 0.9, c.y + 0.9}, {c.x + 0.9, c.y - 0.9}, kThick);
      double from = kFromPicture;
      auto known =
          std::find_if(drawn.begin(), drawn.end(), [&](const auto& d) { return std::abs(d.first - at) < 0.01; });
      if (known != drawn.end()) {
        from = known->second;
        known->second = places[t] + kOvershoot;
      } else {
        drawn.emplace_back(at, places[t] + kOvershoot);
      }
      line_clear_of(group.items, page(at, from), page(at, places[t] + kOvershoot), numbers, kHair);
    }
  }
  items.push_back({std::move(group)});
}

}  // namespace garthwright::sheets
