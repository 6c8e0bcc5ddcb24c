// SPDX-License-Identifier: Apache-2.0
#include "structure/edging.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "structure/joinery.h"

namespace garthwright {
namespace {

constexpr double kSame = 0.01;  // mm
// Of what is hollowed, two thirds stay; an arc is no rounder than one four times as long as it is deep, whose grain
// runs out at 53° at its ends (common practice, no source).
constexpr double kMostDeep = 1.0 / 3, kFlattest = 4;

/// Where the plate lies in the rafter's coordinates: the four corners of its section, and how far along the thickness.
struct Lying {
  std::array<Vec3, 4> corners;
  double z_from = 0, z_to = 0;
};

Lying lying(const Piece& rafter, const Piece& plate) {
  Lying at;
  const double w = plate.width.value(), t = plate.thickness.value();
  const std::array<Vec3, 4> section{Vec3{0, 0, 0}, {0, w, 0}, {0, w, t}, {0, 0, t}};
  for (std::size_t i = 0; i < 4; ++i) at.corners[i] = rafter.frame.to_local(plate.frame.to_world(section[i]));
  const double far = rafter.frame.to_local(plate.frame.to_world({plate.length.value(), 0, 0})).z;
  at.z_from = std::max(0.0, std::min(at.corners[0].z, far));
  at.z_to = std::min(rafter.thickness.value(), std::max(at.corners[0].z, far));
  return at;
}

/// Where the line from a corner in the timber to the next, outside it, leaves through an edge.
Vec3 leaves(Vec3 corner, Vec3 next, double edge) {
  const Vec3 at = corner + ((edge - corner.y) / (next.y - corner.y)) * (next - corner);
  return {at.x, edge, 0};
}

/// The bird's mouth in the rafter's own plane: from `first` on the edge to the corner and back to the edge.
struct Mouth {
  bool at_low = true;
  Vec3 first, corner, second;
};

std::optional<Mouth> mouth_of(const Piece& rafter, const Lying& at) {
  const double width = rafter.width.value();
  std::optional<std::size_t> inside;
  for (std::size_t i = 0; i < 4; ++i) {
    if (at.corners[i].y < kSame || at.corners[i].y > width - kSame) continue;
    if (inside) return std::nullopt;
    inside = i;
  }
  if (!inside) return std::nullopt;
  const Vec3 corner = at.corners[*inside], before = at.corners[(*inside + 3) % 4],
             after = at.corners[(*inside + 1) % 4];
  const bool low = before.y < corner.y;
  if (low != (after.y < corner.y)) return std::nullopt;
  const double edge = low ? 0 : width;
  Mouth mouth{low, leaves(corner, before, edge), {corner.x, corner.y, 0}, leaves(corner, after, edge)};
  if (mouth.first.x > mouth.second.x) std::swap(mouth.first, mouth.second);
  if (mouth.first.x > corner.x - kSame || mouth.second.x < corner.x + kSame) return std::nullopt;
  return mouth;
}

bool is_cut(const Piece& rafter, const Mouth& mouth) {
  return std::any_of(rafter.machining.begin(), rafter.machining.end(), [&](const Machining& m) {
    const Notch* notch = std::get_if<Notch>(&m);
    return notch != nullptr && notch->kind == Notch::Kind::birds_mouth &&
           std::abs(notch->corner - mouth.corner.x) < kSame && std::abs(notch->region.min.x - mouth.first.x) < kSame;
  });
}

void cut(Piece& rafter, const Mouth& mouth, Body against, const Piece& plate) {
  const double slope = std::asin(std::clamp(std::abs(rafter.frame.x.z), 0.0, 1.0)) * 180 / std::acos(-1.0);
  const double deep = std::abs(mouth.corner.y - mouth.first.y);
  Notch notch;
  notch.kind = Notch::Kind::birds_mouth;
  notch.corner = mouth.corner.x;
  notch.against = against;
  notch.opens_on = mouth.at_low ? Face::edge_low : Face::edge_high;
  notch.region = {{mouth.first.x, std::min(mouth.first.y, mouth.corner.y), 0},
                  {mouth.second.x, std::max(mouth.first.y, mouth.corner.y), rafter.thickness.value()}};
  notch.from = Traced::named("along the slope to the bird's mouth", mouth.first.x);
  notch.wide = Traced::step("bird's mouth", mouth.second.x - mouth.first.x,
                            fmt::format("{} in the slope of {:.1f}°", plate.name, slope), {plate.thickness});
  notch.deep = Traced::step("depth of the bird's mouth", deep,
                            fmt::format("{} in the slope of {:.1f}°", plate.name, slope), {plate.thickness});
  rafter.machining.emplace_back(std::move(notch));
}

/// The seat is that cut which lies more along the rafter.
Joint seat_of(const Piece& rafter, const Mouth& mouth, const Lying& at, Body coming, Body standing) {
  const bool first = mouth.corner.x - mouth.first.x > mouth.second.x - mouth.corner.x;
  const Vec3 out = first ? mouth.first : mouth.second;
  const Vec3 along = unit(out - mouth.corner);
  Vec3 normal{-along.y, along.x, 0};
  if ((normal.y > 0) == mouth.at_low) normal = -normal;  // out of the timber, towards the plate
  Joint joint{JointKind::notch, coming, standing, {}, {}, rafter.frame.direction_to_world(normal), false, {}};
  for (const Vec3& corner : {mouth.corner + Vec3{0, 0, at.z_from}, out + Vec3{0, 0, at.z_from},
                             out + Vec3{0, 0, at.z_to}, mouth.corner + Vec3{0, 0, at.z_to}})
    joint.patch.push_back(rafter.frame.to_world(corner));
  for (const Vec3& corner : joint.patch) joint.point = joint.point + 0.25 * corner;
  return joint;
}

/// From where the start's cuts meet an edge to where the finish's do.
std::pair<double, double> ends_on_edge(const Piece& piece, double y) {
  std::pair<double, double> ends{0, piece.length.value()};
  for (const Machining& machining : piece.machining) {
    const EndCut* cut = std::get_if<EndCut>(&machining);
    if (cut == nullptr || std::abs(cut->normal.x) < 1e-9) continue;
    for (const double z : {0.0, piece.thickness.value()}) {
      const double x =
          cut->point.x - (cut->normal.y * (y - cut->point.y) + cut->normal.z * (z - cut->point.z)) / cut->normal.x;
      if (cut->end == End::start)
        ends.first = std::max(ends.first, x);
      else
        ends.second = std::min(ends.second, x);
    }
  }
  return ends;
}

}  // namespace

Result<JointId> birds_mouth(Structure& structure, PieceId rafter_id, PieceId plate_id) {
  Piece& rafter = structure[rafter_id];
  const Piece& plate = structure[plate_id];
  const std::string who = describe(structure, body(rafter_id)), on = describe(structure, body(plate_id));
  if (std::abs(dot(rafter.frame.z, plate.frame.x)) < 1 - 1e-9)
    return fail("no-birds-mouth", fmt::format("{} does not cross {} square", who, on),
                "let the plate run level, square to the rafter");
  const Lying at = lying(rafter, plate);
  if (at.z_to - at.z_from < kSame)
    return fail("no-birds-mouth", fmt::format("{} does not come over {}", who, on),
                "let the plate reach under the rafter");
  const std::optional<Mouth> mouth = mouth_of(rafter, at);
  if (!mouth)
    return fail(
        "no-birds-mouth", fmt::format("{} does not reach into the edge of {} with one corner", on, who),
        "let the rafter slope, its edge pass below the top of the plate on one side and not below it on the other");
  if (!is_cut(rafter, *mouth)) cut(rafter, *mouth, body(plate_id), plate);
  structure.joints.push_back(seat_of(rafter, *mouth, at, body(rafter_id), body(plate_id)));
  return JointId{static_cast<int>(structure.joints.size()) - 1};
}

Result<void> hollow(Structure& structure, const Hollowing& hollowing) {
  Piece& piece = structure[hollowing.piece];
  const std::string who = describe(structure, body(hollowing.piece));
  const double looks = piece.frame.direction_to_local(vector(hollowing.face)).y;
  if (std::abs(looks) < 0.5)
    return fail("bad-hollow", fmt::format("the {} of {} is not one of its narrow edges", name(hollowing.face), who),
                "hollow an edge across the width of the timber");
  const double width = piece.width.value(), edge = looks > 0 ? width : 0;
  const auto [start, finish] = ends_on_edge(piece, edge);
  const double off = hollowing.off.value(), deep = hollowing.deep.value(), chord = finish - start - 2 * off;
  const auto print = [&](double mm) { return format_length(mm, hollowing.print); };
  if (!(deep > 0) || deep > kMostDeep * width)
    return fail("deep-hollow", fmt::format("an arc {} deep takes more than a third of {}", print(deep), who),
                fmt::format("give above 0 and at most {}", print(kMostDeep * width)));
  if (!(off >= 0) || !(chord >= kFlattest * deep))
    return fail("bad-hollow",
                fmt::format("held {} off the ends of {}, {} apart, no arc {} deep has room", print(off), who,
                            print(finish - start), print(deep)),
                "hold it less off the ends, or make it shallower or the timber longer");
  Notch notch;
  notch.kind = Notch::Kind::hollow;
  notch.opens_on = looks > 0 ? Face::edge_high : Face::edge_low;
  notch.region = {{start + off, looks > 0 ? width - deep : 0, 0},
                  {finish - off, looks > 0 ? width : deep, piece.thickness.value()}};
  notch.from = hollowing.off;
  if (start > kSame) notch.from = notch.from + Traced::named("slant of the end", start);
  notch.wide = Traced::named("length of the curve's chord", chord);
  notch.deep = hollowing.deep;
  piece.machining.emplace_back(std::move(notch));
  return {};
}

}  // namespace garthwright
