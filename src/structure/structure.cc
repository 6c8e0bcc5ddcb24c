// SPDX-License-Identifier: Apache-2.0
#include "structure/structure.h"

#include <algorithm>
#include <array>
#include <cassert>

#include "structure/garden_frame.h"

namespace garthwright {

std::string_view name(Role role) {
  static constexpr std::array<std::string_view, 13> kNames{"post",   "rail",   "frame",  "beam",  "fascia",
                                                           "rafter", "purlin", "batten", "brace", "ledger",
                                                           "cap",    "board",  "other"};
  return kNames[static_cast<std::size_t>(role)];
}

std::string_view name(JointKind kind) {
  static constexpr std::array<std::string_view, 12> kNames{"butt",      "face",    "halving", "notch",
                                                           "housing",   "mitre",   "cap",     "panel",
                                                           "in ground", "on wall", "hinged",  "on shoe"};
  return kNames[static_cast<std::size_t>(kind)];
}

std::string_view name(Floor floor) {
  static constexpr std::array<std::string_view, 3> kNames{"ground", "paving", "deck"};
  return kNames[static_cast<std::size_t>(floor)];
}

std::string_view name(Show show) {
  static constexpr std::array<std::string_view, 4> kNames{"nothing", "faces", "middle", "underside"};
  return kNames[static_cast<std::size_t>(show)];
}

Show usual_show(Role role) {
  switch (role) {
    case Role::post:
      return Show::faces;
    case Role::rafter:
      return Show::middle;
    case Role::beam:
    case Role::fascia:
    case Role::frame:
    case Role::ledger:
      return Show::underside;
    default:
      return Show::nothing;
  }
}

Vec3 outward(Face face) {
  switch (face) {
    case Face::start:
      return {-1, 0, 0};
    case Face::finish:
      return {1, 0, 0};
    case Face::edge_low:
      return {0, -1, 0};
    case Face::edge_high:
      return {0, 1, 0};
    case Face::side_low:
      return {0, 0, -1};
    case Face::side_high:
      return {0, 0, 1};
  }
  return {};
}

Face face_looking(Vec3 local) {
  if (std::abs(local.x) > 0.5) return local.x > 0 ? Face::finish : Face::start;
  if (std::abs(local.y) > 0.5) return local.y > 0 ? Face::edge_high : Face::edge_low;
  return local.z > 0 ? Face::side_high : Face::side_low;
}

const Frame& frame_of(const Structure& structure, Body body) {
  assert(body.kind == Body::Kind::piece || body.kind == Body::Kind::panel);
  return body.kind == Body::Kind::piece ? structure[PieceId{body.index}].frame : structure[PanelId{body.index}].frame;
}

Box blank_of(const Structure& structure, Body body) {
  assert(body.kind == Body::Kind::piece || body.kind == Body::Kind::panel);
  return body.kind == Body::Kind::piece ? structure[PieceId{body.index}].blank()
                                        : structure[PanelId{body.index}].blank();
}

std::string describe(const Structure& structure, Body body) {
  switch (body.kind) {
    case Body::Kind::ground:
      return "the ground";
    case Body::Kind::wall:
      return "the wall";
    case Body::Kind::panel:
      return "panel " + structure[PanelId{body.index}].name;
    case Body::Kind::piece:
      break;
  }
  const Piece& piece = structure[PieceId{body.index}];
  std::string text = piece.where.empty() ? piece.name : piece.where + " " + piece.name;
  return piece.mark.empty() ? text : text + " " + piece.mark;
}

bool is_through_thickness(const Notch& notch) {
  return notch.kind == Notch::Kind::birds_mouth || notch.kind == Notch::Kind::hollow;
}

double radius_of(const Notch& hollow) {
  const double chord = hollow.region.size().x, rise = hollow.region.size().y;
  return chord * chord / (8 * rise) + rise / 2;
}

Frame garden_frame(const Structure& structure) {
  const double c = cosd(structure.turn_deg), s = sind(structure.turn_deg);
  return {structure.at, {c, s, 0}, {-s, c, 0}, {0, 0, 1}};
}

SoldSize sold_size(const Structure& structure, const Piece& piece) {
  const timber::Section& section = structure[piece.section];
  return {piece.laps ? section.width_mm : piece.width.value(), section.thickness_mm};
}

bool any_for(const Structure& structure, Duty duty) {
  const auto is_for = [duty](const auto& body) { return body.duties.has(duty); };
  return std::any_of(structure.pieces.begin(), structure.pieces.end(), is_for) ||
         std::any_of(structure.panels.begin(), structure.panels.end(), is_for);
}

bool is_founded(const Structure& structure, PieceId piece) {
  return std::any_of(structure.footings.begin(), structure.footings.end(),
                     [piece](const Footing& f) { return f.post == piece; });
}

JointId joint_between(const Structure& structure, Body a, Body b) {
  // Newest first: a pattern fixes what it has just joined.
  for (std::size_t i = structure.joints.size(); i-- > 0;) {
    const Joint& joint = structure.joints[i];
    if ((joint.a == a && joint.b == b) || (joint.a == b && joint.b == a)) return {static_cast<int>(i)};
  }
  return {};
}

namespace {
bool goes_through(const Fixing& fixing, const Joint& joint) {
  const auto in = [&](Body body) {
    return std::find(fixing.through.begin(), fixing.through.end(), body) != fixing.through.end();
  };
  return in(joint.a) && in(joint.b);
}
}  // namespace

std::vector<int> fixings_of(const Structure& structure, const Joint& joint) {
  std::vector<int> found;
  for (std::size_t f = 0; f < structure.fixings.size(); ++f)
    if (goes_through(structure.fixings[f], joint)) found.push_back(static_cast<int>(f));
  return found;
}

bool is_fixed(const Structure& structure, const Joint& joint) {
  return std::any_of(structure.fixings.begin(), structure.fixings.end(),
                     [&](const Fixing& f) { return goes_through(f, joint); });
}

Box world_box(const Frame& frame, const Box& local) {
  // Each coordinate of a corner is a sum of one share by each axis: its extremes are the sums of theirs.
  Box box;
  for (int i = 0; i < 3; ++i) {
    const auto [x0, x1] = std::minmax({local.min.x * frame.x[i], local.max.x * frame.x[i]});
    const auto [y0, y1] = std::minmax({local.min.y * frame.y[i], local.max.y * frame.y[i]});
    const auto [z0, z1] = std::minmax({local.min.z * frame.z[i], local.max.z * frame.z[i]});
    box.min[i] = frame.origin[i] + (x0 + y0 + z0);
    box.max[i] = frame.origin[i] + (x1 + y1 + z1);
  }
  return box;
}

Box world_box(const Structure& structure, Body body) {
  return world_box(frame_of(structure, body), blank_of(structure, body));
}

FixingText parse_fixing_text(std::string_view text) {
  std::size_t digits = 0;
  while (digits < text.size() && digits < 4 && text[digits] >= '0' && text[digits] <= '9') ++digits;
  if (digits == 0 || text.substr(digits, 3) != " x ") return {0, std::string(text)};
  return {std::stoi(std::string(text.substr(0, digits))), std::string(text.substr(digits + 3))};
}

}  // namespace garthwright
