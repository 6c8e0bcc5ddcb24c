// SPDX-License-Identifier: Apache-2.0
//
// What to change about a job that fails, so that everything passes: sets of changes that were planned whole with their
// order of work, cheapest first, and others that differ in kind; what changes a wish or the garden comes last. Changed
// are a structure's means: its sections, its holes, and what the pattern works out and the job does not say; never the
// sizes that a person wished for, but where nothing else will do.
#pragma once

#include "decide/decide.h"
#include "decide/decide_json.h"

namespace garthwright::decide {

/// What a way changes above all.
enum class WayKind { least, fixings, ground, timber, climber, shelter, wall, posts, without };
std::string_view name(WayKind kind);

/// A fact of [site], changed. `value` and `was` as they stand in a job's text; `was` is empty where it was not said.
struct SiteChange {
  std::string name, value, was;
  std::string to;  ///< the value itself
};

struct Way {
  WayKind kind = WayKind::least;
  std::vector<Settled> choices;  ///< those that change
  std::vector<SiteChange> site;
  std::vector<FixedAnew> fixings;
  Money total;
  std::int64_t extra_minor = 0;  ///< beside what the job costs as it is
};

/// A check that fails as the job is, and which changes of the first way are enough for it alone.
struct Cure {
  std::string structure, check;  ///< CheckWords::id, as a plan's checks have it
  std::string title;
  std::string words;  ///< "in_ground = 900"
};

struct Advice {
  int fails = 0;  ///< checks that fail as it is, and errors against it; 0: nothing to advise
  Money now;
  std::vector<Way> ways;  ///< the structure's own means first, then by what else they ask, cheapest first in each; four
                          ///< at most; empty: none was found in time
  std::vector<Cure> cures;  ///< of each failing check; empty where there is no way
  bool ran_out = false;     ///< the time was up before it had looked at all it would
  std::string why;          ///< where there is no way: what stood against it most often, in words
  bool hopeless = false;    ///< no choice of the patterns cures it: nothing was looked for
  double seconds = 0;
};

/// Fails where the job cannot be planned at all, or not within the time ("too-long"). `limit_s` holds for all ways
/// together. The cheapest of what was found: no proof of least cost goes with it. `on_way` hears of each way when it is
/// found, on the calling thread.
Result<Advice> advise(const pattern::Job& job, const pattern::Shelves& shelves, const Options& options = {},
                      const std::function<void(const Way&)>& on_way = {});

/// Joints that must be fixed otherwise than the pattern takes first, for a job of which nothing else fails. Empty where
/// it passes as it is, where more fails, or when the time was up.
std::vector<FixedAnew> fixings_by_forces(const pattern::Job& job, const pattern::Shelves& shelves, double limit_s);

/// The job with the changes of a way.
pattern::Job taken(pattern::Job job, const Way& way);

/// "post = \"5x5\", brace_leg = 700".
std::string changes_of(const Way& way, bool several_structures);
/// "post = \"5x5\", brace_leg = 700: EUR 31.20 more".
std::string words_of(const Way& way, const Currency& currency, bool several_structures);

/// The job's text with the changes of a way made, its comments kept.
Result<std::string> taken_text(const std::string& text, const std::string& file, const Way& way);

/// As docs/advice.schema.json has it.
std::string advice_json(const Advice& advice, const pattern::Job& job, int indent = kIndent);

}  // namespace garthwright::decide
