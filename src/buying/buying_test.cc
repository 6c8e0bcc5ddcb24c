// SPDX-License-Identifier: Apache-2.0
#include "buying/buying.h"

#include <fmt/format.h>
#include <gmock/gmock.h>

#include <cmath>
#include <fstream>
#include <limits>
#include <map>
#include <numbers>
#include <random>
#include <sstream>

#include "base/source_dir_for_tests.h"
#include "buying/packs.h"
#include "buying/small_yards_for_tests.h"

namespace garthwright::buying {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using timber::Section;
using timber::Yard;

// ---- small yards and structures -------------------------------------------------------------------------------------

struct Cut {
  std::string mark;
  double length_mm;
  int quantity = 1;
};

Structure structure_of(const Section& section, const std::vector<Cut>& cuts) {
  Structure structure;
  structure.sections = {section};
  for (const Cut& cut : cuts) {
    for (int i = 0; i < cut.quantity; ++i) {
      Piece piece;
      piece.name = "rail";
      piece.mark = cut.mark;
      piece.section = SectionId{0};
      piece.length = cut.length_mm;
      piece.width = section.width_mm;
      piece.thickness = section.thickness_mm;
      structure.pieces.push_back(piece);
    }
  }
  return structure;
}

Fixing fixing(const std::string& item) {
  Fixing out;
  out.item = item;
  return out;
}

/// "1 × 2400: A1 at 10 B1 at 1413 | 84".
std::string shown(const Layout& layout) {
  std::string text = fmt::format("{} × {:g}:", layout.count, layout.length_mm);
  for (const CutPiece& piece : layout.pieces) text += fmt::format(" {} at {:g}", piece.mark, piece.at_mm);
  return text + fmt::format(" | {:g}", layout.offcut_mm);
}

std::vector<std::string> told(const Report& report) {
  std::vector<std::string> lines;
  for (const Diagnostic& diagnostic : report.diagnostics) lines.push_back(to_string(diagnostic));
  return lines;
}

// ---- lengths --------------------------------------------------------------------------------------------------------

TEST(Buy, LaysPiecesOutFromTheTrimmedEnd) {
  // 10 trim, 1400, 3 kerf, 900, 3 kerf: 84 of 2400 are left.
  const Section rails = section("4x2", 95, 45, {{2400, 750}, {3000, 925}});
  const Report report = buy({{structure_of(rails, {{"B1", 900}, {"A1", 1400}})}}, yard_of({rails}), {3, 10, 0});
  ASSERT_EQ(report.cutting.size(), 1u);
  EXPECT_EQ(shown(report.cutting[0]), "1 × 2400: A1 at 10 B1 at 1413 | 84");
  ASSERT_EQ(report.timber.size(), 1u);
  EXPECT_EQ(report.timber[0].quantity, 1);
  EXPECT_EQ(report.proof.cost, Money{750});
  EXPECT_EQ(report.proof.lower_bound, Money{750});
  EXPECT_TRUE(report.proof.optimal);
  EXPECT_EQ(report.price_note, "invented prices, as of 2026-03-02");
}

TEST(Buy, LetsTheLastKerfRunOffTheEnd) {
  const Section rails = section("4x2", 95, 45, {{2400, 750}});
  const Report report = buy({{structure_of(rails, {{"A1", 1195, 2}})}}, yard_of({rails}), {0, 10, 0});
  EXPECT_EQ(shown(report.cutting.at(0)), "1 × 2400: A1 at 10 A1 at 1205 | 0");
  // 47 15/16 in twice and a 1/8 in kerf are 8 ft to the last fraction.
  const Section us = section("2x4", 88.9, 38.1, {{2438.4, 698}});
  const Report exact = buy({{structure_of(us, {{"A1", 47.9375 * 25.4, 2}})}}, yard_of({us}), {3.175, 0, 0});
  EXPECT_EQ(exact.timber.at(0).quantity, 1);
}

TEST(Buy, TakesTheDearerLengthWhereItCostsLessInAll) {
  // Two of 1450 come out of one 3000 (9.25) more cheaply than out of two 2400 (15.00).
  const Section rails = section("4x2", 95, 45, {{2400, 750}, {3000, 925}});
  const Report report = buy({{structure_of(rails, {{"A1", 1450, 2}})}}, yard_of({rails}), {3, 10, 0});
  EXPECT_EQ(report.timber.at(0).length_mm, 3000);
  EXPECT_EQ(report.total, Money{925});
}

TEST(Buy, BuysEachSectionForItselfOverAllStructures) {
  const Section rails = section("4x2", 95, 45, {{2400, 750}});
  const Section posts = section("4x4", 95, 95, {{2400, 1500}});
  const Yard yard = yard_of({posts, rails});
  const Report report = buy(
      {{structure_of(rails, {{"A1", 1100}}), structure_of(posts, {{"B1", 2300}}), structure_of(rails, {{"C1", 1200}})}},
      yard, {3, 10, 0});
  ASSERT_EQ(report.cutting.size(), 2u);
  EXPECT_EQ(shown(report.cutting[0]), "1 × 2400: B1 at 10 | 87");
  EXPECT_EQ(shown(report.cutting[1]), "1 × 2400: C1 at 10 A1 at 1213 | 84");
  EXPECT_EQ(report.total, Money{2250});
}

// Twelve battens: ten in a bundle at 17.50 and two at 2.10 are 21.70; all singly they are 25.20.
TEST(Buy, TakesABundleAndTheRestSingly) {
  const Section battens = section("2x1", 45, 20, {{2400, 210, {}, {{10, {1750}}, {50, {7900}}}}});
  const Report report = buy({{structure_of(battens, {{"A1", 2300, 12}})}}, yard_of({battens}), {3, 10, 0});
  ASSERT_EQ(report.timber.size(), 2u);
  EXPECT_EQ(report.timber[0].bundle, 10);
  EXPECT_EQ(report.timber[0].quantity, 1);
  EXPECT_EQ(report.timber[0].unit_price, Money{1750});
  EXPECT_EQ(report.timber[1].bundle, 1);
  EXPECT_EQ(report.timber[1].quantity, 2);
  EXPECT_EQ(report.total, Money{2170});
  EXPECT_EQ(report.proof.lower_bound, Money{2170});
  EXPECT_TRUE(report.proof.optimal);
  EXPECT_EQ(report.cutting.at(0).count, 12);
}

// Eighteen of 1150 are two from each of nine battens: the tenth goes back whole, less the 10 that square its end.
TEST(Buy, LeavesOverWhatOfABundleIsNotCut) {
  Section battens = section("2x1", 45, 20, {{2400, 0, {}, {{10, {1750}}}}});
  battens.lengths[0].singly = false;
  const Report report = buy({{structure_of(battens, {{"A1", 1150, 18}})}}, yard_of({battens}), {3, 10, 0});
  EXPECT_EQ(report.total, Money{1750});
  EXPECT_EQ(report.timber.at(0).lengths(), 10);
  EXPECT_EQ(report.left_over.off_cuts, (std::vector<OffCut>{{"2x1", 84, 9}, {"2x1", 2390, 1}}));
  EXPECT_THAT(told(report), ElementsAre(HasSubstr("left whole of the bundles bought: 1 of 2x1 of 2400 mm")));
  // Nine off-cuts of 1150 on hand do not make half a bundle, and ten lengths are bought all the same.
  const Report from_shed =
      buy({{structure_of(battens, {{"A1", 1150, 18}})}}, yard_of({battens}), {3, 10, 0}, {{{"2x1", 1150, 9}}, {}});
  EXPECT_EQ(from_shed.total, Money{1750});
  // Eighteen are enough for all.
  const Report all_there =
      buy({{structure_of(battens, {{"A1", 1150, 18}})}}, yard_of({battens}), {3, 10, 0}, {{{"2x1", 1150, 18}}, {}});
  EXPECT_EQ(all_there.total, Money{0});
}

TEST(Buy, TellsWhatCannotBeBoughtAndWhatWouldDo) {
  const Section rails = section("4x2", 95, 45, {{2400, 750}, {3000, 925}});
  const Section beams = section("6x2", 145, 45, {{4800, 2335}});
  const Report report = buy({{structure_of(rails, {{"A1", 2995}, {"A2", 2990}})}}, yard_of({rails, beams}), {3, 10, 0});
  EXPECT_THAT(told(report),
              ElementsAre("A1: error: rail is 2995 mm long; the longest 4x2 sold is 3000 mm, which gives 2990 mm after "
                          "10 mm of trim; make it 2990 mm or shorter, or splice it from two, or take 6x2, sold up to "
                          "4800 mm [unbuyable]"));
  EXPECT_EQ(report.timber.at(0).quantity, 1);  // A2 is bought all the same
  EXPECT_FALSE(report.proof.optimal);
}

TEST(Buy, KeepsToWhatTheYardHas) {
  const Section rails = section("4x2", 95, 45, {{2400, 750, 1}, {3000, 1925}});
  const Report some = buy({{structure_of(rails, {{"A1", 2000, 2}})}}, yard_of({rails}), {3, 10, 0});
  EXPECT_EQ(some.total, Money{750 + 1925});
  const Section few = section("4x2", 95, 45, {{2400, 750, 1}});
  const Report none = buy({{structure_of(few, {{"A1", 2000, 2}})}}, yard_of({few}), {3, 10, 0});
  EXPECT_THAT(none.timber, IsEmpty());
  ASSERT_EQ(none.diagnostics.size(), 1u);
  EXPECT_EQ(none.diagnostics[0].severity, Severity::error);
  EXPECT_THAT(none.diagnostics[0].what, HasSubstr("4x2: "));
  EXPECT_FALSE(none.proof.optimal);
  const Section unknown = section("9x9", 220, 220, {});
  EXPECT_EQ(buy({{structure_of(unknown, {{"A1", 2000}})}}, yard_of({rails}), {}).diagnostics.at(0).code,
            "unknown-section");
}

/// Laws that any purchase of timber keeps.
void expect_sound(const Report& report, const Garden& garden, const Yard& yard, const Saw& saw) {
  std::map<std::string, int> wanted, cut;
  for (const Structure& structure : garden.structures)
    for (const Piece& piece : structure.pieces) ++wanted[piece.mark];
  std::map<std::pair<std::string, double>, int> used, bought;
  for (const Layout& layout : report.cutting) {
    used[{layout.section, layout.length_mm}] += layout.count;
    double free_from = saw.trim_mm;
    for (const CutPiece& piece : layout.pieces) {
      cut[piece.mark] += layout.count;
      EXPECT_NEAR(piece.at_mm, free_from, 1e-6);
      free_from = piece.at_mm + piece.length_mm + saw.kerf_mm;
    }
    EXPECT_LE(free_from - saw.kerf_mm, layout.length_mm + 0.01);
    EXPECT_NEAR(layout.offcut_mm, std::max(0.0, layout.length_mm - free_from), 0.001);
  }
  EXPECT_EQ(cut, wanted);
  std::int64_t cost = 0;
  for (const TimberLine& line : report.timber) {
    bought[{line.section, line.length_mm}] += line.quantity;
    cost += line.quantity * line.unit_price.minor;
    const auto& lengths = timber::find_section(yard, line.section).value()->lengths;
    EXPECT_TRUE(std::any_of(lengths.begin(), lengths.end(), [&](const auto& length) {
      return length.length_mm == line.length_mm && length.price == line.unit_price;
    }));
  }
  EXPECT_EQ(used, bought);
  EXPECT_EQ(report.proof.cost.minor, cost);
  EXPECT_LE(report.proof.lower_bound, report.proof.cost);
}

TEST(Buy, CostsTheLeastThatTryingAllFinds) {
  std::mt19937_64 random(1150);
  for (int round = 0; round < 150; ++round) {
    const Saw saw{static_cast<double>(random() % 5), static_cast<double>(random() % 20), 0};
    std::vector<Sold> sold;
    for (double length : {1800.0, 2400.0, 3000.0, 3600.0, 4800.0})
      if (sold.empty() || random() % 2)
        sold.push_back({length, static_cast<std::int64_t>(length / 4 + random() % 300), {}});
    const double longest = sold.back().length_mm - saw.trim_mm;
    const Section rails = section("4x2", 95, 45, sold);
    std::vector<Cut> cuts;
    std::vector<double> lengths;
    for (int i = static_cast<int>(1 + random() % 8); i > 0; --i) {
      const double length = std::min(longest, 200 + static_cast<double>(random() % 18000) / 10);
      cuts.push_back({fmt::format("A{}", i), length});
      lengths.push_back(length);
    }
    const Garden garden{{structure_of(rails, cuts)}};
    const Yard yard = yard_of({rails});
    const Report report = buy(garden, yard, saw);
    expect_sound(report, garden, yard, saw);
    ASSERT_TRUE(report.proof.optimal);
    ASSERT_EQ(report.proof.cost.minor, least_cost_by_force(rails, lengths, saw)) << "round " << round;
  }
}

std::string shipped(const std::string& name) {
  std::ifstream file(std::string(source_dir()) + "/catalogues/" + name + ".toml");
  std::stringstream text;
  text << file.rdbuf();
  return text.str();
}

TEST(Buy, AccountsForEveryPieceOnceAtTheShippedYards) {
  std::mt19937_64 random(36);
  for (const char* name : {"harrow-lane", "mill-creek"}) {
    const Yard yard = timber::parse_yard(shipped(name), name).value();
    for (int round = 0; round < 6; ++round) {
      const Saw saw{3.2, 10, 0};
      Garden garden;
      for (std::size_t i = 0; i < 4; ++i) {
        const Section& section = yard.sections[random() % yard.sections.size()];
        const double longest = section.lengths.back().length_mm - saw.trim_mm;
        std::vector<Cut> cuts;
        for (int kind = 0; kind < 4; ++kind)
          cuts.push_back({fmt::format("{}{}", static_cast<char>('A' + i), kind),
                          longest * static_cast<double>(100 + random() % 900) / 1000,
                          static_cast<int>(1 + random() % 6)});
        garden.structures.push_back(structure_of(section, cuts));
      }
      cutting::Options quick;
      quick.work_limit = 200'000'000;
      expect_sound(buy(garden, yard, saw, {}, quick), garden, yard, saw);
    }
  }
}

// ---- the shed -------------------------------------------------------------------------------------------------------

TEST(Buy, CutsOffCutsOnHandBeforeItBuysAndTrimsThemNot) {
  const Section rails = section("4x2", 95, 45, {{2400, 750}});
  const Yard yard = yard_of({rails});
  // Of 1500 untrimmed come one of 1000 and one of 497; a third of 1000 must be bought.
  const Report report = buy({{structure_of(rails, {{"A1", 1000, 2}, {"B1", 497}})}}, yard, {3, 10, 0},
                            {{{"4x2", 1500, 1}, {"6x2", 3000, 4}, {"4x2", 200, 9}}, {}});
  ASSERT_EQ(report.cutting.size(), 2u);
  EXPECT_EQ(report.total, Money{750});
  EXPECT_THAT(report.from_shed.off_cuts, ElementsAre(OffCut{"4x2", 1500, 1}));
  const Layout& off_cut = report.cutting[report.cutting[0].from_shed ? 0 : 1];
  EXPECT_EQ(shown(off_cut), "1 × 1500: A1 at 0 B1 at 1003 | 0");
  EXPECT_TRUE(report.proof.optimal);
  EXPECT_THAT(report.left_over.off_cuts, ElementsAre(OffCut{"4x2", 1387, 1}));
}

TEST(Buy, UsesNoMoreSpareFixingsThanSaveMoney) {
  Yard yard = yard_of({section("4x2", 95, 45, {{2400, 750}})});
  timber::FixingItem screws;
  screws.name = "screw 5x80";
  screws.packs = {{50, {560}}, {100, {980}}};
  yard.fixings = {screws};
  Structure structure;
  structure.fixings.assign(120, fixing("screw 5x80"));
  const auto with = [&](int spare) { return buy({{structure}}, yard, {}, {{}, {{"screw 5x80", spare}}}); };
  EXPECT_EQ(with(0).total, Money{980 + 560});
  EXPECT_THAT(with(0).left_over.fixings, ElementsAre(SpareFixing{"screw 5x80", 30}));
  EXPECT_EQ(with(19).total, Money{980 + 560});
  EXPECT_THAT(with(19).from_shed.fixings, IsEmpty());
  EXPECT_EQ(with(45).total, Money{980});
  EXPECT_THAT(with(45).from_shed.fixings, ElementsAre(SpareFixing{"screw 5x80", 20}));
  EXPECT_THAT(with(45).left_over.fixings, IsEmpty());
  EXPECT_EQ(with(500).total, Money{0});
}

// ---- packs ----------------------------------------------------------------------------------------------------------

std::int64_t cost_of(const std::vector<timber::Pack>& packs, const std::vector<int>& quantities) {
  std::int64_t cost = 0;
  for (std::size_t i = 0; i < packs.size(); ++i) cost += quantities[i] * packs[i].price.minor;
  return cost;
}

TEST(LeastCostPacks, PrefersOneTubWhereItIsCheaper) {
  const std::vector<timber::Pack> packs{{50, {560}}, {100, {980}}, {250, {2140}}};
  EXPECT_THAT(least_cost_packs(packs, 0), ElementsAre(0, 0, 0));
  EXPECT_THAT(least_cost_packs(packs, 1), ElementsAre(1, 0, 0));
  EXPECT_THAT(least_cost_packs(packs, 143), ElementsAre(1, 1, 0));  // 15.40
  EXPECT_THAT(least_cost_packs(packs, 201), ElementsAre(0, 0, 1));  // 21.40, not 100 + 100 + 50 for 25.20
  EXPECT_THAT(least_cost_packs({}, 5), IsEmpty());
}

TEST(LeastCostPacks, HoldsEnoughAtTheCostThatTryingAllFinds) {
  std::mt19937_64 random(9);
  for (int round = 0; round < 300; ++round) {
    std::vector<timber::Pack> packs;
    for (std::size_t i = 1 + random() % 3; i > 0; --i)
      packs.push_back({static_cast<int>(1 + random() % 40), {static_cast<std::int64_t>(random() % 900)}});
    const int needed = static_cast<int>(random() % 60);
    const std::vector<int> quantities = least_cost_packs(packs, needed);
    int held = 0;
    for (std::size_t i = 0; i < packs.size(); ++i) held += quantities[i] * packs[i].count;
    ASSERT_GE(held, needed);
    std::int64_t least = std::numeric_limits<std::int64_t>::max();
    const auto most = [&](std::size_t i) { return i < packs.size() ? needed / packs[i].count + 1 : 0; };
    for (int a = 0; a <= most(0); ++a)
      for (int b = 0; b <= most(1); ++b)
        for (int c = 0; c <= most(2); ++c) {
          std::vector<int> tried{a, b, c};
          tried.resize(packs.size());
          int holds = 0;
          for (std::size_t i = 0; i < packs.size(); ++i) holds += tried[i] * packs[i].count;
          if (holds >= needed) least = std::min(least, cost_of(packs, tried));
        }
    ASSERT_EQ(cost_of(packs, quantities), least);
  }
}

// ---- holes ----------------------------------------------------------------------------------------------------------

/// A square post in a round hole, standing on the gravel.
Structure post_in_hole(double post, double diameter, double depth, double gravel) {
  const Section section_of_post = section("post", post, post, {{3000, 1500}});
  Structure structure = structure_of(section_of_post, {{"A1", 2400}});
  structure.pieces[0].frame = {{0, 0, gravel - depth}, {0, 0, 1}, {1, 0, 0}, {0, 1, 0}};
  structure.footings.push_back({PieceId{0}, {post / 2, post / 2, 0}, diameter, depth, gravel, "postmix"});
  return structure;
}

/// Litres and 20 kg bags of the trade's usual holes, worked out by hand to whole litres and tenths of a bag
/// (post, hole, depth, gravel: concrete, bags at 9.4 l).
TEST(HoleFill, AgreesWithTheTableOfUsualHoles) {
  const double table[][6] = {{75, 225, 600, 100, 17, 1.8},  {100, 250, 600, 100, 20, 2.1},
                             {100, 300, 600, 100, 30, 3.2}, {100, 250, 750, 150, 24, 2.5},
                             {100, 300, 750, 150, 36, 3.9}, {100, 300, 900, 150, 46, 4.9},
                             {150, 375, 750, 150, 53, 5.6}, {150, 450, 900, 150, 102, 10.9}};
  for (const auto& [post, hole, depth, gravel, litres, bags] : table) {
    const Structure structure = post_in_hole(post, hole, depth, gravel);
    const HoleFill fill = hole_fill(structure, structure.footings[0]);
    EXPECT_NEAR(fill.concrete_l, litres, 0.8) << post << " in " << hole;
    EXPECT_NEAR(fill.concrete_l / 9.4, bags, 0.1) << post << " in " << hole;
    EXPECT_NEAR(fill.gravel_l, std::numbers::pi / 4e6 * hole * hole * gravel, 1e-9);
  }
}

TEST(HoleFill, KnowsHowFarThePostGoesDown) {
  Structure structure = post_in_hole(100, 300, 600, 100);
  const double hole = std::numbers::pi / 4 * 300 * 300, post = 100 * 100;
  structure.pieces[0].frame.origin.z = -400;  // short of the gravel: concrete under it
  EXPECT_NEAR(hole_fill(structure, structure.footings[0]).concrete_l, (hole * 500 - post * 400) / 1e6, 1e-9);
  structure.pieces[0].frame.origin.z = -600;  // through the gravel
  EXPECT_NEAR(hole_fill(structure, structure.footings[0]).concrete_l, (hole * 500 - post * 500) / 1e6, 1e-9);
  EXPECT_NEAR(hole_fill(structure, structure.footings[0]).gravel_l, (hole * 100 - post * 100) / 1e6, 1e-9);
}

// ---- the whole shopping list ----------------------------------------------------------------------------------------

TEST(Buy, CountsFixingsPanelsBagsAndTins) {
  Structure structure = post_in_hole(95, 300, 600, 100);
  structure.sections[0].name = "4x4";
  for (int i = 0; i < 143; ++i) structure.fixings.push_back(fixing("screw 5x80"));
  for (int i = 0; i < 6; ++i) structure.fixings.push_back(fixing("coach bolt M10x180"));
  structure.panels.resize(3);
  structure.panels[0].item = structure.panels[1].item = "trellis 1830x610";
  const Yard yard = timber::parse_yard(shipped("harrow-lane"), "harrow-lane").value();
  const Report report = buy({{structure}}, yard, {});
  EXPECT_THAT(report.diagnostics, IsEmpty());

  const auto line = [&](const ItemLine& item) {
    return fmt::format("{} {} ({}), {} for {:.1f}", item.quantity, item.name, item.unit,
                       format_money(item.unit_price, yard.currency, true), item.needed);
  };
  ASSERT_EQ(report.fixings.size(), 3u);
  EXPECT_EQ(line(report.fixings[0]), "1 screw 5x80 (pack of 100), 9.80 for 143.0");
  EXPECT_EQ(line(report.fixings[1]), "1 screw 5x80 (pack of 50), 5.60 for 0.0");
  EXPECT_EQ(line(report.fixings[2]), "6 coach bolt M10x180 (each), 2.05 for 6.0");
  ASSERT_EQ(report.panels.size(), 1u);  // the third is at hand already
  EXPECT_EQ(line(report.panels[0]), "2 trellis 1830x610 (each), 21.95 for 2.0");
  // Hole: π/4 × 300² × 500 − 95² × 500 = 30.83 l, 4 bags of 9.4 l; gravel π/4 × 300² × 100 = 7.07 l.
  ASSERT_EQ(report.ground.size(), 2u);
  EXPECT_EQ(line(report.ground[0]), "4 postmix 20 kg (20 kg bag), 8.45 for 30.8");
  EXPECT_EQ(line(report.ground[1]), "1 gravel 20 kg (20 kg bag), 4.95 for 7.1");
  ASSERT_EQ(report.extras.size(), 1u);
  EXPECT_EQ(report.extras[0].quantity, 1);
  EXPECT_NEAR(report.extras[0].needed, 2 * 0.095 * 0.095 / 4, 1e-9);

  std::int64_t sum = report.proof.cost.minor;
  for (const auto* lines : {&report.fixings, &report.panels, &report.ground, &report.extras})
    for (const ItemLine& item : *lines) sum += item.quantity * item.unit_price.minor;
  EXPECT_EQ(report.total.minor, sum);
  EXPECT_EQ(sum, 1565 + 980 + 560 + 6 * 205 + 2 * 2195 + 4 * 845 + 495 + 1795)
      << "one 4x4 of 2.7 m (a trimmed one of 2.4 m is 10 mm short) at " << report.proof.cost.minor;
}

TEST(Buy, NamesFixingsAndPanelsThatNobodySells) {
  Structure structure;
  structure.fixings.push_back(fixing("screw 5x81"));
  structure.panels.resize(1);
  structure.panels[0].item = "trellis 1830x611";
  const Yard yard = timber::parse_yard(shipped("harrow-lane"), "harrow-lane").value();
  const std::vector<std::string> lines = told(buy({{structure}}, yard, {}));
  ASSERT_EQ(lines.size(), 2u);
  EXPECT_THAT(lines[0], HasSubstr("sells no fixing 'screw 5x81'; did you mean screw 5x80"));
  EXPECT_THAT(lines[1], HasSubstr("sells no panel 'trellis 1830x611'; did you mean trellis 1830x610"));
}

TEST(Buy, NothingForNothing) {
  const Report report = buy({}, yard_of({section("4x2", 95, 45, {{2400, 750}})}), {});
  EXPECT_EQ(report.total, Money{});
  EXPECT_TRUE(report.proof.optimal);
  EXPECT_THAT(report.diagnostics, IsEmpty());
}

TEST(BagFor, TakesTheProposedBagElseTheCheapestInAll) {
  Yard yard = timber::parse_yard(shipped("mill-creek"), "mill-creek").value();
  EXPECT_EQ(bag_for(yard, "postmix", 100)->name, "fast post mix 50 lb");
  EXPECT_EQ(bag_for(yard, "concrete", 12)->name, "concrete mix 60 lb");  // one of 4.68, not one of 5.98
  EXPECT_EQ(bag_for(yard, "concrete", 16)->name, "concrete mix 80 lb");  // one of 5.98, not two of 4.68
  EXPECT_EQ(bag_for(yard, "concrete mix 60 lb", 16)->name, "concrete mix 60 lb");
  EXPECT_EQ(bag_for(yard, "resin", 16), nullptr);
}

}  // namespace
}  // namespace garthwright::buying
