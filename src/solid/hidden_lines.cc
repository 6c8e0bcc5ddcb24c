// SPDX-License-Identifier: Apache-2.0
#include "solid/hidden_lines.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <span>

namespace garthwright::solid {
namespace {

// All of mm. An edge counts as seen when it is seen on either side of itself: each is looked for at kBeside from it in
// the picture. So a line behind a seam of two parts is hidden, and one on a body's outline is not.
constexpr double kBeside = 0.02;
constexpr double kShrink = 1e-4;
constexpr double kNearest = 0.3;   // timber that ends this near in front of a line is the line's own curved face
constexpr double kShortest = 0.1;  // nothing shorter is drawn

struct Picture {
  Vec3 right, up, forward;

  // To picture coordinates: x right, y up, z away from the viewer.
  Vec3 turn(Vec3 v) const { return {dot(v, right), dot(v, up), dot(v, forward)}; }
};

Picture picture(const View& view) {
  const Vec3 forward = unit(view.forward);
  const Vec3 up = unit(view.up - dot(view.up, forward) * forward);
  return {cross(forward, up), up, forward};
}

struct Stretch {
  double from = 0, to = 1;
};
using Stretches = std::vector<Stretch>;

Stretches merged(Stretches all, double gap) {
  std::sort(all.begin(), all.end(), [](const Stretch& a, const Stretch& b) { return a.from < b.from; });
  Stretches out;
  for (const Stretch& s : all) {
    if (!out.empty() && s.from <= out.back().to + gap) {
      out.back().to = std::max(out.back().to, s.to);
    } else {
      out.push_back(s);
    }
  }
  return out;
}

Stretches both(const Stretches& a, const Stretches& b) {
  Stretches out;
  for (const Stretch& s : a) {
    for (const Stretch& t : b) {
      const Stretch c{std::max(s.from, t.from), std::min(s.to, t.to)};
      if (c.to > c.from) out.push_back(c);
    }
  }
  return out;
}

Stretches rest_of(const Stretches& sorted) {
  Stretches out;
  double at = 0;
  for (const Stretch& s : sorted) {
    if (s.from > at) out.push_back({at, s.from});
    at = std::max(at, s.to);
  }
  if (at < 1) out.push_back({at, 1});
  return out;
}

// Linear in the place t along an edge: at + slope · t.
struct Linear {
  double at = 0, slope = 0;
};

// A convex part as the picture sees it.
struct Screen {
  std::vector<Plane> planes;
  Box box;
};

class Drawing {
 public:
  Drawing(const std::vector<Drawn>& bodies, const View& view, bool with_hidden)
      : bodies_(bodies), eye_(picture(view)), with_hidden_(with_hidden) {}

  std::vector<Line> run() {
    for (const Drawn& body : bodies_) take(body);
    lay_grid();
    for (Segment& s : segments_) s.hidden = hidden(s);
    draw_doubles_once();
    for (std::size_t k = 0; k < segments_.size();) k = emit_chain(k);
    return std::move(lines_);
  }

 private:
  struct Segment {
    Vec3 a, b;
    std::size_t body = 0, chain = 0;
    Stretches hidden;
    bool drawn_elsewhere = false;

    double length() const { return std::hypot(b.x - a.x, b.y - a.y); }
  };

  void take(const Drawn& body) {
    const std::size_t index = static_cast<std::size_t>(&body - bodies_.data());
    const auto see = [&](Vec3 local) { return eye_.turn(body.frame.to_world(local)); };
    const auto add = [&](Vec3 a, Vec3 b) {
      const Segment s{a, b, index, chains_, {}, false};
      if (s.length() > kShortest / 10) segments_.push_back(s);
    };
    for (const auto& edge : body.wires->edges) {
      for (std::size_t k = 0; k + 1 < edge.size(); ++k) add(see(edge[k]), see(edge[k + 1]));
      ++chains_;
    }
    for (const Wireframe::Rib& rib : body.wires->ribs) {
      const auto faces_us = [&](Vec3 n) { return dot(body.frame.direction_to_world(n), eye_.forward) < -1e-9; };
      if (faces_us(rib.normal_1) == faces_us(rib.normal_2)) continue;
      add(see(rib.from), see(rib.to));
      ++chains_;
    }
    for (const ConvexPart& part : body.wires->parts) {
      Screen screen;
      for (const Plane& plane : part.planes) {
        const Vec3 world = body.frame.direction_to_world(plane.normal);
        screen.planes.push_back({eye_.turn(world), plane.offset + dot(world, body.frame.origin) - kShrink});
      }
      const Vec3 first = see(part.vertices.front());
      screen.box = {first, first};
      for (const Vec3& v : part.vertices) screen.box = enclosing(screen.box, {see(v), see(v)});
      screens_.push_back(std::move(screen));
    }
  }

