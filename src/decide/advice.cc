// SPDX-License-Identifier: Apache-2.0
#include "decide/advice.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <map>
#include <set>

#include "pattern/described.h"
#include "pattern/job_text.h"
#include "plan/read_site.h"
#include "plan/standing.h"
#include "strength/climbers.h"

namespace garthwright::decide {
namespace {

constexpr int kStepsDown = 4, kStepsUp = 12;  // of a number's step, beside what it is now
constexpr double kShareOfLeast = 0.4;         // of the time, for the cheapest of all means
constexpr std::size_t kMostWays = 4;
constexpr int kMostSteps = 60;             // of all joints together, up their candidates
constexpr const char* kGround = "Ground";  // the group of choices about holes

using Clock = std::chrono::steady_clock;

/// A choice that may be changed, and whether it is about the ground.
struct Means {
  std::vector<pattern::OpenChoice> ground, timber;
};

bool given(const pattern::Order& order, const std::string& name) {
  return std::any_of(order.choices.begin(), order.choices.end(), [&](const auto& c) { return c.name == name; });
}

/// What a number is now, some steps below and above it, and its least where that is nothing at all.
std::vector<Value> around(const pattern::ChoiceInfo& info, double now, double step) {
  std::vector<Value> values;
  for (int i = -kStepsDown; i <= kStepsUp; ++i)
    if (const double value = now + i * step; value >= info.least && value <= info.most) values.emplace_back(value);
  if (info.least == 0 && now > 0) values.emplace_back(0.0);
  return values;
}

Means means_of(const pattern::Job& job, const pattern::Order& order, const pattern::PatternInfo& pattern,
               const std::vector<Choice>& taken_now) {
  Means means;
  const double usual = job.style.units == Units::feet_inches ? 2 * kMillimetresPerInch : 50;
  for (const pattern::ChoiceInfo& info : pattern.choices) {
    const auto taken = std::find_if(taken_now.begin(), taken_now.end(),
                                    [&](const Choice& choice) { return choice.name == info.name; });
    if (taken == taken_now.end()) continue;
    pattern::OpenChoice open;
    open.name = info.name;
    open.where = order.where;
    if (info.unit == "section") {
      means.timber.push_back(open);  // all that are about as stout
      continue;
    }
    if (!taken->value || (info.unit != "length" && info.unit != "count")) continue;
    const bool ground = info.group == kGround;
    if (!ground && (!info.worked_out || given(order, info.name))) continue;
    const double step = info.step > 0 ? info.step : info.unit == "count" ? 1 : ground ? usual : 2 * usual;
    open.values = around(info, taken->value->value(), step);
    (ground ? means.ground : means.timber).push_back(open);
  }
  return means;
}

/// What a structure's choices were taken to be: it may be a part of one whose posts it shares.
std::vector<Choice> choices_of(const std::vector<Structure>& structures, const std::string& order) {
  for (const Structure& structure : structures) {
    if (structure.name == order) return structure.choices;
    for (const Part& part : structure.guests)
      if (part.name == order) return part.choices;
  }
  return {};
}

class Adviser {
 public:
  Adviser(const pattern::Job& job, const pattern::Shelves& shelves, const Options& options)
      : job_(job), shelves_(shelves), options_(options), began_(Clock::now()) {
    for (pattern::Order& order : job_.orders) order.open = {};
  }

