// SPDX-License-Identifier: Apache-2.0
#include "structure/corner_parts.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "structure/touch.h"

namespace garthwright {
namespace {

constexpr double kOnTimber = 0.9;    // of a leg, and of its width, that must lie on timber; our own
constexpr double kSquare = 1e-6;     // cosine between faces that are at right angles
constexpr double kBentTo = 0.122;    // where no corner is: sheet is bent to one up to 7° off; our own
constexpr double kApart = 10;        // mm between two parts on one fold
constexpr double kSkin = 1;          // mm inside a face
constexpr double kProud = 4;         // mm: sheet and heads of screws
constexpr double kFarOff = 150;      // mm from the joint's middle: beyond, it is another corner
constexpr double kToolRoom = 115;    // mm before a leg: the shortest driver with the hand that holds it; our own
constexpr double kHoleOnLeg = 0.7;   // of a leg, from its fold
constexpr double kBitLong = 32;      // mm before a leg: so far only the bit is there
constexpr double kDriverLong = 260;  // mm before a leg: a straight driver or screwdriver, common practice, no source
constexpr double kSlimHalf = 17;     // mm: half of a long screwdriver's handle, common practice, no source
constexpr double kDriverHalf = 25;   // mm: half of the driver and the hand, common practice, no source

/// A straight stretch where two faces at right angles meet, open on the side that both look to.
struct Fold {
  Body a, b;
  Vec3 middle, along, out_of_a, out_of_b;  ///< the outs are the faces' normals
  Vec3 up_a, up_b;                         ///< the ways the legs lie on them: where they are square, the other's out
  double length = 0;
};

bool is_solid(Body b) { return b.kind == Body::Kind::piece || b.kind == Body::Kind::panel; }

/// A flat face with the planes through its edges.
struct EdgedFace {
  struct Edge {
    Vec3 corner, inward;
  };
  Vec3 normal, corner;
  std::vector<Edge> edges;
};

EdgedFace edged(const FlatFace& face) {
  EdgedFace edged{face.normal, face.outline.front(), {}};
  const Vec3 middle = centroid(face.outline);
  for (std::size_t i = 0; i < face.outline.size(); ++i) {
    const Vec3 edge = face.outline[(i + 1) % face.outline.size()] - face.outline[i];
    if (norm(edge) < 1e-6) continue;
    Vec3 in = unit(cross(face.normal, edge));
    if (dot(middle - face.outline[i], in) < 0) in = -in;
    edged.edges.push_back({face.outline[i], in});
  }
  return edged;
}

/// The faces of a body, each made when it is asked for: of two bodies' faces few meet in a fold.
class Faces {
 public:
  Faces(const Structure& s, Body b) : structure_(s), body_(b), sides_(WayOut(s, b).seen_from(Frame{})) {
    faces_.resize(sides_.size());
  }
  const std::vector<WayOut::Side>& sides() const { return sides_; }
  /// None where nothing of it is left.
  const EdgedFace* face(std::size_t i) {
    if (!faces_[i]) {
      faces_[i].emplace();
      if (const std::optional<FlatFace> flat = flat_face(structure_, body_, i)) *faces_[i] = edged(*flat);
    }
    return *faces_[i] ? &**faces_[i] : nullptr;
  }

