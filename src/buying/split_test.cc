// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <gmock/gmock.h>

#include <limits>
#include <random>

#include "buying/buying.h"
#include "buying/small_yards_for_tests.h"
#include "timber/market.h"

namespace garthwright::buying {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;
using testing::SizeIs;
using timber::Section;
using timber::Yard;

constexpr Saw kSaw{3, 10, 0, {}};

Section section(const std::string& name, const std::vector<Sold>& lengths) {
  return buying::section(name, 95, 45, lengths);
}

timber::FixingItem screws(const std::vector<timber::Pack>& packs) {
  timber::FixingItem item;
  item.name = "screw 5x80";
  item.packs = packs;
  return item;
}

Yard yard_of(const std::string& name, std::vector<Section> sections, timber::Terms terms = {}) {
  Yard yard = buying::yard_of(std::move(sections));
  yard.name = yard.title = name;
  yard.terms = terms;
  return yard;
}

Structure structure_of(const std::vector<std::pair<std::string, std::vector<double>>>& sections, int screw_count = 0) {
  Structure structure;
  for (const auto& [name, lengths] : sections) {
    Section section;
    section.name = name;
    structure.sections.push_back(section);
    for (const double length : lengths) {
      Piece piece;
      piece.name = piece.mark = fmt::format("{}-{}", name, length);
      piece.section = SectionId{static_cast<int>(structure.sections.size()) - 1};
      piece.length = length;
      structure.pieces.push_back(piece);
    }
  }
  Fixing screw;
  screw.item = "screw 5x80";
  structure.fixings.assign(static_cast<std::size_t>(screw_count), screw);
  return structure;
}

std::vector<std::string> extras(const Report& report) {
  std::vector<std::string> lines;
  for (const ItemLine& line : report.extras) lines.push_back(fmt::format("{}: {}", line.name, line.unit_price.minor));
  return lines;
}

TEST(Yards, OneWithoutTermsIsBoughtFromAsEver) {
  const Yard yard = yard_of("Lane", {section("4x2", {{2400, 750}, {3000, 925}})});
  const Report alone = buy({{structure_of({{"4x2", {1450, 1450}}})}}, yard, kSaw);
  const Report listed = buy({{structure_of({{"4x2", {1450, 1450}}})}}, std::vector<Yard>{yard}, kSaw);
  EXPECT_EQ(alone.total, listed.total);
  EXPECT_THAT(listed.bills, IsEmpty());
  EXPECT_EQ(listed.price_note, alone.price_note);
}

// 23 % on 9.25 is 2.1275, paid 2.13; delivery of 20.00 bears 4.60.
TEST(Yards, AddTaxToEachPriceAndToDelivery) {
  const Yard yard = yard_of("Lane", {section("4x2", {{3000, 925}})}, {2300, {2000}, {}, {}});
  const Report report = buy({{structure_of({{"4x2", {1400, 1400, 2500}}})}}, std::vector<Yard>{yard}, kSaw);
  EXPECT_EQ(report.timber.at(0).unit_price, Money{925});
  EXPECT_THAT(extras(report), ElementsAre("delivery, Lane: 2000", "tax of 23 %, Lane: 886"));
  EXPECT_EQ(report.total, Money{2 * 925 + 2000 + 2 * 213 + 460});
  EXPECT_EQ(report.proof.cost, Money{1850});
  EXPECT_TRUE(report.whole.optimal);
  EXPECT_EQ(report.bills.at(0).total(), report.total);
}

// A rail is 8.00 cheaper at Mill, a post 3.00 at Lane: a second delivery of 6.00 pays from three posts on.
TEST(Yards, AreSplitOnlyWhereThatPaysForTheDriving) {
  const timber::Terms delivery{0, {600}, {}, {}};
  const std::vector<Yard> yards{
      yard_of("Lane", {section("rail", {{3000, 1800}}), section("post", {{3000, 2000}})}, delivery),
      yard_of("Mill", {section("rail", {{3000, 1000}}), section("post", {{3000, 2300}})}, delivery)};
  const Report few = buy({{structure_of({{"rail", {2800}}, {"post", {2800}}})}}, yards, kSaw);
  EXPECT_THAT(few.bills, SizeIs(1));
  EXPECT_EQ(few.total, Money{1000 + 2300 + 600});
  const Report many = buy({{structure_of({{"rail", {2800}}, {"post", {2800, 2800, 2800}}})}}, yards, kSaw);
  EXPECT_THAT(many.bills, SizeIs(2));
  EXPECT_EQ(many.total, Money{1000 + 3 * 2000 + 2 * 600});
  EXPECT_TRUE(few.whole.optimal && many.whole.optimal);
}

// Lane sells ten for 17.00 and one for 2.30, Mill one for 2.00. Twelve cost 21.60 at Lane, 24.00 at Mill, 21.00 with
// the bundle from Lane and two from Mill: that pays where a second delivery is no more than 0.60.
TEST(Yards, MaySplitOneLengthBetweenABundleAndSingles) {
  const auto cheapest = [](std::int64_t delivery) {
    const timber::Terms terms{0, {delivery}, {}, {}};
    const std::vector<Yard> yards{yard_of("Lane", {section("batten", {{2400, 230, {}, {{10, {1700}}}}})}, terms),
                                  yard_of("Mill", {section("batten", {{2400, 200}})}, terms)};
    return buy({{structure_of({{"batten", std::vector<double>(12, 2300)}})}}, yards, kSaw);
  };
  const Report both = cheapest(50);
  EXPECT_THAT(both.bills, SizeIs(2));
  EXPECT_EQ(both.total, Money{2100 + 2 * 50});
  const Report one = cheapest(70);
  EXPECT_THAT(one.bills, SizeIs(1));
  EXPECT_EQ(one.total, Money{2160 + 70});
  EXPECT_TRUE(both.whole.optimal && one.whole.optimal);
}

// 23 % on 17.50 is 4.025, paid 4.03, once for the bundle and not for each length in it.
TEST(Yards, AddTaxToABundleOnce) {
  const std::vector<Yard> yards{
      yard_of("Lane", {section("batten", {{2400, 300, {}, {{10, {1750}}}}})}, {2300, {}, {}, {}})};
  const Report report = buy({{structure_of({{"batten", std::vector<double>(10, 2300)}})}}, yards, kSaw);
  EXPECT_EQ(report.timber.at(0).unit_price, Money{1750});
  EXPECT_EQ(report.total, Money{1750 + 403});
}

TEST(Yards, MakeUpAMinimumOrderOrFreeDeliveryWhereThatIsCheapest) {
  const std::vector<Yard> yards{yard_of("Lane", {section("rail", {{3000, 4500}})}, {0, {900}, Money{5000}, {}})};
  const Report report = buy({{structure_of({{"rail", {2800}}})}}, yards, kSaw);
  EXPECT_THAT(extras(report), ElementsAre("goods to make up free delivery, Lane: 500"));
  EXPECT_EQ(report.total, Money{5000});
  const std::vector<Yard> strict{yard_of("Lane", {section("rail", {{3000, 4500}})}, {0, {900}, {}, {6000}})};
  EXPECT_THAT(extras(buy({{structure_of({{"rail", {2800}}})}}, strict, kSaw)),
              ElementsAre("delivery, Lane: 900", "goods to make up the minimum order, Lane: 1500"));
}

TEST(Yards, SellOnlyWhatIsMeantUnderAName) {
  Section thicker = section("rail", {{3000, 100}});
  thicker.thickness_mm = 47;
  Section untreated = section("post", {{3000, 100}});
  Section treated = section("post", {{3000, 2000}});
  treated.treatment = "UC4";
  const std::vector<Yard> yards{yard_of("Lane", {section("rail", {{3000, 1500}}), treated}),
                                yard_of("Mill", {thicker, untreated})};
  const Report report = buy({{structure_of({{"rail", {2800}}, {"post", {2800}}})}}, yards, kSaw);
  EXPECT_EQ(report.total, Money{3500});
  EXPECT_THAT(timber::unlike(yards[0], yards[1], "rail"), testing::HasSubstr("47 mm"));
}

// ---- against trying everything --------------------------------------------------------------------------------------

/// All there is to choose in a tiny purchase: which yard and length each piece gets for itself (pieces are over half
/// the longest length, so that no two share one), and how many packs of each are bought where.
class Force {
 public:
  Force(const std::vector<Yard>& yards, std::vector<std::pair<std::string, double>> pieces, int screws)
      : yards_(yards), pieces_(std::move(pieces)), goods_(yards.size(), 0) {
    piece(0, screws);
  }
  std::int64_t least() const { return least_; }

