// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <gmock/gmock.h>

#include <limits>
#include <map>
#include <random>

#include "buying/buying.h"
#include "buying/small_yards_for_tests.h"

namespace garthwright::buying {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;
using timber::Section;
using timber::Yard;

void put(Structure& structure, int section, Role role, const std::string& mark, double length, int quantity = 1) {
  for (int i = 0; i < quantity; ++i) {
    Piece piece;
    piece.name = piece.mark = mark;
    piece.role = role;
    piece.section = SectionId{section};
    piece.length = length;
    piece.carries = role != Role::batten;
    structure.pieces.push_back(piece);
  }
}

std::string shown(const Layout& layout) {
  std::string text = fmt::format("{} × {} {:g}:", layout.count, layout.section, layout.length_mm);
  for (const CutPiece& piece : layout.pieces) {
    text += fmt::format(" {} at {:g}", piece.mark, piece.at_mm);
    if (piece.across_mm > 0) text += fmt::format("/{:g}", piece.across_mm);
    if (piece.part > 0) text += fmt::format(" part {}", piece.part);
  }
  return text;
}
std::vector<std::string> shown(const Report& report) {
  std::vector<std::string> lines;
  for (const Layout& layout : report.cutting) lines.push_back(shown(layout));
  return lines;
}

// ---- ripping --------------------------------------------------------------------------------------------------------

// 45 + 3 + 45 is 93 of 95 mm: two battens come out of one 4x2.
TEST(Ripping, MakesTwoBattensOfOneLathWhereThatIsCheaper) {
  const Yard yard = yard_of({section("2x2", 45, 45, {{2400, 500}}), section("4x2", 95, 45, {{2400, 750}})});
  Structure structure;
  structure.sections = yard.sections;
  put(structure, 0, Role::batten, "A1", 2300, 3);
  const Report bought = buy({{structure}}, yard, {3, 10, 0, {}});
  EXPECT_EQ(bought.total, Money{1500});
  const Report ripped = buy({{structure}}, yard, {3, 10, 0, 3});
  EXPECT_EQ(ripped.total, Money{1250});
  EXPECT_TRUE(ripped.proof.optimal);
  EXPECT_THAT(shown(ripped),
              testing::UnorderedElementsAre("1 × 2x2 2400: A1 at 10", "1 × 4x2 2400: A1 at 10 A1 at 10/48"));
  EXPECT_EQ(ripped.diagnostics.at(0).what, "some of A1 are ripped from 4x2, 2 side by side, because that costs less");
  const Report wide_kerf = buy({{structure}}, yard, {3, 10, 0, 6});
  EXPECT_EQ(wide_kerf.total, Money{1500}) << "45 + 6 + 45 is more than 95";
}

TEST(Ripping, IsNotForWhatCarriesLoadNorForAnotherTreatment) {
  Section treated = section("4x2", 95, 45, {{2400, 100}});
  treated.treatment = "UC4";
  const Yard yard = yard_of({section("2x2", 45, 45, {{2400, 500}}), treated});
  Structure structure;
  structure.sections = yard.sections;
  put(structure, 0, Role::batten, "A1", 2300, 2);
  EXPECT_EQ(buy({{structure}}, yard, {3, 10, 0, 3}).total, Money{1000});
  const Yard same = yard_of({section("2x2", 45, 45, {{2400, 500}}), section("4x2", 95, 45, {{2400, 100}})});
  Structure rafters;
  rafters.sections = same.sections;
  put(rafters, 0, Role::rafter, "A1", 2300, 2);
  EXPECT_EQ(buy({{rafters}}, same, {3, 10, 0, 3}).total, Money{1000});
}

TEST(Ripping, GivesWhatIsTooLongForItsOwnSection) {
  const Yard yard = yard_of({section("2x2", 45, 45, {{2400, 500}}), section("4x2", 95, 45, {{3600, 1100}})});
  Structure structure;
  structure.sections = yard.sections;
  put(structure, 0, Role::batten, "A1", 3000);
  const Report report = buy({{structure}}, yard, {3, 10, 0, 3});
  EXPECT_FALSE(has_error(report.diagnostics));
  EXPECT_THAT(shown(report), ElementsAre("1 × 4x2 3600: A1 at 10")) << "the other strip is nobody's";
  EXPECT_TRUE(has_error(buy({{structure}}, yard, {3, 10, 0, {}}).diagnostics));
}

/// Least cost by trying all: each batten alone in a bar or ripped with others of its length, and every sharing of bars.
/// Items are single battens and, of each length, bundles of up to `strips` (one cut of the wide section).
class Force {
 public:
  Force(const Section& narrow, const Section& wide, int strips, std::map<double, int> battens,
        std::vector<double> rails, Saw saw)
      : narrow_(narrow), wide_(wide), strips_(strips), saw_(saw), rails_(std::move(rails)) {
    bundle(battens, {});
  }
  std::int64_t least() const { return least_; }

