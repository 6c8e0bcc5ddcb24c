// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "pattern/job.h"
#include "structure/site.h"
#include "structure/structure.h"

namespace garthwright {

/// The job's [site] facts as a Site: route by the yard's units unless given. Unknown names, odd kinds and values out of
/// range are errors in `problems`, naming near ones.
Site read_site(const pattern::Job& job, Diagnostics& problems);

/// Where something leans on a house and the job does not describe it: notes among the site's assumptions what was
/// taken.
void say_house(const pattern::Job& job, const std::vector<Structure>& structures, Site& site);

}  // namespace garthwright
