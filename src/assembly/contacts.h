// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <vector>

#include "assembly/assembly.h"
#include "assembly/piece_set.h"

/// Which pieces touch, and which starts of a motion each contact hinders. A way that no contact hinders is free for
/// the first fraction of a millimetre, whatever stands further off.

namespace garthwright::assembly {

class Contacts {
 public:
  explicit Contacts(const Assembly& assembly);

  const PieceSet& touching(int piece) const { return touching_[piece]; }
  bool touches_site(int piece) const { return touches_site_[piece]; }

  /// The pieces that hinder `piece` from starting along `way`.
  PieceSet hindering(int piece, Vec3 way) const;
  bool site_hinders(int piece, Vec3 way) const;

  /// Distinct normals of all contacts of `piece`, pointing at it.
  std::vector<Vec3> normals(int piece) const;

 private:
  struct Contact {
    int other;                  ///< piece, or -1 for the site
    std::vector<Vec3> normals;  ///< away from the other; hindered when the way goes against all of them
  };
  std::vector<PieceSet> touching_;
  std::vector<char> touches_site_;
  std::vector<std::vector<Contact>> contacts_;
};

}  // namespace garthwright::assembly
