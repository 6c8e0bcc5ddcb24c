// SPDX-License-Identifier: Apache-2.0
//
// What there is to choose from: patterns, yards, blades, what may be said of a site, examples. Each is the JSON that
// docs/openapi.json describes.
#pragma once

#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "base/length.h"
#include "pattern/job.h"

namespace garthwright::server {

/// `yard` may be empty; fails with "unknown-catalogue" when it is no yard's name.
Result<std::string> patterns_json(const pattern::Shelves& shelves, LengthStyle style, const std::string& yard);
std::string yards_json(const pattern::Shelves& shelves);
/// Saw blades and the radii they follow, in thin timber and in thick.
std::string blades_json();
/// What may be said of a site, by route: ranges, words and what is taken when the job is silent.
std::string site_json();
std::string examples_json(const pattern::Shelves& shelves);

}  // namespace garthwright::server
