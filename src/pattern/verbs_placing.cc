// SPDX-License-Identifier: Apache-2.0
//
// Verbs that put timbers and panels in their places.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "pattern/lengths.h"
#include "pattern/verbs.h"
#include "structure/joinery.h"
#include "structure/laying.h"

namespace garthwright::pattern {
namespace {

constexpr std::size_t kMostJoins = 50;  // places where one timber may be made of two

Role role_of(const Call& call, const char* usual) {
  std::vector<std::string> known;
  for (int i = 0; i <= static_cast<int>(Role::other); ++i) known.emplace_back(name(static_cast<Role>(i)));
  return static_cast<Role>(call.word("role", call.text("role", usual), known));
}

/// duty = "roof", or several: what it is there for. "nothing" says so of what would be asked.
Duties duties_of(const Call& call, const char* usual) {
  std::vector<std::string> known{"nothing"};
  for (int i = 0; i <= static_cast<int>(kLastDuty); ++i) known.emplace_back(name(static_cast<Duty>(i)));
  Duties duties;
  for (const std::string& word : call.texts("duty", usual))
    if (const int at = call.word("duty", word, known); at > 0) duties.add(static_cast<Duty>(at - 1));
  return duties;
}

/// A roof or a floor that nobody loads would look strong: of these roles a pattern has to say what they are for.
bool must_say_duty(Role role) {
  return role == Role::rafter || role == Role::purlin || role == Role::beam || role == Role::board;
}

/// What all timbers have in common, and what place and butt have.
const Names kOfTimber{{"name", Takes::text},       {"where", Takes::text},      {"group", Takes::text},
                      {"role", Takes::text},       {"duty", Takes::texts},      {"carries", Takes::yes_no},
                      {"show", Takes::text},       {"section", Takes::section}, {"wide", Takes::way},
                      {"straight", Takes::yes_no}, {"note", Takes::text},       {"measure_in_place", Takes::yes_no},
                      {"joins_at", Takes::lengths}};
const Names kTimber = kOfTimber + Names{{"runs", Takes::way}, {"at", Takes::place}};

template <class Named>
void name_it(const Call& call, Named& thing, const char* usual = nullptr) {
  thing.name = call.text("name", usual);
  thing.where = call.text("where", "");
  thing.group = call.text("group", "");
  const SectionInHand section = call.section();
  thing.section = section.id, thing.width = section.width, thing.thickness = section.thickness;
}

Placing placing_of(const Call& call, const char* usual_role) {
  Placing placing;
  name_it(call, placing);
  placing.role = role_of(call, usual_role);
  placing.runs = call.way("runs");
  placing.wide = call.way("wide");
  placing.low = call.low();
  return placing;
}

/// What it is for, and which of its sizes are shown.
void finish_duties(const Call& call, Piece& piece) {
  if (!call.has("duty") && must_say_duty(piece.role))
    call.wrong(fmt::format("{} does not say what the {} is for", piece.name, name(piece.role)),
               "give duty = \"roof\", \"beam\", \"screen\", \"soil\", \"seat\", \"walk\" … or \"nothing\"");
  piece.duties = duties_of(call, "nothing");
  if (call.has("carries")) piece.carries = call.flag("carries");
  const bool loaded = piece.duties.has(Duty::roof) || piece.duties.has(Duty::beam) || piece.duties.has(Duty::seat) ||
                      piece.duties.has(Duty::walk) || piece.duties.has(Duty::guard);
  if (!piece.carries && loaded)
    call.wrong(fmt::format("{} carries nothing, and its duty is to carry", piece.name), "leave out carries = false");
  if (call.has("show")) {
    std::vector<std::string> known;
    for (int i = 0; i <= static_cast<int>(Show::underside); ++i) known.emplace_back(name(static_cast<Show>(i)));
    piece.show = static_cast<Show>(call.word("show", call.text("show"), known));
  }
}

/// What is wrong with the job and not with the pattern.
Diagnostics at_place(Diagnostics problems, const Place& where) {
  for (Diagnostic& problem : problems) problem.where = where;
  return problems;
}

int finish(const Call& call, PieceId id) {
  Piece& piece = call.structure()[id];
  finish_duties(call, piece);
  piece.straight = call.flag("straight");
  piece.measure_in_place = call.flag("measure_in_place");
  piece.note = call.text("note", "");
  piece.laps = call.mm("laps", 0) != 0;
  piece.joins_at = call.lengths("joins_at");
  if (piece.joins_at.size() > kMostJoins)
    call.wrong(fmt::format("{} may be joined at {} places", piece.name, piece.joins_at.size()),
               fmt::format("give {} at most", kMostJoins));
  for (const double join : piece.joins_at)
    if (join <= 0 || join >= piece.length.value())
      call.wrong(fmt::format("{} is {:.1f} mm long and cannot be joined at {:.1f} mm", piece.name, piece.length.value(),
                             join));
  return call.give(body(id));
}

/// Boards that lap, as featheredge does, stand with what each covers, as thick as they build up: the same timber in
/// all.
void lap(const Call& call, Placing& placing) {
  const Traced laps = call.length("laps");
  const double whole = placing.width.value(), cover = whole - laps.value();
  if (!(laps.value() > 0) || cover < laps.value())
    call.wrong(fmt::format("laps of {} is {:g} mm of {:g}", placing.name, laps.value(), whole),
               "give less than half of its width");
  placing.thickness = Traced::step("build-up of lapped boards", placing.thickness.value() * whole / cover,
                                   fmt::format("{:g} × {:g} / {:g}", placing.thickness.value(), whole, cover),
                                   {placing.thickness, placing.width, laps});
  placing.width = placing.width - laps;
}

/// Sawn along to a narrower width: the whole board is bought.
void rip(const Call& call, Placing& placing) {
  const Traced width = call.length("ripped");
  if (!(width.value() > 0) || width.value() > placing.width.value() + 1e-6)
    call.wrong(fmt::format("ripped of {} is {:g} mm of {:g}", placing.name, width.value(), placing.width.value()),
               "give what is left of its width");
  placing.width = width;
}

/// A post that another structure lends stands there already; one that others share may have to be taller.
int place_one(Call& call) {
  Placing placing = placing_of(call, "other");
  placing.length = call.length("length");
  if (call.mm("laps", 0) != 0) lap(call, placing);
  if (call.has("ripped")) rip(call, placing);
  Bench& bench = call.bench_();
  if (LentPost* lent = lent_post(bench.lent, placing)) {
    use_section(call.lua(), lent->section, bench.order->where);
    const Result<PieceId> taken = take(call.structure(), *lent, placing);
    if (!taken) raise(call.lua(), at_place(taken.error(), bench.order->where));
    return call.give(body(*taken));
  }
  for (const RaisedPost& raised : bench.raised)
    if (raised.called == full_name(placing.where, placing.name) && placing.runs == Way::up)
      placing.length = raised.top - placing.low[2];
  return finish(call, call.done(place(call.structure(), placing)));
}

int butt(Call& call) {
  const std::vector<Body> between = call.bodies("between");
  if (between.size() != 2 || between[0] == between[1]) call.wrong("butt goes between two pieces");
  return finish(call, call.done(butt_between(call.structure(), placing_of(call, "rail"), between[0], between[1])));
}

/// A timber along a line between two points: askew where they are.
int lay_one(Call& call) {
  Laying laying;
  name_it(call, laying);
  laying.role = role_of(call, "other");
  laying.from = call.place("from");
  laying.to = call.place("to");
  laying.wide = call.way("wide", Way::up);
  laying.turn_deg = call.number("turn", 0, -360, 360);
  laying.edge = static_cast<Laying::Edge>(call.word("edge", call.text("edge", "low"), {"low", "middle", "high"}));
  if (call.has("lies")) laying.lies = call.way("lies");
  laying.ends = static_cast<Laying::Ends>(call.word("ends", call.text("ends", "plumb"), {"plumb", "level", "square"}));
  laying.from_turn_deg = call.number("from_turn", 0, -90, 90);
  laying.to_turn_deg = call.number("to_turn", 0, -90, 90);
  return finish(call, call.done(lay(call.structure(), laying)));
}

int panel(Call& call) {
  PanelPlacing placing;
  placing.name = call.text("name");
  placing.group = call.text("group", "");
  placing.item = call.text("item", "");
  placing.width = call.length("width");
  placing.height = call.length("height");
  placing.thickness = call.length("thickness");
  placing.mass_kg = call.number("mass", 0, 0, 10'000);
  placing.solidity = call.number("solidity", 1, 0, 1);
  placing.runs = call.way("runs");
  placing.low = call.low();
  const PanelId id = call.done(place_panel(call.structure(), placing));
  Panel& panel = call.structure()[id];
  panel.duties = duties_of(call, "screen");
  for (const timber::PanelItem& sold : call.bench_().job->yard.panels)
    if (sold.name == panel.item) panel.lath_mm = sold.lath_mm, panel.mesh_mm = sold.mesh_mm;
  return call.give(body(id));
}

int brace_one(Call& call) {
  Bracing bracing;
  name_it(call, bracing, "brace");
  bracing.foot = call.body("foot");
  bracing.foot_face = call.way("foot_face");
  bracing.head_face = call.way("head_face", Way::up);
  bracing.head_level = call.length("head_level");
  bracing.leg_foot = call.length(call.has("leg") ? "leg" : "leg_foot");
  bracing.leg_head = call.length(call.has("leg") ? "leg" : "leg_head");
  bracing.low_across = call.length("low_across");
  const PieceId id = call.done(brace(call.structure(), bracing));
  call.structure()[id].note = call.text("note", "");
  return call.give(body(id));
}

/// A brace between two parallel faces, from `foot` to `head`.
int strut_one(Call& call) {
  Strutting strutting;
  name_it(call, strutting, "brace");
  strutting.foot = call.body("foot");
  strutting.head = call.body("head");
  strutting.foot_face = call.way("foot_face", Way::up);
  strutting.along = call.way("along");
  strutting.from = call.length("from");
  strutting.to = call.length("to");
  strutting.low_across = call.length("low_across");
  if (strutting.foot == strutting.head) call.wrong("strut goes between two pieces");
  return call.give(body(call.done(strut(call.structure(), strutting))));
}

/// From the first face to the last of them along an axis.
std::pair<Traced, Traced> reach(const Structure& structure, const std::vector<Body>& over, int on) {
  const Way high = static_cast<Way>(2 * on);
  std::pair<Traced, Traced> reach{face(structure, over[0], opposite(high)), face(structure, over[0], high)};
  for (const Body b : over) {
    reach.first = min(reach.first, face(structure, b, opposite(high)));
    reach.second = max(reach.second, face(structure, b, high));
  }
  return reach;
}

/// A board lying flat on the end grain of `over`, from the first to the last of them along `runs`, middled across.
int cap(Call& call) {
  Structure& structure = call.structure();
  const std::vector<Body> over = call.bodies("over");
  if (over.empty()) call.wrong("cap lies over at least one piece");
  Placing placing;
  name_it(call, placing, "cap");
  placing.role = Role::cap;
  placing.runs = call.way("runs");
  const int along = axis(placing.runs), across = 1 - along;
  if (along > 1) call.wrong("a cap lies level", "let it run right, left, back or front");
  placing.wide = static_cast<Way>(2 * across);
  const Traced beyond = call.length("beyond", 0);
  const auto [from, to] = reach(structure, over, along);
  const auto [near, far] = reach(structure, over, across);
  placing.length = to - from + 2 * beyond;
  placing.low[static_cast<std::size_t>(along)] = from - beyond;
  placing.low[static_cast<std::size_t>(across)] = 0.5 * (near + far) - 0.5 * placing.width;
  if (call.has("low_across")) placing.low[static_cast<std::size_t>(across)] = call.length("low_across");
  placing.low[2] = face(structure, over[0], Way::up);
  if (placing.width.value() + 1e-6 < far.value() - near.value()) {
    const LengthStyle style = call.bench_().job->style;
    call.box().spend(Good::parts, 1);
    call.bench_().remarks.push_back(
        {Severity::warning, "narrow-cap",
         fmt::format("{} is {} wide and leaves part of the {} of end grain below it open", placing.name,
                     format_length(placing.width.value(), style), format_length(far.value() - near.value(), style)),
         "choose a wider section for it", call.bench_().place_of("cap")});
  }
  const PieceId id = call.done(place(structure, placing));
  structure[id].carries = false;
  for (const Body b : over) call.done(join(structure, JointKind::cap, body(id), b));
  return call.give(body(id));
}

/// The near faces of `count` timbers of that width, the first one's at `from`, the last one's far face at `to`, the
/// rest at equal distances; a single one goes in the middle.
int spread(Call& call) {
  if (!call.has("count")) call.wrong("spread needs count", "give a whole number");
  const int count = call.whole("count", 1, 1, 10'000);
  const Traced from = call.length("from"), to = call.length("to"), width = call.length("width");
  lua_createtable(call.lua(), count, 0);
  for (int i = 0; i < count; ++i) {
    const double part = count == 1 ? 0.5 : static_cast<double>(i) / (count - 1);
    push(call.lua(), from + part * (to - from - width));
    lua_rawseti(call.lua(), -2, i + 1);
  }
  return 1;
}

const Names kLaid{{"edge", Takes::text},        {"lies", Takes::way},      {"ends", Takes::text},
                  {"from", Takes::place},       {"to", Takes::place},      {"turn", Takes::number},
                  {"from_turn", Takes::number}, {"to_turn", Takes::number}};

const Names kBrace{{"name", Takes::text}, {"where", Takes::text}, {"group", Takes::text}, {"section", Takes::section}};

const std::vector<Verb> kVerbs{
    {"place", place_one, 1, 1, 1,
     kTimber + Names{{"length", Takes::length}, {"laps", Takes::length}, {"ripped", Takes::length}}},
    {"butt", butt, 1, 1, 1, kTimber + Names{{"between", Takes::bodies}}},
    {"lay", lay_one, 1, 1, 1, kOfTimber + kLaid},
    {"panel",
     panel,
     1,
     1,
     1,
     {{"name", Takes::text},
      {"group", Takes::text},
      {"duty", Takes::texts},
      {"item", Takes::text},
      {"width", Takes::length},
      {"height", Takes::length},
      {"thickness", Takes::length},
      {"mass", Takes::number},
      {"solidity", Takes::number},
      {"runs", Takes::way},
      {"at", Takes::place}}},
    {"brace", brace_one, 1, 1, 1,
     kBrace + Names{{"foot", Takes::body},
                    {"foot_face", Takes::way},
                    {"head_face", Takes::way},
                    {"head_level", Takes::length},
                    {"leg", Takes::length},
                    {"leg_foot", Takes::length},
                    {"leg_head", Takes::length},
                    {"low_across", Takes::length},
                    {"note", Takes::text}}},
    {"strut", strut_one, 1, 1, 1,
     kBrace + Names{{"foot", Takes::body},
                    {"head", Takes::body},
                    {"foot_face", Takes::way},
                    {"along", Takes::way},
                    {"from", Takes::length},
                    {"to", Takes::length},
                    {"low_across", Takes::length}}},
    {"cap", cap, 1, 1, 1,
     kBrace +
         Names{
             {"over", Takes::bodies}, {"runs", Takes::way}, {"beyond", Takes::length}, {"low_across", Takes::length}}},
    {"spread",
     spread,
     1,
     1,
     1,
     {{"count", Takes::number}, {"from", Takes::length}, {"to", Takes::length}, {"width", Takes::length}}}};

}  // namespace

std::span<const Verb> placing_verbs() { return kVerbs; }

}  // namespace garthwright::pattern
