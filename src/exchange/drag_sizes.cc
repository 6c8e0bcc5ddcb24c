// SPDX-License-Identifier: Apache-2.0
#include "exchange/drag_sizes.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <tuple>

namespace garthwright::exchange {
namespace {

constexpr double kSame = 1e-6;  // mm

/// A face square to an axis: where it is, and the sum it came from.
struct Plane {
  Traced at;
  Body body;           // ground: z = 0
  Box box;             // of the body, in the structure's coordinates
  bool faces = false;  // a pattern shows these faces
};

/// The blank's axis that runs along this axis of the structure; none when the body stands askew to it.
std::optional<int> axis_along(const Frame& frame, int axis) {
  const Vec3 ways[] = {frame.x, frame.y, frame.z};
  for (int local = 0; local < 3; ++local)
    if (std::abs(std::abs(ways[local][axis]) - 1) < 1e-9) return local;
  return std::nullopt;
}

template <class Part>
void add_planes(std::vector<Plane>& planes, const Structure& structure, Body body, const Part& part,
                const std::array<Traced, 3>& size, int axis, bool faces) {
  const std::optional<int> local = axis_along(part.frame, axis);
  if (!local) return;
  const Box box = world_box(structure, body);
  const auto a = static_cast<std::size_t>(axis);
  planes.push_back({part.corner[a], body, box, faces});
  planes.push_back({part.corner[a] + size[static_cast<std::size_t>(*local)], body, box, faces});
}

std::vector<Plane> planes_along(const Structure& structure, int axis) {
  std::vector<Plane> planes;
  if (axis == 2) planes.push_back({Traced(0), kGround, {}, false});
  for (std::size_t i = 0; i < structure.pieces.size(); ++i) {
    const Piece& piece = structure.pieces[i];
    add_planes(planes, structure, body(PieceId{static_cast<int>(i)}), piece,
               {piece.length, piece.width, piece.thickness}, axis, piece.show == Show::faces);
  }
  for (std::size_t i = 0; i < structure.panels.size(); ++i) {
    const Panel& panel = structure.panels[i];
    add_planes(planes, structure, body(PanelId{static_cast<int>(i)}), panel,
               {panel.width, panel.height, panel.thickness}, axis, false);
  }
  std::stable_sort(planes.begin(), planes.end(),
                   [](const Plane& a, const Plane& b) { return a.at.value() < b.at.value(); });
  return planes;
}

Box whole_box(const Structure& structure) {
  std::optional<Box> box;
  const auto enclose = [&](Body b) {
    const Box more = world_box(structure, b);
    box = box ? enclosing(*box, more) : more;
  };
  for (std::size_t i = 0; i < structure.pieces.size(); ++i) enclose(body(PieceId{static_cast<int>(i)}));
  for (std::size_t i = 0; i < structure.panels.size(); ++i) enclose(body(PanelId{static_cast<int>(i)}));
  return box.value_or(Box{});
}

/// The quantity that a length choice is in sums; none for other choices.
const Quantity* quantity_of(const Choice& choice) {
  if (!choice.value || choice.value->terms().size() != 1) return nullptr;
  const Quantity* quantity = choice.value->terms().front().quantity.get();
  return quantity->length ? quantity : nullptr;
}

std::string spoken(std::string name) {
  std::replace(name.begin(), name.end(), '_', ' ');
  return name;
}

/// A point on the line of the dimension, where both bodies are: in front (or at the right, for one that runs back), and
/// half-way up what they share above the ground.
Vec3 place_of(int axis, const Box& shared, const Box& whole) {
  const double low = std::max(shared.min.z, std::min(0.0, shared.max.z));
  const double level = (low + std::max(low, shared.max.z)) / 2;
  if (axis == 0) return {0, shared.min.y, level};
  if (axis == 1) return {whole.max.x, 0, level};
  return {shared.min.x, shared.min.y, 0};
}

Box shared_box(const Plane& low, const Plane& high) {
  if (low.body.kind == Body::Kind::ground) return high.box;
  if (high.body.kind == Body::Kind::ground) return low.box;
  return intersection(low.box, high.box);
}

DragSize sized(std::string name, int axis, double from, double to, Vec3 at) {
  DragSize size{{}, std::move(name), axis, at, at, {}, 0, 0, 0};
  size.from[axis] = from;
  size.to[axis] = to;
  return size;
}

void follow(DragSize& size, const Choice& choice, double per) {
  size.choice = choice.name;
  size.per = per;
  size.least = choice.least;
  size.most = choice.most;
}

/// The pair of faces that the choice alone lies between.
std::optional<DragSize> as_itself(const Choice& choice, const std::vector<Plane> (&planes)[3], const Box& whole) {
  const Quantity* quantity = quantity_of(choice);
  if (!quantity || choice.value->value() < kSame) return std::nullopt;
  using Rank = std::tuple<bool, double, double, double>;  // not shown by the pattern; then the most in front, left, low
  std::optional<Rank> best;
  std::optional<DragSize> found;
  for (int axis = 0; axis < 3; ++axis) {
    const std::vector<Plane>& sorted = planes[axis];
    for (std::size_t i = 0; i < sorted.size(); ++i) {
      const double wanted = sorted[i].at.value() + choice.value->value();
      auto high = std::lower_bound(sorted.begin(), sorted.end(), wanted - kSame,
                                   [](const Plane& plane, double value) { return plane.at.value() < value; });
      for (; high != sorted.end() && high->at.value() < wanted + kSame; ++high) {
        const Box shared = shared_box(sorted[i], *high);
        const bool shown = (sorted[i].faces || sorted[i].body == kGround) && (high->faces || high->body == kGround);
        const Rank rank{!shown, shared.min.y, shared.min.x, shared.min.z};
        if (best && !(rank < *best)) continue;
        const Traced gap = high->at - sorted[i].at;
        if (gap.terms().size() != 1 || gap.terms().front().quantity.get() != quantity ||
            std::abs(gap.terms().front().factor - 1) > 1e-9 || std::abs(gap.constant()) > kSame)
          continue;
        best = rank;
        found = sized(spoken(choice.name), axis, sorted[i].at.value(), high->at.value(), place_of(axis, shared, whole));
        follow(*found, choice, 1);
      }
    }
  }
  return found;
}

DragSize overall(const Structure& structure, int axis, const std::vector<Plane>& planes, const Box& whole) {
  static const char* const kNames[] = {"overall width", "overall depth", "overall height"};
  const double from = axis == 2 ? 0 : whole.min[axis], to = whole.max[axis];
  DragSize size = sized(kNames[axis], axis, from, to, place_of(axis, whole, whole));
  const auto at = [&](double value) {
    return std::find_if(planes.begin(), planes.end(),
                        [&](const Plane& plane) { return std::abs(plane.at.value() - value) < kSame; });
  };
  const auto low = at(from), high = at(to);
  if (low == planes.end() || high == planes.end()) return size;
  const Traced span = high->at - low->at;
  for (const Choice& choice : structure.choices)
    for (const Traced::Term& term : span.terms())
      if (size.choice.empty() && term.quantity.get() == quantity_of(choice) && term.factor > 0)
        follow(size, choice, term.factor);
  return size;
}

}  // namespace

std::vector<DragSize> drag_sizes(const Structure& structure) {
  const std::vector<Plane> planes[3] = {planes_along(structure, 0), planes_along(structure, 1),
                                        planes_along(structure, 2)};
  const Box whole = whole_box(structure);
  std::vector<DragSize> sizes;
  const auto add_choices = [&](const std::string& part, const std::vector<Choice>& choices) {
    for (const Choice& choice : choices)
      if (std::optional<DragSize> size = as_itself(choice, planes, whole)) {
        size->part = part;
        sizes.push_back(std::move(*size));
      }
  };
  add_choices(structure.name, structure.choices);
  for (const Part& guest : structure.guests) add_choices(guest.name, guest.choices);
  for (int axis = 0; axis < 3; ++axis) {
    sizes.push_back(overall(structure, axis, planes[axis], whole));
    sizes.back().part = structure.name;
  }
  return sizes;
}

}  // namespace garthwright::exchange
