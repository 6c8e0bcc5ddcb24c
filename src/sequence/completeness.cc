// SPDX-License-Identifier: Apache-2.0
#include "sequence/completeness.h"

#include <fmt/format.h>

#include <map>

namespace garthwright::sequence {

std::vector<std::string> left_out(const Structure& structure, const std::vector<Stage>& stages) {
  std::map<Body, int> brought, on_site;
  std::vector<int> prepared(structure.pieces.size(), 0), driven(structure.fixings.size(), 0);
  std::vector<int> dug(structure.footings.size(), 0), filled(structure.footings.size(), 0);
  std::map<std::vector<Body>, int> propped;
  std::map<Workplace, int> braced;
  std::vector<std::string> faults;
  const auto count = [&](std::vector<int>& list, int index, const char* what) {
    if (index < 0 || static_cast<std::size_t>(index) >= list.size())
      faults.push_back(fmt::format("{} {} does not exist", what, index));
    else
      ++list[static_cast<std::size_t>(index)];
  };
  for (const Step* step : all_steps(stages)) {
    if (const auto* s = std::get_if<Prepare>(step)) count(prepared, s->piece.index, "piece");
    if (const auto* s = std::get_if<Dig>(step)) count(dug, s->footing, "hole");
    if (const auto* s = std::get_if<Fill>(step)) count(filled, s->footing, "hole");
    if (const auto* s = std::get_if<Drive>(step)) count(driven, s->fixing, "fixing");
    if (const auto* s = std::get_if<Prop>(step)) ++propped[s->bodies];
    if (const auto* s = std::get_if<Unprop>(step)) --propped[s->bodies];
    if (const auto* s = std::get_if<Brace>(step)) ++braced[s->at];
    if (const auto* s = std::get_if<Unbrace>(step)) --braced[s->at];
    if (const auto* s = std::get_if<Bring>(step)) {
      for (const Body b : s->bodies) {
        if (s->from < 0) ++brought[b];
        if (s->to == kSite) ++on_site[b];
      }
    }
  }
  const auto once = [&](int n, const std::string& what, const char* done) {
    if (n != 1) faults.push_back(fmt::format("{} is {} {} times, not once", what, done, n));
  };
  const auto stands = [&](Body b) {
    once(brought[b], describe(structure, b), "brought");
    once(on_site[b], describe(structure, b), "put in its place");
  };
  for (std::size_t i = 0; i < structure.pieces.size(); ++i) {
    const Body b = body(PieceId{static_cast<int>(i)});
    once(prepared[i], describe(structure, b), "cut and sealed");
    stands(b);
  }
  for (std::size_t i = 0; i < structure.panels.size(); ++i) stands(body(PanelId{static_cast<int>(i)}));
  for (std::size_t i = 0; i < driven.size(); ++i)
    once(driven[i], fmt::format("{} number {}", structure.fixings[i].item, i), "driven");
  for (std::size_t i = 0; i < dug.size(); ++i) {
    once(dug[i], fmt::format("hole {}", i + 1), "dug");
    once(filled[i], fmt::format("hole {}", i + 1), "filled");
  }
  for (const auto& [bodies, n] : propped)
    if (n != 0)
      faults.push_back("a rest or strut under " + describe(structure, bodies.front()) + " is left or taken twice");
  for (const auto& [place, n] : braced)
    if (n != 0) faults.push_back(fmt::format("the batten across sub-assembly {} is left or taken twice", place));
  return faults;
}

}  // namespace garthwright::sequence
