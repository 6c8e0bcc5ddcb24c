// SPDX-License-Identifier: Apache-2.0
#include "structure/site.h"

#include <fmt/format.h>

#include "base/us_customary.h"

namespace garthwright {

std::string soil_words(const Site& site) {
  if (site.clay_kpa <= 0) return site.soil;
  const std::string strength = site.route == Site::Route::us
                                   ? fmt::format("{:.0f} psf", 1000 * site.clay_kpa / kPaPerPsf)
                                   : fmt::format("{:g} kPa", site.clay_kpa);
  return site.soil + " of " + strength + ", as measured";
}

std::string taken_words(const Site& site) {
  std::string words;
  if (!site.assumed.empty()) words += " Taken because the job does not say: " + site.assumed + ".";
  if (site.clay_kpa > 0) words += " The posts are held by " + soil_words(site) + " by whoever wrote the job.";
  return words;
}

Site site_for(const Structure& structure, Site site) {
  if (!structure.climber.empty()) site.climber = structure.climber;
  if (!any_for(structure, Duty::climber)) site.climber = "none";
  return site;
}

}  // namespace garthwright
