// SPDX-License-Identifier: Apache-2.0
// The fence as its sums say, and the verbs that lay timbers on sloping ground.
#include <gmock/gmock.h>

#include <cmath>

#include "base/published_values_for_tests.h"
#include "pattern/patterns_for_tests.h"

namespace garthwright::pattern {
namespace {

using garthwright::testing::Answer;
using garthwright::testing::Published;
using garthwright::testing::Values;
using ::testing::HasSubstr;
using testing::Made;
using testing::make;

constexpr double kLength = 0.005;  // mm

TEST(Fence, CloseBoardOnLevelGround) {
  // 23 400 over the posts of 100: 23 300 / 2400 → 10 bays of 2330, 2230 clear. Boards of 125 that lap 25 at least:
  // (23 400 − 25) / 100 → 234, which lap (234 × 125 − 23 400) / 233 = 25.107.
  const Made fence =
      make("fence",
           "post = '4x4'\nlength = 23400\nmax_spacing = 2400\nheight = 1800\nin_ground = 600\ngravel = 0\n"
           "rails_run = 'between posts'",
           "[timber.measured]\n'4x4' = '100 x 100'");
  ASSERT_EQ(fence.error, "");
  EXPECT_EQ(fence.count("post"), 11);
  EXPECT_EQ(fence.count("rail"), 30);
  EXPECT_EQ(fence.count("gravel board"), 10);
  EXPECT_EQ(fence.count("board"), 234);
  EXPECT_NEAR(fence.length("post"), 1800 + 600, kLength);
  EXPECT_NEAR(fence.length("rail"), 2230, kLength);
  EXPECT_NEAR(fence.length("gravel board"), 2230, kLength);
  EXPECT_NEAR(fence.length("board"), 1800 - 150, kLength);
  EXPECT_NEAR(125 - fence.all("board")[0]->width.value(), 25.107, 0.001);
  // A nail for each board and rail: 3 × 234, also where a board stands over a post alone.
  EXPECT_EQ(fence.fixings("board", "rail") + fence.fixings("board", "post"), 702);
  // What laps is counted once: the solids weigh what 234 whole boards of 125 × 11 weigh.
  double volume = 0;
  for (const Piece* board : fence.all("board")) volume += board->blank().volume();
  EXPECT_NEAR(volume, 234 * 1650.0 * 125 * 11, 1);
  // 11 holes 600 deep and 300 wide less the posts: 11 × (π 0.3² / 4 − 0.1²) × 0.6 = 0.401 m³.
  double concrete = 0;
  for (const Footing& f : fence.structure.footings)
    concrete += (M_PI * f.diameter * f.diameter / 4 - 100.0 * 100) * f.depth;
  EXPECT_NEAR(concrete / 1e9, 0.401, 0.0005);
}

TEST(Fence, GravelBoardsFollowTheGroundUnderALevelledTop) {
  // Down 1 in 20: between posts 1.2 m apart or less each board slants with the ground, and no upright stands in it.
  const Made fence = make("fence",
                          "kind = 'hit-and-miss'\nground = 'levelled top'\nlength = 3500\nmax_spacing = 1200\n"
                          "rails_run = 'between posts'\nwith_gravel_board = true",
                          "[ground]\npoints = [[0, 0, 0], [8000, 0, -400]]");
  ASSERT_EQ(fence.error, "");
  ASSERT_EQ(fence.all("gravel board").size(), fence.count("post") - 1);
  for (const Piece* gravel : fence.all("gravel board")) {
    EXPECT_NEAR(gravel->frame.x.z / gravel->frame.x.x, -0.05, 1e-9);
    for (const Piece* board : fence.all("board")) {
      const Box box = fence.box(*board);
      if (box.max.x < gravel->frame.origin.x || box.min.x > gravel->frame.to_world({gravel->length.value(), 0, 0}).x)
        continue;
      const auto top = [&](double x) {  // the gravel board's upper edge
        const Vec3 corner = gravel->frame.to_world({0, gravel->width.value(), 0});
        return corner.z - 0.05 * (x - corner.x);
      };
      EXPECT_GT(box.min.z, top(std::min(box.min.x, box.max.x)));
    }
  }
  for (const Piece* rail : fence.all("rail")) EXPECT_EQ(rail->frame.x.z, 0);
}

TEST(Fence, RakedPicketsUpADrive) {
  // 7295 over posts of 95: 4 bays of 1800, 1705 clear, rising 1 in 8 (225 a bay). Rails √65 / 8 × 1705 = 1718.269 along
  // each edge and 70 / 8 more from point to point; (1705 − 60) / 130 → 13 pales, gaps (1705 − 13 × 70) / 14 = 56.786.
  const Made fence =
      make("fence",
           "kind = 'picket'\nlength = 7295\nmax_spacing = 1800\nheight = 1050\nfoot = 50\npost_top = 50\n"
           "in_ground = 600\nrails = 2\ngap = 60\nrails_run = 'between posts'",
           "[ground]\npoints = [[0, 0, 0], [8000, 0, 1000]]");
  ASSERT_EQ(fence.error, "");
  EXPECT_EQ(fence.count("post"), 5);
  EXPECT_EQ(fence.count("rail"), 8);
  EXPECT_EQ(fence.count("pale"), 4 * 13);
  EXPECT_NEAR(fence.length("post"), 1100 + 600, kLength);
  EXPECT_NEAR(fence.length("rail"), 1718.269 + 8.75, kLength);
  EXPECT_THAT(fence.all("rail")[0]->note, HasSubstr("1718.3 mm along each edge, both ends 7.1° off square"));
  EXPECT_NEAR(fence.length("pale"), 1000 + 70.0 / 8, kLength);
  const auto& pales = fence.all("pale");
  EXPECT_NEAR(fence.box(*pales[1]).min.x - fence.box(*pales[0]).max.x, 56.786, kLength);
  // Each rail lies on the two posts' faces, 95 / 8 = 11.875 higher on the far one than on the near one of a post.
  const Piece &lower = fence.one("rail", "bay 1 number 1"), &upper = fence.one("rail", "bay 2 number 1");
  const auto low_edge = [](const Piece& rail, double x) {
    return rail.frame.origin.z + (x - rail.frame.origin.x) * rail.frame.x.z / rail.frame.x.x;
  };
  const Box post = fence.box(fence.one("post", "number 2"));
  EXPECT_NEAR(low_edge(upper, post.max.x) - low_edge(lower, post.min.x), 11.875, kLength);
  EXPECT_NEAR(fence.box(fence.one("post", "last")).max.z - fence.box(fence.one("post", "first")).max.z, 900, kLength);
}

TEST(Fence, EndsAreCutForTheSlope) {
  const Made fence = make("fence", "kind = 'picket'\nlength = 3700\nrails_run = 'between posts'",
                          "[ground]\nslope = { way = 'right', percent = 12.5 }");
  ASSERT_EQ(fence.error, "");
  for (const Piece* pale : fence.all("pale")) {
    ASSERT_EQ(pale->machining.size(), 2u);
    for (const Machining& cut : pale->machining) {
      const Vec3 n = pale->frame.direction_to_world(std::get<EndCut>(cut).normal);
      EXPECT_NEAR(std::abs(n.x / n.z), 0.125, 1e-9);
      EXPECT_GT(n.x * n.z, 0);  // falls to the right
    }
  }
}

TEST(Fence, LevelledTopHasEachBoardItsOwnLength) {
  const Made fence = make("fence", "ground = 'levelled top'\nlength = 4000\nheight = 1500",
                          "[ground]\nslope = { way = 'right', percent = 5 }");
  ASSERT_EQ(fence.error, "");
  const auto& boards = fence.all("board");
  for (const Piece* board : boards) EXPECT_NEAR(fence.box(*board).max.z, 1500, kLength);
  // A board of cover c begins 150 above the ground at its high (left) edge: the next is 0.05 c longer.
  const double cover = boards[0]->width.value();
  EXPECT_NEAR(boards[11]->length.value() - boards[10]->length.value(), 0.05 * cover, kLength);
}

TEST(Fence, BoughtPanelsStepAndAreCut) {
  const std::string ground = "[ground]\nslope = { way = 'right', percent = 6 }";
  EXPECT_THAT(make("fence", "kind = 'panels'\npost = '4x4'\nlength = 6000", ground).error,
              HasSubstr("bought panels are square"));
  const Made cut = make("fence", "kind = 'panels'\npost = '4x4'\nlength = 6000\nground = 'stepped'", ground);
  ASSERT_EQ(cut.error, "");
  // (6000 − 95) / (1828 + 6 + 95) → 3 whole, and 6000 − 95 − 3 × 1929 = 118 is too little for a fourth.
  EXPECT_EQ(cut.structure.panels.size(), 3u);
  EXPECT_TRUE(cut.says("118 mm short"));
  const Made four = make("fence", "kind = 'panels'\npost = '4x4'\nlength = 7000\nground = 'stepped'", ground);
  ASSERT_EQ(four.structure.panels.size(), 4u);
  EXPECT_NEAR(four.structure.panels[3].width.value(), 7000 - 95 - 3 * 1929 - 95 - 6, kLength);
  EXPECT_TRUE(four.says("the last panel is cut to 1017 mm"));
  EXPECT_EQ(
      make("fence", "kind = 'panels'\npost = '4x4'\nlength = 7000\nground = 'stepped'\nlast_panel = 'shift'", ground)
          .structure.panels.size(),
      3u);
}

TEST(Fence, SaysWhatIsWrongWithTheGround) {
  const std::string slope = "[ground]\nslope = { way = 'right', percent = 10 }";
  EXPECT_THAT(make("fence", "ground = 'level'", slope).error, HasSubstr("the ground falls 730 mm along the run"));
  EXPECT_TRUE(make("fence", "ground = 'stepped'\nwith_gravel_board = false\nmax_spacing = 2400", slope)
                  .says("stays open under the low ends"));
  EXPECT_TRUE(make("fence", "", "[ground]\nslope = { way = 'right', percent = 30 }").says("rakes by 1 in 3.3"));
  EXPECT_THAT(make("fence",
                   "with_gravel_board = false\nrail = '4x1.5'\nrails_run = 'in front of posts'\n"
                   "max_spacing = 3600\nlength = 7200")
                  .error,
              HasSubstr("longer than any 4x1.5 that the yard sells"));
}

TEST(Fence, StandsInBothYards) {
  for (const char* kind : {"close-board", "picket", "hit-and-miss", "slatted", "post-and-rail", "panels"}) {
    const Made fence = make("fence", std::string("kind = '") + kind + "'\nlength = '24 ft'", "", "mill-creek");
    EXPECT_EQ(fence.error, "") << kind;
    EXPECT_GT(fence.count("post"), 3) << kind;
  }
}

TEST(CurvedScreen, QuarterCircleByChords) {
  // Radius 6000 to the posts' middles, bays of 1800 at most: asin 0.15 → 6 bays of 15°, chords 12 000 sin 7.5° =
  // 1566.314, the curve 6000 (1 − cos 7.5°) = 51.331 outside each; 8485.281 along the string and 1757.359 off it.
  const Made screen = make("curved-screen", "radius = 6000\nangle = 90\nmax_chord = 1800\nrails = 3",
                           "[timber.measured]\n'4x4' = '90 x 90'");
  ASSERT_EQ(screen.error, "");
  EXPECT_EQ(screen.count("post"), 7);
  EXPECT_EQ(screen.count("rail"), 18);
  EXPECT_EQ(screen.count("lath"), 67);  // 11 spaces of 142 in a bay: 6 × 10 and one on each post
  const double along[] = {0, 1242.641, 2689.726, 4242.641, 5795.555, 7242.641, 8485.281};
  const double off[] = {0, 953.512, 1552.914, 1757.359, 1552.914, 953.512, 0};
  const auto& posts = screen.all("post");
  for (std::size_t i = 0; i < 7; ++i) {
    EXPECT_NEAR(screen.box(*posts[i]).centre().x, along[i], kLength);
    EXPECT_NEAR(-screen.box(*posts[i]).centre().y, off[i], kLength);
  }
  const Vec3 step = screen.box(*posts[1]).centre() - screen.box(*posts[0]).centre();
  EXPECT_NEAR(std::hypot(step.x, step.y), 1566.314, kLength);
  EXPECT_TRUE(screen.says("51.3 mm inside the curve"));
  const Piece& rail = *screen.all("rail")[0];
  ASSERT_EQ(rail.machining.size(), 2u);
  for (const Machining& cut : rail.machining) {
    const Vec3 n = unit(std::get<EndCut>(cut).normal);
    EXPECT_NEAR(std::acos(std::abs(n.x)) * 180 / M_PI, 7.5, 1e-6);
  }
  EXPECT_THAT(rail.note, HasSubstr("1566.3 mm between the posts' middles"));
}

// ---- published and computed values ----------------------------------------------------------------------------------

std::string mm(double value) { return fmt::format("{:.6f}", value); }
std::string measured(double post) { return fmt::format("[timber.measured]\n'4x4' = '{0:.4f} x {0:.4f}'\n", post); }

Values bays_of(const Published& o) {
  const double inch = o.has("length_outside_in") ? 25.4 : 1;
  const std::string unit = inch == 1 ? "mm" : "in";
  const double post = o.in(("post_" + unit).c_str()) * inch;
  const Made fence = make("fence",
                          "kind = 'post-and-rail'\nrails_run = 'between posts'\nrail = '4x2'\nlength = " +
                              mm(o.in(("length_outside_" + unit).c_str()) * inch) +
                              "\nmax_spacing = " + mm(o.in(("max_spacing_" + unit).c_str()) * inch),
                          measured(post));
  EXPECT_EQ(fence.error, "");
  const double clear = fence.length("rail") / inch;
  return {{"bays", fence.count("post") - 1},
          {"posts", fence.count("post")},
          {"clear_" + unit, clear},
          {"spacing_" + unit, clear + post / inch}};
}

Values panels_of(const Published& o) {
  const Made fence = make("fence", "kind = 'panels'\npost = '4x4'\nfit = 0\nlength = " + mm(o.in("length_outside_mm")),
                          measured(o.in("post_mm")));
  double whole = 0, last = 0;
  for (const Panel& panel : fence.structure.panels)
    panel.width.value() > o.in("panel_mm") - 0.5 ? whole += 1 : last = panel.width.value();
  return {{"whole_panels", whole}, {"last_clear_mm", last}, {"posts", fence.count("post")}};
}

Values pales_of(const Published& o) {
  const double post = 100, clear = o.in("clear_mm");
  const Made fence =
      make("fence",
           "kind = 'picket'\npost = '4x4'\nrails_run = 'between posts'\npale = '4x1'\nmax_spacing = 3600\nlength = " +
               mm(clear + 2 * post) + "\ngap = " + mm(o.in("max_gap_mm")),
           measured(post) + fmt::format("'4x1' = '22 x {:.4f}'\n", o.in("pale_mm")));
  const auto& pales = fence.all("pale");
  return {{"pales", fence.count("pale")}, {"gap_mm", fence.box(*pales[1]).min.x - fence.box(*pales[0]).max.x}};
}

Values feather_of(const Published& o) {
  const Made fence = make("fence", "length = " + mm(o.in("length_mm")) + "\noverlap = " + mm(o.in("min_overlap_mm")),
                          fmt::format("[timber.measured]\n'featheredge 125' = '11 x {:.4f}'", o.in("board_mm")));
  return {{"boards", fence.count("board")}, {"overlap_mm", o.in("board_mm") - fence.all("board")[0]->width.value()}};
}

/// The fence falls from the first post's middle to the last one's.
std::string falling(double run, double drop, double post) {
  return fmt::format("[ground]\npoints = [[{}, 0, {}], [{}, 0, {}]]\n", post / 2 - run, drop, post / 2 + 2 * run,
                     -2 * drop);
}

Values stepped_of(const Published& o) {
  const double p = o.in("post_mm"), run = o.in("length_cc_mm"), s = run / o.in("bays");
  const Made fence = make("fence",
                          fmt::format("kind = 'picket'\npost = '4x4'\nground = 'stepped'\nrails_run = 'between "
                                      "posts'\nlength = {}\nmax_spacing = {}\n"
                                      "height = {}\nfoot = {}\npost_top = {}\nin_ground = {}\nrails = 2",
                                      run + p, s + 0.01, o.in("panel_mm") + o.in("gap_uphill_mm"),
                                      o.in("gap_uphill_mm"), o.in("cap_mm"), o.in("embed_mm")),
                          measured(p) + falling(run, o.in("drop_mm"), p));
  EXPECT_EQ(fence.error, "");
  const auto& posts = fence.all("post");
  const auto& rails = fence.all("rail");
  const double slope = o.in("drop_mm") / run;
  const double step = fence.box(*rails[0]).min.z - fence.box(*rails[2]).min.z;
  // The foot of the pales in the first bay, over the ground at its low end (the structure's zero is the ground at 0).
  const double low_end = -slope * (s + p / 2 - p / 2);
  const double foot = fence.box(*fence.all("pale")[0]).min.z;
  return {{"slope_nd", slope},
          {"step_mm", step},
          {"gap_uphill_mm", foot + slope * p},
          {"gap_downhill_mm", foot - low_end},
          {"post_first_mm", posts[0]->length.value()},
          {"post_other_mm", posts[1]->length.value()}};
}

Values raked_of(const Published& o) {
  const double p = o.in("post_mm"), run = o.in("length_cc_mm"), s = run / o.in("bays"), w = o.in("pale_mm");
  const Made fence =
      make("fence",
           fmt::format("kind = 'picket'\npost = '4x4'\nrails_run = 'between posts'\nlength = {}\nmax_spacing = {}\n"
                       "height = {}\nfoot = 50\nrails = 2\npale = '4x1'",
                       run + p, s + 0.01, o.in("pale_height_mm") + 50),
           measured(p) + fmt::format("'4x1' = '22 x {:.4f}'\n", w) + falling(run, o.in("drop_mm"), p));
  EXPECT_EQ(fence.error, "");
  const Piece& rail = *fence.all("rail")[0];
  const double angle = std::atan2(-rail.frame.x.z, rail.frame.x.x), pale = fence.length("pale");
  const double edge = rail.length.value() - rail.width.value() * std::tan(angle);
  // Where the undersides of two rails meet the faces of the post between them.
  const Piece& next = *fence.all("rail")[2];
  const Box first = fence.box(*fence.all("post")[0]), second = fence.box(*fence.all("post")[1]);
  const auto underside = [](const Piece& r, double x) {
    return r.frame.origin.z + (x - r.frame.origin.x) * r.frame.x.z / r.frame.x.x;
  };
  return {{"angle_deg", angle * 180 / M_PI},
          {"rail_length_mm", edge},
          {"rail_cc_mm", s / std::cos(angle)},
          {"drop_per_bay_mm", first.max.z - second.max.z},
          {"pale_blank_mm", pale},
          {"pale_end_cut_mm", pale - o.in("pale_height_mm")},
          {"rail_shift_across_post_mm", underside(rail, second.min.x) - underside(next, second.max.x)}};
}

Values irregular_of(const Published& o) {
  const double p = o.in("post_mm"), bays = o.in("bays");
  const auto& x = o.inputs.at("x_mm");
  const auto& level = o.inputs.at("ground_mm");
  std::string points;
  for (std::size_t i = 0; i < x.size(); ++i)
    points += fmt::format("[{}, 0, {}], ", x[i].get<double>() + p / 2, level[i].get<double>());
  const double run = x.back().get<double>();
  const Made fence = make("fence",
                          fmt::format("kind = 'picket'\nground = 'stepped'\nrails_run = 'between posts'\nrail = '4x2'\n"
                                      "length = {}\nmax_spacing = {}\nheight = {}\nfoot = {}\npost_top = 0\nrails = 2\n"
                                      "post = '4x4'\nin_ground = 600",
                                      run + p, run / bays, o.in("panel_mm") + o.in("gap_min_mm"), o.in("gap_min_mm")),
                          measured(p) + "[ground]\npoints = [" + points + "]\n");
  EXPECT_EQ(fence.error, "");
  Values values;
  const auto ground = [&](double at) {  // straight between the points, counted from the first post's middle
    for (std::size_t i = 1; i < x.size(); ++i)
      if (at <= x[i].get<double>() || i + 1 == x.size()) {
        const double a = x[i - 1].get<double>(), b = x[i].get<double>();
        return level[i - 1].get<double>() + (at - a) / (b - a) * (level[i].get<double>() - level[i - 1].get<double>());
      }
    return 0.0;
  };
  for (int bay = 1; bay <= bays; ++bay) {
    double foot = 1e9;
    const double from = (bay - 1) * run / bays, to = bay * run / bays;
    for (const Piece* pale : fence.all("pale")) {
      const Box box = fence.box(*pale);
      if (box.min.x > from && box.max.x < to + p) foot = std::min(foot, box.min.z);
    }
    double low = std::min(ground(from + p / 2), ground(to - p / 2));
    for (const auto& break_at : x)
      if (break_at.get<double>() > from + p / 2 && break_at.get<double>() < to - p / 2)
        low = std::min(low, ground(break_at.get<double>()));
    values[fmt::format("bottom_level_{}_mm", bay)] = foot;
    values[fmt::format("gap_max_{}_mm", bay)] = foot - low;
  }
  int number = 0;
  for (const Piece* post : fence.all("post"))
    values[fmt::format("post_above_ground_{}_mm", ++number)] = post->length.value() - 600;
  return values;
}

Values curve_of(const Published& o) {
  const Made screen = make("curved-screen", fmt::format("radius = {}\nangle = {}\nmax_chord = {}", o.in("radius_mm"),
                                                        o.in("angle_deg"), o.in("max_chord_mm")));
  EXPECT_EQ(screen.error, "");
  const auto& posts = screen.all("post");
  const Vec3 step = screen.box(*posts[1]).centre() - screen.box(*posts[0]).centre();
  const double bays = screen.count("post") - 1;
  const auto turn = [](const Piece& p) { return std::atan2(p.frame.y.y, p.frame.y.x) * 180 / M_PI; };
  const Vec3 cut = unit(std::get<EndCut>(screen.all("rail")[0]->machining.front()).normal);
  // The middle of a bay lies inside the curve by what its chord leaves of the radius.
  const double chord = std::hypot(step.x, step.y), r = o.in("radius_mm");
  return {{"bays", bays},
          {"chord_mm", chord},
          {"sagitta_mm", r - std::sqrt(r * r - chord * chord / 4)},
          {"end_bevel_deg", std::acos(std::abs(cut.x)) * 180 / M_PI},
          {"turn_deg", turn(*posts[1]) - turn(*posts[0])},
          {"arc_length_mm", r * (turn(*posts.back()) - turn(*posts.front())) * M_PI / 180}};
}

/// As the values are written: to six figures.
Values six_figures(Values values) {
  for (auto& [key, value] : values) value = std::stod(fmt::format("{:.6g}", value));
  return values;
}

std::optional<Values> fence_of(const Published& o) {
  if (o.starts("yard_bays_")) return bays_of(o);
  if (o.starts("yard_panels_")) return panels_of(o);
  if (o.starts("yard_pales_")) return pales_of(o);
  if (o.starts("yard_feather_") && o.wants("boards")) return feather_of(o);
  if (o.starts("yard_stepped_")) return stepped_of(o);
  if (o.starts("yard_raked_")) return raked_of(o);
  if (o.id == "yard_irregular_levels") return irregular_of(o);
  if (o.id == "yard_curve_2" || o.id == "yard_curve_3") return curve_of(o);
  if (o.id == "yard_arris_count")
    return Values{
        {"rails_to_1500_mm", make("fence", "height = 1200\nlength = 1900\nmax_spacing = 1900").count("rail")},
        {"rails_above_1500_mm", make("fence", "height = 1800\nlength = 1900\nmax_spacing = 1900").count("rail")}};
  if (o.id == "yard_levels") {
    // The staff's readings make the ground that each post is set for: post and ground differ by one length.
    std::string at, readings;
    const auto& staff = o.inputs.at("staff_mm");
    for (std::size_t i = 0; i < staff.size(); ++i) {
      at += fmt::format("[{}, 0], ", 47.5 + 1500 * static_cast<double>(i));
      readings += fmt::format("{}, ", staff[i].get<double>());
    }
    const Made fence = make("fence", "kind = 'picket'\nlength = 4595\nmax_spacing = 1500",
                            fmt::format("[ground]\nstaff = {{ backsight = {}, at = [{}], readings = [{}] }}\n",
                                        o.in("backsight_mm"), at, readings));
    Values values;
    const auto& posts = fence.all("post");
    const double zero = o.in("backsight_mm") - staff[0].get<double>();
    const double first = fence.box(*posts.at(0)).min.z;
    for (std::size_t i = 0; i < posts.size(); ++i)
      values[fmt::format("level_{}_mm", i + 1)] = fence.box(*posts[i]).min.z - first + zero;
    return values;
  }
  return std::nullopt;
}

TEST(Fence, PublishedAndComputedSizes) {
  garthwright::testing::check_published("yard.json", [](const Published& o) -> std::optional<Answer> {
    const std::optional<Values> values = fence_of(o);
    if (!values) return std::nullopt;
    return six_figures(*values);
  });
}

}  // namespace
}  // namespace garthwright::pattern
