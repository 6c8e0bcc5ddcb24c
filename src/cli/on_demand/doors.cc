// SPDX-License-Identifier: Apache-2.0
#include <dlfcn.h>

#include <stdexcept>

#include "cli/on_demand/heavy.h"

namespace garthwright {

/// Loaded by the first who asks, from the folder of libraries that was laid down with the program (its run path).
static const cli::Heavy& heavy() {
  static const cli::Heavy& found = []() -> const cli::Heavy& {
    void* library = dlopen("libgarthwright_heavy.so", RTLD_NOW | RTLD_LOCAL);
    const void* table = library != nullptr ? dlsym(library, "garthwright_heavy") : nullptr;
    if (table == nullptr)
      throw std::runtime_error(std::string("a library of the program cannot be loaded: ") + dlerror());
    return *static_cast<const cli::Heavy*>(table);
  }();
  return found;
}

namespace solid {

void load_kernel() { heavy(); }

std::shared_ptr<const TopoDS_Shape> kernel_kept_shape(const Machined& machined, bool with_bores) {
  return heavy().kept_shape(machined, with_bores);
}
Measures kernel_measures(const TopoDS_Shape& shape) { return heavy().measures(shape); }
Mesh kernel_mesh(const TopoDS_Shape& shape, double deflection) { return heavy().mesh(shape, deflection); }

}  // namespace solid

namespace exchange {

Result<std::string> step_bytes(const std::vector<Model>& models, const StepAbout& about) {
  return heavy().step_bytes(models, about);
}

}  // namespace exchange

namespace sheets {

std::string pdf_bytes(const std::vector<Sheet>& sheets, const PdfInfo& info) { return heavy().pdf_bytes(sheets, info); }

}  // namespace sheets
}  // namespace garthwright
