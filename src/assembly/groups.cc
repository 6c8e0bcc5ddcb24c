// SPDX-License-Identifier: Apache-2.0
#include "assembly/groups.h"

namespace garthwright::assembly {

std::optional<PieceSet> carried_along(int piece, const PieceSet& group, const Ties& ties,
                                      const std::function<PieceSet(int)>& hits, const std::function<bool(int)>& held,
                                      int most) {
  PieceSet reached(group.size());
  reached.insert(piece);
  std::vector<int> open{piece};
  int count = 1;
  while (!open.empty()) {
    const int i = open.back();
    open.pop_back();
    if (count > most || held(i)) return std::nullopt;
    PieceSet next = hits(i);
    if (!ties.empty()) next |= ties[i];
    next &= group;
    next -= reached;
    reached |= next;
    next.for_each([&](int j) {
      open.push_back(j);
      ++count;
    });
  }
  return reached;
}

std::optional<PieceSet> leaving_with(int piece, int way, const Group& group, const PieceSet& fixed,
                                     const Blocking& blocking, const Ties& ties, int most) {
  auto set = carried_along(
      piece, group.pieces, ties, [&](int i) { return blocking.hit(way, i); },
      [&](int i) { return fixed.has(i) || (group.on_site && blocking.hits_site(way, i)); }, most);
  if (set && *set == group.pieces && !group.on_site) return std::nullopt;
  return set;
}

std::optional<PieceSet> starting_with(int piece, Vec3 way, const Group& group, const PieceSet& fixed,
                                      const Contacts& contacts, const Ties& ties) {
  auto set = carried_along(
      piece, group.pieces, ties, [&](int i) { return contacts.hindering(i, way); },
      [&](int i) { return fixed.has(i) || (group.on_site && contacts.site_hinders(i, way)); }, group.pieces.size());
  if (set && *set == group.pieces && !group.on_site) return std::nullopt;
  return set;
}

int cluster_count(const Group& group, const PieceSet& fixed, const Contacts& contacts) {
  PieceSet left = group.pieces;
  int clusters = 0;
  const auto flood = [&](std::vector<int> open) {
    while (!open.empty()) {
      const int i = open.back();
      open.pop_back();
      const PieceSet next = contacts.touching(i) & left;
      left -= next;
      next.for_each([&](int j) { open.push_back(j); });
    }
  };
  if (group.on_site) {
    std::vector<int> grounded;
    left.for_each([&](int i) {
      if (fixed.has(i) || contacts.touches_site(i)) grounded.push_back(i);
    });
    for (int i : grounded) left.erase(i);
    ++clusters;
    flood(std::move(grounded));
  }
  while (!left.empty()) {
    const int seed = left.members().front();
    left.erase(seed);
    ++clusters;
    flood({seed});
  }
  return clusters;
}

}  // namespace garthwright::assembly
