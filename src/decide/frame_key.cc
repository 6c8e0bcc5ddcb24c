// SPDX-License-Identifier: Apache-2.0
#include "decide/frame_key.h"

namespace garthwright::decide {
namespace {

Digest& operator<<(Digest& to, const Body& body) { return to << body.kind << body.index; }

void add(Digest& to, const EndCut& cut) { to << cut.end << cut.point << cut.normal; }
void add(Digest& to, const ShapedEnd& shaped) {
  to << shaped.end << shaped.profile << shaped.start_x << shaped.start_y << shaped.strokes.size();
  for (const Stroke& stroke : shaped.strokes) to << stroke.kind << stroke.x << stroke.y;
}
void add(Digest& to, const Notch& notch) {
  to << notch.kind << notch.region.min << notch.region.max << notch.corner << notch.opens_on << notch.against;
}
void add(Digest& to, const Hole& hole) {
  to << hole.kind << hole.entry << hole.direction << hole.diameter << hole.depth << hole.through;
}

void add(Digest& to, const Piece& piece) {
  to << piece.name << piece.where << piece.part << piece.role << piece.carries << piece.section.index
     << piece.length.value() << piece.width.value() << piece.thickness.value() << piece.frame << piece.laps
     << piece.ground_contact << piece.machining.size();
  for (int duty = 0; duty <= static_cast<int>(kLastDuty); ++duty) to << piece.duties.has(static_cast<Duty>(duty));
  for (const Machining& machining : piece.machining) {
    to << machining.index();
    std::visit([&](const auto& cut) { add(to, cut); }, machining);
  }
}

void add(Digest& to, const Panel& panel) {
  to << panel.item << panel.part << panel.width.value() << panel.height.value() << panel.thickness.value()
     << panel.mass_kg << panel.solidity << panel.frame;
  for (int duty = 0; duty <= static_cast<int>(kLastDuty); ++duty) to << panel.duties.has(static_cast<Duty>(duty));
}

void add(Digest& to, const Joint& joint) {
  to << joint.kind << joint.a << joint.b << joint.point << joint.normal << joint.bare << joint.patch.size();
  for (const Vec3& corner : joint.patch) to << corner;
}

void add(Digest& to, const Fixing& fixing) {
  to << fixing.item << fixing.kind << fixing.head << fixing.direction << fixing.diameter << fixing.length << fixing.sunk
     << fixing.clearance << fixing.pilot << fixing.across_head << fixing.leg << fixing.connection
     << fixing.through.size();
  for (const Body& body : fixing.through) to << body;
}

void add(Digest& to, const Connection& connection) {
  to << connection.name << connection.taken << connection.given << connection.candidates.size();
  for (const std::string& text : connection.candidates) to << text;
}

}  // namespace

FrameKey frame_key(const Structure& structure) {
  Digest digest;
  const auto all = [&](const auto& list) {
    digest << list.size();
    for (const auto& one : list) add(digest, one);
  };
  digest << structure.pattern << structure.at << structure.turn_deg << structure.climber << structure.sections.size();
  for (const timber::Section& section : structure.sections)
    digest << section.name << section.width_mm << section.thickness_mm;
  all(structure.pieces);
  all(structure.panels);
  all(structure.joints);
  all(structure.fixings);
  all(structure.connections);
  digest << structure.footings.size();
  for (const Footing& footing : structure.footings)
    digest << footing.post.index << footing.centre << footing.depth - footing.gravel << footing.shoe;
  digest << structure.feet.size() << structure.soil_kg_m3;
  for (const Foot& foot : structure.feet) {
    digest << foot.piece.index << static_cast<int>(foot.on) << foot.face.size();
    for (const Vec3& corner : foot.face) digest << corner;
  }
  digest << structure.swings.size();
  for (const Swing& swing : structure.swings) {
    digest << swing.on << swing.axis << swing.opens_deg << swing.leaf.size() << swing.levels.size();
    for (const Body& body : swing.leaf) digest << body;
    for (const double level : swing.levels) digest << level;
  }
  digest << structure.items.size();
  for (const Item& item : structure.items) digest << item.name << item.on;
  return digest.key();
}

}  // namespace garthwright::decide
