// SPDX-License-Identifier: Apache-2.0
#pragma once

/// Academic instances of cutting and packing. A file holds a set, one JSON object a line: name, items [[length, count],
/// …], capacity or stocks [[length, cost, limit], …], optimum (or null).

#include <fstream>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "cutting/cutting.h"

namespace garthwright::bench {

struct Case {
  std::string name;
  cutting::Problem problem;
  std::int64_t optimum = -1;
};

inline std::vector<Case> read_cases(const std::string& path) {
  std::vector<Case> cases;
  std::ifstream in(path);
  for (std::string line; std::getline(in, line);) {
    if (line.empty()) continue;
    const auto json = nlohmann::json::parse(line);
    Case c;
    c.name = json["name"];
    if (json.contains("capacity")) {
      c.problem.stock.push_back({.length = json["capacity"], .cost = 1});
    } else {
      for (const auto& s : json["stocks"]) {
        cutting::Stock stock{.length = s[0], .cost = s[1]};
        if (s.size() > 2 && !s[2].is_null()) stock.limit = s[2].get<std::int64_t>();
        c.problem.stock.push_back(stock);
      }
    }
    for (const auto& item : json["items"]) c.problem.pieces.push_back({.length = item[0], .quantity = item[1]});
    if (json.contains("optimum") && !json["optimum"].is_null()) c.optimum = json["optimum"];
    cases.push_back(std::move(c));
  }
  return cases;
}

}  // namespace garthwright::bench
