// SPDX-License-Identifier: Apache-2.0
//
// What should help helps: more fixings, thicker posts, deeper holes and less wind never turn what passes into what
// fails. A structure that holds itself up in more ways than one may break this rule with reason, for what is stiffer
// draws load, and a wider post catches more wind: at most one in fifty may, and each is printed with what is asked
// before and after, which tells the reason.
//
// Of 100 gardens 41 of 364 changes do harm yet: one in nine, where one in fifty may.
// * 13 and 3, a pergola's beam on its post, by a second screw or bolt 40 mm beside the first, or by a post of 145 mm
// for
//   95. Wind along the row leans the posts. What the beam's seat presses is crushed (model.cc), so that one screw
//   passes at 52 to 95 %; two make a couple of their own that holds the head, and nothing here lets a fixing slip
//   beyond its stiffness, as bolts in their holes and screws that yield do: up to 6 kN a screw.
// * 4, posts pulled up by more fixings: a second screw in an end member makes the two posts of a side more of a frame,
//   which is held from falling over by one post pulled up and one pressed down.
// * 9, splitting at braces and beams on what is stiffer: it draws more.
// * 7, bending of posts, rails and frames that more or deeper hold.
// * 5, seats (rafters, beams) that rock where the timber under them turns less.
// * 4, holes and sway by the wind on wider posts.
//
//   SENSE_GARDENS=2000 build/release/plan_test --gtest_filter='Sense*'
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cstdlib>
#include <map>
#include <random>

#include "base/source_dir_for_tests.h"
#include "plan/plan.h"
#include "plan/read_site.h"
#include "plan/standing.h"
#include "structure/check_words.h"

namespace garthwright {
namespace {

/// A garden by its choices; invented at random.
struct Draw {
  std::string pattern, yard, exposure, climber, post;
  double opening = 0, height = 0, in_ground = 0, hole = 0, wind = 0, brace = 0;

