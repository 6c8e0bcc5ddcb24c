// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <limits>
#include <optional>
#include <set>
#include <string>
#include <variant>
#include <vector>

#include "base/diagnostic.h"
#include "base/length.h"
#include "structure/existing.h"
#include "structure/ground_levels.h"
#include "structure/saw.h"
#include "structure/sloping.h"
#include "structure/structure.h"
#include "timber/yard.h"

namespace garthwright::pattern {

/// Points of a drawn curve, each x, y in 0 … 1 of the section (or mm, as the reader says).
using Points = std::vector<std::array<double, 2>>;

/// A choice as the job file wrote it: a length or count as a number or text, a name, a yes or no, a drawn curve.
struct GivenChoice {
  std::string name;
  std::variant<double, std::string, bool, Points> value;
  Place where;
};

/// A post that a structure does not build but shares.
struct Share {
  std::string own;   ///< "left post": what its pattern calls it
  std::string host;  ///< "arbor/right front post"
  Place where;
};

/// A choice left open ([structure.open]): for these values, for a range, or, with neither, for the pattern's own.
struct OpenChoice {
  using Value = std::variant<double, std::string, bool>;
  struct Range {
    double from = 0, to = 0;
    std::optional<double> step;  ///< else the pattern's
  };
  std::string name;
  std::vector<Value> values;
  std::optional<Range> range;
  Place where;
};

/// All that a structure leaves open for `decide`; a plan takes what its choices say now.
struct OpenChoices {
  bool all = false;                  ///< open = "all but …": every number and section of the pattern
  std::vector<std::string> all_but;  ///< but these
  std::vector<OpenChoice> choices;
  Place where;

  bool any() const { return all || !choices.empty(); }
};

/// How a job fixes one kind of joint by hand: "2 x bolt M10x140" for "knee brace to post", or for all of "knee brace".
struct GivenFixing {
  std::string name;
  std::string text;
  Place where;
};

/// One [[structure]] of a job, before its pattern has run.
struct Order {
  std::string name;
  std::string pattern;
  int number = 0;  ///< of the job's structures, from 0
  Vec3 at;
  bool placed = false;    ///< the job says `at`
  bool levelled = false;  ///< `at` says how high its zero lies; else that of the ground at `at` is taken
  double turn_deg = 0;
  std::string climber;  ///< grows on it instead of the site's; empty where the job does not say
  Place climber_where{};
  std::vector<GivenChoice> choices;
  OpenChoices open;
  std::vector<GroundLevel> levels;
  std::vector<Share> shares{};
  std::vector<GivenFixing> fixings{};
  Place where;
};

/// One thing the job says of the garden ([site]); each study takes what it knows: "soil", "wind_speed", "snow" …
struct SiteFact {
  std::string name;
  std::variant<double, std::string, bool> value;
  Place where;
};

/// A job file, read and checked as far as it can be without running a pattern; the yard with all that was measured.
struct Job {
  static constexpr const char* kUntitled = "Untitled job";  ///< the title of a job that gives none

  std::string file;
  std::string title;
  std::string date;  ///< as the job gives it, for the sheets; no clock is read
  LengthStyle style;
  std::vector<SiteFact> site;
  Ground ground;
  std::vector<Existing> existing;
  Saw saw;
  timber::Yard yard;                ///< what patterns may use: with several yards, all they sell (timber/market.h)
  std::vector<timber::Yard> yards;  ///< each by itself, in the job's order; one or more
  std::vector<Order> orders;
};

/// Where patterns and catalogues are looked for, in this order. Names never leave these folders ("../" is refused).
struct Shelves {
  std::vector<std::string> patterns;
  std::vector<std::string> catalogues;
};
/// Where what patterns have in common stands: the folder `shared` beside them.
std::vector<std::string> shared_folders(const Shelves& shelves);

/// Reads a job (TOML, docs/job-file.md). `file` names it in diagnostics; catalogues are looked for beside it too.
/// Any byte sequence gives a Job or errors with file, line and column.
Result<Job> parse_job(std::string_view toml, const std::string& file, const Shelves& shelves);

/// What a pattern says of one of its choices.
struct ChoiceInfo {
  std::string name;
  std::string unit;  ///< "length", "count", "section", "panel", "profile", "option", "yes-no", "number"
  std::string group;
  std::string help;
  std::string fallback;                    ///< default as printed; "" when there is none
  bool worked_out = false;                 ///< the default depends on the other choices
  bool optional = false;                   ///< may stay open though it has no default
  std::string range;                       ///< "600 mm to 4000 mm", or the options
  double least = 0, most = 0;              ///< of lengths (mm), counts and numbers
  double step = 0;                         ///< of them, where the choice is open; 0: not said
  std::optional<double> fallback_value{};  ///< default of a length (mm), count or number that is a plain value
  std::vector<std::string> options{};      ///< of an option, or the known profiles
  std::string role{};                      ///< of a section or panel: the part whose usual item the yard proposes
};

struct PatternInfo {
  std::string name, title, help;
  std::vector<ChoiceInfo> choices;
};

/// All patterns on the shelves, by name; a broken one gives a diagnostic in `problems` and is left out.
std::vector<PatternInfo> list_patterns(const Shelves& shelves, const timber::Yard* yard, LengthStyle style,
                                       Diagnostics& problems);

/// Runs an order's pattern: the structure it builds, joined and marked. Fails with the pattern's own line on a script
/// error, and with the job's line on a choice that is unknown, of a wrong kind or out of range. `read`, when given,
/// gets the choices that the run looked at, also where it failed: another order that agrees in them, and in what is no
/// choice, comes to the same.
struct Built {
  Structure structure;
  Diagnostics remarks;
};
Result<Built> build(const Job& job, const Order& order, const Shelves& shelves, int first_letter, int& next_letter,
                    std::set<std::string>* read = nullptr);

/// What building a whole job may cost.
struct GardenLimits {
  std::size_t most_pieces = std::numeric_limits<std::size_t>::max();
};

/// All structures of a job: those that share posts are one, under the name of the first host; the others are as `build`
/// makes them. Letters go on from one to the next. Fails as `build` does, for all orders together; with "shared-circle"
/// where structures lend each other posts in a circle and "too-large". Looks at the clock (base/patience.h).
Result<std::vector<Built>> build_all(const Job& job, const Shelves& shelves, const GardenLimits& limits = {});

}  // namespace garthwright::pattern
