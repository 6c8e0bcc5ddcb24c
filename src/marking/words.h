// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <string>
#include <vector>

#include "structure/structure.h"

namespace garthwright::marking {

/// What people call the faces and ends of the pieces of one mark, which may stand turned about (see marking.h).
class Words {
 public:
  Words(const Structure& structure, std::vector<PieceId> pieces);

  const std::string& face(Face face) const { return names_[static_cast<std::size_t>(face)]; }
  std::string datum() const;

 private:
  std::string named(Face face) const;
  void tell_apart();
  std::string compass(const Piece& piece, Face face) const;
  std::string in_or_out(const Piece& piece, Face face) const;

  const Structure& structure_;
  std::vector<PieceId> pieces_;
  Vec3 middle_;                       // of the structure
  std::array<std::string, 6> names_;  // by Face; of the four long ones no two alike
};

}  // namespace garthwright::marking