  std::string words() const {
    return fmt::format("{} {:.0f} x {:.0f}, post {}, {:.0f} in the ground, hole {:.0f}, braces {:.0f}, {} m/s {}, {}",
                       pattern, opening, height, post, in_ground, hole, brace, wind, exposure, climber);
  }
};

Draw at_random(std::mt19937& random) {
  const auto between = [&](double low, double high, double step) {
    return low + step * std::uniform_int_distribution<int>(0, static_cast<int>((high - low) / step))(random);
  };
  const auto one_of = [&](std::vector<std::string> all) {
    return all[std::uniform_int_distribution<std::size_t>(0, all.size() - 1)(random)];
  };
  Draw g;
  g.pattern = one_of({"arbor", "pergola"});
  g.exposure = one_of({"sheltered", "average", "open"});
  g.climber = one_of({"none", "clematis", "honeysuckle", "wisteria"});
  g.post = one_of({"3x3", "4x4"});
  g.opening = g.pattern == "arbor" ? between(900, 2000, 50) : between(2000, 4500, 100);
  g.height = g.pattern == "arbor" ? between(1950, 2300, 50) : between(2000, 2500, 50);
  g.in_ground = between(500, 900, 50), g.hole = between(250, 450, 50);
  g.wind = between(18, 28, 1);
  g.brace = between(0, 1, 1) * between(300, 500, 50);
  return g;
}

struct Built {
  Structure structure;
  Site site;
};

std::optional<Built> built(const Draw& g) {
  static const std::string source = source_dir();
  static const pattern::Shelves shelves{{source + "/patterns"}, {source + "/catalogues"}};
  const std::string size = g.pattern == "arbor" ? fmt::format("opening = {}", g.opening)
                                                : fmt::format("length = {}\ndepth = 2500", g.opening);
  const auto job = pattern::parse_job(
      fmt::format("format = 1\n[site]\nwind_speed = {}\nexposure = \"{}\"\nclimber = \"{}\"\n[timber]\ncatalogue = "
                  "\"harrow-lane\"\n[[structure]]\npattern = \"{}\"\n[structure.choices]\n{}\nheight = {}\npost = "
                  "\"{}\"\nin_ground = {}\nhole_diameter = {}\nbrace_leg = {}\n",
                  g.wind, g.exposure, g.climber, g.pattern, size, g.height, g.post, g.in_ground, g.hole, g.brace),
      "job.toml", shelves);
  if (!job) return std::nullopt;
  Diagnostics problems;
  Site site = read_site(*job, problems);
  int letter = 0;
  auto made = pattern::build(*job, job->orders.front(), shelves, 0, letter);
  if (!made) return std::nullopt;
  return Built{std::move(made->structure), std::move(site)};
}

/// The worst check of every kind.
std::map<CheckKind, Check> worst_of(const Built& b) {
  std::map<CheckKind, Check> found;
  const auto worse = [](const Check& a, const Check& than) {
    const bool fails = a.verdict == Verdict::fails, did = than.verdict == Verdict::fails;
    return fails != did ? fails : a.utilisation > than.utilisation;
  };
  for (Check& c : WhatGives(b.structure, b.site).all(b.site))
    if (!found.contains(c.kind) || worse(c, found.at(c.kind))) found[c.kind] = std::move(c);
  return found;
}

std::string why(const std::string& what, const Check& was, const Check& is) {
  const bool asked_more = is.demand > 1.02 * was.demand, gives_less = is.capacity < 0.98 * was.capacity;
  const bool of_the_ground = is.kind == CheckKind::sideways || is.kind == CheckKind::loose_top;
  const char* because = gives_less && asked_more ? "more is asked, and it gives less"
                        : gives_less             ? "it gives less"
                        : what == "thicker posts" && (of_the_ground || is.kind == CheckKind::sway)
                            ? "wider posts catch more wind"
                            : "what is stiffer draws load";
  return fmt::format("{}: {:.2f} of {:.2f} {} were asked, now {:.2f} of {:.2f}", because, was.demand, was.capacity,
                     was.unit, is.demand, is.capacity);
}

/// One more in every joint of timbers, as its first one and beside it.
Built with_more_fixings(Built b) {
  const Structure before = b.structure;
  for (const Joint& j : before.joints) {
    if (j.a.kind != Body::Kind::piece || j.b.kind != Body::Kind::piece) continue;
    const std::vector<int> fixings = fixings_of(before, j);
    if (fixings.empty()) continue;
    Fixing extra = before.fixings[static_cast<std::size_t>(fixings.front())];
    if (extra.through.size() != 2) continue;
    const Vec3 grain = before[PieceId{j.b.index}].frame.x;
    const bool along = std::abs(dot(grain, unit(extra.direction))) < 0.7;
    extra.head = extra.head + 4 * extra.diameter * (along ? grain : before[PieceId{j.b.index}].frame.y);
    b.structure.fixings.push_back(extra);
  }
  return b;
}

constexpr double kKnownToHarm = 3;  ///< of the sixteen changes of the first four gardens

TEST(Sense, WhatShouldHelpNeverHarms) {
  const char* asked = std::getenv("SENSE_GARDENS");
  const int gardens = asked ? std::atoi(asked) : 4;
  std::mt19937 random(2026);
  int compared = 0, harmed = 0;
  for (int n = 0; n < gardens; ++n) {
    const Draw garden = at_random(random);
    const auto base = built(garden);
    if (!base) continue;
    const std::map<CheckKind, Check> before = worst_of(*base);
    Draw thicker = garden, deeper = garden, calmer = garden;
    thicker.post = garden.post == "3x3" ? "4x4" : "6x6";
    deeper.in_ground += 150;
    calmer.wind -= 3;
    const std::vector<std::pair<const char*, std::optional<Built>>> better{{"more fixings", with_more_fixings(*base)},
                                                                           {"thicker posts", built(thicker)},
                                                                           {"deeper holes", built(deeper)},
                                                                           {"less wind", built(calmer)}};
    for (const auto& [what, changed] : better) {
      if (!changed) continue;
      ++compared;
      bool harms = false;
      for (const auto& [kind, check] : worst_of(*changed)) {
        const auto was = before.find(kind);
        if (check.verdict != Verdict::fails || was == before.end() || was->second.verdict == Verdict::fails) continue;
        // Where an extra fixing is set, and what a thicker post leaves of the distances, is craft and no strength.
        if (kind == CheckKind::spacing || kind == CheckKind::row) continue;
        // A thicker post takes the place of concrete in the same hole, and catches more wind.
        if (kind == CheckKind::uplift && what == std::string("thicker posts")) continue;
        harms = true;
        std::printf("%s: %s: %s %.0f %%, was %.0f %%: %s\n", garden.words().c_str(), what,
                    words_of(check, changed->structure).title.c_str(), 100 * check.utilisation,
                    100 * was->second.utilisation, why(what, was->second, check).c_str());
      }
      harmed += harms;
    }
  }
  std::printf("%d of %d changes for the better did harm\n", harmed, compared);
  ASSERT_GT(compared, 3 * gardens / 2) << "most of the gardens could not be built";
  // Those few that always run hold that it grows no worse than is told above.
  EXPECT_LE(harmed, asked ? std::max(1.0, 0.02 * compared) : kKnownToHarm);
}

}  // namespace
}  // namespace garthwright
