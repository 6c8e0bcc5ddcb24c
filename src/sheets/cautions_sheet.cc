// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>

#include "sheets/flow.h"
#include "sheets/kinds.h"

namespace garthwright::sheets {

namespace {

struct Topic {
  std::string name;
  std::vector<std::string> lines;
};

bool any_treated(const Plan& plan) {
  for (const Structure& s : plan.structures) {
    for (const timber::Section& section : s.sections) {
      if (!section.treatment.empty()) return true;
    }
  }
  return false;
}

bool any_holes(const Plan& plan) {
  return std::any_of(plan.structures.begin(), plan.structures.end(),
                     [](const Structure& s) { return !s.footings.empty(); });
}

// Guide figures for lifting close in, between knuckle and elbow: 25 kg for a man, 16 kg for a woman (HSE, INDG143); a
// team of two lifts about two thirds of the sum of both.
Topic lifting(const Plan& plan) {
  Topic topic{"Lifting", {}};
  const PieceRow* heaviest = nullptr;
  for (const PieceRow& row : plan.pieces) {
    if (heaviest == nullptr || row.mass_kg > heaviest->mass_kg) heaviest = &row;
  }
  if (heaviest != nullptr && heaviest->mass_kg > 0) {
    topic.lines.push_back(fmt::format("The heaviest timber is {} ({}): {:.0f} kg as it comes wet from the yard.",
                                      heaviest->mark, heaviest->name, heaviest->mass_kg));
  }
  for (std::size_t i = 0; i < plan.wholes.size() && i < plan.structures.size(); ++i) {
    topic.lines.push_back(fmt::format("{}: {:.0f} kg of timber and {:.0f} kg of panels in all. Never lift it whole.",
                                      plan.structures[i].name, plan.wholes[i].timber_kg, plan.wholes[i].panels_kg));
  }
  topic.lines.push_back(
      "Guide limits close to the body at waist height: 25 kg for a man, 16 kg for a woman; at arm's "
      "length or above the shoulder well under half. Two people together: two thirds of their sum.");
  topic.lines.push_back(
      "Set a beam down on temporary rests screwed to the posts, fix it, then let go. No home-made hoists. "
      "Two step-up platforms with a plank, not two ladders.");
  return topic;
}

std::vector<Topic> topics(const Plan& plan) {
  std::vector<Topic> all;
  if (any_treated(plan)) {
    all.push_back({"Cutting treated timber",
                   {"Dust mask (FFP2, P2 or N95), goggles and gloves; cut out of doors; wash before you eat.",
                    "Collect dust and off-cuts and bin them as your council directs. Never burn them, mulch them, bed "
                    "animals on them or use them near food.",
                    "Brush end-grain preservative on every cross cut, notch and hole. Gloves and goggles; keep it off "
                    "water and plants until dry."}});
  }
  all.push_back({"Saws",
                 {"Unplug before you touch a blade. Clamp the piece; support it so that the off-cut falls clear and "
                  "cannot pinch the blade.",
                  "Set the blade about 6 mm (1/4 in) below the stock. Ear defenders. Nothing loose near a blade."}});
  all.push_back(lifting(plan));
  if (any_holes(plan)) {
    all.push_back({"Digging",
                   {"Before the first hole find out where cables, gas, water and drains run: ask the network operators "
                    "(in the USA call 811 some days before) and look for yourself. Dig by hand where in doubt.",
                    "Power auger: two people, stop at a root or rock. Cover open holes when you leave them."}});
    all.push_back(
        {"Cement, concrete and postmix",
         {"Wet cement burns skin without hurting at first. Waterproof gloves, goggles, boots; do not kneel in it; "
          "a mask when pouring it dry.",
          "On skin or in the eyes: rinse at once with clean water, eyes for at least 15 minutes, and see a "
          "doctor."}});
  }
  all.push_back(
      {"Standing up",
       {"Brace every post both ways before you let go of it, and keep the braces on until the frame is fixed and "
        "any concrete has set."}});
  all.push_back(
      {"What this plan is, and is not",
       {"Every result here is indicative. It does not replace a design by a licensed engineer where one is "
        "needed, nor the rules of the place you build in.",
        "Local codes, permits and licensed practice go first: ask about height, boundaries, frost depth, wind "
        "and snow, and about anything fixed to a house.",
        "Check sizes on the timber in front of you before you cut it."}});
  return all;
}

void bullet(Flow& flow, const std::string& words) {
  constexpr double kIndent = 4;
  const double width = flow.area().width() - kIndent;
  flow.ensure(block_height(words, width, kBody) + 0.5);
  const double middle = flow.y() + kCapHeight * kBody / 2;
  fill(flow.items(), corners({flow.area().left + 0.8, middle - 0.5, flow.area().left + 1.8, middle + 0.5}), 1);
  flow.down(write_block(flow.items(), words, {flow.area().left + kIndent, flow.y()}, width) - flow.y() + 0.8);
}

}  // namespace

void draw_cautions(std::vector<Sheet>& sheets, const Brief& brief) {
  Flow flow(sheets, brief, "cautions", "Cautions", Turned::portrait);
  if (!brief.plan.cautions.empty()) {
    flow.heading("For this job");
    for (const std::string& words : brief.plan.cautions) bullet(flow, words);
    flow.down(2);
  }
  for (const Topic& topic : topics(brief.plan)) {
    flow.heading(topic.name, 12);
    for (const std::string& words : topic.lines) bullet(flow, words);
    flow.down(1);
  }
}

}  // namespace garthwright::sheets
