// SPDX-License-Identifier: Apache-2.0
#include "strength/shelter.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "strength/interpolate.h"

namespace garthwright::strength {
namespace {

constexpr double kSame = 1;      // mm, and for unit vectors in thousandths: one is as the other
constexpr double kBehind = 150;  // mm: a timber nearer to a panel than this is within its wake or it in the timber's
constexpr double kAcross = 0.3;  // cosine above which a timber does not stand across the wind
constexpr double kSide = 0.7;    // share of the height or length that must lie behind the other to be sheltered

bool alike(const Piece& a, const Piece& b) {
  return a.duties == b.duties && a.section == b.section && std::abs(a.length.value() - b.length.value()) < kSame &&
         std::abs(std::abs(dot(a.frame.x, b.frame.x)) - 1) < 1e-3;
}

/// Share of the smaller that lies within the other, seen along the wind.
double behind(const Silhouette& a, const Silhouette& b) {
  const double wide = std::min(a.right, b.right) - std::max(a.left, b.left),
               high = std::min(a.high, b.high) - std::max(a.low, b.low);
  const double area = std::min((a.right - a.left) * (a.high - a.low), (b.right - b.left) * (b.high - b.low));
  return wide <= 0 || high <= 0 || area <= 0 ? 0 : wide * high / area;
}

}  // namespace

double shielding(double solidity, double spacing) {
  constexpr std::array<double, 8> kSolidity = {0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.7, 1.0};
  constexpr std::array<double, 5> kSpacing = {0.5, 1, 2, 4, 8};
  constexpr std::array<std::array<double, 5>, 8> kTable = {{{1.0, 1.0, 1.0, 1.0, 1.0},
                                                            {0.9, 1.0, 1.0, 1.0, 1.0},
                                                            {0.8, 0.9, 1.0, 1.0, 1.0},
                                                            {0.7, 0.8, 1.0, 1.0, 1.0},
                                                            {0.6, 0.7, 1.0, 1.0, 1.0},
                                                            {0.5, 0.6, 0.9, 1.0, 1.0},
                                                            {0.3, 0.6, 0.8, 0.9, 1.0},
                                                            {0.3, 0.6, 0.6, 0.8, 1.0}}};
  std::array<double, 8> at{};
  for (std::size_t row = 0; row < at.size(); ++row) at[row] = interpolate(kSpacing, kTable[row], spacing);
  return interpolate(kSolidity, at, solidity);
}

Silhouette silhouette(const Box& box, Vec3 along) {
  const Vec3 side{-along.y, along.x, 0};
  Silhouette s{1e18, -1e18, box.min.z, box.max.z};
  for (const double x : {box.min.x, box.max.x})
    for (const double y : {box.min.y, box.max.y}) {
      const double at = x * side.x + y * side.y;
      s.left = std::min(s.left, at), s.right = std::max(s.right, at);
    }
  return s;
}

Silhouette plan_of(const Box& box) { return {box.min.x, box.max.x, box.min.y, box.max.y}; }

double covered(const std::vector<Silhouette>& all, const Silhouette& frame) {
  std::vector<double> cuts{frame.left, frame.right};
  for (const Silhouette& s : all)
    for (const double x : {s.left, s.right}) cuts.push_back(std::clamp(x, frame.left, frame.right));
  std::sort(cuts.begin(), cuts.end());
  double area = 0;
  for (std::size_t i = 1; i < cuts.size(); ++i) {
    const double wide = cuts[i] - cuts[i - 1], middle = (cuts[i] + cuts[i - 1]) / 2;
    if (wide <= 0) continue;
    std::vector<std::pair<double, double>> heights;
    for (const Silhouette& s : all)
      if (s.left < middle && middle < s.right)
        heights.emplace_back(std::clamp(s.low, frame.low, frame.high), std::clamp(s.high, frame.low, frame.high));
    std::sort(heights.begin(), heights.end());
    double reached = frame.low;
    for (const auto& [low, high] : heights) {
      area += wide * std::max(0.0, high - std::max(low, reached));
      reached = std::max(reached, high);
    }
  }
  return area;
}

std::vector<double> exposed(const Structure& s, Vec3 along, const std::vector<double>& panel_solidity) {
  std::vector<double> share(s.pieces.size(), 1);
  const auto at = [&](const Piece& p) { return dot(p.frame.to_world(p.blank().centre()), along); };
  for (std::size_t i = 0; i < s.pieces.size(); ++i) {
    const Piece& p = s.pieces[i];
    if (!is_founded(s, PieceId{static_cast<int>(i)}) && std::abs(dot(p.frame.x, along)) < kAcross) {
      const Silhouette mine = silhouette(world_box(s, body(PieceId{static_cast<int>(i)})), along);
      double nearest = 1e18;
      for (std::size_t j = 0; j < s.pieces.size(); ++j) {
        if (j == i || !alike(p, s.pieces[j])) continue;
        const double before = at(p) - at(s.pieces[j]);
        if (before <= kSame || before >= nearest) continue;
        if (behind(mine, silhouette(world_box(s, body(PieceId{static_cast<int>(j)})), along)) >= kSide)
          nearest = before;
      }
      const double depth = std::abs(p.frame.y.z) * p.width.value() + std::abs(p.frame.z.z) * p.thickness.value();
      if (nearest < 1e18 && depth > 0) share[i] = shielding(1, nearest / depth);
    }
    for (std::size_t j = 0; j < s.panels.size() && j < panel_solidity.size(); ++j) {
      const Panel& panel = s.panels[j];
      if (std::abs(dot(along, panel.frame.z)) < kSide) continue;
      Vec3 least, most;
      for (int corner = 0; corner < 8; ++corner) {
        const Vec3 c =
            panel.frame.to_local(p.frame.to_world({corner & 1 ? p.length.value() : 0, corner & 2 ? p.width.value() : 0,
                                                   corner & 4 ? p.thickness.value() : 0}));
        for (int k = 0; k < 3; ++k) {
          least[k] = corner == 0 ? c[k] : std::min(least[k], c[k]);
          most[k] = corner == 0 ? c[k] : std::max(most[k], c[k]);
        }
      }
      if (least.z > panel.thickness.value() + kBehind || most.z < -kBehind) continue;
      const Silhouette piece{least.x, most.x, least.y, most.y};
      const double area = (most.x - least.x) * (most.y - least.y);
      if (area <= 0) continue;
      const double hidden = covered({{0, panel.width.value(), 0, panel.height.value()}}, piece) / area;
      share[i] *= 1 - hidden * std::clamp(panel_solidity[j], 0.0, 1.0);
    }
  }
  return share;
}

}  // namespace garthwright::strength
