// SPDX-License-Identifier: Apache-2.0
#include "base/plain_text.h"

#include <gtest/gtest.h>

namespace garthwright {
namespace {

TEST(PlainText, KnowsWhatCommandsATerminalOrTurnsText) {
  for (const char* good : {"", "wisteria", "Rosé 4×4 – 3/8″", "中文", "a\u00A0b"})
    EXPECT_TRUE(is_plain_text(good)) << good;
  for (const char* bad : {"\x1b[31m", "a\nb", "\t", "\x7f", "\xC2\x9B", "\u202E", "\u2066", "\u200F", "\u061C",
                          "\u2028", "\xff", "\xC3", "\xED\xA0\x80"})
    EXPECT_FALSE(is_plain_text(bad)) << for_terminal(bad);
}

TEST(PlainText, ForATerminalShowsNumbersAndKeepsLines) {
  EXPECT_EQ(for_terminal("a\n\tb\x1b[31m\x7f\u202E\xff"), "a\n\tb\\x1B[31m\\x7F\\xE2\\x80\\xAE\\xFF");
}

}  // namespace
}  // namespace garthwright
