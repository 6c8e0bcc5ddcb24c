// SPDX-License-Identifier: Apache-2.0
//
// What the whole costs one who builds it for others: materials as the yards list them, tax, what of the timber is left
// over, hours of work at what an hour is worth, and a margin. Plain sums of the plan's own figures.
#include <fmt/format.h>

#include <cmath>

#include "sheets/flow.h"
#include "sheets/kinds.h"

namespace garthwright::sheets {

namespace {

Money share(Money of, double part) {
  return {static_cast<std::int64_t>(std::llround(static_cast<double>(of.minor) * part))};
}

template <class Line>
Money sum_of(const std::vector<Line>& lines) {
  Money sum;
  for (const Line& l : lines) sum.minor += l.unit_price.minor * l.quantity;
  return sum;
}

/// Of the timber that is bought, by volume, what is in no piece as it is cut to length: off-cuts, ends, kerfs.
double wasted(const Plan& plan) {
  double bought = 0, used = 0;
  const auto add = [&](const std::string& section, double length_mm) {
    if (const auto found = timber::find_section(plan.job.yard, section))
      bought += length_mm * (*found)->width_mm * (*found)->thickness_mm;
  };
  for (const buying::TimberLine& l : plan.purchase.timber) add(l.section, l.lengths() * l.length_mm);
  for (const buying::OffCut& o : plan.purchase.from_shed.off_cuts) add(o.section, o.quantity * o.length_mm);
  for (const PieceRow& row : plan.pieces) used += row.quantity * row.length_mm * row.width_mm * row.thickness_mm;
  return bought > 0 ? std::max(0.0, 1 - used / bought) : 0;
}

double hours_of(const Plan& plan) {
  double minutes = 0;
  for (const sequence::Report& order : plan.orders)
    for (const sequence::Stage& stage : order.stages) minutes += stage.minutes;
  return minutes / 60;
}

}  // namespace

void draw_cost(std::vector<Sheet>& sheets, const Brief& brief) {
  const Plan& plan = brief.plan;
  const buying::Report& bought = plan.purchase;
  const auto money = [&](Money m) { return format_money(m, bought.currency, true); };
  Flow flow(sheets, brief, "cost", "Cost", Turned::portrait);
  flow.paragraph(
      "Sums of the figures in this plan, nothing else: prices are the yards', hours our own estimates by the rates "
      "given. "
      "Waits are not counted; an hour is told once however many hands help.");
  flow.down(2);
  Table table;
  table.columns = {{"What"}, {"How it comes about", -1, true}, {bought.currency.code, 1}};
  const auto add = [&](const std::string& what, const std::string& how, Money amount, bool strong = false) {
    table.rows.push_back({{what, how, money(amount)}, strong});
  };
  Money tax;
  for (const buying::YardBill& bill : bought.bills) tax.minor += bill.tax.minor;
  const Money timber = sum_of(bought.timber);
  const double waste = wasted(plan);
  add("Timber",
      fmt::format("of which {:.0f} % by volume is left as off-cuts, ends and kerfs: {}", 100 * waste,
                  money(share(timber, waste))),
      timber);
  add("Panels", "", sum_of(bought.panels));
  add("Fixings", "in whole packs", sum_of(bought.fixings));
  add("Ground", "", sum_of(bought.ground));
  Money extras = sum_of(bought.extras);
  extras.minor -= tax.minor;
  if (extras.minor != 0) add("Preservative, delivery, other", "", extras);
  add("Materials", tax.minor > 0 ? "without tax" : "as listed: the prices' note says whether tax is in them",
      {bought.total.minor - tax.minor}, true);
  if (tax.minor > 0) {
    add("Tax", "on goods and delivery", tax);
    add("Materials with tax", "", bought.total, true);
  }
  Money whole = bought.total;
  const double hours = hours_of(plan);
  if (brief.hour) {
    // To a quarter of an hour: an estimate is no closer.
    const double told = std::ceil(hours * 4) / 4;
    const Money work = share(*brief.hour, told);
    add("Work", fmt::format("{:g} hours at {}", told, money(*brief.hour)), work, true);
    whole.minor += work.minor;
  } else {
    table.rows.push_back(
        {{"Work", fmt::format("about {:.0f} hours; what one is worth was not said", hours), ""}, true});
  }
  if (brief.margin_percent > 0) {
    const Money margin = share(whole, brief.margin_percent / 100);
    add("Margin", fmt::format("{:g} % of all above", brief.margin_percent), margin);
    whole.minor += margin.minor;
  }
  add("In all", "", whole, true);
  lay(flow, table);
  if (!bought.price_note.empty()) flow.paragraph("Prices: " + bought.price_note, kNote);
}

}  // namespace garthwright::sheets
