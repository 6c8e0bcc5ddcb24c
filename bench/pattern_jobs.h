// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <fmt/format.h>

#include "plan/plan.h"

/// Jobs that the benchmarks plan: one structure of a pattern, bought at the metric yard.
namespace garthwright {

inline Result<Plan> planned(const std::string& pattern, const std::string& choices) {
  const std::string source = GARTHWRIGHT_SOURCE_DIR;
  const pattern::Shelves shelves{{source + "/patterns"}, {source + "/catalogues"}};
  const Result<pattern::Job> job = pattern::parse_job(
      fmt::format("format = 1\n[timber]\ncatalogue = \"harrow-lane\"\n[[structure]]\npattern = \"{}\"\n"
                  "[structure.choices]\n{}\n",
                  pattern, choices),
      "bench.toml", shelves);
  return job ? make_plan(*job, shelves) : tl::make_unexpected(job.error());
}

/// The choices of a pergola so many metres long.
inline std::string pergola_choices(std::int64_t metres, int purlins, double rafters_a_metre = 2.5) {
  const auto rafters = static_cast<std::int64_t>(static_cast<double>(metres) * rafters_a_metre);
  return fmt::format("length = {}\ndepth = 4000\nrafters = {}\npurlins = {}", metres * 1000, rafters, purlins);
}

}  // namespace garthwright
