// SPDX-License-Identifier: Apache-2.0
#include "exchange/view_json.h"

#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <map>
#include <set>
#include <utility>

#include "exchange/drag_sizes.h"
#include "exchange/model_bodies.h"
#include "exchange/piece_row.h"
#include "solid/lattice.h"
#include "structure/garden_frame.h"

namespace garthwright::exchange {
namespace {

// ---- bytes in JSON --------------------------------------------------------------------------------------------------

void append(std::string& bytes, std::uint32_t value) {
  for (int shift = 0; shift < 32; shift += 8) bytes.push_back(static_cast<char>((value >> shift) & 0xFF));
}

void append(std::string& bytes, const Vec3& mm) {
  // "+ 0.0F": no minus before a zero, so that equal shapes have equal bytes.
  for (int axis = 0; axis < 3; ++axis) append(bytes, std::bit_cast<std::uint32_t>(static_cast<float>(mm[axis]) + 0.0F));
}

/// RFC 4648, section 4.
std::string base64(const std::string& bytes) {
  static constexpr char kLetters[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string text;
  text.reserve((bytes.size() + 2) / 3 * 4);
  for (std::size_t i = 0; i < bytes.size(); i += 3) {
    std::uint32_t group = 0;
    for (std::size_t k = 0; k < 3; ++k)
      group = group << 8 | (i + k < bytes.size() ? static_cast<unsigned char>(bytes[i + k]) : 0U);
    for (std::size_t k = 0; k < 4; ++k)
      text.push_back(k <= bytes.size() - i ? kLetters[group >> (18 - 6 * k) & 63] : '=');
  }
  return text;
}

/// FNV-1a: tells shapes of one plan apart, and lets a viewer keep those it has seen. No guard against forgery.
std::uint64_t fingerprint(const std::string& bytes, std::uint64_t hash = 14695981039346656037U) {
  for (const char c : bytes) hash = (hash ^ static_cast<unsigned char>(c)) * 1099511628211U;
  return hash;
}

// ---- where things stand ---------------------------------------------------------------------------------------------

Json transform_json(const Frame& garden, const Frame& body) {
  Json matrix = Json::array();
  for (const Vec3& column : {body.x, body.y, body.z}) {
    const Vec3 way = garden.direction_to_world(column);
    for (int axis = 0; axis < 3; ++axis) matrix.push_back(direction_part(way[axis]));
    matrix.push_back(0);
  }
  const Vec3 origin = garden.to_world(body.origin);
  for (int axis = 0; axis < 3; ++axis) matrix.push_back(rounded(origin[axis]));
  matrix.push_back(1);
  return matrix;
}

class View {
 public:
  View(const Plan& plan, const std::vector<Model>& models, Fixings fixings, double deflection)
      : style_(plan.style), deflection_(deflection) {
    for (const Model& model : models) {
      add(model);
      add_sizes(*model.structure);
      add_walls(*model.structure);
      add_swings(*model.structure);
      if (fixings == Fixings::with) add_fixings(*model.structure);
    }
    for (const Existing& each : plan.garden.existing) add(each);
    if (plan.garden.ground.measured()) add(plan.garden.ground);
    with_fixings_ = fixings == Fixings::with;
  }

  Json json() {
    Json all = {{"bounds", {{"min", point(bounds_.min)}, {"max", point(bounds_.max)}}},
                {"shapes", std::move(shapes_)},
                {"pieces", std::move(pieces_)},
                {"panels", std::move(panels_)},
                {"footings", std::move(footings_)},
                {"sizes", std::move(sizes_)},
                {"walls", std::move(walls_)},
                {"swings", std::move(swings_)},
                {"existing", std::move(existing_)},
                {"ground", std::move(ground_)}};
    if (with_fixings_) all["fixings"] = std::move(fixings_);
    return all;
  }

 private:
  static Json row_json(const solid::LathRow& row) {
    return {{"count", row.count}, {"wide_mm", rounded(row.wide)}, {"every_mm", rounded(row.every)}};
  }
  static Json laths_json(const Panel& panel) {
    const std::optional<solid::Laths> rows = solid::lath_rows(panel);
    if (!rows) return nullptr;
    return {{"upright", row_json(rows->upright)}, {"level", row_json(rows->level)}};
  }

  /// A wall is known by what is fixed to it: one for each plane that a structure meets.
  void add_walls(const Structure& structure) {
    const Frame garden = garden_frame(structure);
    std::vector<const Joint*> told;
    for (const Joint& joint : structure.joints) {
      if (joint.b != kWall) continue;
      const bool known = std::any_of(told.begin(), told.end(), [&](const Joint* other) {
        return dot(other->normal, joint.normal) > 0.999 && std::abs(dot(other->point - joint.point, joint.normal)) < 1;
      });
      if (known) continue;
      told.push_back(&joint);
      walls_.push_back({{"structure", structure.name},
                        {"at", point(garden.to_world(joint.point))},
                        {"outward", point(garden.direction_to_world(joint.normal * -1))}});
    }
  }

  /// Seen from above: where a leaf turns, and its far edge while it is shut.
  void add_swings(const Structure& structure) {
    const Frame garden = garden_frame(structure);
    for (const Swing& swing : structure.swings) {
      if (swing.leaf.empty()) continue;
      Box leaf = world_box(structure, swing.leaf.front());
      for (const Body each : swing.leaf) leaf = enclosing(leaf, world_box(structure, each));
      const auto far = [&](double low, double high, double axis) { return high - axis > axis - low ? high : low; };
      Vec3 reach = swing.axis;
      const double x = far(leaf.min.x, leaf.max.x, swing.axis.x), y = far(leaf.min.y, leaf.max.y, swing.axis.y);
      if (std::abs(x - swing.axis.x) >= std::abs(y - swing.axis.y))
        reach.x = x;
      else
        reach.y = y;
      swings_.push_back({{"structure", structure.name},
                         {"name", swing.name},
                         {"axis", point(garden.to_world(swing.axis))},
                         {"reach", point(garden.to_world(reach))},
                         {"opens_deg", rounded(swing.opens_deg)}});
    }
  }

  void add_fixings(const Structure& structure) {
    const Frame garden = garden_frame(structure);
    for (const Fixing& fixing : structure.fixings) {
      Json through = Json::array();
      for (const Body each : fixing.through) through.push_back(describe(structure, each));
      fixings_.push_back({{"item", fixing.item},
                          {"structure", structure.name},
                          {"through", std::move(through)},
                          {"head", point(garden.to_world(fixing.head))},
                          {"way", point(garden.direction_to_world(fixing.direction))},
                          {"length_mm", rounded(fixing.length)},
                          {"diameter_mm", rounded(fixing.diameter)},
                          {"across_head_mm", rounded(fixing.across_head)}});
    }
  }

  /// Levels on an even net over what stands and a metre around it: fine enough to be looked at.
  void add(const Ground& ground) {
    static constexpr double kAround = 1000, kMost = 24, kLeast = 500;
    const auto places = [](double from, double to) {
      const int count = static_cast<int>(std::clamp(std::ceil((to - from) / kLeast), 1.0, kMost));
      std::vector<double> all;
      for (int i = 0; i <= count; ++i) all.push_back(from + (to - from) * i / count);
      return all;
    };
    const std::vector<double> xs = places(bounds_.min.x - kAround, bounds_.max.x + kAround);
    const std::vector<double> ys = places(bounds_.min.y - kAround, bounds_.max.y + kAround);
    Json levels = Json::array(), x_mm = Json::array(), y_mm = Json::array();
    for (const double x : xs) x_mm.push_back(rounded(x));
    for (const double y : ys) {
      y_mm.push_back(rounded(y));
      for (const double x : xs) levels.push_back(rounded(ground.at(x, y).level.value()));
    }
    ground_ = {{"x_mm", std::move(x_mm)}, {"y_mm", std::move(y_mm)}, {"level_mm", std::move(levels)}};
  }

  void add(const Existing& each) {
    static constexpr const char* kKinds[] = {"post", "tree", "shed", "wall"};
    existing_.push_back({{"kind", kKinds[static_cast<int>(each.kind)]},
                         {"name", each.name},
                         {"at", point(each.at)},
                         {"turn_deg", rounded(each.turn_deg)},
                         {"width_mm", rounded(each.width)},
                         {"depth_mm", rounded(each.depth)},
                         {"height_mm", rounded(each.height)}});
  }

  void add_sizes(const Structure& structure) {
    const Frame garden = garden_frame(structure);
    for (const DragSize& size : drag_sizes(structure)) {
      const double value = size.to[size.axis] - size.from[size.axis];
      Json entry = {{"name", size.name},
                    {"structure", size.part},
                    {"from", point(garden.to_world(size.from))},
                    {"to", point(garden.to_world(size.to))},
                    {"axis", std::string(1, "xyz"[size.axis])},
                    {"value_mm", rounded(value)},
                    {"text", format_length(value, style_)},
                    {"choice", size.choice.empty() ? Json(nullptr) : Json(size.choice)},
                    {"per", rounded(size.per)}};
      if (!size.choice.empty()) {
        entry["min"] = rounded(size.least);
        entry["max"] = rounded(size.most);
      }
      sizes_.push_back(std::move(entry));
    }
  }

  void add(const Model& model) {
    const Structure& structure = *model.structure;
    const Frame garden = garden_frame(structure);
    std::map<std::string, int> instances;
    for (Body b : solid_bodies(structure)) {
      const std::string& shape = shape_of(model, b);
      enclose(garden, world_box(structure, b));
      if (b.kind == Body::Kind::piece) {
        const Piece& piece = structure[PieceId{b.index}];
        pieces_.push_back({{"mark", piece.mark},
                           {"instance", ++instances[piece.mark]},
                           {"name", piece.name},
                           {"where", piece.where},
                           {"shape", shape},
                           {"structure", structure.name},
                           {"member", name(piece.role)},
                           {"group", piece.group},
                           {"transform", transform_json(garden, piece.frame)}});
      } else {
        const Panel& panel = structure[PanelId{b.index}];
        panels_.push_back({{"name", panel.name},
                           {"instance", b.index + 1},
                           {"item", panel.item},
                           {"shape", shape},
                           {"structure", structure.name},
                           {"group", panel.group},
                           {"solidity", rounded(panel.solidity)},
                           {"laths", laths_json(panel)},
                           {"transform", transform_json(garden, panel.frame)}});
      }
    }
    for (const Footing& footing : structure.footings)
      footings_.push_back({{"structure", structure.name},
                           {"post", structure[footing.post].mark},
                           {"centre", point(garden.to_world(footing.centre))},
                           {"diameter_mm", rounded(footing.diameter)},
                           {"depth_mm", rounded(footing.depth)},
                           {"gravel_mm", rounded(footing.gravel)},
                           {"fill", footing.fill}});
  }

  void enclose(const Frame& garden, const Box& box) {
    const Box more = world_box(garden, box);
    bounds_ = bounded_ ? enclosing(bounds_, more) : more;
    bounded_ = true;
  }

  /// Equal bodies are handed the same mesh; equal meshes of two structures have equal bytes.
  const std::string& shape_of(const Model& model, Body b) {
    const solid::Mesh& mesh = model.solids->mesh(b, deflection_);
    std::string& id = ids_[&mesh];
    if (!id.empty()) return id;
    std::string positions, indices, edges;
    for (const Vec3& p : mesh.points) append(positions, p);
    for (const auto& triangle : mesh.triangles)
      for (const std::uint32_t corner : triangle) append(indices, corner);
    for (const std::vector<Vec3>& line : mesh.edges)
      for (std::size_t i = 0; i + 1 < line.size(); ++i) {
        append(edges, line[i]);
        append(edges, line[i + 1]);
      }
    id = fmt::format("{:016x}", fingerprint(edges, fingerprint(indices, fingerprint(positions))));
    if (known_.insert(id).second)
      shapes_.push_back(
          {{"id", id}, {"positions", base64(positions)}, {"indices", base64(indices)}, {"edges", base64(edges)}});
    return id;
  }

  const LengthStyle style_;
  const double deflection_;
  Json shapes_ = Json::array(), pieces_ = Json::array(), panels_ = Json::array(), footings_ = Json::array(),
       sizes_ = Json::array(), walls_ = Json::array(), swings_ = Json::array(), existing_ = Json::array(),
       fixings_ = Json::array(),
       ground_;  // null: level at 0
  bool with_fixings_ = false;
  Box bounds_;
  bool bounded_ = false;
  std::map<const solid::Mesh*, std::string> ids_;
  std::set<std::string> known_;
};

}  // namespace

Json model_json(const Plan& plan, const std::vector<Model>& models, Fixings fixings, double deflection) {
  return View(plan, models, fixings, deflection).json();
}

Json summary_json(const Plan& plan) {
  Json worst;  // null when nothing was checked: then nothing is said to hold
  if (const Check* check = worst_check(plan)) {
    const CheckWords words = words_of(plan, *check);
    worst = {{"id", words.id},
             {"title", words.title},
             {"utilisation", rounded(check->utilisation)},
             {"verdict", name(check->verdict)}};
  }
  double mass = 0;
  for (const Whole& whole : plan.wholes) mass += whole.timber_kg + whole.panels_kg;
  int pieces = 0, lengths = 0;
  for (const PieceRow& row : plan.pieces) pieces += row.quantity;
  for (const buying::TimberLine& line : plan.purchase.timber) lengths += line.lengths();
  Json left_out = Json::array();
  for (const Study study : plan.left_out) left_out.push_back(name(study));
  return {{"title", plan.title},
          {"left_out", left_out},
          {"units", plan.style.units == Units::mm ? "mm" : "ft-in"},
          {"price_minor", plan.purchase.total.minor},
          {"currency", plan.purchase.currency.code},
          {"minor_digits", plan.purchase.currency.minor_digits},
          {"price_text", format_money(plan.purchase.total, plan.purchase.currency)},
          {"price_note", plan.purchase.price_note},
          {"mass_kg", rounded(mass)},
          {"lengths", lengths},
          {"pieces", pieces},
          {"marks", plan.pieces.size()},
          {"optimal", plan.purchase.proof.optimal},
          {"worst_check", worst}};
}

namespace {

Json taken_json(const Choice& choice) {
  Json entry = {{"name", choice.name}};
  if (choice.value) {
    const auto& terms = choice.value->terms();
    const bool length = terms.empty() || terms.front().quantity->length;
    entry[length ? "value_mm" : "value"] = rounded(choice.value->value());
  }
  entry["text"] = choice.text;
  if (choice.value) {
    entry["min"] = rounded(choice.least);
    entry["max"] = rounded(choice.most);
  }
  entry["is_default"] = choice.source != "job";
  return entry;
}

/// A structure, or a part of one: either has a name, a pattern and choices.
template <class Part>
Json taken_of(const Part& part) {
  Json choices = Json::array();
  for (const Choice& choice : part.choices) choices.push_back(taken_json(choice));
  return {{"name", part.name}, {"pattern", part.pattern}, {"choices", std::move(choices)}};
}

}  // namespace

Json taken_choices_json(const Garden& garden) {
  std::vector<std::pair<int, Json>> taken;  // parts that share posts are where the job has them
  for (const Structure& structure : garden.structures) {
    taken.emplace_back(structure.order, taken_of(structure));
    for (const Part& guest : structure.guests) taken.emplace_back(guest.order, taken_of(guest));
  }
  std::stable_sort(taken.begin(), taken.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
  Json all = Json::array();
  for (auto& [order, entry] : taken) all.push_back(std::move(entry));
  return all;
}

Json piece_lines_json(const Plan& plan) {
  Json lines = Json::array();
  for (const PieceRow& row : plan.pieces) {
    Json line = piece_row_json(row);
    line["length_text"] = format_length(row.length_mm, plan.style);
    line["mass_kg"] = rounded(row.mass_kg);
    line["why"] = row.why;
    lines.push_back(std::move(line));
  }
  return lines;
}

}  // namespace garthwright::exchange
