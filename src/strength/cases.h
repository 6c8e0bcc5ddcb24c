// SPDX-License-Identifier: Apache-2.0
//
// A structure solved: its frame under every combination of EN 1990 or ASCE 7-16 in every state of the garden, each by
// itself, for what is shut under one may open under another and no two may be added. The checks read it and add nothing
// to it.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "frame/along.h"
#include "strength/fixing_force.h"
#include "strength/model.h"
#include "strength/situations.h"
#include "structure/site.h"

namespace garthwright::strength {

/// Something that only rests, or hangs on fixings that hold nothing that way, and what takes it off.
struct Loosened {
  Situation when;
  Body body = kGround;
  Vec3 way;  ///< unit vector; axis where it only turns
  bool turns = false;
};

struct Solved {
  Solved(const Structure& of, const Site& where, std::shared_ptr<const Model> made)
      : structure(of), site(where), model_(std::move(made)), model(*model_) {}

  const Structure& structure;
  const Site& site;

 private:
  std::shared_ptr<const Model> model_;

 public:
  const Model& model;
  std::vector<frame::Loads> actions;
  std::vector<frame::Solution> solutions;            ///< of the cases, and of the two below
  std::vector<Loosened> loosened;                    ///< cases under which something comes off: in no list below
  std::vector<Case> ultimate, equilibrium, service;  ///< as in Situations
  Case picture{};                                    ///< overgrown, its weight and wind along x, without factors
  Case weight_in_use{};                              ///< its own weight alone, fixings as they slip in use
  std::vector<bool> roof{};                          ///< as in Situations

  /// Whether a case says anything of a timber: those of the roof's edges do of the roof alone.
  bool judges(const Case& c, PieceId piece) const {
    return !c.roof_alone || roof[static_cast<std::size_t>(piece.index)];
  }
  bool us() const { return site.route == Site::Route::us; }
  const frame::Solution& under(const Case& c) const { return solutions[c.solution]; }
  /// Forces in a bar, displacement of a node, reaction, under a case.
  const frame::MemberResult& bar(const Case& c, frame::MemberIndex member) const { return under(c).members[member]; }
  Vec3 shift(const Case& c, frame::NodeIndex node) const;
  const frame::Wrench& reaction(const Case& c, std::size_t support) const { return under(c).reactions[support]; }
  /// What the two bodies of a joint press on each other across its face, N.
  double push(const Case& c, JointId joint) const;
  frame::Loads loads(const Case& c) const;
};

/// What is asked: one state, or any for all; one combination in it, or none for all.
struct Asking {
  State::Kind state = State::Kind::any;
  std::optional<Situation> situation{};
};

/// A structure's frame, made once for whatever weather comes: solved under sites that differ in wind, snow, exposure
/// and plants alone. The search for what is shut under one load begins with what was under the load most like it.
class Carcass {
 public:
  /// Fails with "mechanism", in words, when something can move without resistance, or when it stands on nothing.
  static Result<Carcass> make(const Structure& structure, const Site& site, const std::vector<BaseSpring>& bases);
  Carcass(Carcass&&) noexcept;
  Carcass& operator=(Carcass&&) noexcept;
  ~Carcass();

  /// `site` must stay as long as what is handed out. Fails where the numbers are too far apart to reckon with.
  Result<Solved> solve(const Site& site, const Asking& asking = {});

  struct Parts;

 private:
  explicit Carcass(std::unique_ptr<Parts> parts);
  std::unique_ptr<Parts> parts_;
};

/// All at once.
Result<Solved> solve(const Structure& structure, const Site& site, const std::vector<BaseSpring>& bases);

/// The force of a fixing in one of its planes: across it, and its pull along itself.
FixingForce fixing_force(const Solved& solved, const Case& c, const Crossing& crossing);

/// "left front post A1 lifts off": for a person.
std::string words_of(const Structure& structure, const Loosened& loose);

}  // namespace garthwright::strength
