// SPDX-License-Identifier: Apache-2.0
//
// What stands in words beside the strips of a piece.
#pragma once

#include <string>
#include <vector>

#include "sheets/brief.h"

namespace garthwright::sheets {

/// What the saw, the drill and the brush are told, a sentence each.
std::vector<std::string> notes(const Brief& brief, const Structure& s, const Piece& piece,
                               const marking::MarkList& list);

/// What is to be said of several hands, each sentence once with those it is true of.
std::string merged_notes(const std::vector<std::vector<std::string>>& notes, const std::vector<std::string>& hands);

/// "left front, right back" of a hand that is not all of its mark.
std::string which(const Structure& s, const marking::MarkList& list);

}  // namespace garthwright::sheets
