// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "sequence/stages.h"
#include "solid/solid.h"
#include "structure/structure.h"

namespace garthwright::exchange {

/// A structure and its solids; both must outlive the call they are given to.
struct Model {
  const Structure* structure = nullptr;
  const solid::Solids* solids = nullptr;
  const std::vector<sequence::Stage>* stages = nullptr;  ///< its order of work, where there is one
};

/// Binary glTF 2.0 of all structures where they stand in the garden: metres, y up, as the specification wants it
/// (Khronos, glTF 2.0, 3.4 and 4.4). One mesh for each mark, one node for each piece ("A1 left front post") under a
/// node for its group ("left side") and its structure, with `extras` that tell mark, length and section; flat normals,
/// one material for each kind of member. Where an order of work is given, it is an animation: what is put in at a stage
/// appears a little way off and moves in. Curves within `deflection` mm.
/// The same input gives the same bytes.
std::string glb_bytes(const std::vector<Model>& models, double deflection = 0.25);

}  // namespace garthwright::exchange
