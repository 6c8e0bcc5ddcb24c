// SPDX-License-Identifier: Apache-2.0
#include <cmath>
#include <nlohmann/json.hpp>

#include "decide/advice.h"

namespace garthwright::decide {
namespace {

using Json = nlohmann::ordered_json;

Json way_json(const Way& way, const pattern::Job& job) {
  Json choices = Json::array(), site = Json::array(), fixings = Json::array();
  for (const Settled& choice : way.choices)
    choices.push_back(
        {{"structure", choice.structure}, {"name", choice.name}, {"value", choice.value}, {"was", choice.was}});
  for (const SiteChange& change : way.site)
    site.push_back({{"name", change.name}, {"value", change.value}, {"was", change.was}});
  for (const FixedAnew& fixed : way.fixings)
    fixings.push_back(
        {{"structure", fixed.structure}, {"joint", fixed.joint}, {"value", fixed.value}, {"was", fixed.was}});
  return {{"kind", name(way.kind)},
          {"choices", std::move(choices)},
          {"fixings", std::move(fixings)},
          {"site", std::move(site)},
          {"total_minor", way.total.minor},
          {"extra_minor", way.extra_minor},
          {"words", words_of(way, job.yard.currency, job.orders.size() > 1)}};
}

}  // namespace

std::string advice_json(const Advice& advice, const pattern::Job& job, int indent) {
  Json ways = Json::array();
  for (const Way& way : advice.ways) ways.push_back(way_json(way, job));
  Json cures = Json::array();
  for (const Cure& cure : advice.cures)
    cures.push_back(
        {{"structure", cure.structure}, {"check", cure.check}, {"title", cure.title}, {"words", cure.words}});
  const Json json = {{"verdict", advice.fails == 0     ? "stands"
                                 : advice.ways.empty() ? "none found"
                                                       : "found"},
                     {"fails", advice.fails},
                     {"now_minor", advice.now.minor},
                     {"ways", std::move(ways)},
                     {"cures", std::move(cures)},
                     {"why", advice.why},
                     {"seconds", std::round(advice.seconds * 1000) / 1000}};
  return json.dump(indent, ' ', false, Json::error_handler_t::replace) + (indent < 0 ? "" : "\n");
}

}  // namespace garthwright::decide
