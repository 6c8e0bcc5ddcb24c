// SPDX-License-Identifier: Apache-2.0
#include "structure/marks.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>
#include <map>
#include <string_view>

#include "structure/profile.h"

namespace garthwright {
namespace {

/// A turn of the timber that brings its box back onto itself: local' = axes · local + shift, a signed permutation.
struct Turn {
  std::array<Vec3, 3> rows;  ///< images of the axes: local'.x = rows[0] · local + shift.x
  Vec3 shift;

  Vec3 direction(Vec3 v) const { return {dot(rows[0], v), dot(rows[1], v), dot(rows[2], v)}; }
  Vec3 point(Vec3 p) const { return direction(p) + shift; }
  bool ends_swap() const { return rows[0].x < 0; }
  /// Whether the plane of the wide side is seen from behind after the turn.
  bool turns_side_over() const { return rows[0].x * rows[1].y < 0; }
};

Turn half_turn(Vec3 about, Vec3 size) {
  const Vec3 sign{about.x > 0 ? 1.0 : -1.0, about.y > 0 ? 1.0 : -1.0, about.z > 0 ? 1.0 : -1.0};
  return {{Vec3{sign.x, 0, 0}, Vec3{0, sign.y, 0}, Vec3{0, 0, sign.z}},
          {sign.x < 0 ? size.x : 0, sign.y < 0 ? size.y : 0, sign.z < 0 ? size.z : 0}};
}

/// A quarter turn about the length of a square timber.
Turn quarter_turn(const Turn& first, Vec3 size) {
  // (x, y, z) → (x, size − z, y) after `first`
  const Turn turn{{Vec3{1, 0, 0}, Vec3{0, 0, -1}, Vec3{0, 1, 0}}, {0, size.z, 0}};
  Turn both;
  for (std::size_t i = 0; i < 3; ++i)
    both.rows[i] = turn.rows[i].x * first.rows[0] + turn.rows[i].y * first.rows[1] + turn.rows[i].z * first.rows[2];
  both.shift = turn.point(first.shift);
  return both;
}

/// Whether something is sawn along a path in the plane of the wide side, which stays there.
bool has_shape(const Piece& piece) {
  return std::any_of(piece.machining.begin(), piece.machining.end(), [](const Machining& m) {
    const Notch* notch = std::get_if<Notch>(&m);
    return std::holds_alternative<ShapedEnd>(m) || (notch != nullptr && is_through_thickness(*notch));
  });
}

std::vector<Turn> turns_of(const Piece& piece) {
  const Vec3 size = piece.blank().max;
  std::vector<Turn> turns{half_turn({1, 1, 1}, size), half_turn({1, 0, 0}, size), half_turn({0, 1, 0}, size),
                          half_turn({0, 0, 1}, size)};
  if (std::abs(size.y - size.z) < 1e-6 && !has_shape(piece))
    for (std::size_t i = 0; i < 4; ++i) turns.push_back(quarter_turn(turns[i], size));
  return turns;
}

End turned(End end, const Turn& turn) {
  if (!turn.ends_swap()) return end;
  return end == End::start ? End::finish : End::start;
}

ShapedEnd turned(const ShapedEnd& shape, const Turn& turn) {
  ShapedEnd image = shape;
  image.end = turned(shape.end, turn);
  const auto move = [&](double& x, double& y) {
    const Vec3 p = turn.point({x, y, 0});
    x = p.x, y = p.y;
  };
  move(image.start_x, image.start_y);
  for (Stroke& s : image.strokes) {
    move(s.x, s.y);
    if (s.kind == Stroke::Kind::arc) move(s.centre_x, s.centre_y);
    if (s.kind == Stroke::Kind::cubic) move(s.c1x, s.c1y), move(s.c2x, s.c2y);
    if (turn.turns_side_over()) s.clockwise = !s.clockwise;
  }
  // Paths run from the low edge to the high one, whichever way the timber lies.
  if (image.strokes.empty() || image.start_y <= image.strokes.back().y) return image;
  return walked_back(image);
}

Machining turned(const Machining& machining, const Turn& turn, double length) {
  if (const auto* cut = std::get_if<EndCut>(&machining))
    return EndCut{turned(cut->end, turn), turn.point(cut->point), turn.direction(cut->normal)};
  if (const auto* shape = std::get_if<ShapedEnd>(&machining)) return turned(*shape, turn);
  if (const auto* notch = std::get_if<Notch>(&machining)) {
    Notch image = *notch;
    const Vec3 a = turn.point(notch->region.min), b = turn.point(notch->region.max);
    for (int i = 0; i < 3; ++i) {
      image.region.min[i] = std::min(a[i], b[i]);
      image.region.max[i] = std::max(a[i], b[i]);
    }
    image.corner = turn.point({notch->corner, 0, 0}).x;
    image.opens_on = face_looking(turn.direction(outward(notch->opens_on)));
    if (turn.ends_swap()) image.from = Traced(length) - notch->from - notch->wide;
    return image;
  }
  Hole image = std::get<Hole>(machining);
  image.entry = turn.point(image.entry);
  image.direction = turn.direction(image.direction);
  return image;
}

/// What makes two cut timbers one, as whole numbers: sizes in 0.001 mm, kinds, and lengths of lists.
using Signature = std::vector<std::int64_t>;

void put(Signature& to, double value) {
  constexpr double kMost = 9e15;  // what a double still counts by ones
  const double rounded = std::round(value * 1000);
  to.push_back(rounded >= -kMost && rounded <= kMost ? static_cast<std::int64_t>(rounded)
                                                     : std::numeric_limits<std::int64_t>::max());
}
void put(Signature& to, Vec3 v) { put(to, v.x), put(to, v.y), put(to, v.z); }

/// Everything that makes the cut timber what it is; order of machining does not matter.
Signature signature(const Machining& machining) {
  Signature to;
  to.reserve(16);
  to.push_back(static_cast<std::int64_t>(machining.index()));
  if (const auto* cut = std::get_if<EndCut>(&machining)) {
    // A plane has many points; its distance from the origin is its own.
    const Vec3 n = unit(cut->normal);
    put(to, dot(n, cut->point));
    put(to, 1000 * n);
  } else if (const auto* shape = std::get_if<ShapedEnd>(&machining)) {
    put(to, shape->start_x), put(to, shape->start_y);
    for (const Stroke& s : shape->strokes) {
      to.push_back(static_cast<int>(s.kind));
      put(to, s.x), put(to, s.y);
      if (s.kind == Stroke::Kind::arc) put(to, s.centre_x), put(to, s.centre_y), to.push_back(s.clockwise);
      if (s.kind == Stroke::Kind::cubic) put(to, s.c1x), put(to, s.c1y), put(to, s.c2x), put(to, s.c2y);
    }
  } else if (const auto* notch = std::get_if<Notch>(&machining)) {
    to.push_back(static_cast<int>(notch->opens_on));
    put(to, notch->region.min), put(to, notch->region.max);
    if (is_through_thickness(*notch)) to.push_back(static_cast<int>(notch->kind)), put(to, notch->corner);
  } else {
    const Hole& hole = std::get<Hole>(machining);
    put(to, hole.entry), put(to, 1000 * hole.direction), put(to, hole.diameter);
    put(to, hole.through ? -1 : hole.depth);
  }
  return to;
}

Signature signature(const Piece& piece, const std::vector<Machining>& machining) {
  std::vector<Signature> parts;
  parts.reserve(machining.size());
  for (const Machining& m : machining) parts.push_back(signature(m));
  std::sort(parts.begin(), parts.end());
  Signature whole;
  whole.reserve(8 + 16 * parts.size());
  put(whole, piece.length.value());
  whole.push_back(piece.section.index);
  put(whole, piece.width.value()), put(whole, piece.thickness.value());  // a board may be ripped narrower
  whole.push_back(piece.straight);
  whole.push_back(static_cast<std::int64_t>(piece.joins_at.size()));
  for (const double join : piece.joins_at) put(whole, join);
  for (const Signature& part : parts) {
    whole.push_back(static_cast<std::int64_t>(part.size()));
    whole.insert(whole.end(), part.begin(), part.end());
  }
  return whole;
}

/// Order along the timber, so that equal pieces list their machining alike.
double first_x(const Machining& machining) {
  if (const auto* cut = std::get_if<EndCut>(&machining)) return cut->end == End::start ? -1 : 1e9;
  if (const auto* shape = std::get_if<ShapedEnd>(&machining)) return shape->end == End::start ? -1 : 1e9;
  if (const auto* notch = std::get_if<Notch>(&machining)) return notch->region.min.x;
  return std::get<Hole>(machining).entry.x;
}

std::vector<Machining> turned(const Piece& piece, const Turn& turn) {
  std::vector<Machining> image;
  image.reserve(piece.machining.size());
  for (const Machining& m : piece.machining) image.push_back(turned(m, turn, piece.length.value()));
  std::stable_sort(image.begin(), image.end(),
                   [](const Machining& a, const Machining& b) { return first_x(a) < first_x(b); });
  return image;
}

void reframe(Piece& piece, const Turn& turn, std::vector<Machining> machining) {
  const auto world = [&](Vec3 local) { return piece.frame.direction_to_world(local); };
  // local = rowsᵀ · (local' − shift): the image axes are the rows themselves, seen in the old frame.
  Frame frame{{}, world(turn.rows[0]), world(turn.rows[1]), world(turn.rows[2])};
  frame.origin = piece.frame.origin - frame.direction_to_world(turn.shift);
  piece.frame = frame;
  piece.machining = std::move(machining);
}

std::string letter(int index) {
  std::string text;
  for (int n = index + 1; n > 0; n = (n - 1) / 26) text.insert(text.begin(), static_cast<char>('A' + (n - 1) % 26));
  return text;
}

}  // namespace

int assign_marks(Structure& structure, int first_letter) {
  struct Kind {
    std::string letter;
    std::map<Signature, int> numbers;
  };
  std::map<std::string, Kind> kinds;
  int next_letter = first_letter;
  for (Piece& piece : structure.pieces) {
    auto [entry, is_new] = kinds.try_emplace(piece.name);
    Kind& kind = entry->second;
    if (is_new) kind.letter = letter(next_letter++);
    const std::vector<Turn> turns = turns_of(piece);
    int number = 0;
    for (const Turn& turn : turns) {
      std::vector<Machining> machining = turned(piece, turn);
      const auto known = kind.numbers.find(signature(piece, machining));
      if (known == kind.numbers.end()) continue;
      number = known->second;
      reframe(piece, turn, std::move(machining));
      break;
    }
    if (number == 0) {
      piece.machining = turned(piece, turns.front());
      number = static_cast<int>(kind.numbers.size()) + 1;
      kind.numbers.emplace(signature(piece, piece.machining), number);
    }
    piece.mark = kind.letter + std::to_string(number);
  }
  return next_letter;
}

std::vector<Piece> equal_turns(const Piece& piece) {
  std::vector<Piece> same_end{piece}, other_end;
  const std::vector<Turn> turns = turns_of(piece);
  const Signature own = signature(piece, piece.machining);
  for (std::size_t i = 1; i < turns.size(); ++i) {
    if (turns[i].ends_swap() && !piece.joins_at.empty()) continue;
    std::vector<Machining> machining = turned(piece, turns[i]);
    if (signature(piece, machining) != own) continue;
    Piece image = piece;
    reframe(image, turns[i], std::move(machining));
    (turns[i].ends_swap() ? other_end : same_end).push_back(std::move(image));
  }
  same_end.insert(same_end.end(), other_end.begin(), other_end.end());
  return same_end;
}

std::vector<MarkGroup> marks(const Structure& structure) {
  std::vector<MarkGroup> groups;
  std::map<std::string_view, std::size_t> known;
  for (std::size_t i = 0; i < structure.pieces.size(); ++i) {
    const std::string& mark = structure.pieces[i].mark;
    const auto [at, is_new] = known.try_emplace(mark, groups.size());
    if (is_new) groups.push_back({mark, {}});
    groups[at->second].pieces.push_back({static_cast<int>(i)});
  }
  const auto before = [](const MarkGroup& a, const MarkGroup& b) {
    const auto split = [](const std::string& mark) {
      const std::size_t digits = mark.find_first_of("0123456789");
      return std::tuple(digits, mark.substr(0, digits), std::stoi("0" + mark.substr(std::min(digits, mark.size()))));
    };
    return split(a.mark) < split(b.mark);
  };
  std::sort(groups.begin(), groups.end(), before);
  return groups;
}

}  // namespace garthwright
