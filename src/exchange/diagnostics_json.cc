// SPDX-License-Identifier: Apache-2.0
#include "exchange/diagnostics_json.h"

namespace garthwright::exchange {

Json diagnostics_json(const Diagnostics& diagnostics) {
  Json list = Json::array();
  for (const Diagnostic& one : diagnostics)
    list.push_back({{"code", one.code},
                    {"severity", name(one.severity)},
                    {"what", one.what},
                    {"where",
                     {{"file", one.where.file},
                      {"line", one.where.line},
                      {"column", one.where.column},
                      {"piece", one.where.piece}}},
                    {"cure", one.cure}});
  return list;
}

std::string problem_json(const Diagnostics& diagnostics) {
  return Json{{"diagnostics", diagnostics_json(diagnostics)}}.dump(-1, ' ', false, Json::error_handler_t::replace) +
         "\n";
}

}  // namespace garthwright::exchange
