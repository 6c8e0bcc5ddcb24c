// SPDX-License-Identifier: Apache-2.0
//
// Verbs that fix bodies that have been joined.
#include <fmt/format.h>

#include <algorithm>

#include "pattern/verbs.h"
#include "structure/connecting.h"
#include "structure/fixing_rule.h"

namespace garthwright::pattern {
namespace {

constexpr int kMoreInARow = 8;   // that a row may grow by
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
  if (b.kind == Body::Kind::wall) return "wall";
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

/// What else could be taken where these fixings are: a job that asks for it says how many.
void say_candidates(const Call& call, Connection& of, ToConnect wish, std::size_t from) {
  const std::vector<Fixing>& fixings = call.structure().fixings;
  if (!of.candidates.empty() || from == fixings.size()) return;
  const Fixing& first = fixings[from];
  const int now = static_cast<int>(fixings.size() - from);
  if (wish.every_mm > 0) {
    wish.count = now;
    wish.most = now + std::min(now, kMoreInARow);
  }
  const std::string item(is_connector(first.kind) ? first.item : size_name(first.item));
  of.candidates = candidates(wish, fmt::format("{} x {}", now, item), call.bench_().job->yard.fixings);
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
        if (!fastening.wanted.item.empty()) return true;  // what a pattern asks for by name stands
        const ToConnect wish{
            fastening.through,  kinds,       0, fastening.wanted.least_diameter, fastening.count, fastening.count + 2,
            fastening.every_mm, fastening.us};
        say_candidates(call, call.structure().connections[static_cast<std::size_t>(connection)], wish, from);
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
  // A joint alike in name may be thicker: then it takes what suits it.
  const auto take = [&](const Fastened& done) {
    const std::size_t from = fixings_now(call);
    s.fixings.insert(s.fixings.end(), done.fixings.begin(), done.fixings.end());
    remark_once(call, done.remarks);
    set_connection(call, from, connection);
    say_candidates(call, of, wish, from);
    return 0;
  };
  if (!of.taken.empty()) {
    ask(fastening, of.taken);
    if (const Result<Fastened> done = fastened(s, set, fastening, sold)) return take(*done);
  }
  if (const FirstCandidate first = first_candidate(s, set, wish, sold); !first.text.empty()) {
    if (of.taken.empty()) of.taken = first.text;
    return take(first.set);
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

/// on_wall(piece, way [, {every=, least=}]): against the wall that lies that way, held by coach screws into plugs.
int on_wall(Call& call) {
  Structure& s = call.structure();
  const Body piece = call.body_at(1, "the ledger");
  const std::string word = call.text_at(2, "the way to the wall");
  const std::optional<Way> way = way_named(word);
  if (!way) call.wrong("on_wall needs the way to the wall", "give right, left, back or front");
  WallHold hold;
  hold.every_mm = call.mm("every", 600);
  if (hold.every_mm < kClosest)
    call.wrong(fmt::format("every of on_wall is {:g} mm", hold.every_mm), "give 10 mm or more");
  hold.least_diameter = call.mm("least", 8);
  hold.above_mm = call.mm("above", 0);
  ToConnect wish{{piece, kWall}, {"coach screw"}, 0, hold.least_diameter, hold.count, hold.count, hold.every_mm, false};
  const int connection = connection_called(s, joint_name(s, wish.through));
  const GivenFixing* given = given_for(call, s.connections[static_cast<std::size_t>(connection)].name);
  if (given != nullptr) {
    const FixingText asked = parse_fixing_text(given->text);
    FixingWanted kind;
    if (!want_kind(asked.item, kind)) hold.item = asked.item;
    if (asked.count > 0) hold.count = asked.count, hold.every_mm = 0;
  }
  const std::size_t from = fixings_now(call);
  Result<void> fixed = fasten_to_wall(s, call.bench_().fixings_set, piece, *way, hold, call.bench_().job->yard.fixings);
  if (!fixed) {
    if (given != nullptr)
      for (Diagnostic& problem : fixed.error()) problem.where = given->where;
    raise(call.lua(), fixed.error());
  }
  set_connection(call, from, connection);
  Connection& of = s.connections[static_cast<std::size_t>(connection)];
  if (given == nullptr) say_candidates(call, of, wish, from);
  if (given != nullptr) of.taken = given->text, of.given = true;
  return 0;
}

const Names kFixing{{"through", Takes::bodies}, {"kind", Takes::texts},   {"count", Takes::number},
                    {"every", Takes::length},   {"least", Takes::length}, {"item", Takes::text}};
const Names kConnect{{"bodies", Takes::bodies}, {"kinds", Takes::texts}, {"load", Takes::number},
                     {"count", Takes::number},  {"most", Takes::number}, {"least", Takes::length},
                     {"every", Takes::length},  {"alike", Takes::text}};

const std::vector<Verb> kVerbs{
    {"on_wall", on_wall, 2, 3, 3, {{"every", Takes::length}, {"least", Takes::length}, {"above", Takes::length}}},
    {"fix", fix, 1, 1, 1, kFixing},
    {"try_fix", try_fix, 1, 1, 1, kFixing},
    {"connect", connect, 1, 1, 1, kConnect}};

}  // namespace

std::span<const Verb> fixing_verbs() { return kVerbs; }

}  // namespace garthwright::pattern
