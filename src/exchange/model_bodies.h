// SPDX-License-Identifier: Apache-2.0
//
// What the model files (STEP, glTF) say of a body besides its shape: names, tone, and where its structure stands.
#pragma once

#include <string>
#include <vector>

#include "structure/structure.h"

namespace garthwright::exchange {

/// All bodies of a structure that have a solid: pieces, then panels.
std::vector<Body> solid_bodies(const Structure& structure);

/// "A1 post", "panel trellis": the thing made once.
std::string part_name(const Structure& structure, Body body);
/// "A1 left front post": that thing in its place.
std::string instance_name(const Structure& structure, Body body);

/// "left side": what it is made with; empty for what goes in loose.
std::string group_name(const Structure& structure, Body body);

/// Plain timber tones, linear RGB in 0 … 1: one for each kind of member, and one for panels.
struct Tone {
  std::string name;  ///< "post", "panel"
  float red = 0, green = 0, blue = 0;
};
Tone tone(const Structure& structure, Body body);

}  // namespace garthwright::exchange