 private:
  const Structure& structure_;
  Body body_;
  std::vector<WayOut::Side> sides_;
  std::vector<std::optional<std::optional<EdgedFace>>> faces_;
};

/// The part of a line that lies in a side's plane which the other sides leave, from and to along it.
std::pair<double, double> left_of(const std::vector<WayOut::Side>& sides, std::size_t in, Vec3 point, Vec3 along) {
  double from = -1e9, to = 1e9;
  for (std::size_t i = 0; i < sides.size(); ++i) {
    if (i == in) continue;
    const double height = sides[i].offset - dot(point, sides[i].normal), rate = dot(along, sides[i].normal);
    if (std::abs(rate) < 1e-9) {
      if (height < -1) return {0, 0};
    } else if (rate < 0) {
      from = std::max(from, height / rate);
    } else {
      to = std::min(to, height / rate);
    }
  }
  return {from, to};
}

/// The part of a line that lies in a flat face, from and to along it; nothing where they miss each other.
std::optional<std::pair<double, double>> stretch(const EdgedFace& face, Vec3 point, Vec3 along) {
  double from = -1e9, to = 1e9;
  for (const EdgedFace::Edge& edge : face.edges) {
    const double height = dot(point - edge.corner, edge.inward), rate = dot(along, edge.inward);
    if (std::abs(rate) < 1e-9) {
      if (height < -0.01) return std::nullopt;
    } else if (rate > 0) {
      from = std::max(from, -height / rate);
    } else {
      to = std::min(to, -height / rate);
    }
  }
  if (to <= from) return std::nullopt;
  return std::pair(from, to);
}

/// Whether the fold of two sides may be long enough and near enough, before their outlines are known.
bool may_be_fold(const std::vector<WayOut::Side>& of_a, std::size_t a, const std::vector<WayOut::Side>& of_b,
                 std::size_t b, Vec3 at, Vec3 along, Vec3 heart) {
  const auto in_a = left_of(of_a, a, at, along), in_b = left_of(of_b, b, at, along);
  const double from = std::max(in_a.first, in_b.first), to = std::min(in_a.second, in_b.second);
  return to - from > 0.5 && norm(at + 0.5 * (from + to) * along - heart) < kFarOff + 1;
}

std::vector<Fold> folds_between(const Structure& s, const Joint& joint, double off_square) {
  std::vector<Fold> folds;
  Faces of_a(s, joint.a), of_b(s, joint.b);
  for (std::size_t i = 0; i < of_a.sides().size(); ++i)
    for (std::size_t k = 0; k < of_b.sides().size(); ++k) {
      const WayOut::Side &side_a = of_a.sides()[i], &side_b = of_b.sides()[k];
      const double askew = dot(side_a.normal, side_b.normal);
      if (std::abs(askew) > off_square) continue;
      const Vec3 along = unit(cross(side_a.normal, side_b.normal));
      // The ways the legs lie: in the one face, away from the other.
      const Vec3 up_a = unit(side_b.normal - askew * side_a.normal), up_b = unit(side_a.normal - askew * side_b.normal);
      const auto on_both = [&](double far_a, double far_b) {
        return joint.point + far_a * side_a.normal + (far_b - askew * far_a) / dot(up_a, side_b.normal) * up_a;
      };
      const Vec3 near =
          on_both(side_a.offset - dot(joint.point, side_a.normal), side_b.offset - dot(joint.point, side_b.normal));
      if (!may_be_fold(of_a.sides(), i, of_b.sides(), k, near, along, joint.point)) continue;
      const EdgedFace *a = of_a.face(i), *b = of_b.face(k);
      if (a == nullptr || b == nullptr) continue;
      const Vec3 at = on_both(dot(a->corner - joint.point, a->normal), dot(b->corner - joint.point, b->normal));
      const auto in_a = stretch(*a, at, along), in_b = stretch(*b, at, along);
      if (!in_a || !in_b) continue;
      const double from = std::max(in_a->first, in_b->first), to = std::min(in_a->second, in_b->second);
      const Vec3 middle = at + 0.5 * (from + to) * along;
      if (to - from < 1 || norm(middle - joint.point) > kFarOff) continue;
      folds.push_back({joint.a, joint.b, middle, along, a->normal, b->normal, up_a, up_b, to - from});
    }
  return folds;
}

/// Bodies that come near a place, for asking many points of them.
class Near {
 public:
  Near(const Structure& s, Vec3 place, double reach) {
    const auto take = [&](Body b) {
      const Box box = world_box(s, b);
      for (int k = 0; k < 3; ++k)
        if (place[k] < box.min[k] - reach || place[k] > box.max[k] + reach) return;
      constexpr double kMore =
          0.02;  // mm: a hundredth on every face is still inside, in a corner of three √3 times that
      const Vec3 more{kMore, kMore, kMore};
      bodies_.push_back({{box.min - more, box.max + more}, WayOut(s, b)});
    };
    for (std::size_t i = 0; i < s.pieces.size(); ++i) take(body(PieceId{static_cast<int>(i)}));
    for (std::size_t i = 0; i < s.panels.size(); ++i) take(body(PanelId{static_cast<int>(i)}));
  }
  struct Standing {
    Box box;
    WayOut out;

