// SPDX-License-Identifier: Apache-2.0
//
// Which of the pieces of one mark take the very same lines: those whose seats, holes and ground line agree. Equal
// timbers may still be met by others in different places, most often as left and right hand.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "marking/drilling.h"
#include "marking/seat.h"
#include "structure/marks.h"

namespace garthwright::marking {

/// What meets one piece, each list in an order that does not depend on the structure's. What only lies against it,
/// without a fixing, makes no hand of its own.
struct Meetings {
  std::vector<Seat> seats, bare;
  std::vector<Drilling> holes;
  std::optional<double> ground_mm;  ///< where the ground crosses it, from the datum end
};
std::vector<Meetings> meetings_of(const Structure& structure);

/// Turns pieces about their own axes, where that changes nothing of the timber, so that as many as can of each mark
/// take the same lines.
void turn_alike(Structure& structure);

struct Hand {
  std::string name;  ///< "" where all are alike, "left", "right", else "a", "b" …
  std::vector<PieceId> pieces;
  /// Each seat with what comes there on each of the pieces: nothing where only some of them are met.
  std::vector<std::vector<std::optional<Seat>>> seats;
};
std::vector<Hand> hands_of(const Structure& structure, const MarkGroup& group, const std::vector<Meetings>& meetings);

}  // namespace garthwright::marking
