// SPDX-License-Identifier: Apache-2.0
#include "assembly/planner.h"

#include <algorithm>
#include <array>
#include <memory>
#include <set>
#include <tuple>

#include "assembly/access.h"
#include "assembly/contacts.h"
#include "assembly/groups.h"
#include "assembly/motion.h"

namespace garthwright::assembly {
namespace {

constexpr Vec3 kDown{0, 0, -1};
constexpr int kMostSets = 3000;          // sets tried for a way out of several shifts, per group
constexpr long kMostCuts = 100'000'000;  // spent on ways of several shifts in all: a second or two
constexpr int kMostRetries = 200;        // other partings tried after one led nowhere because of a fastener
constexpr double kFarAway = 100000;      // mm; length of a first shift that is prolonged backwards anyway

/// One parting of a group: `moving` leaves the rest along `way`.
struct Parting {
  PieceSet moving;
  WayOut way;
};

struct Search {
  std::vector<Parting> partings;
  bool exhausted = true;
};

/// A group of the tree: a leaf, or the joining of `moving` onto `staying`.
struct Node {
  Group group;
  std::unique_ptr<Node> moving, staying;
  WayOut way;
  std::vector<Drive> can_drive;
};

class Planner {
 public:
  explicit Planner(const Assembly& assembly)
      : assembly_(assembly),
        blocking_(assembly, candidate_ways(assembly)),
        contacts_(assembly),
        access_(assembly),
        count_(static_cast<int>(assembly.pieces.size())),
        fixed_(count_),
        site_(solids_of(assembly.site)) {
    for (int i = 0; i < count_; ++i) {
      if (assembly.pieces[i].fixed) fixed_.insert(i);
      for (const ConvexPart& part : assembly.pieces[i].parts) all_boxes_ &= part.is_aligned_box;
    }
    for (const ConvexPart& solid : site_) all_boxes_ &= solid.is_aligned_box;
  }

  PlanResult run() {
    const Group whole{PieceSet::all(count_), !fixed_.empty() || !assembly_.site.empty()};
    const auto tree = build(whole, PieceSet(fastener_count()));
    if (!tree) return refusal();
    PlanResult result;
    result.buildable = result.proved = true;
    PieceSet driven(fastener_count());
    write(*tree, result.plan, driven);
    return result;
  }

 private:
  int fastener_count() const { return static_cast<int>(assembly_.fasteners.size()); }

  // --- the tree ----------------------------------------------------------------------------------------------------

  /// `driven_later`: fasteners that some larger group has room for.
  std::unique_ptr<Node> build(const Group& group, PieceSet driven_later) {
    auto node = std::make_unique<Node>();
    node->group = group;
    node->can_drive = drives(group);
    for (const Drive& d : node->can_drive) driven_later.insert(d.fastener);
    if (failed_.contains({group, driven_later})) return nullptr;

    const std::vector<int> open = undriven(group.pieces, driven_later);
    if (is_leaf(group)) {
      if (open.empty()) return node;
      remember_failure({group, driven_later}, open);
      return nullptr;
    }
    const Ties ties = ties_of(open);
    bool parted = false;
    for (const Stage stage : kStages) {
      for (Parting& p : (this->*stage)(group, ties).partings) {
        parted = true;
        const Group staying{group.pieces - p.moving, group.on_site};
        node->moving = build({p.moving, false}, driven_later);
        node->staying = node->moving ? build(staying, driven_later) : nullptr;
        node->way = p.way;
        if (node->staying) return node;
        if (++retries_ > kMostRetries || first_failure_->undriven.empty()) return nullptr;
      }
    }
    if (!parted) remember_failure({group, driven_later}, open);
    failed_.insert({group, driven_later});
    return nullptr;
  }

  bool is_leaf(const Group& group) const {
    return group.on_site ? group.pieces.within(fixed_) : group.pieces.count() <= 1;
  }

  /// Every fastener that can be driven with the group as it is, on the site as it stands or in some attitude off it.
  std::vector<Drive> drives(const Group& group) const {
    std::vector<Drive> list;
    for (int f = 0; f < fastener_count(); ++f) {
      if (!access_.joined(f).within(group.pieces)) continue;
      if (auto d = drive(f, group)) list.push_back(*d);
    }
    return list;
  }

  std::optional<Drive> drive(int f, const Group& group) const {
    if (access_.fit(f, group.pieces, kDown, true) == Fit::fits) return Drive{f, kDown, true};
    if (group.on_site) return std::nullopt;
    const bool site_matters = !assembly_.site.empty();
    for (Vec3 down : {kDown, Vec3{0, 0, 1}, Vec3{0, 1, 0}, Vec3{0, -1, 0}, Vec3{1, 0, 0}, Vec3{-1, 0, 0}}) {
      if (access_.fit(f, group.pieces, down, false) == Fit::fits) return Drive{f, down, !site_matters};
    }
    return std::nullopt;
  }