  void lay_grid() {
    if (screens_.empty()) return;
    whole_ = screens_.front().box;
    for (const Screen& s : screens_) whole_ = enclosing(whole_, s.box);
    across_ = std::clamp(static_cast<int>(std::sqrt(static_cast<double>(screens_.size()))) * 2, 1, 128);
    cells_.assign(static_cast<std::size_t>(across_ * across_), {});
    stamp_.assign(screens_.size(), 0);
    for (std::size_t k = 0; k < screens_.size(); ++k) {
      each_cell(screens_[k].box, [&](std::vector<std::size_t>& cell) { cell.push_back(k); });
    }
  }

  template <class Do>
  void each_cell(const Box& box, Do&& act) {
    const auto index = [&](double v, double low, double size) {
      return std::clamp(static_cast<int>((v - low) / std::max(size, 1e-9) * across_), 0, across_ - 1);
    };
    const Vec3 size = whole_.size();
    const int x0 = index(box.min.x, whole_.min.x, size.x), x1 = index(box.max.x, whole_.min.x, size.x);
    const int y0 = index(box.min.y, whole_.min.y, size.y), y1 = index(box.max.y, whole_.min.y, size.y);
    for (int y = y0; y <= y1; ++y) {
      for (int x = x0; x <= x1; ++x) act(cells_[static_cast<std::size_t>(y * across_ + x)]);
    }
  }

  // Where timber stands between the segment and the viewer, on both sides of it.
  Stretches hidden(const Segment& s) {
    const Vec3 beside = (kBeside / s.length()) * Vec3{-(s.b.y - s.a.y), s.b.x - s.a.x, 0};
    Stretches left, right;
    const Box around{{std::min(s.a.x, s.b.x) - kBeside, std::min(s.a.y, s.b.y) - kBeside, std::min(s.a.z, s.b.z)},
                     {std::max(s.a.x, s.b.x) + kBeside, std::max(s.a.y, s.b.y) + kBeside, std::max(s.a.z, s.b.z)}};
    ++now_;
    each_cell(around, [&](const std::vector<std::size_t>& cell) {
      for (std::size_t k : cell) {
        if (stamp_[k] == now_) continue;
        stamp_[k] = now_;
        const Box& box = screens_[k].box;
        const bool beside_it = box.max.x < around.min.x || box.min.x > around.max.x || box.max.y < around.min.y ||
                               box.min.y > around.max.y;
        if (beside_it || box.min.z > around.max.z - kNearest) continue;
        shade(screens_[k], s.a + beside, s.b - s.a, left);
        shade(screens_[k], s.a - beside, s.b - s.a, right);
      }
    });
    const double gap = 1e-3 / s.length();
    return both(merged(std::move(left), gap), merged(std::move(right), gap));
  }

  // The stretch of a + t d from which a step s towards the viewer, s >= kNearest, can lie in the part: for each plane
  // n·(a + t d) − s n.z <= offset bounds s from above or from below, or t alone; every lower bound must stay under
  // every upper one.
  void shade(const Screen& part, Vec3 a, Vec3 d, Stretches& out) {
    lower_.clear();
    upper_.clear();
    lower_.push_back({kNearest, 0});
    double from = 0, to = 1;
    const auto at_most = [&](const Linear& f) {  // f(t) <= 0
      if (std::abs(f.slope) < 1e-12) {
        if (f.at > 0) to = -1;
      } else if (f.slope > 0) {
        to = std::min(to, -f.at / f.slope);
      } else {
        from = std::max(from, -f.at / f.slope);
      }
    };
    for (const Plane& plane : part.planes) {
      const Linear f{height_above(plane, a), dot(plane.normal, d)};
      const double nz = plane.normal.z;
      if (std::abs(nz) < 1e-9) {
        at_most(f);
        if (to <= from) return;
      } else {
        (nz > 0 ? lower_ : upper_).push_back({f.at / nz, f.slope / nz});
      }
    }
    for (const Linear& low : lower_) {
      for (const Linear& high : upper_) {
        at_most({low.at - high.at, low.slope - high.slope});
        if (to <= from) return;
      }
    }
    out.push_back({from, to});
  }

