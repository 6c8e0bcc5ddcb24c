// SPDX-License-Identifier: Apache-2.0
//
// Verbs that fix bodies that have been joined.
#include <fmt/format.h>

#include <algorithm>

#include "pattern/verbs.h"
#include "structure/connecting.h"

namespace garthwright::pattern {
namespace {

constexpr double kClosest = 10;  // mm between two fixings: nearer, and their number has no end

/// The bodies of a fixing, each once.
std::vector<Body> chain_of(const Call& call, const char* name) {
  std::vector<Body> chain = call.bodies(name), once = chain;
  std::sort(once.begin(), once.end());
  if (once.size() < 2 || std::adjacent_find(once.begin(), once.end()) != once.end())
    call.wrong("fixings go through two pieces or more, each once", fmt::format("give {} = {{ a, b }}", name));
  // Each is kept clear of all that are in its timbers: many in one timber cost more and more.
  for (const Body b : chain)
    call.box().spend(Good::steps, kStepsOfAFixing * std::ssize(call.bench_().fixings_set.of(call.structure(), b)));
  return chain;
}

double every_of(const Call& call) {
  const double every = call.mm("every", 0);
  if (call.has("every") && every < kClosest)
    call.wrong(fmt::format("every of {} is {:g} mm", call.verb_name(), every), "give 10 mm or more");
  return every;
}

/// Whose distances hold: by the way the yard's people speak, as the route of the checks unless the site says which.
bool american(const Call& call) { return call.bench_().job->yard.units == "ft-in"; }

Fastening fastening_of(const Call& call) {
  Fastening fastening;
  fastening.through = chain_of(call, "through");
  fastening.count = call.whole("count", 2, 1, 1000);
  fastening.every_mm = every_of(call);
  fastening.wanted.least_diameter = call.mm("least", 0);
  fastening.wanted.item = call.text("item", "");
  fastening.us = american(call);
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

std::string piece_name(const Structure& s, Body b) {
  return b.kind == Body::Kind::piece ? s[PieceId{b.index}].name : s[PanelId{b.index}].name;
}

/// "rail to post": how a job calls the joints that are made alike.
std::string joint_name(const Structure& s, const std::vector<Body>& chain) {
  return piece_name(s, chain.front()) + " to " + piece_name(s, chain.back());
}

/// The connection of that name, made when first met.
int connection_called(Structure& s, const std::string& name) {
  const auto found =
      std::find_if(s.connections.begin(), s.connections.end(), [&](const Connection& c) { return c.name == name; });
  if (found != s.connections.end()) return static_cast<int>(found - s.connections.begin());
  s.connections.push_back({name, {}, {}, false});
  return static_cast<int>(s.connections.size()) - 1;
}

/// What the job gives for joints of that name: for them, else for all of one of their pieces.
const GivenFixing* given_for(const Call& call, const std::string& name) {
  Bench& bench = call.bench_();
  const std::vector<GivenFixing>& given = bench.order->fixings;
  bench.fixings_used.resize(given.size(), false);
  const GivenFixing* best = nullptr;
  for (std::size_t i = 0; i < given.size(); ++i) {
    const std::string& key = given[i].name;
    const bool exact = key == name, of_piece = name.starts_with(key + " to ") || name.ends_with(" to " + key);
    if (!exact && !of_piece) continue;
    bench.fixings_used[i] = true;
    if (exact || best == nullptr) best = &given[i];
  }
  return best;
}

/// As the text says; the count and spread it leaves open stay as they are.
void ask(Fastening& fastening, const std::string& text) {
  const FixingText asked = parse_fixing_text(text);
  const double least = fastening.wanted.least_diameter;
  fastening.wanted = {};
  if (!want_kind(asked.item, fastening.wanted))
    fastening.wanted.item = asked.item;
  else
    fastening.wanted.least_diameter = least;
  if (asked.count > 0) fastening.count = asked.count;
}

std::size_t fixings_now(const Call& call) { return call.structure().fixings.size(); }

void set_connection(const Call& call, std::size_t from, int connection) {
  for (std::size_t i = from; i < call.structure().fixings.size(); ++i)
    call.structure().fixings[i].connection = connection;
}

/// As the job gives it for this joint; raises at the job's line where that cannot be done.
bool fix_as_given(const Call& call, Fastening fastening, int connection) {
  Connection& of = call.structure().connections[static_cast<std::size_t>(connection)];
  const GivenFixing* given = given_for(call, of.name);
  if (given == nullptr) return false;
  ask(fastening, given->text);
  if (parse_fixing_text(given->text).count > 0) fastening.every_mm = 0;
  fastening.nearest_will_do = false;
  const std::size_t from = fixings_now(call);
  Result<Diagnostics> fixed =
      fasten(call.structure(), call.bench_().fixings_set, fastening, call.bench_().job->yard.fixings);
  if (!fixed) {
    for (Diagnostic& problem : fixed.error()) problem.where = given->where;
    raise(call.lua(), fixed.error());
  }
  remark_once(call, *fixed);
  set_connection(call, from, connection);
  of.taken = given->text, of.given = true;
  return true;
}

/// By the first kind that the yard sells in a length that suits; false when none does and the nearest will not do.
bool fix_by_kind(const Call& call, bool nearest_will_do) {
  Fastening fastening = fastening_of(call);
  const int connection = connection_called(call.structure(), joint_name(call.structure(), fastening.through));
  if (fix_as_given(call, fastening, connection)) return true;
  const std::vector<std::string> kinds = call.texts("kind", "screw");
  for (const bool nearest : {false, true}) {
    if (nearest && !nearest_will_do) return false;
    for (const std::string& kind : kinds) {
      call.word("kind", kind, fixing_words());
      want_kind(kind, fastening.wanted);
      fastening.nearest_will_do = nearest;
      const std::size_t from = fixings_now(call);
      const Result<Diagnostics> fixed =
          fasten(call.structure(), call.bench_().fixings_set, fastening, call.bench_().job->yard.fixings);
      if (fixed) {
        remark_once(call, *fixed);
        set_connection(call, from, connection);
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

/// Joints that are alike get the same fixings: as the job gives them, else the first candidate
/// (structure/connecting.h).
int connect(Call& call) {
  Structure& s = call.structure();
  FixingsByBody& set = call.bench_().fixings_set;
  ToConnect wish;
  wish.through = chain_of(call, "bodies");
  wish.kinds = call.texts("kinds", "structural screw");
  for (const std::string& kind : wish.kinds) call.word("kinds", kind, fixing_words());
  wish.load_n = call.number("load", 0, 0, 1e6);
  wish.least_diameter = call.mm("least", 0);
  wish.count = call.whole("count", 1, 1, 1000);
  wish.most = call.whole("most", wish.count + 1, wish.count, 1000);
  wish.every_mm = every_of(call);
  wish.us = american(call);
  const int connection = connection_called(s, call.text("alike", joint_name(s, wish.through).c_str()));
  Fastening fastening;
  fastening.through = wish.through;
  fastening.count = wish.count;
  fastening.every_mm = wish.every_mm;
  fastening.us = wish.us;
  fastening.wanted.least_diameter = wish.least_diameter;
  if (fix_as_given(call, fastening, connection)) return 0;

  const std::vector<timber::FixingItem>& sold = call.bench_().job->yard.fixings;
  Connection& of = s.connections[static_cast<std::size_t>(connection)];
  if (of.candidates.empty()) {
    of.candidates = candidates(s, set, wish, sold);
    of.taken = of.candidates.empty() ? std::string() : of.candidates.front();
  }
  // A joint alike in name may be thicker: then it takes what suits it of its own candidates.
  std::vector<std::string> texts{of.taken};
  for (const bool own : {false, true}) {
    if (own) texts = candidates(s, set, wish, sold);
    for (const std::string& text : texts) {
      if (text.empty()) continue;
      ask(fastening, text);
      const std::size_t from = fixings_now(call);
      const Result<Diagnostics> fixed = fasten(s, set, fastening, sold);
      if (!fixed) continue;
      remark_once(call, *fixed);
      set_connection(call, from, connection);
      return 0;
    }
  }
  // Nothing suits: the nearest of the last kind, with a warning.
  fastening.wanted = {};
  want_kind(wish.kinds.back(), fastening.wanted);
  fastening.count = wish.count;
  fastening.nearest_will_do = true;
  const std::size_t from = fixings_now(call);
  remark_once(call, call.done(fasten(s, set, fastening, sold)));
  set_connection(call, from, connection);
  return 0;
}

const Names kFixing{{"through", Takes::bodies}, {"kind", Takes::texts},   {"count", Takes::number},
                    {"every", Takes::length},   {"least", Takes::length}, {"item", Takes::text}};
const Names kConnect{{"bodies", Takes::bodies}, {"kinds", Takes::texts}, {"load", Takes::number},
                     {"count", Takes::number},  {"most", Takes::number}, {"least", Takes::length},
                     {"every", Takes::length},  {"alike", Takes::text}};

const std::vector<Verb> kVerbs{
    {"fix", fix, 1, 1, 1, kFixing}, {"try_fix", try_fix, 1, 1, 1, kFixing}, {"connect", connect, 1, 1, 1, kConnect}};

}  // namespace

std::span<const Verb> fixing_verbs() { return kVerbs; }

}  // namespace garthwright::pattern
