// SPDX-License-Identifier: Apache-2.0
//
// A structure solved: its frame under each action alone, and the combinations of EN 1990 or ASCE 7-16 in every state of
// the garden as sums of those. The checks read it and add nothing to it.
#pragma once

#include <string>
#include <vector>

#include "frame/along.h"
#include "strength/model.h"
#include "strength/situations.h"
#include "structure/site.h"

namespace garthwright::strength {

struct Solved {
  const Structure& structure;
  const Site& site;
  Model model;
  std::vector<frame::Loads> actions;
  std::vector<frame::Solution> unit;                 ///< with `actions`
  std::vector<Case> ultimate, equilibrium, service;  ///< as in Situations
  std::size_t grown_wind = 0;                        ///< index of wind along x on the overgrown structure
  std::vector<bool> roof{};                          ///< as in Situations

  /// Whether a case says anything of a timber: those of the roof's edges do of the roof alone.
  bool judges(const Case& c, PieceId piece) const {
    return !c.roof_alone || roof[static_cast<std::size_t>(piece.index)];
  }
  bool us() const { return site.route == Site::Route::us; }
  /// Forces in a bar, displacement of a node, reaction, under a case.
  frame::MemberResult bar(const Case& c, frame::MemberIndex member) const;
  Vec3 shift(const Case& c, frame::NodeIndex node) const;
  /// What acts on a joint's link at its end in joint.b, in the world, N.
  Vec3 force_on(const Case& c, const Link& link) const;
  frame::Wrench reaction(const Case& c, std::size_t support) const;
  frame::Loads loads(const Case& c) const;
};

/// Fails with "mechanism", in words, when something can move without resistance, or when it stands on nothing.
/// `only` one state, or any for all.
Result<Solved> solve(const Structure& structure, const Site& site, const std::vector<BaseSpring>& bases,
                     State::Kind only = State::Kind::any);

/// "the head of left front post A1 can move along the opening": what find_mechanism found, for a person.
std::string words_of(const frame::Frame& frame, const frame::Mechanism& mechanism);

}  // namespace garthwright::strength
