// SPDX-License-Identifier: Apache-2.0
//
// Verbs that ask the yard, and tell the person.
#include <algorithm>

#include "pattern/lengths.h"
#include "pattern/verbs.h"

namespace garthwright::pattern {
namespace {

/// longest_sold(section): the longest length of it the yard sells, less what squaring its end takes.
int longest_sold(Call& call) {
  const SectionInHand* section = as_section(call.lua(), 1);
  if (!section) call.wrong("longest_sold takes a section, not " + kind_at(call.lua(), 1), "give one of a choice");
  double longest = 0;
  for (const timber::YardLength& length : call.structure()[section->id].lengths)
    longest = std::max(longest, length.length_mm);
  push(call.lua(), longest - call.bench_().job->saw.trim_mm);
  return 1;
}

/// refuse(choice, what [, cure]): the choices cannot be built; points at the job's line.
int refuse(Call& call) {
  const std::string choice = call.text_at(1, "the choice"), what = call.text_at(2, "what is wrong"),
                    cure = call.text_at(3, "the cure", "");
  raise(call.lua(), {Severity::error, "cannot-build", what, cure, call.bench_().place_of(choice)});
}

/// remark(choice, what [, cure]): worth knowing; the plan is made all the same.
int remark(Call& call) {
  const std::string choice = call.text_at(1, "the choice"), what = call.text_at(2, "what is worth knowing"),
                    cure = call.text_at(3, "the cure", "");
  call.box().spend(Good::parts, 1);
  call.bench_().remarks.push_back({Severity::warning, "pattern-remark", what, cure, call.bench_().place_of(choice)});
  return 0;
}

/// print_length(length): as the job prints lengths.
int print_length(Call& call) {
  const std::string text = format_length(to_length(call.lua(), 1, "the length").value(), call.bench_().job->style);
  lua_pushlstring(call.lua(), text.data(), text.size());
  return 1;
}

const std::vector<Verb> kVerbs{{"longest_sold", longest_sold, 1, 1},
                               {"refuse", refuse, 2, 3},
                               {"remark", remark, 2, 3},
                               {"print_length", print_length, 1, 1}};

}  // namespace

std::span<const Verb> telling_verbs() { return kVerbs; }

}  // namespace garthwright::pattern