 private:
  static constexpr std::int64_t kNever = std::numeric_limits<std::int64_t>::max();

  /// How many of each length are ripped; the rest come out of the narrow section.
  void bundle(std::map<double, int> left, std::vector<double> ripped) {
    if (left.empty()) return;
    choose(left.begin(), left, {}, std::move(ripped));
  }
  void choose(std::map<double, int>::const_iterator at, const std::map<double, int>& battens, std::vector<double> whole,
              std::vector<double> ripped) {
    if (at == battens.end()) {
      std::vector<double> wide = rails_;
      wide.insert(wide.end(), ripped.begin(), ripped.end());
      const std::int64_t cost = least_cost_by_force(narrow_, whole, saw_) + least_cost_by_force(wide_, wide, saw_);
      least_ = std::min(least_, cost);
      return;
    }
    for (int cuts = 0; (cuts - 1) * strips_ < at->second; ++cuts) {
      std::vector<double> one = whole, cut = ripped;
      cut.insert(cut.end(), static_cast<std::size_t>(cuts), at->first);
      one.insert(one.end(), static_cast<std::size_t>(std::max(0, at->second - cuts * strips_)), at->first);
      choose(std::next(at), battens, one, cut);
    }
  }

  const Section &narrow_, &wide_;
  int strips_;
  Saw saw_;
  std::vector<double> rails_;
  std::int64_t least_ = kNever;
};

TEST(Ripping, CostsTheLeastThatTryingAllFinds) {
  std::mt19937 random(45);
  const auto whole = [&](int low, int high) { return std::uniform_int_distribution(low, high)(random); };
  int cheaper = 0;
  for (int round = 0; round < 150; ++round) {
    const Saw saw{static_cast<double>(whole(0, 4)), static_cast<double>(whole(0, 15)), 0, 3};
    const int strips = whole(2, 3);
    const Section narrow = section("lath", 45, 45, {{2400, whole(300, 700)}, {3600, whole(500, 1000)}});
    const Section wide = section("plank", strips * 45.0 + (strips - 1) * 3 + whole(0, 20), 45,
                                 {{2400, whole(500, 1200)}, {3000, whole(700, 1500)}});
    const Yard yard = yard_of({narrow, wide});
    Structure structure;
    structure.sections = yard.sections;
    std::map<double, int> battens;
    for (int kind = whole(1, 2); kind > 0; --kind) {
      const double length = whole(500, 2300);
      battens[length] = whole(1, 4);
    }
    int mark = 0;
    std::map<std::string, int> wanted, cut;
    for (const auto& [length, quantity] : battens) {
      const std::string name = fmt::format("A{}", ++mark);
      put(structure, 0, Role::batten, name, length, quantity);
      wanted[name] = quantity;
    }
    std::vector<double> rails;
    for (int i = whole(0, 2); i > 0; --i) {
      rails.push_back(whole(500, 2300));
      put(structure, 1, Role::rail, fmt::format("B{}", i), rails.back());
      wanted[fmt::format("B{}", i)] = 1;
    }
    const Report report = buy({{structure}}, yard, saw);
    SCOPED_TRACE(fmt::format("round {}", round));
    ASSERT_FALSE(has_error(report.diagnostics));
    ASSERT_TRUE(report.proof.optimal);
    ASSERT_EQ(report.proof.cost.minor, Force(narrow, wide, strips, battens, rails, saw).least());
    for (const Layout& layout : report.cutting)
      for (const CutPiece& piece : layout.pieces) {
        cut[piece.mark] += layout.count;
        EXPECT_LE(piece.at_mm + piece.length_mm, layout.length_mm + 1e-6);
        EXPECT_LE(piece.across_mm + 45, layout.section == "lath" ? 45 : wide.width_mm + 1e-6);
      }
    EXPECT_EQ(cut, wanted);
    cheaper += report.proof.cost < buy({{structure}}, yard, {saw.kerf_mm, saw.trim_mm, 0, {}}).proof.cost;
  }
  EXPECT_GT(cheaper, 20) << "ripping should often pay in these";
}

// ---- straight lengths -----------------------------------------------------------------------------------------------

TEST(Straight, ComesFromPickedLengthsWhereTheYardSellsSuch) {
  Section posts = section("4x4", 95, 95, {{2400, 1500}});
  Structure structure;
  structure.sections = {posts};
  put(structure, 0, Role::post, "A1", 2300, 2);
  structure.pieces[0].straight = true;
  EXPECT_EQ(buy({{structure}}, yard_of({posts}), {}).total, Money{3000}) << "people pick them";
  posts.lengths.push_back({2400, {1900}, {}, true});
  const Report report = buy({{structure}}, yard_of({posts}), {});
  EXPECT_EQ(report.total, Money{1500 + 1900});
  ASSERT_EQ(report.timber.size(), 2u);
  EXPECT_TRUE(report.timber[1].straight && !report.timber[0].straight);
  // Too short a picked length is no reason to buy none.
  Section short_ones = section("4x4", 95, 95, {{2400, 1500}});
  short_ones.lengths.push_back({1800, {900}, {}, true});
  EXPECT_EQ(buy({{structure}}, yard_of({short_ones}), {}).total, Money{3000});
}

// ---- pieces of two --------------------------------------------------------------------------------------------------

TEST(Joined, OnlyWhereThePatternSaysAndWhereItSaves) {
  const Yard yard = yard_of({section("4x2", 95, 45, {{2400, 700}, {4800, 2000}})});
  Structure structure;
  structure.sections = yard.sections;
  put(structure, 0, Role::fascia, "A1", 4700);
  EXPECT_EQ(buy({{structure}}, yard, {3, 10, 0, {}}).total, Money{2000});
  structure.pieces[0].joins_at = {1500, 2350};
  const Report report = buy({{structure}}, yard, {3, 10, 0, {}});
  EXPECT_EQ(report.total, Money{1400});
  EXPECT_TRUE(report.proof.optimal);
  EXPECT_THAT(shown(report),
              testing::UnorderedElementsAre("1 × 4x2 2400: A1 at 10 part 1", "1 × 4x2 2400: A1 at 10 part 2"));
  EXPECT_EQ(report.diagnostics.at(0).what, "1 of A1 made of two, joined 2350 mm from the datum end");
  // Longer than any length: it is still bought.
  structure.pieces[0].length = 5500.0;
  structure.pieces[0].joins_at = {3000};
  EXPECT_EQ(buy({{structure}}, yard, {3, 10, 0, {}}).total, Money{2000 + 2000});
  EXPECT_THAT(buy({{structure}}, yard, {3, 10, 0, {}}).cutting, testing::SizeIs(2));
}

TEST(Joined, CallsNothingProvenWhenThereAreTooManyWays) {
  const Yard yard = yard_of({section("4x2", 95, 45, {{2400, 700}, {4800, 1500}})});
  Structure structure;
  structure.sections = yard.sections;
  put(structure, 0, Role::fascia, "A1", 4000, 12);
  for (Piece& piece : structure.pieces) piece.joins_at = {900, 1300, 1700, 2100};
  cutting::Options quick;
  quick.work_limit = 20'000'000;
  const Report report = buy({{structure}}, yard, {3, 10, 0, {}}, {}, quick);
  EXPECT_FALSE(has_error(report.diagnostics));
  EXPECT_FALSE(report.proof.optimal);
}

TEST(Joined, ManyThatAreLongerThanAnyLengthAreBought) {
  const Yard yard = yard_of({section("4x2", 95, 45, {{2400, 700}, {3600, 1200}})});
  Structure structure;
  structure.sections = yard.sections;
  put(structure, 0, Role::fascia, "A1", 4700, 17);
  for (Piece& piece : structure.pieces)
    for (double at = 400; at < 4700; at += 360) piece.joins_at.push_back(at);
  cutting::Options quick;
  quick.work_limit = 20'000'000;
  const Report report = buy({{structure}}, yard, {3, 10, 0, {}}, {}, quick);
  EXPECT_FALSE(has_error(report.diagnostics));
  // All joined at 1120 (the next place, 760, leaves 3940): 17 of 3580 out of 3600 each, then 3 of 1120 out of one 3600
  // and 2 out of each of seven 2400.
  EXPECT_EQ(report.total, Money{18 * 1200 + 7 * 700});
}

}  // namespace
}  // namespace garthwright::buying
