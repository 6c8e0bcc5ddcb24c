// SPDX-License-Identifier: Apache-2.0
#include "exchange/thrift_json.h"

#include "exchange/json_values.h"

namespace garthwright::exchange {
namespace {

Json step_json(const buying::CostStep& step) {
  Json json = {{"from", rounded(step.from)}, {"to", rounded(step.to)}};
  if (step.buildable()) {
    json["cost_minor"] = step.cost.minor;
    json["lower_bound_minor"] = step.lower_bound.minor;
  } else {
    json["refusal"] = step.refusal;
  }
  return json;
}

Json choice_json(const ChoiceThrift& choice) {
  const buying::Thrift& found = choice.found;
  Json steps = Json::array(), cheaper = Json::array();
  for (const buying::CostStep& step : found.steps) steps.push_back(step_json(step));
  for (const buying::Cheaper& one : found.cheaper)
    cheaper.push_back({{"value", rounded(one.value)},
                       {"cost_minor", one.cost.minor},
                       {"saved_minor", one.saved.minor},
                       {"pieces", one.pieces},
                       {"lines", one.lines}});
  return {{"structure", choice.structure},
          {"choice", choice.choice},
          {"unit", choice.unit},
          {"step", found.question.step},
          {"now", rounded(found.question.now)},
          {"now_minor", found.now.minor},
          {"proven", found.proven()},
          {"steps", std::move(steps)},
          {"cheaper", std::move(cheaper)},
          {"passed_over", found.passed_over}};
}

}  // namespace

std::string thrift_json(const std::vector<ChoiceThrift>& choices, const Currency& currency) {
  Json list = Json::array();
  for (const ChoiceThrift& choice : choices) list.push_back(choice_json(choice));
  return Json{{"currency", currency.code}, {"choices", std::move(list)}}.dump(1) + "\n";
}

}  // namespace garthwright::exchange
