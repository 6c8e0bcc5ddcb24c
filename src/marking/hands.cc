// SPDX-License-Identifier: Apache-2.0
#include "marking/hands.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <map>
#include <set>
#include <utility>

namespace garthwright::marking {
namespace {

using Signature = std::vector<std::int64_t>;

/// To 0.01 mm or degree; shifted, so that no common size lies on the border between two.
template <class To>
void put(To& to, double value) {
  to.push_back(std::llround(value * 100 + 0.137));
}

/// What comes there, by its name: two rails in one place of two posts may differ in notches of their own.
std::int64_t kind_of(const Structure& structure, Body body, std::map<std::string, int>& names) {
  static const std::string kPanel = "panel";
  const std::string& name = body.kind == Body::Kind::piece ? structure[PieceId{body.index}].name : kPanel;
  return names.try_emplace(name, static_cast<int>(names.size())).first->second;
}

/// What makes one seat or one hole, as a signature that takes no memory of its own.
class Key {
 public:
  void push_back(std::int64_t value) { values_[size_++] = value; }
  const std::int64_t* begin() const { return values_.data(); }
  const std::int64_t* end() const { return values_.data() + size_; }
  friend bool operator<(const Key& a, const Key& b) {
    return std::lexicographical_compare(a.begin(), a.end(), b.begin(), b.end());
  }

