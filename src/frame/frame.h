// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <cstddef>
#include <limits>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "base/diagnostic.h"

/// Frames of straight bars in space: the stiffness method, linear elastic, small displacements.
///
/// Everything is in mm, N, N·mm, N/mm² and rad. Nodes, loads, supports, displacements and reactions are in global axes.
/// A member has axes of its own: x from its first end to its second, y its `up` made square to x, z = x × y;
/// `iz` bends it in its x–y plane, `iy` in its x–z plane. Members are Euler–Bernoulli bars: no shear deflection, no
/// warping. The six ways of moving are always in the order: shifts along x y z, turns about x y z.
///
/// Contacts push and never pull (unilateral contact without friction). Their state is found by Newton's method on the
/// energy, which is convex, with an exact search along every step: it goes down at each step, has finitely many sets of
/// closed and of crushed contacts to go through, and so ends, where switching all that are wrong can go round for ever
/// (Sun, J. Optim. Theory Appl. 93, 1997, "On piecewise quadratic Newton and trust region problems"; from memory).
///
/// Source of the method: Przemieniecki, Theory of Matrix Structural Analysis, 1968, ch. 5 (elements) and 15 (geometric
/// stiffness).
namespace garthwright::frame {

using Vec3 = std::array<double, 3>;
using Vec6 = std::array<double, 6>;
using NodeIndex = std::size_t;
using MemberIndex = std::size_t;

/// Stiffness of a connection that does not give at all.
inline constexpr double kRigid = std::numeric_limits<double>::infinity();
inline constexpr Vec6 kAllRigid = {kRigid, kRigid, kRigid, kRigid, kRigid, kRigid};

struct Node {
  std::string id;
  Vec3 at_mm{};
};

/// `joint[e]` says how end e holds to its node, in the member's own axes: kRigid, 0 (released) or a spring in N/mm and
/// N·mm/rad. `offset_mm[e]`: end e stands that far from its node (global axes), rigidly tied to it.
struct Member {
  std::string id;
  std::array<NodeIndex, 2> ends{};
  double area_mm2 = 0;
  double iy_mm4 = 0;
  double iz_mm4 = 0;
  double j_mm4 = 0;
  double e_mpa = 0;
  double g_mpa = 0;
  Vec3 up{0, 0, 1};
  std::array<Vec6, 2> joint{kAllRigid, kAllRigid};
  std::array<Vec3, 2> offset_mm{};
};

/// What the ground does to a node, in global axes: kRigid, 0 (free) or a spring in N/mm and N·mm/rad.
struct Support {
  NodeIndex node = 0;
  Vec6 stiffness{};
};

/// Springs between two nodes that meet at one point, which each carries along rigidly: `k_along` in the direction of
/// `axis`, `k_across` in every direction square to it, nothing against turning. What a fixing is between two timbers.
struct Link {
  std::string id;
  std::array<NodeIndex, 2> nodes{};
  Vec3 at_mm{};
  Vec3 axis{1, 0, 0};
  double k_along_n_mm = 0;
  double k_across_n_mm = 0;
};

/// A point where two nodes' bodies push each other apart and never pull. `normal` points from the first to the second;
/// `gap_mm` is what is open before anything moves; `k_n_mm` is how stiffly the pressed place gives, up to a push of
/// `crushes_at_n`; what it gives beyond meets `crushed_n_mm` only. It comes back the way it went: every load is
/// reckoned as if it were the first.
struct Contact {
  std::string id;
  std::array<NodeIndex, 2> nodes{};
  Vec3 at_mm{};
  Vec3 normal{0, 0, 1};
  double k_n_mm = 0;
  double gap_mm = 0;
  double crushes_at_n = std::numeric_limits<double>::infinity();
  double crushed_n_mm = 0;
};

struct NodeLoad {
  NodeIndex node = 0;
  Vec3 force_n{};
  Vec3 moment_nmm{};
};

/// A load spread evenly over a member, in global axes, per mm of the member's own length.
struct MemberLoad {
  MemberIndex member = 0;
  Vec3 uniform_n_per_mm{};
};

/// One load case. `crushing` times every contact's `crushes_at_n`: what is pressed for longer is crushed by less.
struct Loads {
  std::vector<NodeLoad> on_nodes;
  std::vector<MemberLoad> on_members;
  double crushing = 1;
};

struct Frame {
  std::vector<Node> nodes;
  std::vector<Member> members;
  std::vector<Support> supports;
  Loads loads;
  std::vector<Link> links;
  std::vector<Contact> contacts;
};

/// A motion of a node or of a member's end.
struct Motion {
  Vec3 translation_mm{};
  Vec3 rotation_rad{};
};

/// A force and a moment.
struct Wrench {
  Vec3 force_n{};
  Vec3 moment_nmm{};
};

/// What a member feels and how it bends, in its own axes. `end[e]` acts on the member at that end; `motion[e]` is that
/// of the member's end itself, which differs from the node's where a joint gives.
struct MemberResult {
  std::array<Wrench, 2> end;
  std::array<Motion, 2> motion;
  Vec3 uniform_n_per_mm{};
  double length_mm = 0;
};

/// What a contact does: it pushes the second body along its normal, or stands open.
struct Touch {
  double push_n = 0;
  double gap_mm = 0;
  bool crushed = false;
};

/// How near the answer is to what must hold: no contact pulls, none overlaps (beyond what its stiffness gives under its
/// push), none both pushes and stands open, every node is in balance.
struct Proof {
  double least_push_n = 0;
  double least_gap_mm = 0;
  double most_push_times_gap_nmm = 0;
  double out_of_balance = 0;  ///< greatest force left over at a node (a moment by the frame's extent), of the greatest
  int steps = 0;              ///< sets of closed contacts that were tried
};

/// `displacements` run with the frame's nodes, `reactions` with its supports, `members` with its members, `links` with
/// its links (the force on the second body, global axes), `contacts` with its contacts.
struct Solution {
  std::vector<Motion> displacements;
  std::vector<Wrench> reactions;
  std::vector<MemberResult> members;
  std::vector<Vec3> links;
  std::vector<Touch> contacts;
  Proof proof;
};

struct Options {
  /// A movement whose strain energy is below this part of what it would be in a stiff frame costs nothing: a mechanism.
  /// Round-off leaves about 1e-16; the softest spring that can still be told from nothing is about 1e-13 of its
  /// neighbours.
  double mechanism_energy = 1e-14;
  /// A part that can move without resistance is no fault until a load moves it ("tips"): for frames whose parts are
  /// held by contacts, which may open.
  bool may_be_loose = false;
  /// P-delta: most rounds, and the change of the member forces (relative) that ends them.
  int p_delta_rounds = 30;
  double p_delta_change = 1e-8;
  /// Critical load: pieces that each member is cut into. Four put the error at 0.05 % for a pinned
  /// strut and 0.8 % for one held at both ends, always too high.
  int pieces_per_member = 4;
};

/// A way in which the frame, or a part of it, can move without any resistance. `node` moves most.
struct Mechanism {
  NodeIndex node = 0;
  bool turns = false;        ///< it only turns; otherwise it shifts
  Vec3 direction{};          ///< of the shift, or axis of the turn; length 1
  std::vector<Motion> mode;  ///< of every node, the largest motion being 1
};

/// Every fault of the frame and its loads that can be seen without solving: no length, `up` along the member, area not
/// above zero, an index that points nowhere. Empty when there is none.
Diagnostics check(const Frame& frame);

class Series;

/// Factorises once, then solves as many load cases as wanted, each at the cost of two sparse substitutions.
/// Copies share the factors.
class Solver {
 public:
  /// Fails with "mechanism" (naming a node and the way it can move) or with the faults of check().
  static Result<Solver> make(Frame frame, const Options& options = {});

