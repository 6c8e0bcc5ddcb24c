// SPDX-License-Identifier: Apache-2.0
#include "strength/screens.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "strength/wind_asce.h"
#include "strength/wind_en.h"
#include "structure/touch.h"

namespace garthwright::strength {
namespace {

constexpr double kInLine = 120;  // mm out of line: boards on either side of a rail are one run
constexpr double kNext = 260;    // mm between two of a run: a post's width and a gap
constexpr double kCorner = 300;  // mm between the ends of two runs that meet
constexpr int kPlaces = 40;      // looked at along a run
constexpr double kClear = 0.25;  // of its height above the ground: EN 1991-1-4 7.4.3(1)

/// A screen seen along the wind.
struct Screen {
  Body body;
  Vec3 facing;
  double from, to, low, high, offset, area;
};

/// Its broad side, level; none where it lies flat.
std::optional<Vec3> facing_of(const Frame& frame, double width, double thickness) {
  const Vec3 broad = width >= thickness ? frame.z : frame.y;
  if (std::abs(broad.z) > 0.3) return std::nullopt;
  // One sign for both faces: along the line x grows, or y where it runs across.
  const double size = std::hypot(broad.x, broad.y), x = broad.y / size, y = -broad.x / size;
  const double sign = x < -1e-9 || (std::abs(x) <= 1e-9 && y < 0) ? -1 : 1;
  return Vec3{-sign * y, sign * x, 0};
}
Vec3 along_of(Vec3 facing) { return {facing.y, -facing.x, 0}; }

Screen screen_of(const Structure& s, Body b, Vec3 facing, double area) {
  const Box box = world_box(s, b);
  const Vec3 along = along_of(facing), middle = box.centre(), half = 0.5 * box.size();
  const double reach = std::abs(along.x) * half.x + std::abs(along.y) * half.y, at = dot(middle, along);
  return {b, facing, at - reach, at + reach, box.min.z, box.max.z, dot(middle, facing), area};
}

std::vector<Screen> screens_of(const Structure& s) {
  std::vector<Screen> found;
  for (std::size_t p = 0; p < s.pieces.size(); ++p) {
    const Piece& piece = s.pieces[p];
    if (!piece.duties.has(Duty::screen)) continue;
    const double w = piece.width.value(), t = piece.thickness.value();
    if (const auto facing = facing_of(piece.frame, w, t))
      found.push_back(screen_of(s, body(PieceId{static_cast<int>(p)}), *facing, piece.length.value() * std::max(w, t)));
  }
  for (std::size_t p = 0; p < s.panels.size(); ++p) {
    const Panel& panel = s.panels[p];
    if (!panel.duties.has(Duty::screen)) continue;
    if (const auto facing = facing_of(panel.frame, 2, 1))
      found.push_back(screen_of(s, body(PanelId{static_cast<int>(p)}), *facing,
                                panel.width.value() * panel.height.value() * panel.solidity));
  }
  return found;
}

/// From the lowest to the highest edge at places along it, where anything stands.
double mean_height(const ScreenRun& run, const std::vector<Screen>& screens) {
  double sum = 0;
  int places = 0;
  for (int i = 0; i < kPlaces; ++i) {
    const double at = run.from + (i + 0.5) / kPlaces * run.length();
    double low = 1e18, high = -1e18;
    for (const Screen& s : screens)
      if (s.from <= at && at <= s.to && std::find(run.of.begin(), run.of.end(), s.body) != run.of.end())
        low = std::min(low, s.low), high = std::max(high, s.high);
    if (high > low) sum += high - low, ++places;
  }
  return places > 0 ? sum / places : 1;
}

/// Length of the longest run that turns a corner at this end.
double turns(const std::vector<ScreenRun>& runs, const ScreenRun& run, Vec3 end) {
  double most = 0;
  for (const ScreenRun& other : runs) {
    if (std::abs(dot(other.along, run.along)) > 0.3) continue;
    const double at = dot(end, other.along), off = std::abs(dot(end - other.of_line(), other.facing));
    if (off < kCorner && at > other.from - kCorner && at < other.to + kCorner)
      most = std::max(most, std::max(at - other.from, other.to - at));
  }
  return most;
}

}  // namespace

std::vector<ScreenRun> screen_runs(const Structure& s) {
  std::vector<Screen> screens = screens_of(s);
  std::sort(screens.begin(), screens.end(), [](const Screen& a, const Screen& b) { return a.from < b.from; });
  std::vector<ScreenRun> runs;
  for (const Screen& screen : screens) {
    const auto in = std::find_if(runs.begin(), runs.end(), [&](const ScreenRun& run) {
      return dot(run.facing, screen.facing) > 0.98 && std::abs(run.offset - screen.offset) < kInLine &&
             screen.from < run.to + kNext && screen.to > run.from - kNext;
    });
    if (in == runs.end()) {
      ScreenRun run;
      run.of = {screen.body}, run.along = along_of(screen.facing), run.facing = screen.facing;
      run.from = screen.from, run.to = screen.to, run.low = screen.low;
      run.offset = screen.offset, run.solidity = screen.area;
      runs.push_back(std::move(run));
      continue;
    }
    in->of.push_back(screen.body);
    in->from = std::min(in->from, screen.from), in->to = std::max(in->to, screen.to);
    in->low = std::min(in->low, screen.low);
    in->solidity += screen.area;  // the area, until all are in
  }
  for (ScreenRun& run : runs) {
    run.height = mean_height(run, screens);
    run.gross = run.length() * run.height / std::max(1.0, run.solidity);
    run.solidity = std::min(1.0, 1 / std::max(1e-6, run.gross));
  }
  for (ScreenRun& run : runs) {
    run.return_from = turns(runs, run, run.of_line() + run.from * run.along);
    run.return_to = turns(runs, run, run.of_line() + run.to * run.along);
  }
  return runs;
}

bool ScreenRun::is_wall(double ground_z) const {
  return solidity >= wind_en::kWallSolidity && low - ground_z < kClear * (low + height - ground_z);
}

double wall_coefficient(const Site& site, const ScreenRun& run, double at) {
  const double h = run.height, l = run.length();
  double most = 0;
  for (const bool first : {true, false}) {
    const double from_end = first ? at - run.from : run.to - at;
    if (site.route == Site::Route::us) {
      // Case C where the wall is twice as long as high; farther than three heights from its ends by cases A and B.
      const double whole = wind_asce::wall(l / h, 1) * wind_asce::opening_factor(run.solidity);
      most = std::max(most, whole);
      if (l < 2 * h) continue;
      const auto zones = wind_asce::wall_case_c(l / h);
      const auto zone = static_cast<std::size_t>(std::clamp(from_end / h, 0.0, 2.0));
      if (from_end < 3 * h) most = std::max(most, zones[zone] * wind_asce::opening_factor(run.solidity));
      continue;
    }
    const double corner = first ? run.return_from : run.return_to;
    const auto zones = wind_en::wall(l / h, run.solidity, corner / h);
    const auto ends = wind_en::wall_zone_ends(h);
    const auto zone = static_cast<std::size_t>(std::upper_bound(ends.begin(), ends.end(), from_end) - ends.begin());
    most = std::max(most, zones[zone]);
  }
  return most;
}

double wall_coefficient(const Site& site, const ScreenRun& run, double from, double to) {
  // Steps where zones end.
  const double h = run.height;
  std::vector<double> ends{from, to};
  const auto zones = wind_en::wall_zone_ends(h);
  for (const double end : {zones[0], zones[1], zones[2], h, 2 * h, 3 * h})
    for (const double at : {run.from + end, run.to - end})
      if (at > from && at < to) ends.push_back(at);
  std::sort(ends.begin(), ends.end());
  double sum = 0;
  for (std::size_t i = 1; i < ends.size(); ++i)
    sum += (ends[i] - ends[i - 1]) * wall_coefficient(site, run, (ends[i - 1] + ends[i]) / 2);
  return to > from ? sum / (to - from) : wall_coefficient(site, run, from);
}

}  // namespace garthwright::strength
