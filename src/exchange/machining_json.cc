// SPDX-License-Identifier: Apache-2.0
#include "exchange/machining_json.h"

#include <string_view>

#include "structure/saw.h"

namespace garthwright::exchange {

namespace {

std::string_view name(End end) { return end == End::start ? "start" : "finish"; }

std::string_view name(Notch::Kind kind) {
  switch (kind) {
    case Notch::Kind::halving:
      return "halving";
    case Notch::Kind::notch:
      return "notch";
    case Notch::Kind::housing:
      return "housing";
    case Notch::Kind::birds_mouth:
      return "birds_mouth";
    case Notch::Kind::hollow:
      return "hollow";
  }
  return "";
}

std::string_view name(Hole::Kind kind) {
  switch (kind) {
    case Hole::Kind::bolt:
      return "bolt";
    case Hole::Kind::clearance:
      return "clearance";
    case Hole::Kind::pilot:
      return "pilot";
    case Hole::Kind::counterbore:
      return "counterbore";
    case Hole::Kind::drain:
      return "drain";
  }
  return "";
}

Json stroke_json(const Stroke& stroke) {
  switch (stroke.kind) {
    case Stroke::Kind::line:
      return {{"kind", "line"}, {"to_mm", flat_point(stroke.x, stroke.y)}};
    case Stroke::Kind::arc:
      return {{"kind", "arc"},
              {"to_mm", flat_point(stroke.x, stroke.y)},
              {"centre_mm", flat_point(stroke.centre_x, stroke.centre_y)},
              {"clockwise", stroke.clockwise}};
    case Stroke::Kind::cubic:
      return {{"kind", "cubic"},
              {"handles_mm", {flat_point(stroke.c1x, stroke.c1y), flat_point(stroke.c2x, stroke.c2y)}},
              {"to_mm", flat_point(stroke.x, stroke.y)}};
  }
  return {};
}

/// One overload for each kind of machining.
struct Writer {
  const Structure& structure;
  LengthStyle style;

  Json operator()(const EndCut& cut) const {
    const SawSetting saw = saw_setting(cut);
    return {{"kind", "end_cut"},
            {"end", name(cut.end)},
            {"point_mm", point(cut.point)},
            {"normal", direction(cut.normal)},
            {"mitre_deg", rounded(saw.mitre_deg)},
            {"bevel_deg", rounded(saw.bevel_deg)}};
  }

  Json operator()(const ShapedEnd& shape) const {
    Json strokes = Json::array();
    for (const Stroke& stroke : shape.strokes) strokes.push_back(stroke_json(stroke));
    return {{"kind", "shaped_end"},
            {"end", name(shape.end)},
            {"profile", shape.profile},
            {"start_mm", flat_point(shape.start_x, shape.start_y)},
            {"strokes", std::move(strokes)}};
  }

  Json operator()(const Notch& notch) const {
    Json json{{"kind", name(notch.kind)},
              {"opens_on", face_key(notch.opens_on)},
              {"from_mm", point(notch.region.min)},
              {"to_mm", point(notch.region.max)}};
    if (notch.kind == Notch::Kind::birds_mouth) json["corner_mm"] = rounded(notch.corner);
    if (notch.kind == Notch::Kind::hollow)
      json["radius_mm"] = rounded(radius_of(notch));
    else
      json["against"] = describe(structure, notch.against);
    json["why"] = notch.from.sum(style);
    return json;
  }

  Json operator()(const Hole& hole) const {
    return {{"kind", "hole"},
            {"use", name(hole.kind)},
            {"entry_mm", point(hole.entry)},
            {"direction", direction(hole.direction)},
            {"diameter_mm", rounded(hole.diameter)},
            {"depth_mm", rounded(hole.depth)},
            {"through", hole.through}};
  }
};

}  // namespace

std::string_view face_key(Face face) {
  switch (face) {
    case Face::edge_low:
      return "edge_low";
    case Face::edge_high:
      return "edge_high";
    case Face::side_low:
      return "side_low";
    case Face::side_high:
      return "side_high";
    case Face::start:
      return "start";
    case Face::finish:
      return "finish";
  }
  return "";
}

Json machining_json(const Structure& structure, const Machining& machining, LengthStyle style) {
  return std::visit(Writer{structure, style}, machining);
}

}  // namespace garthwright::exchange
