// SPDX-License-Identifier: Apache-2.0
//
// Verbs for what moves: leaves on hinges.
#include <fmt/format.h>

#include <algorithm>
#include <tuple>

#include "base/near.h"
#include "base/quoted.h"
#include "pattern/verbs.h"
#include "structure/swinging.h"

namespace garthwright::pattern {
namespace {

/// An item of this kind: the one named, else the yard's default, else the first that it sells; none, with a remark,
/// where it sells none.
std::string item_of(const Call& call, const char* name, timber::FixingKind kind) {
  std::vector<std::string> sold;
  for (const timber::FixingItem& item : call.bench_().job->yard.fixings)
    if (item.kind == kind) sold.push_back(item.name);
  if (call.has(name)) {
    const std::string wanted = call.text(name);
    if (std::find(sold.begin(), sold.end(), wanted) == sold.end())
      call.wrong(fmt::format("the yard sells no {} {}", name, quoted(wanted)), suggest(wanted, sold));
    return wanted;
  }
  for (const auto& [role, item] : call.bench_().job->yard.defaults)
    if (role == name && std::find(sold.begin(), sold.end(), item) != sold.end()) return item;
  if (!sold.empty()) return sold.front();
  call.box().spend(Good::parts, 1);
  call.bench_().remarks.push_back(
      {Severity::warning, "not-sold",
       fmt::format("{} sells no {}: it is in no purchase", call.bench_().job->yard.title, name),
       "buy it elsewhere, or add it to the catalogue", call.bench_().order->where});
  return {};
}

/// The thickest hinge sold, of those the longest: what a heavy leaf, or one to ride on, is hung by.
std::string stoutest_hinge(const Call& call) {
  const timber::FixingItem* best = nullptr;
  for (const timber::FixingItem& item : call.bench_().job->yard.fixings)
    if (item.kind == timber::FixingKind::hinge &&
        (best == nullptr || std::tie(item.diameter_mm, item.length_mm) > std::tie(best->diameter_mm, best->length_mm)))
      best = &item;
  return best == nullptr ? "" : best->name;
}

void put(Call& call, const std::string& item, Body on) {
  if (!item.empty()) call.structure().items.push_back({item, on});
}

/// swing(list, {name=, on=, opens=, hinges = {levels}, by=, hinge=, heavy=, latch=, latch_on=}): the pieces turn on
/// hinges.
int swing(Call& call) {
  Hanging hanging;
  hanging.leaf = call.bodies_at(1, "the leaf");
  hanging.name = call.text("name", "leaf");
  hanging.on = call.body("on");
  hanging.opens = call.way("opens", Way::front);
  hanging.levels = call.lengths("hinges");
  hanging.most_deg = call.number("by", 90, 1, 180);
  if (hanging.levels.size() < 2 || hanging.levels.size() > 6)
    call.wrong(fmt::format("swing hangs {} on {} hinges", hanging.name, hanging.levels.size()), "give 2 to 6 levels");
  call.done(hang(call.structure(), hanging));
  const std::string stoutest = call.flag("heavy") && !call.has("hinge") ? stoutest_hinge(call) : "";
  const std::string hinge = stoutest.empty() ? item_of(call, "hinge", timber::FixingKind::hinge) : stoutest;
  for (std::size_t i = 0; i < hanging.levels.size(); ++i) put(call, hinge, hanging.on);
  if (call.has("latch_on")) put(call, item_of(call, "latch", timber::FixingKind::latch), call.body("latch_on"));
  call.box().spend(Good::parts, static_cast<std::int64_t>(hanging.leaf.size() + 2 * hanging.levels.size()));
  return 0;
}

const std::vector<Verb> kVerbs{{"swing",
                                swing,
                                2,
                                2,
                                2,
                                {{"name", Takes::text},
                                 {"on", Takes::body},
                                 {"opens", Takes::way},
                                 {"hinges", Takes::lengths},
                                 {"by", Takes::number},
                                 {"hinge", Takes::text},
                                 {"heavy", Takes::yes_no},
                                 {"latch", Takes::text},
                                 {"latch_on", Takes::body}}}};

}  // namespace

std::span<const Verb> swinging_verbs() { return kVerbs; }

}  // namespace garthwright::pattern