 private:
  static std::int64_t paid(std::int64_t listed, int tax) { return listed + (listed * tax + 5000) / 10000; }

  void piece(std::size_t index, int screws) {
    if (index == pieces_.size()) return packs(0, 0, screws);
    for (std::size_t y = 0; y < yards_.size(); ++y)
      for (const Section& section : yards_[y].sections) {
        if (section.name != pieces_[index].first) continue;
        for (const timber::YardLength& length : section.lengths) {
          if (length.length_mm - 10 < pieces_[index].second) continue;
          const std::int64_t price = paid(length.price.minor, yards_[y].terms.tax);
          goods_[y] += price;
          piece(index + 1, screws);
          goods_[y] -= price;
        }
      }
  }

  void packs(std::size_t y, std::size_t p, int screws) {
    if (screws <= 0) return close();
    if (y == yards_.size()) return;
    if (yards_[y].fixings.empty() || p == yards_[y].fixings[0].packs.size()) return packs(y + 1, 0, screws);
    const timber::Pack& pack = yards_[y].fixings[0].packs[p];
    const std::int64_t price = paid(pack.price.minor, yards_[y].terms.tax);
    for (int n = 0; n == 0 || screws - (n - 1) * pack.count > 0; ++n) {
      goods_[y] += n * price;
      packs(y, p + 1, screws - n * pack.count);
      goods_[y] -= n * price;
    }
  }