    bool holds(Vec3 point) const {
      return point.x >= box.min.x && point.x <= box.max.x && point.y >= box.min.y && point.y <= box.max.y &&
             point.z >= box.min.z && point.z <= box.max.z && out(point, {0, 0, 1}) >= 0;
    }
  };

  bool hold(Vec3 point) const {
    return std::any_of(bodies_.begin(), bodies_.end(), [&](const Standing& b) { return b.holds(point); });
  }
  /// Those that reach into a box: no other holds a point of it.
  void in(const Box& box, std::vector<const Standing*>& found) const {
    found.clear();
    for (const Standing& b : bodies_) {
      const Vec3 common = intersection(b.box, box).size();
      if (common.x >= 0 && common.y >= 0 && common.z >= 0) found.push_back(&b);
    }
  }

 private:
  std::vector<Standing> bodies_;
};

/// Whether a driver comes at the screws of both legs past what stands there now: straight, or a short one round the
/// corner, as wide as it is.
bool has_tool_room(const Near& near, const Fold& f, const timber::FixingItem& part) {
  constexpr double kStep = 23;
  const double out = kHoleOnLeg * part.length_mm;
  // Beside a short leg the hand gives way to the timber that the other leg is on.
  const double half = std::min(kDriverHalf, out - kSkin);
  std::vector<const Near::Standing*> there;
  const auto free = [&](Vec3 along_leg, Vec3 off_leg) {
    const Vec3 hole = f.middle + out * along_leg, end = hole + kDriverLong * off_leg;
    Box way{hole, hole};
    for (const Vec3& from : {hole, end})
      for (const double u : {-half, half})
        for (const double v : {-half, half}) {
          const Vec3 corner = from + u * f.along + v * along_leg;
          way = enclosing(way, {corner, corner});
        }
    near.in(way, there);
    if (there.empty()) return true;
    const auto held = [&](Vec3 point) {
      return std::any_of(there.begin(), there.end(), [&](const auto* b) { return b->holds(point); });
    };
    const auto clear = [&](double far, double wide) {
      for (double d = kStep; d <= far; d += kStep) {
        const double w = d < kBitLong ? 0 : wide;
        for (const double u : {-w, 0.0, w})
          for (const double v : {-w, 0.0, w})
            if (held(hole + d * off_leg + u * f.along + v * along_leg)) return false;
      }
      return true;
    };
    return clear(kDriverLong, std::min(kSlimHalf, half)) || clear(kToolRoom, half);
  };
  return free(f.up_a, f.out_of_a) && free(f.up_b, f.out_of_b);
}

/// Whether the part fits with its fold here: the leg on a lies the way b's face looks, and the other way round.
bool fits(const WayOut& in_a, const WayOut& in_b, const Near& near, const Fold& f, const timber::FixingItem& part) {
  const double reach = kOnTimber * part.length_mm;
  for (const double side : {-0.5, 0.5}) {
    const Vec3 at = f.middle + side * kOnTimber * part.make.width_mm * f.along;
    if (in_a(at + reach * f.up_a - kSkin * f.out_of_a, f.out_of_a) < 0) return false;
    if (in_b(at + reach * f.up_b - kSkin * f.out_of_b, f.out_of_b) < 0) return false;
    for (const Vec3& place : {at + kProud * (f.out_of_a + f.out_of_b), at + reach * f.up_a + kProud * f.out_of_a,
                              at + reach * f.up_b + kProud * f.out_of_b})
      if (near.hold(place)) return false;
  }
  return true;
}

/// Under what is carried: the lowest edge of the shared face.
std::vector<CornerPlace> under(const Joint& joint) {
  CornerPlace place{joint.a, joint.b, joint.point, {0, 0, -1}, joint.normal};
  double lowest = 1e18;
  for (std::size_t i = 0; i < joint.patch.size(); ++i) {
    const Vec3 middle = 0.5 * (joint.patch[i] + joint.patch[(i + 1) % joint.patch.size()]);
    if (middle.z < lowest) lowest = middle.z, place.fold = middle;
  }
  return {place};
}

}  // namespace

struct Corners::Found {
  std::vector<Fold> folds;
  Vec3 heart;  ///< of the structure: parts are set on the inside, out of sight
  Near near;
  WayOut in_a, in_b;
};

Corners::Corners(const Structure& structure, const Joint& joint, double largest_mm)
    : structure_(structure), joint_(joint), largest_mm_(largest_mm) {}
Corners::~Corners() = default;

const Corners::Found& Corners::found() {
  if (found_) return *found_;
  const Structure& s = structure_;
  Vec3 heart;
  for (std::size_t i = 0; i < s.pieces.size(); ++i) {
    const Box box = world_box(s, body(PieceId{static_cast<int>(i)}));
    heart = heart + (0.5 / static_cast<double>(s.pieces.size())) * (box.min + box.max);
  }
  std::vector<Fold> folds = folds_between(s, joint_, kSquare);
  if (folds.empty()) folds = folds_between(s, joint_, kBentTo);
  found_ = std::make_unique<Found>(Found{std::move(folds), heart,
                                         Near(s, joint_.point, kFarOff + 3 * largest_mm_ + kDriverLong),
                                         WayOut(s, joint_.a), WayOut(s, joint_.b)});
  return *found_;
}

std::vector<CornerPlace> Corners::places(const timber::FixingItem& part, int count) {
  if (!is_solid(joint_.a) || !is_solid(joint_.b) || count < 1) return {};
  if (part.kind == timber::FixingKind::hanger) return under(joint_);
  const Found& found = this->found();
  const double wide = part.make.width_mm;
  std::vector<Fold> folds;
  for (const Fold& f : found.folds)
    if (f.length >= kOnTimber * wide && fits(found.in_a, found.in_b, found.near, f, part)) folds.push_back(f);
  // Away from a neighbour that stands too near: of rafters in a dense row each is screwed on before the next goes in.
  const auto cramped = std::stable_partition(folds.begin(), folds.end(),
                                             [&](const Fold& f) { return has_tool_room(found.near, f, part); });
  const auto less = [&](const Fold& x, const Fold& y) {
    const double up_x = x.out_of_a.z + x.out_of_b.z, up_y = y.out_of_a.z + y.out_of_b.z;
    const auto rank = [](double up) { return std::abs(up) < 1e-6 ? 0 : up < 0 ? 1 : 2; };
    if (rank(up_x) != rank(up_y)) return rank(up_x) < rank(up_y);
    return norm(x.middle - found.heart) < norm(y.middle - found.heart) - 1;
  };
  std::stable_sort(folds.begin(), cramped, less);
  std::stable_sort(cramped, folds.end(), less);
  std::vector<int> shares(folds.size(), 0);
  int given = 0;
  for (bool more = true; more && given < count;) {  // one on every fold before a second on any
    more = false;
    for (std::size_t i = 0; i < folds.size() && given < count; ++i) {
      const int room = std::max(1, static_cast<int>((folds[i].length + kApart) / (wide + kApart)));
      if (shares[i] < room) ++shares[i], ++given, more = true;
    }
  }
  std::vector<CornerPlace> places;
  for (std::size_t i = 0; i < folds.size(); ++i)
    for (int k = 0; k < shares[i]; ++k) {
      const Fold& f = folds[i];
      places.push_back({f.a, f.b, f.middle + ((k + 0.5) / shares[i] - 0.5) * f.length * f.along, f.up_a, f.up_b});
    }
  return places;
}

std::vector<CornerPlace> corner_places(const Structure& structure, const Joint& joint, const timber::FixingItem& part,
                                       int count) {
  return Corners(structure, joint, std::max(part.length_mm, part.make.width_mm)).places(part, count);
}

}  // namespace garthwright
