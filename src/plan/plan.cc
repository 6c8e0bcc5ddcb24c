// SPDX-License-Identifier: Apache-2.0
#include "plan/plan.h"

#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <cmath>
#include <future>
#include <thread>

#include "base/near.h"
#include "base/patience.h"
#include "base/quoted.h"
#include "marking/hands.h"
#include "plan/cautions.h"
#include "plan/climber_wires.h"
#include "plan/read_site.h"
#include "plan/side_by_side.h"
#include "plan/standing.h"
#include "plan/swept.h"
#include "structure/garden_frame.h"
#include "structure/marks.h"

namespace garthwright {
namespace {

constexpr double kCubicMetre = 1e9;  // mm³

void add(Diagnostics& to, const Diagnostics& more) { to.insert(to.end(), more.begin(), more.end()); }

/// Piece rows, masses and the geometry's verdict, from one set of solids.
void weigh(Plan& plan, std::size_t index, const solid::Solids& solids) {
  const Structure& structure = plan.garden.structures[index];
  add(plan.diagnostics, solid::check(structure, solids));

  Whole whole;
  Vec3 moment;
  bool first = true;
  const auto enclose = [&](Body b) {
    const Box box = world_box(structure, b);
    whole.box = first ? box : enclosing(whole.box, box);
    first = false;
  };
  for (const MarkGroup& group : marks(structure)) {
    const Piece& piece = structure[group.pieces.front()];
    const timber::Section& section = structure[piece.section];
    const solid::Measures measures = solids.measures(body(group.pieces.front()));
    PieceRow row;
    row.mark = group.mark;
    row.name = piece.name;
    row.structure = structure.name;
    row.structure_index = static_cast<int>(index);
    row.example = group.pieces.front();
    row.quantity = static_cast<int>(group.pieces.size());
    row.section = section.name;
    const SoldSize sold = sold_size(structure, piece);
    row.width_mm = sold.width_mm;
    row.thickness_mm = sold.thickness_mm;
    row.length_mm = piece.length.value();
    row.volume_mm3 = measures.volume_mm3;
    row.mass_kg = measures.volume_mm3 / kCubicMetre * section.density_as_bought_kg_m3;
    row.why = piece.length.sum(plan.style);
    for (const PieceId id : group.pieces) {
      enclose(body(id));
      whole.timber_kg += row.mass_kg;
      moment = moment + row.mass_kg * structure[id].frame.to_world(measures.centre);
    }
    plan.pieces.push_back(std::move(row));
  }
  for (std::size_t i = 0; i < structure.panels.size(); ++i) {
    const Panel& panel = structure.panels[i];
    enclose(body(PanelId{static_cast<int>(i)}));
    whole.panels_kg += panel.mass_kg;
    moment = moment + panel.mass_kg * panel.frame.to_world(panel.blank().centre());
  }
  const double mass = whole.timber_kg + whole.panels_kg;
  if (mass > 0) whole.centre = (1 / mass) * moment;
  plan.wholes.push_back(whole);
}

/// The options as they concern one structure: a first stage that is another structure's is none here. Errors when no
/// structure knows it.
Result<sequence::Options> for_structure(const Plan& plan, std::size_t index, sequence::Options options) {
  options.style = plan.style;
  const Diagnostics faults = sequence::check(plan.garden.structures[index], options);
  if (!has_error(faults)) return options;
  sequence::Options without = options;
  without.first.clear();
  const bool known_elsewhere = std::any_of(plan.garden.structures.begin(), plan.garden.structures.end(),
                                           [&](const Structure& s) { return !has_error(sequence::check(s, options)); });
  if (known_elsewhere) return without;
  return tl::make_unexpected(faults);
}

/// Stages are numbered through the whole job.
void work_out_order(Plan& plan, std::size_t index, const solid::Solids& solids, const sequence::Options& options) {
  sequence::Report report = sequence::work_out(plan.garden.structures[index], solids, options);
  std::size_t before = 0;
  for (const sequence::Report& r : plan.orders) before += r.stages.size();
  for (sequence::Stage& stage : report.stages) stage.number += static_cast<int>(before);
  plan.orders.push_back(std::move(report));
}

bool is_cancelled(const PlanOptions& options) { return options.cutting.cancel && *options.cutting.cancel; }

/// Where the holes of a structure are in the garden, and the bags that were bought to fill each.
std::vector<HoleRow> holes_of(const Plan& plan) {
  std::vector<HoleRow> holes;
  for (std::size_t i = 0; i < plan.garden.structures.size(); ++i) {
    const Structure& structure = plan.garden.structures[i];
    for (const Footing& footing : structure.footings) {
      const buying::FilledHole filled = buying::filled(structure, footing, plan.job.yard, plan.purchase.ground);
      holes.push_back({PartId{static_cast<int>(i)}, footing.post, garden_frame(structure).to_world(footing.centre),
                       footing.centre.z, footing.diameter, footing.depth, footing.gravel, filled.litres.concrete_l,
                       filled.bag, filled.bags});
    }
  }
  return holes;
}

/// What was being worked out, for the words where it took too long.
struct Doing {
  const char* what = "";
  std::size_t pieces = 0;
};

/// Every part says that nothing was checked.
void say_unchecked(Plan& plan) {
  for (std::size_t i = 0; i < plan.garden.structures.size(); ++i) {
    Check c = new_check(CheckKind::unsolved);
    c.part = PartId{static_cast<int>(i)};
    c.unit = "1";
    c.verdict = Verdict::attention;
    c.source = "EN 1990 3.3";
    c.plain = "No strength check was made: it was left out, or the time was up before it was done.";
    plan.strength.checks.push_back(std::move(c));
  }
}

Result<void> build_structures(Plan& plan, const pattern::Job& job, const pattern::Shelves& shelves,
                              const PlanOptions& options, Doing& doing) {
  Diagnostics problems;
  plan.site = read_site(job, problems);
  Result<std::vector<pattern::Built>> built = pattern::build_all(job, shelves, {options.most_pieces});
  if (!built) add(problems, built.error());
  if (!problems.empty()) return tl::make_unexpected(std::move(problems));
  for (pattern::Built& one : *built) {
    add(plan.diagnostics, one.remarks);
    doing.pieces += one.structure.pieces.size();
    marking::turn_alike(one.structure);
    plan.garden.structures.push_back(std::move(one.structure));
  }
  return {};
}

/// Whether the job wants post heads cut when the posts stand, where the ground's height is doubtful.
bool heads_in_place(const pattern::Job& job) {
  return std::any_of(job.site.begin(), job.site.end(), [](const pattern::SiteFact& fact) {
    const std::string* word = std::get_if<std::string>(&fact.value);
    return fact.name == "cut_posts" && word != nullptr && *word == "in place";
  });
}

/// As they are bought: posts that are cut in their places are longer.
Garden as_bought(Garden garden) {
  const Traced more = Traced::named("left long", marking::kLeftLong);
  for (Structure& s : garden.structures)
    for (const Footing& footing : s.footings) {
      Piece& post = s[footing.post];
      post.length = post.length + more;
      if (post.frame.x.z < 0) post.frame.origin = post.frame.origin - more.value() * post.frame.x;  // the foot stays
    }
  return garden;
}

/// Half of the time there is at most, so that some is left for the checks.
Result<void> buy(Plan& plan, const pattern::Job& job, const PlanOptions& options) {
  Patience half;
  if (const auto left = seconds_left()) half.until = Patience::in(*left / 2);
  const Waiting waiting(half);
  const bool longer = heads_in_place(job);
  const Garden lengthened = longer ? as_bought(plan.garden) : Garden{};
  const Garden& bought = longer ? lengthened : plan.garden;
  plan.purchase = job.yards.empty() ? buying::buy(bought, job.yard, job.saw, options.on_hand, options.cutting)
                                    : buying::buy(bought, job.yards, job.saw, options.on_hand, options.cutting);
  if (is_cancelled(options)) throw OutOfPatience(true);
  if (has_error(plan.purchase.diagnostics)) return tl::make_unexpected(plan.purchase.diagnostics);
  add(plan.diagnostics, plan.purchase.diagnostics);
  return {};
}

/// The wind at which the first thing gives asks nothing of the checks: where there is a second processor it is looked
/// for there meanwhile. The answer is the same either way.
class SearchForWind {
 public:
  SearchForWind(const Plan& plan, const PlanOptions& options) : plan_(plan) {
    if (!options.stands || !options.checks || std::thread::hardware_concurrency() < 2) return;
    found_ = std::async(std::launch::async, [this, scopes = Waiting::innermost()] {
      const WaitingAs caller(scopes);
      const Waiting unless_stopped({&stopped_, {}});
      return stands_of(plan_.garden, plan_.site);
    });
  }
  ~SearchForWind() { stopped_ = true; }  // the future waits for the thread
  SearchForWind(const SearchForWind&) = delete;
  SearchForWind& operator=(const SearchForWind&) = delete;

