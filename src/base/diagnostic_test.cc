// SPDX-License-Identifier: Apache-2.0
#include "base/diagnostic.h"

#include <gtest/gtest.h>

namespace garthwright {
namespace {

TEST(Diagnostic, ReadsAsWhereWhatCure) {
  const Diagnostic diagnostic{Severity::error, "out-of-range", "opening is 90 mm", "give 600 mm to 4000 mm",
                              Place{"garden.toml", 14, 3, ""}};
  EXPECT_EQ(to_string(diagnostic), "garden.toml:14:3: error: opening is 90 mm; give 600 mm to 4000 mm [out-of-range]");
}

TEST(Diagnostic, NamesThePieceWhenThereIsNoFile) {
  const Diagnostic diagnostic{Severity::warning, "", "end grain is open", "", Place{"", 0, 0, "A3"}};
  EXPECT_EQ(to_string(diagnostic), "A3: warning: end grain is open");
}

TEST(Diagnostic, OnlyErrorsStopAPlan) {
  EXPECT_FALSE(has_error({{Severity::warning, "", "", "", {}}, {Severity::note, "", "", "", {}}}));
  EXPECT_TRUE(has_error({{Severity::note, "", "", "", {}}, {Severity::error, "", "", "", {}}}));
}

}  // namespace
}  // namespace garthwright
