// SPDX-License-Identifier: Apache-2.0
#include "base/kept.h"

#include <gtest/gtest.h>

namespace garthwright {
namespace {

// What was made of a text is found by its name and all of its bytes; the oldest goes when there are too many.
TEST(Kept, IsFoundByNameAndText) {
  Kept<int> kept(2);
  EXPECT_EQ(kept.find("yard.toml", "a = 1"), nullptr);
  kept.keep("yard.toml", "a = 1", 1);
  ASSERT_NE(kept.find("yard.toml", "a = 1"), nullptr);
  EXPECT_EQ(*kept.find("yard.toml", "a = 1"), 1);
  EXPECT_EQ(kept.find("yard.toml", "a = 2"), nullptr);
  EXPECT_EQ(kept.find("other.toml", "a = 1"), nullptr);

  const auto held = kept.find("yard.toml", "a = 1");
  kept.keep("yard.toml", "a = 2", 2);
  kept.keep("yard.toml", "a = 3", 3);
  EXPECT_EQ(kept.find("yard.toml", "a = 1"), nullptr);
  EXPECT_EQ(*kept.find("yard.toml", "a = 2"), 2);
  EXPECT_EQ(*held, 1);  // whoever has it keeps it
}

}  // namespace
}  // namespace garthwright