  std::vector<int> undriven(const PieceSet& pieces, const PieceSet& driven_later) const {
    std::vector<int> list;
    for (int f = 0; f < fastener_count(); ++f) {
      if (access_.joined(f).within(pieces) && !driven_later.has(f)) list.push_back(f);
    }
    return list;
  }

  Ties ties_of(const std::vector<int>& fasteners) const {
    if (fasteners.empty()) return {};
    Ties ties(count_, PieceSet(count_));
    for (int f : fasteners) access_.joined(f).for_each([&](int i) { ties[i] |= access_.joined(f); });
    return ties;
  }

  // --- partings: one piece by one shift, several by one shift, any by several shifts -------------------------------

  Search single_partings(const Group& group, const Ties& ties) const {
    struct Choice {
      std::tuple<int, double, int> rank;
      int way;
    };
    std::vector<Choice> choices;
    (group.pieces - fixed_).for_each([&](int i) {
      if (!group.on_site && group.pieces.count() == 1) return;
      if (!ties.empty() && (ties[i] & group.pieces).count() > 1) return;
      PieceSet alone(count_);
      alone.insert(i);
      std::optional<Choice> best;
      for (int way = 0; way < way_count(); ++way) {
        if (!blocking_.can_leave(way, i, group.pieces, group.on_site)) continue;
        const Choice choice{{rank(way, alone, group), -height(i), i}, way};
        if (!best || choice.rank < best->rank) best = choice;
      }
      if (best) choices.push_back(*best);
    });
    std::sort(choices.begin(), choices.end(), [](const Choice& a, const Choice& b) { return a.rank < b.rank; });
    prefer_coherent(choices, group);
    Search search;
    for (const Choice& c : choices) {
      PieceSet alone(count_);
      alone.insert(std::get<2>(c.rank));
      search.partings.push_back({alone, {{}, blocking_.ways()[c.way]}});
    }
    return search;
  }

  /// Moves the first choice that leaves the rest in one cluster to the front.
  template <class Choices>
  void prefer_coherent(Choices& choices, const Group& group) const {
    const int clusters = cluster_count(group, fixed_, contacts_);
    const auto coherent = std::find_if(choices.begin(), choices.end(), [&](const auto& c) {
      Group rest = group;
      rest.pieces.erase(std::get<2>(c.rank));
      return cluster_count(rest, fixed_, contacts_) <= clusters;
    });
    if (coherent != choices.end()) std::rotate(choices.begin(), coherent, coherent + 1);
  }

  /// Small sets first: a set that is found needs no larger one to be looked at.
  Search small_straight_partings(const Group& group, const Ties& ties) const {
    for (int most = 2; most < group.pieces.count(); most *= 2) {
      Search found = straight_partings_up_to(most, group, ties);
      if (!found.partings.empty()) return found;
    }
    return {};
  }

  Search straight_partings(const Group& group, const Ties& ties) const {
    return straight_partings_up_to(count_, group, ties);
  }

  Search straight_partings_up_to(int most, const Group& group, const Ties& ties) const {
    std::vector<std::tuple<int, int, PieceSet, int>> choices;  // size, rank, set, way
    for (int way = 0; way < way_count(); ++way) {
      (group.pieces - fixed_).for_each([&](int i) {
        const auto set = leaving_with(i, way, group, fixed_, blocking_, ties, most);
        if (set) choices.emplace_back(set->count(), rank(way, *set, group), *set, way);
      });
    }
    std::sort(choices.begin(), choices.end());
    Search search;
    std::set<PieceSet> seen;
    for (const auto& [size, rank, set, way] : choices) {
      if (seen.insert(set).second) search.partings.push_back({set, {{}, blocking_.ways()[way]}});
    }
    return search;
  }

  using Stage = Search (Planner::*)(const Group&, const Ties&) const;
  static const std::array<Stage, 4> kStages;

  Search winding_partings(const Group& group, const Ties& ties) const {
    Search search;
    if (cuts_left_ <= 0) {
      search.exhausted = false;
      return search;
    }
    const Ways ways = local_ways(group);
    std::set<std::pair<int, PieceSet>> sets;
    for (const Vec3& way : ways) search.exhausted &= add_starting_sets(sets, way, group, ties);
    search.exhausted &= all_boxes_;
    for (const auto& [size, set] : sets) {
      if (cuts_left_ <= 0) {
        search.exhausted = false;
        break;
      }
      const MotionSearch found = find_way_out(parts_of(set, false), parts_of(group.pieces - set, group.on_site), ways,
                                              assembly_.touch, {cuts_left_ / 4 + 1});
      cuts_left_ -= found.cuts;
      if (found.way_out) {
        search.partings.push_back({set, *found.way_out});
        return search;
      }
      search.exhausted &= found.exhausted;
    }
    return search;
  }

