// SPDX-License-Identifier: Apache-2.0
#include "sequence/writer.h"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <map>
#include <set>

#include "base/patience.h"
#include "base/us_customary.h"
#include "sequence/words.h"

namespace garthwright::sequence {
namespace {

std::string plural(const std::string& noun) { return noun + "s"; }

class Writer {
 public:
  Writer(const Kit& kit, const Tables& tables, const std::vector<const Unit*>& units, const Options& options,
         Diagnostics& why_not)
      : kit_(kit), structure_(*kit.structure), tables_(tables), units_(units), options_(options), why_not_(why_not) {}

  std::vector<Stage> run() {
    pose();
    order_ = find_order(kit_, tables_, site_);
    if (!order_.found()) {
      explain();
      return {};
    }
    if (!within_the_peoples_strength()) return {};
    tier_ = tiers(kit_, site_);
    placed_.assign(site_.items.size(), 0);
    open_.assign(site_.fixings.size(), 1);
    prepare();
    make_first();
    for (const Unit* u : units_)
      if (u->standing) make(u->kind);
    dig();
    while (std::find(placed_.begin(), placed_.end(), 0) != placed_.end()) {
      if (!filled_ && all_standing()) fill();
      const std::string key = choose_batch();
      if (key.empty()) {
        why_not_.push_back({Severity::warning,
                            "no-order",
                            "some post cannot stand before what it carries; concrete would have to wait for it",
                            "fix the posts another way",
                            {}});
        return {};
      }
      if (!why_not_.empty()) return {};
      bring_batch(key);
    }
    if (!filled_) fill();
    clear_away();
    return std::move(stages_);
  }

 private:
  std::size_t at(int i) const { return static_cast<std::size_t>(i); }

  void pose() {
    std::vector<char> in_unit(at(kit_.count()), 0);
    std::vector<char> done(structure_.fixings.size(), 0);
    for (std::size_t u = 0; u < units_.size(); ++u) {
      Item item;
      item.bodies = units_[u]->bodies;
      item.set = units_[u]->set;
      item.unit = static_cast<int>(u);
      for (const int b : item.bodies) {
        in_unit[at(b)] = 1;
        item.grounded = item.grounded || grounded(b);
      }
      for (const int f : units_[u]->fixings) done[at(f)] = 1;
      site_.items.push_back(std::move(item));
    }
    for (int b = 0; b < kit_.count(); ++b) {
      if (in_unit[at(b)]) continue;
      Item item;
      item.bodies = {b};
      item.set = PieceSet(kit_.count());
      item.set.insert(b);
      item.grounded = grounded(b);
      site_.items.push_back(std::move(item));
    }
    for (std::size_t f = 0; f < structure_.fixings.size(); ++f)
      if (!done[f] && !kit_.chain[f].empty()) site_.fixings.push_back(static_cast<int>(f));
  }

  bool grounded(int b) const { return kit_.footing[at(b)] >= 0 || kit_.on_wall[at(b)] != 0; }

  std::string name_of(const Item& item) const {
    return item.unit >= 0 ? "the " + units_[at(item.unit)]->name : kit_.assembly.pieces[at(item.bodies.front())].id;
  }

  void explain() {
    for (const int f : order_.stuck_fixings) {
      std::vector<std::string> names;
      for (const int b : kit_.chain[at(f)]) names.push_back(kit_.assembly.pieces[at(b)].id);
      why_not_.push_back(
          {Severity::warning,
           "no-access",
           fmt::format("no tool reaches the {} that fixes {}", structure_.fixings[at(f)].item, listed(names)),
           "fix it from another side",
           {}});
      return;
    }
    std::vector<std::string> names;
    for (const int i : order_.stuck_items) {
      if (names.size() == 4) break;
      names.push_back(name_of(site_.items[at(i)]));
    }
    const std::string more = order_.stuck_items.size() > names.size()
                                 ? fmt::format(" and {} more", order_.stuck_items.size() - names.size())
                                 : "";
    why_not_.push_back(
        {Severity::warning,
         "no-order",
         fmt::format("{}{} keep each other out: none of them goes in last by one straight way", listed(names), more),
         "leave room for one of them, or join them another way",
         {}});
  }

