// SPDX-License-Identifier: Apache-2.0
//
// Verbs for the ends of two timbers that make a corner.
#include "pattern/verbs.h"
#include "structure/mitring.h"

namespace garthwright::pattern {
namespace {

/// mitre(a, b): the corner that both were placed out to is cut from the inner to the outer corner, and joined.
int mitre_two(Call& call) {
  const PieceId a = call.piece_at(1, "the first piece"), b = call.piece_at(2, "the second piece");
  if (a == b) call.wrong("a piece cannot be mitred to itself", "give two pieces");
  call.done(mitre(call.structure(), a, b));
  call.box().spend(Good::parts, 2);
  return 0;
}

const std::vector<Verb> kVerbs{{"mitre", mitre_two, 2, 2}};

}  // namespace

std::span<const Verb> corner_verbs() { return kVerbs; }

}  // namespace garthwright::pattern