  Result<Advice> run() {
    const Result<Plan> now = planned(job_);
    if (!now) return tl::make_unexpected(now.error());
    Advice advice;
    advice.now = now->purchase.total;
    if (stands(*now)) return advice;
    advice.fails = std::max(1, count(*now, Verdict::fails));
    Diagnostics broken;
    const auto patterns =
        pattern::describe_patterns(pattern::patterns_of(job_), shelves_, &job_.yard, job_.style, broken);
    for (std::size_t i = 0; i < job_.orders.size(); ++i)
      for (const pattern::PatternInfo& pattern : patterns)
        if (pattern.name == job_.orders[i].pattern)
          means_.push_back(means_of(job_, job_.orders[i], pattern, choices_of(now->structures, job_.orders[i].name)));

    now_ = advice.now;
    other_fixings();
    const double whole = options_.limit_s > 0 ? options_.limit_s : 60;
    look(WayKind::least, job_, true, true, {}, kShareOfLeast * whole);
    look(WayKind::ground, job_, true, false, {}, (1 - kShareOfLeast) / 4 * whole);
    look(WayKind::timber, job_, false, true, {}, (1 - kShareOfLeast) / 4 * whole);
    lighter_climber(now->site, (1 - kShareOfLeast) / 4 * whole);
    more_shelter(now->site, (1 - kShareOfLeast) / 4 * whole);
    if (stopped()) return fail("cancelled", "the search was stopped before it was whole");
    std::stable_sort(ways_.begin(), ways_.end(), [](const Way& a, const Way& b) { return a.total < b.total; });
    if (ways_.size() > kMostWays) ways_.resize(kMostWays);
    advice.ways = std::move(ways_);
    advice.seconds = std::chrono::duration<double>(Clock::now() - began_).count();
    return advice;
  }

 private:
  bool stopped() const { return options_.cancel && *options_.cancel; }

  Result<Plan> planned(const pattern::Job& job) const {
    PlanOptions wanted;
    wanted.order = sequence::Options{};
    wanted.on_hand = options_.on_hand;
    wanted.cutting.cancel = options_.cancel;
    return make_plan(job, shelves_, wanted);
  }

  pattern::Job with_means(pattern::Job job, bool ground, bool timber) const {
    for (std::size_t i = 0; i < means_.size(); ++i) {
      auto& open = job.orders[i].open.choices;
      if (timber) open.insert(open.end(), means_[i].timber.begin(), means_[i].timber.end());
      if (ground) open.insert(open.end(), means_[i].ground.begin(), means_[i].ground.end());
    }
    return job;
  }

  /// The cheapest change by these means that is found in the time.
  bool look(WayKind kind, const pattern::Job& job, bool ground, bool timber, const std::vector<SiteChange>& site,
            double limit_s) {
    if (stopped()) return false;
    const pattern::Job asked = with_means(job, ground, timber);
    const Result<std::vector<Open>> opens = open_choices(asked, shelves_);
    if (!opens || opens->empty()) return false;
    const Trials trials(asked, shelves_, *opens, options_.on_hand, options_.cancel);
    SearchOptions wanted;
    wanted.limit_s = limit_s;
    wanted.only_climb = true;
    wanted.cancel = options_.cancel;
    const Found found = search(trials, wanted);
    if (!found.best) return false;
    Way way;
    way.kind = kind;
    way.site = site;
    const Combination least_changed = unchanged_where_it_may(trials, *found.best, found.total);
    for (std::size_t i = 0; i < opens->size(); ++i) {
      const Open& open = (*opens)[i];
      const Value& value = open.values[least_changed[i]];
      Settled settled{open.order, asked.orders[open.order].name,   open.name, in_toml(open, value, job.style),
                      open.was,   in_words(open, value, job.style)};
      if (settled.changed()) way.choices.push_back(std::move(settled));
    }
    way.total = trials.price(least_changed).total;
    way.extra_minor = way.total.minor - now_.minor;
    // Another garden is no cure where the same garden costs no more.
    if (!site.empty() && std::any_of(ways_.begin(), ways_.end(), [&](const Way& w) { return w.total <= way.total; }))
      return true;
    const bool known = std::any_of(ways_.begin(), ways_.end(), [&](const Way& w) { return same_changes(w, way); });
    if (!known) ways_.push_back(std::move(way));
    return true;
  }

