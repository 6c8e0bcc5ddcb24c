// SPDX-License-Identifier: Apache-2.0
#include "assembly/contacts.h"

#include <algorithm>

#include "assembly/separation.h"

namespace garthwright::assembly {
namespace {

constexpr double kAgainst = 1e-9;

bool apart(const Box& a, const Box& b, double touch) {
  for (int k = 0; k < 3; ++k) {
    if (a.min[k] - b.max[k] > touch || b.min[k] - a.max[k] > touch) return true;
  }
  return false;
}

bool goes_against(const std::vector<Vec3>& normals, Vec3 way) {
  return std::all_of(normals.begin(), normals.end(), [&](Vec3 n) { return dot(n, way) < -kAgainst * norm(way); });
}

}  // namespace

Contacts::Contacts(const Assembly& assembly)
    : touching_(assembly.pieces.size(), PieceSet(static_cast<int>(assembly.pieces.size()))),
      touches_site_(assembly.pieces.size(), 0),
      contacts_(assembly.pieces.size()) {
  const int n = static_cast<int>(assembly.pieces.size());
  std::vector<Box> boxes;
  for (const Piece& piece : assembly.pieces) boxes.push_back(box_around(piece.parts));

  // slab.hi <= touch: the still part lies on the low side, so its normal, pointing at the mover, is +axis.
  const auto meet = [&](const ConvexPart& a, const ConvexPart& b) { return contact_normals(a, b, assembly.touch); };
  for (int i = 0; i < n; ++i) {
    for (int j = 0; j < i; ++j) {
      if (apart(boxes[i], boxes[j], assembly.touch)) continue;
      for (const ConvexPart& a : assembly.pieces[i].parts) {
        for (const ConvexPart& b : assembly.pieces[j].parts) {
          const std::vector<Vec3> normals = meet(a, b);
          if (normals.empty()) continue;
          std::vector<Vec3> turned;
          for (const Vec3& v : normals) turned.push_back(-v);
          contacts_[i].push_back({j, normals});
          contacts_[j].push_back({i, turned});
          touching_[i].insert(j);
          touching_[j].insert(i);
        }
      }
    }
    for (const ConvexPart& a : assembly.pieces[i].parts) {
      for (const ConvexPart& b : solids_of(assembly.site)) {
        const std::vector<Vec3> normals = meet(a, b);
        if (normals.empty()) continue;
        contacts_[i].push_back({-1, normals});
        touches_site_[i] = true;
      }
    }
  }
}

PieceSet Contacts::hindering(int piece, Vec3 way) const {
  PieceSet set(static_cast<int>(touching_.size()));
  for (const Contact& c : contacts_[piece]) {
    if (c.other >= 0 && !set.has(c.other) && goes_against(c.normals, way)) set.insert(c.other);
  }
  return set;
}

bool Contacts::site_hinders(int piece, Vec3 way) const {
  return std::any_of(contacts_[piece].begin(), contacts_[piece].end(),
                     [&](const Contact& c) { return c.other < 0 && goes_against(c.normals, way); });
}

std::vector<Vec3> Contacts::normals(int piece) const {
  std::vector<Vec3> distinct;
  for (const Contact& c : contacts_[piece]) {
    for (const Vec3& v : c.normals) {
      const bool known = std::any_of(distinct.begin(), distinct.end(), [&](Vec3 d) { return norm(d - v) < 1e-9; });
      if (!known) distinct.push_back(v);
    }
  }
  return distinct;
}

}  // namespace garthwright::assembly
