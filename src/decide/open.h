// SPDX-License-Identifier: Apache-2.0
//
// The choices of a job that are open, each with the values it may take, and the combinations of them.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "pattern/job.h"

namespace garthwright::decide {

using Value = pattern::OpenChoice::Value;

/// One open choice of one structure. Values of numbers ascend; those of sections and options stand as they were listed.
struct Open {
  std::size_t order = 0;  ///< which structure of the job
  std::string name;
  std::string unit;     ///< as in pattern::ChoiceInfo
  bool ground = false;  ///< it is about the holes
  std::vector<Value> values;
  std::optional<std::size_t> now;  ///< which of them the job has now; none where it has another
  std::string was;                 ///< what it has now, as it would stand in the job

  /// A length, count or number, whose values have an order.
  bool number() const { return unit == "length" || unit == "count" || unit == "number"; }
};

/// The group of choices that are about holes, as patterns call it.
inline constexpr const char* kGround = "Ground";

/// Which value of each open choice.
using Combination = std::vector<std::uint16_t>;

/// What the structures of a job leave open, in the job's order and the pattern's. Fails, at the line in the job, on
/// values that the pattern or the yard does not know, and where more than `kMostCombinations` would come of it.
Result<std::vector<Open>> open_choices(const pattern::Job& job, const pattern::Shelves& shelves);
inline constexpr std::uint64_t kMostCombinations = 10'000'000'000'000'000'000u;  // counted in 64 bits
inline constexpr std::size_t kMostValues = 1000;                                 // of one choice

/// Sections of the yard about as stout as one of them, of its timber and treatment, thinnest first; itself among them.
std::vector<std::string> about_as_stout(const timber::Yard& yard, const std::string& section);

/// How many combinations there are.
std::uint64_t count(const std::vector<Open>& opens);
/// A combination's number among them: the last choice runs fastest.
std::uint64_t number_of(const std::vector<Open>& opens, const Combination& combination);

/// A value as it stands in the job's text: 700, "4x4", true; in jobs of feet and inches '2 ft 4 in' where that is
/// exact.
std::string in_toml(const Open& open, const Value& value, LengthStyle style);
/// The same for a person: "700 mm", "4x4", "yes".
std::string in_words(const Open& open, const Value& value, LengthStyle style);

/// A structure of the job with its open choices at the values of a combination.
pattern::Order with(const pattern::Order& order, std::size_t number, const std::vector<Open>& opens,
                    const Combination& combination);
/// The whole job.
pattern::Job with(const pattern::Job& job, const std::vector<Open>& opens, const Combination& combination);

}  // namespace garthwright::decide
