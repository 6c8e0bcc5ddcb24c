// SPDX-License-Identifier: Apache-2.0
//
// Verbs that fix bodies that have been joined.
#include <fmt/format.h>

#include <algorithm>

#include "pattern/verbs.h"
#include "structure/joinery.h"

namespace garthwright::pattern {
namespace {

constexpr double kClosest = 10;  // mm between two fixings: nearer, and their number has no end

Fastening fastening_of(const Call& call) {
  Fastening fastening;
  fastening.through = call.bodies("through");
  std::vector<Body> once = fastening.through;
  std::sort(once.begin(), once.end());
  if (once.size() < 2 || std::adjacent_find(once.begin(), once.end()) != once.end())
    call.wrong("fixings go through two pieces or more, each once", "give through = { a, b }");
  fastening.count = call.whole("count", 2, 1, 1000);
  fastening.every_mm = call.mm("every", 0);
  if (call.has("every") && fastening.every_mm < kClosest)
    call.wrong(fmt::format("every of fix is {:g} mm", fastening.every_mm), "give 10 mm or more");
  fastening.wanted.least_diameter = call.mm("least", 0);
  fastening.wanted.item = call.text("item", "");
  return fastening;
}

/// A remark is made once, however many fixings it holds for.
void remark_once(const Call& call, const Diagnostics& remarks) {
  Bench& bench = call.bench_();
  for (Diagnostic remark : remarks) {
    remark.where = bench.order->where;
    if (std::find(bench.remarks.begin(), bench.remarks.end(), remark) != bench.remarks.end()) continue;
    call.box().spend(Good::parts, 1);
    bench.remarks.push_back(std::move(remark));
  }
}

/// By the first kind that the yard sells in a length that suits; false when none does and the nearest will not do.
bool fix_by_kind(const Call& call, bool nearest_will_do) {
  Fastening fastening = fastening_of(call);
  const std::vector<std::string> kinds = call.texts("kind", "screw");
  for (const bool nearest : {false, true}) {
    if (nearest && !nearest_will_do) return false;
    for (const std::string& kind : kinds) {
      fastening.wanted.kind = static_cast<timber::FixingKind>(call.word("kind", kind, timber::fixing_kind_names()));
      if (is_for_leaves(fastening.wanted.kind))
        call.wrong(fmt::format("a {} fixes no joint", kind), "let swing hang the leaf");
      fastening.nearest_will_do = nearest;
      const Result<Diagnostics> fixed = fasten(call.structure(), fastening, call.bench_().job->yard.fixings);
      if (fixed) {
        remark_once(call, *fixed);
        return true;
      }
      if (fixed.error().front().code != "no-fixing" || (nearest && kind == kinds.back()))
        raise(call.lua(), fixed.error());
    }
  }
  return false;
}

int fix(Call& call) {
  fix_by_kind(call, true);
  return 0;
}

/// As fix, but says false where no fixing sold suits.
int try_fix(Call& call) {
  lua_pushboolean(call.lua(), fix_by_kind(call, false));
  return 1;
}

const Names kFixing{{"through", Takes::bodies}, {"kind", Takes::texts},   {"count", Takes::number},
                    {"every", Takes::length},   {"least", Takes::length}, {"item", Takes::text}};

const std::vector<Verb> kVerbs{{"fix", fix, 1, 1, 1, kFixing}, {"try_fix", try_fix, 1, 1, 1, kFixing}};

}  // namespace

std::span<const Verb> fixing_verbs() { return kVerbs; }

}  // namespace garthwright::pattern
