// SPDX-License-Identifier: Apache-2.0
// The solver against CalculiX (Debian calculix-ccx), a general finite element program, on random space frames.
//
// CalculiX's B32R is a curved beam made of one solid brick. It is the same bar as ours where Poisson's ratio is zero,
// the section is a solid rectangle, G J = E/2 · 4 Iy Iz / (Iy + Iz), the member is slender (it does shear) and the
// loads small. Its section equations are badly conditioned for some directions of a member; a frame that disagrees is
// then turned as a whole, which must change nothing and in our solver does not (laws_test.cc). A frame counts only if
// some direction agrees within 0.5 %; that ours is right in the others is decided by a cantilever's closed form below.
#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>

#include "frame/calculix_deck_for_tests.h"
#include "frame/contacts_for_tests.h"

namespace garthwright::frame {
namespace {

using namespace testing;
namespace fs = std::filesystem;

bool ccx_is_here() { return std::system("command -v ccx > /dev/null 2>&1") == 0; }

/// A folder of its own that goes away with it.
class Workshop {
 public:
  Workshop() {
    std::string name = (fs::temp_directory_path() / "frame-ccx-XXXXXX").string();
    path_ = mkdtemp(name.data()) ? name : "";
  }
  ~Workshop() {
    std::error_code ignored;
    fs::remove_all(path_, ignored);
  }
  fs::path path() const { return path_; }

