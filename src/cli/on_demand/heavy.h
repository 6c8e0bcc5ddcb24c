// SPDX-License-Identifier: Apache-2.0
//
// Functions that need Open CASCADE or cairo: some seventy shared libraries, which take longer to load than most answers
// take to make. They stand in libgarthwright_heavy.so, which the program loads when the first of them is called:
// heavy.cc is that library's side, doors.cc the program's. Tests, and programs with sanitizers, are linked with them as
// with all.
#pragma once

#include "exchange/step.h"
#include "sheets/pdf.h"
#include "solid/kernel_calls.h"

namespace garthwright::cli {

struct Heavy {
  decltype(&solid::kernel_kept_shape) kept_shape;
  decltype(&solid::kernel_measures) measures;
  decltype(&solid::kernel_mesh) mesh;
  decltype(&exchange::step_bytes) step_bytes;
  decltype(&sheets::pdf_bytes) pdf_bytes;
};

}  // namespace garthwright::cli