  // Front and back outlines fall on one another in many views; what is seen of either is seen.
  void draw_doubles_once() {
    using Key = std::array<long long, 5>;
    std::map<Key, std::size_t> first;
    for (std::size_t k = 0; k < segments_.size(); ++k) {
      Segment& s = segments_[k];
      const auto cell = [](double v) { return std::llround(v * 100); };
      std::array<long long, 2> a{cell(s.a.x), cell(s.a.y)}, b{cell(s.b.x), cell(s.b.y)};
      const bool turned = b < a;
      if (turned) std::swap(a, b);
      const auto [known, fresh] = first.try_emplace({static_cast<long long>(s.body), a[0], a[1], b[0], b[1]}, k);
      if (fresh) continue;
      Segment& one = segments_[known->second];
      const bool same_way =
          std::hypot(one.a.x - s.a.x, one.a.y - s.a.y) <= std::hypot(one.a.x - s.b.x, one.a.y - s.b.y);
      if (!same_way) {
        for (Stretch& h : s.hidden) h = {1 - h.to, 1 - h.from};
        std::reverse(s.hidden.begin(), s.hidden.end());
      }
      one.hidden = both(one.hidden, s.hidden);
      s.drawn_elsewhere = true;
    }
  }

  // The segments of one edge follow each other: what is seen of them is joined into as few lines as there are.
  std::size_t emit_chain(std::size_t begin) {
    std::size_t end = begin;
    while (end < segments_.size() && segments_[end].chain == segments_[begin].chain) ++end;
    const std::span<const Segment> chain(segments_.data() + begin, end - begin);
    emit(chain, true);
    if (with_hidden_) emit(chain, false);
    return end;
  }

  void emit(std::span<const Segment> chain, bool visible) {
    Line line;
    const auto finish = [&] {
      double length = 0;
      for (std::size_t k = 0; k + 1 < line.points.size(); ++k) {
        length += std::hypot(line.points[k + 1][0] - line.points[k][0], line.points[k + 1][1] - line.points[k][1]);
      }
      if (length >= kShortest) lines_.push_back(line);
      line.points.clear();
    };
    for (const Segment& s : chain) {
      if (s.drawn_elsewhere) continue;
      for (const Stretch& part : visible ? rest_of(s.hidden) : s.hidden) {
        const auto at = [&](double t) {
          return std::array<double, 2>{s.a.x + t * (s.b.x - s.a.x), s.a.y + t * (s.b.y - s.a.y)};
        };
        const auto from = at(part.from), to = at(part.to);
        const bool goes_on =
            !line.points.empty() && std::hypot(line.points.back()[0] - from[0], line.points.back()[1] - from[1]) < 2e-3;
        if (!goes_on) {
          finish();
          line.body = bodies_[s.body].body;
          line.visible = visible;
          line.points.push_back(from);
        }
        line.points.push_back(to);
      }
    }
    finish();
  }

  const std::vector<Drawn>& bodies_;
  const Picture eye_;
  const bool with_hidden_;
  std::size_t chains_ = 0;
  std::vector<Segment> segments_;
  std::vector<Screen> screens_;
  Box whole_;
  int across_ = 1;
  std::vector<std::vector<std::size_t>> cells_;
  std::vector<std::size_t> stamp_;
  std::size_t now_ = 0;
  std::vector<Linear> lower_, upper_;
  std::vector<Line> lines_;
};

}  // namespace

std::vector<Line> hidden_lines(const std::vector<Drawn>& bodies, const View& view, bool with_hidden) {
  return Drawing(bodies, view, with_hidden).run();
}

}  // namespace garthwright::solid
