// SPDX-License-Identifier: Apache-2.0
#include "buying/thrift.h"

#include <fmt/format.h>
#include <gmock/gmock.h>

#include <cmath>
#include <random>

namespace garthwright::buying {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using timber::Section;
using timber::Yard;

Section section(const std::string& name, std::vector<std::pair<double, std::int64_t>> lengths) {
  Section out;
  out.name = name;
  out.width_mm = 95;
  out.thickness_mm = 95;
  for (const auto& [length, price] : lengths) out.lengths.push_back({length, {price}, {}});
  return out;
}

Yard yard_of(std::vector<Section> sections) {
  Yard yard;
  yard.title = "The Lane";
  yard.currency = {"EUR", 2};
  yard.sections = std::move(sections);
  return yard;
}

void put(Structure& structure, int section, const std::string& name, const Traced& length, int quantity = 1) {
  for (int i = 0; i < quantity; ++i) {
    Piece piece;
    piece.name = name;
    piece.mark = name;
    piece.section = {section};
    piece.length = length;
    piece.width = 95;
    piece.thickness = 95;
    structure.pieces.push_back(piece);
  }
}

Traced choice(const std::string& name, double value) { return Traced::named(name, value, "choice"); }

const Saw kSaw{3, 10, 0};

// Four posts out of 4.8 m at 20.00 or 2.4 m at 12.00: two come out of 4.8 m up to (4790 − 3) / 2 = 2393.5 mm, which is
// dearer by nothing than two of 2.4 m up to 2390.
TEST(Thrift, TellsHowMuchShorterThePostsMustBe) {
  const Yard yard = yard_of({section("4x4", {{3000, 1700}, {4800, 2000}})});
  const Builder build = [&](double height) -> Result<std::vector<Structure>> {
    Structure structure;
    structure.sections = yard.sections;
    put(structure, 0, "post", choice("height", height) + 600, 4);
    return std::vector<Structure>{structure};
  };
  const auto found = thrift({"height", 1000, 2500, 1, 1880}, build, yard, kSaw);
  ASSERT_TRUE(found);
  EXPECT_TRUE(found->proven());
  // By hand: 1 of 4.8 m holds three of (4790 − 6) / 3 = 1594.67, two of 2393.5, one of 4790; of 3 m one of 2990.
  EXPECT_THAT(found->steps, ElementsAre(CostStep{1000, 1793, {4000}, {4000}, {}},    // 2 × 4.8 m
                                        CostStep{1794, 2390, {6800}, {6800}, {}},    // 4 × 3 m
                                        CostStep{2391, 2500, {8000}, {8000}, {}}));  // 4 × 4.8 m
  EXPECT_EQ(found->now.minor, 6800);
  ASSERT_EQ(found->cheaper.size(), 1u);
  EXPECT_EQ(found->cheaper[0].value, 1793);
  EXPECT_EQ(found->cheaper[0].saved.minor, 2800);
  EXPECT_THAT(found->cheaper[0].pieces, ElementsAre("post 87 mm shorter"));
  EXPECT_THAT(found->cheaper[0].lines, ElementsAre("four 4x4 of 3000 mm fewer", "two 4x4 of 4800 mm more"));
}

TEST(Thrift, SaysWhereThePatternRefusesAndWhereNothingIsLongEnough) {
  const Yard yard = yard_of({section("4x4", {{3000, 1700}})});
  const Builder build = [&](double height) -> Result<std::vector<Structure>> {
    if (height < 1500) return fail("too-low", fmt::format("{} mm is too low to walk through", height));
    Structure structure;
    structure.sections = yard.sections;
    put(structure, 0, "post", choice("height", height));
    return std::vector<Structure>{structure};
  };
  const auto found = thrift({"height", 1000, 3500, 1, 2000}, build, yard, kSaw);
  ASSERT_TRUE(found);
  ASSERT_EQ(found->steps.size(), 3u);
  EXPECT_THAT(found->steps[0].refusal, HasSubstr("too low"));
  EXPECT_EQ(found->steps[0].to, 1499);
  EXPECT_EQ(found->steps[1], (CostStep{1500, 2990, {1700}, {1700}, {}}));
  EXPECT_THAT(found->steps[2].refusal, HasSubstr("no length"));
  EXPECT_THAT(found->cheaper, IsEmpty());
}

TEST(Thrift, FailsWithThePatternsWordsWhenTheJobCannotStandNow) {
  const Yard yard = yard_of({section("4x4", {{3000, 1700}})});
  const Builder build = [&](double) -> Result<std::vector<Structure>> { return fail("no", "it does not stand"); };
  const auto found = thrift({"height", 1000, 3500, 1, 2000}, build, yard, kSaw);
  ASSERT_FALSE(found);
  EXPECT_EQ(found.error().front().what, "it does not stand");
}

// ---- against buying at every value ----------------------------------------------------------------------------------

/// A made-up pattern: pieces that grow, shrink, grow by a step that is no sum, come in numbers that change, and a hole.
struct RandomPattern {
  double grows = 1, constant = 700, shrinks = 0.5, leg = 0, per_piece = 400, hole = 0;
  int growing = 3, shrinking = 2, braces = 4;
  double refuses_below = 0;