  /// Joints that fail take the next of what the yard has for them, until all carry or one has none left. Always ends;
  /// nothing goes down again.
  void other_fixings() {
    pattern::Job job = job_;
    std::map<std::pair<std::size_t, std::string>, FixedAnew> anew;
    for (int step = 0; step < kMostSteps && !stopped(); ++step) {
      const Result<std::vector<pattern::Built>> built = pattern::build_all(job, shelves_);
      if (!built) return;
      std::vector<Structure> structures;
      for (const pattern::Built& one : *built) structures.push_back(one.structure);
      if (structures.size() != job.orders.size()) return;  // of parts that share posts it is not known whose a joint is
      const Standing now = standing(structures, site_of(job));
      std::set<std::pair<std::size_t, int>> weak;
      for (const auto* checks : {&now.strength.checks, &now.ground.checks})
        for (const Check& check : *checks) {
          if (check.verdict != Verdict::fails) continue;
          const std::optional<int> connection = connection_of(structures[index(check)], check);
          if (!connection) return;  // no fixing cures this
          weak.insert({index(check), *connection});
        }
      if (weak.empty()) return take_fixings(job, anew);
      for (const auto& [order, number] : weak)
        if (!next_candidate(job, order, structures[order].connections[static_cast<std::size_t>(number)], anew)) return;
    }
  }

  static std::size_t index(const Check& check) { return static_cast<std::size_t>(check.part.index); }

  static Site site_of(const pattern::Job& job) {
    Diagnostics said;  // by the plan already
    return read_site(job, said);
  }

  /// Which joints of one name a check is about; none where it is about no fixing, or by one that a person chose.
  static std::optional<int> connection_of(const Structure& structure, const Check& check) {
    const bool of_fixings = check.kind == CheckKind::joint || check.kind == CheckKind::row ||
                            check.kind == CheckKind::splitting || check.kind == CheckKind::spacing;
    if (!of_fixings || !check.joint) return std::nullopt;
    for (const int fixing : fixings_of(structure, structure[check.joint]))
      if (const int connection = structure.fixings[static_cast<std::size_t>(fixing)].connection; connection >= 0)
        return connection;
    return std::nullopt;
  }

  bool next_candidate(pattern::Job& job, std::size_t order, const Connection& connection,
                      std::map<std::pair<std::size_t, std::string>, FixedAnew>& anew) const {
    const auto known = anew.find({order, connection.name});
    if (connection.given && known == anew.end()) return false;  // a person's choice stands
    const auto at = std::find(connection.candidates.begin(), connection.candidates.end(), connection.taken);
    if (at == connection.candidates.end() || at + 1 == connection.candidates.end()) return false;
    const std::string was = known == anew.end() ? connection.taken : known->second.was;
    anew[{order, connection.name}] = {order, job.orders[order].name, connection.name, *(at + 1), was};
    auto& fixings = job.orders[order].fixings;
    std::erase_if(fixings, [&](const auto& given) { return given.name == connection.name; });
    fixings.push_back({connection.name, *(at + 1), job.orders[order].where});
    return true;
  }

  void take_fixings(const pattern::Job& job, const std::map<std::pair<std::size_t, std::string>, FixedAnew>& anew) {
    const Result<Plan> plan = planned(job);
    if (!plan || !stands(*plan)) return;
    Way way;
    way.kind = WayKind::fixings;
    for (const auto& [name, fixed] : anew) way.fixings.push_back(fixed);
    way.total = plan->purchase.total;
    way.extra_minor = way.total.minor - now_.minor;
    ways_.push_back(std::move(way));
  }

  static bool same_changes(const Way& a, const Way& b) {
    const auto same = [](const Settled& x, const Settled& y) {
      return x.order == y.order && x.name == y.name && x.value == y.value;
    };
    return a.site.size() == b.site.size() && a.fixings.size() == b.fixings.size() &&
           std::equal(a.choices.begin(), a.choices.end(), b.choices.begin(), b.choices.end(), same);
  }

  /// What need not change for it goes back to what it is, where that is no dearer and all still stands.
  Combination unchanged_where_it_may(const Trials& trials, Combination at, Money total) const {
    for (std::size_t i = 0; i < at.size(); ++i) {
      const std::optional<std::size_t> now = trials.opens()[i].now;
      if (!now || at[i] == *now) continue;
      Combination back = at;
      back[i] = static_cast<std::uint16_t>(*now);
      const Priced priced = trials.price(back);
      if (priced.refused() || priced.total > total || trials.failing(priced, {})) continue;
      if (const Result<Plan> plan = trials.plan(back); plan && stands(*plan)) at = back;
    }
    return at;
  }