  /// Once. Throws OutOfPatience as the search does.
  std::vector<Stand> found() { return found_.valid() ? found_.get() : stands_of(plan_.garden, plan_.site); }

 private:
  const Plan& plan_;
  std::atomic<bool> stopped_ = false;
  std::future<std::vector<Stand>> found_;  // ends before what it uses
};

void check_strength(Plan& plan, const PlanOptions& options) {
  constexpr double kShare = 0.75;  // of the time left: the order of work is quick, and worth having without
  if (!options.checks) plan.left_out.push_back(Study::checks);
  const bool done = options.checks && in_time(
                                          Study::checks, plan.garden, options.order ? kShare : 1,
                                          [&] {
                                            Standing stands = standing(plan.garden, plan.site);
                                            plan.strength = std::move(stands.strength);
                                            plan.ground = std::move(stands.ground);
                                          },
                                          plan.left_out, plan.diagnostics);
  if (!done) say_unchecked(plan);
}

Result<std::vector<sequence::Options>> order_options(const Plan& plan, const sequence::Options& wanted) {
  std::vector<sequence::Options> of_each;
  for (std::size_t i = 0; i < plan.garden.structures.size(); ++i) {
    Result<sequence::Options> one = for_structure(plan, i, wanted);
    if (!one) return tl::make_unexpected(one.error());
    of_each.push_back(*std::move(one));
  }
  return of_each;
}

void work_out_orders(Plan& plan, const std::vector<solid::Solids>& solids,
                     const std::optional<std::vector<sequence::Options>>& of_each) {
  if (!of_each) {
    plan.left_out.push_back(Study::order);
    return;
  }
  const bool done = in_time(
      Study::order, plan.garden, 1,
      [&] {
        for (std::size_t i = 0; i < plan.garden.structures.size(); ++i)
          work_out_order(plan, i, solids[i], (*of_each)[i]);
      },
      plan.left_out, plan.diagnostics);
  if (!done) plan.orders.clear();
  for (const sequence::Report& order : plan.orders) add(plan.diagnostics, order.diagnostics);
}

/// No strength check could be made of it.
bool is_unsolved(const Plan& plan, PartId part) {
  return std::any_of(plan.strength.checks.begin(), plan.strength.checks.end(), [&](const Check& c) {
    return c.kind == CheckKind::unsolved && c.verdict == Verdict::attention && c.part == part;
  });
}

void look_for_the_wind(Plan& plan, const PlanOptions& options, SearchForWind& search) {
  const bool checked = std::find(plan.left_out.begin(), plan.left_out.end(), Study::checks) == plan.left_out.end();
  if (!options.stands || !checked) {
    plan.left_out.push_back(Study::stands);
    return;
  }
  in_time(
      Study::stands, plan.garden, 1,
      [&] {
        plan.stands = search.found();
        std::erase_if(plan.stands, [&](const Stand& s) { return is_unsolved(plan, s.part); });
      },
      plan.left_out, plan.diagnostics);
}

/// A top function of steps, what people wait for most first.
Result<Plan> planned(const pattern::Job& job, const pattern::Shelves& shelves, const PlanOptions& options,
                     std::vector<solid::Solids>* keep, Doing& doing) {
  Plan plan;
  plan.title = job.title;
  plan.style = job.style;
  plan.job = job;
  plan.garden = {{}, job.existing, job.ground};
  doing.what = "building the structures";
  if (const Result<void> built = build_structures(plan, job, shelves, options, doing); !built)
    return tl::make_unexpected(built.error());
  std::optional<std::vector<sequence::Options>> ordered;
  if (options.order) {
    sequence::Options wanted = *options.order;
    wanted.heads_in_place = heads_in_place(job);
    Result<std::vector<sequence::Options>> of_each = order_options(plan, wanted);
    if (!of_each) return tl::make_unexpected(of_each.error());
    ordered = *std::move(of_each);
  }

  doing.what = "making the solids";
  std::vector<solid::Solids> solids;
  for (std::size_t i = 0; i < plan.garden.structures.size(); ++i) {
    look_at_the_clock();
    solids.emplace_back(plan.garden.structures[i]);
    weigh(plan, i, solids.back());
  }
  say_house(job, plan.garden, plan.site);
  const bool names_climber = std::any_of(job.site.begin(), job.site.end(),
                                         [](const pattern::SiteFact& fact) { return fact.name == "climber"; });
  add(plan.diagnostics, climber_wires(plan.garden, plan.site, names_climber));
  for (Existing& thing : plan.garden.existing)
    thing.at.z += plan.garden.ground.at(thing.at.x, thing.at.y).level.value();
  add(plan.diagnostics, side_by_side(plan.garden, solids, plan.style));
  add(plan.diagnostics, swept(plan.garden, solids, plan.style));

  doing.what = "finding what to buy";
  if (const Result<void> bought = buy(plan, job, options); !bought) return tl::make_unexpected(bought.error());
  plan.holes = holes_of(plan);
  plan.marking = marking::mark_out(plan.garden, plan.style, job.saw,
                                   heads_in_place(job) ? marking::Heads::in_place : marking::Heads::at_the_bench);
  add(plan.diagnostics, marking::warnings(plan.marking.templates));

  {
    SearchForWind search(plan, options);
    check_strength(plan, options);
    work_out_orders(plan, solids, ordered);
    look_for_the_wind(plan, options, search);
  }
  plan.cautions = cautions(plan);
  if (keep) *keep = std::move(solids);
  return plan;
}

}  // namespace

Result<Plan> make_plan(const pattern::Job& job, const pattern::Shelves& shelves, const PlanOptions& options,
                       std::vector<solid::Solids>* keep) {
  if (keep) keep->clear();
  if (job.orders.size() > options.most_structures)
    return fail("too-large", fmt::format("the job has {} structures", job.orders.size()),
                fmt::format("at most {} are planned at once here: part it into several jobs", options.most_structures),
                job.orders[options.most_structures].where);
  Doing doing;
  try {
    const Waiting waiting({options.cutting.cancel, {}});
    return planned(job, shelves, options, keep, doing);
  } catch (const OutOfPatience& out) {
    if (out.cancelled()) return fail("cancelled", "the plan was stopped before it was whole");
    return fail("too-long",
                fmt::format("the time was up while {}: {} structures with {} pieces so far are too much for it",
                            doing.what, job.orders.size(), doing.pieces),
                "allow more time, part the job into several, or choose fewer pieces");
  }
}

bool is_whole(const Plan& plan) {
  return std::none_of(plan.diagnostics.begin(), plan.diagnostics.end(),
                      [](const Diagnostic& d) { return d.code == kNotInTime; });
}

std::vector<const Check*> all_checks(const Plan& plan) {
  std::vector<const Check*> all;
  for (const auto* checks : {&plan.strength.checks, &plan.ground.checks})
    for (const Check& c : *checks) all.push_back(&c);
  return all;
}

int count(const Plan& plan, Verdict verdict) {
  const std::vector<const Check*> all = all_checks(plan);
  return static_cast<int>(std::count_if(all.begin(), all.end(), [&](const Check* c) { return c->verdict == verdict; }));
}

const Check* worst_check(const Plan& plan) {
  const std::vector<const Check*> all = all_checks(plan);
  const auto worst = std::max_element(all.begin(), all.end(), [](const Check* a, const Check* b) {
    return std::pair{a->verdict, a->utilisation} < std::pair{b->verdict, b->utilisation};
  });
  return worst == all.end() ? nullptr : *worst;
}

CheckWords words_of(const Plan& plan, const Check& check) {
  return words_of(check, plan.garden.structures[static_cast<std::size_t>(check.part.index)]);
}

Result<std::vector<std::string>> why(const Plan& plan, std::string_view mark) {
  std::vector<std::string> known;
  for (const PieceRow& row : plan.pieces) {
    known.push_back(row.mark);
    if (row.mark != mark) continue;
    const Piece& piece = plan.garden.structures[static_cast<std::size_t>(row.structure_index)][row.example];
    std::vector<std::string> story = piece.length.story(plan.style);
    story.front() = fmt::format("{} ({}) is {}", row.mark, row.name, story.front());
    return story;
  }
  return fail("unknown-mark", "no piece has the mark " + garthwright::quoted(mark), suggest(mark, known));
}

}  // namespace garthwright
