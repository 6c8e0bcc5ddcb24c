// SPDX-License-Identifier: Apache-2.0
//
// What the studies of strength and ground found: pictures of how it bends and how much of each timber is used, then
// every check, those that fail first.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include "sheets/amounts.h"
#include "sheets/flow.h"
#include "sheets/kinds.h"
#include "sheets/leaders.h"
#include "sheets/shading.h"
#include "sheets/surroundings.h"
#include "structure/marks.h"

namespace garthwright::sheets {

namespace {

constexpr double kPictures = 92;           // height of the pictures with what is said below them
constexpr double kBar = 20, kBarFull = 2;  // width of a bar; what it shows at most (twice what is there to give)

std::vector<const Check*> worst_first(const Plan& plan) {
  std::vector<const Check*> all = all_checks(plan);
  std::stable_sort(all.begin(), all.end(), [](const Check* a, const Check* b) {
    return a->verdict != b->verdict ? a->verdict > b->verdict : a->utilisation > b->utilisation;
  });
  return all;
}

std::string percent(double part) { return fmt::format("{:.0f} %", 100 * part); }

std::string verdict_word(Verdict v) {
  return v == Verdict::fails ? "FAILS" : v == Verdict::attention ? "in doubt" : "ok";
}

// How much is used, told by length; what it means, by the filling: black fails, hatched is in doubt, white is ok.
void draw_bar(Items& items, const Rect& room, const Check& check) {
  const double used = std::clamp(check.utilisation, 0.0, kBarFull);
  const double at_one = room.left + room.width() / kBarFull;
  const Rect bar{room.left, room.top, room.left + room.width() * used / kBarFull, room.bottom};
  if (check.verdict == Verdict::fails) fill(items, corners(bar), 1);
  if (check.verdict == Verdict::attention) hatch(items, {corners(bar)}, 0.9);
  box(items, bar, kHair);
  line(items, {at_one, room.top - 0.6}, {at_one, room.bottom + 0.6}, kMedium);
}

// Combinations are long and few: each gets a letter, explained below the table.
class Letters {
 public:
  std::string of(const std::string& combination) {
    if (combination.empty()) return "";
    const auto known = std::find(names_.begin(), names_.end(), combination);
    const auto index = static_cast<std::size_t>(known - names_.begin());
    if (known == names_.end()) names_.push_back(combination);
    return index < 26 ? std::string(1, static_cast<char>('a' + index)) : fmt::format("a{}", index - 25);
  }
  std::string key() {
    std::string words;
    for (const std::string& name : names_) words += (words.empty() ? "" : ";  ") + of(name) + " " + name;
    return words;
  }

