// SPDX-License-Identifier: Apache-2.0
//
// One HTTP request and its answer as plain values, apart from how they travel.
#pragma once

#include <algorithm>
#include <cstddef>
#include <map>
#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace garthwright::server {

struct Request {
  std::string method;                             ///< "GET"
  std::string path;                               ///< decoded: "/api/v1/plan"
  std::map<std::string, std::string> parameters;  ///< of the query, decoded; of equal names the first
  std::map<std::string, std::string> fields;      ///< by lower-case name; of equal names, parted by commas
  std::string body;

  bool has(const std::string& name) const { return fields.count(name) != 0; }
  /// Empty where it was not sent.
  std::string field(const std::string& name) const {
    const auto at = fields.find(name);
    return at == fields.end() ? std::string() : at->second;
  }
};

struct Response {
  int status = 200;
  std::vector<std::pair<std::string, std::string>> fields;
  std::shared_ptr<const std::string> body;  ///< none: nothing is sent
  std::string type;                         ///< of the body

  bool sets(std::string_view name) const {
    return std::any_of(fields.begin(), fields.end(), [&](const auto& field) { return field.first == name; });
  }
  void set(std::string name, std::string value) { fields.emplace_back(std::move(name), std::move(value)); }
  void set_body(std::string bytes, std::string media_type) {
    body = std::make_shared<const std::string>(std::move(bytes));
    type = std::move(media_type);
  }
};

}  // namespace garthwright::server