 private:
  std::array<std::int64_t, 13> values_{};
  std::size_t size_ = 0;
};

Key signature(const Structure& structure, const Seat& seat, std::map<std::string, int>& names) {
  Key to;
  to.push_back(static_cast<int>(seat.face));
  put(to, seat.near.at_mm), put(to, seat.far.at_mm), put(to, seat.near.angle_deg), put(to, seat.far.angle_deg);
  put(to, seat.tilt_deg);
  put(to, seat.depth_mm), put(to, seat.near_z_mm.value_or(-1)), put(to, seat.far_z_mm.value_or(-1));
  to.push_back(static_cast<int>(seat.from));
  if (!runs_across(seat)) put(to, seat.across_mm), put(to, seat.wide_mm);
  to.push_back(kind_of(structure, seat.other, names));
  return to;
}

Key signature(const Structure& structure, const Drilling& drilling, std::map<std::string, int>& names) {
  Key to;
  const Hole& h = drilling.hole;
  put(to, h.entry.x), put(to, h.entry.y), put(to, h.entry.z);
  put(to, h.direction.x * 10), put(to, h.direction.y * 10), put(to, h.direction.z * 10);
  put(to, h.diameter), put(to, h.depth), put(to, drilling.sunk);
  const Fixing& fixing = structure.fixings[static_cast<std::size_t>(drilling.fixing)];
  to.push_back(names.try_emplace(fixing.item, static_cast<int>(names.size())).first->second);
  to.push_back(static_cast<std::int64_t>(drilling.nth));
  return to;
}

template <class Of>
void in_order(std::vector<Of>& all, const Structure& structure, std::map<std::string, int>& names) {
  std::vector<std::pair<Key, std::size_t>> keys;
  keys.reserve(all.size());
  for (std::size_t i = 0; i < all.size(); ++i) keys.emplace_back(signature(structure, all[i], names), i);
  std::sort(keys.begin(), keys.end());
  std::vector<Of> sorted;
  sorted.reserve(all.size());
  for (const auto& key : keys) sorted.push_back(all[key.second]);
  all = std::move(sorted);
}

Signature signature(const Structure& structure, const Meetings& meetings, std::map<std::string, int>& names) {
  Signature whole;
  const auto add = [&](const Key& part) { whole.insert(whole.end(), part.begin(), part.end()); };
  for (const Seat& seat : meetings.seats) add(signature(structure, seat, names));
  whole.push_back(-1);
  for (const Drilling& hole : meetings.holes) add(signature(structure, hole, names));
  if (meetings.ground_mm) put(whole, *meetings.ground_mm);
  return whole;
}

/// The face lines of a piece with one pair of faces exchanged: what its mirror image would carry.
struct Shape {
  std::vector<std::array<double, 6>> seats;
  bool operator==(const Shape&) const = default;
};

Shape shape_of(const Structure& structure, PieceId id, const Meetings& meetings, bool flip_y, bool flip_z,
               bool swap_yz) {
  const Piece& piece = structure[id];
  const double w = piece.width.value(), t = piece.thickness.value();
  Shape shape;
  for (const Seat& seat : meetings.seats) {
    // The middle of the near line and of the far one, as points of the piece.
    const bool edge = seat.face == Face::edge_low || seat.face == Face::edge_high;
    const double size = edge ? t : w;
    const bool low = seat.from == Face::side_low || seat.from == Face::edge_low;
    const double middle = seat.across_mm + seat.wide_mm / 2, s = low ? middle : size - middle;
    double y = edge ? (seat.face == Face::edge_low ? 0 : w) : s, z = edge ? s : (seat.face == Face::side_low ? 0 : t);
    if (swap_yz) std::swap(y, z);
    if (flip_y) y = w - y;
    if (flip_z) z = t - z;
    const auto r = [](double v) { return std::round(v * 10) / 10; };
    shape.seats.push_back({r(seat.near.at_mm), r(seat.far.at_mm), r(y), r(z), r(seat.depth_mm), r(seat.wide_mm)});
  }
  std::sort(shape.seats.begin(), shape.seats.end());
  return shape;
}

bool mirrored(const Structure& structure, PieceId a, PieceId b, const std::vector<Meetings>& meetings) {
  const auto of = [&](PieceId id) -> const Meetings& { return meetings[static_cast<std::size_t>(id.index)]; };
  const Shape plain = shape_of(structure, a, of(a), false, false, false);
  if (plain.seats.empty()) return false;
  const bool square = std::abs(structure[b].width.value() - structure[b].thickness.value()) < 1e-6;
  return plain == shape_of(structure, b, of(b), true, false, false) ||
         plain == shape_of(structure, b, of(b), false, true, false) ||
         (square && (plain == shape_of(structure, b, of(b), false, false, true) ||
                     plain == shape_of(structure, b, of(b), true, true, true)));
}

bool stands_left(const Structure& structure, PieceId id) {
  if (structure[id].where.find("left") != std::string::npos) return true;
  return structure[id].where.find("right") == std::string::npos &&
         structure[id].where.find("front") != std::string::npos;
}

/// What each piece is met by in the seats of this number; then those that only lie against some of the pieces.
void gather_seats(const Structure& structure, Hand& hand, const std::vector<Meetings>& meetings) {
  const auto of = [&](PieceId id) -> const Meetings& { return meetings[static_cast<std::size_t>(id.index)]; };
  for (std::size_t i = 0; i < of(hand.pieces.front()).seats.size(); ++i) {
    auto& row = hand.seats.emplace_back();
    for (const PieceId id : hand.pieces) row.emplace_back(of(id).seats[i]);
  }
  std::map<std::string, int> names;
  std::map<Key, std::vector<std::optional<Seat>>> bare;
  for (std::size_t i = 0; i < hand.pieces.size(); ++i)
    for (const Seat& seat : of(hand.pieces[i]).bare) {
      auto& row = bare[signature(structure, seat, names)];
      row.resize(hand.pieces.size());
      row[i] = seat;
    }
  for (auto& [key, row] : bare) hand.seats.push_back(std::move(row));
}

void name_hands(const Structure& structure, std::vector<Hand>& hands, const std::vector<Meetings>& meetings) {
  if (hands.size() < 2) return;
  if (hands.size() == 2 && mirrored(structure, hands[0].pieces.front(), hands[1].pieces.front(), meetings)) {
    const bool left =
        stands_left(structure, hands[0].pieces.front()) || !stands_left(structure, hands[1].pieces.front());
    hands[0].name = left ? "left" : "right";
    hands[1].name = left ? "right" : "left";
    return;
  }
  for (std::size_t i = 0; i < hands.size(); ++i)
    hands[i].name = i < 26 ? std::string(1, static_cast<char>('a' + i)) : std::to_string(i + 1);
}

/// The joints and fixings of each piece.
struct Near {
  JointIndex index;
  std::vector<std::vector<JointId>> joints;
  std::vector<std::vector<int>> fixings;
};

Near near_of(const Structure& structure) {
  Near near{JointIndex(structure), std::vector<std::vector<JointId>>(structure.pieces.size()),
            std::vector<std::vector<int>>(structure.pieces.size())};
  const auto at = [](Body body) { return static_cast<std::size_t>(body.index); };
  for (int i = 0; i < static_cast<int>(structure.joints.size()); ++i)
    for (const Body body :
         {structure.joints[static_cast<std::size_t>(i)].a, structure.joints[static_cast<std::size_t>(i)].b})
      if (body.kind == Body::Kind::piece) near.joints[at(body)].push_back({i});
  for (int i = 0; i < static_cast<int>(structure.fixings.size()); ++i)
    for (const Body body : structure.fixings[static_cast<std::size_t>(i)].through)
      if (body.kind == Body::Kind::piece) near.fixings[at(body)].push_back(i);
  return near;
}

Meetings meetings_of(const Structure& structure, PieceId id, const Near& near, std::map<std::string, int>& names) {
  Meetings all;
  for (Seat& seat : seats_of(structure, id, near.joints[static_cast<std::size_t>(id.index)]))
    (structure[seat.joint].bare ? all.bare : all.seats).push_back(seat);
  all.holes = drillings(structure, near.index, id, near.fixings[static_cast<std::size_t>(id.index)]);
  in_order(all.seats, structure, names);
  in_order(all.bare, structure, names);
  in_order(all.holes, structure, names);
  for (const Footing& footing : structure.footings) {
    const Frame& frame = structure[id].frame;
    if (footing.post == id && footing.shoe.empty() && std::abs(frame.x.z) > 0.5)
      all.ground_mm = (footing.centre.z - frame.origin.z) / frame.x.z;
  }
  return all;
}

}  // namespace

std::vector<Meetings> meetings_of(const Structure& structure) {
  const Near near = near_of(structure);
  std::map<std::string, int> names;
  std::vector<Meetings> all;
  for (std::size_t i = 0; i < structure.pieces.size(); ++i)
    all.push_back(meetings_of(structure, {static_cast<int>(i)}, near, names));
  return all;
}

void turn_alike(Structure& structure) {
  const Near near = near_of(structure);
  std::map<std::string, int> names;
  for (const MarkGroup& group : marks(structure)) {
    if (group.pieces.size() < 2) continue;
    std::set<Signature> known;
    for (const PieceId id : group.pieces) {
      const auto key = [&] { return signature(structure, meetings_of(structure, id, near, names), names); };
      const Signature as_it_lies = key();
      if (known.contains(as_it_lies)) continue;
      bool found = false;
      for (Piece& turned : equal_turns(structure[id])) {
        std::swap(structure[id], turned);
        if (found = known.contains(key()); found) break;
        std::swap(structure[id], turned);
      }
      if (!found) known.insert(as_it_lies);
    }
  }
}

std::vector<Hand> hands_of(const Structure& structure, const MarkGroup& group, const std::vector<Meetings>& meetings) {
  std::map<std::string, int> names;
  std::vector<std::pair<Signature, Hand>> found;
  for (const PieceId id : group.pieces) {
    Signature key = signature(structure, meetings[static_cast<std::size_t>(id.index)], names);
    const auto same = std::find_if(found.begin(), found.end(), [&](const auto& f) { return f.first == key; });
    if (same != found.end())
      same->second.pieces.push_back(id);
    else
      found.push_back({std::move(key), Hand{"", {id}, {}}});
  }
  std::vector<Hand> hands;
  for (auto& [key, hand] : found) {
    gather_seats(structure, hand, meetings);
    hands.push_back(std::move(hand));
  }
  name_hands(structure, hands, meetings);
  return hands;
}

}  // namespace garthwright::marking
