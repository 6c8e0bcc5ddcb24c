// SPDX-License-Identifier: Apache-2.0
#include "sheets/surroundings.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "sheets/shading.h"

namespace garthwright::sheets {

namespace {

constexpr double kWallThick = 50, kWallBeyond = 250;  // mm of wall that is drawn, and beyond what is fixed to it
constexpr double kOn = 0.6;                           // mm: a drawn line this near to an edge is that edge

using Seen = std::array<double, 2>;

Seen seen(const solid::View& view, Vec3 p) { return {dot(p, rightwards(view)), dot(p, view.up)}; }

void hold(Picture& picture, Seen p) {
  picture.left = std::min(picture.left, p[0]), picture.right = std::max(picture.right, p[0]);
  picture.low = std::min(picture.low, p[1]), picture.high = std::max(picture.high, p[1]);
}

std::array<Vec3, 4> face_of(const Wall& wall, double beyond = kWallBeyond) {
  const Vec3 along = wall.along();
  const Vec3 foot = wall.point - dot(wall.point, along) * along - Vec3{0, 0, wall.point.z};
  const auto at = [&](double x, double z) { return foot + x * along + Vec3{0, 0, z}; };
  const double from = wall.from - beyond, to = wall.to + beyond, top = wall.top + kWallBeyond;
  return {at(from, 0), at(to, 0), at(to, top), at(from, top)};
}

// Upright timbers that go into the earth, with the box they fill.
struct Buried {
  Body body;
  Box box;
};

std::vector<Buried> buried_in(const Structure& s) {
  std::vector<Buried> out;
  for (const Footing& f : s.footings) {
    const Box box = world_box(s, body(f.post));
    if (box.min.z < -0.5 && std::abs(s[f.post].frame.x.z) > 0.999) out.push_back({body(f.post), box});
  }
  return out;
}

std::array<Vec3, 4> corners_at(const Box& b, double z) {
  return {{{b.min.x, b.min.y, z}, {b.max.x, b.min.y, z}, {b.max.x, b.max.y, z}, {b.min.x, b.max.y, z}}};
}

double off_segment(Seen p, Seen a, Seen b) {
  const double dx = b[0] - a[0], dy = b[1] - a[1], squared = dx * dx + dy * dy;
  const double t = squared > 0 ? std::clamp(((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / squared, 0.0, 1.0) : 0;
  return std::hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dy);
}

// Where along a stroke of a buried timber the earth begins: a part of it from p (0) to q (1). Below 0: all of it is
// above the earth; above 1: all below when `p_below`.
struct Parted {
  double at = -1;
  bool p_below = false;
};

Parted part(const Buried& post, const solid::View& view, Seen p, Seen q) {
  // An upright edge: the corner it stands on, the nearest of those in line.
  const Vec3* corner = nullptr;
  const auto ground = corners_at(post.box, 0), foot = corners_at(post.box, post.box.min.z);
  for (const Vec3& c : ground) {
    const double u = seen(view, c)[0];
    if (std::abs(p[0] - u) > kOn || std::abs(q[0] - u) > kOn) continue;
    if (corner == nullptr || dot(c, view.forward) < dot(*corner, view.forward)) corner = &c;
  }
  if (corner != nullptr && std::abs(p[1] - q[1]) > kOn) {
    const double level = seen(view, *corner)[1];
    const bool p_below = p[1] < level, q_below = q[1] < level;
    if (p_below == q_below) return {p_below ? 2.0 : -1.0, p_below};
    return {(level - p[1]) / (q[1] - p[1]), p_below};
  }
  for (std::size_t i = 0; i < 4; ++i) {
    const Seen a = seen(view, foot[i]), b = seen(view, foot[(i + 1) % 4]);
    if (off_segment(p, a, b) < kOn && off_segment(q, a, b) < kOn) return {2, true};
  }
  return {};
}

bool within(const Box& box, const solid::View& view, Seen p) {
  // The silhouette of a box: inside when inside one of its three faces towards the eye.
  const auto low = corners_at(box, box.min.z), high = corners_at(box, box.max.z);
  const auto inside = [&](std::array<Vec3, 4> quad) {
    int turns = 0;
    for (std::size_t i = 0; i < 4; ++i) {
      const Seen a = seen(view, quad[i]), b = seen(view, quad[(i + 1) % 4]);
      turns += (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]) > 0 ? 1 : -1;
    }
    return std::abs(turns) == 4;
  };
  for (std::size_t i = 0; i < 4; ++i) {
    const std::size_t j = (i + 1) % 4;
    if (inside({low[i], low[j], high[j], high[i]})) return true;
  }
  return inside(high);
}

void draw_rims(Items& items, const Structure& s, const solid::View& view, const OnPage& place) {
  constexpr int kSides = 48;
  constexpr double kTurn = 2 * 3.14159265358979323846 / kSides;
  std::vector<Box> standing;
  for (const Buried& b : buried_in(s)) standing.push_back({{b.box.min.x, b.box.min.y, 0}, b.box.max});
  for (const Footing& f : s.footings) {
    Outline run;
    for (int i = 0; i <= kSides; ++i) {
      const Vec3 p = f.centre + Vec3{f.diameter / 2 * std::cos(i * kTurn), f.diameter / 2 * std::sin(i * kTurn), 0};
      const Seen at = seen(view, p);
      const bool hidden =
          std::any_of(standing.begin(), standing.end(),
                      [&](const Box& b) { return dot(b.centre() - p, view.forward) < 0 && within(b, view, at); }) ||
          std::any_of(standing.begin(), standing.end(), [&](const Box& b) {
            return std::abs(b.centre().x - f.centre.x) < 1 && std::abs(b.centre().y - f.centre.y) < 1 &&
                   within(b, view, at);
          });
      if (!hidden) run.push_back(place(at[0], at[1]));
      if (hidden || i == kSides) {
        if (run.size() > 1) polyline(items, run, kHair);
        run.clear();
      }
    }
  }
}

}  // namespace

std::vector<Wall> walls_of(const Structure& s) {
  std::vector<Wall> walls;
  for (const Joint& joint : s.joints) {
    if ((joint.a == kWall) == (joint.b == kWall)) continue;
    const Body fixed = joint.a == kWall ? joint.b : joint.a;
    Wall wall{joint.point, joint.a == kWall ? -joint.normal : joint.normal, 1e12, -1e12, 0};
    if (std::abs(wall.into.z) > 0.01) continue;
    const Box box = world_box(s, fixed);
    for (const double z : {box.min.z, box.max.z}) {
      for (const Vec3 c : corners_at(box, z)) {
        wall.from = std::min(wall.from, dot(c, wall.along())), wall.to = std::max(wall.to, dot(c, wall.along()));
        wall.top = std::max(wall.top, c.z);
      }
    }
    const auto same = std::find_if(walls.begin(), walls.end(), [&](const Wall& w) {
      return dot(w.into, wall.into) > 0.999 && std::abs(dot(w.point - wall.point, wall.into)) < 1;
    });
    if (same == walls.end()) {
      walls.push_back(wall);
    } else {
      same->from = std::min(same->from, wall.from), same->to = std::max(same->to, wall.to);
      same->top = std::max(same->top, wall.top);
    }
  }
  return walls;
}

std::vector<WallStrip> take_walls(const Structure& s, Picture& picture) {
  std::vector<WallStrip> strips;
  for (const Wall& wall : walls_of(s)) {
    if (std::abs(dot(wall.into, picture.view.forward)) > 0.01) continue;  // seen on its face, or from behind
    const auto corners = face_of(wall, 0);  // no longer than what is fixed to it: room is scarce
    Seen first = seen(picture.view, corners[0]);
    WallStrip strip{first[0], first[1], first[0], first[1]};
    for (const Vec3 c : corners) {
      for (const Vec3 p : {c, c + kWallThick * wall.into}) {
        const Seen at = seen(picture.view, p);
        strip.left = std::min(strip.left, at[0]), strip.right = std::max(strip.right, at[0]);
        strip.low = std::min(strip.low, at[1]), strip.high = std::max(strip.high, at[1]);
      }
    }
    hold(picture, {strip.left, strip.low});
    hold(picture, {strip.right, strip.high});
    strips.push_back(strip);
  }
  return strips;
}

void draw_walls(Items& items, const std::vector<WallStrip>& walls, const OnPage& place) {
  for (const WallStrip& w : walls) {
    const Rect r{place.x(w.left), place.y(w.high), place.x(w.right), place.y(w.low)};
    hatch(items, {corners(r)}, 1.6);
    box(items, r, kMedium);
  }
}

Picture take_standing(const Structure& s, const solid::Solids& solids) {
  Picture picture = take_picture(solids, solid::isometric_view(), false);
  for (const Wall& wall : walls_of(s)) {
    if (dot(wall.into, picture.view.forward) <= 0.01) continue;  // between the eye and the structure
    for (const Vec3 c : face_of(wall)) hold(picture, seen(picture.view, c));
  }
  return picture;
}

void draw_standing(Items& items, const Structure& s, const solid::Solids& solids, const Picture& picture,
                   const OnPage& place, const std::function<int(PieceId)>& shade_of) {
  const solid::View& view = picture.view;
  Group group{"standing", {}};
  for (const Wall& wall : walls_of(s)) {
    if (dot(wall.into, view.forward) <= 0.01) continue;
    Outline face;
    for (const Vec3 c : face_of(wall)) face.push_back(place(seen(view, c)[0], seen(view, c)[1]));
    hatch(group.items, {face}, 5, 45);
    outline(group.items, face, kHair);
  }
  draw_shading(
      group.items, s, solids, view, place, shade_of ? shade_of : [](PieceId) { return 0; });
  draw_rims(group.items, s, view, place);

  const std::vector<Buried> posts = buried_in(s);
  for (const solid::Line& l : picture.lines) {
    const auto post = std::find_if(posts.begin(), posts.end(), [&](const Buried& b) { return b.body == l.body; });
    Outline run;
    Dash dash = Dash::solid;
    const auto put = [&](Seen a, Seen b, bool below) {
      const Dash now = below ? Dash::dashed : Dash::solid;
      if (!run.empty() && now != dash) {
        polyline(group.items, run, dash == Dash::solid ? kMedium : kHair, dash);
        run.clear();
      }
      dash = now;
      if (run.empty()) run.push_back(place(a[0], a[1]));
      run.push_back(place(b[0], b[1]));
    };
    for (std::size_t i = 0; i + 1 < l.points.size(); ++i) {
      const Seen p = l.points[i], q = l.points[i + 1];
      const Parted parted = post != posts.end() ? part(*post, view, p, q) : Parted{};
      if (parted.at <= 0 || parted.at >= 1) {
        put(p, q, parted.at >= 1);
        continue;
      }
      const Seen middle{p[0] + parted.at * (q[0] - p[0]), p[1] + parted.at * (q[1] - p[1])};
      put(p, middle, parted.p_below);
      put(middle, q, !parted.p_below);
    }
    if (run.size() > 1) polyline(group.items, run, dash == Dash::solid ? kMedium : kHair, dash);
  }
  items.push_back({std::move(group)});
}

}  // namespace garthwright::sheets