  bool within_the_peoples_strength() {
    for (const Item& item : site_.items) {
      const Lift lift = lift_of(item);
      if (lift.people <= options_.people || is_whole(item)) continue;
      why_not_.push_back(
          {Severity::warning,
           "too-heavy",
           fmt::format("{} weighs {} and goes {} up: by the guideline figures {}", name_of(item),
                       mass_told(lift.kg, options_.style), height_told(item),
                       lift.people > 3 ? std::string("more than three people lift it")
                                       : fmt::format("{} people lift it, not {}", lift.people, options_.people)),
           lift.people > 3 ? "make it of lighter timber or shorter lengths, or hire a lift"
                           : fmt::format("say --people {}", lift.people),
           {}});
      return false;
    }
    return true;
  }

  /// Whole it may take more people than build it: they come for the one lift.
  bool is_whole(const Item& item) const { return item.unit >= 0 && units_[at(item.unit)]->whole; }
  Lift lift_of(const Item& item) const {
    return lift_to_site(kit_, item.bodies, options_.rates, options_.people,
                        is_whole(item) ? kMostCarriers : kMostInTeam);
  }

  std::string height_told(const Item& item) const {
    const double z = kit_.box[at(item.bodies.front())].centre().z;
    if (options_.style.units == Units::feet_inches) return fmt::format("{:.0f} ft", z / kMmPerFoot);
    return fmt::format("{:.1f} m", z / 1000);
  }

  Stage& begin(std::string title) {
    stages_.emplace_back();
    stages_.back().title = std::move(title);
    return stages_.back();
  }
  void step(Step s) { stages_.back().steps.push_back(std::move(s)); }

  // --- before anything stands --------------------------------------------------------------------------------------

  void prepare() {
    Stage& stage = begin("Cut, machine and seal");
    for (std::size_t i = 0; i < structure_.pieces.size(); ++i)
      if (!structure_.pieces[i].measure_in_place) stage.steps.push_back(Prepare{PieceId{static_cast<int>(i)}});
    if (stage.steps.empty()) stages_.pop_back();
  }

  void prepare_in_place(int b) {
    const Body body = kit_.bodies[at(b)];
    if (body.kind == Body::Kind::piece && structure_[PieceId{body.index}].measure_in_place)
      step(Prepare{PieceId{body.index}});
  }

  void make_first() {
    for (const Unit* u : units_)
      if (u->name == options_.first) make(u->kind);
  }

  void dig() {
    if (structure_.footings.empty()) {
      filled_ = true;
      return;
    }
    begin("Dig the holes");
    for (std::size_t f = 0; f < structure_.footings.size(); ++f) step(Dig{static_cast<int>(f)});
  }

  // --- on trestles -------------------------------------------------------------------------------------------------

  /// All units of one kind, side by side.
  void make(const std::string& kind) {
    if (!made_.insert(kind).second) return;
    std::vector<std::size_t> batch;
    std::vector<std::string> names;
    for (std::size_t u = 0; u < units_.size(); ++u) {
      if (units_[u]->kind != kind) continue;
      batch.push_back(u);
      names.push_back(units_[u]->name);
    }
    begin("Make the " + listed(names));
    for (const std::size_t u : batch) make_unit(*units_[u], static_cast<Workplace>(u) + 1);
  }

