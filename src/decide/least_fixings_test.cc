// SPDX-License-Identifier: Apache-2.0
#include "decide/least_fixings.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "buying/buying.h"
#include "decide/rough_price.h"
#include "decide/shelves_for_tests.h"

namespace garthwright::decide {
namespace {

struct Arbor {
  pattern::Job job;
  Structure structure;

  explicit Arbor(const std::string& fixings = {}) {
    job = pattern::parse_job(
              "format = 1\n[timber]\ncatalogue = \"harrow-lane\"\n[[structure]]\npattern = \"arbor\"\n"
              "[structure.choices]\nopening = 1350\nbrace_leg = 0\n" +
                  fixings,
              "job.toml", shipped_shelves())
              .value();
    int letter = 0;
    structure = pattern::build(job, job.orders.front(), shipped_shelves(), 0, letter).value().structure;
  }
  std::size_t connection(const std::string& name) const {
    const auto at = std::find_if(structure.connections.begin(), structure.connections.end(),
                                 [&](const Connection& c) { return c.name == name; });
    if (at == structure.connections.end()) throw std::runtime_error("no " + name);
    return static_cast<std::size_t>(at - structure.connections.begin());
  }
  double paid_for_fixings() const {
    double sum = 0;
    for (const auto& line : buying::buy({{structure}}, job.yard, job.saw).fixings)
      sum += static_cast<double>(line.quantity * line.unit_price.minor);
    return sum;
  }
};

/// No less than by the piece, and whole packs besides; no more than what is paid whichever candidate a group takes.
TEST(LeastFixings, IsBelowWhateverIsTaken) {
  const Arbor arbor;
  const double least = LeastFixings(arbor.job, SoldFixings(arbor.job.yard), false).of({{arbor.structure}});
  EXPECT_GT(least, 2 * RoughPrices(arbor.job, false, false).fixings(arbor.structure));
  EXPECT_LE(least, arbor.paid_for_fixings());
  int set = 0;
  for (const Connection& connection : arbor.structure.connections)
    for (const std::string& text : connection.candidates) {
      try {
        const Arbor other("[structure.fixings]\n\"" + connection.name + "\" = \"" + text + "\"\n");
        EXPECT_LE(least, other.paid_for_fixings()) << connection.name << ": " << text;
        ++set;
      } catch (const tl::bad_expected_access<Diagnostics>&) {  // it cannot be set there
      }
    }
  EXPECT_GT(set, 50);
}

TEST(LeastFixings, SaysNothingWhereSomeAreOnHand) {
  const Arbor arbor;
  EXPECT_EQ(LeastFixings(arbor.job, SoldFixings(arbor.job.yard), true).of({{arbor.structure}}), 0);
}

/// EN 1995-1-1 8.3.1.2(4), 8.7.2(2).
TEST(BearingCandidates, LeaveOutWhatBearsNothingInEndGrain) {
  const Arbor arbor;
  const std::size_t rail = arbor.connection("post to rail"), cap = arbor.connection("cap to post");
  const std::vector<std::string>& all = arbor.structure.connections[rail].candidates;
  ASSERT_THAT(all, testing::Contains("1 x screw 5"));
  const auto bearing = bearing_candidates(arbor.structure, rail, SoldFixings(arbor.job.yard));
  EXPECT_THAT(bearing, testing::Not(testing::Contains("1 x screw 5")));
  EXPECT_THAT(bearing, testing::Contains("1 x angle bracket 60x60x40"));
  EXPECT_EQ(bearing.front(), all.front());
  // What a pattern itself sets in end grain may be something else there.
  EXPECT_EQ(bearing_candidates(arbor.structure, cap, SoldFixings(arbor.job.yard)),
            arbor.structure.connections[cap].candidates);
}

}  // namespace
}  // namespace garthwright::decide
