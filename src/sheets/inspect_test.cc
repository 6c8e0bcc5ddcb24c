// SPDX-License-Identifier: Apache-2.0
//
// The inspector has to find what is wrong, or its silence on the real sheets would mean nothing.
#include "sheets/inspect.h"

#include <gtest/gtest.h>

#include "sheets/pen.h"

namespace garthwright::sheets {
namespace {

Sheet page() { return {"", "page", "", 100, 100, {}}; }

TEST(Inspect, FindsLetteringOnLettering) {
  Sheet sheet = page();
  write(sheet.items, "first", {20, 50}, 4);
  write(sheet.items, "second", {20, 54}, 4);
  EXPECT_EQ(faults(sheet).size(), 0u);
  write(sheet.items, "third", {22, 51}, 4);
  EXPECT_EQ(faults(sheet).size(), 2u) << "it meets both";
}

TEST(Inspect, LooksInsideGroups) {
  Sheet sheet = page();
  Group group{"g", {}};
  write(group.items, "hidden", {20, 50}, 4);
  sheet.items.push_back({Group{"outer", {Item{group}}}});
  write(sheet.items, "over it", {20, 50}, 4);
  EXPECT_EQ(faults(sheet).size(), 1u);
}

TEST(Inspect, FindsWhatLeavesThePage) {
  Sheet sheet = page();
  write(sheet.items, "too far to the right", {70, 50}, 4);
  line(sheet.items, {50, 50}, {50, 99});
  EXPECT_EQ(faults(sheet).size(), 2u);
  EXPECT_EQ(faults(sheet, 0.2, 0.5).size(), 1u) << "the line is on the page, only in its margin";
}

TEST(Inspect, FindsLetteringThatALineRunsThrough) {
  Sheet sheet = page();
  write(sheet.items, "word", {20, 50}, 4);
  line(sheet.items, {10, 51}, {90, 51});
  EXPECT_TRUE(crossed_text(sheet).empty()) << "an underline is none";
  line(sheet.items, {10, 40}, {50, 60});
  EXPECT_EQ(crossed_text(sheet).size(), 1u);
}

// Hatching round a word leaves it white.
TEST(Inspect, HatchingGivesWayToLettering) {
  Sheet sheet = page();
  const Rect ink = write(sheet.items, "word", {50, 50}, 4, Lettering::plain, 0);
  hatch(sheet.items, {corners({10, 10, 90, 90}), corners(ink.grown(0.5))});
  EXPECT_TRUE(crossed_text(sheet).empty());
  hatch(sheet.items, {corners({10, 10, 90, 90})});
  EXPECT_EQ(crossed_text(sheet).size(), 1u);
}

}  // namespace
}  // namespace garthwright::sheets