  /// All sets that can start along `way`: unions of what single pieces carry along. False when there are too many.
  bool add_starting_sets(std::set<std::pair<int, PieceSet>>& sets, Vec3 way, const Group& group,
                         const Ties& ties) const {
    std::set<PieceSet> basis;
    (group.pieces - fixed_).for_each([&](int i) {
      if (auto set = starting_with(i, way, group, fixed_, contacts_, ties)) basis.insert(*set);
    });
    std::set<PieceSet> all;
    for (const PieceSet& b : basis) {
      std::set<PieceSet> more{b};
      for (const PieceSet& a : all) {
        more.insert(a | b);
        if (static_cast<int>(all.size() + more.size()) > kMostSets) break;
      }
      all.merge(more);
      if (static_cast<int>(all.size()) > kMostSets) break;
    }
    for (const PieceSet& s : all) {
      if (group.on_site || !(s == group.pieces)) sets.emplace(s.count(), s);
    }
    return static_cast<int>(all.size()) <= kMostSets;
  }

  /// The axes, edges askew of the pieces concerned, and the lines in which two contact faces meet.
  Ways local_ways(const Group& group) const {
    Ways ways = axis_ways();
    if (all_boxes_) return ways;
    constexpr std::size_t most = 40;
    std::vector<Vec3> normals;
    group.pieces.for_each([&](int i) {
      for (const Vec3& n : contacts_.normals(i)) {
        if (std::none_of(normals.begin(), normals.end(), [&](Vec3 m) { return norm(cross(m, n)) < 1e-9; })) {
          normals.push_back(n);
        }
      }
    });
    for (std::size_t a = 0; a < normals.size(); ++a) {
      for (std::size_t b = 0; b < a && ways.size() < most; ++b) {
        add_way(ways, with_whole_components(cross(normals[a], normals[b])));
      }
    }
    for (std::size_t k = 6; k < blocking_.ways().size() && ways.size() < most; k += 2) {
      if (k >= diagonal_ways().size()) add_way(ways, blocking_.ways()[k]);
    }
    return ways;
  }

  std::vector<const ConvexPart*> parts_of(const PieceSet& set, bool with_site) const {
    std::vector<const ConvexPart*> parts;
    set.for_each([&](int i) {
      for (const ConvexPart& part : assembly_.pieces[i].parts) parts.push_back(&part);
    });
    if (with_site) {
      for (const ConvexPart& solid : site_) parts.push_back(&solid);
    }
    return parts;
  }

  int way_count() const { return static_cast<int>(blocking_.ways().size()); }
  double height(int piece) const { return access_.reach(piece, {0, 0, 1}); }

  /// Ways a person would rather take come first: in from above, from the side, from below, then the slanting ones.
  /// A group put together off the site still does well to keep clear of what stands there.
  int rank(int way, const PieceSet& moving, const Group& group) const {
    static constexpr int kAxisRank[6] = {1, 1, 1, 1, 0, 2};
    int rank = way < 6 ? kAxisRank[way] : way < static_cast<int>(diagonal_ways().size()) ? 3 : 4;
    if (!group.on_site) {
      moving.for_each([&](int i) {
        if (blocking_.hits_site(way, i)) rank |= 16;
        if (blocking_.hit(way, i).meets(fixed_)) rank |= 8;
      });
    }
    return rank;
  }

  // --- writing the plan --------------------------------------------------------------------------------------------

  void write(const Node& node, Plan& plan, PieceSet& driven) const {
    if (node.moving) {
      write(*node.staying, plan, driven);
      write(*node.moving, plan, driven);
      Move move{node.moving->group.pieces.members(), node.staying->group.pieces.members(), {}, {}};
      set_way_in(move, node.way);
      plan.push_back(move);
    }
    for (const Drive& d : node.can_drive) {
      if (driven.has(d.fastener)) continue;
      driven.insert(d.fastener);
      plan.push_back(d);
    }
  }

  static void set_way_in(Move& move, const WayOut& out) {
    const Vec3 in = -1 * out.exit;
    if (out.shifts.empty() && name_of(in)) {
      move.way_in = in;
      return;
    }
    const Vec3 far = std::ceil(kFarAway / norm(in)) * in;
    move.path.push_back({std::round(far.x * 1e3) / 1e3, std::round(far.y * 1e3) / 1e3, std::round(far.z * 1e3) / 1e3});
    for (auto s = out.shifts.rbegin(); s != out.shifts.rend(); ++s) move.path.push_back(-1 * *s);
  }

  // --- why not -----------------------------------------------------------------------------------------------------

  struct Failure {
    Group group;
    std::vector<int> undriven;
  };

  void remember_failure(std::pair<Group, PieceSet> state, std::vector<int> undriven) {
    if (!first_failure_) first_failure_ = Failure{state.first, std::move(undriven)};
    failed_.insert(std::move(state));
  }

