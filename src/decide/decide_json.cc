// SPDX-License-Identifier: Apache-2.0
#include "decide/decide_json.h"

#include <cmath>
#include <nlohmann/json.hpp>

namespace garthwright::decide {
namespace {

using Json = nlohmann::ordered_json;

Json choices_json(const std::vector<Settled>& choices) {
  Json list = Json::array();
  for (const Settled& choice : choices)
    list.push_back(
        {{"structure", choice.structure}, {"name", choice.name}, {"value", choice.value}, {"was", choice.was}});
  return list;
}

Json excluded_json(const Answer& answer) {
  Json list = Json::array();
  const auto add = [&](const char* why, std::uint64_t count, const std::string& words) {
    if (count > 0) list.push_back({{"why", why}, {"count", count}, {"words", words}});
  };
  add("dearer", answer.counts.dearer,
      answer.stands ? "cost no less than what was found, which is one of them" : "cost more than was asked");
  const std::string often = answer.most_often.empty() ? std::string() : "; most often: " + answer.most_often;
  add("refused", answer.counts.refused,
      "refused by the pattern, or not to be bought at this yard" + (answer.counts.tried > 0 ? std::string() : often));
  add("cannot stand", answer.counts.shape,
      "cannot stand, by checks that ask for no force: frost, soil, holes too narrow for a post");
  add("same forces", answer.counts.alike,
      "do not stand: they have all the forces of one that was reckoned, in holes that those are too much for");
  add("tried", answer.counts.tried, "do not stand: each was reckoned, or builds the same as one that was" + often);
  return list;
}

}  // namespace

std::string decide_json(const Answer& answer, int indent) {
  Json json;
  json["verdict"] = answer.stands ? "stands" : "none stands";
  json["choices"] = choices_json(answer.choices);
  json["fixings"] = Json::array();
  for (const FixedAnew& fixed : answer.fixings)
    json["fixings"].push_back(
        {{"structure", fixed.structure}, {"joint", fixed.joint}, {"value", fixed.value}, {"was", fixed.was}});
  json["total_minor"] = answer.stands ? Json(answer.total.minor) : Json(nullptr);
  json["lower_bound_minor"] = answer.stands || !answer.proven ? Json(answer.lower_bound.minor) : Json(nullptr);
  json["proven"] = answer.proven;
  json["combinations"] = answer.combinations;
  json["excluded"] = excluded_json(answer);
  json["tried"] = answer.plans;
  json["seconds"] = std::round(answer.seconds * 1000) / 1000;
  return json.dump(indent, ' ', false, Json::error_handler_t::replace) + (indent < 0 ? "" : "\n");
}

}  // namespace garthwright::decide