  Result<std::vector<Structure>> operator()(const Yard& yard, double value) const {
    if (value < refuses_below) return fail("too-small", fmt::format("{} mm is too small", value));
    const Traced size = choice("size", value);
    Structure structure;
    structure.sections = yard.sections;
    put(structure, 0, "post", grows * size + constant, growing);
    put(structure, 0, "fill", 3000 - shrinks * size, shrinking);
    put(structure, 1, "brace", Traced::step("long edge", value * leg * std::sqrt(2.0), "× √2", {size}), braces);
    put(structure, 1, "batten", 900, 1 + static_cast<int>(value / per_piece));
    if (hole > 0) {
      structure.footings.push_back({PieceId{0}, {}, 200 + hole * value, 600, 100, "postmix"});
      structure.pieces[0].frame.origin.z = -500;
    }
    return std::vector<Structure>{structure};
  }
};

TEST(Thrift, FindsEveryStepThatBuyingAtEveryValueShows) {
  std::mt19937 random(7);
  const auto between = [&](double low, double high) { return std::uniform_real_distribution(low, high)(random); };
  const auto whole = [&](int low, int high) { return std::uniform_int_distribution(low, high)(random); };
  for (int round = 0; round < 40; ++round) {
    Yard yard =
        yard_of({section("4x4", {{2400, whole(900, 1300)}, {3600, whole(1300, 1900)}, {4800, whole(1800, 2500)}}),
                 section("2x2", {{1800, whole(300, 500)}, {3000, whole(500, 900)}})});
    yard.ground = {{"postmix", "postmix", 20, 9.4, {845}}, {"gravel", "gravel", 20, 11, {495}}};
    RandomPattern pattern;
    pattern.grows = whole(0, 3);
    pattern.constant = whole(300, 900);
    pattern.shrinks = between(0, 1.2);
    pattern.leg = between(0, 1);
    pattern.per_piece = whole(150, 900);
    pattern.hole = whole(0, 1) * between(0, 0.4);
    pattern.growing = whole(1, 5);
    pattern.shrinking = whole(0, 3);
    pattern.braces = whole(0, 4);
    pattern.refuses_below = whole(0, 1) * 520;
    const Builder build = [&](double value) { return pattern(yard, value); };
    const auto found = thrift({"size", 400, 1100, 1, 700}, build, yard, kSaw);
    ASSERT_TRUE(found);
    std::size_t step = 0;
    for (double value = 400; value <= 1100; ++value) {
      if (value > found->steps.at(step).to) ++step;
      const CostStep& told = found->steps.at(step);
      ASSERT_LE(told.from, value);
      ASSERT_GE(told.to, value);
      const auto structures = build(value);
      if (!structures) {
        EXPECT_FALSE(told.buildable()) << "round " << round << " value " << value;
        continue;
      }
      const Report report = buy(*structures, yard, kSaw);
      if (has_error(report.diagnostics)) {
        EXPECT_FALSE(told.buildable()) << "round " << round << " value " << value;
        continue;
      }
      ASSERT_TRUE(told.buildable()) << "round " << round << " value " << value;
      ASSERT_TRUE(told.proven());
      ASSERT_EQ(told.cost.minor, report.total.minor) << "round " << round << " value " << value;
    }
    EXPECT_EQ(step + 1, found->steps.size());
    EXPECT_LT(found->builds, 701);
  }
}

}  // namespace
}  // namespace garthwright::buying
