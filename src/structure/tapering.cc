// SPDX-License-Identifier: Apache-2.0
#include "structure/tapering.h"

#include <fmt/format.h>

#include <cmath>

namespace garthwright {
namespace {

constexpr double kLeastLeft = 10;  // mm of an end: less splits (common practice, no source)
constexpr double kSame = 1e-6;

/// How far the timber reaches square to a long face, and the way out of that face, in piece coordinates.
double reach(const Piece& piece, Vec3 out) {
  return std::abs(out.y) > 0.5 ? piece.width.value() : piece.thickness.value();
}

/// A point of the face, at `x` along the piece.
Vec3 on_face(const Piece& piece, Vec3 out, double x) {
  return {x, out.y > 0.5 ? piece.width.value() : 0, out.z > 0.5 ? piece.thickness.value() : 0};
}

double off_already(const Piece& piece, End end, Face across) {
  for (const Machining& machining : piece.machining)
    if (const auto* cut = std::get_if<EndCut>(&machining); cut != nullptr && cut->end == end)
      if (const auto other = taper_of(piece, *cut); other && other->face == across) return other->off;
  return 0;
}

}  // namespace

Result<void> taper(Structure& structure, const Tapering& t) {
  Piece& piece = structure[t.piece];
  const std::string who = describe(structure, body(t.piece));
  const Vec3 out = piece.frame.direction_to_local(vector(t.face));
  if (std::abs(out.x) > kSame || std::max(std::abs(out.y), std::abs(out.z)) < 1 - kSame)
    return fail("no-face", fmt::format("{} has no long face that looks {}", who, name(t.face)),
                "give the way that one of its four long faces looks");
  const double length = piece.length.value(), whole = reach(piece, out);
  if (!(t.along > kSame) || t.along > length + kSame)
    return fail("bad-taper", fmt::format("a taper {:g} mm long of {}, which is {:g} mm", t.along, who, length),
                "give along above 0, up to the timber's length");
  const Face face = face_looking(out);
  const double other = off_already(piece, t.end, face_looking(-out));
  if (!(t.off > kSame) || whole - t.off - other < kLeastLeft - kSame)
    return fail("bad-taper",
                fmt::format("a taper {:g} mm deep leaves {:g} of {:g} mm at the end of {}", t.off,
                            whole - t.off - other, whole, who),
                fmt::format("leave {:g} mm or more", kLeastLeft));
  if (off_already(piece, t.end, face) > 0)
    return fail("bad-taper", fmt::format("that face of {} is tapered already", who), "taper it once");
  // The plane goes through the face where the taper begins and through the end, so much nearer the other side.
  const bool start = t.end == End::start;
  const Vec3 begins = on_face(piece, out, start ? t.along : length - t.along);
  const double size = std::hypot(t.along, t.off);
  const Vec3 normal = (t.along / size) * out + (t.off / size) * Vec3{start ? -1.0 : 1.0, 0, 0};
  piece.machining.emplace_back(EndCut{t.end, begins, normal});
  return {};
}

std::optional<Taper> taper_of(const Piece& piece, const EndCut& cut) {
  const Vec3 n = unit(cut.normal);
  const bool start = cut.end == End::start;
  const double across = std::max(std::abs(n.y), std::abs(n.z)), towards = start ? -n.x : n.x;
  if (std::min(std::abs(n.y), std::abs(n.z)) > kSame || across < kSame || towards < kSame) return std::nullopt;
  Taper taper;
  const Vec3 out = std::abs(n.y) > std::abs(n.z) ? Vec3{0, n.y > 0 ? 1.0 : -1.0, 0} : Vec3{0, 0, n.z > 0 ? 1.0 : -1.0};
  taper.face = face_looking(out);
  const double end = start ? 0 : piece.length.value();
  // Where the plane leaves the face, measured from the end, and how far below the face it meets the end.
  const Vec3 corner = on_face(piece, out, end);
  const double above = dot(n, corner - cut.point);
  taper.along = above / towards, taper.off = above / across;
  if (taper.off <= kSame || taper.off >= reach(piece, out) - kSame) return std::nullopt;
  return taper;
}

}  // namespace garthwright
