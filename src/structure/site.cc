// SPDX-License-Identifier: Apache-2.0
#include "structure/site.h"

namespace garthwright {

Site site_for(const Structure& structure, Site site) {
  if (!structure.climber.empty()) site.climber = structure.climber;
  if (!any_for(structure, Duty::climber)) site.climber = "none";
  return site;
}

}  // namespace garthwright
