// SPDX-License-Identifier: Apache-2.0
#include "marking/templates.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "marking/blades.h"
#include "structure/marks.h"
#include "structure/profile.h"

namespace garthwright::marking {
namespace {

constexpr double kSame = 0.01;      // mm: templates closer than this are one
constexpr double kNearBy = 120;     // how far beyond the shape a notch is still of interest
constexpr double kThinNose = 12;    // timber thinner than this breaks or splits off (common practice, no source)
constexpr double kShortGrain = 40;  // fibres shorter than this, cut at both ends, break away (common practice)
constexpr double kScan = 0.5;       // between lines that look for either

ShapedEnd mapped(ShapedEnd path, auto place) {
  const auto put = [&](double& x, double& y) {
    const Spot p = place(Spot{x, y});
    x = p.x, y = p.y;
  };
  put(path.start_x, path.start_y);
  for (Stroke& s : path.strokes) {
    put(s.x, s.y);
    put(s.centre_x, s.centre_y);
    put(s.c1x, s.c1y);
    put(s.c2x, s.c2y);
    s.clockwise = !s.clockwise;  // both maps here are reflections
  }
  return path;
}

/// The same shape, whichever end and edge it was cut at, is the same here.
ShapedEnd from_tip(ShapedEnd path, double length, double width) {
  if (path.end == End::finish) path = mapped(path, [&](Spot p) { return Spot{length - p.x, p.y}; });
  path.end = End::start;
  if (path.start_x < path.strokes.back().x) path = walked_back(path);
  if (path.start_y < path.strokes.back().y) path = mapped(path, [&](Spot p) { return Spot{p.x, width - p.y}; });
  return path;
}

bool same_path(const ShapedEnd& a, const ShapedEnd& b) {
  const auto p = points_along(a, 0.05), q = points_along(b, 0.05);
  return p.size() == q.size() && std::equal(p.begin(), p.end(), q.begin(), [](Spot s, Spot t) {
           return std::abs(s.x - t.x) < kSame && std::abs(s.y - t.y) < kSame;
         });
}

/// Where the path crosses the line x = at (or y = at), as the other coordinate, rising.
std::vector<double> crossings(const std::vector<Spot>& path, double at, bool upright) {
  std::vector<double> out;
  for (std::size_t i = 0; i + 1 < path.size(); ++i) {
    const double a = upright ? path[i].x : path[i].y, b = upright ? path[i + 1].x : path[i + 1].y;
    const double u = upright ? path[i].y : path[i].x, v = upright ? path[i + 1].y : path[i + 1].x;
    if (a == b || (a < at) == (b < at)) continue;
    out.push_back(u + (at - a) / (b - a) * (v - u));
  }
  std::sort(out.begin(), out.end());
  return out;
}

void say_feather(Template& t, const std::vector<Spot>& path, LengthStyle style) {
  double thinnest = kThinNose, where = -1;
  for (double x = kScan; x < t.reach; x += kScan) {
    const auto at = crossings(path, x, true);
    if (!at.empty() && at.front() < thinnest) thinnest = at.front(), where = x;
  }
  if (where < 0) return;
  t.attention.push_back(fmt::format(
      "Feather end: {} of timber is left across the grain at {} from the tip; it splits off. Leave {} or more.",
      format_length(std::round(thinnest * 10) / 10, style), format_length(std::round(where), style),
      format_length(20, style)));
}

void say_short_grain(Template& t, const std::vector<Spot>& path, LengthStyle style) {
  double shortest = kShortGrain, where = -1;
  for (double y = kScan; y < t.width; y += kScan) {
    const auto at = crossings(path, y, false);
    // From the far side: timber to the last crossing, then waste and timber in turn; what is not joined to the rest
    // along the grain is short.
    for (std::size_t i = at.size(); i >= 2; i -= 2) {
      const double from = i >= 3 ? at[i - 3] : 0, run = at[i - 2] - from;
      if (run > kScan && run < shortest) shortest = run, where = y;
      if (i < 4) break;
    }
  }
  if (where < 0) return;
  t.attention.push_back(fmt::format(
      "Short grain: the fibres are only {} long at {} from the whole edge; the piece there breaks off along the grain.",
      format_length(std::round(shortest), style), format_length(std::round(where), style)));
}

void say_fairness(Template& t, LengthStyle style) {
  for (const Unfair& u : unfair_places(t.path)) {
    const std::string at = format_length(std::round(u.at.x), style);
    t.attention.push_back(
        u.kind == Unfair::Kind::kink
            ? fmt::format("Not fair: a kink of {:.0f}° at {} from the tip.", u.kink_deg, at)
            : fmt::format("Not fair: a bump at {} from the tip, the bend swells there a second time.", at));
  }
}

std::string radius_words(double radius, LengthStyle style) { return format_length(std::floor(radius), style); }

void say_saw(Template& t, const Saw& saw, LengthStyle style) {
  if (!t.tightest) {
    t.saw = "Straight cuts: no blade is too wide.";
    return;
  }
  const double radius = t.tightest->radius_mm;
  const Blade* bandsaw = widest_for(CurveTool::bandsaw, radius, t.thickness);
  const Blade* jigsaw = widest_for(CurveTool::jigsaw, radius, t.thickness);
  t.saw = fmt::format("Smallest radius {}. It is followed by a {}{}.", radius_words(radius, style),
                      bandsaw != nullptr ? words_for(*bandsaw) + " or narrower" : "drill only, no bandsaw blade",
                      jigsaw != nullptr ? ", by a " + words_for(*jigsaw) + " or narrower" : ", by no jigsaw blade");
  const Blade& used = blade_in_use(saw, t.thickness);
  const double least = least_radius(used, t.thickness);
  if (radius >= least - 1e-6) return;
  t.easier = eased(t.path, least);
  t.easier_departs = departure(*t.easier, t.path);
  t.attention.push_back(fmt::format(
      "Too tight: a {} in timber {} thick follows a radius of {}, this curve asks for {}. The nearest curve it follows "
      "is drawn dashed; it strays {} at most.",
      words_for(used), format_length(t.thickness, style), radius_words(least, style), radius_words(radius, style),
      format_length(std::round(10 * t.easier_departs) / 10, style)));
}

Template template_of(const ShapedEnd& shape, const Piece& piece, const MarkGroup& group, const Saw& saw,
                     LengthStyle style) {
  const double length = piece.length.value();
  Template t;
  t.mark = group.mark;
  t.name = piece.name;
  t.profile = shape.profile;
  t.ends = shape.end == End::start ? Template::Ends::datum : Template::Ends::far;
  t.count = static_cast<int>(group.pieces.size());
  t.width = piece.width.value();
  t.thickness = piece.thickness.value();
  t.path = from_tip(shape, length, t.width);
  const std::vector<Spot> path = points_along(t.path, 0.02);
  for (const Spot p : path) t.reach = std::max(t.reach, p.x);
  for (const Machining& other : piece.machining) {
    const auto* notch = std::get_if<Notch>(&other);
    if (notch == nullptr) continue;
    const double at = shape.end == End::start ? notch->region.min.x : length - notch->region.max.x;
    if (at >= 0 && at < t.reach + kNearBy) t.shoulders.push_back(at);
  }
  std::sort(t.shoulders.begin(), t.shoulders.end());
  t.tightest = tightest_bend(t.path);
  say_saw(t, saw, style);
  say_fairness(t, style);
  say_short_grain(t, path, style);
  say_feather(t, path, style);
  return t;
}

std::string_view word(Template::Ends ends) {
  return ends == Template::Ends::both ? "both" : ends == Template::Ends::datum ? "datum" : "far";
}

}  // namespace

std::string file_stem(const Template& t, const std::vector<Template>& all) {
  std::string mark;
  for (const char c : t.mark) {
    if (std::isalnum(static_cast<unsigned char>(c)) != 0) mark += c;
  }
  std::string stem = fmt::format("{}-{}", mark, word(t.ends));
  int number = 1;
  for (const Template& other : all) {
    if (&other == &t) break;
    number += other.mark == t.mark && other.ends == t.ends;
  }
  return number > 1 ? fmt::format("{}-{}", stem, number) : stem;
}

std::vector<Template> templates(const Garden& garden, const Saw& saw, LengthStyle style) {
  std::vector<Template> all;
  for (const Structure& structure : garden.structures) {
    for (const MarkGroup& group : marks(structure)) {
      const Piece& piece = structure[group.pieces.front()];
      for (const Machining& machining : piece.machining) {
        const auto* shape = std::get_if<ShapedEnd>(&machining);
        if (shape == nullptr || shape->strokes.empty()) continue;
        Template t = template_of(*shape, piece, group, saw, style);
        const auto same = std::find_if(all.begin(), all.end(), [&](const Template& other) {
          return other.mark == t.mark && same_path(other.path, t.path);
        });
        if (same == all.end()) {
          all.push_back(std::move(t));
        } else {
          same->count += t.count;
          if (same->ends != t.ends) same->ends = Template::Ends::both;
        }
      }
    }
  }
  return all;
}

Diagnostics warnings(const std::vector<Template>& all) {
  Diagnostics out;
  for (const Template& t : all) {
    for (const std::string& line : t.attention) {
      out.push_back({Severity::warning,
                     "hard-curve",
                     fmt::format("{} {}, {}: {}", t.name, t.mark, t.profile,
                                 line.substr(0, line.size() - (line.ends_with('.') ? 1 : 0))),
                     "see its template",
                     {"", 0, 0, t.mark}});
    }
  }
  return out;
}

std::vector<double> ordinates(const Template& t, double station) {
  const std::vector<Spot> path = points_along(t.path, 0.01);
  std::vector<double> out = crossings(path, station, true);
  if (!out.empty()) return out;
  // The path only touches this station (the tip): its lowest point there is where the curve begins.
  double lowest = -1;
  for (const Spot p : path) {
    if (std::abs(p.x - station) < 1e-6) lowest = std::max(lowest, p.y);
  }
  if (lowest >= 0) out.push_back(lowest);
  return out;
}

std::vector<Ordinate> ordinate_table(const Template& t, double step) {
  constexpr int kMost = 400;
  std::vector<Ordinate> table;
  const int stations = std::min(kMost, static_cast<int>(std::floor(t.reach / step + 1e-9)));
  for (int i = 0; i <= stations; ++i) {
    std::vector<double> at = ordinates(t, i * step);
    if (!at.empty()) table.push_back({i * step, std::move(at)});
  }
  if (t.reach - stations * step > 0.05) table.push_back({t.reach, {t.width}});
  return table;
}

double ordinate_step(Units units) { return units == Units::mm ? 10 : 12.7; }

}  // namespace garthwright::marking
