// SPDX-License-Identifier: Apache-2.0
#include "plan/cautions.h"

#include <fmt/format.h>

#include <algorithm>

#include "plan/plan.h"

namespace garthwright {

namespace {

/// What was checked, with what was taken where the job is silent, and what was found.
std::string strength_words(const Plan& plan) {
  std::size_t fails = 0, all = 0;
  for (const std::vector<Check>* checks : {&plan.strength.checks, &plan.ground.checks})
    for (const Check& c : *checks) ++all, fails += c.verdict == Verdict::fails;
  if (all == 0)
    return "No strength, wind or footing check has been made in this plan; no part of it says that the structure is "
           "strong enough.";
  std::string words =
      fails == 0 ? fmt::format("{} indicative checks of strength and footings were made and none fails.", all)
                 : fmt::format("{} of {} indicative checks of strength and footings FAIL: read them before you build.",
                               fails, all);
  if (!plan.site.assumed.empty()) words += " Taken because the job does not say: " + plan.site.assumed + ".";
  return words + " On a hilltop, coast, steep slope, or soft or made ground ask an engineer.";
}

}  // namespace

std::vector<std::string> cautions(const Plan& plan) {
  std::vector<std::string> lines{
      "All results are indicative. Local codes, permits and the advice of licensed practice come before this plan.",
      strength_words(plan),
      "Measure the timber and panels that were delivered and give their sizes to the job before you cut.",
      "Cutting treated timber: outdoors where you can; dust mask, goggles, gloves; wash before eating. Never burn or "
      "mulch it, nor let animals lie on the dust.",
      "Saws: clamp the work, support it so that the off-cut falls clear, wear ear and eye protection.",
      "Seal every cut end, notch and hole with end-grain preservative; gloves and goggles; keep it off water and "
      "plants "
      "until dry. The end that came from the yard goes into the ground.",
      "Before you dig: ask where cables and pipes lie, dig by hand near them, cover open holes overnight.",
      "Cement and postmix burn skin and eyes, at first without pain: waterproof gloves, goggles, dust mask when dry; "
      "rinse splashes for 15 minutes."};
  const auto heaviest = std::max_element(plan.pieces.begin(), plan.pieces.end(),
                                         [](const PieceRow& a, const PieceRow& b) { return a.mass_kg < b.mass_kg; });
  if (heaviest != plan.pieces.end())
    lines.push_back(
        fmt::format("Lifting: the heaviest piece ({} {}) is about {:.0f} kg as bought; above shoulder height take no "
                    "more than a few "
                    "kilograms alone, and tie or prop a piece before you let it go.",
                    heaviest->name, heaviest->mark, heaviest->mass_kg));
  const bool in_ground = std::any_of(plan.structures.begin(), plan.structures.end(),
                                     [](const Structure& s) { return !s.footings.empty(); });
  if (in_ground)
    lines.emplace_back(
        "Posts: brace them plumb before the concrete goes in, and put no load on them until it has set.");
  lines.emplace_back("No swings, no climbing: nothing here is designed for them.");
  return lines;
}

}  // namespace garthwright