  void close() {
    std::int64_t sum = 0;
    for (std::size_t y = 0; y < yards_.size(); ++y) {
      if (goods_[y] == 0) continue;
      const timber::Terms& terms = yards_[y].terms;
      const std::int64_t brought =
          std::max(goods_[y], terms.minimum_order.minor) + paid(terms.delivery.minor, terms.tax);
      std::int64_t free = brought;
      if (terms.delivery_free_from)
        free = std::max({goods_[y], terms.minimum_order.minor, terms.delivery_free_from->minor});
      sum += std::min(brought, free);
    }
    least_ = std::min(least_, sum);
  }

  const std::vector<Yard>& yards_;
  std::vector<std::pair<std::string, double>> pieces_;
  std::vector<std::int64_t> goods_;
  std::int64_t least_ = std::numeric_limits<std::int64_t>::max();
};

TEST(Yards, CostTheLeastThatTryingAllFinds) {
  std::mt19937 random(44);
  const auto whole = [&](int low, int high) { return std::uniform_int_distribution(low, high)(random); };
  int proven = 0, rounds = 0;
  for (int round = 0; round < 250; ++round) {
    std::vector<Yard> yards;
    const int count = whole(1, 3);
    for (int y = 0; y < count; ++y) {
      std::vector<Section> sections;
      for (const char* name : {"rail", "post"})
        if (y == 0 || whole(0, 3) > 0)
          sections.push_back(section(name, {{2400, whole(600, 1400)}, {3000, whole(800, 1800)}}));
      timber::Terms terms;
      if (whole(0, 2) == 0) terms.tax = whole(0, 2500);
      if (whole(0, 1) == 0) terms.delivery = {whole(0, 900)};
      if (whole(0, 3) == 0) terms.delivery_free_from = Money{whole(1000, 6000)};
      if (whole(0, 3) == 0) terms.minimum_order = {whole(500, 4000)};
      yards.push_back(yard_of(fmt::format("yard {}", y), sections, terms));
      if (y == 0 || whole(0, 1) == 0)
        yards.back().fixings = {screws({{50, {whole(200, 600)}}, {100, {whole(500, 1100)}}})};
    }
    std::vector<std::pair<std::string, double>> pieces;
    std::vector<double> rails, posts;
    for (int i = whole(1, 4); i > 0; --i) {
      const double length = whole(1600, 2900);
      const bool rail = whole(0, 1) == 0;
      (rail ? rails : posts).push_back(length);
      pieces.emplace_back(rail ? "rail" : "post", length);
    }
    const int needed = whole(0, 170);
    const Report report = buy({{structure_of({{"rail", rails}, {"post", posts}}, needed)}}, yards, kSaw);
    const std::int64_t least = Force(yards, pieces, needed).least();
    SCOPED_TRACE(fmt::format("round {}", round));
    ASSERT_GE(report.total.minor, least);
    ASSERT_LE(report.whole.lower_bound.minor, least);
    if (report.whole.optimal) {
      ASSERT_EQ(report.total.minor, least);
    }
    std::int64_t billed = 0;
    for (const YardBill& bill : report.bills) billed += bill.total().minor;
    if (!report.bills.empty()) {
      ASSERT_EQ(billed, report.total.minor);
    }
    proven += report.whole.optimal;
    ++rounds;
  }
  // Where a minimum order or free delivery is just missed the bound may stay open; that must be rare.
  EXPECT_GE(proven, rounds * 85 / 100) << proven << " of " << rounds;
}

}  // namespace
}  // namespace garthwright::buying