  void make_unit(const Unit& unit, Workplace place) {
    step(Turn{place, unit.down});
    std::vector<char> there(unit.problem.items.size(), 0), open(unit.problem.fixings.size(), 1);
    std::string last_name;
    for (std::size_t n = 0; n < unit.problem.items.size(); ++n) {
      const int next = next_in_unit(unit, there, last_name);
      const int b = unit.problem.items[at(next)].bodies.front();
      last_name = noun(b);
      there[at(next)] = 1;
      prepare_in_place(b);
      const Lift lift = lift_to_trestles(kit_, b, options_.rates);
      step(Bring{{kit_.bodies[at(b)]},
                 -1,
                 place,
                 unit.order.way_in[at(next)],
                 lift.kg,
                 lift.share,
                 lift.hands_mm,
                 lift.people});
      drive_ready(unit.problem, unit.order, there, open, false);
    }
    if (unit.racks) step(Brace{place});
    if (std::find(open.begin(), open.end(), 1) != open.end()) {
      step(Turn{place, -unit.down});
      drive_ready(unit.problem, unit.order, there, open, true);
    }
  }

  int next_in_unit(const Unit& unit, const std::vector<char>& there, const std::string& last_name) const {
    int best = -1;
    for (const int i : unit.order.sequence) {
      if (there[at(i)] || !ready(unit.order, there, i)) continue;
      if (best < 0) best = i;
      if (noun(unit.problem.items[at(i)].bodies.front()) == last_name) return i;
    }
    return best;
  }

  bool ready(const Order& order, const std::vector<char>& there, int i) const {
    return std::all_of(order.before[at(i)].begin(), order.before[at(i)].end(), [&](int j) { return there[at(j)]; });
  }

  std::string noun(int b) const {
    const Body body = kit_.bodies[at(b)];
    return body.kind == Body::Kind::piece ? structure_[PieceId{body.index}].name : "panel";
  }

  /// Drives what has all its bodies there, the tool in hand first. Returns how many.
  int drive_ready(const Problem& problem, const Order& order, const std::vector<char>& there, std::vector<char>& open,
                  bool late) {
    std::map<std::string, std::vector<std::size_t>> by_tool;
    std::vector<char> body_there(at(kit_.count()), 0);
    for (std::size_t i = 0; i < problem.items.size(); ++i)
      if (there[i])
        for (const int b : problem.items[i].bodies) body_there[at(b)] = 1;
    for (std::size_t f = 0; f < problem.fixings.size(); ++f) {
      if (!open[f] || (order.late[f] != 0) != late) continue;
      const auto& chain = kit_.chain[at(problem.fixings[f])];
      if (std::all_of(chain.begin(), chain.end(), [&](int b) { return body_there[at(b)]; }))
        by_tool[std::string(kit_.tool_of[at(order.fastener[f])]->name)].push_back(f);
    }
    int driven = 0;
    const auto drive = [&](const std::string& tool, const std::vector<std::size_t>& list) {
      for (const std::size_t f : list) {
        step(Drive{problem.fixings[f], tool});
        open[f] = 0;
        ++driven;
      }
      tool_ = tool;
    };
    if (const auto in_hand = by_tool.find(tool_); in_hand != by_tool.end()) {
      drive(in_hand->first, in_hand->second);
      by_tool.erase(in_hand);
    }
    for (const auto& [tool, list] : by_tool) drive(tool, list);
    return driven;
  }

  // --- on the site -------------------------------------------------------------------------------------------------

  std::string batch_of(const Item& item) const {
    return item.unit >= 0 ? "unit " + units_[at(item.unit)]->kind : noun(item.bodies.front());
  }

  bool stands_in_hole(const Item& item) const {
    return std::any_of(item.bodies.begin(), item.bodies.end(), [&](int b) { return kit_.footing[at(b)] >= 0; });
  }

  bool all_standing() const {
    for (std::size_t i = 0; i < site_.items.size(); ++i)
      if (!placed_[i] && stands_in_hole(site_.items[i])) return false;
    return true;
  }

  bool ready_on_site(int i) const { return (filled_ || site_.items[at(i)].grounded) && ready(order_, placed_, i); }

