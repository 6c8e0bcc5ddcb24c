// SPDX-License-Identifier: Apache-2.0
#include "decide/advice.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <map>
#include <set>

#include "decide/in_time.h"
#include "pattern/described.h"
#include "pattern/job_text.h"
#include "plan/read_site.h"
#include "plan/standing.h"
#include "strength/climbers.h"

namespace garthwright::decide {
namespace {

constexpr int kStepsDown = 4, kStepsUp = 12;  // of a number's step, beside what it is now
// Of the time that is left: for other fixings, for what the wall might be, for the cheapest of all means, for going
// without.
constexpr double kShareOfFixings = 0.2, kShareOfWall = 0.25, kShareOfLeast = 0.45, kShareOfWithout = 0.4;
constexpr double kShareOfCures = 0.08;    // of all of it, for what each change of the first way cures
constexpr double kShareOfTidying = 0.25;  // of a way's, for taking back what is not needed
constexpr std::size_t kMostWays = 4;
constexpr double kFewest = 0.6;        // of what is counted now
constexpr double kUsualTime = 60;      // s, where none is said
constexpr const char* kSize = "Size";  // the group of choices that are wishes where a pattern does not work them out

using Clock = std::chrono::steady_clock;

/// Of a range that a step does not part into some values, a part of it; in millimetres or parts of an inch.
double finer(const pattern::ChoiceInfo& info, double step, bool inches) {
  constexpr double kParts = 6, kEighth = kMillimetresPerInch / 8;
  if (info.unit != "length" || info.most - info.least >= kParts * step) return step;
  const double unit = inches ? kEighth : 1;
  return std::max(1.0, std::round((info.most - info.least) / kParts / unit)) * unit;
}

/// A choice that may be changed, and whether it is about the ground.
struct Means {
  std::vector<pattern::OpenChoice> ground, timber;
};

bool given(const pattern::Order& order, const std::string& name) {
  return std::any_of(order.choices.begin(), order.choices.end(), [&](const auto& c) { return c.name == name; });
}

const Choice* named(const std::vector<Choice>& choices, const std::string& name) {
  const auto at = std::find_if(choices.begin(), choices.end(), [&](const Choice& c) { return c.name == name; });
  return at == choices.end() ? nullptr : &*at;
}

bool is(const Choice& choice, const Value& value) {
  if (const double* number = std::get_if<double>(&value))
    return choice.value && std::abs(*number - choice.value->value()) < 1e-6;
  const auto* text = std::get_if<std::string>(&value);
  return text && *text == choice.text;
}

/// What a number is by the pattern alone; what it is now, some steps below and above it, and its least where that is
/// nothing at all.
std::vector<Value> around(const pattern::ChoiceInfo& info, double now, double step, const Choice* by_itself) {
  std::vector<Value> values;
  if (by_itself && by_itself->value) values.emplace_back(by_itself->value->value());
  for (int i = -kStepsDown; i <= kStepsUp; ++i)
    if (const double value = now + i * step; value >= info.least && value <= info.most) values.emplace_back(value);
  if (info.least == 0 && now > 0) values.emplace_back(0.0);
  return values;
}

/// `looked_at`: what the pattern asked for; another value of anything else changes nothing.
Means means_of(const pattern::Job& job, const pattern::Order& order, const pattern::PatternInfo& pattern,
               const std::vector<Choice>& taken_now, const std::vector<Choice>& by_itself,
               const std::set<std::string>& looked_at) {
  Means means;
  const bool inches = job.style.units == Units::feet_inches;
  const double usual = inches ? 2 * kMillimetresPerInch : 50;
  for (const pattern::ChoiceInfo& info : pattern.choices) {
    const Choice* taken = named(taken_now, info.name);
    if (taken == nullptr || (!looked_at.empty() && looked_at.count(info.name) == 0)) continue;
    pattern::OpenChoice open;
    open.name = info.name;
    open.where = order.where;
    if (info.unit == "section") {
      // All that are about as stout; where the job asks for another than the pattern would take, that and its like too.
      const Choice* usual = named(by_itself, info.name);
      if (usual && usual->text != taken->text)
        for (const std::string& of : {taken->text, usual->text})
          for (const std::string& name : about_as_stout(job.yard, of))
            if (std::find(open.values.begin(), open.values.end(), Value(name)) == open.values.end())
              open.values.emplace_back(name);
      means.timber.push_back(open);
      continue;
    }
    if (!taken->value || (info.unit != "length" && info.unit != "count")) continue;
    const bool ground = info.group == kGround;
    if (ground && info.least == 0) continue;  // what may be left out of a hole, as gravel, is there for other reasons
    if (!ground && given(order, info.name)) continue;
    if (info.group == kSize && (info.unit != "count" || !info.worked_out)) continue;  // how long it is, is a wish
    const double step = info.step > 0          ? info.step
                        : info.unit == "count" ? 1
                                               : finer(info, ground ? usual : 2 * usual, inches);
    open.values = around(info, taken->value->value(), step, named(by_itself, info.name));
    if (info.unit == "count")  // much fewer of anything would be another thing
      std::erase_if(open.values, [&](const Value& value) {
        return std::get<double>(value) < kFewest * taken->value->value() - 1e-9;
      });
    (ground ? means.ground : means.timber).push_back(open);
  }
  return means;
}

/// What a structure's choices were taken to be: it may be a part of one whose posts it shares.
std::vector<Choice> choices_of(const Garden& garden, const std::string& order) {
  for (const Structure& structure : garden.structures) {
    if (structure.name == order) return structure.choices;
    for (const Part& part : structure.guests)
      if (part.name == order) return part.choices;
  }
  return {};
}

/// A job as it is, with fixings by which all of it stands.
struct FixedAlone {
  std::vector<FixedAnew> fixings;
  Money total;
};

/// Joints that fail go up what the yard has for them; then one pass down. None where that does not do, or where nothing
/// fails.
std::optional<FixedAlone> fixed_alone(const pattern::Job& job, const pattern::Shelves& shelves,
                                      const buying::OnHand& on_hand, const Patience& patience) {
  const std::vector<Open> none;
  const Trials trials(job, shelves, none, on_hand, patience.cancel);
  Kept kept;
  std::optional<FixedAlone> found;
  const auto keep_if_it_stands = [&](const Fixed& fixed) {
    if (const Result<Plan> plan = trials.plan({}, fixed.fixings); plan && stands(*plan))
      found = FixedAlone{fixed.fixings, plan->purchase.total};
  };
  in_time(patience, [&] {
    const Priced priced = trials.price({});
    if (priced.refused()) return;
    const Fixed up = trials.fix(priced, {}, {}, kept);
    if (up.failing || up.fixings.empty()) return;
    keep_if_it_stands(up);
    if (const Fixed least = trials.fix_least(priced, {}, kept); least.total < up.total) keep_if_it_stands(least);
  });
  return found;
}

/// How much a way asks beside the structure's own means: a wish, a fact to be looked up, what grows, what the garden
/// is.
int asks(WayKind kind) {
  switch (kind) {
    case WayKind::least:
    case WayKind::fixings:
    case WayKind::ground:
    case WayKind::timber:
      return 0;
    case WayKind::posts:
    case WayKind::without:
      return 1;
    case WayKind::wall:
      return 2;
    case WayKind::climber:
      return 3;
    case WayKind::shelter:
      break;
  }
  return 4;
}

class Adviser {
 public:
  Adviser(const pattern::Job& job, const pattern::Shelves& shelves, const Options& options,
          const std::function<void(const Way&)>& on_way)
      : job_(job), shelves_(shelves), options_(options), on_way_(on_way) {
    for (pattern::Order& order : job_.orders) order.open = {};
  }

