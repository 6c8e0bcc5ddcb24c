// SPDX-License-Identifier: Apache-2.0
#include "plan/plan.h"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "base/source_dir_for_tests.h"
#include "structure/marks.h"
#include "structure/saw.h"

namespace garthwright {
namespace {

using testing::HasSubstr;

const std::string kSource = source_dir();

pattern::Shelves shelves() { return {{kSource + "/patterns", kSource + "/tests/patterns"}, {kSource + "/catalogues"}}; }

std::string job_text(const std::string& pattern, const std::string& choices,
                     const std::string& catalogue = "harrow-lane", const std::string& more = "") {
  return fmt::format(
      "format = 1\ntitle = \"Try\"\n{}\n[timber]\ncatalogue = \"{}\"\n[[structure]]\nname = \"it\"\n"
      "pattern = \"{}\"\n[structure.choices]\n{}\n",
      more, catalogue, pattern, choices);
}

Result<Plan> plan_of(const std::string& text) {
  const Result<pattern::Job> job = pattern::parse_job(text, "job.toml", shelves());
  if (!job) return tl::make_unexpected(job.error());
  return make_plan(*job, shelves());
}

std::string errors(const Result<Plan>& plan) {
  std::string text;
  for (const Diagnostic& d : plan ? plan->diagnostics : plan.error())
    if (d.severity == Severity::error) text += to_string(d) + "\n";
  return text;
}

std::vector<const Piece*> named(const Plan& plan, const std::string& name) {
  std::vector<const Piece*> found;
  for (const Piece& piece : plan.garden.structures.at(0).pieces)
    if (piece.name == name) found.push_back(&piece);
  return found;
}

void expect_pieces(const Plan& plan, const std::string& name, std::size_t quantity, double length) {
  const std::vector<const Piece*> pieces = named(plan, name);
  EXPECT_EQ(pieces.size(), quantity) << name;
  for (const Piece* piece : pieces) EXPECT_NEAR(piece->length.value(), length, 1e-9) << name;
}

// The lengths of an arbor by hand (common practice, no source). Panel P × Q, post a × b (b along the side), opening W,
// frame thickness f and depth F, beam thickness t, side height H, ground depth g, side overhang o, front overhang p,
// leg l; posts' heads 55 above the frame, its members 60 past the corners:
//
//   posts    H + 55 + g           rails    P                 frame long   W + 2a + 2f + 120
//   battens  Q                    braces   l √2, 45° ends    frame cross  P + 2b, ends P + 2b + 120
//   beams    W + 2a + 2f + 2o     rafters  P + 2b + 2f + 2t + 2p
TEST(Arbor, LengthsAreTheSumsOfTheTrade) {
  const double P = 750, Q = 1500, W = 1420, a = 70, b = 95, f = 44, t = 47, H = 2080, g = 620, o = 310, p = 240,
               l = 430;
  const Result<Plan> plan = plan_of(job_text(
      "arbor",
      "opening = 1420\npanel_width = 750\npanel_height = 1500\nheight = 2080\nin_ground = 620\npost = \"4x4\"\n"
      "frame = \"4x2\"\nbeam = \"6x2\"\nrafter = \"3x2\"\nside_overhang = 310\nfront_overhang = 240\nrafters = "
      "5\nbrace_leg = 430",
      "harrow-lane", ""));
  // Measured sizes beat the yard's.
  std::string text = job_text("arbor",
                              "opening = 1420\npanel_width = 750\npanel_height = 1500\nheight = 2080\nin_ground = 620\n"
                              "post = \"4x4\"\nframe = \"4x2\"\nbeam = \"6x2\"\nrafter = \"3x2\"\nside_overhang = 310\n"
                              "front_overhang = 240\nrafters = 5\nbrace_leg = 430");
  const std::string measured =
      "[timber.measured]\n\"4x4\" = \"70 x 95\"\n\"4x2\" = \"44 x 94\"\n\"6x2\" = \"47 x 146\"\n";
  text.insert(text.find("[[structure]]"), measured);
  const Result<Plan> made = plan_of(text);
  ASSERT_TRUE(plan) << errors(plan);
  ASSERT_TRUE(made) << errors(made);
  EXPECT_EQ(errors(made), "");

  expect_pieces(*made, "post", 4, H + 55 + g);
  expect_pieces(*made, "rail", 4, P);
  expect_pieces(*made, "upright batten", 4, Q);
  expect_pieces(*made, "frame long member", 2, W + 2 * a + 2 * f + 120);
  expect_pieces(*made, "frame cross member", 1, P + 2 * b);
  expect_pieces(*made, "frame end member", 2, P + 2 * b + 120);
  expect_pieces(*made, "fascia beam", 2, W + 2 * a + 2 * f + 2 * o);
  expect_pieces(*made, "rafter", 5, P + 2 * b + 2 * f + 2 * t + 2 * p);
  expect_pieces(*made, "knee brace", 4, l * std::numbers::sqrt2);
  for (const Piece* brace : named(*made, "knee brace"))
    for (const Machining& m : brace->machining) EXPECT_NEAR(saw_setting(std::get<EndCut>(m)).mitre_deg, 45, 1e-9);

  // Notches: in a rafter at p and at p + t + 2f + P + 2b; in a beam the first rafter's at o + f + a + 20, the rest at
  // equal distances so that the last one ends 20 before the far post.
  const Piece& rafter = *named(*made, "rafter")[0];
  std::vector<double> from;
  for (const Machining& m : rafter.machining)
    if (const auto* notch = std::get_if<Notch>(&m)) from.push_back(notch->from.value());
  EXPECT_THAT(from,
              testing::ElementsAre(testing::DoubleNear(p, 1e-9), testing::DoubleNear(p + t + 2 * f + P + 2 * b, 1e-9)));
  const double rafter_thick = 45, step = (W - 40 - rafter_thick) / 4;
  from.clear();
  for (const Machining& m : named(*made, "fascia beam")[0]->machining)
    if (const auto* notch = std::get_if<Notch>(&m)) from.push_back(notch->from.value());
  ASSERT_EQ(from.size(), 5u);
  for (int i = 0; i < 5; ++i) EXPECT_NEAR(from[static_cast<std::size_t>(i)], o + f + a + 20 + i * step, 1e-9);
}

TEST(Arbor, EveryLengthSaysWhy) {
  const Result<Plan> plan = plan_of(job_text("arbor", "opening = 1350"));
  ASSERT_TRUE(plan) << errors(plan);
  const Result<std::vector<std::string>> story = why(*plan, "E1");
  ASSERT_TRUE(story);
  EXPECT_EQ(
      story->at(0),
      "E1 (frame long member) is 1750 = opening 1350 + 2 × post thickness 95 + 2 × frame thickness 45 + 2 × horn 60");
  EXPECT_THAT(story->at(1), HasSubstr("opening 1350 (choice)"));
  const auto unknown = why(*plan, "F9");
  ASSERT_FALSE(unknown);
  EXPECT_THAT(unknown.error().front().cure, HasSubstr("F1"));
}

// Odd but buildable: the geometry finds no clash and no contact without a joint.
TEST(Arbor, OddCasesHold) {
  for (const char* choices :
       {"opening = 900\nrafters = 1", "opening = 1350\nside_overhang = 0\nfront_overhang = 0",
        "opening = 1350\nbrace_leg = 0", "opening = 2400\nrafters = 9\nbeam = \"8x2\"",
        "opening = 1350\nbeam_end = \"square\"\nrafter_end = \"ogee\"",
        "opening = 1350\nbeam_end = [[0, 1], [0.2, 0.9], [0.5, 0.1], [1, 0]]", "opening = 1350\npost = \"6x6\"",
        "opening = 1350\nheight = 1970", "opening = 1350\npost = \"4x2\"", "opening = 1350\nbrace_leg = 600",
        "opening = 600\nrafters = 3\nbrace_leg = 200"}) {
    const Result<Plan> plan = plan_of(job_text("arbor", choices));
    ASSERT_TRUE(plan) << choices << "\n" << errors(plan);
    EXPECT_EQ(errors(plan), "") << choices;
  }
}

TEST(Arbor, ChoicesThatCannotBeBuiltNameTheirLimit) {
  const Result<Plan> braces = plan_of(job_text("arbor", "opening = 1350\nbrace_leg = 800"));
  ASSERT_FALSE(braces);
  EXPECT_EQ(
      to_string(braces.error().front()),
      "job.toml:11:13: error: braces with legs of 800 mm are longer than the room there is; give at most 652.5 mm "
      "[cannot-build]");
  const Result<Plan> panel = plan_of(job_text("arbor", "opening = 1350\nheight = 1700"));
  ASSERT_FALSE(panel);
  EXPECT_THAT(to_string(panel.error().front()), HasSubstr("the panel is 1830 mm high"));
  EXPECT_THAT(to_string(panel.error().front()), HasSubstr("a height of at least 1970 mm"));
  const Result<Plan> beam = plan_of(job_text("arbor", "opening = 1350\nbeam = \"4x2\""));
  ASSERT_FALSE(beam);
  EXPECT_THAT(to_string(beam.error().front()), HasSubstr("no deeper than the frame"));
}

TEST(Arbor, WrongChoicesPointAtTheirLine) {
  const auto first = [](const std::string& choices) {
    return to_string(plan_of(job_text("arbor", choices)).error().front());
  };
  EXPECT_THAT(first("openning = 1350"), testing::AllOf(HasSubstr("job.toml:10:"), HasSubstr("did you mean opening?")));
  EXPECT_THAT(first("opening = 90"), HasSubstr("opening is 90 mm; give 500 mm to 4000 mm"));
  EXPECT_THAT(first("opening = \"3 furlongs\""), HasSubstr("bad-length"));
  EXPECT_THAT(first("opening = 1350\npost = \"4x5\""), testing::AllOf(HasSubstr("job.toml:11:"), HasSubstr("4x4")));
  EXPECT_THAT(first("opening = 1350\nrafters = 2.5"), HasSubstr("give a whole number"));
  EXPECT_THAT(first("opening = true"), HasSubstr("give a length"));
  EXPECT_THAT(first("rafters = 3"), HasSubstr("opening is not given"));
}

TEST(Arbor, UsYardBuildsTheSameWay) {
  const Result<Plan> plan = plan_of(job_text("arbor", "opening = '4 ft 2 in'", "mill-creek", "units = \"ft-in\""));
  ASSERT_TRUE(plan) << errors(plan);
  EXPECT_EQ(errors(plan), "");
}

TEST(Pergola, StandsInAllItsForms) {
  for (const char* choices :
       {"length = 4200\ndepth = 3000", "length = 4200\ndepth = 3000\nbeams = \"single\"",
        "length = 4200\ndepth = 3000\nagainst = \"wall\"",
        "length = 3600\ndepth = 2800\nagainst = \"wall\"\nbeams = \"single\"\npurlins = 5",
        "length = 12000\ndepth = 3500\npurlins = 8", "length = 2400\ndepth = 2400\nrafters = 1\nbrace_leg = 0",
        "length = 2400\ndepth = 2400\nside_overhang = 0\nfront_overhang = 0",
        "length = 5000\ndepth = 3000\npost = \"6x6\""}) {
    const Result<Plan> plan = plan_of(job_text("pergola", choices));
    ASSERT_TRUE(plan) << choices << "\n" << errors(plan);
    EXPECT_EQ(errors(plan), "") << choices;
  }
}

// A pattern of someone else's, from the trade's verbs alone.
TEST(Gate, IsBuiltFromTheVerbsAlone) {
  for (const char* hinge : {"left", "right"}) {
    const Result<Plan> plan = plan_of(job_text("wicket", fmt::format("width = 910\nhinge = \"{}\"", hinge)));
    ASSERT_TRUE(plan) << errors(plan);
    EXPECT_EQ(errors(plan), "");
    expect_pieces(*plan, "board", 6, 1200);
    expect_pieces(*plan, "ledge", 3, 900);
    EXPECT_EQ(named(*plan, "brace").size(), 2u);
  }
}

// Mass of a plain timber: volume × density as bought.
TEST(Plan, WeighsTimberAsItComesFromTheYard) {
  const Result<Plan> plan = plan_of(job_text("arbor", "opening = 1350"));
  ASSERT_TRUE(plan) << errors(plan);
  const PieceRow& post = plan->pieces.front();
  const timber::Section& section = plan->garden.structures[0][plan->garden.structures[0].pieces[0].section];
  EXPECT_NEAR(post.mass_kg, (2150.0 + 55 + 1100) * 95 * 95 * 1e-9 * section.density_as_bought_kg_m3, 1e-9);
  double sum = 0;
  for (const PieceRow& row : plan->pieces) sum += row.quantity * row.mass_kg;
  EXPECT_NEAR(plan->wholes.at(0).timber_kg, sum, 1e-9);
  // The arbor is symmetrical across its opening.
  EXPECT_NEAR(plan->wholes[0].centre.x, 675, 1e-6);
}

// ---- the order of work ----------------------------------------------------------------------------------------------

TEST(Order, IsWorkedOutOnlyWhenAskedFor) {
  const std::string text = job_text("arbor", "opening = 1350\npanel = \"trellis 1830x610\"\nheight = 2200");
  const Result<pattern::Job> job = pattern::parse_job(text, "job.toml", shelves());
  ASSERT_TRUE(job);
  EXPECT_TRUE(make_plan(*job, shelves())->orders.empty());
  const Result<Plan> plan = make_plan(*job, shelves(), {.order = sequence::Options{}});
  ASSERT_TRUE(plan) << errors(plan);
  ASSERT_EQ(plan->orders.size(), 1U);
  EXPECT_EQ(plan->orders[0].stages.front().title, "Cut, machine and seal");
  sequence::Options options;
  options.first = "roof garden";
  const Result<Plan> refused = make_plan(*job, shelves(), {options});
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().front().code, "unknown-first");
}

}  // namespace
}  // namespace garthwright
