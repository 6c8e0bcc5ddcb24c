// SPDX-License-Identifier: Apache-2.0
#include "cli/shed_plan.h"

#include <fmt/format.h>

#include <cstdint>
#include <limits>
#include <nlohmann/json.hpp>
#include <stdexcept>

#include "base/parse_json.h"

namespace garthwright::cli {

namespace {

using shed::Item;
using shed::Kind;

/// FNV-1a, 64 bits: tells one plan's text from another's.
std::uint64_t number_of(const std::string& text) {
  std::uint64_t number = 14695981039346656037ULL;
  for (const unsigned char c : text) number = (number ^ c) * 1099511628211ULL;
  return number;
}

/// A whole number within int; nlohmann's own reading would wrap it.
int count_in(const nlohmann::json& one) {
  const auto& count = one.at("quantity");
  const bool whole = count.is_number_integer() || count.is_number_unsigned();
  if (!whole || count.get<double>() < 0 || count.get<double>() > std::numeric_limits<int>::max())
    throw std::out_of_range("quantity");
  return count.get<int>();
}

std::vector<Item> items_of(const nlohmann::json& on_hand) {
  std::vector<Item> all;
  for (const auto& one : on_hand.at("off_cuts"))
    all.push_back(
        {Kind::off_cut, one.at("section").get<std::string>(), one.at("length_mm").get<double>(), count_in(one)});
  for (const auto& one : on_hand.at("fixings"))
    all.push_back({Kind::fixing, one.at("name").get<std::string>(), 0, count_in(one)});
  return all;
}

}  // namespace

Result<ShedPlan> read_shed_plan(const std::string& text, const std::string& file) {
  try {
    const Result<nlohmann::json> read = parse_json<nlohmann::json>(text, file);
    if (!read) return tl::make_unexpected(read.error());
    const nlohmann::json& json = *read;
    ShedPlan plan;
    plan.job = json.at("title").get<std::string>();
    plan.key = fmt::format("{} {:016x}", plan.job, number_of(text));
    plan.uses = items_of(json.at("purchase").at("from_shed"));
    plan.leaves = items_of(json.at("purchase").at("left_over"));
    return plan;
  } catch (const nlohmann::json::exception&) {
    return fail("bad-plan", "this is no plan.json", "make one with: garthwright plan JOB", {file, 0, 0, {}});
  } catch (const std::out_of_range&) {
    return fail("bad-plan", "a quantity in it is no count", "make one with: garthwright plan JOB", {file, 0, 0, {}});
  }
}

}  // namespace garthwright::cli
