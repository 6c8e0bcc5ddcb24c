// SPDX-License-Identifier: Apache-2.0
#include "structure/absorbing.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "structure/garden_frame.h"
#include "structure/way.h"

namespace garthwright {
namespace {

/// A guest's coordinates → the host's: a quarter turn, or some, about z, and a shift.
class Move {
 public:
  Move(const Structure& host, const Structure& guest) {
    const Frame to = garden_frame(host), from = garden_frame(guest);
    frame_ = {to.to_local(from.origin),
              snapped(to.direction_to_local(from.x)),
              snapped(to.direction_to_local(from.y)),
              {0, 0, 1}};
  }

  Vec3 point(Vec3 p) const { return frame_.to_world(p); }
  Vec3 direction(Vec3 v) const { return frame_.direction_to_world(v); }
  Frame frame(const Frame& f) const { return {point(f.origin), direction(f.x), direction(f.y), direction(f.z)}; }

  /// Least coordinates of a box of this size along the guest's axes.
  std::array<Traced, 3> corner(const std::array<Traced, 3>& low, const std::array<Traced, 3>& size) const {
    std::array<Traced, 3> moved;
    for (int to = 0; to < 3; ++to)
      for (int from = 0; from < 3; ++from) {
        const double way = (from == 0 ? frame_.x : from == 1 ? frame_.y : frame_.z)[to];
        if (way == 0) continue;
        const auto i = static_cast<std::size_t>(from);
        const Traced near = way > 0 ? low[i] : -(low[i] + size[i]);
        const double shift = frame_.origin[to];
        moved[static_cast<std::size_t>(to)] = shift == 0 ? near : near + Traced(shift);
      }
    return moved;
  }

 private:
  /// Exact ways, so that faces that lay on one another still do.
  static Vec3 snapped(Vec3 v) { return {std::round(v.x), std::round(v.y), std::round(v.z)}; }
  Frame frame_;
};

/// Along the guest's axes, of a body that stands straight.
std::array<Traced, 3> size_of(const Frame& frame, const Traced& x, const Traced& y, const Traced& z) {
  std::array<Traced, 3> size;
  for (int axis = 0; axis < 3; ++axis)
    size[static_cast<std::size_t>(axis)] = std::abs(frame.x[axis]) > 0.5 ? x : std::abs(frame.y[axis]) > 0.5 ? y : z;
  return size;
}

template <class Part>
void move(Part& part, const Move& by, const Traced& x, const Traced& y, const Traced& z) {
  const bool straight = way_of(part.frame.x) && way_of(part.frame.y);
  const std::array<Traced, 3> size = size_of(part.frame, x, y, z);
  part.frame = by.frame(part.frame);
  if (straight) {
    part.corner = by.corner(part.corner, size);
    return;
  }
  const Box around = world_box(part.frame, part.blank());
  part.corner = {around.min.x, around.min.y, around.min.z};
}

std::string prefixed(const std::string& part, const std::string& name) {
  return name.empty() ? part : part + " " + name;
}

class Absorbing {
 public:
  Absorbing(Structure& host, const Structure& guest, const std::vector<SharedPost>& shared)
      : host_(host),
        guest_(guest),
        shared_(shared),
        by_(host, guest),
        part_(static_cast<int>(host.guests.size()) + 1) {}

  std::vector<PieceId> run() {
    take_pieces();
    take_panels();
    take_shared_cuts();
    take_joints();
    const int first_connection = static_cast<int>(host_.connections.size());
    for (Connection connection : guest_.connections) {
      connection.name = prefixed(guest_.name, connection.name);
      host_.connections.push_back(std::move(connection));
    }
    for (Fixing fixing : guest_.fixings) {
      for (Body& b : fixing.through) b = here(b);
      fixing.head = by_.point(fixing.head);
      fixing.direction = by_.direction(fixing.direction);
      fixing.leg = by_.direction(fixing.leg);
      if (fixing.connection >= 0) fixing.connection += first_connection;
      host_.fixings.push_back(std::move(fixing));
    }
    for (Footing footing : guest_.footings) {
      if (is_shared(footing.post)) continue;
      footing.post = pieces_[at(footing.post)];
      footing.centre = by_.point(footing.centre);
      host_.footings.push_back(std::move(footing));
    }
    for (Foot foot : guest_.feet) {
      foot.piece = pieces_[at(foot.piece)];
      for (Vec3& corner : foot.face) corner = by_.point(corner);
      host_.feet.push_back(std::move(foot));
    }
    for (Swing swing : guest_.swings) {
      swing.name = prefixed(guest_.name, swing.name);
      for (Body& b : swing.leaf) b = here(b);
      swing.on = here(swing.on);
      swing.axis = by_.point(swing.axis);
      for (double& level : swing.levels) level += by_.point({}).z;
      host_.swings.push_back(std::move(swing));
    }
    for (Item item : guest_.items) {
      item.on = here(item.on);
      host_.items.push_back(std::move(item));
    }
    for (Assembly made : guest_.assemblies) {
      made.name = prefixed(guest_.name, made.name);
      std::erase_if(made.bodies, [&](Body b) { return b.kind == Body::Kind::piece && is_shared(PieceId{b.index}); });
      for (Body& b : made.bodies) b = here(b);
      if (!made.bodies.empty()) host_.assemblies.push_back(std::move(made));
    }
    return pieces_;
  }