  std::string said(const std::string& name) const {
    for (const pattern::SiteFact& fact : job_.site)
      if (const auto* text = std::get_if<std::string>(&fact.value); text && fact.name == name)
        return pattern::toml_text(*text);
    return {};
  }
  pattern::Job with_site(const std::string& name, const std::string& value) const {
    pattern::Job job = job_;
    std::erase_if(job.site, [&](const auto& fact) { return fact.name == name; });
    job.site.push_back({name, value, {job.file, 0, 0, {}}});
    return job;
  }

  /// The heaviest of the lighter plants with which a way is found.
  void lighter_climber(const Site& site, double limit_s) {
    const auto now = strength::climbers::climber(site.climber);
    if (!now) return;
    std::vector<strength::climbers::Climber> lighter;
    for (const auto& plant : strength::climbers::climbers())
      if (plant.wet_mass_kg_m2 < now->wet_mass_kg_m2) lighter.push_back(plant);
    std::stable_sort(lighter.begin(), lighter.end(),
                     [](const auto& a, const auto& b) { return a.wet_mass_kg_m2 > b.wet_mass_kg_m2; });
    std::vector<std::string> names;
    for (const auto& plant : lighter) names.emplace_back(plant.kind);
    names.emplace_back("none");
    for (const std::string& name : names)
      if (look(WayKind::climber, with_site("climber", name), true, true,
               {{"climber", pattern::toml_text(name), said("climber")}}, limit_s / static_cast<double>(names.size())))
        return;
  }

  void more_shelter(const Site& site, double limit_s) {
    if (site.exposure == "sheltered" || site.exposure == "IV" || said("terrain") != "") return;
    look(WayKind::shelter, with_site("exposure", "sheltered"), true, true,
         {{"exposure", pattern::toml_text("sheltered"), said("exposure")}}, limit_s);
  }

  pattern::Job job_;
  const pattern::Shelves& shelves_;
  const Options& options_;
  const Clock::time_point began_;
  std::vector<Means> means_;
  Money now_;
  std::vector<Way> ways_;
};

}  // namespace

std::string_view name(WayKind kind) {
  switch (kind) {
    case WayKind::fixings:
      return "fixings";
    case WayKind::ground:
      return "holes";
    case WayKind::timber:
      return "timber";
    case WayKind::climber:
      return "lighter climber";
    case WayKind::shelter:
      return "shelter";
    case WayKind::least:
      break;
  }
  return "least";
}

Result<Advice> advise(const pattern::Job& job, const pattern::Shelves& shelves, const Options& options) {
  return Adviser(job, shelves, options).run();
}

std::string words_of(const Way& way, const Currency& currency, bool several_structures) {
  std::string words;
  for (const SiteChange& change : way.site)
    words += (words.empty() ? "" : ", ") + ("[site] " + change.name) + " = " + change.value;
  for (const Settled& choice : way.choices)
    words += (words.empty() ? "" : ", ") + (several_structures ? choice.structure + "." : std::string()) + choice.name +
             " = " + choice.value;
  for (const FixedAnew& fixed : way.fixings)
    words +=
        (words.empty() ? "" : ", ") +
        fmt::format("{}\"{}\" = \"{}\"", several_structures ? fixed.structure + "." : "", fixed.joint, fixed.value);
  const Money apart{std::abs(way.extra_minor)};
  return words + ": " +
         (way.extra_minor == 0 ? "as dear" : format_money(apart, currency) + (way.extra_minor > 0 ? " more" : " less"));
}

Result<std::string> taken_text(const std::string& text, const std::string& file, const Way& way) {
  Result<pattern::JobText> job = pattern::JobText::read(text, file);
  if (!job) return tl::make_unexpected(job.error());
  for (const SiteChange& change : way.site)
    if (const Result<void> done = job->set_site(change.name, change.value); !done)
      return tl::make_unexpected(done.error());
  for (const Settled& choice : way.choices)
    if (const Result<void> done = job->set_choice(choice.order, choice.name, choice.value); !done)
      return tl::make_unexpected(done.error());
  for (const FixedAnew& fixed : way.fixings)
    if (const Result<void> done = job->set_fixing(fixed.order, fixed.joint, pattern::toml_text(fixed.value)); !done)
      return tl::make_unexpected(done.error());
  return job->text();
}

}  // namespace garthwright::decide
