// SPDX-License-Identifier: Apache-2.0
#include "base/length.h"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <random>
#include <tuple>

#include "base/quoted.h"

namespace garthwright {
namespace {

double read(std::string_view text) {
  const auto mm = parse_length(text);
  EXPECT_TRUE(mm) << text;
  return mm.value_or(std::nan(""));
}

std::string refusal(std::string_view text) {
  const auto mm = parse_length(text);
  return mm ? "read as " + std::to_string(*mm) : to_string(mm.error().front());
}

LengthStyle feet_inches(int fraction) { return {Units::feet_inches, fraction, true}; }

TEST(ParseLength, ReadsMetricWays) {
  EXPECT_EQ(read("1150"), 1150);
  EXPECT_EQ(read(" 1150 mm "), 1150);
  EXPECT_EQ(read("115 cm"), 1150);
  EXPECT_EQ(read("1.15 m"), 1150);
  EXPECT_EQ(read("1,15m"), 1150);
  EXPECT_EQ(read("1,150 m"), 1150);  // nobody means a kilometre
  EXPECT_EQ(read("12,5"), 12.5);
  EXPECT_EQ(read("-12 mm"), -12);
  EXPECT_EQ(read("−12\u00A0MM"), -12);
  EXPECT_EQ(read(".5 m"), 500);
}

TEST(ParseLength, ReadsImperialWays) {
  EXPECT_EQ(read("45 1/4 in"), 45.25 * 25.4);
  EXPECT_EQ(read("45 1/4\""), 45.25 * 25.4);
  EXPECT_EQ(read("45-1/4 inches"), 45.25 * 25.4);
  EXPECT_EQ(read("2ft"), 609.6);
  EXPECT_EQ(read("2'"), 609.6);
  EXPECT_EQ(read("7' 6 1/2\""), 90.5 * 25.4);
  EXPECT_EQ(read("7'6-1/2\""), 90.5 * 25.4);
  EXPECT_EQ(read("7'-6 1/2\""), 90.5 * 25.4);
  EXPECT_EQ(read("7 ft 6-1/2 in"), 90.5 * 25.4);
  EXPECT_EQ(read("7 ft 6"), 90 * 25.4);
  EXPECT_EQ(read("3' 9.25\""), 45.25 * 25.4);
  EXPECT_EQ(read("7′ 6½″"), 90.5 * 25.4);
  EXPECT_EQ(read("7’ ½”"), 2146.3);
  EXPECT_EQ(read("3/8 in"), 9.525);
  EXPECT_EQ(read("6''"), 152.4);
  EXPECT_EQ(read("-3' 6\""), -42 * 25.4);
  EXPECT_EQ(read("2 1/2 ft"), 762);
}

TEST(ParseLength, SaysWhatIsWrongAndWhatWouldBeRight) {
  EXPECT_EQ(refusal("long"), "error: 'long' is not a length; write it like 1150, 1.15 m or 3 ft 9 1/4 in [bad-length]");
  EXPECT_EQ(refusal(""), "error: '' is not a length; write it like 1150, 1.15 m or 3 ft 9 1/4 in [bad-length]");
  EXPECT_EQ(refusal("45 1/4"),
            "error: '45 1/4' is not a length: a fraction needs its unit; write it like 1150, 1.15 m or 3 ft 9 1/4 in "
            "[bad-length]");
  EXPECT_EQ(refusal("1,150"),
            "error: '1,150' is not a length: the comma may part thousands or decimals; write it like 1150, 1.15 m or "
            "3 ft 9 1/4 in [bad-length]");
  EXPECT_EQ(refusal("1/0 in"),
            "error: '1/0 in' is not a length: a fraction has 0 below its line; write it like 1150, 1.15 m or 3 ft 9 "
            "1/4 in [bad-length]");
  EXPECT_EQ(refusal("1000001"), "error: '1000001' is more than 1 km; lengths go up to 1000 m [bad-length]");
  for (const char* text : {"1150 kg", "12 mm 4", "nan", "inf", "1e3", "1.2.3", "--5", "7' 6 mm", "5 m 3", "1/2 mm",
                           "3 /", "'", "\"", "mm", "0x10", "1 150", "99999999999999999999999999999999999999999999"})
    EXPECT_FALSE(parse_length(text)) << text;
}

TEST(ParseLength, NeverCrashesOnAnyBytes) {
  std::mt19937_64 random(7);
  const std::string_view likely = "0123456789 .,'\"/-+mcftinx½″′×\xC2\xFF";
  for (int round = 0; round < 200'000; ++round) {
    std::string text(random() % 14, ' ');
    for (char& c : text) c = random() % 4 ? likely[random() % likely.size()] : static_cast<char>(random() % 256);
    const auto mm = parse_length(text);
    if (mm) {
      ASSERT_LE(std::abs(*mm), 1e6) << quoted(text);
    } else {
      ASSERT_EQ(mm.error().front().code, "bad-length");
    }
    (void)parse_section_size(text);
  }
}

TEST(ParseSectionSize, GivesBothInTheOrderWritten) {
  using Size = std::pair<double, double>;
  EXPECT_EQ(parse_section_size("45 x 95").value(), Size(45, 95));
  EXPECT_EQ(parse_section_size("95×45 mm").value(), Size(95, 45));
  EXPECT_EQ(parse_section_size("4.5 x 9.5 cm").value(), Size(45, 95));
  EXPECT_EQ(parse_section_size("1 1/2\" x 3 1/2\"").value(), Size(38.1, 88.9));
  EXPECT_EQ(parse_section_size("1 1/2 x 3 1/2 in").value(), Size(38.1, 88.9));
  EXPECT_EQ(parse_section_size("1½X3½\"").value(), Size(38.1, 88.9));
  for (const char* text : {"", "45", "45 x", "x 45", "45 x 95 x 3", "a x b", "45 by 95"})
    EXPECT_EQ(parse_section_size(text).error().front().code, "bad-length") << text;
}

TEST(FormatLength, RoundsHonestly) {
  EXPECT_EQ(format_length(1240), "1240 mm");
  EXPECT_EQ(format_length(1240.46), "1240.5 mm");
  EXPECT_EQ(format_length(-0.04), "0 mm");
  EXPECT_EQ(format_length(-1240.5), "-1240.5 mm");
  EXPECT_EQ(format_length(1240.5, {Units::mm, 16, false}), "1240.5");
  EXPECT_EQ(format_length(90.5 * 25.4, feet_inches(16)), "7' 6 1/2\"");
  EXPECT_EQ(format_length(9.525, feet_inches(16)), "3/8\"");
  EXPECT_EQ(format_length(0, feet_inches(16)), "0\"");
  EXPECT_EQ(format_length(-9.525, feet_inches(8)), "-3/8\"");
  EXPECT_EQ(format_length(0.79375, feet_inches(16)), "1/16\"");  // 1/32 in: half a step, away from zero
  EXPECT_EQ(format_length(0.79375, feet_inches(32)), "1/32\"");
  EXPECT_EQ(format_length(304.7, feet_inches(16)), "1' 0\"");  // carries instead of 11 16/16"
  EXPECT_EQ(format_length(84.5 * 25.4, feet_inches(2)), "7' 0 1/2\"");
  EXPECT_EQ(format_length(INFINITY), "no length");
  EXPECT_EQ(format_length(NAN, feet_inches(16)), "no length");
}

class EveryStyle : public testing::TestWithParam<LengthStyle> {};

/// What is printed is a length again, it is the value the style says it prints, and no other value of the style lies
/// nearer to the true one.
TEST_P(EveryStyle, PrintedLengthsReadBackAsPrinted) {
  const LengthStyle style = GetParam();
  const double step = style.units == Units::mm ? 0.1 : kMillimetresPerInch / style.fraction;
  std::mt19937_64 random(1150);
  std::uniform_real_distribution<double> lengths(-9000, 9000);
  for (int i = 0; i < 50'000; ++i) {
    double mm = lengths(random);
    if (i % 3 == 0) mm = std::round(mm);
    if (i % 7 == 0) mm = std::round(mm / 25.4 * 64) / 64 * 25.4;
    const std::string printed = format_length(mm, style);
    ASSERT_EQ(read(printed), printed_value(mm, style)) << printed;
    ASSERT_LE(std::abs(printed_value(mm, style) - mm), step / 2 + 1e-9) << printed;
    ASSERT_EQ(format_length(read(printed), style), printed);
  }
}

INSTANTIATE_TEST_SUITE_P(Styles, EveryStyle,
                         testing::Values(LengthStyle{}, LengthStyle{Units::mm, 16, false}, feet_inches(2),
                                         feet_inches(4), feet_inches(8), feet_inches(16), feet_inches(32),
                                         feet_inches(64)));

/// Outside reference: GNU units (Debian package `units`, which ./dev installs), reading the same lengths in its words.
double gnu_units_mm(const std::string& expression) {
  const std::string command = "units --terse --output-format %.15g -- '" + expression + "' mm 2>&1";
  FILE* pipe = popen(command.c_str(), "r");
  if (pipe == nullptr) return NAN;
  char answer[128] = {};
  const char* got = fgets(answer, sizeof answer, pipe);
  return pclose(pipe) == 0 && got != nullptr ? std::strtod(answer, nullptr) : NAN;
}

TEST(ParseLength, AgreesWithGnuUnits) {
  ASSERT_EQ(gnu_units_mm("1 m"), 1000) << "GNU units is needed for this check: apt-get install units";
  const std::tuple<const char*, const char*> cases[] = {
      {"1 in", "1 inch"},       {"7' 6 1/2\"", "7 foot + 6 inch + 1|2 inch"},
      {"2ft", "2 feet"},        {"3 ft 9 1/4 in", "3 feet + 9.25 inch"},
      {"1.15 m", "1.15 m"},     {"115 cm", "115 cm"},
      {"1/64 in", "1|64 inch"}, {"92 5/8\"", "92 inch + 5|8 inch"},
      {"20 ft", "20 ft"},       {"0.3 m", "3 dm"},
      {"5/16 in", "5|16 inch"}, {"-3' 6\"", "-3.5 ft"},
  };
  for (const auto& [ours, theirs] : cases) EXPECT_DOUBLE_EQ(read(ours), gnu_units_mm(theirs)) << ours;
}

TEST(Quoted, ShowsAnyBytesAsOneSafeLine) {
  EXPECT_EQ(quoted("4x2"), "'4x2'");
  EXPECT_EQ(quoted("½ in"), "'½ in'");
  EXPECT_EQ(quoted("a\nb\x1B"), "'a\\x0Ab\\x1B'");
  EXPECT_EQ(quoted("\xFF\xC0\xAF"), "'\\xFF\\xC0\\xAF'");
  EXPECT_EQ(quoted("\xC2\x9B"), "'\\xC2\\x9B'");
  EXPECT_EQ(quoted("abcdef", 3), "'abc…'");
}

TEST(ParseLength, FeetAndInchesAsPeopleWriteThem) {
  for (const char* text : {"4'-6\"", "4ft 6", "4' 6", "4.5'", "4 ft. 6 in.", "4'-06\"", "4’–6”"})
    EXPECT_EQ(parse_length(text).value_or(0), 54 * 25.4) << text;
  for (const char* text : {"1'150", "4' 12\""}) {
    const auto read = parse_length(text);
    ASSERT_FALSE(read) << text;
    EXPECT_NE(read.error().front().what.find("inches behind feet stay below 12"), std::string::npos) << text;
  }
  EXPECT_FALSE(parse_length("4'-"));  // the inches were forgotten
}

}  // namespace
}  // namespace garthwright
