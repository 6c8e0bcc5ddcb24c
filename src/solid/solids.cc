// SPDX-License-Identifier: Apache-2.0
#include <array>
#include <cassert>
#include <map>
#include <optional>

#include "solid/closed_form.h"
#include "solid/hidden_lines.h"
#include "solid/kernel_calls.h"
#include "solid/lattice.h"
#include "solid/machined.h"
#include "solid/solid.h"
#include "solid/touching.h"

namespace garthwright::solid {
namespace {

// Everything known of one shape; each step made when first asked for.
struct Made {
  Machined machined;
  std::shared_ptr<const TopoDS_Shape> shape;
  std::optional<Measures> measures;
  std::map<double, Mesh> meshes;
  std::optional<Wireframe> wires;
};

bool alike(const Piece& a, const Piece& b) {
  const Vec3 d = a.blank().max - b.blank().max;
  return !a.mark.empty() && a.mark == b.mark && norm(d) < 0.01 && a.machining.size() == b.machining.size();
}

bool alike(const Panel& a, const Panel& b) { return a.blank() == b.blank() && a.solidity == b.solidity; }

}  // namespace

struct Solids::Room {
  explicit Room(const Structure& s) : structure(s) {
    std::map<std::string, std::size_t> by_mark;
    for (std::size_t i = 0; i < s.pieces.size(); ++i) {
      const auto [known, fresh] = by_mark.try_emplace(s.pieces[i].mark, i);
      if (!fresh && alike(s.pieces[known->second], s.pieces[i])) {
        of_piece.push_back(of_piece[known->second]);
        continue;
      }
      of_piece.push_back(made.size());
      made.push_back({machined(s.pieces[i], describe(s, body(PieceId{static_cast<int>(i)}))), {}, {}, {}, {}});
    }
    for (std::size_t i = 0; i < s.panels.size(); ++i) {
      std::size_t twin = 0;
      while (twin < i && !alike(s.panels[twin], s.panels[i])) ++twin;
      if (twin < i) {
        of_panel.push_back(of_panel[twin]);
        continue;
      }
      of_panel.push_back(made.size());
      made.push_back({uncut(s.panels[i].blank(), describe(s, body(PanelId{static_cast<int>(i)}))), {}, {}, {}, {}});
    }
  }

  Made& of(Body b) {
    assert(b.kind == Body::Kind::piece || b.kind == Body::Kind::panel);
    const auto& index = b.kind == Body::Kind::piece ? of_piece : of_panel;
    return made[index.at(static_cast<std::size_t>(b.index))];
  }

  /// As it is drawn: of an open panel its laths.
  Wireframe wires(Body b) {
    if (b.kind == Body::Kind::panel)
      if (const std::vector<Box> laths = laths_of(structure[PanelId{b.index}]); !laths.empty()) return lattice(laths);
    return wireframe(of(b).machined);
  }

  std::vector<Body> bodies() const {
    std::vector<Body> all;
    for (int i = 0; i < static_cast<int>(of_piece.size()); ++i) all.push_back(body(PieceId{i}));
    for (int i = 0; i < static_cast<int>(of_panel.size()); ++i) all.push_back(body(PanelId{i}));
    return all;
  }

  const std::vector<Standing>& standing() {
    if (!placed_parts) {
      placed_parts.emplace();
      for (Body b : bodies()) placed_parts->push_back(stand(b));
    }
    return *placed_parts;
  }

  Standing stand(Body b) {
    Standing s{b, {}, {}};
    for (const ConvexPart& part : of(b).machined.parts) {
      s.parts.push_back(placed(part, frame_of(structure, b)));
      s.box = s.parts.size() == 1 ? s.parts[0].box : enclosing(s.box, s.parts.back().box);
    }
    return s;
  }

  const Meetings& met() {
    if (!pairs) pairs = meetings(standing());
    return *pairs;
  }

  const Structure& structure;
  std::vector<Made> made;
  std::vector<std::size_t> of_piece, of_panel;
  std::optional<std::vector<Standing>> placed_parts;
  std::optional<Meetings> pairs;
};

Solids::Solids(const Structure& structure) : room_(std::make_unique<Room>(structure)) {}
Solids::~Solids() = default;
Solids::Solids(Solids&&) noexcept = default;

const TopoDS_Shape& Solids::shape(Body body) const {
  Made& made = room_->of(body);
  if (!made.shape) made.shape = kernel_kept_shape(made.machined, true);
  return *made.shape;
}

Measures Solids::measures(Body body) const {
  Made& made = room_->of(body);
  if (!made.measures) made.measures = closed_form(made.machined);
  if (!made.measures) made.measures = kernel_measures(shape(body));
  return *made.measures;
}

const Mesh& Solids::mesh(Body body, double deflection) const {
  Made& made = room_->of(body);
  const auto [at, fresh] = made.meshes.try_emplace(deflection);
  if (fresh) at->second = kernel_mesh(shape(body), deflection);
  return at->second;
}

const std::vector<ConvexPart>& Solids::parts(Body body) const { return room_->of(body).machined.parts; }

std::vector<Contact> Solids::contacts() const { return room_->met().contacts; }
std::vector<Clash> Solids::clashes() const { return room_->met().clashes; }

Diagnostics Solids::diagnostics() const {
  Diagnostics all;
  for (const Made& made : room_->made) {
    all.insert(all.end(), made.machined.diagnostics.begin(), made.machined.diagnostics.end());
  }
  return all;
}

std::vector<Line> Solids::project(const View& view, bool with_hidden, const std::vector<Body>& only) const {
  std::vector<Drawn> drawn;
  for (Body b : only.empty() ? room_->bodies() : only) {
    Made& made = room_->of(b);
    if (!made.wires) made.wires = room_->wires(b);
    drawn.push_back({b, &*made.wires, frame_of(room_->structure, b)});
  }
  return hidden_lines(drawn, view, with_hidden);
}

View front_view() { return {{0, 1, 0}, {0, 0, 1}}; }
View side_view() { return {{-1, 0, 0}, {0, 0, 1}}; }
View plan_view() { return {{0, 0, -1}, {0, 1, 0}}; }

// From the front, the right and above, so that the three axes are foreshortened alike.
View isometric_view() { return {unit({-1, 1, -1}), unit({-1, 1, 2})}; }

}  // namespace garthwright::solid
