// SPDX-License-Identifier: Apache-2.0
#pragma once

#include "pattern/job.h"
#include "structure/site.h"

namespace garthwright {

/// The job's [site] facts as a Site: route by the yard's units unless given. Unknown names, odd kinds and values out of
/// range are errors in `problems`, naming near ones.
Site read_site(const pattern::Job& job, Diagnostics& problems);

}  // namespace garthwright
