// SPDX-License-Identifier: Apache-2.0
#include "exchange/model_bodies.h"

#include <algorithm>

namespace garthwright::exchange {
namespace {

std::string spaced(const std::vector<std::string>& words) {
  std::string text;
  for (const std::string& word : words) {
    if (!word.empty()) text += (text.empty() ? "" : " ") + word;
  }
  return text;
}

}  // namespace

std::vector<Body> solid_bodies(const Structure& structure) {
  std::vector<Body> all;
  for (int i = 0; i < static_cast<int>(structure.pieces.size()); ++i) all.push_back(body(PieceId{i}));
  for (int i = 0; i < static_cast<int>(structure.panels.size()); ++i) all.push_back(body(PanelId{i}));
  return all;
}

std::string part_name(const Structure& structure, Body body) {
  if (body.kind == Body::Kind::panel) return spaced({"panel", structure[PanelId{body.index}].name});
  const Piece& piece = structure[PieceId{body.index}];
  return spaced({piece.mark, piece.name});
}

std::string instance_name(const Structure& structure, Body body) {
  if (body.kind == Body::Kind::panel) return part_name(structure, body);
  const Piece& piece = structure[PieceId{body.index}];
  return spaced({piece.mark, piece.where, piece.name});
}

std::string group_name(const Structure& structure, Body body) {
  if (body.kind == Body::Kind::piece && !structure[PieceId{body.index}].group.empty())
    return structure[PieceId{body.index}].group;
  for (const Assembly& assembly : structure.assemblies)
    if (std::find(assembly.bodies.begin(), assembly.bodies.end(), body) != assembly.bodies.end()) return assembly.name;
  return {};
}

Tone tone(const Structure& structure, Body body) {
  if (body.kind == Body::Kind::panel) return {"panel", 0.62F, 0.45F, 0.25F};
  const Role role = structure[PieceId{body.index}].role;
  const std::string called(name(role));
  switch (role) {
    case Role::post:
      return {called, 0.42F, 0.27F, 0.13F};
    case Role::beam:
    case Role::fascia:
    case Role::ledger:
      return {called, 0.50F, 0.33F, 0.17F};
    case Role::rafter:
    case Role::purlin:
      return {called, 0.58F, 0.40F, 0.22F};
    case Role::rail:
    case Role::frame:
      return {called, 0.46F, 0.30F, 0.15F};
    case Role::brace:
      return {called, 0.54F, 0.37F, 0.19F};
    case Role::batten:
    case Role::cap:
    case Role::board:
    case Role::other:
      break;
  }
  return {called, 0.64F, 0.47F, 0.28F};
}

}  // namespace garthwright::exchange
