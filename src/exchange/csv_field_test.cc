// SPDX-License-Identifier: Apache-2.0
#include "exchange/csv_field.h"

#include <gtest/gtest.h>

namespace garthwright::exchange {
namespace {

TEST(CsvField, QuotesOnlyWhatRfc4180Quotes) {
  EXPECT_EQ(csv_field("front beam"), "front beam");
  EXPECT_EQ(csv_field("1,5"), "\"1,5\"");
  EXPECT_EQ(csv_field("7' 6 1/2\""), "\"7' 6 1/2\"\"\"");
  EXPECT_EQ(csv_field("two\nlines"), "\"two\nlines\"");
  EXPECT_EQ(csv_field(""), "");
}

}  // namespace
}  // namespace garthwright::exchange