  /// Linear but for the contacts. Fails where a load points nowhere, pushes on something that nothing holds, or lifts
  /// or tips something that only rests ("tips", naming a node of it).
  Result<Solution> solve(const Loads& loads) const;

  /// How a part comes off under these loads, if one does: the way its load moves it, past open contacts.
  std::optional<Mechanism> tips(const Loads& loads) const;

  const Frame& frame() const;
  const Options& options() const;

  struct Parts;  ///< only for the other files of this room
  const Parts& parts() const { return *parts_; }

 private:
  explicit Solver(std::shared_ptr<const Parts> parts) : parts_(std::move(parts)) {}
  std::shared_ptr<const Parts> parts_;
};

/// Load case after load case on one frame, each started from the contacts that were closed in the last: for neighbours
/// that is a few steps less. The answers are those of Solver::solve.
class Series {
 public:
  explicit Series(const Solver& solver);
  Series(Series&&) noexcept;
  Series& operator=(Series&&) noexcept;
  ~Series();
  Result<Solution> solve(const Loads& loads);
  /// Of the last solve, when it failed with "tips".
  const std::optional<Mechanism>& tips() const;

 private:
  struct State;
  std::unique_ptr<State> state_;
};

/// The frame as it is near a solution: contacts that push become links along their normals, as stiff as they are there;
/// the others are gone.
Frame as_pressed(const Frame& frame, const Solution& solution);

/// The frame under its own `loads`.
Result<Solution> solve(const Frame& frame, const Options& options = {});

/// The first mechanism found, if there is one. The frame must pass check().
std::optional<Mechanism> find_mechanism(const Frame& frame, const Options& options = {});

/// "can move along x" or "can turn about (0.71, 0.71, 0.00)".
std::string way_of_moving(const Mechanism& mechanism);

}  // namespace garthwright::frame
