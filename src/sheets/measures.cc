// SPDX-License-Identifier: Apache-2.0
#include "sheets/measures.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace garthwright::sheets {

namespace {

// Nearer than this on the real thing two faces are one.
constexpr double kSame = 0.5;

std::vector<double> sorted(std::vector<double> places) {
  std::sort(places.begin(), places.end());
  std::vector<double> out;
  for (const double p : places) {
    if (out.empty() || p - out.back() > kSame) out.push_back(p);
  }
  return out;
}

struct Span {
  double low, high;
  double middle() const { return (low + high) / 2; }
};

// Extent of a box along a direction that lies along a world axis (or near enough).
Span extent(const Box& box, Vec3 direction) {
  const double a = dot(box.min, direction), b = dot(box.max, direction);
  return {std::min(a, b), std::max(a, b)};
}

}  // namespace

Measured chain(std::vector<double> places, const Lengths& lengths) {
  Measured m{sorted(std::move(places)), {}, {}};
  const auto running = [&](std::size_t i) { return lengths.printed(m.at[i] - m.at.front()); };
  for (std::size_t i = 0; i + 1 < m.at.size(); ++i) {
    m.words.push_back(lengths(running(i + 1) - running(i)));
    m.brief.push_back(lengths.brief(running(i + 1) - running(i)));
  }
  return m;
}

Measured overall(double from, double to, const Lengths& lengths) { return chain({from, to}, lengths); }

Measured across_posts(const Structure& structure, const Picture& picture, bool along_x, const Lengths& lengths) {
  const Vec3 u = along_x ? rightwards(picture.view) : picture.view.up;
  std::vector<double> places{along_x ? picture.left : picture.low, along_x ? picture.right : picture.high};
  for (std::size_t i = 0; i < structure.pieces.size(); ++i) {
    if (structure.pieces[i].show != Show::faces) continue;
    const Span s = extent(world_box(structure, body(PieceId{static_cast<int>(i)})), u);
    places.push_back(s.low);
    places.push_back(s.high);
  }
  return chain(places, lengths);
}

Measured levels(const Structure& structure, const Picture& picture, const Lengths& lengths) {
  std::vector<double> places{picture.low, picture.high};
  if (picture.low < -kSame) places.push_back(0);
  double post_top = picture.low, underside = picture.high;
  for (std::size_t i = 0; i < structure.pieces.size(); ++i) {
    const Span s = extent(world_box(structure, body(PieceId{static_cast<int>(i)})), picture.view.up);
    const Show show = structure.pieces[i].show;
    if (show == Show::faces) post_top = std::max(post_top, s.high);
    if (show == Show::underside) underside = std::min(underside, s.low);
  }
  constexpr double kTold = 3;  // mm: less below the top of all is no size that anyone sets
  if (post_top > picture.low + kSame && post_top < picture.high - kTold) places.push_back(post_top);
  if (underside < picture.high - kTold) places.push_back(underside);
  return chain(places, lengths);
}

Measured across_rafters(const Structure& structure, const Picture& picture, bool along_x, const Lengths& lengths) {
  const Vec3 direction = along_x ? rightwards(picture.view) : picture.view.up;
  std::vector<double> centres;
  for (std::size_t i = 0; i < structure.pieces.size(); ++i) {
    if (structure.pieces[i].show != Show::middle) continue;
    // Only those that run across the direction: a bar along it has no place in a row.
    if (std::abs(dot(structure.pieces[i].frame.x, direction)) > 0.1) continue;
    centres.push_back(extent(world_box(structure, body(PieceId{static_cast<int>(i)})), direction).middle());
  }
  centres = sorted(centres);
  if (centres.size() < 2) return {};
  const double first = centres[1] - centres[0];
  bool even = true;
  for (std::size_t i = 0; i + 1 < centres.size(); ++i)
    even = even && std::abs(centres[i + 1] - centres[i] - first) < kSame;
  const double low = along_x ? picture.left : picture.low, high = along_x ? picture.right : picture.high;
  if (!even) {
    std::vector<double> places = centres;
    places.insert(places.end(), {low, high});
    return chain(places, lengths);
  }
  Measured m = chain({low, centres.front(), centres.back(), high}, lengths);
  for (std::size_t i = 0; i + 1 < m.at.size(); ++i) {
    if (std::abs(m.at[i] - centres.front()) < kSame && centres.size() > 2) {
      m.words[i] = fmt::format("{} spaces of {} = {}", centres.size() - 1, lengths(first), m.words[i]);
      m.brief[i] = fmt::format("{} spaces of {} = {}", centres.size() - 1, lengths.brief(first), m.brief[i]);
    }
  }
  return m;
}

Measured across_beams(const Structure& structure, const Picture& picture, const Lengths& lengths) {
  std::vector<double> places{picture.low, picture.high};
  const Vec3 right = rightwards(picture.view);
  bool any = false;
  double low = 0, high = 0;
  for (std::size_t i = 0; i < structure.pieces.size(); ++i) {
    const Piece& piece = structure.pieces[i];
    if (piece.show != Show::underside || std::abs(dot(piece.frame.x, right)) < 0.9) continue;
    const Span s = extent(world_box(structure, body(PieceId{static_cast<int>(i)})), picture.view.up);
    low = any ? std::min(low, s.low) : s.low;
    high = any ? std::max(high, s.high) : s.high;
    any = true;
  }
  if (any) {
    places.push_back(low);
    places.push_back(high);
  }
  return chain(places, lengths);
}

}  // namespace garthwright::sheets
