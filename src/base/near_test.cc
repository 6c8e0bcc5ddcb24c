// SPDX-License-Identifier: Apache-2.0
#include "base/near.h"

#include <gmock/gmock.h>

namespace garthwright {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

const std::vector<std::string> kChoices{"opening", "panel", "panel_width", "height", "rafters", "rafter", "rafter_end"};

TEST(NearNames, PutsTheNearestFirst) {
  EXPECT_THAT(near_names("raftrs", kChoices), ElementsAre("rafters", "rafter"));
  EXPECT_THAT(near_names("rafter", kChoices), ElementsAre("rafter", "rafters"));
  EXPECT_THAT(near_names("Opening", kChoices), ElementsAre("opening"));
  EXPECT_THAT(near_names("raftr", kChoices, 1), ElementsAre("rafter"));
}

TEST(NearNames, CountsASwapOfNeighboursAsOneSlip) {
  EXPECT_THAT(near_names("ab", std::vector<std::string>{"ba"}), ElementsAre("ba"));
  EXPECT_THAT(near_names("hieght", kChoices), ElementsAre("height"));
}

TEST(NearNames, LeavesOutWhatIsFarther) {
  EXPECT_THAT(near_names("ab", std::vector<std::string>{"cd"}), IsEmpty());
  EXPECT_THAT(near_names("colour", kChoices), IsEmpty());
  EXPECT_THAT(near_names("", kChoices), IsEmpty());
  EXPECT_THAT(near_names(std::string(100'000, 'r'), kChoices), IsEmpty());
}

TEST(Suggest, AsksOrTells) {
  EXPECT_EQ(suggest("openning", kChoices), "did you mean opening?");
  EXPECT_EQ(suggest("raftrs", kChoices), "did you mean rafters or rafter?");
  EXPECT_EQ(suggest("colour", std::vector<std::string>{"opening", "panel"}), "known are opening, panel");
  EXPECT_EQ(suggest("colour", std::vector<std::string>{"opening"}), "known is opening");
  EXPECT_EQ(suggest("colour", {}), "");
}

}  // namespace
}  // namespace garthwright
