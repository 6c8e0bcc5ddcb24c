// SPDX-License-Identifier: Apache-2.0
//
// What can hurt, and what the plan does not answer for: the plan's own cautions, in type that is read before work.
#include <algorithm>

#include "sheets/flow.h"
#include "sheets/kinds.h"

namespace garthwright::sheets {

namespace {

constexpr double kSize = 3.3, kIndent = 6, kBetween = 1.6;

void bullet(Flow& flow, const std::string& words, double size) {
  const double width = flow.area().width() - kIndent;
  flow.ensure(block_height(words, width, size) + 0.5);
  const double middle = flow.y() + kCapHeight * size / 2;
  fill(flow.items(), corners({flow.area().left + 1, middle - 0.8, flow.area().left + 2.6, middle + 0.8}), 1);
  flow.down(write_block(flow.items(), words, {flow.area().left + kIndent, flow.y()}, width, size) - flow.y() +
            kBetween);
}

}  // namespace

void draw_cautions(std::vector<Sheet>& sheets, const Brief& brief) {
  const std::vector<std::string>& cautions = brief.plan.cautions;
  Flow flow(sheets, brief, "cautions", "Cautions", Turned::portrait, 50);
  flow.paragraph("Read these before you begin. They are in the order of the work.", kBody);
  flow.down(3);
  for (const std::string& words : cautions) bullet(flow, words, kSize);
}

}  // namespace garthwright::sheets