  /// How many of a batch could go in one after the other now.
  int reach(const std::string& key) const {
    look_at_the_clock();
    std::vector<char> there = placed_;
    int count = 0;
    for (bool more = true; more;) {
      more = false;
      for (std::size_t i = 0; i < site_.items.size(); ++i) {
        const Item& item = site_.items[i];
        if (there[i] || batch_of(item) != key || !(filled_ || item.grounded) ||
            !ready(order_, there, static_cast<int>(i)))
          continue;
        there[i] = 1;
        ++count;
        more = true;
      }
    }
    return count;
  }

  /// Braces go in after what they brace, where both orders will do.
  bool is_brace(const Item& item) const {
    const Body body = kit_.bodies[at(item.bodies.front())];
    return item.unit < 0 && body.kind == Body::Kind::piece && structure_[PieceId{body.index}].duties.has(Duty::brace);
  }

  /// Whole batches before parts of one, what is near the ground in the chain of carriers before what is far, low ones
  /// before high ones.
  std::string choose_batch() {
    std::map<std::string, std::pair<int, double>> left;  // how many, and their height
    std::map<std::string, std::pair<int, bool>> nature;  // farthest tier, brace
    for (std::size_t i = 0; i < site_.items.size(); ++i) {
      if (placed_[i]) continue;
      auto& [count, height] = left[batch_of(site_.items[i])];
      ++count;
      auto& [tier, brace] = nature[batch_of(site_.items[i])];
      tier = std::max(tier, tier_[i]);
      brace = is_brace(site_.items[i]);
      double z = 0;
      for (const int b : site_.items[i].bodies) z += kit_.box[at(b)].centre().z;
      height += z / static_cast<double>(site_.items[i].bodies.size());
    }
    if (const std::string key = forced(); !key.empty() || !why_not_.empty()) return key;
    std::string best;
    std::tuple<int, int, int, bool, double> best_rank;
    for (const auto& [key, batch] : left) {
      const int now = reach(key);
      if (now == 0) continue;
      const auto [tier, brace] = nature[key];
      const std::tuple<int, int, int, bool, double> rank{now < batch.first ? 1 : 0, now < batch.first ? -now : 0, tier,
                                                         brace, batch.second / batch.first};
      if (!best.empty() && !(rank < best_rank)) continue;
      best = key;
      best_rank = rank;
    }
    return best;
  }

  /// The batch that the person wants first, as long as nothing stands yet.
  std::string forced() {
    if (options_.first.empty() || std::find(placed_.begin(), placed_.end(), 1) != placed_.end()) return {};
    for (const Unit* u : units_)
      if (u->name == options_.first) return {};
    for (std::size_t i = 0; i < site_.items.size(); ++i) {
      const Item& item = site_.items[i];
      if (item.unit >= 0) continue;
      const Body body = kit_.bodies[at(item.bodies.front())];
      if (body.kind != Body::Kind::piece) continue;
      const Piece& piece = structure_[PieceId{body.index}];
      if (piece.name != options_.first && piece.mark != options_.first) continue;
      if (reach(batch_of(item)) > 0) return batch_of(item);
      std::vector<std::string> names;
      for (const int j : order_.before[i]) names.push_back(name_of(site_.items[at(j)]));
      if (names.empty()) names.emplace_back("the posts, in concrete that has set,");
      if (names.size() > 3) names.resize(3);
      why_not_.push_back({Severity::warning,
                          "first-impossible",
                          fmt::format("{} cannot go up first: {} must be there before", options_.first, listed(names)),
                          "choose another first stage",
                          {}});
      return {};
    }
    return {};
  }

