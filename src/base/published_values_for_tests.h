// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>
#include <functional>
#include <map>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <vector>

#include "base/reference_for_tests.h"

/// Values from standards, handbooks and worked examples: the files of tests/reference/values, whose README says what
/// an object holds. A room's test hands every object to a function that computes it, and every expected number is held
/// to its tolerance, every expected word to the letter. Objects that a room does not compute are listed with the
/// reason.
namespace garthwright::testing {

using Values = std::map<std::string, double>;

struct Published {
  std::string id, topic, source, status;
  nlohmann::json inputs, expected;
  double tolerance = 0;

  bool has(const char* key) const { return inputs.contains(key); }
  bool wants(const char* key) const { return expected.contains(key); }
  /// A number among the inputs; another where it is not there.
  double in(const char* key) const { return inputs.at(key).get<double>(); }
  double in(const char* key, double otherwise) const { return has(key) ? in(key) : otherwise; }
  std::string text(const char* key) const { return has(key) ? inputs.at(key).get<std::string>() : ""; }
  bool starts(std::string_view prefix) const { return id.rfind(prefix, 0) == 0; }
};

/// What a room makes of an object: numbers and words under the keys of `expected` (of a list, under "key[0]", "key[1]",
/// …), or why it makes nothing (of some keys).
struct Answer {
  Values values;
  std::map<std::string, std::string> words{};
  std::string left_out;                            ///< reason, when the whole object is
  std::map<std::string, std::string> left_keys{};  ///< key → reason

  Answer(Values v) : values(std::move(v)) {}
  Answer(Values v, std::map<std::string, std::string> left) : values(std::move(v)), left_keys(std::move(left)) {}
  static Answer none(std::string reason) {
    Answer a{Values{}};
    a.left_out = std::move(reason);
    return a;
  }
};

inline std::vector<Published> read_published(const std::string& file) {
  const nlohmann::json list = nlohmann::json::parse(reference::text("values/" + file));
  std::vector<Published> objects;
  for (const nlohmann::json& o : list)
    objects.push_back({o.at("id"), o.at("topic"), o.at("source"), o.at("status"), o.at("inputs"), o.at("expected"),
                       o.at("tolerance_rel").get<double>()});
  return objects;
}

/// What is wrong with the answer to one key, each fault on a line of its own; adds the numbers that were compared.
inline std::string faults(const Answer& answer, const std::string& key, const nlohmann::json& expected,
                          double tolerance, int& numbers) {
  if (expected.is_array()) {
    std::string wrong;
    for (std::size_t i = 0; i < expected.size(); ++i)
      wrong += faults(answer, key + "[" + std::to_string(i) + "]", expected[i], tolerance, numbers);
    return wrong;
  }
  ++numbers;
  if (expected.is_string()) {
    const auto it = answer.words.find(key);
    if (it == answer.words.end()) return "\n  " + key + " is not computed";
    const std::string published = expected.get<std::string>();
    return it->second == published ? "" : "\n  " + key + " is " + it->second + ", published " + published;
  }
  const auto it = answer.values.find(key);
  if (it == answer.values.end()) return "\n  " + key + " is not computed";
  const double published = expected.get<double>();
  if (std::abs(it->second - published) <= tolerance * std::abs(published) + 1e-9) return "";
  return "\n  " + key + " is " + std::to_string(it->second) + ", published " + std::to_string(published);
}

/// Runs `compute` over one file; topics for which it gives nullopt belong to another room and are not counted.
inline void check_published(const std::string& file,
                            const std::function<std::optional<Answer>(const Published&)>& compute) {
  int checked = 0, numbers = 0, left = 0;
  for (const Published& object : read_published(file)) {
    SCOPED_TRACE(object.id + " (" + object.status + ", " + object.source + ")");
    std::optional<Answer> answer;
    try {
      answer = compute(object);
    } catch (const std::exception& error) {
      ADD_FAILURE() << "could not be computed: " << error.what();
      continue;
    }
    if (!answer) continue;
    if (!answer->left_out.empty()) {
      std::printf("left out: %-40s %s\n", object.id.c_str(), answer->left_out.c_str());
      ++left;
      continue;
    }
    ++checked;
    std::string wrong;  // one assertion for an object
    for (const auto& [key, value] : object.expected.items()) {
      if (const auto it = answer->left_keys.find(key); it != answer->left_keys.end()) {
        std::printf("left out: %-40s %s: %s\n", object.id.c_str(), key.c_str(), it->second.c_str());
        continue;
      }
      wrong += faults(*answer, key, value, object.tolerance, numbers);
    }
    EXPECT_EQ("", wrong);
  }
  std::printf("%s: %d objects checked (%d numbers), %d left out\n", file.c_str(), checked, numbers, left);
  EXPECT_GT(checked, 0);
}

}  // namespace garthwright::testing
