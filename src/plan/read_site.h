// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "pattern/job.h"
#include "structure/garden.h"
#include "structure/site.h"

namespace garthwright {

/// The job's [site] facts as a Site: route by the yard's units unless given. Unknown names, odd kinds and values out of
/// range are errors in `problems`, naming near ones.
Site read_site(const pattern::Job& job, Diagnostics& problems);

/// What may be said of a site by the rules of a route: what is taken when the job is silent, and what is accepted.
struct SiteQuestion {
  std::string name;
  std::string unit;                ///< of a number: "m/s"; empty for a word
  double least = 0, most = 0;      ///< of a number, in its unit
  double usual = 0;                ///< of a number, in its unit
  std::vector<std::string> words;  ///< all that are known; empty for a number
  std::string usual_word;
};
/// In the order in which a site is read.
std::vector<SiteQuestion> site_questions(Site::Route route);

/// Where something leans on a house and the job does not describe it: notes among the site's assumptions what was
/// taken.
void say_house(const pattern::Job& job, const Garden& garden, Site& site);

}  // namespace garthwright
