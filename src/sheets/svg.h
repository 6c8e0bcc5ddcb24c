// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "sheets/sheet.h"

namespace garthwright::sheets {

/// The sheet as an SVG file with its true size in mm. Lettering stays text, held to its measured width, so that it can
/// be read aloud and searched, and lies where it was measured even where another font stands in.
std::string svg_bytes(const Sheet& sheet);

}  // namespace garthwright::sheets
