// SPDX-License-Identifier: Apache-2.0
#include "plan/cautions.h"

#include <fmt/format.h>

#include <algorithm>

#include "plan/not_made.h"
#include "plan/plan.h"

namespace garthwright {

namespace {

/// What was checked, with what was taken where the job is silent, and what was found.
std::string strength_words(const Plan& plan) {
  const int not_made = count_not_made(plan), all = static_cast<int>(all_checks(plan).size()) - not_made;
  const int fails = count(plan, Verdict::fails);
  if (all == 0)
    return "No strength, wind or footing check has been made in this plan; no part of it says that the structure is "
           "strong enough.";
  std::string words =
      fails == 0 ? fmt::format("{} indicative checks of strength and footings were made and none fails.", all)
                 : fmt::format("{} of {} indicative checks of strength and footings FAIL: read them before you build.",
                               fails, all);
  if (not_made > 0) words += fmt::format(" {} more could not be made: nothing is known of what they ask.", not_made);
  words += taken_words(plan.site);
  return words + " On a hilltop, coast, steep slope, or soft or made ground ask an engineer.";
}

bool treated(const Plan& plan) {
  for (const Structure& structure : plan.garden.structures)
    for (const timber::Section& section : structure.sections)
      if (!section.treatment.empty()) return true;
  return false;
}

/// The plan's own masses, with what a person should lift: guide figures close in at waist height are 25 kg for a man
/// and 16 kg for a woman (HSE, INDG143, from memory); two together lift about two thirds of the sum of both.
void say_lifting(const Plan& plan, std::vector<std::string>& lines) {
  const auto heaviest = std::max_element(plan.pieces.begin(), plan.pieces.end(),
                                         [](const PieceRow& a, const PieceRow& b) { return a.mass_kg < b.mass_kg; });
  if (heaviest == plan.pieces.end()) return;
  const bool metric = plan.style.units == Units::mm;
  const auto mass = [&](double kg) {
    return metric ? fmt::format("{:.0f} kg", kg) : fmt::format("{:.0f} lb", kg / 0.45359237);
  };
  std::string words = fmt::format("Lifting: the heaviest piece ({} {}) is about {} as bought.", heaviest->name,
                                  heaviest->mark, mass(heaviest->mass_kg));
  for (std::size_t i = 0; i < plan.wholes.size() && i < plan.garden.structures.size(); ++i)
    words += fmt::format(" The {} is {} in all: never lift it whole.", plan.garden.structures[i].name,
                         mass(plan.wholes[i].timber_kg + plan.wholes[i].panels_kg));
  lines.push_back(words);
  lines.push_back(fmt::format(
      "Guide limits close to the body at waist height: {} for a man, {} for a woman; at arm's length or above the "
      "shoulder well under half; two people together, two thirds of their sum. No home-made hoists; two step-up "
      "platforms with a plank, not two ladders; tie or prop a piece before you let it go.",
      mass(25), mass(16)));
}

/// What moves or is sat on works loose and rots where nobody looks (common practice, no source).
void say_yearly(const Plan& plan, std::vector<std::string>& lines) {
  const auto any = [&](auto is) {
    return std::any_of(plan.garden.structures.begin(), plan.garden.structures.end(), is);
  };
  const bool gates = any([](const Structure& s) { return !s.swings.empty(); });
  const bool seats = any([](const Structure& s) { return any_for(s, Duty::seat) && !any_for(s, Duty::walk); });
  if (gates)
    lines.emplace_back(
        "Every spring, gates: tighten the bolts and screws of hinges and latch (the first time after one season: new "
        "timber shrinks and lets them loose), oil hinges and latch, lift the far end to feel whether a hinge or a "
        "joint "
        "is worn, see that the leaf clears ground and post, and push a screwdriver into the posts at the ground: where "
        "it "
        "goes in, the post is rotten.");
  if (seats)
    lines.emplace_back(
        "Every spring, seats: tighten bolts and screws (the first time after one season), look for splinters, loose or "
        "cracked slats and rust, oil the timber where it is dry, and push a screwdriver into the legs at the ground "
        "and "
        "under the slats: nobody sits there until what is rotten is replaced.");
}

}  // namespace

std::vector<std::string> cautions(const Plan& plan) {
  std::vector<std::string> lines{
      "All results are indicative. Local codes, permits and the advice of licensed practice come before this plan: ask "
      "about height, boundaries, frost, wind and snow, and about anything fixed to a house.",
      strength_words(plan),
      "Measure the timber and panels that were delivered and give their sizes to the job before you cut."};
  if (treated(plan)) {
    lines.emplace_back(
        "Cutting treated timber: outdoors where you can; dust mask (FFP2, P2 or N95), goggles, gloves; wash before "
        "eating. Bin dust and off-cuts as your council directs. Never burn or mulch them, let animals lie on the dust, "
        "or use them near food.");
    lines.emplace_back(
        "Seal every cut end, notch and hole with end-grain preservative; gloves and goggles; keep it off water and "
        "plants until dry. The end that came from the yard goes into the ground.");
  }
  lines.emplace_back(
      "Saws: unplug before you touch a blade; clamp the work, support it so that the off-cut falls clear and cannot "
      "pinch the blade; eye and ear protection; nothing loose near a blade.");
  say_lifting(plan, lines);
  const bool in_ground = std::any_of(plan.garden.structures.begin(), plan.garden.structures.end(),
                                     [](const Structure& s) { return !s.footings.empty(); });
  if (in_ground) {
    lines.emplace_back(
        "Before you dig: ask the network operators where cables, gas, water and drains lie (in the USA call 811 some "
        "days before) and look for yourself; dig by hand near them. Power auger: two people, stop at a root or rock. "
        "Cover open holes overnight.");
    lines.emplace_back(
        "Cement and postmix burn skin and eyes, at first without pain: waterproof gloves, goggles, boots, dust mask "
        "when dry; do not kneel in it; rinse splashes at once for 15 minutes, and see a doctor about eyes.");
    lines.emplace_back(
        "Posts: brace them plumb both ways before the concrete goes in, put no load on them until it has set, and "
        "keep the braces on until the frame is fixed.");
  }
  lines.emplace_back("No swings, no climbing: nothing here is designed for them.");
  say_yearly(plan, lines);
  return lines;
}

}  // namespace garthwright