  void bring_batch(const std::string& key) {
    std::vector<int> batch;
    for (std::size_t i = 0; i < site_.items.size(); ++i)
      if (!placed_[i] && batch_of(site_.items[i]) == key) batch.push_back(static_cast<int>(i));
    const Item& first = site_.items[at(batch.front())];
    const std::size_t count = static_cast<std::size_t>(reach(key));
    if (first.unit >= 0) make(units_[at(first.unit)]->kind);
    begin(title(first, batch, count));
    std::vector<Body> standing;
    std::vector<Workplace> racking;
    for (bool more = true; more;) {
      more = false;
      // The line-up found backwards first, so that neighbours follow each other.
      for (const int i : batch) {
        if (placed_[at(i)] || !ready_on_site(i)) continue;
        bring_item(i, standing, racking);
        more = true;
      }
    }
    if (!standing.empty()) step(Plumb{standing});
    for (const Workplace place : racking) step(Unbrace{place});
  }

  std::string title(const Item& first, const std::vector<int>& batch, std::size_t count) const {
    const bool stands = stands_in_hole(first);
    if (first.unit >= 0) {
      std::vector<std::string> names;
      for (const int i : batch) names.push_back(units_[at(site_.items[at(i)].unit)]->name);
      return (stands ? "Stand the " : "Put up the ") + listed(names);
    }
    const std::string what = noun(first.bodies.front());
    const std::string verb = stands ? "Stand" : kit_.on_wall[at(first.bodies.front())] ? "Fix" : "Put up";
    if (count == 1) return fmt::format("{} the {}", verb, what);
    return fmt::format("{} {}{} {}", verb, count == batch.size() ? "the " : "", count, plural(what));
  }

  void bring_item(int i, std::vector<Body>& standing, std::vector<Workplace>& racking) {
    look_at_the_clock();
    const Item& item = site_.items[at(i)];
    std::vector<Body> bodies;
    for (const int b : item.bodies) bodies.push_back(kit_.bodies[at(b)]);
    if (item.unit < 0) prepare_in_place(item.bodies.front());
    const Lift lift = lift_of(item);
    const Workplace from = item.unit >= 0 ? item.unit + 1 : -1;
    step(Bring{bodies, from, kSite, order_.way_in[at(i)], lift.kg, lift.share, lift.hands_mm, lift.people});
    placed_[at(i)] = 1;
    const bool stands = stands_in_hole(item);
    if (stands) {
      step(Prop{bodies});
      standing.insert(standing.end(), bodies.begin(), bodies.end());
      struts_.push_back(bodies);
    }
    const int driven = drive_ready(site_, order_, placed_, open_, false);
    take_rests_away();
    if (!stands && driven == 0 && !rests(item)) {
      step(Prop{bodies});
      rests_.push_back({i, bodies});
    }
    if (item.unit >= 0 && units_[at(item.unit)]->racks) {
      if (stands)
        braced_.push_back(from);
      else
        racking.push_back(from);
    }
  }

  /// The body below a joint's face and the one that lies on it; none where the face stands upright.
  struct Lying {
    int lower, upper;
  };
  std::optional<Lying> lying(const Joint& joint) const {
    const int a = kit_.index(joint.a), b = kit_.index(joint.b);
    if (a < 0 || b < 0 || std::abs(joint.normal.z) < 0.7) return std::nullopt;
    return joint.normal.z > 0 ? Lying{a, b} : Lying{b, a};
  }

  /// Made by itself it stands on the ground on feet far enough apart.
  bool stands_loose(const Item& item) const {
    constexpr double kOnGround = 1, kApart = 100;  // mm
    if (item.unit < 0 || !structure_.footings.empty()) return false;
    std::optional<Box> feet;
    for (const int b : item.bodies)
      if (kit_.box[at(b)].min.z <= kOnGround) feet = feet ? enclosing(*feet, kit_.box[at(b)]) : kit_.box[at(b)];
    return feet && feet->size().x >= kApart && feet->size().y >= kApart;
  }

  /// On something that is there and carries it from below.
  bool rests(const Item& item) const {
    if (stands_loose(item)) return true;
    for (const Joint& joint : structure_.joints) {
      const std::optional<Lying> pair = lying(joint);
      if (!pair || !item.set.has(pair->upper) || item.set.has(pair->lower)) continue;
      for (std::size_t k = 0; k < site_.items.size(); ++k)
        if (placed_[k] && site_.items[k].set.has(pair->lower)) return true;
    }
    return false;
  }

