// SPDX-License-Identifier: Apache-2.0
//
// Every file of a plan for other programs, told once: the command line writes them all, the server hands each out by
// its name and lists them, and the page shows that list. One more is a row here beside the file that makes its bytes.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/diagnostic.h"
#include "exchange/gltf.h"
#include "exchange/tables_csv.h"
#include "plan/plan.h"

namespace garthwright::exchange {

/// What files are made of; all must outlive the call.
struct ForFiles {
  const Plan& plan;
  const std::vector<Model>& models;  ///< the plan's structures, in their order
  Csv csv = Csv::comma;
};

struct FileKind {
  std::string_view name;   ///< "model.step"
  std::string_view type;   ///< media type
  std::string_view about;  ///< "the solids, for CAD programs"
  bool whole = false;      ///< tells the checks and the order of work too; else pieces and price are enough
  Result<std::string> (*bytes)(const ForFiles&) = nullptr;
};

/// In the order in which they are written and shown. Any of them may be made by several threads at once.
std::span<const FileKind> file_kinds();

}  // namespace garthwright::exchange
