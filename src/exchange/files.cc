// SPDX-License-Identifier: Apache-2.0
#include "exchange/files.h"

#include <array>
#include <mutex>

#include "exchange/plan_json.h"
#include "exchange/spreadsheet.h"
#include "exchange/step.h"

namespace garthwright::exchange {
namespace {

Result<std::string> step(const ForFiles& of) {
  static std::mutex one_at_a_time;  // Open CASCADE's translator keeps its settings in globals
  const std::lock_guard lock(one_at_a_time);
  return step_bytes(of.models, {of.plan.title, of.plan.job.date});
}

std::vector<Model> with_orders(const ForFiles& of) {
  std::vector<Model> models = of.models;
  for (std::size_t i = 0; i < models.size() && i < of.plan.orders.size(); ++i)
    models[i].stages = &of.plan.orders[i].stages;
  return models;
}

constexpr std::array kKinds{
    FileKind{"plan.json", "application/json", "everything the plan says (docs/plan-file.md)", true,
             [](const ForFiles& of) -> Result<std::string> { return plan_json(of.plan); }},
    FileKind{"pieces.csv", "text/csv; charset=utf-8", "the piece list", false,
             [](const ForFiles& of) -> Result<std::string> { return pieces_csv(of.plan, of.csv); }},
    FileKind{"shopping.csv", "text/csv; charset=utf-8", "the shopping list", false,
             [](const ForFiles& of) -> Result<std::string> { return shopping_csv(of.plan, of.csv); }},
    FileKind{"plan.xlsx", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
             "pieces, purchase, holes and checks, for a spreadsheet", true,
             [](const ForFiles& of) -> Result<std::string> { return spreadsheet_bytes(of.plan); }},
    FileKind{"model.step", "model/step", "the solids, for CAD programs", false, step},
    FileKind{"model.glb", "model/gltf-binary", "the solids, for viewers (glTF), with the order of work", true,
             [](const ForFiles& of) -> Result<std::string> { return glb_bytes(with_orders(of)); }},
};

}  // namespace

std::span<const FileKind> file_kinds() { return kKinds; }

}  // namespace garthwright::exchange