  Result<Advice> run() {
    const Result<Plan> now = planned(job_);
    if (!now) return tl::make_unexpected(now.error());
    if (!is_whole(*now))
      return fail("too-long", "the time was up before all checks of the job as it is were made",
                  "allow more time (--limit-s)");
    Advice advice;
    advice.now = now->purchase.total;
    if (stands(*now)) return advice;
    advice.fails = std::max(1, count(*now, Verdict::fails));
    if (const std::string why = beyond_choices(*now); !why.empty()) {
      advice.why = why;
      advice.hopeless = true;
      return advice;
    }
    Diagnostics broken;
    const auto patterns =
        pattern::describe_patterns(pattern::patterns_of(job_), shelves_, &job_.yard, job_.style, broken);
    for (std::size_t i = 0; i < job_.orders.size(); ++i) {
      patterns_.push_back(*std::find_if(patterns.begin(), patterns.end(),
                                        [&](const auto& p) { return p.name == job_.orders[i].pattern; }));
      by_itself_.push_back(by_itself(i));
      means_.push_back(means_of(job_, job_.orders[i], patterns_[i], choices_of(now->garden, job_.orders[i].name),
                                by_itself_[i], looked_at(i)));
    }
    now_ = advice.now;
    other_fixings(share(kShareOfFixings));
    if (hangs_on_the_wall(*now)) {
      known_wall(share(kShareOfWall));
      if (!options_.one_way) free_standing(share(kShareOfWall));
    }
    if (!options_.one_way || ways_.empty())
      look(WayKind::least, job_, true, true, {}, share(options_.one_way ? 1 - kShareOfWithout : kShareOfLeast));
    if (ways_.empty()) without(share(options_.one_way ? 1 : kShareOfWithout));
    if (!options_.one_way) others(now->site);
    if (stopped()) return fail("cancelled", "the search was stopped before it was whole");
    std::stable_sort(ways_.begin(), ways_.end(), [](const Way& a, const Way& b) {
      return std::pair(asks(a.kind), a.total) < std::pair(asks(b.kind), b.total);
    });
    if (ways_.size() > kMostWays) ways_.resize(kMostWays);
    advice.ways = std::move(ways_);
    if (!advice.ways.empty())
      advice.cures = cures(*now, advice.ways.front());
    else
      advice.why = why_.empty() ? worst_of(*now) : why_;
    advice.ran_out = ran_out_;
    advice.seconds = spent();
    return advice;
  }