  PlanResult refusal() const {
    PlanResult result;
    const Failure& f = *first_failure_;
    const bool fasteners_to_blame = is_leaf(f.group) || (!f.undriven.empty() && !locked(f.group, {}, nullptr));
    if (fasteners_to_blame) {
      result.blocked_fasteners = fewest_fasteners(f);
      result.proved = true;
    } else {
      result.blocked_pieces = fewest_pieces(f.group, result.proved);
    }
    return result;
  }

  /// Lets go of pieces as long as something stays locked: half of them at a time, at last one by one.
  std::vector<int> fewest_pieces(Group group, bool& proved) const {
    locked(group, {}, &proved);
    for (std::size_t share = (group.pieces.count() + 1) / 2; share > 0; share /= 2) let_go(group, share, proved);
    return group.pieces.members();
  }

  void let_go(Group& group, std::size_t share, bool& proved) const {
    const std::vector<int> members = group.pieces.members();
    for (std::size_t first = 0; first < members.size(); first += share) {
      Group fewer = group;
      for (std::size_t k = first; k < std::min(first + share, members.size()); ++k) fewer.pieces.erase(members[k]);
      fewer.on_site = group.on_site && (fewer.pieces.meets(fixed_) || !assembly_.site.empty());
      bool fewer_proved = false;
      if (const auto core = locked_part(fewer, fewer_proved)) {
        group = *core;
        proved = fewer_proved;
      }
    }
  }

  /// Takes a group apart as far as it goes; the first part of which nothing can leave, if there is one.
  std::optional<Group> locked_part(const Group& whole, bool& proved) const {
    std::vector<Group> open{whole};
    while (!open.empty()) {
      const Group group = open.back();
      open.pop_back();
      if (is_leaf(group)) continue;
      const auto moving = first_to_leave(group, {}, proved);
      if (!moving) return group;
      open.push_back({*moving, false});
      open.push_back({group.pieces - *moving, group.on_site});
    }
    return std::nullopt;
  }

  std::optional<PieceSet> first_to_leave(const Group& group, const Ties& ties, bool& proved) const {
    for (const Stage stage : kStages) {
      const Search found = (this->*stage)(group, ties);
      if (!found.partings.empty()) return found.partings.front().moving;
      proved = found.exhausted;
    }
    return std::nullopt;
  }

  /// No part of the group can leave the rest.
  bool locked(const Group& group, const Ties& ties, bool* proved) const {
    bool searched_all = false;
    if (is_leaf(group) || first_to_leave(group, ties, searched_all)) return false;
    if (proved) *proved = searched_all;
    return true;
  }

  std::vector<int> fewest_fasteners(const Failure& failure) const {
    if (is_leaf(failure.group)) return failure.undriven;
    std::vector<int> blamed = failure.undriven;
    // Those that fit when nothing but what they join is there are let off first.
    std::vector<int> order = blamed;
    std::stable_partition(order.begin(), order.end(), [&](int f) {
      return drive(f, {access_.joined(f), failure.group.on_site && access_.joined(f).meets(fixed_)}).has_value();
    });
    for (int f : order) {
      std::vector<int> fewer = blamed;
      std::erase(fewer, f);
      if (!fewer.empty() && locked(failure.group, ties_of(fewer), nullptr)) blamed = fewer;
    }
    return blamed;
  }

  const Assembly& assembly_;
  Blocking blocking_;
  Contacts contacts_;
  Access access_;
  int count_;
  PieceSet fixed_;
  std::vector<ConvexPart> site_;
  bool all_boxes_ = true;
  int retries_ = 0;
  mutable long cuts_left_ = kMostCuts;
  std::set<std::pair<Group, PieceSet>> failed_;
  std::optional<Failure> first_failure_;
};

const std::array<Planner::Stage, 4> Planner::kStages{&Planner::single_partings, &Planner::small_straight_partings,
                                                     &Planner::straight_partings, &Planner::winding_partings};

}  // namespace

PlanResult plan_assembly(const Assembly& assembly) { return Planner(assembly).run(); }

std::vector<Removable> first_removable(const Assembly& assembly, const Ways& ways) {
  const Blocking blocking(assembly, ways);
  const PieceSet all = PieceSet::all(static_cast<int>(assembly.pieces.size()));
  std::vector<Removable> list;
  for (int i = 0; i < all.size(); ++i) {
    if (assembly.pieces[i].fixed) continue;
    Removable removable{i, {}};
    for (int way = 0; way < static_cast<int>(ways.size()); ++way) {
      if (blocking.can_leave(way, i, all, true)) removable.ways.push_back(ways[way]);
    }
    if (!removable.ways.empty()) list.push_back(removable);
  }
  return list;
}

}  // namespace garthwright::assembly
