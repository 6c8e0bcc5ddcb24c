// SPDX-License-Identifier: Apache-2.0
//
// A plan to draw in the tests: a small arbor put together with the trade's verbs, in metric or American sizes, with a
// purchase that fills each length from the left. Sizes and prices are invented. The sheets only show a plan, so this
// one need not be the best; it has to have everything in it that a sheet can meet.
#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

#include "marking/marking.h"
#include "plan/plan.h"
#include "structure/joinery.h"
#include "structure/marks.h"
#include "structure/profile.h"

namespace garthwright::sheets {

struct Sizes {
  Units units = Units::mm;
  std::string post_name = "4x2", beam_name = "6x2", batten_name = "2x1";
  double post_w = 95, post_t = 45, beam_w = 145, beam_t = 45, batten_w = 45, batten_t = 20;
  double opening = 1250, panel_w = 610, panel_h = 1525, height = 2150, in_ground = 600;
  double side_overhang = 260, front_overhang = 240, leg = 380;
  int rafters = 6;
  std::vector<double> lengths{2400, 3000, 3600, 4200, 4800};
};

inline Sizes metric_sizes() { return {}; }
inline Sizes american_sizes() {
  Sizes s;
  s.units = Units::feet_inches;
  s.post_name = "2x4", s.beam_name = "2x6", s.batten_name = "1x2";
  s.post_w = 88.9, s.post_t = 38.1, s.beam_w = 139.7, s.beam_t = 38.1, s.batten_w = 38.1, s.batten_t = 19.05;
  s.opening = 1371.6, s.panel_w = 609.6, s.panel_h = 1524, s.height = 2133.6, s.in_ground = 609.6;
  s.lengths = {2438.4, 3048, 3657.6, 4267.2, 4876.8};
  return s;
}

template <class T>
T sure(Result<T> r) {
  if (!r) throw std::logic_error(to_string(r.error().front()));
  return *r;
}
inline void sure(Result<void> r) {
  if (!r) throw std::logic_error(to_string(r.error().front()));
}

inline timber::Section section(const std::string& name, double w, double t, const Sizes& z) {
  timber::Section s;
  s.name = name;
  s.width_mm = w;
  s.thickness_mm = t;
  s.species = "spruce";
  s.strength_class = "C16";
  s.treatment = "UC4";
  s.density_dry_kg_m3 = 450;
  s.density_as_bought_kg_m3 = 700;
  for (const double l : z.lengths) s.lengths.push_back({l, {static_cast<std::int64_t>(l * w * t / 1e5)}, {}});
  return s;
}

inline Structure sample_structure(const Sizes& z) {
  Structure s;
  s.name = "Rose arbor";
  s.pattern = "arbor";
  s.sections = {section(z.post_name, z.post_w, z.post_t, z), section(z.beam_name, z.beam_w, z.beam_t, z),
                section(z.batten_name, z.batten_w, z.batten_t, z)};
  const SectionId post{0}, beam{1};
  const double side_depth = z.panel_w + 2 * z.post_w;
  std::vector<PieceId> posts;
  for (const double x : {0.0, z.opening + z.post_t}) {
    const std::string hand = x == 0 ? "left" : "right";
    std::vector<PieceId> pair;
    for (const double y : {0.0, z.post_w + z.panel_w}) {
      pair.push_back(sure(place(s, {"post",
                                    hand + (y == 0 ? " front" : " back"),
                                    hand + " side",
                                    Role::post,
                                    post,
                                    z.height + z.in_ground,
                                    z.post_w,
                                    z.post_t,
                                    Way::up,
                                    Way::back,
                                    {x, y, -z.in_ground}})));
      s[pair.back()].ground_contact = true;
      sure(stand_in_ground(s, pair.back(), {300, z.in_ground + 100, 100}, "postmix"));
    }
    for (const double level : {150.0, 150.0 + z.post_w + z.panel_h}) {
      sure(butt_between(s,
                        {"rail",
                         hand,
                         hand + " side",
                         Role::rail,
                         post,
                         0.0,
                         z.post_w,
                         z.post_t,
                         Way::back,
                         Way::up,
                         {x, 0.0, level}},
                        body(pair[0]), body(pair[1])));
    }
    sure(place_panel(s, {hand + " trellis",
                         hand + " side",
                         "trellis",
                         z.panel_w,
                         z.panel_h,
                         30.0,
                         6.0,
                         0.4,
                         Way::back,
                         {x + 5, z.post_w, 150 + z.post_w}}));
    posts.insert(posts.end(), pair.begin(), pair.end());
    s.assemblies.push_back({hand + " side", {body(pair[0]), body(pair[1])}, true});
  }
  const double over = z.side_overhang, length = z.opening + 2 * z.post_t + 2 * over;
  std::vector<PieceId> beams;
  for (const double y : {-z.beam_t, side_depth}) {
    beams.push_back(sure(place(s, {"beam",
                                   y < 0 ? "front" : "back",
                                   "top",
                                   Role::beam,
                                   beam,
                                   length,
                                   z.beam_w,
                                   z.beam_t,
                                   Way::right,
                                   Way::up,
                                   {-over, y, z.height - z.beam_w + 40}})));
    s[beams.back()].straight = true;
    for (const End end : {End::start, End::finish}) {
      sure(shape_end(s, beams.back(), end, sure(named_profile("ogee")), Way::down));
    }
  }
  const double reach = z.front_overhang, span = side_depth + 2 * z.beam_t + 2 * reach;
  for (int i = 0; i < z.rafters; ++i) {
    const double x = (z.opening + z.post_t) * i / std::max(1, z.rafters - 1);
    const PieceId r = sure(place(s, {"rafter",
                                     fmt::format("number {}", i + 1),
                                     "top",
                                     Role::rafter,
                                     post,
                                     span,
                                     z.post_w,
                                     z.post_t,
                                     Way::back,
                                     Way::up,
                                     {x, -z.beam_t - reach, z.height + 40 - 45}}));
    for (const PieceId b : beams) sure(cross(s, {r, b, Way::down, 0.5, 0}));
    for (const End end : {End::start, End::finish}) {
      sure(shape_end(s, r, end, sure(named_profile("quarter round")), Way::down));
    }
  }
  for (std::size_t i = 0; i < posts.size(); ++i) {
    Bracing b;
    b.name = "brace";
    b.where = s[posts[i]].where;
    b.section = post;
    b.width = z.post_w;
    b.thickness = z.post_t;
    b.foot = body(posts[i]);
    b.foot_face = i < 2 ? Way::right : Way::left;
    b.head_level = z.height;
    b.leg_foot = z.leg;
    b.leg_head = z.leg;
    b.low_across = i % 2 == 0 ? 0.0 : side_depth - z.post_t;
    sure(brace(s, b));
  }
  s.pieces.back().measure_in_place = true;
  s.choices = {{"opening", "", Traced::named("opening", z.opening, "choice"), "job"},
               {"panel_width", "", Traced::named("panel width", z.panel_w, "choice"), "job"},
               {"height", "", Traced::named("height", z.height, "choice"), "default"},
               {"post", z.post_name, {}, "default"},
               {"beam_end", "ogee", {}, "default"},
               {"rafters", "", Traced::named("rafters", z.rafters, "choice", false), "job"}};
  assign_marks(s);
  return s;
}

inline void fill_purchase(Plan& plan, const Sizes& z) {
  buying::Report& r = plan.purchase;
  r.currency = {z.units == Units::mm ? "EUR" : "USD", 2};
  r.price_note = "Invented prices, for trying out.";
  std::int64_t total = 0;
  for (const timber::Section& s : plan.job.yard.sections) {
    std::vector<std::pair<double, std::string>> wanted;
    for (const PieceRow& p : plan.pieces) {
      if (p.section == s.name) wanted.insert(wanted.end(), static_cast<std::size_t>(p.quantity), {p.length_mm, p.mark});
    }
    std::stable_sort(wanted.begin(), wanted.end(), [](const auto& a, const auto& b) { return a.first > b.first; });
    while (!wanted.empty()) {
      buying::Layout layout{s.name, s.lengths.back().length_mm, 1, {}, 0};
      double at = 10;
      for (auto it = wanted.begin(); it != wanted.end();) {
        if (at + it->first > layout.length_mm) {
          ++it;
          continue;
        }
        layout.pieces.push_back({it->second, at, it->first, 0});
        at += it->first + 3;
        it = wanted.erase(it);
      }
      layout.offcut_mm = std::max(0.0, layout.length_mm - at);
      const auto same = std::find_if(r.cutting.begin(), r.cutting.end(), [&](const auto& l) {
        return l.section == layout.section && l.pieces.size() == layout.pieces.size() &&
               std::equal(l.pieces.begin(), l.pieces.end(), layout.pieces.begin(),
                          [](const auto& a, const auto& b) { return a.mark == b.mark; });
      });
      same == r.cutting.end() ? r.cutting.push_back(layout) : void(++same->count);
    }
    int lengths = 0;
    for (const auto& l : r.cutting) lengths += l.section == s.name ? l.count : 0;
    if (lengths == 0) continue;
    r.timber.push_back({s.name, s.lengths.back().length_mm, lengths, s.lengths.back().price});
    total += lengths * s.lengths.back().price.minor;
  }
  r.proof = {{total}, {total - 150}, false};
  r.fixings = {{"screw 5x100", 1, {1450}, 64, "pack of 100"}, {"coach bolt M10x150", 2, {620}, 8, "pack of 5"}};
  r.panels = {{"trellis 1525x610", 2, {2890}, 2, "each"}};
  r.ground = {{"postmix", 9, {745}, 86, "20 kg bag"}, {"gravel", 2, {560}, 28, "20 kg bag"}};
  r.extras = {{"delivery", 1, {3500}, 0, "each"}, {"end-grain preservative", 1, {1890}, 0.2, "1 l tin"}};
  for (const auto* part : {&r.fixings, &r.panels, &r.ground, &r.extras}) {
    for (const auto& l : *part) total += l.quantity * l.unit_price.minor;
  }
  r.total = {total};
}

inline Plan sample_plan(const Sizes& z = metric_sizes()) {
  Plan plan;
  plan.title = "Garden of the Weavers' Almshouse";
  plan.style.units = z.units;
  plan.job.title = plan.title;
  plan.job.date = "2031-04-09";
  plan.job.style = plan.style;
  plan.garden.structures = {sample_structure(z)};
  plan.job.yard.title = "An invented yard";
  plan.job.yard.price_date = "2031-03-01";
  plan.job.yard.sections = plan.garden.structures[0].sections;
  plan.job.yard.ground = {{"postmix", "postmix", 20, 10, {745}}, {"gravel", "gravel", 20, 12, {560}}};
  plan.job.yard.preservatives = {{"end-grain preservative", 1, 8, {1890}}};
  const Structure& s = plan.garden.structures[0];
  Whole whole;
  bool first = true;
  for (std::size_t i = 0; i < s.pieces.size(); ++i) {
    const Box b = world_box(s, body(PieceId{static_cast<int>(i)}));
    whole.box = first ? b : enclosing(whole.box, b);
    first = false;
  }
  for (const MarkGroup& g : marks(s)) {
    const Piece& p = s[g.pieces.front()];
    PieceRow row;
    row.mark = g.mark;
    row.name = p.name;
    row.structure = s.name;
    row.example = g.pieces.front();
    row.quantity = static_cast<int>(g.pieces.size());
    row.section = s[p.section].name;
    row.width_mm = p.width.value();
    row.thickness_mm = p.thickness.value();
    row.length_mm = p.length.value();
    row.volume_mm3 = p.blank().volume();
    row.mass_kg = row.volume_mm3 * 700e-9;
    plan.pieces.push_back(row);
    whole.timber_kg += row.quantity * row.mass_kg;
  }
  plan.marking = marking::mark_out(plan.garden, plan.style);
  whole.panels_kg = 12;
  plan.wholes = {whole};
  plan.cautions = {"The top frame takes three people: two at the ends, one to guide it."};
  fill_purchase(plan, z);
  return plan;
}

}  // namespace garthwright::sheets
