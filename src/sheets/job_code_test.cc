// SPDX-License-Identifier: Apache-2.0
#include "sheets/job_code.h"

#include <gtest/gtest.h>
#include <zlib.h>

#include "sheets/joint_kinds.h"

namespace garthwright::sheets {
namespace {

std::string from_base64url(const std::string& text) {
  const std::string letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
  std::string out;
  unsigned held = 0;
  int bits = 0;
  for (const char letter : text) {
    held = (held << 6) | static_cast<unsigned>(letters.find(letter));
    if ((bits += 6) < 8) continue;
    bits -= 8;
    out += static_cast<char>((held >> bits) & 255);
  }
  return out;
}

std::string inflated(const std::string& bytes) {
  z_stream stream{};
  EXPECT_EQ(inflateInit2(&stream, -MAX_WBITS), Z_OK);
  std::string out(100'000, '\0');
  stream.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(bytes.data()));
  stream.avail_in = static_cast<uInt>(bytes.size());
  stream.next_out = reinterpret_cast<Bytef*>(out.data());
  stream.avail_out = static_cast<uInt>(out.size());
  EXPECT_EQ(inflate(&stream, Z_FINISH), Z_STREAM_END);
  out.resize(stream.total_out);
  inflateEnd(&stream);
  return out;
}

// zlib's own inflate is the reader; the page's is held to the same bytes by its tests.
TEST(JobCode, HoldsTheJobWithoutItsComments) {
  const std::string address = job_address("# ours\nformat = 1\n\ntitle = \"Orchard # 1\"\n  # more\nunits = \"mm\"");
  const std::string start = "http://localhost:8080/#j=";
  ASSERT_EQ(address.substr(0, start.size()), start);
  EXPECT_EQ(inflated(from_base64url(address.substr(start.size()))),
            "format = 1\ntitle = \"Orchard # 1\"\nunits = \"mm\"");
  EXPECT_EQ(job_address(""), "");
}

// What is too much for a code that can be read from paper is left out.
TEST(JobCode, IsNoLargerThanCanBeRead) {
  EXPECT_EQ(code_side(""), 0);
  EXPECT_GT(code_side(std::string(600, 'x')), 30);
  EXPECT_EQ(code_side(std::string(2500, 'x')), 0);
  EXPECT_EQ(code_side(std::string(100'000, 'x')), 0);
}

TEST(JointKinds, AreCountedInRomanFigures) {
  EXPECT_EQ(roman(4), "IV");
  EXPECT_EQ(roman(1994), "MCMXCIV");
}

}  // namespace
}  // namespace garthwright::sheets
