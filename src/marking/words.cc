// SPDX-License-Identifier: Apache-2.0
#include "marking/words.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace garthwright::marking {
namespace {

/// A face counts as top or bottom, and an end as foot or head, from 30 degrees off the level.
constexpr double kSloping = 0.5;

Vec3 middle_of(const Structure& structure) {
  if (structure.pieces.empty()) return {};
  Box box = world_box(structure, body(PieceId{0}));
  for (std::size_t i = 1; i < structure.pieces.size(); ++i)
    box = enclosing(box, world_box(structure, body(PieceId{static_cast<int>(i)})));
  return box.centre();
}

std::string level_word(Vec3 direction) {
  if (std::abs(direction.x) > std::abs(direction.y)) return direction.x > 0 ? "right" : "left";
  return direction.y > 0 ? "back" : "front";
}

Vec3 face_middle(const Piece& piece, Face face) {
  const Box box = piece.blank();
  const Vec3 out = outward(face), half = 0.5 * box.size();
  return piece.frame.to_world(box.centre() + Vec3{out.x * half.x, out.y * half.y, out.z * half.z});
}

std::string start_end(const Piece& piece) {
  const Vec3 to_start = -piece.frame.x;
  if (std::abs(to_start.z) >= kSloping) return to_start.z < 0 ? "foot" : "head";
  return level_word(to_start) + " end";
}

std::string_view bench_word(Face face) {
  switch (face) {
    case Face::edge_low:
      return "face edge";
    case Face::edge_high:
      return "back edge";
    case Face::side_low:
      return "face side";
    case Face::side_high:
      return "back side";
    case Face::start:
      return "datum end";
    case Face::finish:
      return "far end";
  }
  return "";
}

}  // namespace

Words::Words(const Structure& structure, std::vector<PieceId> pieces)
    : structure_(structure), pieces_(std::move(pieces)), middle_(middle_of(structure)) {
  for (std::size_t i = 0; i < names_.size(); ++i) names_[i] = named(static_cast<Face>(i));
  tell_apart();
}

std::string Words::compass(const Piece& piece, Face face) const {
  const Vec3 out = piece.frame.direction_to_world(outward(face));
  if (std::abs(out.z) >= kSloping) return out.z > 0 ? "top" : "bottom";
  return level_word(out);
}

/// Empty where the face stands in the structure's middle, or looks up or down.
std::string Words::in_or_out(const Piece& piece, Face face) const {
  const Vec3 out = piece.frame.direction_to_world(outward(face));
  const double beyond = dot(out, face_middle(piece, face) - middle_);
  if (std::abs(out.z) >= kSloping || std::abs(beyond) < 1) return "";
  return beyond > 0 ? "outside" : "inside";
}

/// Two neighbouring faces may both look outwards: then the way they look is said too, or else the joiner's own words.
void Words::tell_apart() {
  constexpr std::array<Face, 4> kLong{Face::edge_low, Face::side_low, Face::edge_high, Face::side_high};
  const auto name = [&](Face face) -> std::string& { return names_[static_cast<std::size_t>(face)]; };
  const auto twice = [&](const std::string& word) {
    return std::count_if(kLong.begin(), kLong.end(), [&](Face face) { return name(face) == word; }) > 1;
  };
  const auto along = [&](PieceId id, Face face) {
    const Vec3 out = structure_[id].frame.direction_to_world(outward(face));
    return std::abs(out.x) > std::abs(out.y) ? "L/R" : "F/B";
  };
  std::array<std::string, 6> told = names_;
  for (const Face face : kLong) {
    if (!twice(name(face))) continue;
    const std::string way = along(pieces_.front(), face);
    const bool all = std::all_of(pieces_.begin(), pieces_.end(), [&](PieceId id) { return along(id, face) == way; });
    told[static_cast<std::size_t>(face)] = all ? name(face) + " " + way : std::string(bench_word(face));
  }
  names_ = told;
  for (const Face face : kLong)
    if (twice(name(face))) told[static_cast<std::size_t>(face)] = bench_word(face);
  names_ = std::move(told);
}

std::string Words::named(Face face) const {
  const Piece& first = structure_[pieces_.front()];
  const std::string word = compass(first, face), inward = in_or_out(first, face);
  bool same_word = true, same_inward = !inward.empty();
  for (PieceId id : pieces_) {
    same_word = same_word && compass(structure_[id], face) == word;
    same_inward = same_inward && in_or_out(structure_[id], face) == inward;
  }
  return same_word ? word : same_inward ? inward : std::string(bench_word(face));
}

std::string Words::datum() const {
  const std::string word = start_end(structure_[pieces_.front()]);
  std::string others;
  for (PieceId id : pieces_) {
    const Piece& piece = structure_[id];
    const std::string other = start_end(piece);
    if (other == word) continue;
    others += (others.empty() ? "" : ", ") + (piece.where.empty() ? piece.name : piece.where + " " + piece.name) +
              ": " + other;
  }
  return others.empty() ? word : word + " (" + others + ")";
}

}  // namespace garthwright::marking
