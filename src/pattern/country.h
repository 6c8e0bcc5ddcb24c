// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "pattern/job.h"

namespace garthwright::pattern {

/// What people of a country call the parts, and what is customary there: `patterns/GB.toml`. Nothing of it is law.
struct Country {
  /// A height from which people there usually ask first.
  struct Custom {
    std::vector<std::string> patterns;  ///< whose structures it is told of
    double over_mm = 0;                 ///< of the highest edge above the structure's ground
    std::string words;
  };
  std::string ask;                                         ///< whom
  std::vector<std::pair<std::string, std::string>> words;  ///< the patterns' word, and theirs
  std::vector<Custom> customs;
};

/// Of the job's [site] country; none where it names none, or nothing is known of that country.
Result<std::optional<Country>> country_of(const Job& job, const Shelves& shelves);

/// An order whose joints are named in the patterns' words, whichever the job used.
Order in_pattern_words(const Country& country, Order order);
/// Its pieces and joints are called as people there call them, and what is customary there is remarked.
void speak(const Country& country, Built& built);

}  // namespace garthwright::pattern
