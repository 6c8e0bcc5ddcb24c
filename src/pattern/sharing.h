// SPDX-License-Identifier: Apache-2.0
//
// Posts that two structures of a garden share. The host builds its post; a guest's pattern places a post of that name
// as ever, and is handed the host's in its place, so that its rails meet the real faces. What the guest asked of it,
// how high, how deep, in which hole, is noted: the highest and the deepest of all are made.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "structure/joinery.h"
#include "structure/structure.h"

namespace garthwright::pattern {

/// What a guest asks of a shared post, in the guest's own coordinates.
struct PostAsked {
  Traced top, foot;
  std::optional<Footing> hole;
};

/// A host's post, lent to a guest under the guest's own name for it.
struct LentPost {
  std::string called;   ///< "left post"
  std::string host;     ///< "arbor"
  std::string real;     ///< "right front post"
  Piece piece;          ///< in the guest's coordinates
  std::string section;  ///< its trade name
  std::string choice;   ///< of the host that says so; empty where none does
  PieceId taken{};      ///< the guest's piece that stands for it, once it is placed
  PostAsked asked{};
};

/// How high guests ask a post of the host's to be, in the host's coordinates.
struct RaisedPost {
  std::string called;
  Traced top;
};

/// "left front post": as a job calls it.
std::string full_name(const std::string& where, const std::string& name);

/// The post of that name lent to a guest whose pattern wants to place it; none when it is the guest's own.
LentPost* lent_post(std::vector<LentPost>& lent, const Placing& placing);
/// Puts it in the guest's structure, no lower than asked and as high as it stands. Fails where the guest wants a
/// larger section, or another way up.
Result<PieceId> take(Structure& guest, LentPost& post, const Placing& placing);

/// What the guest's structure, built and set on its ground, makes of a post it was lent.
void note_asked(const Structure& guest, LentPost& post);

/// The level that somebody asked for, `up` above the host's own zero, with who asked in its sum.
Traced asked_by(const std::string& by, const char* what, const Traced& level, double up);

/// What `by` asked, in the host's coordinates, `up` above its own: the post grows to it, and its hole with it.
void grow(Structure& host, PieceId post, const PostAsked& asked, double up, const std::string& by);

}  // namespace garthwright::pattern
