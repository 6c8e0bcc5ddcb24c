// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

#include "sheets/flow.h"
#include "sheets/kinds.h"

namespace garthwright::sheets {

namespace {

constexpr double kPlotHeight = 17;
constexpr double kCostColumn = 24;  // left of a plot, for its least and greatest cost

std::string amount(const Brief& brief, const ChoiceThrift& choice, double value) {
  return choice.unit == "length" ? brief.lengths.brief(value) : fmt::format("{:g}", value);
}

std::string spoken(std::string name) {
  std::replace(name.begin(), name.end(), '_', ' ');
  return name;
}

// The nearest cheaper values, a row each; one row that says so where there is none.
void add_rows(Table& table, const Brief& brief, const ChoiceThrift& choice) {
  const Currency& currency = brief.plan.purchase.currency;
  const buying::Thrift& found = choice.found;
  Row row{{spoken(choice.choice), amount(brief, choice, found.question.now), format_money(found.now, currency, true),
           "", "", found.proven() ? "no value costs less" : "no value is proven to cost less"}};
  for (const buying::Cheaper& cheaper : found.cheaper) {
    row.cells[3] = amount(brief, choice, cheaper.value);
    row.cells[4] = format_money(cheaper.saved, currency, true);
    std::vector<std::string> reasons = cheaper.pieces;
    reasons.insert(reasons.end(), cheaper.lines.begin(), cheaper.lines.end());
    row.cells[5] = fmt::format("{}", fmt::join(reasons, ", "));
    table.rows.push_back(row);
    row.cells[0] = row.cells[1] = row.cells[2] = "";
  }
  if (found.cheaper.empty()) table.rows.push_back(row);
}

// Cost over the range of one choice. What is only known within limits is hatched between them.
class StepPlot {
 public:
  StepPlot(const buying::Thrift& found, const Rect& rect) : found_(found), rect_(rect) {
    low_ = high_ = found.now.minor;
    for (const buying::CostStep& step : found.steps) {
      if (!step.buildable()) continue;
      low_ = std::min(low_, step.lower_bound.minor);
      high_ = std::max(high_, step.cost.minor);
    }
  }

  std::int64_t low() const { return low_; }
  std::int64_t high() const { return high_; }

  void draw(Items& items) const {
    line(items, {rect_.left, rect_.top}, {rect_.left, rect_.bottom}, kHair);
    line(items, {rect_.left, rect_.bottom}, {rect_.right, rect_.bottom}, kHair);
    const buying::CostStep* before = nullptr;
    for (const buying::CostStep& step : found_.steps) {
      if (step.buildable()) {
        if (before != nullptr && before->cost != step.cost)
          line(items, {x(step.from), y(before->cost.minor)}, {x(step.from), y(step.cost.minor)}, kMedium);
        if (!step.proven())
          hatch(items, {corners({x(step.from), y(step.cost.minor), end_of(step), y(step.lower_bound.minor)})});
        line(items, {x(step.from), y(step.cost.minor)}, {end_of(step), y(step.cost.minor)}, kThick);
      }
      before = step.buildable() ? &step : nullptr;
    }
    const Point now{x(found_.question.now), y(found_.now.minor)};
    line(items, {now.x, rect_.top}, {now.x, rect_.bottom}, kHair, Dash::chain);
    fill_circle(items, now, 0.9, 1);
    for (const buying::Cheaper& cheaper : found_.cheaper) {
      const Point at{x(cheaper.value), y(cheaper.cost.minor)};
      fill_circle(items, at, 0.9, 0);
      circle(items, at, 0.9, kMedium);
    }
  }

 private:
  double first() const { return found_.steps.front().from; }
  double last() const { return found_.steps.back().to + found_.question.step; }
  double x(double value) const { return rect_.left + rect_.width() * (value - first()) / (last() - first()); }
  double y(std::int64_t cost) const {
    const double room = rect_.height() - 3;
    if (high_ == low_) return rect_.bottom - 1.5 - room / 2;
    return rect_.bottom - 1.5 - room * static_cast<double>(cost - low_) / static_cast<double>(high_ - low_);
  }
  // A step holds up to where the next begins.
  double end_of(const buying::CostStep& step) const { return x(step.to + found_.question.step); }

  const buying::Thrift& found_;
  Rect rect_;
  std::int64_t low_ = 0, high_ = 0;
};

void draw_plot(Flow& flow, const Brief& brief, const ChoiceThrift& choice) {
  const buying::Thrift& found = choice.found;
  if (found.steps.empty()) return;
  flow.ensure(kPlotHeight + 16);
  const Currency& currency = brief.plan.purchase.currency;
  std::string heading = fmt::format("{} is {}: {}", spoken(choice.choice), amount(brief, choice, found.question.now),
                                    format_money(found.now, currency));
  if (brief.plan.garden.structures.size() > 1) heading = choice.structure + ": " + heading;
  flow.paragraph(heading, kBody, Lettering::bold);
  flow.down(1);
  const double top = flow.y(), left = flow.area().left + kCostColumn;
  const Rect rect{left, top, flow.area().right - 2, top + kPlotHeight};
  Group group{"thrift-plot", {}};
  const StepPlot plot(found, rect);
  plot.draw(group.items);
  write(group.items, format_money({plot.high()}, currency, true), {left - 1.5, top + 1.5 + kCapHeight * kDrawn}, kDrawn,
        Lettering::plain, 1);
  if (plot.low() < plot.high())
    write(group.items, format_money({plot.low()}, currency, true), {left - 1.5, rect.bottom - 0.5}, kDrawn,
          Lettering::plain, 1);
  const double below = rect.bottom + 1.2 + kCapHeight * kDrawn;
  write(group.items, amount(brief, choice, found.steps.front().from), {left, below}, kDrawn, Lettering::plain, -1);
  write(group.items, amount(brief, choice, found.steps.back().to), {rect.right, below}, kDrawn, Lettering::plain, 1);
  flow.items().push_back({std::move(group)});
  flow.down(kPlotHeight + 9);
}

}  // namespace

void draw_thrift(std::vector<Sheet>& sheets, const Brief& brief) {
  Flow flow(sheets, brief, "thrift", "Where the price jumps", Turned::portrait);
  const auto& choices = brief.plan.thrift;
  if (choices.empty()) {
    flow.paragraph("Nobody asked where the price of this job jumps.");
    return;
  }
  flow.paragraph(
      "What the whole job costs, one choice changed and the others as they are: timber, fixings, panels, ground and "
      "all, as bought. Listed is the nearest value on each side that costs less.");
  flow.down(2);
  Table table;
  table.columns = {{"Choice"}, {"Is", 1}, {"Cost", 1}, {"At", 1}, {"Saves", 1}, {"Because", -1, true}};
  for (const ChoiceThrift& choice : choices) add_rows(table, brief, choice);
  lay(flow, table);
  flow.down(5);
  flow.paragraph(
      "Black dot: as it is now. White dots: the nearest cheaper values. Hatched: the cost lies between the edges, and "
      "is not proven further. Gaps: it cannot be built or bought so.");
  flow.down(3);
  for (const ChoiceThrift& choice : choices) draw_plot(flow, brief, choice);
}

}  // namespace garthwright::sheets
