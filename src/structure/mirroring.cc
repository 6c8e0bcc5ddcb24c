// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <map>

#include "structure/joinery.h"

namespace garthwright {
namespace {

/// A reflection in a plane square to a world axis.
struct Glass {
  int axis;
  Traced plane;

  Vec3 direction(Vec3 v) const {
    v[axis] = -v[axis];
    return v;
  }
  Vec3 point(Vec3 p) const {
    p[axis] = 2 * plane.value() - p[axis];
    return p;
  }
};

std::string swapped(std::string text, std::string_view a, std::string_view b) {
  // Whole words only; each is replaced at most once, which is all a name needs.
  const auto find_word = [&](std::string_view word) {
    for (std::size_t at = text.find(word); at != std::string::npos; at = text.find(word, at + 1)) {
      const bool starts = at == 0 || text[at - 1] == ' ';
      const bool ends = at + word.size() == text.size() || text[at + word.size()] == ' ';
      if (starts && ends) return at;
    }
    return std::string::npos;
  };
  const std::size_t at_a = find_word(a), at_b = find_word(b);
  if (at_a != std::string::npos)
    text.replace(at_a, a.size(), b);
  else if (at_b != std::string::npos)
    text.replace(at_b, b.size(), a);
  return text;
}

/// The mirrored body has a right-handed frame again when its z is turned round: z → thickness − z. A timber's section
/// is symmetrical, so that is the same timber.
Frame mirrored(const Frame& frame, double thickness, const Glass& glass) {
  Frame image{glass.point(frame.origin), glass.direction(frame.x), glass.direction(frame.y), {}};
  const Vec3 z = glass.direction(frame.z);
  image.z = -z;
  image.origin = image.origin + thickness * z;
  return image;
}

Face mirrored(Face face) {
  if (face == Face::side_low) return Face::side_high;
  return face == Face::side_high ? Face::side_low : face;
}

}  // namespace

Result<std::vector<Body>> mirror(Structure& structure, const std::vector<Body>& bodies, Way across,
                                 const Traced& plane) {
  const Glass glass{axis(across), plane};
  const std::string_view one = glass.axis == 0 ? "left" : glass.axis == 1 ? "front" : "upper";
  const std::string_view other = glass.axis == 0 ? "right" : glass.axis == 1 ? "back" : "lower";
  const auto name_of = [&](const std::string& text) { return swapped(text, one, other); };
  const auto at = static_cast<std::size_t>(glass.axis);

  std::map<Body, Body> image;
  std::vector<Body> copies;
  for (const Body original : bodies) {
    if (image.contains(original)) continue;
    // The far face becomes the near one.
    const Traced low = 2 * plane - face(structure, original, static_cast<Way>(2 * glass.axis));
    if (original.kind == Body::Kind::piece) {
      Piece copy = structure[PieceId{original.index}];
      copy.where = name_of(copy.where);
      copy.group = name_of(copy.group);
      copy.frame = mirrored(copy.frame, copy.thickness.value(), glass);
      copy.corner[at] = low;
      image[original] = body(PieceId{static_cast<int>(structure.pieces.size())});
      structure.pieces.push_back(std::move(copy));
    } else {
      Panel copy = structure[PanelId{original.index}];
      copy.name = name_of(copy.name);
      copy.group = name_of(copy.group);
      copy.frame = mirrored(copy.frame, copy.thickness.value(), glass);
      copy.corner[at] = low;
      image[original] = body(PanelId{static_cast<int>(structure.panels.size())});
      structure.panels.push_back(std::move(copy));
    }
    copies.push_back(image[original]);
  }

  const auto image_of = [&](Body b) {
    const auto found = image.find(b);
    return found == image.end() ? b : found->second;
  };
  for (const Body copy : copies) {
    if (copy.kind != Body::Kind::piece) continue;
    Piece& piece = structure[PieceId{copy.index}];
    const double t = piece.thickness.value();
    for (Machining& machining : piece.machining) {
      if (auto* cut = std::get_if<EndCut>(&machining)) {
        cut->point.z = t - cut->point.z;
        cut->normal.z = -cut->normal.z;
      } else if (auto* notch = std::get_if<Notch>(&machining)) {
        const double low = t - notch->region.max.z;
        notch->region.max.z = t - notch->region.min.z;
        notch->region.min.z = low;
        notch->opens_on = mirrored(notch->opens_on);
        notch->against = image_of(notch->against);
      } else if (auto* hole = std::get_if<Hole>(&machining)) {
        hole->entry.z = t - hole->entry.z;
        hole->direction.z = -hole->direction.z;
      }
    }
  }

  const auto all_in = [&](const std::vector<Body>& of) {
    return std::all_of(of.begin(), of.end(), [&](Body b) { return image.contains(b); });
  };
  const std::size_t joints = structure.joints.size(), fixings = structure.fixings.size(),
                    footings = structure.footings.size();
  for (std::size_t i = 0; i < joints; ++i) {
    Joint joint = structure.joints[i];
    const bool outside = joint.b.kind == Body::Kind::ground || joint.b.kind == Body::Kind::wall;
    if (!image.contains(joint.a) || (!outside && !image.contains(joint.b))) continue;
    joint.a = image_of(joint.a);
    joint.b = image_of(joint.b);
    for (Vec3& corner : joint.patch) corner = glass.point(corner);
    joint.point = glass.point(joint.point);
    joint.normal = glass.direction(joint.normal);
    structure.joints.push_back(std::move(joint));
  }
  for (std::size_t i = 0; i < fixings; ++i) {
    Fixing fixing = structure.fixings[i];
    if (!all_in(fixing.through)) continue;
    for (Body& b : fixing.through) b = image_of(b);
    fixing.head = glass.point(fixing.head);
    fixing.direction = glass.direction(fixing.direction);
    fixing.leg = glass.direction(fixing.leg);
    structure.fixings.push_back(std::move(fixing));
  }
  for (std::size_t i = 0; i < footings; ++i) {
    Footing footing = structure.footings[i];
    const auto found = image.find(body(footing.post));
    if (found == image.end()) continue;
    footing.post = PieceId{found->second.index};
    footing.centre = glass.point(footing.centre);
    structure.footings.push_back(std::move(footing));
  }
  const std::size_t feet = structure.feet.size();
  for (std::size_t i = 0; i < feet; ++i) {
    Foot foot = structure.feet[i];
    const auto found = image.find(body(foot.piece));
    if (found == image.end()) continue;
    foot.piece = PieceId{found->second.index};
    for (Vec3& corner : foot.face) corner = glass.point(corner);
    std::reverse(foot.face.begin(), foot.face.end());
    structure.feet.push_back(std::move(foot));
  }
  const std::size_t swings = structure.swings.size(), items = structure.items.size();
  for (std::size_t i = 0; i < swings; ++i) {
    Swing swing = structure.swings[i];
    if (!all_in(swing.leaf) || !image.contains(swing.on)) continue;
    swing.name = name_of(swing.name);
    for (Body& b : swing.leaf) b = image_of(b);
    swing.on = image_of(swing.on);
    swing.axis = glass.point(swing.axis);
    swing.opens_deg = glass.axis == 2 ? swing.opens_deg : -swing.opens_deg;
    structure.swings.push_back(std::move(swing));
  }
  for (std::size_t i = 0; i < items; ++i) {
    if (!image.contains(structure.items[i].on)) continue;
    Item item = structure.items[i];
    item.on = image_of(item.on);
    structure.items.push_back(std::move(item));
  }
  return copies;
}

}  // namespace garthwright