  /// Items that hang, through driven fixings and what they lie on, from posts in their holes or a wall; no rest counts.
  std::vector<char> held_without_rests() const {
    std::vector<char> held(site_.items.size(), 0);
    std::vector<std::size_t> open;
    const auto hold = [&](std::size_t i) {
      if (!placed_[i] || held[i]) return;
      held[i] = 1;
      open.push_back(i);
    };
    const auto hold_all_of = [&](const PieceSet& joined) {
      for (std::size_t i = 0; i < site_.items.size(); ++i)
        if (joined.meets(site_.items[i].set)) hold(i);
    };
    for (std::size_t i = 0; i < site_.items.size(); ++i)
      if (stands_in_hole(site_.items[i])) hold(i);
    for (std::size_t f = 0; f < site_.fixings.size(); ++f) {
      const auto& through = structure_.fixings[at(site_.fixings[f])].through;
      if (!open_[f] && std::find(through.begin(), through.end(), kWall) != through.end())
        hold_all_of(kit_.joined[at(site_.fixings[f])]);
    }
    while (!open.empty()) {
      const PieceSet& by = site_.items[open.back()].set;
      open.pop_back();
      for (std::size_t f = 0; f < site_.fixings.size(); ++f)
        if (const PieceSet& joined = kit_.joined[at(site_.fixings[f])]; !open_[f] && joined.meets(by))
          hold_all_of(joined);
      for (const Joint& joint : structure_.joints) {
        const std::optional<Lying> pair = lying(joint);
        if (!pair || !by.has(pair->lower)) continue;
        for (std::size_t i = 0; i < site_.items.size(); ++i)
          if (site_.items[i].set.has(pair->upper)) hold(i);
      }
    }
    return held;
  }

  /// A rest goes as soon as what lies on it is held without any.
  void take_rests_away() {
    if (rests_.empty()) return;
    const std::vector<char> held = held_without_rests();
    std::erase_if(rests_, [&](const auto& rest) {
      if (!held[at(rest.first)]) return false;
      step(Unprop{rest.second});
      return true;
    });
  }

  void fill() {
    filled_ = true;
    if (structure_.footings.empty()) return;
    begin("Fill the holes");
    for (std::size_t f = 0; f < structure_.footings.size(); ++f) step(Fill{static_cast<int>(f)});
    step(Wait{options_.rates.setting_h});
    if (!options_.heads_in_place) return;
    begin("Cut the post heads to one level");
    CutHeads heads;
    for (const Footing& footing : structure_.footings) heads.posts.push_back(footing.post);
    step(heads);
  }

  void clear_away() {
    if (struts_.empty() && braced_.empty() && rests_.empty()) return;
    begin("Take struts and battens away");
    for (const auto& rest : rests_) step(Unprop{rest.second});
    for (const auto& bodies : struts_) step(Unprop{bodies});
    for (const Workplace place : braced_) step(Unbrace{place});
  }

  const Kit& kit_;
  const Structure& structure_;
  const Tables& tables_;
  const std::vector<const Unit*>& units_;
  const Options& options_;
  Diagnostics& why_not_;
  Problem site_;
  Order order_;
  std::vector<int> tier_;
  std::vector<char> placed_, open_;
  std::set<std::string> made_;
  bool filled_ = false;
  std::string tool_;
  std::vector<std::vector<Body>> struts_;
  std::vector<std::pair<int, std::vector<Body>>> rests_;
  std::vector<Workplace> braced_;
  std::vector<Stage> stages_;
};

}  // namespace

std::vector<Stage> write_stages(const Kit& kit, const Tables& tables, const std::vector<const Unit*>& units,
                                const Options& options, Diagnostics& why_not) {
  return Writer(kit, tables, units, options, why_not).run();
}

}  // namespace garthwright::sequence