 private:
  std::vector<std::string> names_;
};

// Doubts of one kind about many places are told once, by the worst, with the others behind it.
struct Finding {
  const Check* worst;
  std::vector<const Check*> likewise;
};

std::vector<Finding> findings(const std::vector<const Check*>& checks) {
  constexpr std::size_t kMany = 3;
  std::map<CheckKind, std::size_t> doubts;
  for (const Check* c : checks) doubts[c->kind] += c->verdict == Verdict::attention;
  std::vector<Finding> out;
  for (const Check* c : checks) {
    if (c->verdict == Verdict::ok) continue;
    if (c->verdict == Verdict::attention && doubts[c->kind] >= kMany) {
      const auto same = std::find_if(out.begin(), out.end(), [&](const Finding& f) {
        return f.worst->verdict == Verdict::attention && f.worst->kind == c->kind;
      });
      if (same != out.end()) {
        same->likewise.push_back(c);
        continue;
      }
    }
    out.push_back({c, {}});
  }
  return out;
}

void lay_findings(Flow& flow, const Plan& plan, const std::vector<Finding>& found) {
  Letters letters;
  Table table;
  table.size = 2.5;
  table.leading = 1.5;
  table.columns = {{"Verdict"}, {"Used", 1},        {"0   100   200 %", -1}, {"What", -1, true},
                   {"Load", 0}, {"Asked of given"}, {"In words", -1, true}};
  table.columns[2].drawn = kBar;
  for (const Finding& f : found) {
    const Check& c = *f.worst;
    const CheckWords called = words_of(plan, c);
    std::string words = c.plain;
    for (std::size_t i = 0; i < f.likewise.size(); ++i) {
      words += (i == 0 ? " Likewise: " : "; ") + words_of(plan, *f.likewise[i]).title + ", " +
               percent(f.likewise[i]->utilisation);
    }
    if (!f.likewise.empty()) words += ".";
    const bool reckoned = c.demand != 0 || c.capacity != 0;  // else it is seen, not summed
    table.rows.push_back(
        {{verdict_word(c.verdict), reckoned ? percent(c.utilisation) : "–", "", called.title, letters.of(called.when),
          reckoned ? demand_words({plan.style, false}, c.demand, c.capacity, c.unit) : "–", words},
         false,
         [&c, reckoned](Items& items, const Rect& room) {
           if (reckoned) draw_bar(items, room, c);
         }});
  }
  lay(flow, table);
  flow.paragraph("Loads: " + letters.key() + ". The clauses behind each check stand in plan.json, under checks.",
                 kNote);
}

std::vector<const Check*> enough_of(const std::vector<const Check*>& checks) {
  std::vector<const Check*> enough;
  for (const Check* c : checks)
    if (c->verdict == Verdict::ok) enough.push_back(c);
  return enough;
}

constexpr double kEnough = 2.3, kEnoughRow = 3.4;  // size of their lettering, height of a row

std::size_t enough_columns(const Flow& flow) { return flow.area().width() > 200 ? 3 : 2; }

bool fits_here(const Flow& flow, std::size_t count) {
  return 20 + kEnoughRow * std::ceil(static_cast<double>(count) / static_cast<double>(enough_columns(flow))) <
         flow.room();
}

// Those that are all right, in columns: nothing is left out.
void lay_enough(Flow& flow, const Plan& plan, const std::vector<const Check*>& enough) {
  const std::size_t columns = enough_columns(flow);
  const double width = flow.area().width() / static_cast<double>(columns);
  for (std::size_t from = 0; from < enough.size();) {
    flow.ensure(2 * kEnoughRow);
    const auto fits = static_cast<std::size_t>(std::max(1.0, std::floor(flow.room() / kEnoughRow)));
    const std::size_t rows = std::min(fits, (enough.size() - from + columns - 1) / columns);
    const std::size_t count = std::min(enough.size() - from, rows * columns);
    for (std::size_t i = 0; i < count; ++i) {
      const double left = flow.area().left + width * static_cast<double>(i / rows);
      const double base = flow.y() + kEnoughRow * static_cast<double>(i % rows) + kCapHeight * kEnough;
      write(flow.items(), percent(enough[from + i]->utilisation), {left + 9, base}, kEnough, Lettering::bold, 1);
      write(flow.items(), shortened(words_of(plan, *enough[from + i]).title, width - 14, kEnough), {left + 11, base},
            kEnough);
    }
    flow.down(kEnoughRow * static_cast<double>(rows) + 1);
    from += count;
  }
}

// A round number of times that makes the largest shift about a twelfth of the structure.
double exaggeration(double largest_shift, double size) {
  double best = 1;
  for (const double times : {2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0}) {
    if (times * largest_shift < size / 11) best = times;
  }
  return best;
}

struct Bounds {
  double left = 1e12, right = -1e12, low = 1e12, high = -1e12;
  void add(double u, double v) {
    left = std::min(left, u), right = std::max(right, u), low = std::min(low, v), high = std::max(high, v);
  }
};

OnPage fitted(const Bounds& b, const Rect& room) {
  const double reduction = std::max({(b.right - b.left) / room.width(), (b.high - b.low) / room.height(), 1e-6});
  return {reduction,
          b.left,
          b.high,
          {room.centre().x - (b.right - b.left) / reduction / 2, room.centre().y - (b.high - b.low) / reduction / 2}};
}

double length(Vec3 v) { return std::sqrt(dot(v, v)); }

// How it moves: thin and dashed at rest, heavy and bent under load.
void draw_bent(Items& items, const Brief& brief, const strength::StructureReport& report, const Whole& whole,
               const Rect& room) {
  const solid::View view = solid::isometric_view();
  const Vec3 right = rightwards(view);
  double largest = 0;
  for (const strength::BentBar& bar : report.bent) {
    largest = std::max({largest, length(bar.from_shift), length(bar.to_shift)});
  }
  const double times = exaggeration(largest, length(whole.box.size()));
  Bounds bounds;
  const auto add = [&](Vec3 p) { bounds.add(dot(p, right), dot(p, view.up)); };
  for (const strength::BentBar& bar : report.bent) {
    add(bar.from), add(bar.to), add(bar.from + times * bar.from_shift), add(bar.to + times * bar.to_shift);
  }
  Rect picture = room;
  picture.bottom -= 13;
  const OnPage place = fitted(bounds, picture);
  const auto on_page = [&](Vec3 p) { return place(dot(p, right), dot(p, view.up)); };
  Group group{"bent", {}};
  for (const strength::BentBar& bar : report.bent)
    line(group.items, on_page(bar.from), on_page(bar.to), kHair, Dash::dashed);
  for (const strength::BentBar& bar : report.bent)
    line(group.items, on_page(bar.from + times * bar.from_shift), on_page(bar.to + times * bar.to_shift), kThick);
  items.push_back({std::move(group)});
  write(items, "How it bends: overgrown, the wind from the side", {room.left, room.bottom - 9}, kBody, Lettering::bold);
  const std::string how = times == 1 ? "drawn as much as it moves" : fmt::format("drawn {:.0f} times as much", times);
  write_block(
      items,
      fmt::format("Largest movement {}, {}. Thin and dashed: at rest. Heavy: under load.",
                  brief.lengths.exact(largest >= 10 ? std::round(largest) : std::round(10 * largest) / 10), how),
      {room.left, room.bottom - 7}, room.width(), kNote);
}

int shade_of(double used) {
  if (used < 0) return 0;
  return used > 1 ? 4 : used > 0.8 ? 3 : used > 0.5 ? 2 : 1;
}

void draw_shade_key(Items& items, Point at) {
  constexpr std::array<const char*, kShades + 1> kWords{"carries nothing", "up to 50 %", "50 to 80 %", "80 to 100 %",
                                                        "over 100 %"};
  double x = at.x;
  for (int step = 0; step <= kShades; ++step) {
    const Rect patch{x, at.y, x + 7, at.y + 4};
    shade(items, corners(patch), step);
    box(items, patch, kHair);
    const Rect ink =
        write(items, kWords[static_cast<std::size_t>(step)], {x + 8.2, at.y + 2 + kCapHeight * kNote / 2}, kNote);
    x = ink.right + 4;
  }
}

// How much of each timber is used, the worst of its checks; marks and figures beside it.
void draw_used(Items& items, const Structure& s, const strength::StructureReport& report, const solid::Solids& solids,
               const Rect& room) {
  const auto used = [&](PieceId id) {
    const auto i = static_cast<std::size_t>(id.index);
    return i < report.utilisation.size() ? report.utilisation[i] : -1.0;
  };
  const Picture picture = take_standing(s, solids);
  const solid::View& view = picture.view;
  constexpr double kColumn = 46;
  const Rect for_picture{room.left + kColumn + 3, room.top, room.right - kColumn - 3, room.bottom - 13};
  const OnPage place = fitted({picture.left, picture.right, picture.low, picture.high}, for_picture);
  draw_standing(items, s, solids, picture, place, [&](PieceId id) { return shade_of(used(id)); });

  const Vec3 right = rightwards(view);
  std::vector<Leader> left_side, right_side;
  for (const MarkGroup& group : marks(s)) {
    double worst = -1;
    for (const PieceId id : group.pieces) worst = std::max(worst, used(id));
    if (worst < 0) continue;
    // Of those that are used as much, the one nearest the margin with fewer words so far.
    const bool at_left = left_side.size() <= right_side.size();
    Leader leader{{}, fmt::format("{}  {} {}", percent(worst), group.mark, s[group.pieces.front()].name)};
    bool first = true;
    for (const PieceId id : group.pieces) {
      if (used(id) < 0.98 * worst) continue;
      const Vec3 c = world_box(s, body(id)).centre();
      const Point at = place(dot(c, right), dot(c, view.up));
      if (first || (at_left ? at.x < leader.at.x : at.x > leader.at.x)) leader.at = at;
      first = false;
    }
    (at_left ? left_side : right_side).push_back(std::move(leader));
  }
  Group labels{"labels", {}};
  draw_leaders(labels.items, left_side, {room.left, room.top, room.left + kColumn, for_picture.bottom}, true);
  draw_leaders(labels.items, right_side, {room.right - kColumn, room.top, room.right, for_picture.bottom}, false);
  items.push_back({std::move(labels)});
  write(items, "How much of each timber is used, at worst", {room.left, room.bottom - 9}, kBody, Lettering::bold);
  draw_shade_key(items, {room.left, room.bottom - 6.5});
}

std::string summary(const std::vector<const Check*>& checks) {
  const auto count = [&](Verdict v) {
    return std::count_if(checks.begin(), checks.end(), [&](const Check* c) { return c->verdict == v; });
  };
  return fmt::format("{} checks were made: {} fail, {} are in doubt, {} are enough.", checks.size(),
                     count(Verdict::fails), count(Verdict::attention), count(Verdict::ok));
}

constexpr const char* kEnoughTitle = "What is enough, and how much of it is used";

/// The pictures and what is not enough, and what is where that fits behind it. False where it does not.
bool draw_findings(std::vector<Sheet>& sheets, const Brief& brief, const AllSolids& solids,
                   const std::vector<const Check*>& checks, const std::vector<const Check*>& enough) {
  const Plan& plan = brief.plan;
  const auto& reports = plan.strength.structures;
  const bool pictured =
      std::any_of(reports.begin(), reports.end(), [](const auto& report) { return !report.bent.empty(); });
  Flow flow(sheets, brief, "checks", "Strength and ground", pictured ? Turned::landscape : Turned::portrait);
  if (checks.empty()) {
    flow.paragraph("NOTHING WAS CHECKED. No part of this plan says that the structure is strong enough.", kHeading);
    flow.paragraph("Local codes, permits and licensed practice go before it.", kHeading);
    return true;
  }
  for (const std::string& line : stand_lines(plan.stands, plan.garden, plan.site))
    flow.paragraph(line + ".", kHeading * 0.86, Lettering::bold);
  flow.paragraph(summary(checks), kHeading * 0.86, Lettering::bold);
  std::string caution =
      "All results are indicative. Local codes, permits and licensed practice go before them; an engineer must look at "
      "what fails, and at anything fixed to a house. What fails here must not be built as it is.";
  caution += taken_words(plan.site);
  flow.paragraph(caution);
  flow.down(2);
  for (std::size_t i = 0; i < plan.garden.structures.size() && i < plan.strength.structures.size(); ++i) {
    const strength::StructureReport& report = plan.strength.structures[i];
    const bool named = plan.garden.structures.size() > 1;
    if (named) flow.heading(plan.garden.structures[i].name, 60);
    if (!report.mechanism.empty()) flow.paragraph(report.mechanism);
    if (report.bent.empty()) {
      flow.paragraph("The frame could not be solved: it has no picture.");
      continue;
    }
    flow.ensure(kPictures);
    const Rect area = flow.area();
    const Rect room{area.left, flow.y(), area.right, flow.y() + kPictures};
    const double middle = area.left + area.width() * 0.36;
    draw_bent(flow.items(), brief, report, plan.wholes[i], {room.left, room.top, middle - 4, room.bottom});
    draw_used(flow.items(), plan.garden.structures[i], report, *solids[i],
              {middle + 2, room.top, room.right, room.bottom});
    flow.down(room.height() + 3);
  }
  const std::vector<Finding> found = findings(checks);
  if (!found.empty()) lay_findings(flow, plan, found);
  if (!fits_here(flow, enough.size())) return false;
  if (enough.empty()) return true;
  flow.down(2);
  flow.heading(kEnoughTitle, 3 * kEnoughRow);
  lay_enough(flow, plan, enough);
  return true;
}

}  // namespace

void draw_checks(std::vector<Sheet>& sheets, const Brief& brief, const AllSolids& solids) {
  const Plan& plan = brief.plan;
  const std::vector<const Check*> checks = worst_first(plan);
  const std::vector<const Check*> enough = enough_of(checks);
  // What is enough goes where there is room for it: behind the findings, else upright, where the next sheets go on.
  if (draw_findings(sheets, brief, solids, checks, enough) || enough.empty()) return;
  Flow flow(sheets, brief, "checks", kEnoughTitle, Turned::portrait);
  lay_enough(flow, plan, enough);
}

}  // namespace garthwright::sheets