 private:
  bool stopped() const { return options_.cancel && *options_.cancel; }
  double spent() const { return std::chrono::duration<double>(Clock::now() - began_).count(); }
  double whole() const { return options_.limit_s > 0 ? options_.limit_s : kUsualTime; }
  double left() const { return std::max(0.0, whole() - spent()); }
  /// Of what is left but for the cures, s.
  double share(double part) const { return part * std::max(0.0, left() - kShareOfCures * whole()); }
  Patience patience(double seconds) const { return {options_.cancel, Patience::in(seconds)}; }

  Result<Plan> planned(const pattern::Job& job) const {
    PlanOptions wanted;
    wanted.order = sequence::Options{};
    wanted.on_hand = options_.on_hand;
    wanted.cutting.cancel = options_.cancel;
    const Waiting waiting(patience(left()));
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

  /// What the pattern takes where the job says nothing but its wishes.
  std::vector<Choice> by_itself(std::size_t i) const {
    const pattern::PatternInfo& pattern = patterns_[i];
    pattern::Order order = job_.orders[i];
    std::erase_if(order.choices, [&](const pattern::GivenChoice& given) {
      const auto info = std::find_if(pattern.choices.begin(), pattern.choices.end(),
                                     [&](const auto& choice) { return choice.name == given.name; });
      return info != pattern.choices.end() && (info->unit == "section" || info->group == kGround);
    });
    int letter = 0;
    Result<pattern::Built> built = pattern::build(job_, order, shelves_, 0, letter);
    return built ? std::move(built->structure.choices) : std::vector<Choice>{};
  }

  /// The choices that the pattern asks for as the job is; none where it cannot be built by itself.
  std::set<std::string> looked_at(std::size_t i) const {
    std::set<std::string> read;
    int letter = 0;
    const bool built = pattern::build(job_, job_.orders[i], shelves_, 0, letter, &read).has_value();
    return built ? read : std::set<std::string>{};
  }

  /// The combination in which all that is open is as the pattern takes it by itself.
  Combination as_the_patterns_take_it(const std::vector<Open>& opens) const {
    Combination at(opens.size());
    for (std::size_t i = 0; i < opens.size(); ++i) {
      at[i] = static_cast<std::uint16_t>(opens[i].now.value_or(opens[i].values.size() / 2));
      const Choice* usual =
          opens[i].order < by_itself_.size() ? named(by_itself_[opens[i].order], opens[i].name) : nullptr;
      if (usual == nullptr) continue;
      for (std::size_t k = 0; k < opens[i].values.size(); ++k)
        if (is(*usual, opens[i].values[k])) at[i] = static_cast<std::uint16_t>(k);
    }
    return at;
  }

  /// What no choice has a say in: soil in which no hole is sized, parts of which no strength can be reckoned.
  static std::string beyond_choices(const Plan& plan) {
    std::string why;
    for (const Check* check : all_checks(plan)) {
      if (!against(*check)) continue;
      if (check->kind == CheckKind::soil) return check->plain;
      if (check->kind == CheckKind::unsolved && check->verdict == Verdict::attention) why = check->plain;
    }
    return why;
  }

  static std::string worst_of(const Plan& plan) {
    const Check* worst = worst_check(plan);
    return worst ? garthwright::words_of(plan, *worst).title : std::string();
  }

  /// Those that differ in kind; what one leaves of its time is the next one's.
  void others(const Site& site) {
    look(WayKind::ground, job_, true, false, {}, share(0.25));
    look(WayKind::timber, job_, false, true, {}, share(0.33));
    lighter_climber(site, share(0.5));
    more_shelter(site, share(1));
  }

  static bool hangs_on_the_wall(const Plan& plan) {
    const std::vector<const Check*> checks = all_checks(plan);
    return std::any_of(checks.begin(), checks.end(), [](const Check* check) {
      return against(*check) && check->kind == CheckKind::joint && !check->subjects.empty() &&
             check->subjects.back() == kWall;
    });
  }

  /// What a wall is may be looked up, and is no choice: the weakest kind with which it goes, where the job says none.
  void known_wall(double limit_s) {
    if (!said("wall").empty()) return;
    const auto until = spent() + limit_s;
    double parts = 3;
    for (const char* const kind : {"solid brick", "timber frame", "concrete"})
      if (look(WayKind::wall, with_site("wall", kind), true, true, {{"wall", pattern::toml_text(kind), {}, kind}},
               (until - spent()) / parts--))
        return;
  }

  static bool is_wall(const decltype(pattern::GivenChoice::value)& value) {
    const auto* text = std::get_if<std::string>(&value);
    return text && *text == "wall";
  }

  /// On posts of its own beside the wall, where a pattern leaves that open: an option that is "wall" and may be
  /// "nothing". What else that asks for is part of the way.
  void free_standing(double limit_s) {
    pattern::Job free = job_;
    std::vector<Settled> changes;
    for (std::size_t i = 0; i < patterns_.size(); ++i)
      for (const pattern::ChoiceInfo& choice : patterns_[i].choices) {
        const auto given = std::find_if(free.orders[i].choices.begin(), free.orders[i].choices.end(),
                                        [&](const auto& c) { return c.name == choice.name; });
        if (given == free.orders[i].choices.end() || !is_wall(given->value)) continue;
        if (std::find(choice.options.begin(), choice.options.end(), "nothing") == choice.options.end()) continue;
        given->value = "nothing";
        changes.push_back({i, free.orders[i].name, choice.name, pattern::toml_text("nothing"),
                           pattern::toml_text("wall"), "nothing", Value(std::string("nothing"))});
      }
    give_up(WayKind::posts, free, changes, limit_s);
  }

  /// Without what the pattern does without by itself, one wish at a time: braces, a fall, a wing, purlins.
  void without(double limit_s) {
    const double until = spent() + limit_s;
    for (std::size_t i = 0; i < patterns_.size(); ++i)
      for (const pattern::ChoiceInfo& choice : patterns_[i].choices) {
        const std::optional<double> wished = spared(choice, job_.orders[i]);
        if (!wished || spent() >= until) continue;
        pattern::Job free = job_;
        for (auto& given : free.orders[i].choices)
          if (given.name == choice.name) given.value = 0.0;
        Open open;
        open.unit = choice.unit;
        const Value nothing = 0.0;
        give_up(WayKind::without, free,
                {{i, job_.orders[i].name, choice.name, in_toml(open, nothing, job_.style),
                  in_toml(open, *wished, job_.style), in_words(open, nothing, job_.style), nothing}},
                until - spent());
      }
  }

  /// What the job wishes of a size that may be nothing, and is nothing where nothing is wished.
  static std::optional<double> spared(const pattern::ChoiceInfo& choice, const pattern::Order& order) {
    if (choice.group != kSize || choice.least != 0 || choice.fallback_value != 0.0) return std::nullopt;
    for (const auto& given : order.choices)
      if (const auto* wished = std::get_if<double>(&given.value); wished && given.name == choice.name && *wished > 0)
        return *wished;
    return std::nullopt;
  }

  /// A way that changes a wish: `free` is the job without it, and what else it asks for is part of the way.
  void give_up(WayKind kind, const pattern::Job& free, const std::vector<Settled>& changes, double limit_s) {
    if (changes.empty() || limit_s <= 0) return;
    Options one = options_;
    one.limit_s = limit_s;
    one.one_way = true;
    one.on_progress = {};
    const Result<Advice> advice = Adviser(free, shelves_, one, {}).run();
    if (!advice || (advice->fails > 0 && advice->ways.empty())) return;
    Way way = advice->fails > 0 ? advice->ways.front() : Way{};
    if (advice->fails == 0) way.total = advice->now;
    way.kind = kind;
    way.choices.insert(way.choices.begin(), changes.begin(), changes.end());
    way.extra_minor = way.total.minor - now_.minor;
    hand_out(std::move(way));
  }

  /// For each failing check the first single change of a way after which it holds; all of them where none does.
  std::vector<Cure> cures(const Plan& now, const Way& way) const {
    std::vector<Way> parts;
    const auto part = [&] { return &parts.emplace_back(); };
    for (const SiteChange& change : way.site) part()->site.push_back(change);
    for (const Settled& change : way.choices) part()->choices.push_back(change);
    for (const FixedAnew& change : way.fixings) part()->fixings.push_back(change);
    std::vector<std::optional<std::set<std::string>>> still;  // what fails with each
    for (const Way& one : parts)
      if (!in_time(patience(left()), [&] { still.push_back(failing(taken(job_, one))); })) still.emplace_back();
    std::vector<Cure> all;
    for (const Check* check : all_checks(now)) {
      if (!against(*check)) continue;
      const Structure& structure = now.garden.structures[static_cast<std::size_t>(check->part.index)];
      const CheckWords words = garthwright::words_of(now, *check);
      Cure cure{structure.name, words.id, words.title, {}};
      for (std::size_t i = 0; i < parts.size() && cure.words.empty(); ++i)
        if (still[i] && still[i]->count(id_of(now, *check)) == 0) cure.words = changes_of(parts[i], several());
      if (cure.words.empty()) cure.words = changes_of(way, several());
      all.push_back(std::move(cure));
    }
    return all;
  }
  bool several() const { return job_.orders.size() > 1; }

  /// The ids of the checks that fail of a job; none where it cannot be built.
  std::optional<std::set<std::string>> failing(const pattern::Job& job) const {
    const Result<Plan> plan = make_plan(job, shelves_);
    if (!plan || !is_whole(*plan)) return std::nullopt;
    std::set<std::string> ids;
    for (const Check* check : all_checks(*plan))
      if (against(*check)) ids.insert(id_of(*plan, *check));
    return ids;
  }
  static std::string id_of(const Plan& plan, const Check& check) {
    return plan.garden.structures[static_cast<std::size_t>(check.part.index)].name + "/" +
           garthwright::words_of(plan, check).id;
  }

  /// The cheapest change by these means that is found in the time, handed out; whether there is one.
  bool look(WayKind kind, const pattern::Job& job, bool ground, bool timber, const std::vector<SiteChange>& site,
            double limit_s) {
    std::optional<Way> way = find_way(kind, job, ground, timber, site, limit_s);
    if (way) hand_out(*std::move(way));
    return way.has_value();
  }

  std::optional<Way> find_way(WayKind kind, const pattern::Job& job, bool ground, bool timber,
                              const std::vector<SiteChange>& site, double limit_s) {
    if (stopped() || limit_s <= 0) return std::nullopt;
    const Patience until = patience(limit_s);
    const pattern::Job asked = with_means(job, ground, timber);
    const Result<std::vector<Open>> opens = open_choices(asked, shelves_);
    if (!opens || opens->empty()) return std::nullopt;
    const Trials trials(asked, shelves_, *opens, options_.on_hand, options_.cancel);
    SearchOptions wanted;
    wanted.limit_s = (1 - kShareOfTidying) * limit_s;
    wanted.only_climb = true;
    wanted.likely = {as_the_patterns_take_it(*opens)};
    wanted.any = options_.one_way || !site.empty();  // in another garden the job as it is, if that will do
    wanted.cancel = options_.cancel;
    const Found found = search(trials, wanted);
    ran_out_ |= found.seconds >= wanted.limit_s;
    if (!found.best) {
      if (why_.empty()) why_ = found.most_often;
      return std::nullopt;
    }
    const Best best = tidied(trials, {*found.best, found.fixings, found.total}, until);
    Way way;
    way.kind = kind;
    way.site = site;
    std::vector<Settled> same;
    for (std::size_t i = 0; i < opens->size(); ++i) {
      const Open& open = (*opens)[i];
      const Value& value = open.values[best.at[i]];
      Settled settled{open.order, asked.orders[open.order].name,    open.name, in_toml(open, value, job.style),
                      open.was,   in_words(open, value, job.style), value};
      if (settled.changed())
        way.choices.push_back(std::move(settled));
      else
        same.push_back(std::move(settled));
    }
    say_what_would_follow(job, same, way);
    way.fixings = best.fixings;
    way.total = best.total;
    way.extra_minor = way.total.minor - now_.minor;
    return way;
  }

  /// What stays as it is, but would follow the changes where the job says nothing of it, is said too.
  void say_what_would_follow(const pattern::Job& job, const std::vector<Settled>& same, Way& way) const {
    const pattern::Job changed = taken(job, way);
    for (std::size_t i = 0; i < changed.orders.size(); ++i) {
      int letter = 0;
      const Result<pattern::Built> built = pattern::build(changed, changed.orders[i], shelves_, 0, letter);
      for (const Settled& settled : same) {
        if (settled.order != i) continue;
        const Choice* follows = built ? named(built->structure.choices, settled.name) : nullptr;
        if (follows == nullptr || !is(*follows, settled.to)) way.choices.push_back(settled);
      }
    }
  }

  /// Another garden is no cure where the same garden costs no more; nothing is told twice.
  void hand_out(Way way) {
    const bool needless = std::any_of(ways_.begin(), ways_.end(), [&](const Way& known) {
      return same_changes(known, way) || (!way.site.empty() && known.total <= way.total);
    });
    if (!needless) add(std::move(way));
  }

  /// Fixings alone.
  void other_fixings(double limit_s) {
    const std::optional<FixedAlone> found = fixed_alone(job_, shelves_, options_.on_hand, patience(limit_s));
    if (!found) return;
    Way way;
    way.kind = WayKind::fixings;
    way.fixings = found->fixings;
    way.total = found->total;
    way.extra_minor = way.total.minor - now_.minor;
    add(std::move(way));
  }

  void add(Way way) {
    ways_.push_back(std::move(way));
    if (on_way_) on_way_(ways_.back());
    if (!options_.on_progress) return;
    const auto least =
        std::min_element(ways_.begin(), ways_.end(), [](const Way& a, const Way& b) { return a.total < b.total; });
    options_.on_progress({{}, least->total});
  }

  static bool same_changes(const Way& a, const Way& b) {
    const auto same = [](const Settled& x, const Settled& y) {
      return x.order == y.order && x.name == y.name && x.value == y.value;
    };
    return a.site.size() == b.site.size() && a.fixings.size() == b.fixings.size() &&
           std::equal(a.choices.begin(), a.choices.end(), b.choices.begin(), b.choices.end(), same);
  }

  /// Whether a change is worth making for the money alone.
  static bool is_worth_it(Money without, Money with) {
    constexpr double kTrifle = 0.01;
    return static_cast<double>(with.minor) < (1 - kTrifle) * static_cast<double>(without.minor);
  }

  /// A combination that was planned whole and stands.
  struct Best {
    Combination at;
    std::vector<FixedAnew> fixings;
    Money total;
  };

  /// What need not change goes back to what it is, where all still stands and it costs next to nothing more; then the
  /// fixings go down. As far as there is time.
  Best tidied(const Trials& trials, Best best, const Patience& until) const {
    const Money first = best.total;
    Kept kept;
    for (std::size_t i = 0; i < best.at.size(); ++i) {
      const std::optional<std::size_t> now = trials.opens()[i].now;
      if (!now || best.at[i] == *now) continue;
      Combination back = best.at;
      back[i] = static_cast<std::uint16_t>(*now);
      in_time(until, [&] {
        const Priced priced = trials.price(back);
        if (priced.refused()) return;
        const Fixed fixed = trials.fix(priced, back, {}, kept);
        if (fixed.failing || is_worth_it(fixed.total, first)) return;
        if (stands_whole(trials, back, fixed)) best = {back, fixed.fixings, fixed.total};
      });
    }
    in_time(until, [&] {
      const Fixed down = trials.fix_least(trials.price(best.at), best.at, kept);
      if (is_worth_it(best.total, down.total) && stands_whole(trials, best.at, down))
        best = {best.at, down.fixings, down.total};
    });
    return best;
  }
  static bool stands_whole(const Trials& trials, const Combination& at, const Fixed& fixed) {
    const Result<Plan> plan = trials.plan(at, fixed.fixings);
    return plan && stands(*plan);
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

  /// The heaviest of the lighter plants with which a way is found, by halving: what carries one carries a lighter.
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
    const double each = limit_s / (1 + std::ceil(std::log2(static_cast<double>(names.size()))));
    std::optional<Way> heaviest;
    for (std::size_t from = 0, to = names.size(); from < to;) {
      const std::size_t at = heaviest ? (from + to - 1) / 2 : names.size() - 1;  // first whether any will do
      std::optional<Way> way = find_way(WayKind::climber, with_site("climber", names[at]), true, true,
                                        {{"climber", pattern::toml_text(names[at]), said("climber"), names[at]}}, each);
      if (!way && !heaviest) return;
      (way ? to : from) = way ? at : at + 1;
      if (way) heaviest = std::move(way);
    }
    if (heaviest) hand_out(*std::move(heaviest));
  }

  void more_shelter(const Site& site, double limit_s) {
    if (site.exposure == "sheltered" || site.exposure == "IV" || said("terrain") != "") return;
    look(WayKind::shelter, with_site("exposure", "sheltered"), true, true,
         {{"exposure", pattern::toml_text("sheltered"), said("exposure"), "sheltered"}}, limit_s);
  }

  pattern::Job job_;
  const pattern::Shelves& shelves_;
  const Options& options_;
  const std::function<void(const Way&)>& on_way_;
  const Clock::time_point began_ = Clock::now();
  std::vector<Means> means_;
  std::vector<pattern::PatternInfo> patterns_;  // of each structure
  std::vector<std::vector<Choice>> by_itself_;  // of each structure
  Money now_;
  std::vector<Way> ways_;
  std::string why_;
  bool ran_out_ = false;
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
    case WayKind::wall:
      return "another wall";
    case WayKind::posts:
      return "posts instead of the wall";
    case WayKind::without:
      return "without";
    case WayKind::least:
      break;
  }
  return "least";
}

Result<Advice> advise(const pattern::Job& job, const pattern::Shelves& shelves, const Options& options,
                      const std::function<void(const Way&)>& on_way) {
  return Adviser(job, shelves, options, on_way).run();
}

std::vector<FixedAnew> fixings_by_forces(const pattern::Job& job, const pattern::Shelves& shelves, double limit_s) {
  const std::optional<FixedAlone> found = fixed_alone(job, shelves, {}, {nullptr, Patience::in(limit_s)});
  return found ? found->fixings : std::vector<FixedAnew>{};
}

pattern::Job taken(pattern::Job job, const Way& way) {
  for (const SiteChange& change : way.site) {
    std::erase_if(job.site, [&](const auto& fact) { return fact.name == change.name; });
    job.site.push_back({change.name, change.to, {job.file, 0, 0, {}}});
  }
  for (const Settled& choice : way.choices) {
    pattern::Order& order = job.orders[choice.order];
    std::erase_if(order.choices, [&](const auto& given) { return given.name == choice.name; });
    pattern::GivenChoice given{choice.name, {}, order.where};
    std::visit([&](const auto& value) { given.value = value; }, choice.to);
    order.choices.push_back(std::move(given));
  }
  for (std::size_t i = 0; i < job.orders.size(); ++i) give(job.orders[i], i, way.fixings);
  return job;
}

std::string changes_of(const Way& way, bool several_structures) {
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
  return words;
}

std::string words_of(const Way& way, const Currency& currency, bool several_structures) {
  const Money apart{std::abs(way.extra_minor)};
  return changes_of(way, several_structures) + ": " +
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
