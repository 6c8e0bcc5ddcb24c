// SPDX-License-Identifier: Apache-2.0
//
// The rod: a paper strip, full size, with every position that equal pieces share. Stuck to a lath it marks all of them
// at once.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sheets/dimension.h"
#include "sheets/flow.h"
#include "sheets/kinds.h"

namespace garthwright::sheets {

namespace {

constexpr double kStrip = 30, kApart = 3.5;  // height of a strip, white between two
constexpr double kRodWords = 24.5;           // at most, of a number or the words beside it
constexpr double kOverlap = 10;
constexpr std::ptrdiff_t kFewLines = 3;
constexpr double kSlot = 8.4;  // of a number and the words beside it, descenders included

struct Place {
  double at;
  std::string what;
  bool joint = false;  ///< a shoulder or a hole, not an end
};

std::string words_at(const marking::Mark& m) {
  using marking::MarkKind;
  if (m.kind == MarkKind::hole) return m.fixing ? m.fixing->item : "hole";
  if (!m.seats.empty() && !m.is_near) return "";  // the second line of what was named at the first
  return m.against.empty() ? std::string(name(m.kind)) : m.against;
}

std::vector<Place> places(const marking::MarkList& list, double length) {
  using marking::MarkKind;
  std::vector<Place> out;
  for (const marking::Mark& m : list.marks) {
    // Screws follow their rows; centre lines lie between two that are here.
    if (m.kind == MarkKind::depth || m.kind == MarkKind::centre) continue;
    if (m.fixing && (!m.fixing->first || m.diameter_mm < 8)) continue;
    if (m.at_mm < -0.05 || m.at_mm > length + 0.05) continue;
    // The second line of a seat is a place like any other, but no joint more.
    const bool joint =
        m.kind == MarkKind::shoulder || m.kind == MarkKind::hole || (m.kind == MarkKind::seat && m.is_near);
    const std::string what = words_at(m);
    const auto known =
        std::find_if(out.begin(), out.end(), [&](const Place& p) { return std::abs(p.at - m.at_mm) < 0.05; });
    if (known == out.end()) {
      out.push_back({m.at_mm, what, joint});
      continue;
    }
    known->joint = known->joint || joint;
    if (known->what.empty()) known->what = what;
  }
  std::sort(out.begin(), out.end(), [](const Place& a, const Place& b) { return a.at < b.at; });
  return out;
}

/// Lines of many alike that follow each other at one pitch: a lath of that width steps them off.
bool at_one_pitch(const std::vector<Place>& marks) {
  constexpr double kEven = 0.6;  // mm: nobody marks nearer
  std::vector<double> at;
  for (const Place& p : marks)
    if (p.joint) at.push_back(p.at);
  if (at.size() < 5) return false;
  const double pitch = (at.back() - at.front()) / static_cast<double>(at.size() - 1);
  for (std::size_t i = 0; i < at.size(); ++i)
    if (std::abs(at[i] - at.front() - static_cast<double>(i) * pitch) > kEven) return false;
  return true;
}

/// Boards are set by the lines of what they are fixed to.
bool is_board(const Brief& brief, const marking::MarkList& list) {
  return brief.plan.garden.structures[static_cast<std::size_t>(list.structure)][list.pieces.front()].role ==
         Role::board;
}

// The part of the rod from `from` on, between x = left and right of the page.
void draw_strip(Items& items, const Brief& brief, const std::string& title, const std::vector<Place>& marks,
                double from, double to, const Rect& strip, int number, int count) {
  const auto x = [&](double at) { return strip.left + at - from; };
  const double right = x(to);
  line(items, {strip.left, strip.top}, {right, strip.top}, kMedium);
  line(items, {strip.left, strip.bottom}, {right, strip.bottom}, kMedium);
  line(items, {strip.left, strip.top}, {strip.left, strip.bottom}, number == 1 ? kHeavy : kHair,
       number == 1 ? Dash::solid : Dash::dashed);
  std::vector<double> centres, widths;
  std::vector<const Place*> here;
  for (const Place& p : marks) {
    if (p.at < from - 0.01 || p.at > to + 0.01) continue;
    here.push_back(&p);
    centres.push_back(x(p.at) + kSlot / 2 + 0.3);
    widths.push_back(kSlot);
  }
  const std::vector<double> at = spread(centres, widths, 0.5, strip.left + 1, strip.right);
  for (std::size_t i = 0; i < here.size(); ++i) {
    const double tick = x(here[i]->at), text = at[i] - kSlot / 2;
    line(items, {tick, strip.bottom}, {tick, strip.bottom - 3}, kThick);
    polyline(items, {{tick, strip.bottom - 3}, {text + 0.2, strip.bottom - 4.2}, {text + 0.2, strip.top + 1}}, kHair);
    write(items, shortened(brief.lengths.marked(here[i]->at), kRodWords, kDrawn, Lettering::bold),
          {text + 3.3, strip.bottom - 4.4}, kDrawn, Lettering::bold, -1, 90);
    if (here[i]->what.empty()) continue;
    // A name that is too long gives way to the mark behind it.
    std::string what = here[i]->what;
    if (text_width(what, kDrawn) > kRodWords) what = what.substr(what.find_last_of(' ') + 1);
    write(items, shortened(what, kRodWords, kDrawn), {text + 7.2, strip.bottom - 4.4}, kDrawn, Lettering::plain, -1,
          90);
  }
  // The end of the strip, and where the next one is stuck over it, give way to the words of marks close by.
  std::vector<Rect> lettering;
  for (const Item& item : items) {
    if (const auto* text = std::get_if<Text>(&item.value)) lettering.push_back(text->ink);
  }
  line_clear_of(items, {right, strip.top}, {right, strip.bottom}, lettering, number == count ? kHeavy : kHair,
                number == count ? Dash::solid : Dash::dashed);
  if (number < count)
    line_clear_of(items, {right - kOverlap, strip.top}, {right - kOverlap, strip.bottom}, lettering, kHair,
                  Dash::chain);
  // The strip's name where no mark is.
  const std::string name = fmt::format("{} rod, strip {} of {}", title, number, count);
  const double wide = text_width(name, kDrawn);
  for (double left = strip.left + 10; left + wide < right - kOverlap - 1; left += 4) {
    const bool clear =
        std::none_of(at.begin(), at.end(), [&](double c) { return c + 4 > left && c - 5 < left + wide; });
    if (!clear) continue;
    write(items, name, {left, strip.top + 4}, kDrawn);
    break;
  }
}

}  // namespace

void draw_rod(std::vector<Sheet>& sheets, const Brief& brief) {
  struct Rod {
    const PieceRow* row;
    const marking::MarkList* list;
    std::vector<Place> marks;
  };
  std::vector<Rod> rods;
  for (const marking::MarkList& list : brief.plan.marking.lists) {
    const auto row = std::find_if(brief.plan.pieces.begin(), brief.plan.pieces.end(), [&](const PieceRow& r) {
      return r.mark == list.mark && r.structure_index == list.structure;
    });
    if (row == brief.plan.pieces.end()) continue;
    std::vector<Place> marks = places(list, row->length_mm);
    const auto joints = std::count_if(marks.begin(), marks.end(), [](const Place& p) { return p.joint; });
    // A rod pays where several pieces share several lines; two are clamped together and measured once.
    if (list.pieces.size() > 2 && joints > kFewLines && !at_one_pitch(marks) && !is_board(brief, list))
      rods.push_back({&*row, &list, std::move(marks)});
  }
  if (rods.empty()) return;
  Flow flow(sheets, brief, "rod", "Rods", Turned::landscape);
  flow.scale("full size");
  flow.paragraph(
      "Full size: print at 100 %, measure the first strip, cut the strips out and stick each over the dot-and-dash "
      "line of the one before, along a straight lath; a strip that is not here has no mark on it: measure to the next. "
      "Clamp equal pieces together, datum ends flush, and square across all of them at once.");
  flow.down(2);
  for (const auto& [row, list, marks] : rods) {
    const std::string title = marking::title(*list);
    flow.heading(fmt::format("{}  {}, {} of them, {} long, from the {}", title, row->name, list->pieces.size(),
                             brief.lengths(row->length_mm), list->datum.substr(0, list->datum.find(" ("))),
                 kStrip + kApart + 6);
    if (const std::size_t others = list->datum.find(" ("); others != std::string::npos)
      flow.paragraph(
          "Of those that stand turned about: " + list->datum.substr(others + 2, list->datum.size() - others - 3) + ".");
    const double window = flow.area().width();
    const int count = std::max(1, static_cast<int>(std::ceil((row->length_mm - kOverlap) / (window - kOverlap))));
    for (int i = 0; i < std::min(count, 200); ++i) {
      const double from = i * (window - kOverlap), to = std::min(row->length_mm, from + window);
      const bool bears = std::any_of(marks.begin(), marks.end(),
                                     [&](const Place& p) { return p.at >= from - 0.01 && p.at <= to + 0.01; });
      if (!bears) continue;
      flow.ensure(kStrip + kApart);
      Group group{title, {}};
      draw_strip(group.items, brief, title, marks, from, to,
                 {flow.area().left, flow.y(), flow.area().right, flow.y() + kStrip}, i + 1, count);
      flow.items().push_back({std::move(group)});
      flow.down(kStrip + kApart);
    }
  }
}

}  // namespace garthwright::sheets