 private:
  fs::path path_;
};

/// Displacements of the first nodes of a deck as ccx finds them; empty where it fails.
std::vector<Vec3> shifts(const std::string& deck, std::size_t nodes) {
  const Workshop shop;
  std::ofstream(shop.path() / "f.inp") << deck;
  const std::string command = "cd '" + shop.path().string() + "' && OMP_NUM_THREADS=1 timeout 60 ccx -i f > log 2>&1";
  if (std::system(command.c_str()) != 0) return {};
  std::ifstream in(shop.path() / "f.dat");
  std::vector<Vec3> u(nodes);
  std::size_t found = 0;
  for (std::string line; std::getline(in, line);) {
    std::istringstream words(line);
    std::size_t node;
    Vec3 v;
    if (words >> node >> v[0] >> v[1] >> v[2] && node >= 1 && node <= u.size()) u[node - 1] = v, ++found;
  }
  return found == u.size() ? u : std::vector<Vec3>{};
}

std::vector<Vec3> by_calculix(const Frame& frame) { return shifts(calculix_deck(frame), frame.nodes.size()); }

/// A frame of slender rods, rigidly joined, that stands.
Frame slender(std::mt19937& random) {
  Frame frame = scattered(random, false);
  for (Node& node : frame.nodes)
    for (double& x : node.at_mm) x *= 2;
  for (Member& m : frame.members) {
    const Rectangle s = rectangle_of(m);
    m = bar(m.id, m.ends[0], m.ends[1], s.width / 4, s.depth / 4, m.up);
  }
  frame.supports[0].stiffness = kFixed;
  // CalculiX turns its knots by large rotations: keep everything tiny.
  for (NodeLoad& load : frame.loads.on_nodes)
    for (int i = 0; i < 3; ++i) load.force_n[i] *= 1e-6, load.moment_nmm[i] = 0;
  for (MemberLoad& load : frame.loads.on_members)
    for (double& q : load.uniform_n_per_mm) q *= 1e-6;
  return frame;
}

/// Greatest difference of a node's shift, as a part of the greatest shift.
double difference(const Frame& frame, const std::vector<Vec3>& other) {
  const Solution s = solve(frame).value();
  double most = 0, apart = 0;
  for (std::size_t n = 0; n < frame.nodes.size(); ++n) {
    const Vec3& u = s.displacements[n].translation_mm;
    most = std::max(most, std::hypot(u[0], u[1], u[2]));
    apart = std::max(apart, std::hypot(u[0] - other[n][0], u[1] - other[n][1], u[2] - other[n][2]));
  }
  return apart / most;
}

TEST(Calculix, AgreesOnRandomSpaceFrames) {
  ASSERT_TRUE(ccx_is_here()) << "ccx is not installed (Debian: calculix-ccx)";
  constexpr int kFrames = 24, kTurns = 8;
  int turned_frames = 0;
  for (int seed = 0; seed < kFrames; ++seed) {
    std::mt19937 random(500 + seed);
    const Frame frame = slender(random);
    double best = 1;
    int turn = 0;
    for (; turn < kTurns && best > 0.005; ++turn) {
      const Frame view = turn == 0 ? frame : turned(some_turn(random), frame);
      const std::vector<Vec3> u = by_calculix(view);
      if (!u.empty()) best = std::min(best, difference(view, u));
    }
    turned_frames += turn > 1;
    EXPECT_LE(best, 0.005) << "frame " << seed << ", " << frame.members.size() << " members";
    std::printf("frame %2d: %2zu members, %.3f %% apart, in direction %d\n", seed, frame.members.size(), 100 * best,
                turn);
  }
  std::printf("%d of %d frames had to be turned\n", turned_frames, kFrames);
}

TEST(Calculix, WhereTheyDisagreeTheClosedFormIsWithUs) {
  // A cantilever in many directions: u = P L³/3EI whatever way it points.
  ASSERT_TRUE(ccx_is_here()) << "ccx is not installed (Debian: calculix-ccx)";
  std::mt19937 random(77);
  for (int turn = 0; turn < 8; ++turn) {
    Frame frame = straight(1500, 1, 15, 25);
    frame.supports = {{0, kFixed}};
    frame.loads.on_nodes = {{1, {0, 0, -1e-3}, {}}};
    const Frame view = turned(some_turn(random), frame);
    const Solution s = solve(view).value();
    const Vec3& u = s.displacements[1].translation_mm;
    const double exact = 1e-3 * std::pow(1500, 3) / (3 * kE * frame.members[0].iz_mm4);
    EXPECT_NEAR(exact, std::hypot(u[0], u[1], u[2]), 1e-9 * exact);
    const std::vector<Vec3> other = by_calculix(view);
    if (!other.empty()) std::printf("direction %d: ccx %.3f %% apart\n", turn, 100 * difference(view, other));
  }
}

// Fixing by fixing: posts, beams and rafters with their screws and pressed corners, by ccx's own bars, equations and
// springs. ccx gets the contacts that we found shut as springs; that its own movements then pull in none of them and
// overlap in no other proves, the energy being convex, that it is ccx's answer too.
TEST(Calculix, AgreesOnFramesFixingByFixing) {
  if (!ccx_is_here()) GTEST_SKIP() << "ccx is not installed (Debian: calculix-ccx); the comparison was not made";
  constexpr int kFrames = 30;
  double worst = 0;
  for (int seed = 0; seed < kFrames; ++seed) {
    std::mt19937 random(9000 + seed);
    const Frame frame = lapped(random);
    const Solution s = solve(frame).value();
    std::vector<char> pushes;
    for (const Touch& t : s.contacts) pushes.push_back(t.push_n > 0);
    const MeetingDeck deck = meeting_deck(frame, pushes);
    const std::size_t last = std::max(deck.link_nodes.back(), deck.contact_nodes.back());
    const std::vector<Vec3> u = shifts(deck.text, last);
    ASSERT_FALSE(u.empty()) << "frame " << seed << ": ccx failed";
    // Joint by joint: the two nodes that links and contacts have in common.
    std::map<std::array<NodeIndex, 2>, std::pair<double, double>> joints;  // greatest force, greatest difference
    for (std::size_t l = 0; l < frame.links.size(); ++l) {
      Eigen::Vector3d theirs = Eigen::Vector3d::Zero();
      const auto rows = rows_of(frame, frame.links[l]);
      for (int way = 0; way < 3; ++way)
        theirs -= rows[way].second * u[deck.link_nodes[3 * l + way] - 1][0] * rows[way].first.b.segment<3>(6);
      auto& [most, apart] = joints[frame.links[l].nodes];
      most = std::max(most, theirs.norm());
      apart = std::max(apart, (theirs - vec(s.links[l])).norm());
    }
    for (std::size_t c = 0; c < frame.contacts.size(); ++c) {
      const double moved = u[deck.contact_nodes[c] - 1][0], push = -frame.contacts[c].k_n_mm * moved;
      auto& [most, apart] = joints[frame.contacts[c].nodes];
      most = std::max(most, pushes[c] ? std::abs(push) : 0);
      apart = std::max(apart, pushes[c] ? std::abs(push - s.contacts[c].push_n) : std::max(0.0, push));
    }
    double of_frame = 0;
    for (const auto& [_, forces] : joints) of_frame = std::max(of_frame, forces.second / std::max(1.0, forces.first));
    EXPECT_LE(of_frame, 0.01) << "frame " << seed;
    worst = std::max(worst, of_frame);
  }
  std::printf("%d frames: forces at most %.4f %% of the joint's largest apart\n", kFrames, 100 * worst);
}

}  // namespace
}  // namespace garthwright::frame