 private:
  static std::size_t at(PieceId id) { return static_cast<std::size_t>(id.index); }
  const SharedPost* lent(PieceId id) const {
    const auto found = std::find_if(shared_.begin(), shared_.end(), [id](const auto& s) { return s.in_guest == id; });
    return found == shared_.end() ? nullptr : &*found;
  }
  bool is_shared(PieceId id) const { return lent(id) != nullptr; }

  Body here(Body b) const {
    if (b.index < 0) return b;
    if (b.kind == Body::Kind::piece) return body(pieces_[static_cast<std::size_t>(b.index)]);
    if (b.kind == Body::Kind::panel) return body(PanelId{b.index + first_panel_});
    return b;
  }

  SectionId section(SectionId id) {
    const timber::Section& wanted = guest_[id];
    for (std::size_t i = 0; i < host_.sections.size(); ++i)
      if (host_.sections[i].name == wanted.name) return {static_cast<int>(i)};
    host_.sections.push_back(wanted);
    return {static_cast<int>(host_.sections.size()) - 1};
  }

  void take_pieces() {
    int next = static_cast<int>(host_.pieces.size());
    for (std::size_t i = 0; i < guest_.pieces.size(); ++i) {
      const SharedPost* post = lent(PieceId{static_cast<int>(i)});
      pieces_.push_back(post ? post->in_host : PieceId{next++});
    }
    for (std::size_t i = 0; i < guest_.pieces.size(); ++i) {
      if (is_shared(PieceId{static_cast<int>(i)})) continue;
      Piece piece = guest_.pieces[i];
      piece.part = part_;
      piece.where = prefixed(guest_.name, piece.where);
      if (!piece.group.empty()) piece.group = prefixed(guest_.name, piece.group);
      piece.section = section(piece.section);
      move(piece, by_, piece.length, piece.width, piece.thickness);
      for (Machining& machining : piece.machining)
        if (Notch* notch = std::get_if<Notch>(&machining)) notch->against = here(notch->against);
      host_.pieces.push_back(std::move(piece));
    }
  }

  void take_panels() {
    first_panel_ = static_cast<int>(host_.panels.size());
    for (Panel panel : guest_.panels) {
      panel.part = part_;
      panel.name = prefixed(guest_.name, panel.name);
      if (!panel.group.empty()) panel.group = prefixed(guest_.name, panel.group);
      move(panel, by_, panel.width, panel.height, panel.thickness);
      host_.panels.push_back(std::move(panel));
    }
  }

  /// What the guest cut into a post, in the coordinates of the host's, which is the same timber with other ends.
  void take_shared_cuts() {
    for (const SharedPost& post : shared_) {
      const Piece& lent = guest_[post.in_guest];
      Piece& real = host_[post.in_host];
      const Vec3 shift = real.frame.to_local(by_.point(lent.frame.origin));
      for (Machining machining : lent.machining) {
        if (Notch* notch = std::get_if<Notch>(&machining)) {
          notch->region = {notch->region.min + shift, notch->region.max + shift};
          notch->corner += shift.x;
          notch->from = notch->from + Traced(shift.x);
          notch->against = here(notch->against);
        } else if (Hole* hole = std::get_if<Hole>(&machining)) {
          hole->entry = hole->entry + shift;
        } else {
          continue;  // its ends are the host's own
        }
        real.machining.push_back(std::move(machining));
      }
    }
  }

  void take_joints() {
    const auto outside = [](Body b) { return b == kGround || b == kWall; };
    for (Joint joint : guest_.joints) {
      const bool of_shared = (joint.a.kind == Body::Kind::piece && is_shared(PieceId{joint.a.index})) ||
                             (joint.b.kind == Body::Kind::piece && is_shared(PieceId{joint.b.index}));
      if (of_shared && (outside(joint.a) || outside(joint.b))) continue;  // the host says how its post stands
      joint.a = here(joint.a);
      joint.b = here(joint.b);
      for (Vec3& corner : joint.patch) corner = by_.point(corner);
      joint.point = by_.point(joint.point);
      joint.normal = by_.direction(joint.normal);
      host_.joints.push_back(std::move(joint));
    }
  }

  Structure& host_;
  const Structure& guest_;
  const std::vector<SharedPost>& shared_;
  Move by_;
  int part_;  ///< the guest's, of the host's parts
  std::vector<PieceId> pieces_;
  int first_panel_ = 0;
};

}  // namespace

Piece seen_from(const Structure& viewer, const Structure& owner, PieceId id) {
  Piece piece = owner[id];
  move(piece, Move(viewer, owner), piece.length, piece.width, piece.thickness);
  return piece;
}

std::vector<std::string> also_called(const Structure& structure, PieceId post) {
  std::vector<std::string> names;
  for (const Part& part : structure.guests)
    for (const SharedAs& shared : part.posts)
      if (shared.post == post) names.push_back(shared.called + " of " + part.name);
  return names;
}

bool are_square(const Structure& a, const Structure& b) {
  const double turn = (a.turn_deg - b.turn_deg) / 90;
  return std::abs(turn - std::round(turn)) < 1e-9;
}

std::vector<PieceId> absorb(Structure& host, const Structure& guest, const std::vector<SharedPost>& shared) {
  assert(are_square(host, guest));
  return Absorbing(host, guest, shared).run();
}

}  // namespace garthwright
