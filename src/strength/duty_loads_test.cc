// SPDX-License-Identifier: Apache-2.0
//
// Loads by what a body is there for, asked of whole structures. Values: tests/reference/values/yard.json (its rows name
// their sources).
#include "strength/duty_loads.h"

#include <fmt/format.h>
#include <gmock/gmock.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <optional>

#include "base/source_dir_for_tests.h"
#include "pattern/job.h"
#include "pattern/patterns_for_tests.h"
#include "strength/checks.h"
#include "strength/fixing_strength.h"
#include "strength/screens.h"
#include "strength/site_loads.h"
#include "strength/study.h"

namespace garthwright::strength {
namespace {

using nlohmann::json;
using pattern::testing::built;

json row(const std::string& id) {
  static const json all = json::parse(std::ifstream(std::string(source_dir()) + "/tests/reference/values/yard.json"));
  for (const json& r : all.is_array() ? all : all.at("rows"))
    if (r.at("id") == id) return r;
  throw std::runtime_error("no row " + id);
}

Vec3 vec(const frame::Vec3& v) { return {v[0], v[1], v[2]}; }

// ---- fences in the wind ---------------------------------------------------------------------------------------------

/// Solid panels of one bay each in a line, standing on the ground.
Structure fence(int bays, double bay, double high, double solidity = 1) {
  Structure s;
  for (int i = 0; i < bays; ++i) {
    Panel panel;
    panel.name = "panel", panel.width = bay, panel.height = high, panel.thickness = 20;
    panel.solidity = solidity;
    panel.duties = {Duty::screen};
    panel.frame = {{i * bay, 0, 0}, {1, 0, 0}, {0, 0, 1}, {0, -1, 0}};
    s.panels.push_back(panel);
  }
  return s;
}
Site at(const char* terrain) {
  Site site;
  site.terrain = terrain;
  return site;
}

TEST(Fences, AFullBayFarFromTheEndsAndTheEndPost) {
  const std::vector<ScreenRun> runs = screen_runs(fence(12, 1830, 1800));
  ASSERT_EQ(runs.size(), 1U);
  EXPECT_NEAR(runs[0].length(), 12 * 1830, 1e-6);
  EXPECT_TRUE(runs[0].is_wall(0));
  for (const auto& [id, terrain] : {std::pair{"yard_bay_force_II_D", "II"}, {"yard_bay_force_III_D", "III"}}) {
    const double q = wind_pressure(at(terrain), 1800);  // N/mm²
    EXPECT_NEAR(q * wall_coefficient(at(terrain), runs[0], 5 * 1830, 6 * 1830) * 1830 * 1800 / 1000,
                row(id)["expected"]["F_kN"].get<double>(), 1e-3)
        << id;
  }
  const double q = wind_pressure(at("III"), 1800);
  EXPECT_NEAR(q * wall_coefficient(at("III"), runs[0], 0, 915) * 915 * 1800 / 1000,
              row("yard_tributary_end_post")["expected"]["F_kN"].get<double>(), 1e-3);
}

TEST(Fences, OpenOnesAreLatticesAndClearOnesAreNoWall) {
  EXPECT_FALSE(screen_runs(fence(6, 1830, 1800, 0.5))[0].is_wall(0));
  EXPECT_FALSE(screen_runs(fence(6, 1830, 1800))[0].is_wall(-700)) << "a quarter of its height is clear below";
}

TEST(Fences, ACornerEasesItsEnd) {
  Structure s = fence(4, 1830, 1800);
  const double free = wall_coefficient(at("III"), screen_runs(s)[0], 0, 500);
  Panel turn = s.panels.front();
  turn.frame = {{0, 0, 0}, {0, 1, 0}, {0, 0, 1}, {1, 0, 0}};
  s.panels.push_back(turn);
  for (const ScreenRun& run : screen_runs(s))
    if (run.of.size() == 4) {
      EXPECT_LT(wall_coefficient(at("III"), run, 0, 500), free);
      EXPECT_NEAR(wall_coefficient(at("III"), run, 0, 500), 2.1, 1e-9);  // Table 7.9, return of its height or more
      EXPECT_NEAR(wall_coefficient(at("III"), run, 4 * 1830 - 500, 4 * 1830), 2.3 + (7320.0 / 1800 - 3) / 2 * 0.6,
                  0.01);
    }
}

TEST(Fences, TheAmericanEndTakesMostToo) {
  Site us;
  us.route = Site::Route::us;
  const ScreenRun run = screen_runs(fence(8, 2440, 1830))[0];
  const double end = wall_coefficient(us, run, 0, 1830), middle = wall_coefficient(us, run, 9000, 10000);
  EXPECT_GT(end, 1.5 * middle);
  EXPECT_NEAR(middle, 1.3, 0.05);  // ASCE 7-16 Figure 29.3-1, B/s 10, s/h 1
}

// ---- soil -----------------------------------------------------------------------------------------------------------

// Three courses of 150: the lowest board bears what the row says, all push outwards, and the whole is K γ H²/2.
TEST(Soil, PushesBoardsByTheirDepth) {
  const Structure s = built("raised_bed", "length = 1800\nwidth = 1000\ncourses = 3\nstake = \"3x3\"\nboard = \"6x2\"",
                            "[timber.measured]\n\"6x2\" = \"45 x 150\"");
  const Model m = model_of(s, {});
  const json lowest = row("yard_bedboard_1")["expected"];
  std::map<int, double> of_piece;  // N/mm, outwards
  double out = 0, across = 0;
  const frame::Loads both = soil_push(s, m, true, 2.5);
  for (const frame::MemberLoad& l : both.on_members)
    for (const Bar& bar : m.bars)
      if (bar.member == l.member) {
        const Piece& piece = s[bar.piece];
        const Vec3 q = vec(l.uniform_n_per_mm), middle = world_box(s, body(bar.piece)).centre();
        of_piece[bar.piece.index] = norm(q);
        out += dot(q, middle - Vec3{900, 500, middle.z}) > 0 ? 0 : 1;
        across += std::abs(dot(q, piece.frame.x));
      }
  EXPECT_EQ(out, 0) << "some push inwards";
  EXPECT_NEAR(across, 0, 1e-9);
  ASSERT_EQ(of_piece.size(), 12U);
  double most = 0, sum = 0;
  for (const auto& [p, q] : of_piece) most = std::max(most, q), sum += q;
  EXPECT_NEAR(most, lowest["w_kN_m"].get<double>(), 1e-4);  // kN/m = N/mm
  EXPECT_NEAR(sum / 4, row("yard_bed_tie")["inputs"]["P_kN_m"].get<double>(), 1e-3);
}

// A board that rakes with the ground is no deeper for it, and its neighbours along the line are not over it.
TEST(Soil, IsNoDeeperOnASlope) {
  Structure s = built("raised_bed", "length = 1800\nwidth = 1000\ncourses = 1\nstake = \"3x3\"\nboard = \"6x2\"");
  const auto most = [&] {
    double found = 0;
    for (const frame::MemberLoad& l : soil_push(s, model_of(s, {}), true, 0).on_members)
      found = std::max(found, norm(vec(l.uniform_n_per_mm)));
    return found;
  };
  const double level = most();
  for (Piece& p : s.pieces)  // one in ten, about its own end
    if (p.duties.has(Duty::soil)) {
      const double c = std::cos(0.1), d = std::sin(0.1);
      const Vec3 x = p.frame.x, up{0, 0, 1};
      const Vec3 raked = c * x + d * up;
      const bool y_is_up = std::abs(p.frame.y.z) > 0.5;
      (y_is_up ? p.frame.y : p.frame.z) = (y_is_up ? p.frame.y.z : p.frame.z.z) * (c * up - d * x);
      p.frame.x = raked;
    }
  EXPECT_NEAR(most(), level, 0.03 * level);
}

// The floor of a bed on legs bears what lies on it to the rim, downwards: 18 kN/m³ · (0.195 − 0.028) m = 3.006 kPa, on
// a board of 145 0.43587 kN/m, and what somebody puts beside it, 2.5 kPa, in full.
TEST(Soil, LiesOnAFloor) {
  const Structure s = built("table-bed", "courses = 1\nboard = '8x2'\nfloor = 'decking 28x145'");
  const Model m = model_of(s, {});
  const auto on_floor = [&](bool weight, double kpa) {
    double found = 0;
    for (const frame::MemberLoad& l : soil_push(s, m, weight, kpa).on_members)
      for (const Bar& bar : m.bars)
        if (bar.member == l.member && s[bar.piece].name == "floor board" && s[bar.piece].width.value() == 145) {
          EXPECT_NEAR(std::hypot(l.uniform_n_per_mm[0], l.uniform_n_per_mm[1]), 0, 1e-12);
          found = l.uniform_n_per_mm[2];
        }
    return found;
  };
  EXPECT_NEAR(on_floor(true, 0), -0.43587, 1e-6);
  EXPECT_NEAR(on_floor(false, 2.5), -2.5e-3 * 145, 1e-9);
}

// A bed of thin boards between far stakes fails by its soil, and says what it is.
TEST(Soil, ABedOfThinBoardsIsNoPass) {
  const auto most = [](const char* board) {
    const Structure s = built("raised_bed", fmt::format("length = 3600\nwidth = 1000\ncourses = 4\nstake = \"3x3\"\n"
                                                        "board = \"{}\"",
                                                        board));
    const Report report = study({{s}}, {}, {{s.footings.size(), BaseSpring{400, 4e7, 300}}});
    double use = 0;
    for (const Check& c : report.checks)
      if (c.kind == CheckKind::bending && !c.subjects.empty() && s[PieceId{c.subjects[0].index}].duties.has(Duty::soil))
        use = std::max(use, c.utilisation);
    return use;
  };
  EXPECT_GT(most("6x1"), 1);
  EXPECT_LT(most("6x2"), 0.6 * most("6x1"));
}

// ---- leaves ---------------------------------------------------------------------------------------------------------

/// A post with a leaf hung on it, of a row's width, mass and distance of hinges.
Structure post_with_leaf(const json& in) {
  const double wide = 1000 * in["width_m"].get<double>(), apart = 1000 * in["hinge_distance_m"].get<double>();
  Structure s = built("mast", "height = 2700\nin_ground = 800\npost = \"6x6\"");
  const PieceId post{0};
  const Vec3 side = world_box(s, body(post)).centre();
  Panel leaf;
  leaf.name = "leaf", leaf.width = wide, leaf.height = apart + 200, leaf.thickness = 40;
  leaf.mass_kg = in["mass_kg"];
  leaf.frame = {{side.x, side.y, 100}, {1, 0, 0}, {0, 0, 1}, {0, -1, 0}};
  s.panels.push_back(leaf);
  Swing swing;
  swing.name = "leaf", swing.leaf = {body(PanelId{0})}, swing.on = body(post);
  swing.axis = {side.x, side.y, 200}, swing.levels = {200, 200 + apart}, swing.opens_deg = 90;
  s.swings.push_back(swing);
  return s;
}

// Each row: the pull of the hinges, alone and with one of 80 kg on the far end.
TEST(Leaves, HangByACouple) {
  for (const char* id : {"yard_hinge_1", "yard_hinge_2", "yard_hinge_3"}) {
    const json in = row(id)["inputs"], want = row(id)["expected"];
    Structure s = post_with_leaf(in);
    const Model m = model_of(s, {});
    const auto pull = [](const frame::Loads& loads) {
      double most = 0;
      for (const frame::NodeLoad& l : loads.on_nodes) most += std::max(0.0, l.force_n[0]);
      return most;
    };
    const double alone = pull(leaf_couples(s, m));
    EXPECT_NEAR(alone, want["H_N"].get<double>(), 0.01) << id;
    const std::vector<Use> all = uses(s, m, {});
    ASSERT_EQ(all.size(), 3U);
    EXPECT_EQ(all[0].state.person, State::Person::rides);
    std::map<frame::NodeIndex, double> at_node;  // shut: what the rider adds to the weight that hangs there already
    for (const frame::NodeLoad& l : all[0].loads.on_nodes) at_node[l.node] += l.force_n[0];
    double added = 0;
    for (const auto& [_, force] : at_node) added = std::max(added, force);
    EXPECT_NEAR(alone + added, want["H_person_N"].get<double>(), 0.01) << id;
    EXPECT_NEAR(all[2].loads.on_nodes[0].force_n[1], want["H_person_N"].get<double>(), 0.01) << "open, across";
  }
}

// The check of a leaf's top hinge, the couple from the reference's rows; four screws of 6 mm on a plate of 3 mm between
// thin and thick, by hand: (8.9), (8.10), straight between them; pulled (8.40a), 8 N/mm² over 42 mm, four count 3.48.
TEST(Leaves, HingesAreJudgedShutAndOpen) {
  for (const char* id : {"yard_hinge_1", "yard_hinge_2", "yard_hinge_3"}) {
    const json in = row(id)["inputs"], want = row(id)["expected"];
    Structure s = post_with_leaf(in);
    const Body post = s.swings[0].on;
    s.joints.push_back({JointKind::hinged, body(PanelId{0}), post, {}, s.swings[0].axis, {1, 0, 0}, true, "hung"});
    const double own = want["H_N"], rider = want["H_person_N"].get<double>() - own;
    const double pull = 1.35 * own + 1.5 * rider, down = 9.81 * (1.35 * in["mass_kg"].get<double>() + 1.5 * 80);
    const double d = 1.1 * 0.62 * 6, rho = density_k(s, post), fh = 0.082 * (1 - 0.01 * d) * rho, t = 42;
    const double my = 0.3 * 500 * std::pow(d, 2.6);
    const double thin = std::min(0.4 * fh * t * d, 1.15 * std::sqrt(2 * my * fh * d));
    const double thick =
        std::min(fh * t * d * (std::sqrt(2 + 4 * my / (fh * d * t * t)) - 1), 2.3 * std::sqrt(my * fh * d));
    const double across = 4 * (thin + (thick - thin) * (3 - d / 2) / (d / 2)) * 0.7 / 1.3;
    const double along = std::pow(4, 0.9) * 8 * 6 * t * std::pow(rho / 350, 0.8) * 0.7 / 1.3;
    double most = 0;
    for (const double open : {0.0, std::sqrt(0.5), 1.0})  // sine
      most =
          std::max(most, std::hypot(std::hypot(pull * std::sqrt(1 - open * open), down) / across, pull * open / along));
    Checks checks;
    check_hinges(s, {}, checks);
    ASSERT_EQ(checks.size(), 1U);
    EXPECT_EQ(checks[0].joint, JointId{static_cast<int>(s.joints.size()) - 1});  // its title names what is in it
    EXPECT_NEAR(checks[0].utilisation, most, 0.005 * most) << id;
    EXPECT_EQ(checks[0].verdict == Verdict::fails, most > 1) << id;
  }
}

/// Hung on two of them, of which the yard says what it says.
Structure hung_on(timber::FixingItem hinge, Site& site) {
  const json in = row("yard_hinge_2")["inputs"];
  Structure s = post_with_leaf(in);
  const Body post = s.swings[0].on;
  s.joints.push_back({JointKind::hinged, body(PanelId{0}), post, {}, s.swings[0].axis, {1, 0, 0}, true, "hung"});
  hinge.name = "strap hinge", hinge.kind = timber::FixingKind::hinge;
  for (int i = 0; i < 2; ++i) s.items.push_back({hinge.name, post});
  site.hinges = {hinge};
  return s;
}
Check top_hinge(const Structure& s, const Site& site) {
  Checks checks;
  check_hinges(s, site, checks);
  return checks.at(0);
}

// Two bolts of 12 mm through the post, washers of 36, by hand: across the grain (8.9), a plate of 3 mm is thin; pulled
// (8.5.2(2)), 3 fc,90 under the washer, a hole of 13. Open by half a right angle both at once, by squares (8.28).
TEST(Leaves, BoltedHingesBearByTheirBolts) {
  timber::FixingItem item;
  item.diameter_mm = 12, item.make.washer_mm = 36;
  Site site;
  const Structure s = hung_on(item, site);
  const Piece& post = s.pieces[0];
  const json in = row("yard_hinge_2")["inputs"], want = row("yard_hinge_2")["expected"];
  const double rho = density_k(s, body(PieceId{0})), fh = 0.082 * 0.88 * rho / (1.35 + 0.015 * 12);
  const double my = 0.3 * 400 * std::pow(12, 2.6), t = std::min(post.width.value(), post.thickness.value());
  const double across = 2 * std::min(0.4 * fh * t * 12, 1.15 * std::sqrt(2 * my * fh * 12)) * 0.7 / 1.3;
  const double fc = fc_across(s, body(PieceId{0}));
  const double along = 2 * 3 * fc * 3.14159265 / 4 * (36 * 36 - 13 * 13) * 0.7 / 1.3;
  const double own = want["H_N"], rider = want["H_person_N"].get<double>() - own;
  const double pull = 1.35 * own + 1.5 * rider, down = 9.81 * (1.35 * in["mass_kg"].get<double>() + 1.5 * 80);
  double most = 0;
  for (const double open : {0.0, std::sqrt(0.5), 1.0})
    most =
        std::max(most, std::hypot(std::hypot(pull * std::sqrt(1 - open * open), down) / across, pull * open / along));
  EXPECT_NEAR(top_hinge(s, site).utilisation, most, 0.005 * most);
  EXPECT_THAT(top_hinge(s, site).plain, testing::HasSubstr("two bolts of 12 mm"));
  // By the NDS too they bear more than four screws of 6 mm.
  site.route = Site::Route::us;
  const double us = top_hinge(s, site).utilisation;
  site.hinges[0].diameter_mm = 6, site.hinges[0].make.washer_mm = 0;
  EXPECT_GT(top_hinge(s, site).utilisation, 1.5 * us);
  EXPECT_THAT(top_hinge(s, site).plain, testing::HasSubstr("four screws of 6 mm"));
}

// What its maker declares for the hinge stands where it is less: kmod 0.7 over 1.3 of it (2.4.3).
TEST(Leaves, HingesBearNoMoreThanTheirMakerDeclares) {
  timber::FixingItem item;
  item.diameter_mm = 12, item.make.washer_mm = 36;
  item.make.declared_by = "invented", item.make.side_n = 3000, item.make.pull_n = 1e6;
  Site site;
  const Structure s = hung_on(item, site);
  const json in = row("yard_hinge_2")["inputs"], want = row("yard_hinge_2")["expected"];
  const double own = want["H_N"], rider = want["H_person_N"].get<double>() - own;
  const double pull = 1.35 * own + 1.5 * rider, down = 9.81 * (1.35 * in["mass_kg"].get<double>() + 1.5 * 80);
  const Check shut = top_hinge(s, site);
  EXPECT_NEAR(shut.utilisation, std::hypot(pull, down) / (3000 * 0.7 / 1.3), 0.005 * shut.utilisation);
  EXPECT_THAT(shut.source, testing::HasSubstr("declared by: invented"));
}

// ---- people ---------------------------------------------------------------------------------------------------------

/// One timber that lies on two posts, there for something.
Structure on_posts(Duty duty) {
  Structure s = built("stub_fence", "");
  for (Piece& p : s.pieces) p.duties = {};
  for (Piece& p : s.pieces)
    if (std::abs(p.frame.x.z) < 0.1 && p.carries) {
      p.duties = {duty};
      break;
    }
  return s;
}
double down(const Use& use) {
  double sum = 0;
  for (const frame::NodeLoad& l : use.loads.on_nodes) sum -= l.force_n[2];
  return sum;
}

TEST(People, SitStandAndLeanWhereItIsThereForThem) {
  const Structure seat = on_posts(Duty::seat), floor = on_posts(Duty::walk), guard = on_posts(Duty::guard);
  const auto first = [](const Structure& s, const Site& site) { return uses(s, model_of(s, {}), site).at(0); };
  EXPECT_NEAR(down(first(seat, {})), row("yard_ada_bench")["expected"]["load_N"].get<double>(), 1e-9);
  EXPECT_EQ(first(seat, {}).state.person, State::Person::sits);
  EXPECT_NEAR(down(first(floor, {})), 2000, 1e-9);
  Site us;
  us.route = Site::Route::us;
  const json irc = row("yard_irc_guard_loads")["expected"];
  EXPECT_NEAR(down(first(floor, us)), irc["tread_lb"].get<double>() * 4.4482216152605, 1e-6);
  const Use leant = first(guard, us);
  EXPECT_EQ(leant.state.person, State::Person::leans_on_guard);
  EXPECT_NEAR(norm(vec(leant.loads.on_nodes.at(0).force_n)), irc["rail_lb"].get<double>() * 4.4482216152605, 1e-6);
  const Use line = first(guard, {});
  ASSERT_FALSE(line.loads.on_members.empty());
  EXPECT_NEAR(norm(vec(line.loads.on_members[0].uniform_n_per_mm)), 0.5, 1e-9);  // EN 1991-1-1 Table 6.12, A
}

// Nobody comes where nothing is there for them.
TEST(People, StayAwayFromWhatIsThereForNothing) {
  Structure s = built("stub_fence", "");
  for (Piece& p : s.pieces) p.duties = {};
  EXPECT_TRUE(uses(s, model_of(s, {}), {}).empty());
}

// Posts are leaned on, but not those that say they hold a bed's soil or a seat: they end at the knee.
TEST(People, LeanOnPostsButNotOnThoseOfBedsAndSeats) {
  const auto leaning = [](std::optional<Duty> of_posts) {
    Structure s = built("stub_fence", "");
    for (Piece& p : s.pieces) p.duties = {};
    for (const Footing& f : s.footings)
      if (of_posts) s[f.post].duties = {*of_posts};
    const Model m = model_of(s, {});
    const std::vector<Use> all = SiteLoads(s, m, {}).persons();
    return std::count_if(all.begin(), all.end(), [](const Use& u) { return u.state.person == State::Person::leans; });
  };
  EXPECT_GT(leaning(std::nullopt), 0);
  EXPECT_GT(leaning(Duty::guard), 0);
  EXPECT_EQ(leaning(Duty::soil), 0);
  EXPECT_EQ(leaning(Duty::seat), 0);
}

}  // namespace
}  // namespace garthwright::strength
