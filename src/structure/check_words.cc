// SPDX-License-Identifier: Apache-2.0
#include "structure/check_words.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <array>

namespace garthwright {
namespace {

using enum CheckScope;
using enum Worth;

/// What a kind is called in ids and files; `title` has {} for its subjects where it names them; `when` where no load
/// acts.
struct Kind {
  CheckKind kind;
  std::string_view name;
  CheckScope scope;
  std::string_view title, when;
  Worth worth = clause;
};
constexpr std::array kKinds{
    Kind{CheckKind::bending, "bending", pieces, "bending with axial force of {}", ""},
    Kind{CheckKind::shear, "shear", pieces, "shear of {}", ""},
    Kind{CheckKind::bearing, "bearing", pieces, "{} pressing on {}", ""},
    Kind{CheckKind::notch, "notch", pieces, "{} splitting at its notch over {}", ""},
    Kind{CheckKind::joint, "joint", pieces, "joint of {} and {}", ""},
    Kind{CheckKind::row, "row", pieces, "fixings in a row, {} and {}", ""},
    Kind{CheckKind::splitting, "splitting", pieces, "splitting along the grain where {} and {} are fixed", ""},
    Kind{CheckKind::spacing, "spacing", pieces, "fixings of {} and {}", "distances"},
    Kind{CheckKind::sag, "sag", pieces, "sag of {}", "", our_own},
    Kind{CheckKind::moves, "moves", pieces, "notch of {} for {} as the wood dries", "drying", analogy},
    Kind{CheckKind::grade, "grade", grade, "timber of grade \"{}\"", ""},
    Kind{CheckKind::sway, "sway", part, "sway of the post heads", "", our_own},
    Kind{CheckKind::buckling, "buckling", part, "buckling of the whole under its weight", "", analogy},
    Kind{CheckKind::racking, "racking", part, "racking along the opening", "1 kN sideways at the heads", our_own},
    Kind{CheckKind::racking_across, "racking-across", part, "racking from front to back", "1 kN sideways at the heads",
         our_own},
    Kind{CheckKind::corrosion, "corrosion", part, "rust of the fixings", "outdoors"},
    Kind{CheckKind::unsolved, "unsolved", part, "not checked", ""},
    Kind{CheckKind::soil, "soil", holes, "ground that posts may not be sized in", ""},
    Kind{CheckKind::sideways, "sideways", holes, "posts in the ground, sideways", ""},
    Kind{CheckKind::loose_top, "loose-top", holes, "the same when the top 300 mm give nothing", "", our_own},
    Kind{CheckKind::uplift, "uplift", holes, "posts pulled up", "", analogy},
    Kind{CheckKind::pressure, "pressure", holes, "pressure under the posts", ""},
    Kind{CheckKind::frost, "frost", holes, "depth against frost", "frost"},
    Kind{CheckKind::hole_width, "width", holes, "concrete round the posts", "sizes", our_own},
    Kind{CheckKind::holes_apart, "apart", holes, "holes beside each other", "sizes", analogy},
    Kind{CheckKind::hole_depth, "depth", holes, "depth that a spade reaches", "sizes", our_own},
    Kind{CheckKind::ground_line, "ground-line", pieces, "years of {} in the ground", "over the years", analogy},
    Kind{CheckKind::wet_heads, "wet-heads", part, "end grain that looks up", "over the years", our_own},
    Kind{CheckKind::wet_notches, "wet-notches", part, "notches that open upwards", "over the years", our_own},
    Kind{CheckKind::wet_laps, "wet-laps", part, "timbers that lie flat on each other", "over the years", our_own},
    Kind{CheckKind::shoe, "shoe", pieces, "metal shoe under {}", ""},
    Kind{CheckKind::tips, "tips", part, "tipping over in the wind", ""},
    Kind{CheckKind::slides, "slides", part, "sliding in the wind", ""},
    Kind{CheckKind::sinks, "sinks", part, "pressure on what it stands on", ""},
};
constexpr bool in_order() {
  for (std::size_t i = 0; i < kKinds.size(); ++i)
    if (kKinds[i].kind != static_cast<CheckKind>(i)) return false;
  return kKinds.size() == static_cast<std::size_t>(kLastCheckKind) + 1;
}
static_assert(in_order(), "one row a kind, in the order of CheckKind");

const Kind& row_of(CheckKind kind) { return kKinds[static_cast<std::size_t>(kind)]; }

std::string mark_of(const Structure& part, Body body) {
  return body.kind == Body::Kind::piece ? part[PieceId{body.index}].mark : describe(part, body);
}

/// "post A1".
std::string called(const Structure& part, Body body) {
  if (body.kind != Body::Kind::piece) return describe(part, body);
  const Piece& piece = part[PieceId{body.index}];
  return fmt::format("{} {}", piece.name, piece.mark);
}

std::string title_of(const Check& check, const CheckKey& key, const Structure& part) {
  const Kind& row = row_of(check.kind);
  if (check.kind == CheckKind::unsolved)
    return fmt::format("{}: {}", part.name, check.verdict == Verdict::fails ? "free to move" : row.title);
  if (row.scope == CheckScope::grade) return fmt::format(fmt::runtime(row.title), key.of.front());
  if (row.scope != CheckScope::pieces) return std::string(row.title);
  const std::string first = called(part, check.subjects.front()), second = called(part, check.subjects.back());
  std::string title = fmt::format(fmt::runtime(row.title), first, second);
  if (check.kind != CheckKind::joint) return title;
  const std::vector<int> fixings = fixings_of(part, part[check.joint]);
  if (fixings.empty()) return title;
  return fmt::format("{}: {} × {}", title, fixings.size(),
                     part.fixings[static_cast<std::size_t>(fixings.front())].item);
}

std::string id_of(const CheckKey& key, const Structure& part) {
  const Kind& row = row_of(key.kind);
  if (row.scope == CheckScope::part) return fmt::format("{}/{}", part.name, row.name);
  if (row.scope == CheckScope::holes) return fmt::format("{}/footing/{}", part.name, row.name);
  return fmt::format("{}/{}/{}", part.name, fmt::join(key.of, "-"), row.name);
}

}  // namespace

std::string_view name(CheckKind kind) { return row_of(kind).name; }
CheckScope scope_of(CheckKind kind) { return row_of(kind).scope; }

Worth worth_of(CheckKind kind) { return row_of(kind).worth; }
std::string_view name(Worth worth) { return worth == clause ? "clause" : worth == analogy ? "analogy" : "our own"; }

std::string_view name(State::Kind kind) {
  switch (kind) {
    case State::Kind::any:
      return "any";
    case State::Kind::bare:
      return "bare";
    case State::Kind::overgrown:
      return "overgrown";
    case State::Kind::winter:
      return "winter";
    case State::Kind::person:
      return "person";
  }
  return "";
}

std::string_view name(State::Person person) {
  switch (person) {
    case State::Person::leans:
      return "leans";
    case State::Person::hangs_from_middle:
      return "hangs from middle";
    case State::Person::hangs_from_end:
      return "hangs from end";
    case State::Person::beside:
      return "beside soil";
    case State::Person::sits:
      return "sits";
    case State::Person::stands:
      return "stands";
    case State::Person::leans_on_guard:
      return "leans on guard";
    case State::Person::rides:
      return "rides on leaf";
  }
  return "";
}

CheckKey key_of(const Check& check, const Structure& part) {
  CheckKey key{check.kind, {}};
  const CheckScope scope = scope_of(check.kind);
  for (const Body b : check.subjects) {
    if (scope == CheckScope::pieces) key.of.push_back(mark_of(part, b));
    if (scope == CheckScope::grade) key.of.push_back(part[part[PieceId{b.index}].section].strength_class);
  }
  return key;
}

std::string words_of(const State& state, const Structure& part) {
  switch (state.kind) {
    case State::Kind::any:
      return "";
    case State::Kind::bare:
      return "new and bare";
    case State::Kind::overgrown:
      return state.year > 0 ? fmt::format("overgrown, year {}", state.year) : "overgrown";
    case State::Kind::winter:
      return state.off_the_house ? "winter, snow off the house" : "winter";
    case State::Kind::person:
      break;
  }
  return "a person " + does(state, part);
}

std::string does(const State& state, const Structure& part, bool doing) {
  const auto on = [&] { return part[PieceId{state.on.index}].name; };
  const auto verb = [&](const char* now, const char* while_doing) { return std::string(doing ? while_doing : now); };
  switch (state.person) {
    case State::Person::leans:
      return verb("leans", "leaning") + " on a post";
    case State::Person::hangs_from_middle:
      return fmt::format("{} from the middle of a {}", verb("hangs", "hanging"), on());
    case State::Person::hangs_from_end:
      return fmt::format("{} from the end of a {}", verb("hangs", "hanging"), on());
    case State::Person::beside:
      return verb("stands", "standing") + " on the soil behind the boards";
    case State::Person::sits:
      return fmt::format("{} on a {}", verb("sits", "sitting"), on());
    case State::Person::stands:
      return fmt::format("{} on a {}", verb("stands", "standing"), on());
    case State::Person::leans_on_guard:
      return fmt::format("{} on a {}", verb("leans", "leaning"), on());
    case State::Person::rides:
      return verb("rides", "riding") + " on the end of a leaf";
  }
  return "";
}

std::string words_of(const Situation& when, const Structure& part) {
  std::string words = words_of(when.state, part);
  if (when.combination.empty()) return words;
  words += fmt::format("{}{}", words.empty() ? "" : ": ", when.combination);
  return when.clause.empty() ? words : fmt::format("{} ({})", words, when.clause);
}

CheckWords words_of(const Check& check, const Structure& part) {
  const CheckKey key = key_of(check, part);
  const std::string when = words_of(check.when, part);
  return {id_of(key, part), title_of(check, key, part), when.empty() ? std::string(row_of(check.kind).when) : when};
}

}  // namespace garthwright
